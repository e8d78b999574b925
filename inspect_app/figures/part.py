"""A part with its places: side view with stations, end view with clocks; knows no limits and no toolkit.

The side view has the gland end on the left; the end view is seen from there, 12 up. A place keeps the
shape of its verdict on both, the place being measured is ringed on both.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from itertools import pairwise
from math import cos, pi, sin
from typing import NamedTuple

from inspect_app.entries.job import Place
from inspect_app.figures.outlines import OUTLINES, Frame, Outline, whole
from inspect_app.figures.shapes import Circle, Drawing, Label, Line, Shape
from inspect_app.figures.signs import ROLES
from inspect_app.figures.stations import along, short, turn_of
from inspect_app.figures.strokes import CENTRE, centre_line, dashes, inside, mark_on_part, span_of, text_width
from inspect_app.job.words import place_words, station_words
from inspect_app.trade.measuring.decision import Verdict, worst
from inspect_app.trade.measuring.wording import capital, counted

SOFT = "guard"
LEAST_MARK, GREATEST_MARK, LIT = 6.0, 12.0, 3.5
ROWS_APART = 8.0
"""Nearer together than this, the clocks of a station share one mark on the side view."""


def part_drawing(
    figure: str,
    places: Sequence[Place],
    lit: Place | None,
    verdicts: Mapping[Place, Verdict],
    *,
    length_mm: Decimal | None,
    called: Mapping[str, str],
    system: str,
    width: float,
    height: float,
    diameter: bool = False,
    surface: str = "",
    long_mm: Mapping[Place, float] | None = None,
    counts: Mapping[Place, int] | None = None,
    round_view: bool = False,
) -> Drawing:
    """A part with every place of a check on it, the lit one ringed.

    Args:
        figure: which part, a name in OUTLINES.
        places: the places in order; stations in mm stand where they are, named ones at even distances.
        lit: the place being measured, if one is.
        verdicts: what stands at the places measured so far.
        length_mm: the length the stations lie on, mm; None while it is not known.
        called: what the named stations of the check are called.
        system: "metric" or "inch", for the stations' labels.
        width: of the drawing.
        height: of the drawing.
        diameter: whether a place is measured right across the part, not from its middle outwards.
        surface: which surface of the part is measured, "" for its running one.
        long_mm: how long what lies at a place is along the part, mm; drawn as long as it is.
        counts: how many of a thing lie at a place, where they are several.
        round_view: whether the end view stands there without a place that has a clock.
    """
    clocked = [p for p in places if turn_of(p.clock) is not None]
    stations = list(dict.fromkeys(p.station for p in places))
    laid = laid_out(figure, len(stations), width, height, round_view or bool(clocked), surface)
    size, frame, outline, end = laid
    lies = along(stations, outline.start, outline.end, length_mm)
    across = {station: min(max(x, frame.left), frame.right) for station, x in lies.items()}
    shapes: list[Shape] = [*outline.shapes, *_rule(across, outline, frame, lit, size, called, system)]
    rows, mark = _rows(places, lit, across, outline)
    per_mm = _per_mm(across, outline, length_mm)
    for place, long in (long_mm or {}).items():
        half, x, y = long * per_mm / 2, across[place.station], rows[place]
        ends = (max(outline.start, x - half), min(outline.end, x + half))
        shapes.append(Line(ends[0], y, ends[1], y, ROLES[verdicts.get(place, Verdict.NOT_MEASURED)], 3.0))
    shapes += _side_marks(places, lit, verdicts, across, rows, mark)
    shapes += _counted(counts or {}, across, rows, mark, frame)
    spots = [(across[p.station], rows[p], p) for p in places]
    if end is not None:
        shapes += [*_end_view(outline, end), *_end_marks(clocked, lit, verdicts, end, outline, diameter)]
        radius = end.radius * outline.measured
        here = [p for p in clocked if lit is None or p.station == lit.station]
        spots += [(*end.at(turn_of(p.clock) or 0.0, radius), p) for p in here]
    return Drawing(
        width, height, tuple(shapes), _says(figure, places, lit, verdicts, called, system), tuple(spots)
    )


class Laid(NamedTuple):
    """How a drawing of a part is laid out: size of its letters, room and outline of the side view, the end view."""

    size: float
    frame: Frame
    outline: Outline
    end: End | None


def laid_out(
    figure: str, stations: int, width: float, height: float, round_view: bool, surface: str = ""
) -> Laid:
    """Where side view and end view stand.

    Args:
        figure: which part, a name in OUTLINES.
        stations: how many stations there are.
        width: of the drawing.
        height: of the drawing.
        round_view: whether there is an end view.
        surface: which surface of the part is measured, "" for its running one.
    """
    size = min(14.0, max(11.0, height * 0.085))
    reach = height / 2 - size * 0.5 - 1
    frame = Frame(12.0, size + 8, width - (2 * reach + size + 16 if round_view else 12), height - size - 11)
    outline = OUTLINES.get(figure, whole)(frame, stations).on(surface)
    end = End(width - reach - size * 0.6, height / 2, reach - size * 0.5 - 11, size) if round_view else None
    return Laid(size, frame, outline, end)


def _per_mm(across: Mapping[str, float], outline: Outline, length_mm: Decimal | None) -> float:
    """Points per mm along the part; 0 where its length is not known."""
    return (outline.end - outline.start) / float(length_mm) if length_mm else 0.0


def _counted(
    counts: Mapping[Place, int],
    across: Mapping[str, float],
    rows: Mapping[Place, float],
    mark: float,
    frame: Frame,
) -> list[Shape]:
    """How many lie at a place, beside its mark."""
    size = 10.0
    return [
        inside(
            Label(across[p.station] + mark, rows[p] - size * 0.8, f"{n} ×", size, "ink", "start", True),
            1,
            frame.right,
        )
        for p, n in counts.items()
        if n > 1
    ]


class End(NamedTuple):
    """Where the end view stands: centre, radius of its largest circle, size of its text."""

    x: float
    y: float
    radius: float
    size: float

    def at(self, turn: float, radius: float) -> tuple[float, float]:
        """The point at a share of a turn clockwise from 12."""
        return self.x + radius * sin(2 * pi * turn), self.y - radius * cos(2 * pi * turn)


def _rule(
    across: Mapping[str, float],
    outline: Outline,
    frame: Frame,
    lit: Place | None,
    size: float,
    called: Mapping[str, str],
    system: str,
) -> list[Shape]:
    """Ticks under the part, the stations' names as far as there is room, and the lit station's line."""
    foot, text_y = frame.bottom + 3, frame.bottom + 9 + size / 2
    named = {s: x for s, x in across.items() if s}
    shapes: list[Shape] = [Line(x, foot, x, foot + 4, "ink", 1.0) for x in named.values()]
    taken = 0.0
    for station, x in sorted(named.items(), key=lambda at: at[1]):
        label = inside(
            Label(x, text_y, short(station, called, system), size, SOFT), taken + 1, frame.right + 6
        )
        start, end = span_of(label)
        if start > taken and end < frame.right + 7 and abs(label.x - x) < max(6, (end - start) * 0.3):
            shapes.append(label)
            taken = end + 6
    head: list[Shape] = [Label(1, size / 2 + 1, outline.datum, size, SOFT, "start")] if outline.datum else []
    taken = text_width(outline.datum, size) + 8 if outline.datum else 1
    if lit and lit.station in named:
        x = named[lit.station]
        name = Label(x, size / 2 + 1, station_words(lit.station, called, system), size, "accent", bold=True)
        # the name makes room for the end that stations are counted from, its line stays where it is
        name = inside(name, taken, frame.right + 6)
        head += [Line(x, size + 3, x, frame.bottom + 7, "accent", 1.6), name]
    return shapes + head


def _rows(
    places: Sequence[Place], lit: Place | None, across: Mapping[str, float], outline: Outline
) -> tuple[dict[Place, float], float]:
    """The height of every place on the side view, and how large its mark may be."""
    middle, half = (outline.top + outline.bottom) / 2, (outline.bottom - outline.top) / 2
    level = middle if outline.level is None else outline.level

    def height_of(place: Place) -> float:
        turn = turn_of(place.clock)
        return level if turn is None else round(middle - half * cos(2 * pi * turn), 1)

    rows = {p: height_of(p) for p in ((*places, lit) if lit else places)}
    apart = _least_step(rows.values())
    if apart < ROWS_APART:
        rows, apart = dict.fromkeys(rows, middle), GREATEST_MARK
    return rows, _mark_size(apart * 0.95, _least_step(across.values()) * 0.85)


def _side_marks(
    places: Sequence[Place],
    lit: Place | None,
    verdicts: Mapping[Place, Verdict],
    across: Mapping[str, float],
    rows: Mapping[Place, float],
    size: float,
) -> list[Shape]:
    """Every place's mark on the side view; places one behind the other share the worst of theirs."""
    at: dict[tuple[float, float], list[Verdict]] = {}
    for place in places:
        found = at.setdefault((across[place.station], rows[place]), [])
        found.append(verdicts.get(place, Verdict.NOT_MEASURED))
    shapes = [s for (x, y), found in at.items() for s in mark_on_part(worst(found), x, y, size)]
    if lit and lit.station in across:
        shapes.append(Circle(across[lit.station], rows[lit], size / 2 + LIT, "accent", 2.6))
    return shapes


