"""Rectangles, hatching, dashes and marks, made of the plain shapes; knows no part."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from textwrap import wrap

from inspect_app.figures.shapes import Circle, Label, Line, Polygon, Shape
from inspect_app.figures.signs import Sign, sign
from inspect_app.trade.measuring.decision import Verdict

CHARACTER = {False: 0.62, True: 0.7}
"""A character's width as a share of the text size, plain and bold, on the safe side for mixed text."""

PROSE = {False: 0.54, True: 0.58}
"""The same of a sentence, whose letters are narrower than digits and capitals are."""

LINE = 1.25
"""How far a line of letters stands below the one before, as a share of their size."""

CENTRE = (11.0, 3.0, 2.5, 3.0)
"""The pattern of a centre line."""


def text_width(text: str, size: float, bold: bool = False) -> float:
    """About how wide a label comes out; whoever draws it has the font.

    Args:
        text: the label's text.
        size: its size.
        bold: whether it is bold.

    >>> text_width("350 mm", 10)
    37.2
    """
    return len(text) * size * CHARACTER[bold]


def written(
    text: str,
    x: float,
    y: float,
    width: float,
    size: float,
    role: str = "guard",
    right: bool = False,
    bold: bool = False,
) -> tuple[Label, ...]:
    """A sentence as labels one under the other, as many as it needs.

    Args:
        text: the sentence.
        x: where its lines begin, or end.
        y: the middle of the first.
        width: the room.
        size: of the letters.
        role: who it is.
        right: whether its lines end at x.
        bold: whether it is bold.
    """
    lines = wrap(text, max(4, int(width / (size * PROSE[bold]))))
    anchor = "end" if right else "start"
    return tuple(
        Label(x, y + n * size * LINE, line, size, role, anchor, bold) for n, line in enumerate(lines)
    )


def box(
    left: float, top: float, right: float, bottom: float, role: str = "ink", weight: float = 1.0
) -> Polygon:
    """A rectangle's outline.

    Args:
        left: left edge.
        top: top edge.
        right: right edge.
        bottom: bottom edge.
        role: who it is.
        weight: stroke.
    """
    return Polygon(((left, top), (right, top), (right, bottom), (left, bottom)), role, weight)


def solid(left: float, top: float, right: float, bottom: float, role: str = "fill") -> Polygon:
    """A filled rectangle.

    Args:
        left: left edge.
        top: top edge.
        right: right edge.
        bottom: bottom edge.
        role: who it is.
    """
    return Polygon(((left, top), (right, top), (right, bottom), (left, bottom)), role, filled=True)


def hatch(
    left: float, top: float, right: float, bottom: float, step: float = 5.0, role: str = "faint"
) -> tuple[Line, ...]:
    """Lines at 45 degrees across a rectangle, as a cut face or a guard band is drawn.

    Args:
        left: left edge.
        top: top edge.
        right: right edge.
        bottom: bottom edge.
        step: distance between lines along x.
        role: who they are.
    """
    height = bottom - top
    lines = []
    x = left - height + step / 2
    while x < right:
        start, end = max(x, left), min(x + height, right)
        if end - start > 0.5:
            lines.append(Line(start, bottom - (start - x), end, bottom - (end - x), role, 0.7))
        x += step
    return tuple(lines)


def falling_hatch(left: float, top: float, right: float, bottom: float) -> tuple[Line, ...]:
    """Hatching turned the other way, as the part next to a hatched one is drawn.

    Args:
        left: left edge.
        top: top edge.
        right: right edge.
        bottom: bottom edge.
    """
    return tuple(
        replace(line, y1=top + bottom - line.y1, y2=top + bottom - line.y2)
        for line in hatch(left, top, right, bottom)
    )


def dashes(
    x1: float, y1: float, x2: float, y2: float, pattern: Sequence[float] = (6, 3), role: str = "faint"
) -> tuple[Line, ...]:
    """A broken line: strokes and gaps in turn, as centre lines and hidden edges are drawn.

    Args:
        x1: where it begins.
        y1: where it begins.
        x2: where it ends.
        y2: where it ends.
        pattern: lengths of stroke, gap, stroke, gap …
        role: who it is.
    """
    length = ((x2 - x1) ** 2 + (y2 - y1) ** 2) ** 0.5
    lines: list[Line] = []
    at, n = 0.0, 0
    while at < length:
        end = min(at + pattern[n % len(pattern)], length)
        if n % 2 == 0:
            a, b = at / length, end / length
            lines.append(
                Line(
                    x1 + (x2 - x1) * a, y1 + (y2 - y1) * a, x1 + (x2 - x1) * b, y1 + (y2 - y1) * b, role, 0.8
                )
            )
        at, n = end, n + 1
    return tuple(lines)


def centre_line(x1: float, x2: float, y: float) -> tuple[Line, ...]:
    """A horizontal centre line, long and short strokes in turn.

    Args:
        x1: left end.
        x2: right end.
        y: its height.
    """
    return dashes(x1, y, x2, y, CENTRE)


def moved(shape: Shape, dx: float, dy: float) -> Shape:
    """A shape shifted to the right and down.

    Args:
        shape: the shape.
        dx: to the right.
        dy: down.
    """
    if isinstance(shape, Line):
        return replace(shape, x1=shape.x1 + dx, y1=shape.y1 + dy, x2=shape.x2 + dx, y2=shape.y2 + dy)
    if isinstance(shape, Polygon):
        return replace(shape, points=tuple((x + dx, y + dy) for x, y in shape.points))
    return replace(shape, x=shape.x + dx, y=shape.y + dy)


def mark_at(what: Sign, x: float, y: float, size: float) -> tuple[Shape, ...]:
    """A sign centred at a point.

    Args:
        what: the verdict, or what becomes of a part.
        x: centre.
        y: centre.
        size: its width and height.
    """
    return tuple(moved(s, x - size / 2, y - size / 2) for s in sign(what, size).shapes)


def mark_on_part(verdict: Verdict, x: float, y: float, size: float) -> tuple[Shape, ...]:
    """A verdict's mark on a part, the lines under it cleared away; a dot where nothing was measured.

    Args:
        verdict: the verdict.
        x: centre.
        y: centre.
        size: its width and height.
    """
    if verdict is Verdict.NOT_MEASURED:
        return (Circle(x, y, min(1.6, size / 5), "unmeasured", filled=True),)
    return (Circle(x, y, size * 0.5, "fill", filled=True), *mark_at(verdict, x, y, size))


def inside(label: Label, left: float, right: float) -> Label:
    """A label moved sideways just so far that its text stays between two edges.

    Args:
        label: the label, of any anchor.
        left: left edge.
        right: right edge.
    """
    start, end = span_of(label)
    shift = max(0.0, left - start) - max(0.0, end - right)
    return replace(label, x=label.x + shift)


def span_of(label: Label) -> tuple[float, float]:
    """Where a label's text begins and ends.

    Args:
        label: the label.
    """
    width = text_width(label.text, label.size, label.bold)
    start = label.x - {"start": 0.0, "middle": width / 2, "end": width}[label.anchor]
    return start, start + width
