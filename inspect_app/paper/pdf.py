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

from inspect_app.figures.on_photo import mark_shapes
from inspect_app.figures.shapes import Label
from inspect_app.figures.strokes import box
from inspect_app.paper.attached import attach
from inspect_app.paper.blocks import Photo, Report, Section, Words
from inspect_app.paper.described import date_of, describe
from inspect_app.paper.ink import Ink, Spelling
from inspect_app.paper.letters import INSTEAD, PLAIN, not_printable, register, width_of
from inspect_app.paper.lines import SMALL, SOFT, Group, Node, Picture, labels, lined
from inspect_app.paper.pages import TAG, Page, lay_out
from inspect_app.paper.structure import Structure
from inspect_app.paper.tag import tag_drawing

HEADINGS = ("H1", "H2", "H3", "H4")
WITH_WORDS = 190.0
"""From this width on a photograph has room for what its marks say; a smaller one shows the marks alone."""

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
            "",
            pagesize=(pages[0].width, pages[0].height),
            pageCompression=1,
            invariant=1,
            lang="en",
            initialFontName=PLAIN,
            pdfVersion=(1, 7),
        )
        _entitle(canvas, report)
        spelled = Spelling(canvas._doc)
        structure, headings = Structure(), _headings(pages)
        for page in pages:
            structure.turn()
            _page(page, Ink(canvas, page.height, spelled, structure), photos, headings)
        structure.put_down(canvas._doc)
        attach(canvas, report.attached, date_of(report.made_at))
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
    title = f"{report.title}: {report.name}"[:200]
    canvas.setTitle(title)
    describe(canvas, title, report.tag, report.made_at)
    canvas.setAuthor("")
    canvas.setSubject(report.tag)
    canvas.setCreator("inspect-app")
    canvas.setProducer("inspect-app")
    if date := date_of(report.made_at):
        canvas.setDateFormatter(lambda *_: date)


class _Jpeg(ImageReader):  # type: ignore[misc]
    """A JPEG handed to the canvas as it is: never decoded, known by its hash."""

    def __init__(self, sha256: str, jpeg: bytes) -> None:
        self._dataA = None
        self._sha256, self._jpeg = sha256, jpeg

    def getRGBData(self) -> bytes:  # noqa: N802 - the canvas asks for it to tell one image from another
        return self._sha256.encode()

    def jpeg_fh(self) -> BytesIO:
        return BytesIO(self._jpeg)


def _headings(pages: Iterable[Page]) -> dict[str, str]:
    """The headings of a paper by their words, each with the name of where it stands; of two alike the first."""
    named: dict[str, str] = {}
    for n, group in enumerate(group for page in pages for group in page.groups):
        if group.node and group.node.kind in HEADINGS:
            named.setdefault(_words_of(group), f"heading-{n}")
    return named


def _words_of(group: Group) -> str:
    return " ".join(i.text for i in group.items if isinstance(i, Label))


def _page(page: Page, ink: Ink, photos: Photographs, headings: dict[str, str]) -> None:
    """Everything on one page: drawings and photographs, then all text in one go."""
    for group in page.groups:
        node = group.node
        if node:
            ink.structure.know(node)
            if node.kind in HEADINGS:
                _bookmark(group, node, ink, headings)
        # lines and boxes mean something to the ear only as a figure or a sign, which say what they show
        shown = node if node and node.says and node.kind != "TH" else None
        ink.shapes([i for i in group.items if not isinstance(i, Label | Picture)], group.x, group.y, shown)
        ink.words([i for i in group.items if isinstance(i, Label)], group.x, group.y, node)
        for picture in group.items:
            if isinstance(picture, Picture):
                _picture(picture, group, ink, photos)
        if node and group.to in headings:
            _link(group, node, ink, headings[group.to])
    ink.put_down()
    ink.canvas.showPage()


def _bookmark(group: Group, node: Node, ink: Ink, headings: dict[str, str]) -> None:
    """A heading is a place to go to, and below the paper's own in the list of places."""
    words = _words_of(group)
    key = headings.pop(words, "")
    if not key:
        return
    headings[words] = key
    ink.canvas.bookmarkHorizontalAbsolute(key, ink.height - group.y + 6)
    if (level := HEADINGS.index(node.kind)) > 0:
        ink.canvas.addOutlineEntry(words, key, level - 1)


def _link(group: Group, node: Node, ink: Ink, to: str) -> None:
    """What is touched to go to a heading."""
    labels = [i for i in group.items if isinstance(i, Label)]
    wide = max(i.x + width_of(i.text, i.size, i.bold) for i in labels)
    top, low = labels[0].y - labels[0].size * 0.7, labels[-1].y + labels[-1].size * 0.7
    left, high = group.x, ink.height - group.y
    ink.canvas.linkAbsolute(group.to, to, (left, high - low, left + wide, high - top), thickness=0)
    reference = ink.canvas._annotationrefs[-1]
    annotation = ink.canvas._doc.idToObject[reference.name]
    annotation.permitted = (*annotation.permitted, "StructParent")
    annotation.otherkw["StructParent"] = ink.structure.lead(node, reference)


def _picture(picture: Picture, group: Group, ink: Ink, photos: Photographs) -> None:
    """A photograph, or where it is not at hand an empty frame with the sentence that says so."""
    x, y, wide, high = group.x + picture.x, group.y + picture.y, picture.width, picture.height
    if jpeg := _jpeg(picture.photo, photos):
        ink.canvas.addLiteral(ink.begun(group.node))
        ink.canvas.drawImage(_Jpeg(picture.photo.sha256, jpeg), x, ink.height - y - high, wide, high)
        ink.canvas.addLiteral("EMC")
        room = wide >= WITH_WORDS
        marks = mark_shapes(picture.photo.marks, wide, high, SMALL if room else SMALL / 2, words=room)
        ink.shapes([s for s in marks if not isinstance(s, Label)], x, y)
        ink.words([s for s in marks if isinstance(s, Label)], x, y, group.node)
        return
    sentence = lined(picture.photo.instead, wide - 16, width_of, size=SMALL, role=SOFT)
    ink.shapes([box(0, 0, wide, high, "faint", 0.8)], x, y)
    ink.words(labels(sentence), x + 8, y + 8, group.node)


def _jpeg(photo: Photo, photos: Photographs) -> bytes:
    """A photograph's bytes, b"" where there are none or they are no JPEG."""
    try:
        found = photos(photo.sha256)
        jpeg = found if isinstance(found, bytes) else found.read_bytes()
        readJPEGInfo(BytesIO(jpeg))
    except Exception:  # a missing or broken file must not cost the report; reportlab raises anything
        return b""
    return jpeg
