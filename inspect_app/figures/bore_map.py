"""A bore rolled out flat: along it the stations, down it the clocks, at each place its deviation from nominal."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal

from inspect_app.entries.job import Place
from inspect_app.figures.shapes import Drawing, Label, Line, Polygon, Shape
from inspect_app.figures.stations import along, nice_factor, short
from inspect_app.figures.strokes import mark_on_part, span_of, text_width
from inspect_app.job.words import clock_words
from inspect_app.trade.measuring.decision import Verdict
from inspect_app.trade.measuring.quantities import show, show_text


def bore_map(
    diameters: Mapping[Place, Decimal],
    verdicts: Mapping[Place, Verdict],
    *,
    nominal_mm: Decimal,
    length_mm: Decimal | None,
    called: Mapping[str, str],
    system: str,
    width: float,
    height: float,
) -> Drawing:
    """Every diameter read in a bore as its deviation from nominal, by station and clock.

    Args:
        diameters: the diameters read, mm.
        verdicts: what each proves against its limit.
        nominal_mm: what they deviate from, mm.
        length_mm: the length the stations lie on, mm; None while it is not known.
        called: what the named stations of the check are called.
        system: "metric" or "inch".
        width: of the drawing.
        height: of the drawing.
    """
    size = 10.0
    clocks = sorted({p.clock for p in diameters}, key=_hours)
    stations = list(dict.fromkeys(p.station for p in diameters))
    left = 26 + max(text_width(clock_words(c), size) for c in clocks)
    across = along(stations, left, width - 20, length_mm)
    names = [(short(station, called, system), x) for station, x in across.items()]
    top, each = size * 1.6 + 4, (height - size * 3.4 - 4) / len(clocks)
    rows = {c: top + each * (n + 0.62) for n, c in enumerate(clocks)}
    off = {p: d - nominal_mm for p, d in diameters.items()}
    greatest = float(max(abs(v) for v in off.values()))
    scale, factor = _scale(each * 0.42 / greatest if greatest else 0.0, across, stations)
    shapes: list[Shape] = []
    for clock, y in rows.items():
        row = sorted((across[p.station], off[p], p) for p in off if p.clock == clock)
        shapes += _row(clock_words(clock), y, left, width - 8, size)
        if len(row) > 1:
            shapes.append(Polygon(tuple((x, y - float(v) * scale) for x, v, _ in row), closed=False))
        for x, value, place in row:
            shapes += _node(x, y, float(value) * scale, value, verdicts.get(place), size, system)
    shapes += _foot(names, height - size * 0.7, size)
    from_nominal = show_text(nominal_mm, kind="length", system=system)
    drawn = f"deviation from {from_nominal}, wider is up"
    drawn += f", exaggerated {factor} times" if factor else ", not to scale"
    shapes.append(Label(2, size / 2 + 1, drawn, size, "guard", "start"))
    return Drawing(width, height, tuple(shapes), _says(off, from_nominal, system))


def _hours(clock: str) -> float:
    return float(clock or 0) % 12


def _scale(fits: float, across: Mapping[str, float], stations: list[str]) -> tuple[float, int]:
    """Points per mm of deviation, and how many times that is the scale along the bore; 0 where not known."""
    try:
        first, last = float(stations[0]), float(stations[-1])
    except ValueError:
        return fits, 0
    if first == last or not fits:
        return fits, 0
    along_bore = (across[stations[-1]] - across[stations[0]]) / (last - first)
    if fits < along_bore:
        return fits, 0
    factor = nice_factor(fits / along_bore)
    return factor * along_bore, factor


def _row(name: str, y: float, left: float, right: float, size: float) -> list[Shape]:
    return [Line(left - 18, y, right, y, "faint", 0.7), Label(left - 22, y, name, size, "guard", "end")]


def _node(
    x: float, y: float, rise: float, value: Decimal, verdict: Verdict | None, size: float, system: str
) -> list[Shape]:
    """One place: its mark where the bore stands, its deviation below the line where there is room."""
    number = show(value, kind="deviation", system=system)[0]
    text = number if number.startswith("-") else f"+{number}"
    below = y + size * 0.75 if rise >= 0 else y - size * 0.75
    mark = mark_on_part(verdict or Verdict.NOT_MEASURED, x, y - rise, 8.5)
    return [Line(x, y, x, y - rise, "guard", 0.8), *mark, Label(x, below, text, size * 0.92)]


def _foot(names: Sequence[tuple[str, float]], y: float, size: float) -> list[Shape]:
    shapes: list[Shape] = []
    taken = 0.0
    for name, x in names:
        label = Label(x, y, name, size, "guard")
        if span_of(label)[0] > taken:
            shapes.append(label)
            taken = span_of(label)[1] + 6
    return shapes


def _says(off: Mapping[Place, Decimal], from_nominal: str, system: str) -> str:
    least = show_text(min(off.values()), kind="deviation", system=system)
    greatest = show_text(max(off.values()), kind="deviation", system=system)
    return f"{len(off)} diameters of the bore, from {least} to {greatest} off {from_nominal}."
