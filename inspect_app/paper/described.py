"""What a PDF says of itself to programs: title, subject, language and date, as XMP; knows no report."""

from __future__ import annotations

import unicodedata
from xml.sax.saxutils import escape

from reportlab.pdfbase.pdfdoc import PDFDictionary, PDFName, PDFStream  # type: ignore[import-untyped]
from reportlab.pdfgen.canvas import Canvas  # type: ignore[import-untyped]

BEGINS = '<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"?>'
ENDS = '<?xpacket end="w"?>'
SPACES = {
    "rdf": "http://www.w3.org/1999/02/22-rdf-syntax-ns#",
    "dc": "http://purl.org/dc/elements/1.1/",
    "xmp": "http://ns.adobe.com/xap/1.0/",
    "pdf": "http://ns.adobe.com/pdf/1.3/",
}


def describe(canvas: Canvas, title: str, subject: str, made_at: str) -> None:
    """Say what the PDF is, and that its title stands at the head of its window.

    Args:
        canvas: the PDF.
        title: its title.
        subject: what it is about.
        made_at: UTC, ISO 8601; what is no time is left out.
    """
    spaces = " ".join(f'xmlns:{name}="{uri}"' for name, uri in SPACES.items())
    alone = '<rdf:Alt><rdf:li xml:lang="x-default">{}</rdf:li></rdf:Alt>'
    said = [
        f"<dc:title>{alone.format(_plain(title))}</dc:title>",
        f"<dc:description>{alone.format(_plain(subject))}</dc:description>",
        "<dc:format>application/pdf</dc:format>",
        "<dc:language><rdf:Bag><rdf:li>en</rdf:li></rdf:Bag></dc:language>",
        "<pdf:Producer>inspect-app</pdf:Producer>",
        "<xmp:CreatorTool>inspect-app</xmp:CreatorTool>",
    ]
    if date_of(made_at):
        at = f"{made_at[:19]}Z"
        said += [f"<xmp:CreateDate>{at}</xmp:CreateDate>", f"<xmp:ModifyDate>{at}</xmp:ModifyDate>"]
    packet = (
        f'{BEGINS}<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF {spaces}><rdf:Description rdf:about="">'
        f"{''.join(said)}</rdf:Description></rdf:RDF></x:xmpmeta>{ENDS}"
    )
    # never packed, so that a program that knows no PDF finds it
    stream = PDFStream(content=packet.encode(), filters=[])
    stream.dictionary.dict |= {"Type": PDFName("Metadata"), "Subtype": PDFName("XML")}
    catalog = canvas._doc.Catalog
    catalog.Metadata = canvas._doc.Reference(stream)
    catalog.ViewerPreferences = PDFDictionary({"DisplayDocTitle": "true"})


def date_of(made_at: str) -> str:
    """A time as PDF writes it, "" for one that is none.

    Args:
        made_at: UTC, ISO 8601.

    >>> date_of("2026-03-02T08:00:00.000Z")
    'D:20260302080000Z'
    """
    digits = "".join(c for c in made_at[:19] if c.isdigit())
    return f"D:{digits}Z" if len(digits) == len("YYYYMMDDhhmmss") else ""


def _plain(text: str) -> str:
    """Text as it may stand in XML, which has no control characters."""
    return escape("".join(c for c in text if not unicodedata.category(c).startswith("C")))
