"""Runout, bow and local bend of a rod from a check's dial readings; knows neither limits nor gauges.

A station with one place holds the total reading of a turn (TIR). A station with several clocks holds the
dial at each of them, and 4 or more give the section's centre, with its direction. Every reading and every
figure per metre here is TIR, twice the bow: that is what the dial shows and what shops limit. Some
suppliers' straightness per metre is the gap to a straight edge, which is the bow.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from inspect_app.trade.form import straightness
from inspect_app.trade.form.bore_survey import FIT_STEP_MM
from inspect_app.trade.form.grid import Cell, Grid, Station, angle_deg, distance_mm, in_order
from inspect_app.trade.form.making import Made, Measured, Supports, greatest_less_least
from inspect_app.trade.form.rod_axis import SectionCentre, worst_local_bend
from inspect_app.trade.form.roundness import require_places
from inspect_app.trade.form.runout import runout
from inspect_app.trade.measuring.refusal import Refusal, Said, Sentence

BEND_STEP = Decimal("0.001")
"""A bend per metre is a quotient; it is kept to the dial's own step."""
CLOCKS_OF_A_TURN = 4


@dataclass(frozen=True, slots=True)
class _Centre:
    """A section's centre off the axis the rod turns about, as a number: real to 12, imaginary to 3 o'clock.

    Of a total reading the direction is not known; it stands at 12.
    """

    station: str
    bow_mm: Decimal
    high_deg: float
    follows: Mapping[Cell, complex]  # how far the centre moves with each reading
    tir_mm: Decimal
    turned: bool

    def along(self, direction: complex, factor: float = 1.0) -> dict[Cell, float]:
        """Weights of `factor` times the centre's part in a direction."""
        return {cell: factor * (pull * direction.conjugate()).real for cell, pull in self.follows.items()}


def _centres(grid: Grid) -> tuple[list[_Centre], list[Sentence]]:
    found: list[_Centre] = []
    unsaid: list[Sentence] = []
    for station in in_order(station for station, _ in grid):
        cells = sorted((cell for cell in grid if cell[0] == station), key=lambda cell: angle_deg(cell[1]))
        read = {cell: value for cell in cells if (value := grid[cell]) is not None}
        if len(cells) == 1 and read:
            (cell, tir_mm), *_ = read.items()
            bow_mm = straightness.bow_from_tir_mm(tir_mm)
            found.append(_Centre(station, bow_mm, 0.0, {cell: 0.5 + 0j}, tir_mm, False))
        elif read:
            try:
                found.append(_from_turn(station, read))
            except Refusal as refusal:
                unsaid.append(
                    Sentence(
                        "{station}: {refusal}", {"station": _named(station), "refusal": refusal.sentence}
                    )
                )
    return found, unsaid


def _named(station: str) -> Said | str:
    return Station(station) if station else "This check"


def _from_turn(station: str, read: Mapping[Cell, Decimal]) -> _Centre:
    require_places([angle_deg(clock) for _, clock in read], at_least=CLOCKS_OF_A_TURN, called="clock")
    turn = runout([(float(angle_deg(clock)), float(value)) for (_, clock), value in read.items()])
    pulls = (complex(u, r) for u, r in zip(turn.up_weights, turn.right_weights, strict=True))
    return _Centre(
        station,
        Decimal(str(turn.bow_mm)).quantize(FIT_STEP_MM),
        turn.high_deg,
        dict(zip(read, pulls, strict=True)),
        max(read.values()) - min(read.values()),
        True,
    )


def turn(grid: Grid, supports: Supports | None = None) -> Made:
    """Greatest less least dial reading of each station read at 4 clocks or more.

    Args:
        grid: the check's places and dial readings, mm.
        supports: of no matter here.
    Raises:
        Refusal: a clock that is none, or a negative total reading.
    Valid: four clocks see 71 to 100 % of a turn's total; the bow, fitted, is seen whole.
    Source: tir-twice-eccentricity

    >>> dial = {("500", c): Decimal(r) for c, r in (("12", "0"), ("3", "0.14"), ("6", "0.24"), ("9", "0.10"))}
    >>> turn(dial).measured[0].value
    Decimal('0.24')
    """
    centres, unsaid = _centres(grid)
    measured = []
    for centre in (c for c in centres if c.turned):
        read = {cell: value for cell in centre.follows if (value := grid[cell]) is not None}
        measured.append(Measured(centre.tir_mm, centre.station, greatest_less_least(read)))
    return Made(tuple(measured), tuple(unsaid))


