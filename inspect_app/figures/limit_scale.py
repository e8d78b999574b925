"""A value on a scale with its limits and their guard bands; decides nothing, draws a Decision.

Between the hatched bands everything is proven within, outside them proven beyond; on a band it is too
close to call.
"""

from __future__ import annotations

from decimal import Decimal

from inspect_app.figures.shapes import Drawing, Label, Line, Polygon, Shape
from inspect_app.figures.signs import ROLES
from inspect_app.figures.strokes import hatch, inside, mark_at, solid, span_of
from inspect_app.trade.measuring.decision import Decision
from inspect_app.trade.measuring.quantities import KINDS, show, show_text
from inspect_app.trade.measuring.rounding import to_match

LOW = 50.0
"""A scale lower than this has small letters."""


def limit_scale(decision: Decision, kind: str, system: str, width: float, height: float) -> Drawing:
    """The limits, the band of the gauge's uncertainty about each, and where the value lies.

    Args:
        decision: the decision to draw.
        kind: the quantity's kind, for its unit and decimals.
        system: "metric" or "inch".
        width: of the drawing.
        height: of the drawing.
    """
    low = height < LOW
    size = 9.0 if low else min(14.0, max(11.0, height * 0.17))
    bar = (size + 9, height - size - 4) if low else (size + 13, height - size - 7)
    scale = _Scale(decision, width)
    shapes: list[Shape] = [*_zones(decision, scale, bar)]
    shapes += _limit_labels(decision, scale, bar, kind, system, size)
    shapes += _value(decision, scale, bar, kind, system, size)
    return Drawing(width, height, tuple(shapes), _says(decision, kind, system))


class _Scale:
    """From a value to a distance along the drawing; `first` and `last` are the values at its ends."""

    def __init__(self, decision: Decision, width: float) -> None:
        guard, lower, upper = decision.expanded_uncertainty, decision.lower, decision.upper
        if lower is not None and upper is not None:
            room = max((upper - lower) * Decimal("0.4"), guard * 2)
            self.first, self.last = lower - room, upper + room
        elif upper is not None:
            self.first = min(Decimal(0), upper - guard * 3)
            self.last = upper + max((upper - self.first) * Decimal("0.45"), guard * 2)
        else:
            self.first, self.last = _at_least(decision, guard)
        self.left, self.right = 10.0, width - 10.0

    def at(self, value: Decimal) -> float:
        """Where a value lies, held inside the drawing."""
        span = float(self.last - self.first) or 1.0
        x = self.left + (self.right - self.left) * float(value - self.first) / span
        return min(max(x, self.left), self.right)


def _at_least(decision: Decision, guard: Decimal) -> tuple[Decimal, Decimal]:
    """The ends of a scale that has only a lower limit: from 0 where the value is far above it, else near it."""
    lower = decision.lower or Decimal(0)
    reach = max(guard * 4, abs(lower) / 1000)
    if decision.value is not None:
        reach = max(reach, abs(decision.value - lower) * Decimal("1.4"))
    return lower - reach * Decimal("0.8"), lower + reach


def _zones(decision: Decision, scale: _Scale, bar: tuple[float, float]) -> list[Shape]:
    """The scale: what is allowed, the guard bands hatched over it, the limits as strong lines."""
    top, bottom = bar
    allowed = (decision.lower, decision.upper)
    left = scale.left if allowed[0] is None else scale.at(allowed[0])
    right = scale.right if allowed[1] is None else scale.at(allowed[1])
    shapes: list[Shape] = [solid(left, top, right, bottom)]
    for limit in allowed:
        if limit is not None and decision.expanded_uncertainty:
            a, b = (scale.at(limit + side * decision.expanded_uncertainty) for side in (-1, 1))
            shapes += hatch(a, top, b, bottom, 4.0, "guard")
    for y in (top, bottom):
        shapes += [Line(scale.left, y, scale.right, y, "faint", 0.8), Line(left, y, right, y, "ink", 1.2)]
    for limit in allowed:
        if limit is not None:
            shapes.append(Line(scale.at(limit), top - 3, scale.at(limit), bottom + 4, "ink", 2.4))
    return shapes


def _limit_labels(
    decision: Decision, scale: _Scale, bar: tuple[float, float], kind: str, system: str, size: float
) -> list[Shape]:
    """The limits' numbers under their lines."""
    y = bar[1] + 5 + size / 2
    labels: list[Shape] = []
    for limit in (decision.lower, decision.upper):
        if limit is not None:
            label = Label(scale.at(limit), y, _limit_text(limit, kind, system), size)
            labels.append(inside(label, 2, scale.right + 8))
    return labels


def _limit_text(limit: Decimal, kind: str, system: str) -> str:
    """A limit's number to as many decimals as it needs."""
    finer = 2 if kind == "flow" else 0  # a seal leaks a few hundredths
    decimals = KINDS[kind].decimals_of(limit, system, finer)
    return show(limit, kind=kind, system=system, decimals=decimals)[0]


def _value(
    decision: Decision, scale: _Scale, bar: tuple[float, float], kind: str, system: str, size: float
) -> list[Shape]:
    """The value as a tick through the scale, its number and mark above; an arrow where it lies off the scale."""
    if decision.value is None:
        return []
    x, role = scale.at(decision.value), ROLES[decision.verdict]
    top, bottom = bar
    number, _, unit = to_match(decision.value, decision.expanded_uncertainty, kind, system)
    off = not scale.first <= decision.value <= scale.last
    text = f"{number} {unit}".rstrip() + (", off the scale" if off else "")
    label = inside(Label(x, size / 2 + 1, text, size, role, bold=True), size + 8, scale.right + 8)
    shapes: list[Shape] = [Line(x, top - 6, x, bottom, role, 3.0), label]
    if off:
        tip = 7 if decision.value > scale.last else -7
        middle = (top + bottom) / 2
        corners = ((x, middle - 6), (x + tip, middle), (x, middle + 6))
        shapes.append(Polygon(corners, role, filled=True))
    return [*shapes, *mark_at(decision.verdict, span_of(label)[0] - size * 0.6 - 2, size / 2 + 1, size * 1.1)]


def _says(decision: Decision, kind: str, system: str) -> str:
    """The scale in words."""
    ends = (("from", decision.lower), ("to", decision.upper))
    limits = " ".join(f"{w} {show_text(v, kind=kind, system=system)}" for w, v in ends if v is not None)
    guard = show_text(decision.expanded_uncertainty, kind=kind, system=system)
    value = "Nothing measured"
    if decision.value is not None:
        value = show_text(decision.value, kind=kind, system=system)
    return f"{value} on a scale with limits {limits}, gauge ±{guard}: {decision.verdict.value}."
