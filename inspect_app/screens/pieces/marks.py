"""Drawings, verdict marks and large numbers on the screen; what they show is computed in figures/."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import flet as ft
import flet.canvas as cv

from inspect_app.figures.shapes import Circle, Drawing, Label, Line, Polygon
from inspect_app.figures.signs import Sign, sign
from inspect_app.screens.pieces.controls import printable, text
from inspect_app.screens.pieces.look import Look
from inspect_app.trade.measuring.decision import Verdict

NARROWEST = 480
"""A number of n characters fits a phone 360 dp wide in type of NARROWEST / n."""

ANCHORS = {
    "start": ft.Alignment.CENTER_LEFT,
    "middle": ft.Alignment.CENTER,
    "end": ft.Alignment.CENTER_RIGHT,
}


def _paint(look: Look, role: str, weight: float, filled: bool) -> ft.Paint:
    return ft.Paint(
        color=look.role(role),
        stroke_width=weight * look.weight,
        style=ft.PaintingStyle.FILL if filled else ft.PaintingStyle.STROKE,
        stroke_cap=ft.StrokeCap.ROUND,
        stroke_join=ft.StrokeJoin.ROUND,
    )


def shape_on_canvas(look: Look, shape: Line | Circle | Polygon | Label, k: float = 1.0) -> cv.Shape:
    """One plain shape as the canvas has it, scaled."""
    if isinstance(shape, Line):
        paint = _paint(look, shape.role, shape.weight, False)
        return cv.Line(shape.x1 * k, shape.y1 * k, shape.x2 * k, shape.y2 * k, paint=paint)
    if isinstance(shape, Circle):
        return cv.Circle(
            shape.x * k,
            shape.y * k,
            shape.radius * k,
            paint=_paint(look, shape.role, shape.weight, shape.filled),
        )
    if isinstance(shape, Polygon):
        (x, y), *rest = shape.points
        elements: list[Any] = [cv.Path.MoveTo(x * k, y * k), *(cv.Path.LineTo(a * k, b * k) for a, b in rest)]
        if shape.closed:
            elements.append(cv.Path.Close())
        return cv.Path(elements, paint=_paint(look, shape.role, shape.weight, shape.filled))
    style = ft.TextStyle(
        size=shape.size * k,
        color=look.role(shape.role),
        weight=ft.FontWeight.W_700 if shape.bold else ft.FontWeight.W_500,
    )
    return cv.Text(
        shape.x * k, shape.y * k, printable(shape.text), style=style, alignment=ANCHORS[shape.anchor]
    )


def drawing(look: Look, figure: Drawing, width: float | None = None) -> ft.Control:
    """A figure, scaled to a width, with its words for those who cannot see it."""
    k = (width or figure.width) / figure.width
    return ft.Semantics(
        label=printable(figure.says),
        image=True,
        container=True,
        content=canvas(look=look, figure=figure, k=k, key="canvas"),
    )


At = tuple[int, Line | Circle | Polygon | Label, Look, float]


def _drawn(last: Mapping[At, cv.Shape], at: At) -> cv.Shape:
    """A shape of a figure, the same as before where it was drawn at the same number in the same way."""
    _, shape, look, k = at
    return last.get(at) or shape_on_canvas(look, shape, k)


@ft.component
def _Canvas(look: Look, figure: Drawing, k: float) -> ft.Control:  # noqa: N802
    # what stands where it stood is the same object, and is not compared line by line: a drawing has a hundred shapes,
    # and from one place to the next two or three of them change
    last = ft.use_ref(dict[At, cv.Shape])
    drawn = {(n, s, look, k): _drawn(last.current, (n, s, look, k)) for n, s in enumerate(figure.shapes)}
    last.current = drawn
    return cv.Canvas(list(drawn.values()), width=figure.width * k, height=figure.height * k)


canvas = ft.memo(_Canvas)
"""The shapes of a figure; drawn anew only when it, the look or its scale changes."""


def mark(look: Look, what: Sign | None, size: float = 28) -> ft.Control:
    """A sign without its word, None is what only informs; the caller writes the word beside it."""
    if what is None:
        return ft.Icon(ft.Icons.INFO_OUTLINE, color=look.soft, size=size)
    figure = sign(what, size)
    return cv.Canvas([shape_on_canvas(look, s, 1.0) for s in figure.shapes], width=size, height=size)


QUIET = 4
"""Squares of white around a QR code (ISO/IEC 18004)."""


def squares(dark: Sequence[Sequence[bool]], size: float, says: str) -> ft.Control:
    """A QR code, dark on white in every look: a camera reads no other.

    Args:
        dark: row by row, True where it is dark.
        size: width and height, dp.
        says: its words for those who cannot see it.
    """
    side = size / (len(dark) + 2 * QUIET)
    ink = ft.Paint(color="#000000", style=ft.PaintingStyle.FILL)
    shapes: list[cv.Shape] = []
    for y, row in enumerate(dark):
        for x, is_dark in enumerate(row):
            if is_dark:  # a hair wider, or seams of white would show between two
                at = ((x + QUIET) * side, (y + QUIET) * side)
                shapes.append(cv.Rect(*at, side + 0.3, side + 0.3, paint=ink))
    canvas = cv.Canvas(shapes, width=size, height=size)
    box = ft.Container(canvas, bgcolor="#FFFFFF", width=size, height=size)
    return ft.Semantics(label=printable(says), image=True, container=True, content=ft.Row([box], tight=True))


BESIDE = 28
"""So many characters of ordinary size have room beside a verdict's word on a phone."""


