"""A bore rolled out flat: stations along it, clocks down it, at each place what it is off the nominal.

A bar at the foot of each cell is as long as the place is wide beyond the least; what is not within its limit is framed
and has its sign. Numbers that have no room are thinned out, the worst never, and no bar or frame is left out.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal

from inspect_app.entries.job import Place
from inspect_app.figures.profile import number_words
from inspect_app.figures.shapes import Drawing, Label, Line, Shape
from inspect_app.figures.stations import short
from inspect_app.figures.strokes import LINE, box, inside, mark_at, moved, span_of, text_width, written
from inspect_app.job.words import clock_words
from inspect_app.trade.measuring.decision import Verdict
from inspect_app.trade.measuring.quantities import show_text

SIZE, BAR, BETWEEN = 9.0, 2.6, 6.0
ROW = 20.0
"""How tall the row of a clock is."""

FOOT = 26.0
"""What the stations' names and the words above the grid take."""


def bore_map_height(clocks: int) -> float:
    """How tall the map of so many clocks is.

    Args:
        clocks: how many.
    """
    return FOOT + ROW * clocks


def bore_map(
    diameters: Mapping[Place, Decimal],
    verdicts: Mapping[Place, Verdict],
    *,
    nominal_mm: Decimal,
    called: Mapping[str, str],
    system: str,
    width: float,
) -> Drawing:
    """Every diameter read in a bore as its deviation from nominal, by station and clock.

    Args:
        diameters: the diameters read, mm.
        verdicts: what each proves against its limit.
        nominal_mm: what they deviate from, mm.
        called: what the named stations of the check are called.
        system: "metric" or "inch".
        width: of the drawing.
    """
    clocks = sorted({p.clock for p in diameters}, key=_hours)
    stations = list(dict.fromkeys(p.station for p in diameters))
    left = 8 + max(text_width(clock_words(c), SIZE) for c in clocks)
    each = (width - left - 2) / len(stations)
    least, most = min(diameters.values()), max(diameters.values())
    shown = _shown(diameters, verdicts, stations, each, nominal_mm, system)
    height = bore_map_height(len(clocks))
    top = SIZE * 1.4
    shapes: list[Shape] = []
    for row, clock in enumerate(clocks):
        y = top + row * ROW
        shapes.append(Label(left - 5, y + ROW / 2, clock_words(clock), SIZE, "guard", "end"))
        for column, station in enumerate(stations):
            place, x = Place(station, clock), left + column * each
            if place in diameters:
                share = float((diameters[place] - least) / (most - least)) if most > least else 0.0
                text = (
                    number_words(diameters[place], "length", system, nominal_mm) if station in shown else ""
                )
                shapes += _cell(x, y, each, share, text, verdicts.get(place, Verdict.NOT_MEASURED), width)
    shapes += _foot(
        [(short(s, called, system), left + each * (n + 0.5)) for n, s in enumerate(stations)], height, width
    )
    from_nominal = show_text(nominal_mm, kind="length", system=system)
    said = f"off {from_nominal}; the longer the bar, the wider"
    if len(shown) < len(stations):
        said += "; numbers thinned out, the worst kept"
    above = written(said, 2, SIZE / 2 + 1, width - 4, SIZE)
    more = (len(above) - 1) * SIZE * LINE
    placed = (*(moved(shape, 0, more) for shape in shapes), *above)
    return Drawing(width, height + more, placed, _says(diameters, from_nominal, nominal_mm, system))


def _hours(clock: str) -> float:
    return float(clock or 0) % 12


def _shown(
    diameters: Mapping[Place, Decimal],
    verdicts: Mapping[Place, Verdict],
    stations: Sequence[str],
    each: float,
    nominal_mm: Decimal,
    system: str,
) -> set[str]:
    """The stations whose numbers have room: the worst first, then as many as fit between."""
    needs = max(
        text_width(number_words(d, "length", system, nominal_mm), SIZE) * 0.86 for d in diameters.values()
    )
    apart = max(1, -(-int(needs + BETWEEN) // max(1, int(each))))
    bad = {Verdict.BEYOND: 0, Verdict.UNCLEAR: 1}
    off = {p: abs(d - nominal_mm) for p, d in diameters.items()}
    order = sorted(diameters, key=lambda p: (bad.get(verdicts.get(p, Verdict.WITHIN), 2), -off[p]))
    kept: list[int] = []
    worst = stations.index(order[0].station)
    for n in (worst, *range(worst % apart, len(stations), apart)):
        if all(abs(n - k) >= apart for k in kept):
            kept.append(n)
    return {stations[n] for n in kept}


def _cell(
    x: float, y: float, each: float, share: float, text: str, verdict: Verdict, right: float
) -> list[Shape]:
    """One place: its bar, its number, and a frame with a sign where it is not within its limit."""
    middle, inner = x + each / 2, each - 3
    shapes: list[Shape] = [Line(x + 1.5, y + ROW - 1, x + each - 1.5, y + ROW - 1, "faint", 0.6)]
    if share:
        shapes.append(Line(x + 1.5, y + ROW - 3, x + 1.5 + inner * share, y + ROW - 3, "guard", BAR))
    odd = verdict in (Verdict.BEYOND, Verdict.UNCLEAR)
    if odd:
        role = "beyond" if verdict is Verdict.BEYOND else "unclear"
        shapes.append(box(x + 1, y + 1, x + each - 1, y + ROW - 0.5, role, 1.4))
    if text:
        shapes.append(inside(Label(middle, y + ROW * 0.42, text, SIZE, "ink", bold=odd), 2, right))
    if odd and each > text_width(text, SIZE, True) + 2 * SIZE:
        shapes += mark_at(verdict, x + SIZE * 0.8, y + ROW * 0.42, SIZE * 0.9)
    return shapes


def _foot(names: Sequence[tuple[str, float]], height: float, width: float) -> list[Shape]:
    shapes: list[Shape] = []
    taken = 0.0
    for name, x in names:
        label = Label(x, height - SIZE * 0.7, name, SIZE, "guard")
        start, end = span_of(label)
        if start > taken and end < width + 1:
            shapes.append(label)
            taken = end + 6
    return shapes


def _says(diameters: Mapping[Place, Decimal], from_nominal: str, nominal_mm: Decimal, system: str) -> str:
    off = [d - nominal_mm for d in diameters.values()]
    least, greatest = (show_text(v, kind="deviation", system=system) for v in (min(off), max(off)))
    return f"{len(off)} diameters of the bore, from {least} to {greatest} off {from_nominal}."
