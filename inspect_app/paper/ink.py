"""Plain shapes and labels as the drawing operators of a PDF page; knows colours and fonts, and no report.

Coordinates come in from the upper left corner and go out from the lower left, to a hundredth of a point.
Text goes out as hexadecimal digits, so that nothing in it can be taken for an operator.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby
from operator import itemgetter

from reportlab.pdfbase import pdfmetrics  # type: ignore[import-untyped]
from reportlab.pdfbase.pdfdoc import PDFDocument  # type: ignore[import-untyped]
from reportlab.pdfgen.canvas import Canvas  # type: ignore[import-untyped]

from inspect_app.figures.shapes import Circle, Label, Line, Polygon
from inspect_app.paper.letters import font_name, printable, width_of
from inspect_app.paper.lines import Node
from inspect_app.paper.structure import Structure

INKS = {
    "ink": "1B1F23",
    "guard": "454B51",
    "faint": "8B8F8C",
    "accent": "123A86",
    "fill": "FBF9F3",
    "within": "0F5129",
    "beyond": "93101A",
    "unclear": "634100",
    "unmeasured": "454B51",
}
"""The colours of the screens' light theme on paper; every one is told from the others by shape too."""

RGB = {
    role: " ".join(f"{int(ink[n : n + 2], 16) / 255:.3f}" for n in (0, 2, 4)) for role, ink in INKS.items()
}
DROP = 0.33
"""How far the foot of a letter lies below the middle of its line, as a share of its size."""

BEND = 0.5523
"""How far the handles of a quarter circle's curve reach, as a share of the radius."""

UNREAD = "/Artifact BMC"
"""Before what is seen and not read aloud."""

SHIFT = {"start": 0.0, "middle": 0.5, "end": 1.0}
Drawn = Line | Circle | Polygon


class Spelling:
    """How texts are spelled in one file: each by the name of a part of the font, and codes in it.

    A sign has one place in the font for the whole file; the library gathers which signs go into it.
    """

    def __init__(self, document: PDFDocument) -> None:
        self._document = document
        self._signs: dict[tuple[str, bool], tuple[str, str]] = {}
        self._words: dict[tuple[str, bool], list[tuple[str, str]]] = {}

    def of(self, text: str, bold: bool) -> list[tuple[str, str]]:
        """A text, plain or bold; most words stand in a file many times."""
        word = (text, bold)
        if word not in self._words:
            signs = [self._signs.get((sign, bold)) or self._sign(sign, bold) for sign in printable(text)]
            self._words[word] = [
                (name, "".join([code for _, code in alike])) for name, alike in groupby(signs, itemgetter(0))
            ]
        return self._words[word]

    def _sign(self, sign: str, bold: bool) -> tuple[str, str]:
        font = pdfmetrics.getFont(font_name(bold))
        ((n, code),) = font.splitString(sign, self._document)
        known = self._signs[sign, bold] = font.getSubsetInternalName(n, self._document), code.hex()
        return known


