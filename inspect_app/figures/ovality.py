"""One section's diameters by clock against the circles of its limit; the factor of the drawing stands beside it.

The limit's circles always stand at the same distance, so that two sections compare; only what lies beyond makes the
scale smaller. Between readings nothing is known: they are joined by straight lines. An ovality below its own
uncertainty has no shape, and none is drawn.
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from math import cos, pi, sin

from inspect_app.figures.shapes import Circle, Drawing, Label, Line, Polygon, Shape
from inspect_app.figures.stations import nice_factor, turn_of
from inspect_app.figures.strokes import CENTRE, dashes
from inspect_app.job.words import clock_words
from inspect_app.trade.form.bore import section_mean_mm
from inspect_app.trade.form.roundness import ovality_mm
from inspect_app.trade.measuring.quantities import show, show_text

MOST, AT_LIMIT = 0.3, 0.4
"""How far the section leaves its mean circle on the drawing at most, as a share of the radius; how much of that the
limit's circles take."""


def ovality_drawing(
    diameters: Mapping[str, Decimal],
    *,
    system: str,
    width: float,
    height: float,
    limit_mm: Decimal | None = None,
    uncertainty_mm: Decimal = Decimal(0),
) -> Drawing:
    """The section as its diameters show it: dots where it was read, straight lines between them.

    Args:
        diameters: diameter by clock, mm; two or more clocks.
        system: "metric" or "inch".
        width: of the drawing.
        height: of the drawing.
        limit_mm: the greatest ovality that may stay, mm; None where there is none.
        uncertainty_mm: expanded uncertainty of the ovality, mm.
    Source: local-size
    """
    size = 9.0
    x, y = width / 2, (height - size * 1.4) / 2
    radius = (y - size * 1.5) / (1 + MOST)
    values = list(diameters.values())
    mean, oval = section_mean_mm(values), ovality_mm(values)
    leave = max(abs(v - mean) for v in values) / 2
    # ovality is greatest less least diameter: half of it each way, and half of that on the radius
    allowed = limit_mm / 4 if limit_mm else Decimal(0)
    most = max(leave, allowed / Decimal(str(AT_LIMIT)) if allowed else Decimal(0))
    factor = nice_factor(MOST * float(mean) / 2 / float(most)) if most else 1
    scale = radius / (float(mean) / 2)
    shown = oval > uncertainty_mm

    def reach(diameter: float) -> float:
        return (float(mean) / 2 + (diameter - float(mean)) / 2 * factor) * scale

    read = sorted((t % 0.5, float(d)) for c, d in diameters.items() if (t := turn_of(c)) is not None)
    shapes: list[Shape] = [*_ground(x, y, radius)]
    if allowed:
        away = float(allowed) * factor * scale
        shapes += [Circle(x, y, r, "ink", 1.6) for r in (radius - away, radius + away)]
    if shown and read:
        once = [*read, *((t + 0.5, d) for t, d in read)]
        shapes.append(Polygon(tuple(_at(x, y, t, reach(d)) for t, d in once), "beyond", 1.6))
        for clock, diameter in diameters.items():
            outside = radius * (1 + MOST) + size * 0.8
            shapes += _reading(clock, diameter, reach(float(diameter)), x, y, outside, system, size)
    drawn = f"exaggerated {factor} times" if leave else "no difference between the clocks"
    if not shown:
        drawn = "no shape: the ovality is below its own uncertainty"
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
