"""Pressure over time of a test: the whole curve from 0, and the settled hold on a scale of its own."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from decimal import Decimal

from inspect_app.figures.shapes import Circle, Drawing, Label, Line, Polygon, Shape
from inspect_app.figures.strokes import dashes, solid
from inspect_app.trade.leakage.logged import thinned
from inspect_app.trade.leakage.slope import Point
from inspect_app.trade.measuring.quantities import KINDS, show, show_text

MOST_POINTS = 300
"""More would not be seen, and cost the phone."""
NOT_FROM_0 = "the settled hold, not from 0"
MOST_DOTS = 40
"""Of more readings none is marked by itself."""
_STEPS = (0.1, 0.2, 0.5, 1, 2, 5, 10, 15, 30, 60, 120, 240, 480)
_WANTED = 5
_ROUNDING = 1e-9


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
    shapes += _minutes(first, first, last, (left, right), bottom, size)
    shapes.append(Label(left - 5, bottom, "0", size, anchor="end"))
    curve = tuple(at(p) for p in thinned(points, MOST_POINTS))
    shapes.append(Polygon(curve, "accent", 2.0, closed=False))
    return Drawing(width, height, tuple(shapes), _says(points, hold, system))


def settled_curve(
    settled: Sequence[Point],
    *,
    begun_minutes: float,
    system: str,
    width: float,
    height: float,
    size: float = 15.0,
) -> Drawing:
    """The settled part of a hold on a scale of its own: drawn from 0 its fall is not seen.

    Its axis is broken at the foot, and the drawing says that it does not begin at 0.

    Args:
        settled: the readings in the order of time, two at least.
        begun_minutes: when the hold began; from there its minutes are counted.
        system: "metric" or "inch".
        width: of the drawing.
        height: of the drawing.
        size: of its letters.
    """
    unit = KINDS["pressure"].shown(system)[0]
    read = [(p.minutes, float(unit.number(Decimal(repr(p.mpa))))) for p in settled]
    left, right, top, bottom = size * 4.2, width - 8, size * 1.7, height - size * 1.6
    first, last = read[0][0], read[-1][0]
    foot = bottom - size * 0.9  # the lowest mark stands clear of the break in the axis
    marks, decimals = _scale(min(y for _, y in read), max(y for _, y in read), (foot - top) / (size * 1.5))
    least, most = marks[0], marks[-1]

    def at(minutes: float, value: float) -> tuple[float, float]:
        x = left + (right - left) * (minutes - first) / (last - first)
        return x, foot - (foot - top) * (value - least) / (most - least)

    shapes: list[Shape] = [
        Label(left - 5, size * 0.6, unit.name, size, anchor="end"),
        Label(right, size * 0.6, NOT_FROM_0, size, anchor="end"),
        Line(left, top, left, foot + size * 0.2, "ink", 1.5),
        *_break(left, foot + size * 0.2, bottom, size),
        Line(left, bottom, right, bottom, "ink", 1.5),
    ]
    for mark in marks:
        y = at(first, mark)[1]
        words = f"{mark:.{decimals}f}"
        shapes += [Line(left, y, right, y, "faint", 0.7), Label(left - 5, y, words, size, anchor="end")]
    shapes += _minutes(begun_minutes, first, last, (left, right), bottom, size)
    curve = tuple(
        at(p.minutes, float(unit.number(Decimal(repr(p.mpa))))) for p in thinned(settled, MOST_POINTS)
    )
    if len(read) <= MOST_DOTS:
        shapes += [Circle(x, y, size * 0.18, "accent", filled=True) for x, y in curve]
    shapes.append(Polygon(curve, "accent", 2.0, closed=False))
    ends = " to ".join(_pressure(p, system) for p in (settled[0], settled[-1]))
    says = f"The settled hold, {last - first:.1f} min: from {ends}, on an axis that does not begin at 0."
    return Drawing(width, height, tuple(shapes), says)


def _scale(least: float, most: float, room: float) -> tuple[list[float], int]:
    """Round marks that hold all that was read between them, as many as there is room for, and their decimals."""
    span = most - least or max(abs(most) * 0.01, 0.1)
    power = 10.0 ** (math.floor(math.log10(span)) - 1)
    for step in (n * power * by for by in (1, 10, 100) for n in (1, 2, 5)):
        begin = math.floor(least / step + _ROUNDING)
        end = max(math.ceil(most / step - _ROUNDING), begin + 1)
        if end - begin <= max(room, 1):
            break
    return [n * step for n in range(begin, end + 1)], max(0, -math.floor(math.log10(step) + _ROUNDING))


def _break(x: float, upper: float, lower: float, size: float) -> list[Shape]:
    """The zigzag of an axis that leaves out what is below."""
    quarter, aside = (lower - upper) / 4, size * 0.3
    corners = ((x, upper), (x - aside, upper + quarter), (x + aside, upper + 3 * quarter), (x, lower))
    return [Polygon(corners, "ink", 1.5, closed=False)]


def _minutes(
    zero: float, first: float, last: float, ends: tuple[float, float], bottom: float, size: float
) -> list[Shape]:
    """Round minutes since zero along the foot, from the first reading at the left end to the last at the right one."""
    left, right = ends
    step = next((s for s in _STEPS if (last - first) / s <= _WANTED), _STEPS[-1])
    begin, end = math.ceil((first - zero) / step - _ROUNDING), math.floor((last - zero) / step + _ROUNDING)
    shapes: list[Shape] = []
    for n in range(begin, end + 1):
        x = left + (right - left) * (zero + n * step - first) / (last - first)
        words = f"{n * step:g} min" if n == begin else f"{n * step:g}"
        anchor = "start" if n == begin else "middle"
        shapes += [
            Line(x, bottom, x, bottom + 5, "ink", 1),
            Label(min(x, right - 8), bottom + size, words, size, anchor=anchor),
        ]
    return shapes


def _pressure(point: Point, system: str) -> str:
    return show_text(Decimal(f"{point.mpa:.4f}"), kind="pressure", system=system)


def _says(points: Sequence[Point], hold: Sequence[Point], system: str) -> str:
    most = _pressure(max(points, key=lambda p: p.mpa), system)
    words = f"Pressure over {points[-1].minutes - points[0].minutes:.1f} min, at most {most}."
    if len(hold) < 2:
        return words
    length = hold[-1].minutes - hold[0].minutes
    ends = f"begins at {_pressure(hold[0], system)} and ends at {_pressure(hold[-1], system)}"
    return f"{words} The hold of {length:.1f} min {ends}."
