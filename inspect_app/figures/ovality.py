"""One section's diameters by clock, their differences drawn larger than they are; the factor stands beside it."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from itertools import pairwise
from math import cos, pi, sin

from inspect_app.figures.shapes import Circle, Drawing, Label, Line, Polygon, Shape
from inspect_app.figures.stations import nice_factor, turn_of
from inspect_app.figures.strokes import CENTRE, dashes
from inspect_app.job.words import clock_words
from inspect_app.trade.form.bore import section_mean_mm
from inspect_app.trade.form.roundness import ovality_mm
from inspect_app.trade.measuring.quantities import show, show_text

STEPS = 12
MOST = 0.22
"""How far the section leaves its mean circle on the drawing, as a share of the radius."""


def ovality_drawing(diameters: Mapping[str, Decimal], *, system: str, width: float, height: float) -> Drawing:
    """The section as its diameters show it: dots where it was read, a smooth line between them.

    Args:
        diameters: diameter by clock, mm; two or more clocks.
        system: "metric" or "inch".
        width: of the drawing.
        height: of the drawing.
    Source: local-size
    """
    size = 10.0
    x, y = width / 2, (height - size * 1.4) / 2
    radius = (y - size * 1.5) / (1 + MOST)
    values = list(diameters.values())
    mean, oval = section_mean_mm(values), ovality_mm(values)
    leave = max(abs(v - mean) for v in values) / 2
    factor = nice_factor(MOST * float(mean) / 2 / float(leave)) if leave else 1
    scale = radius / (float(mean) / 2)

    def reach(diameter: float) -> float:
        return (float(mean) / 2 + (diameter - float(mean)) / 2 * factor) * scale

    read = sorted((t % 0.5, float(d)) for c, d in diameters.items() if (t := turn_of(c)) is not None)
    shapes: list[Shape] = [*_ground(x, y, radius)]
    shapes.append(Polygon(tuple(_at(x, y, t, reach(d)) for t, d in _between(read)), "ink", 1.6))
    for clock, diameter in diameters.items():
        shapes += _reading(
            clock, diameter, reach(float(diameter)), x, y, radius * (1 + MOST) + size * 0.8, system, size
        )
    drawn = f"exaggerated {factor} times" if leave else "no difference between the clocks"
    shapes.append(Label(x, height - size * 0.6, drawn, size, "guard"))
    says = f"Section of mean {show_text(mean, kind='length', system=system)}, ovality "
    return Drawing(
        width, height, tuple(shapes), says + f"{show_text(oval, kind='deviation', system=system)}, {drawn}."
    )


def _at(x: float, y: float, turn: float, radius: float) -> tuple[float, float]:
    return x + radius * sin(2 * pi * turn), y - radius * cos(2 * pi * turn)


def _ground(x: float, y: float, radius: float) -> list[Shape]:
    """The circle of the mean diameter, and the axes."""
    turns = [n / 60 for n in range(0, 60, 2)]
    ring = [Line(*_at(x, y, t, radius), *_at(x, y, t + 1 / 60, radius), "faint", 0.9) for t in turns]
    axes = [*dashes(x - radius, y, x + radius, y, CENTRE), *dashes(x, y - radius, x, y + radius, CENTRE)]
    return [*ring, *axes]


def _between(read: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """The whole turn in small steps: each diameter stands at both its ends, half-waves lead between them."""
    once = [*read, *((t + 0.5, d) for t, d in read)]
    around = [*once, (once[0][0] + 1, once[0][1])]
    return [
        (t1 + (t2 - t1) * n / STEPS, d1 + (d2 - d1) * (1 - cos(pi * n / STEPS)) / 2)
        for (t1, d1), (t2, d2) in pairwise(around)
        for n in range(STEPS)
    ]


def _hour(clock: str) -> str:
    return clock_words(clock).removesuffix(" o'clock")


def _reading(
    clock: str, diameter: Decimal, reach: float, x: float, y: float, outside: float, system: str, size: float
) -> list[Shape]:
    """Dots at both ends of a diameter, its clock and number outside."""
    turn = turn_of(clock)
    if turn is None:
        return []
    ends = [_at(x, y, t, reach) for t in (turn, turn + 0.5)]
    right = sin(2 * pi * turn)
    px, py = _at(x, y, turn, outside)
    anchor = "middle" if abs(right) < 0.2 else "start" if right > 0 else "end"
    number = show(diameter, kind="length", system=system)[0]
    place = Label(px, py, f"{_hour(clock)}  {number}", size, "ink", anchor)
    return [*(Circle(a, b, 2.6, "ink", filled=True) for a, b in ends), place]
