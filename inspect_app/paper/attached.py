"""Files put inside a PDF beside its pages; knows no job."""

from __future__ import annotations

from collections.abc import Sequence

from reportlab.pdfbase.pdfdoc import (  # type: ignore[import-untyped]
    PDFArray,
    PDFDictionary,
    PDFName,
    PDFStream,
    PDFString,
    PDFZCompress,
)
from reportlab.pdfgen.canvas import Canvas  # type: ignore[import-untyped]

from inspect_app.paper.blocks import Attachment

MIME = {"py": "/text#2Fx-python", "toml": "/application#2Ftoml", "jsonl": "/application#2Fjson"}
"""What is inside a file, by the end of its name, as PDF writes it."""


def attach(canvas: Canvas, files: Sequence[Attachment], at: str) -> None:
    """Put files into the PDF, as what its pages are made of.

    Args:
        canvas: the PDF.
        files: the files.
        at: a date as PDF writes it, that of the last fact in them.
    """
    document = canvas._doc
    named: list[object] = []
    for file in sorted(files, key=lambda f: f.name):
        content = file.text.encode()
        stream = PDFStream(content=content, filters=[PDFZCompress])
        stream.dictionary.dict |= {
            "Type": PDFName("EmbeddedFile"),
            "Subtype": MIME[file.name.rpartition(".")[2]],
            "Params": PDFDictionary({"Size": len(content), "ModDate": PDFString(at)}),
        }
        packed = document.Reference(stream)
        spoken = PDFDictionary(
            {
                "Type": PDFName("Filespec"),
                "F": PDFString(file.name),
                "UF": PDFString(file.name),
                "Desc": PDFString(file.says),
                "AFRelationship": PDFName("Source"),
                "EF": PDFDictionary({"F": packed, "UF": packed}),
            }
        )
        named += [PDFString(file.name), document.Reference(spoken)]
    if not named:
        return
    catalog = document.Catalog
    catalog.Names = PDFDictionary({"EmbeddedFiles": PDFDictionary({"Names": PDFArray(named)})})
    catalog.__NoDefault__ = [*catalog.__NoDefault__, "AF"]
    catalog.AF = PDFArray(named[1::2])
