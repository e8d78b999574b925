"""Draws a laid-out report as PDF with reportlab; knows nothing of cylinders.

The same report and photographs give the same bytes. Photographs go in as the JPEG files they are.
What people typed is drawn as text, never read as anything else; a sign the font lacks shows as a box.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from io import BytesIO
from pathlib import Path

from reportlab import rl_config  # type: ignore[import-untyped]
from reportlab.lib.utils import ImageReader  # type: ignore[import-untyped]
from reportlab.pdfbase.pdfutils import readJPEGInfo  # type: ignore[import-untyped]
from reportlab.pdfgen.canvas import Canvas  # type: ignore[import-untyped]

from inspect_app.figures.shapes import Label
from inspect_app.figures.strokes import box
from inspect_app.paper.blocks import Photo, Report
from inspect_app.paper.ink import Ink, Spelling
from inspect_app.paper.letters import register, width_of
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
    register()
    pages = lay_out(report, page_size, width_of, tag_drawing(report.tag, TAG[report.compact]))
    with _photographs_in_binary():
        canvas = Canvas(
            "", pagesize=(pages[0].width, pages[0].height), pageCompression=1, invariant=1, lang="en"
        )
        _entitle(canvas, report)
        spelled: Spelling = {}
        for page in pages:
            _page(page, Ink(canvas, page.height, spelled), photos)
        return bytes(canvas.getpdfdata())


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