def _mark_size(*room: float) -> float:
    return max(LEAST_MARK, min(GREATEST_MARK, *room))


def _least_step(values: Iterable[float]) -> float:
    """The least distance between two different values."""
    ordered = sorted(set(values))
    return min((b - a for a, b in pairwise(ordered)), default=1000.0)


def _end_view(outline: Outline, end: End) -> list[Shape]:
    """The circles of the end view with their centre lines and the hours of a clock outside."""
    shapes: list[Shape] = [Circle(end.x, end.y, end.radius, "fill", filled=True)]
    for share in outline.rings:
        shapes.append(Circle(end.x, end.y, end.radius * share, "ink", 1.2))
    shapes += centre_line(end.x - end.radius, end.x + end.radius, end.y)
    shapes += dashes(end.x, end.y - end.radius, end.x, end.y + end.radius, CENTRE)
    for hour in (12, 3, 6, 9):
        x, y = end.at(hour / 12, end.radius + end.size * 0.5 + 10.5)
        shapes.append(Label(x, y, str(hour), end.size * 0.92, SOFT))
    return shapes


def _end_marks(
    places: Sequence[Place],
    lit: Place | None,
    verdicts: Mapping[Place, Verdict],
    end: End,
    outline: Outline,
    diameter: bool,
) -> list[Shape]:
    """The clocks of the lit station, or the worst over all stations while none is lit."""
    radius = end.radius * outline.measured
    at: dict[float, list[Verdict]] = {}
    for place in places:
        turn = turn_of(place.clock)
        if turn is not None and (lit is None or place.station == lit.station):
            at.setdefault(turn % 1, []).append(verdicts.get(place, Verdict.NOT_MEASURED))
    size = _mark_size(2 * pi * radius * _least_step(at) * 0.8)
    shapes: list[Shape] = []
    for turn, found in at.items():
        shapes += mark_on_part(worst(found), *end.at(turn, radius), size)
    here = turn_of(lit.clock) if lit else None
    if here is not None:
        x, y = end.at(here, radius)
        near = end.at(here, radius - size / 2 - LIT)
        start = end.at(here + 0.5, radius) if diameter else (end.x, end.y)
        shapes += [Line(*start, *near, "accent", 1.6), Circle(x, y, size / 2 + LIT, "accent", 2.6)]
    return shapes


def _says(
    figure: str,
    places: Sequence[Place],
    lit: Place | None,
    verdicts: Mapping[Place, Verdict],
    called: Mapping[str, str],
    system: str,
) -> str:
    """The drawing in words."""
    counts = [
        (v, sum(verdicts.get(p) is v for p in places)) for v in Verdict if v is not Verdict.NOT_MEASURED
    ]
    left = len(places) - sum(n for _, n in counts)
    count = counted(len(places), "place", "places")
    words = [f"{capital(figure)} with {count} to measure", *(f"{n} {v.value}" for v, n in counts if n)]
    words += [f"{left} not measured"] if left else []
    where = place_words(lit, called, system) if lit else ""
    here = f". Now at {where}" if where else ""
    return ", ".join(words) + here + "."