def verdict_colour(look: Look, verdict: Verdict) -> str:
    """The colour of a verdict's word."""
    return {
        Verdict.WITHIN: look.within,
        Verdict.BEYOND: look.beyond,
        Verdict.UNCLEAR: look.unclear,
        Verdict.NOT_MEASURED: look.unmeasured,
    }[verdict]


def verdict_line(look: Look, verdict: Verdict, words: str = "", lines: int | None = None) -> ft.Control:
    """A verdict: mark, word, colour, and what it is about: beside it where it is short or kept to `lines`."""
    colour = verdict_colour(look, verdict)
    inner: list[ft.Control] = [
        mark(look, verdict, look.size(27)),
        text(look, verdict.value, 18, bold=True, color=colour),
    ]
    beside = lines is not None or len(words) * look.scale <= BESIDE
    if words and beside:
        inner.append(text(look, words, 16, lines=lines, expand=True))
    row = ft.Row(inner, spacing=10, vertical_alignment=ft.CrossAxisAlignment.CENTER)
    said = f"{verdict.value}. {words}" if words else verdict.value
    return ft.Semantics(
        label=printable(said),
        container=True,
        exclude_semantics=True,
        content=row if beside else ft.Column([row, text(look, words, 16)], spacing=4, tight=True),
    )


def number(
    look: Look,
    value: str,
    unit: str,
    size: float = 52,
    color: str | None = None,
    stands: str = "",
    left: int = 0,
) -> ft.Control:
    """A number, the largest thing on its screen, its unit small beside it; a long one shrinks to fit.

    Args:
        look: the look.
        value: the number, or what was typed of it.
        unit: its unit.
        size: of its digits.
        color: of its digits, None for ink.
        stands: digits before it that nobody typed: thin and underlined.
        left: how many digits are still to be typed.
    """
    digits = min(size, NARROWEST / max(len(stands + value) + left, 1))  # a larger text size leaves it
    ink = look.ink if value else look.rule
    typed = ft.TextStyle(size=digits, weight=ft.FontWeight.W_700, color=color or ink)
    thin = ft.TextStyle(
        size=digits, color=look.soft, decoration=ft.TextDecoration.UNDERLINE, decoration_color=look.soft
    )
    blank = ft.TextStyle(size=digits, color=look.rule)
    beside = ft.TextStyle(size=size * 0.42, color=look.soft)
    spans = [
        (stands, thin),
        (printable(value) or ("" if stands else "–"), typed),
        ("_" * left, blank),
        (f"  {unit}", beside),
    ]
    said = f"{stands}{value} {unit}" if value else "no number yet"
    if left:
        said = f"{stands} stands, {left} to type. {said}"
    return ft.Semantics(
        label=said.strip(),
        container=True,
        exclude_semantics=True,
        identifier="number",
        live_region=True,
        content=ft.Text(
            spans=[ft.TextSpan(text, style) for text, style in spans if text],
            text_align=ft.TextAlign.RIGHT,
            max_lines=1,
        ),
    )
