"""Pressure over time of a test: the curve, the pressures it is held against, and the stretch that is the hold."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from decimal import Decimal

from inspect_app.figures.shapes import Drawing, Label, Line, Polygon, Shape
from inspect_app.figures.strokes import dashes, solid
from inspect_app.trade.leakage.logged import thinned
from inspect_app.trade.leakage.slope import Point
from inspect_app.trade.measuring.quantities import KINDS, show, show_text

MOST_POINTS = 300
"""More would not be seen, and cost the phone."""
_STEPS = (0.1, 0.2, 0.5, 1, 2, 5, 10, 15, 30, 60, 120, 240, 480)
_WANTED = 5


def pressure_curve(
    points: Sequence[Point],
    hold: Sequence[Point],
    named: Mapping[str, float],
    *,
    system: str,
    width: float,
    height: float,
    size: float = 15.0,
) -> Drawing:
    """The readings as a curve.

    Args:
        points: all readings in the order of time, two at least.
        hold: those of the hold.
        named: pressures with what each is called, MPa; those far above everything read are left out.
        system: "metric" or "inch".
        width: of the drawing.
        height: of the drawing.
        size: of its letters.
    """
    left, right, top, bottom = size * 3.5, width - 8, size * 1.6, height - size * 1.6
    first, last = points[0].minutes, points[-1].minutes
    most = max(p.mpa for p in points)
    lines = {name: mpa for name, mpa in named.items() if mpa <= most * 1.3}
    ceiling = max([most, *lines.values()]) * 1.08 or 1.0

    def at(point: Point) -> tuple[float, float]:
        x = left + (right - left) * (point.minutes - first) / (last - first)
        return x, bottom - (bottom - top) * max(0.0, point.mpa) / ceiling

    shapes: list[Shape] = []
    if len(hold) > 1:
        shapes.append(solid(at(hold[0])[0], top, at(hold[-1])[0], bottom, "fill"))
        shapes += [Line(at(p)[0], top, at(p)[0], bottom, "faint", 1) for p in (hold[0], hold[-1])]
        shapes.append(Label((at(hold[0])[0] + at(hold[-1])[0]) / 2, bottom - size * 0.8, "hold", size))
    for name, mpa in lines.items():
        y = at(Point(first, mpa))[1]
        shapes += [*dashes(left, y, right, y), Label(left + 4, y - size * 0.6, name, size, anchor="start")]
        figure = show(Decimal(f"{mpa:.3f}"), kind="pressure", system=system, decimals=0)[0]
        shapes.append(Label(left - 5, y, figure, size, anchor="end"))
    unit = KINDS["pressure"].shown(system)[0].name
    shapes.append(Label(left - 5, size * 0.6, unit, size, anchor="end"))
    shapes += [Line(left, top, left, bottom, "ink", 1.5), Line(left, bottom, right, bottom, "ink", 1.5)]
    shapes += _minutes(first, last, left, right, bottom, size)
    shapes.append(Label(left - 5, bottom, "0", size, anchor="end"))
    curve = tuple(at(p) for p in thinned(points, MOST_POINTS))
    shapes.append(Polygon(curve, "accent", 2.0, closed=False))
    return Drawing(width, height, tuple(shapes), _says(points, hold, system))


def _minutes(first: float, last: float, left: float, right: float, bottom: float, size: float) -> list[Shape]:
    step = next((s for s in _STEPS if (last - first) / s <= _WANTED), _STEPS[-1])
    shapes: list[Shape] = []
    for n in range(math.floor((last - first) / step) + 1):
        x = left + (right - left) * n * step / (last - first)
        words = f"{n * step:g}" if n else "0 min"
        anchor = "start" if n == 0 else "middle"
        shapes += [
            Line(x, bottom, x, bottom + 5, "ink", 1),
            Label(min(x, right - 8), bottom + size, words, size, anchor=anchor),
        ]
    return shapes


def _says(points: Sequence[Point], hold: Sequence[Point], system: str) -> str:
    def pressure(mpa: float) -> str:
        return show_text(Decimal(f"{mpa:.4f}"), kind="pressure", system=system)

    most = max(p.mpa for p in points)
    words = f"Pressure over {points[-1].minutes - points[0].minutes:.1f} min, at most {pressure(most)}."
    if len(hold) < 2:
        return words
    length = hold[-1].minutes - hold[0].minutes
    ends = f"begins at {pressure(hold[0].mpa)} and ends at {pressure(hold[-1].mpa)}"
    return f"{words} The hold of {length:.1f} min {ends}."
