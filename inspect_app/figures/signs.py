"""The signs of verdicts and of what becomes of a part: each its own shape, read in black and white and from afar."""

from __future__ import annotations

from math import cos, pi, sin

from inspect_app.figures.shapes import Circle, Drawing, Line, Polygon, Shape, arc
from inspect_app.job.findings import Disposition
from inspect_app.trade.measuring.decision import Verdict

Sign = Verdict | Disposition
"""What has a sign: a verdict, and of dispositions those that ask somebody to do something."""

ROLES: dict[Sign, str] = {
    Verdict.WITHIN: "within",
    Verdict.BEYOND: "beyond",
    Verdict.UNCLEAR: "unclear",
    Verdict.NOT_MEASURED: "unmeasured",
    Disposition.REWORK: "beyond",
    Disposition.REPLACE: "beyond",
    Disposition.REFER: "beyond",
}


def sign(what: Sign, size: float) -> Drawing:
    """The sign of a verdict or of what becomes of a part.

    Closed ring within, filled bar beyond, ring cut in half too close, dotted ring not measured; rework a ring
    half filled, replace a cross, stop a filled octagon.

    Args:
        what: one of ROLES.
        size: width and height.
    """
    middle, radius, weight = size / 2, size * 0.38, max(1.5, size / 9)
    role = ROLES[what]
    shapes: tuple[Shape, ...]
    if what is Verdict.WITHIN:
        shapes = (Circle(middle, middle, radius, role, weight),)
    elif what is Verdict.BEYOND:
        shapes = (Polygon(_bar(middle, size), role, 1.0, filled=True),)
    elif what is Verdict.UNCLEAR:
        gap = 0.07
        halves = ((gap, 0.5 - gap), (0.5 + gap, 1 - gap))
        shapes = tuple(arc(middle, middle, radius, a, b, role, weight) for a, b in halves)
    elif what is Verdict.NOT_MEASURED:
        around = _around(middle, radius, [n / 8 for n in range(8)])
        shapes = tuple(Circle(x, y, weight * 0.6, role, filled=True) for x, y in around)
    elif what is Disposition.REWORK:
        lower = _around(middle, radius, [0.25 + n / 32 for n in range(17)])
        shapes = (Circle(middle, middle, radius, role, weight), Polygon(lower, role, 1.0, filled=True))
    elif what is Disposition.REPLACE:
        near, far = middle - radius * 0.85, middle + radius * 0.85
        shapes = (
            Line(near, near, far, far, role, weight * 1.5),
            Line(near, far, far, near, role, weight * 1.5),
        )
    else:
        eight = _around(middle, radius * 1.15, [(n + 0.5) / 8 for n in range(8)])
        shapes = (Polygon(eight, role, 1.0, filled=True),)
    return Drawing(size, size, shapes, str(what.value))


def _bar(middle: float, size: float) -> tuple[tuple[float, float], ...]:
    thick, long = size * 0.17, size * 0.46
    return (
        (middle - long, middle - thick),
        (middle + long, middle - thick),
        (middle + long, middle + thick),
        (middle - long, middle + thick),
    )


def _around(middle: float, radius: float, turns: list[float]) -> tuple[tuple[float, float], ...]:
    """Points on a circle, at turns clockwise from 12."""
    angles = [2 * pi * turn for turn in turns]
    return tuple((middle + radius * sin(a), middle - radius * cos(a)) for a in angles)
