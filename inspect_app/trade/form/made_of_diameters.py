"""Ovality, taper, ballooning, bell mouth and mean of a check's diameters; knows neither limits nor gauges.

A section with a clock missing has no plain mean: ovality would pass for size. It has the mean of the oval
through what was read if 3 axes allow one, and stays out of taper, ballooning and bell mouth if not.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache

from inspect_app.trade.form import bore
from inspect_app.trade.form.bore_survey import FIT_STEP_MM, BoreSection, survey_section
from inspect_app.trade.form.grid import Cell, Grid, Station, angle_deg, clock_words, distance_mm, in_order
from inspect_app.trade.form.making import Made, Measured, Supports, greatest_less_least, total_weights
from inspect_app.trade.form.roundness import require_places
from inspect_app.trade.measuring.refusal import Sentence


@dataclass(frozen=True, slots=True)
class _Section:
    station: str
    place_mm: Decimal | None
    cells: tuple[Cell, ...]  # those read, by clock
    missing: tuple[str, ...]
    survey: BoreSection

    @property
    def mean_weights(self) -> dict[Cell, float]:
        return dict(zip(self.cells, self.survey.mean_weights, strict=True))

    @property
    def without(self) -> Sentence:
        """The places not read, as the subject of a sentence."""
        station = {"station": Station(self.station) if self.station else "This check"}
        if not self.cells or self.missing == ("",):
            return Sentence("{station} was not read", station)
        clocks = ", ".join(clock_words(clock).removesuffix(" o'clock") for clock in self.missing)
        return Sentence(f"{{station}} was not read at {clocks} o'clock", station)

    def said(self, template: str) -> Sentence:
        """A sentence about this section, which is its {station}; {without} are its places not read."""
        return Sentence(template, {"station": Station(self.station), "without": self.without})


def _sections(grid: Grid) -> list[_Section]:
    clocks = sorted({clock for _, clock in grid}, key=angle_deg)
    require_places([angle_deg(clock) for clock in clocks], at_least=1, called="clock")
    stations = in_order(station for station, _ in grid)
    by_words = all(distance_mm(station) is None for station in stations)
    found = []
    for rank, station in enumerate(stations):
        values = [(clock, grid.get((station, clock))) for clock in clocks]
        read = {clock: value for clock, value in values if value is not None}
        place_mm = Decimal(rank) if by_words else distance_mm(station)
        found.append(
            _Section(
                station,
                place_mm,
                tuple((station, clock) for clock in read),
                tuple(clock for clock, value in values if value is None),
                _survey(
                    place_mm or Decimal(0), tuple((angle_deg(c), v) for c, v in read.items()), len(clocks)
                ),
            )
        )
    return found


@lru_cache(maxsize=2048)
def _survey(station_mm: Decimal, read: tuple[tuple[Decimal, Decimal], ...], of: int) -> BoreSection:
    """One section, computed once: six characteristics ask for it, and the next reading lies in another one."""
    return survey_section(station_mm, dict(read), of=of)


def ovality(grid: Grid, supports: Supports | None = None) -> Made:
    """Greatest less least diameter of each section read at 2 clocks or more.

    Args:
        grid: the check's places and readings, mm.
        supports: of no matter here.
    Raises:
        Refusal: a clock that is none or stands twice, or a diameter not greater than 0.
    Source: trade-ovality

    >>> made = ovality({("25", "12"): Decimal("50.01"), ("25", "3"): Decimal("50.03")})
    >>> made.measured[0].value, made.measured[0].weights
    (Decimal('0.02'), {('25', '3'): 1.0, ('25', '12'): -1.0})
    """
    measured, unsaid = [], []
    for section in _sections(grid):
        if section.survey.ovality_mm is None:
            continue
        weights = greatest_less_least({c: value for c in section.cells if (value := grid[c]) is not None})
        measured.append(Measured(section.survey.ovality_mm, section.station, weights))
        if section.missing:
            unsaid.append(section.said("{without}: it may be more oval than read."))
    return Made(tuple(measured), tuple(unsaid))


def fitted_ovality(grid: Grid, supports: Supports | None = None) -> Made:
    """Ovality of the ellipse through each section's diameters: whole, wherever the clocks meet the oval.

    Greatest less least of four clocks 45° apart shows 71 to 100 % of an oval, of three 60° apart 75 to 87 %.

    Args:
        grid: the check's places and readings, mm.
        supports: of no matter here.
    Raises:
        Refusal: as `ovality`.
    Source: second-harmonic, three-diameters

    >>> oval = {("25", "12"): Decimal("50.02"), ("25", "2"): Decimal("49.99"), ("25", "4"): Decimal("49.99")}
    >>> fitted_ovality(oval).measured[0].value
    Decimal('0.040000')
    """
    measured, unsaid = [], []
    for section in _sections(grid):
        oval = section.survey.oval
        if oval:
            value = Decimal(str(oval.ovality_mm)).quantize(FIT_STEP_MM)
            weights = dict(zip(section.cells, oval.ovality_weights, strict=True))
            measured.append(Measured(value, section.station, weights))
        elif section.cells:
            where = "At {station} an" if section.station else "An"
            unsaid.append(
                section.said(
                    f"{where} oval can hide: read 3 clocks two hours apart, or 4 an hour and a half apart."
                )
            )
    return Made(tuple(measured), tuple(unsaid))


def _needs(sections: Sequence[_Section], what: str) -> list[Sentence]:
    """What keeps sections out of a characteristic made of section means."""
    return [
        s.said(f"{{without}}, so it takes no part in the {what}.")
        for s in sections
        if s.survey.mean_mm is None
    ] + [
        s.said(f"{{station}} is no distance, so it takes no part in the {what}.")
        for s in sections
        if s.place_mm is None and s.survey.mean_mm is not None
    ]


def _along(sections: Sequence[_Section]) -> tuple[list[_Section], list[tuple[Decimal, Decimal]]]:
    """The sections with a mean and a place along the part, and those two numbers of each."""
    pairs = [
        (s, (s.place_mm, s.survey.mean_mm))
        for s in sections
        if s.place_mm is not None and s.survey.mean_mm is not None
    ]
    return [s for s, _ in pairs], [(place, mean) for _, (place, mean) in pairs]


def taper(grid: Grid, supports: Supports | None = None) -> Made:
    """Difference of the two end sections' means, as `bore.taper_mm`.

    Where an end has no mean it is the taper between the outermost sections that have one, and that is said.

    Args:
        grid: the check's places and readings, mm; sections known by words count in the order given.
        supports: of no matter here.
    Raises:
        Refusal: as `ovality`, or two stations at one place.
    Source: taper-of-ends

    >>> taper({("850", ""): Decimal("80.05"), ("50", ""): Decimal("80.02")}).measured[0].value
    Decimal('0.03')
    """
    sections = _sections(grid)
    known, means = _along(sections)
    unsaid = _needs(sections, "taper")
    if len(known) < 2:
        return Made((), (*unsaid, Sentence("The taper needs 2 sections with every clock read.")))
    first, last = known[0], known[-1]
    placed = [s for s in sections if s.place_mm is not None]
    if (first, last) != (placed[0], placed[-1]):
        ends = {"first": Station(first.station), "last": Station(last.station)}
        unsaid.append(Sentence("The taper is only that from {first} to {last}.", ends))
    wide, narrow = (first, last) if means[0][1] >= means[-1][1] else (last, first)
    weights = total_weights([(1, wide.mean_weights), (-1, narrow.mean_weights)])
    return Made((Measured(bore.taper_mm(means), "", weights),), tuple(unsaid))


def wear(grid: Grid, supports: Supports | None = None) -> Made:
    """Of a part read where it ran and where it did not: widest less narrowest section mean.

    Args:
        grid: the check's places and readings, mm; the sections are known by words, in any order.
        supports: of no matter here.
    Raises:
        Refusal: as `ovality`.
    Source: pin-play

    >>> wear({("unworn end", ""): Decimal("49.98"), ("worn part", ""): Decimal("49.71")}).measured[0].value
    Decimal('0.27')
    """
    sections = _sections(grid)
    known = [(s.survey.mean_mm, s) for s in sections if s.survey.mean_mm is not None]
    unsaid = tuple(_needs(sections, "wear"))
    if len(known) < 2:
        needs = Sentence("Wear needs a worn and an unworn section, with every clock read.")
        return Made((), (*unsaid, needs))
    (narrow_mm, narrow), *_, (wide_mm, wide) = sorted(known, key=lambda pair: (pair[0], pair[1].station))
    weights = total_weights([(1, wide.mean_weights), (-1, narrow.mean_weights)])
    return Made((Measured(wide_mm - narrow_mm, "", weights),), unsaid)


def _against_ends(
    grid: Grid,
    what: str,
    compute: Callable[[Sequence[tuple[Decimal, Decimal]]], Decimal],
    shares: Callable[[list[Decimal]], list[tuple[int, float]]],
) -> Made:
    """A characteristic of both ends and what lies between.

    `shares` says, of the means along the part, which of them enter with which factor, first the one at
    whose station it shows.
    """
    sections = _sections(grid)
    known, means = _along(sections)
    unsaid = tuple(_needs(sections, what))
    placed = [s for s in sections if s.place_mm is not None]
    if len(known) < 3 or (known[0], known[-1]) != (placed[0], placed[-1]):
        needs = Sentence(f"The {what} needs both end sections and one between them, with every clock read.")
        return Made((), (*unsaid, needs))
    parts = shares([mean_mm for _, mean_mm in means])
    weights = total_weights([(share, known[i].mean_weights) for i, share in parts])
    return Made((Measured(compute(means), known[parts[0][0]].station, weights),), unsaid)


def ballooning(grid: Grid, supports: Supports | None = None) -> Made:
    """Widest section between the ends less the mean of the two ends, as `bore.ballooning_mm`.

    Args:
        grid: the check's places and readings, mm; sections known by words count in the order given.
        supports: of no matter here.
    Raises:
        Refusal: as `taper`.
    Source: trade-bore-shape

    >>> means = {("50", ""): Decimal("80.02"), ("450", ""): Decimal("80.09"), ("850", ""): Decimal("80.04")}
    >>> ballooning(means).measured[0].value
    Decimal('0.06')
    """

    def shares(means: list[Decimal]) -> list[tuple[int, float]]:
        last = len(means) - 1
        return [(max(range(1, last), key=means.__getitem__), 1.0), (0, -0.5), (last, -0.5)]

    return _against_ends(grid, "ballooning", bore.ballooning_mm, shares)


def bell_mouth(grid: Grid, supports: Supports | None = None) -> Made:
    """Wider end less the mean of the sections between the ends, as `bore.bell_mouth_mm`.

    Args:
        grid: the check's places and readings, mm; sections known by words count in the order given.
        supports: of no matter here.
    Raises:
        Refusal: as `taper`.
    Source: trade-bore-shape

    >>> means = {("50", ""): Decimal("80.05"), ("450", ""): Decimal("80.03"), ("850", ""): Decimal("80.04")}
    >>> bell_mouth(means).measured[0].value, bell_mouth(means).measured[0].station
    (Decimal('0.02'), '50')
    """

    def shares(means: list[Decimal]) -> list[tuple[int, float]]:
        last = len(means) - 1
        inner = range(1, last)
        return [(max(0, last, key=means.__getitem__), 1.0), *((i, -1 / len(inner)) for i in inner)]

    return _against_ends(grid, "bell mouth", bore.bell_mouth_mm, shares)


def mean(grid: Grid, supports: Supports | None = None) -> Made:
    """Mean of everything read.

    Args:
        grid: the check's places and readings.
        supports: of no matter here.
    """
    read = {cell: value for cell, value in grid.items() if value is not None}
    if not read:
        return Made()
    weights = dict.fromkeys(read, 1 / len(read))
    return Made((Measured(sum(read.values()) / Decimal(len(read)), "", weights),))


def difference(grid: Grid, supports: Supports | None = None) -> Made:
    """Longest less shortest of everything read: how far lengths that should be equal differ.

    Args:
        grid: the check's places and readings, mm.
        supports: of no matter here.
    Source: tie-rod-length, tube-length

    >>> difference({("rod 1", ""): Decimal("612.0"), ("rod 2", ""): Decimal("612.5")}).measured[0].value
    Decimal('0.5')
    """
    read = {cell: value for cell, value in grid.items() if value is not None}
    if len(read) < 2:
        return Made((), (Sentence("A difference needs two lengths."),))
    differ = max(read.values()) - min(read.values())
    return Made((Measured(differ, "", greatest_less_least(read)),))