class Ink:
    """What is drawn on one page, put down in one go; nothing that already holds is set again.

    `spelled` is shared by all pages of a file.
    """

    def __init__(self, canvas: Canvas, height: float, spelled: Spelling, structure: Structure) -> None:
        self.canvas, self.height, self.spelled = canvas, height, spelled
        self.structure = structure
        self._drawn = ["1 J 1 j", UNREAD]
        self._written = [UNREAD]
        self._drawn_as: Node | None = None
        self._written_as: Node | None = None
        self._last: Label | None = None
        self._set: dict[str, str] = {}
        self._font = self._text_ink = ""

    def put_down(self) -> None:
        """Hand everything to the canvas: shapes first, words over them."""
        self.canvas.addLiteral("\n".join([*self._drawn, "EMC", "BT", *self._written, "EMC", "ET"]))

    def shapes(self, shapes: Sequence[Drawn], x: float, y: float, node: Node | None = None) -> None:
        """Draw shapes from the corner (x, y), as part of a figure or as nothing that is read; those in a row that look
        alike in one go."""
        if shapes and node is not self._drawn_as:
            self._drawn_as = node
            self._drawn += ["EMC", self.begun(node)]
        for (role, weight, filled), alike in groupby(shapes, _looks):
            if filled:
                self._once("fill", f"{RGB[role]} rg")
            else:
                self._once("stroke", f"{RGB[role]} RG")
                self._once("weight", f"{weight:.2f} w")
            self._drawn += [_path(s, x, self.height - y) for s in alike]
            self._drawn.append("f" if filled else "S")

    def begun(self, node: Node | None) -> str:
        """The operator before what is part of something."""
        return UNREAD if node is None else f"/{node.kind} <</MCID {self.structure.mark(node)}>> BDC"

    def words(self, labels: Sequence[Label], x: float, y: float, node: Node | None = None) -> None:
        """Write labels from the corner (x, y), as part of something or as nothing that is read."""
        if labels and node is not self._written_as:
            self._written_as, self._last = node, None
            self._written += ["EMC", self.begun(node)]
        for label in labels:
            if node and self._last:  # else the last word of a line and the first of the next are read as one
                self._write(" ", self._last)
            self._last = label
            shift = SHIFT[label.anchor]
            left = x + label.x - (shift * width_of(label.text, label.size, label.bold) if shift else 0.0)
            foot = self.height - y - label.y - DROP * label.size
            if self._text_ink != label.role:
                self._text_ink = label.role
                self._written.append(f"{RGB[label.role]} rg")
            self._written.append(f"1 0 0 1 {left:.2f} {foot:.2f} Tm")
            self._write(label.text, label)

    def _write(self, text: str, label: Label) -> None:
        """The text, by the parts of the font it needs."""
        for name, codes in self.spelled.of(text, label.bold):
            font_set = f"{name} {label.size:.2f} Tf"
            if self._font != font_set:
                self._font = font_set
                self._written.append(font_set)
            self._written.append(f"<{codes}> Tj")

    def _once(self, what: str, operator: str) -> None:
        if self._set.get(what) != operator:
            self._set[what] = operator
            self._drawn.append(operator)


def _looks(shape: Drawn) -> tuple[str, float, bool]:
    filled = not isinstance(shape, Line) and shape.filled
    return shape.role, 0.0 if filled else shape.weight, filled


def _path(shape: Drawn, x: float, top: float) -> str:
    """The outline of a shape, not yet stroked or filled."""
    if isinstance(shape, Line):
        return f"{x + shape.x1:.2f} {top - shape.y1:.2f} m {x + shape.x2:.2f} {top - shape.y2:.2f} l"
    if isinstance(shape, Circle):
        return _circle(x + shape.x, top - shape.y, shape.radius)
    (x1, y1), *rest = shape.points
    lines = "".join([f" {x + a:.2f} {top - b:.2f} l" for a, b in rest])
    return f"{x + x1:.2f} {top - y1:.2f} m{lines}{' h' if shape.closed else ''}"


def _circle(x: float, y: float, r: float) -> str:
    """Four curves, a quarter turn each."""
    k = r * BEND
    left, right, low, high = f"{x - r:.2f}", f"{x + r:.2f}", f"{y - r:.2f}", f"{y + r:.2f}"
    inner_left, inner_right, inner_low, inner_high = (
        f"{x - k:.2f}",
        f"{x + k:.2f}",
        f"{y - k:.2f}",
        f"{y + k:.2f}",
    )
    mx, my = f"{x:.2f}", f"{y:.2f}"
    return (
        f"{right} {my} m {right} {inner_high} {inner_right} {high} {mx} {high} c "
        f"{inner_left} {high} {left} {inner_high} {left} {my} c "
        f"{left} {inner_low} {inner_left} {low} {mx} {low} c "
        f"{inner_right} {low} {right} {inner_low} {right} {my} c h"
    )