def bow(grid: Grid, supports: Supports | None = None) -> Made:
    """Greatest bow of the stations: half a total reading, or from the dial at 4 clocks or more as `runout`.

    Args:
        grid: the check's places and dial readings, mm.
        supports: of no matter here.
    Raises:
        Refusal: as `turn`.
    Source: tir-twice-eccentricity

    >>> bow({("300", ""): Decimal("0.10"), ("600", ""): Decimal("0.24")}).measured[0]
    Measured(value=Decimal('0.12'), station='600', weights={('600', ''): 0.5})
    """
    centres, unsaid = _centres(grid)
    if not centres:
        return Made((), tuple(unsaid))
    worst = max(centres, key=lambda centre: centre.bow_mm)
    direction = cmath.rect(1, math.radians(worst.high_deg))
    return Made((Measured(worst.bow_mm, worst.station, worst.along(direction)),), tuple(unsaid))


def worst_bend(grid: Grid, supports: Supports | None = None) -> Made:
    """Sharpest local bend, as dial reading (TIR) per metre between neighbouring stations, mm/m.

    At each inner station: how far its centre lies off the straight line through the centres of its two
    neighbours, times two as the dial shows it, over the distance between those neighbours. It is what a dial
    would read at the station, per metre, with the rod supported at the neighbours: so it compares with a
    runout limit per metre, and a sharp bend near an end shows that the whole span dilutes. The
    supports are stations too: there the centre lies on the axis the rod turns about, unless it was read.

    Args:
        grid: the check's places and dial readings, mm; 3 stations known by distance, supports counted.
        supports: where the rod is supported, None where that is not known.
    Raises:
        Refusal: as `turn`, or two stations at one place.
    Valid: total readings have no direction: then all is taken to lie in one plane and to one side, and
        stations outside the supports, which lie to the other, take no part. A bend much nearer one
        neighbour than the other shows milder (at a fifth of the way 64 %); stations evenly spread show most.
    Source: bend-of-three-stations, axis-from-runout

    >>> kink = {("100", ""): Decimal("0.72"), ("700", ""): Decimal("0.00")}
    >>> worst_bend(kink, Supports(Decimal(0), Decimal(1500))).measured[0].value
    Decimal('1.029')
    """
    centres, unsaid = _centres(grid)
    directed = all(centre.turned for centre in centres)
    placed: dict[float, _Centre] = {}
    for centre in centres:
        place_mm = distance_mm(centre.station)
        if place_mm is None:
            unsaid.append(
                Sentence(
                    "{station} is no distance, so it takes no part in the local bend.",
                    {"station": _named(centre.station)},
                )
            )
        elif supports and not directed and supports.outside(place_mm):
            unsaid.append(
                Sentence(
                    "{station} lies outside the supports, so it takes no part in the local bend. Check it"
                    " and the support distance.",
                    {"station": _named(centre.station)},
                )
            )
        elif float(place_mm) in placed:
            raise Refusal(
                "Station {station} is given twice; give each station once.", station=_named(centre.station)
            )
        else:
            placed[float(place_mm)] = centre
    return _sharpest(placed, supports, directed, unsaid)


def _sharpest(
    placed: Mapping[float, _Centre], supports: Supports | None, directed: bool, unsaid: list[Sentence]
) -> Made:
    sections = [SectionCentre(z, float(c.bow_mm), c.high_deg if directed else 0.0) for z, c in placed.items()]
    if supports:
        unread = {float(supports.first_mm), float(supports.last_mm)} - set(placed)
        sections += [SectionCentre(z, 0.0, 0.0) for z in sorted(unread)]
    if not placed or len(sections) < 3:
        needs = Sentence("The local bend needs 3 stations known by distance; a support counts as one.")
        return Made((), (*unsaid, needs))
    bend = worst_local_bend(sections)
    before, after = bend.between_mm
    chord_mm = after - before
    shares = {
        bend.station_mm: 1.0,
        before: -(after - bend.station_mm) / chord_mm,
        after: -(bend.station_mm - before) / chord_mm,
    }
    direction = cmath.rect(1, math.radians(bend.high_deg))
    per_metre = 2 * straightness.MM_PER_M / chord_mm
    weights: dict[Cell, float] = {}
    for z, share in shares.items():
        if z in placed:
            weights |= placed[z].along(direction, per_metre * share)
    station = placed[bend.station_mm].station if bend.station_mm in placed else ""
    value = Decimal(str(bend.tir_mm_per_m)).quantize(BEND_STEP)
    return Made((Measured(value, station, weights),), tuple(unsaid))
