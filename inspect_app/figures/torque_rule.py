"""A torque as a rule with two sides, N·m on the left and lbf·ft on the right, to be read from the bench."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal

from inspect_app.figures.shapes import Drawing, Label, Line, Polygon, Shape
from inspect_app.figures.strokes import box, solid, text_width
from inspect_app.trade.joints.torque import TorqueTarget
from inspect_app.trade.measuring.units import KINDS

RULE = 54
"""How wide the rule is."""
LARGEST, SMALLER = 72.0, 38.0
"""Type of the torque aimed at, and of the ends of its range."""
_TICKS = 20
_SIDES = (("metric", "end", -1), ("inch", "start", 1))


@dataclass(frozen=True, slots=True)
class TorqueMark:
    """A torque that was reached, and how far the tool may be off, N·m."""

    nm: float
    error_nm: float


def torque_rule(aimed: TorqueTarget, reached: TorqueMark | None, *, width: float, height: float) -> Drawing:
    """The torque aimed at with its range, in both systems at once, and the one reached beside it.

    Args:
        aimed: the torque and its range.
        reached: the torque reached, None before.
        width: of the drawing.
        height: of the drawing.
    """
    span = aimed.greatest_nm - aimed.least_nm or aimed.nominal_nm * 0.1
    first, last = aimed.least_nm - span * 0.7, aimed.greatest_nm + span * 0.7
    left, right = (width - RULE) / 2, (width + RULE) / 2
    top, bottom = 30.0, height - 8

    def y(nm: float) -> float:
        share = (nm - first) / (last - first)
        return min(max(bottom - (bottom - top) * share, top), bottom)

    shapes: list[Shape] = [solid(left, y(aimed.greatest_nm), right, y(aimed.least_nm), "fill")]
    shapes += _ticks(left, right, top, bottom)
    shapes += [box(left, top, right, bottom, "ink", 1.5)]
    for nm, weight in ((aimed.least_nm, 3.0), (aimed.nominal_nm, 1.5), (aimed.greatest_nm, 3.0)):
        shapes.append(Line(left - 7, y(nm), right + 7, y(nm), "ink", weight))
    for system, anchor, side in _SIDES:
        at = left - 14 if side < 0 else right + 14
        room = left - 14
        shapes.append(Label(at, 12, KINDS["torque"].shown(system)[0].name, 18, "ink", anchor))
        size = _fitting(_figure(aimed.nominal_nm, system), LARGEST, room)
        shapes.append(
            Label(at, y(aimed.nominal_nm), _figure(aimed.nominal_nm, system), size, "ink", anchor, True)
        )
        for nm, up in ((aimed.least_nm, math.ceil), (aimed.greatest_nm, math.floor)):
            words = _figure(nm, system, up)
            end = y(nm) + (SMALLER * 0.4 if nm < aimed.nominal_nm else -SMALLER * 0.4)
            shapes.append(Label(at, end, words, _fitting(words, SMALLER, room), "ink", anchor))
    if reached:
        shapes += _reached(reached, (left + right) / 2, y)
    return Drawing(width, height, tuple(shapes), _says(aimed, reached))


def _ticks(left: float, right: float, top: float, bottom: float) -> list[Shape]:
    shapes: list[Shape] = []
    for n in range(1, _TICKS):
        at, long = top + (bottom - top) * n / _TICKS, 14 if n % 5 == 0 else 7
        shapes += [Line(left, at, left + long, at, "faint", 1), Line(right - long, at, right, at, "faint", 1)]
    return shapes


def _reached(reached: TorqueMark, x: float, y: Callable[[float], float]) -> list[Shape]:
    at, high, low = y(reached.nm), y(reached.nm + reached.error_nm), y(reached.nm - reached.error_nm)
    shapes: list[Shape] = [Line(x, high, x, low, "accent", 2.5)]
    shapes += [Line(x - 12, end, x + 12, end, "accent", 2.5) for end in (high, low)]
    for side in (-1, 1):
        corners = ((x + side * 5, at), (x + side * 23, at - 10), (x + side * 23, at + 10))
        shapes.append(Polygon(corners, "accent", filled=True))
    return shapes


def _figure(nm: float, system: str, rounded: Callable[[float], int] = round) -> str:
    """A torque without its unit, to whole ones from 100 on; the ends of a range never rounded outwards."""
    number = float(KINDS["torque"].shown(system)[0].number(Decimal(f"{nm:.6f}")))
    if number >= 100:
        # 680.0000001 is 680: what a division left behind must not move the end of a range
        return f"{rounded(round(number, 3)):d}"
    return f"{rounded(round(number * 10, 3)) / 10:.1f}"


def _fitting(words: str, size: float, room: float) -> float:
    return min(size, size * room / max(text_width(words, size, bold=True), 1.0))


def _says(aimed: TorqueTarget, reached: TorqueMark | None) -> str:
    words = []
    for system, _, _ in _SIDES:
        unit = KINDS["torque"].shown(system)[0].name
        low, mid, high = (
            _figure(nm, system, up)
            for nm, up in (
                (aimed.least_nm, math.ceil), (aimed.nominal_nm, round), (aimed.greatest_nm, math.floor),
            )
        )  # fmt: skip
        words.append(f"{mid} {unit}, from {low} to {high}")
    said = f"Torque {'; '.join(words)}."
    if reached is None:
        return said
    return f"{said} Reached {_figure(reached.nm, 'metric')} N·m, {_figure(reached.nm, 'inch')} lbf·ft."
