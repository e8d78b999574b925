"""How far a rod is from straight along its length, drawn larger than it is; the factor stands beside it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal

from inspect_app.figures.shapes import Circle, Drawing, Label, Line, Polygon, Shape
from inspect_app.figures.stations import along, nice_factor, short
from inspect_app.figures.strokes import LINE, centre_line, hatch, inside, moved, span_of, written
from inspect_app.job.words import station_words
from inspect_app.trade.form.straightness import bow_from_tir_mm
from inspect_app.trade.measuring.quantities import show, show_text


def bow_drawing(
    tir: Mapping[str, Decimal],
    *,
    length_mm: Decimal | None,
    called: Mapping[str, str],
    system: str,
    width: float,
    height: float,
    limit_mm: Decimal | None = None,
    guard_mm: Decimal = Decimal(0),
    press: bool = False,
) -> Drawing:
    """The bow at every station, half the dial's total reading there, off the straight line of the supports.

    All bows are drawn to one side: one reading per turn does not tell the direction.

    Args:
        tir: total indicator reading by station, mm; one or more.
        length_mm: the length the stations lie on, mm; None while it is not known.
        called: what the named stations of the check are called.
        system: "metric" or "inch".
        width: of the drawing.
        height: of the drawing.
        limit_mm: the greatest total indicator reading that may stay, mm; None where there is none.
        guard_mm: expanded uncertainty of a reading, mm.
        press: whether the rod is to be straightened: then where to press is shown.
    Source: tir-twice-eccentricity
    """
    size = min(13.0, max(10.0, height * 0.09))
    left, right, straight = 12.0, width - 12.0, height - size * 2 - 14
    across = along(list(tir), left, right, length_mm)
    names = [(short(station, called, system), x) for station, x in across.items()]
    bows = {station: bow_from_tir_mm(value) for station, value in tir.items()}
    worst = max(bows, key=lambda s: bows[s])
    limit, guard = (None if v is None else float(bow_from_tir_mm(v)) for v in (limit_mm, guard_mm))
    tallest = max(float(bows[worst]), (limit or 0.0) + (guard or 0.0))
    scale, factor = _scale(tallest, straight - size * 2 - 12, length_mm, right - left)
    points = [(across[s], straight - float(bows[s]) * scale) for s in bows]
    curve = ((left, straight), *sorted(points), (right, straight))
    shapes: list[Shape] = [*centre_line(left, right, straight)]
    if limit is not None:
        shapes += _limit(limit, guard or 0.0, scale, straight, (left, right))
    shapes += [
        Polygon(((x, straight + 4), (x - 5, straight + 12), (x + 5, straight + 12))) for x in (left, right)
    ]
    shapes += [Polygon(curve, "ink", 1.6, closed=False), *_stations(names, straight, size, right)]
    for station, (x, y) in zip(bows, points, strict=True):
        strong = station == worst
        shapes += [Line(x, straight, x, y, "guard", 0.8), Circle(x, y, 2.6, "ink", filled=True)]
        line = None if limit is None else straight - limit * scale
        shapes.append(_value(bows[station], x, y, size, strong, system, right, line))
    if press:
        x, y = across[worst], straight - float(bows[worst]) * scale
        shapes += _press(x, y)
    says = f"Greatest bow {show_text(bows[worst], kind='deviation', system=system)}"
    says += f" at {station_words(worst, called, system)}" if worst else ""
    drawn = f"exaggerated {factor} times" if factor else "not to scale"
    if limit_mm is not None:
        drawn += f"; strong line: may stay up to {show(bow_from_tir_mm(limit_mm), kind='deviation', system=system)[0]}"
    drawn += "; press at the arrow" if press else ""
    small = min(size, 10.0)
    above = written(drawn, left - 8, size / 2 + 1, width - left, small)
    more = (len(above) - 1) * small * LINE
    placed = (*(moved(shape, 0, more) for shape in shapes), *above)
    return Drawing(width, height + more, placed, f"{says}; {drawn}.")


def _limit(
    limit: float, guard: float, scale: float, straight: float, ends: tuple[float, float]
) -> list[Shape]:
    """The bow that may stay, with the band of the gauge's uncertainty about it."""
    y, half = straight - limit * scale, guard * scale
    band = hatch(ends[0], y - half, ends[1], y + half, 5.0, "faint") if half > 0.8 else ()
    return [*band, Line(ends[0], y, ends[1], y, "ink", 2.0)]


def _press(x: float, y: float) -> list[Shape]:
    """An arrow where the rod is pressed: on its high side, at the greatest bow."""
    tip = Polygon(((x, y + 4), (x - 4, y + 11), (x + 4, y + 11)), "accent", filled=True)
    return [tip, Line(x, y + 11, x, y + 22, "accent", 1.8)]


def _scale(worst_mm: float, room: float, length_mm: Decimal | None, run: float) -> tuple[float, int]:
    """Points per mm of bow, and how many times that is the scale along the length; 0 where it is not known."""
    fits = room / worst_mm if worst_mm > 0 else 0.0
    if not length_mm or not fits:
        return fits, 0
    along_length = run / float(length_mm)
    if fits < along_length:
        return fits, 0
    factor = nice_factor(fits / along_length)
    return factor * along_length, factor


def _stations(names: Sequence[tuple[str, float]], straight: float, size: float, right: float) -> list[Shape]:
    shapes: list[Shape] = []
    taken = 0.0
    for name, x in names:
        label = inside(Label(x, straight + size + 11, name, size, "guard"), 1, right + 11)
        shapes.append(Line(x, straight - 3, x, straight + 3))
        if span_of(label)[0] > taken:
            shapes.append(label)
            taken = span_of(label)[1] + 6
    return shapes


def _value(
    bow_mm: Decimal,
    x: float,
    y: float,
    size: float,
    strong: bool,
    system: str,
    right: float,
    limit_y: float | None,
) -> Label:
    """The bow at a station, above its point, below it where the limit's line would cross; the greatest in bold."""
    number, unit = show(bow_mm, kind="deviation", system=system)
    above = y - size * 0.8 - 2
    crossed = limit_y is not None and abs(above - limit_y) < size * 0.65
    at = (x, above) if not crossed else (x + size * 2, y + size * 0.8)
    return inside(Label(*at, f"{number} {unit}" if strong else number, size, bold=strong), 1, right + 11)
