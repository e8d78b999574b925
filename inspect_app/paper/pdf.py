"""Draws a laid-out report as PDF with reportlab; knows nothing of cylinders.

The same report and photographs give the same bytes. Photographs go in as the JPEG files they are.
What people typed is drawn as text, never read as anything else; a sign the font lacks is a lozenge, which is said.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from io import BytesIO
from pathlib import Path

from reportlab import rl_config  # type: ignore[import-untyped]
from reportlab.lib.utils import ImageReader  # type: ignore[import-untyped]
from reportlab.pdfbase.pdfutils import readJPEGInfo  # type: ignore[import-untyped]
from reportlab.pdfgen.canvas import Canvas  # type: ignore[import-untyped]

from inspect_app.figures.shapes import Label
from inspect_app.figures.strokes import box
from inspect_app.paper.blocks import Photo, Report, Section, Words
from inspect_app.paper.ink import Ink, Spelling
from inspect_app.paper.letters import INSTEAD, not_printable, register, width_of
from inspect_app.paper.lines import SMALL, SOFT, Group, Picture, labels, lined
from inspect_app.paper.pages import TAG, Page, lay_out
from inspect_app.paper.tag import tag_drawing

Photographs = Callable[[str], bytes | Path]


def pdf(report: Report, photos: Photographs, *, page_size: str = "A4") -> bytes:
    """The report as a PDF file.

    Args:
        report: what is said.
        photos: a photograph's JPEG, or its file, by its hash; may raise OSError or ValueError where it is not.
        page_size: "A4" or "letter".
    """
    pages = pages_of(report, page_size)
    with _photographs_in_binary():
        canvas = Canvas(
            "", pagesize=(pages[0].width, pages[0].height), pageCompression=1, invariant=1, lang="en"
        )
        _entitle(canvas, report)
        spelled: Spelling = {}
        for page in pages:
            _page(page, Ink(canvas, page.height, spelled), photos)
        return bytes(canvas.getpdfdata())


def pages_of(report: Report, page_size: str) -> list[Page]:
    """The report on its pages, and behind it which signs could not be printed.

    Args:
        report: what is said.
        page_size: "A4" or "letter".
    """
    register()
    tag = tag_drawing(report.tag, TAG[report.compact])
    pages = lay_out(report, page_size, width_of, tag)
    if lacking := _not_printable(pages):
        sections = (*report.sections, not_printed(lacking))
        pages = lay_out(replace(report, sections=sections), page_size, width_of, tag)
    return pages


def _not_printable(pages: Iterable[Page]) -> list[str]:
    """The signs people typed that stand on these pages as lozenges."""
    words = (i.text for page in pages for group in page.groups for i in group.items if isinstance(i, Label))
    return sorted(set().union(*(not_printable(text) for text in words)))


def not_printed(signs: Iterable[str]) -> Section:
    """Says which signs could not be printed, by their numbers and names in Unicode.

    Args:
        signs: the signs.
    """
    named = (f"U+{ord(sign):04X} {unicodedata.name(sign, '')}".rstrip() for sign in signs)
    return Section(
        "Signs that could not be printed", (Words(f"{INSTEAD} stands for: {'; '.join(named)}.", "small"),), 3
    )


@contextmanager
def _photographs_in_binary() -> Iterator[None]:
    """reportlab's own default writes every photograph as text: a fifty times slower and a quarter larger."""
    before, rl_config.useA85 = rl_config.useA85, 0
    try:
        yield
    finally:
        rl_config.useA85 = before


def _entitle(canvas: Canvas, report: Report) -> None:
    """Title and date; the date is that of the last fact in the report, never of today."""
    canvas.setTitle(f"{report.title}: {report.name}"[:200])
    canvas.setAuthor("")
    canvas.setSubject(report.tag)
    canvas.setCreator("inspect-app")
    canvas.setProducer("inspect-app")
    digits = "".join(c for c in report.made_at[:19] if c.isdigit())
    if len(digits) == len("YYYYMMDDhhmmss"):
        canvas.setDateFormatter(lambda *_: f"D:{digits}Z")


class _Jpeg(ImageReader):  # type: ignore[misc]
    """A JPEG handed to the canvas as it is: never decoded, known by its hash."""

    def __init__(self, sha256: str, jpeg: bytes) -> None:
        self._dataA = None
        self._sha256, self._jpeg = sha256, jpeg

    def getRGBData(self) -> bytes:  # noqa: N802 - the canvas asks for it to tell one image from another
        return self._sha256.encode()

    def jpeg_fh(self) -> BytesIO:
        return BytesIO(self._jpeg)


def _page(page: Page, ink: Ink, photos: Photographs) -> None:
    """Everything on one page: drawings and photographs, then all text in one go."""
    for group in page.groups:
        ink.shapes([i for i in group.items if not isinstance(i, Label | Picture)], group.x, group.y)
        ink.words([i for i in group.items if isinstance(i, Label)], group.x, group.y)
        for picture in group.items:
            if isinstance(picture, Picture):
                _picture(picture, group, ink, photos)
    ink.put_down()
    ink.canvas.showPage()


def _picture(picture: Picture, group: Group, ink: Ink, photos: Photographs) -> None:
    """A photograph, or where it is not at hand an empty frame with the sentence that says so."""
    x, y, wide, high = group.x + picture.x, group.y + picture.y, picture.width, picture.height
    if jpeg := _jpeg(picture.photo, photos):
        ink.canvas.drawImage(_Jpeg(picture.photo.sha256, jpeg), x, ink.height - y - high, wide, high)
        return
    sentence = lined(picture.photo.instead, wide - 16, width_of, size=SMALL, role=SOFT)
    ink.shapes([box(0, 0, wide, high, "faint", 0.8)], x, y)
    ink.words(labels(sentence), x + 8, y + 8)


def _jpeg(photo: Photo, photos: Photographs) -> bytes:
    """A photograph's bytes, b"" where there are none or they are no JPEG."""
    try:
        found = photos(photo.sha256)
        jpeg = found if isinstance(found, bytes) else found.read_bytes()
        readJPEGInfo(BytesIO(jpeg))
    except Exception:  # a missing or broken file must not cost the report; reportlab raises anything
        return b""
    return jpeg
