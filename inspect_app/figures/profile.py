"""What was read along a part against its limit: the spread at every station, the limit with its band of uncertainty.

At many stations numbers are thinned out, never the worst one. A value beyond the drawing cannot be: it spans them all.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from inspect_app.entries.job import Place
from inspect_app.figures.shapes import Circle, Drawing, Label, Line, Polygon, Shape
from inspect_app.figures.stations import along, short
from inspect_app.figures.strokes import hatch, inside, mark_at, span_of, text_width
from inspect_app.trade.measuring.decision import Verdict, worst
from inspect_app.trade.measuring.quantities import show, show_text

SIZE, TICK = 9.0, 3.0
ROOM = 0.12
"""What is left free above and below what is drawn, a share of it."""


@dataclass(frozen=True, slots=True)
class Limits:
    """The limits of reuse and the expanded uncertainty of a value there, canonical unit; None where there is none."""

    lower: Decimal | None
    upper: Decimal | None
    guard: Decimal = Decimal(0)


def profile_drawing(
    values: Mapping[Place, Decimal],
    verdicts: Mapping[Place, Verdict],
    limits: Limits,
    *,
    kind: str,
    length_mm: Decimal | None,
    called: Mapping[str, str],
    system: str,
    width: float,
    height: float,
    nominal: Decimal | None = None,
    before: Mapping[Place, Decimal] | None = None,
) -> Drawing:
    """Readings by station, from the least to the greatest at each, joined in the middle, against the limits.

    Args:
        values: what was read, canonical unit.
        verdicts: what each proves against its limit.
        limits: the limits of reuse.
        kind: the quantity's kind.
        length_mm: the length the stations lie on, mm; None while it is not known.
        called: what the named stations of the check are called.
        system: "metric" or "inch".
        width: of the drawing.
        height: of the drawing.
        nominal: numbers are written as what they are off it; None writes them whole.
        before: the same places as found, where `values` are as left; drawn thin and broken.
    """
    stations = list(dict.fromkeys(p.station for p in values))
    found = dict(before or {})
    every = [*values.values(), *found.values()]
    scale = _Scale(every, limits, SIZE * 1.5, height - SIZE * 2.2)
    names = _limit_names(limits, kind, system, nominal)
    left = 6 + max([text_width(t, SIZE, True) for _, t in names], default=0.0)
    right = width - 8
    across = along(stations, left + 10, right - 6, length_mm)
    shapes = [*_limit_lines(limits, scale, left, right, names)]
    if found:
        shapes += _before(found, across, scale)
    columns = [(across[s], {p: v for p, v in values.items() if p.station == s}) for s in stations]
    middles = [(x, scale.at(sum(at.values(), Decimal(0)) / len(at))) for x, at in columns]
    if len(middles) > 1:
        shapes.append(Polygon(tuple(middles), "ink", 1.3, closed=False))
    for x, at in columns:
        ys = [scale.at(v) for v in at.values()]
        shapes.append(Line(x, min(ys), x, max(ys), "guard", 2.2))
        shapes += [Circle(x, y, 1.7, "ink", filled=True) for y in ys]
    shapes += _numbers(columns, verdicts, limits, scale, kind, system, nominal, left, right)
    ticks = [(short(s, called, system), x) for s, x in across.items() if s]
    shapes += _foot(ticks, height - SIZE * 0.8, left, width - 2)
    return Drawing(width, height, tuple(shapes), _says(values, limits, kind, system))


class _Scale:
    """From a value to a height; everything drawn lies between its ends."""

    def __init__(self, values: Sequence[Decimal], limits: Limits, top: float, bottom: float) -> None:
        drawn = [*values]
        for limit in (limits.lower, limits.upper):
            if limit is not None:
                drawn += [limit - limits.guard, limit + limits.guard]
        self.low, self.high = min(drawn), max(drawn)
        span = self.high - self.low or Decimal(1)
        self.low, self.high = self.low - span * Decimal(ROOM), self.high + span * Decimal(ROOM)
        self.top, self.bottom = top, bottom

    def at(self, value: Decimal) -> float:
        """The height of a value."""
        share = float((value - self.low) / (self.high - self.low))
        return self.bottom - share * (self.bottom - self.top)


def _limit_names(
    limits: Limits, kind: str, system: str, nominal: Decimal | None
) -> list[tuple[Decimal, str]]:
    both = [limit for limit in (limits.lower, limits.upper) if limit is not None]
    return [(limit, number_words(limit, kind, system, nominal)) for limit in both]


def number_words(value: Decimal, kind: str, system: str, nominal: Decimal | None) -> str:
    """A value on a drawing, without unit: whole, or with its sign as what it is off the nominal.

    Args:
        value: canonical value.
        kind: the quantity's kind.
        system: "metric" or "inch".
        nominal: what it is taken off, None for nothing.
    """
    if nominal is None:
        return show(value, kind=kind, system=system)[0]
    text = show(value - nominal, kind="deviation", system=system)[0]
    return text if text.startswith("-") else f"+{text}"


def _limit_lines(
    limits: Limits, scale: _Scale, left: float, right: float, names: Sequence[tuple[Decimal, str]]
) -> list[Shape]:
    """Each limit as a strong line with the band of uncertainty hatched about it, its number on the left."""
    shapes: list[Shape] = [Line(left, scale.top, left, scale.bottom, "faint", 0.8)]
    for limit, name in names:
        y = scale.at(limit)
        if limits.guard:
            top, bottom = scale.at(limit + limits.guard), scale.at(limit - limits.guard)
            if bottom - top > 1.5:
                shapes += hatch(left, top, right, bottom, 5.0, "faint")
        shapes += [Line(left, y, right, y, "ink", 2.0), Label(left - 3, y, name, SIZE, "ink", "end", True)]
    return shapes


def _before(found: Mapping[Place, Decimal], across: Mapping[str, float], scale: _Scale) -> list[Shape]:
    """As found, behind what is left: hollow dots."""
    return [
        Circle(across[p.station], scale.at(v), 2.2, "guard", 0.9)
        for p, v in found.items()
        if p.station in across
    ]


def _numbers(
    columns: Sequence[tuple[float, Mapping[Place, Decimal]]],
    verdicts: Mapping[Place, Verdict],
    limits: Limits,
    scale: _Scale,
    kind: str,
    system: str,
    nominal: Decimal | None,
    left: float,
    right: float,
) -> list[Shape]:
    """At every station the value with the least room, as many as have room; the worst of all first, and in bold."""
    told = []
    for x, at in columns:
        place = min(at, key=lambda p: _room(at[p], limits))
        told.append(
            (_room(at[place], limits), x, at[place], worst([verdicts.get(place, Verdict.NOT_MEASURED)]))
        )
    shapes: list[Shape] = []
    taken: list[tuple[float, float]] = []
    for n, (_, x, value, verdict) in enumerate(sorted(told, key=lambda t: t[0])):
        upper = limits.upper is not None and (limits.lower is None or value * 2 > limits.lower + limits.upper)
        y = _clear(scale, value, upper or limits.lower is None, limits, n == 0)
        if y is None:
            continue
        words = number_words(value, kind, system, nominal)
        label = inside(Label(x, y, words, SIZE, "ink", bold=n == 0), left + 2, right + 6)
        start, end = span_of(label)
        sign = n == 0 and verdict in (Verdict.BEYOND, Verdict.UNCLEAR)
        start -= SIZE if sign else 0
        if any(start < b + 3 and end > a - 3 for a, b in taken):
            continue
        taken.append((start, end))
        shapes.append(label)
        shapes += mark_at(verdict, start + 2, y, SIZE) if sign else ()
    return shapes


def _clear(scale: _Scale, value: Decimal, up: bool, limits: Limits, must: bool) -> float | None:
    """The height of a value's number: above or below it as asked, on the other side where a limit's line would cross
    it, and nowhere where both sides are crossed, unless it must stand."""
    lines = [scale.at(limit) for limit in (limits.lower, limits.upper) if limit is not None]
    sides = [scale.at(value) + side * SIZE * 0.85 for side in ((-1, 1) if up else (1, -1))]
    free = [y for y in sides if all(abs(y - line) > SIZE * 0.6 for line in lines)]
    return next((y for y in free if SIZE / 2 < y < scale.bottom + SIZE * 0.9), sides[0] if must else None)


def _room(value: Decimal, limits: Limits) -> Decimal:
    """How far a value is inside its limits; without any the greatest counts as the worst."""
    rooms = [value - limits.lower] if limits.lower is not None else []
    rooms += [limits.upper - value] if limits.upper is not None else []
    return min(rooms, default=-value)


def _foot(names: Sequence[tuple[str, float]], y: float, left: float, right: float) -> list[Shape]:
    """The stations' ticks and as many of their names as have room, the first and the last before the others."""
    shapes: list[Shape] = [Line(x, y - SIZE - 1, x, y - SIZE - 1 + TICK, "ink", 0.9) for _, x in names]
    ends = [names[0], *names[:0:-1]] if names else []
    taken: list[tuple[float, float]] = []
    for name, x in [*ends[:2], *ends[2:][::-1]]:
        label = inside(Label(x, y, name, SIZE, "guard"), left - 8, right)
        start, end = span_of(label)
        if all(end + 5 < a or start - 5 > b for a, b in taken):
            taken.append((start, end))
            shapes.append(label)
    return shapes


def _says(values: Mapping[Place, Decimal], limits: Limits, kind: str, system: str) -> str:
    least, greatest = (
        show_text(v, kind=kind, system=system) for v in (min(values.values()), max(values.values()))
    )
    ends = (("from", limits.lower), ("to", limits.upper))
    limit = " ".join(f"{w} {show_text(v, kind=kind, system=system)}" for w, v in ends if v is not None)
    return f"{len(values)} readings from {least} to {greatest}{f', limit {limit}' if limit else ''}."
