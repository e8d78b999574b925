"""Where a check is measured on this cylinder: the checklist's places laid out over its real lengths.

A person may lay them out otherwise. What the checklist asks for and the layout leaves uncovered is still asked:
three readings at one end say nothing of the rest of a bore, and axes at two clocks can miss an oval.
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from decimal import Decimal
from itertools import pairwise

from inspect_app.entries.job import WHOLE_CHECK, Place, Survey
from inspect_app.tables.cylinders import Check, Stations
from inspect_app.trade.form.grid import distance_mm

WIDER = 1.25
"""A gap between clocks may be this much wider than the checklist's, so that 4 o'clock stands in for 4:30."""

HALF_TURN, WHOLE_TURN = 6.0, 12.0
"""Hours after which a diameter, and anything else, is the same again."""


MARKS_MM = {
    "inch": (Decimal("25.4"), Decimal("12.7"), Decimal("6.35"), Decimal("3.175")), "metric": (Decimal(5),),
}  # fmt: skip
"""What stations fall on as they are found on a rule: whole inches, else halves, quarters, eighths; every 5 mm."""

STATIONS_FIRST, CLOCKS_FIRST = "stations", "clocks"
"""The orders of measuring: a station with all its clocks, then the next; along one clock, then back along the next."""


def stations_over(stations: Stations, length_mm: Decimal | None, units: str = "metric") -> tuple[str, ...]:
    """The stations along a part, in order from its datum at the gland end, at marks of a rule in the job's units.

    They fall on such marks as far as the checklist's rule still holds there: as many, no farther apart, and the
    outer ones not half as far again from the ends, nor half as near.

    Args:
        stations: the checklist's rule.
        length_mm: the length they are spread over, mm; None while it is not known.
        units: "metric" or "inch", the units of the job.
    Returns: mm as text, or S1, S2 … while the length is not known; ("",) for a check without stations.

    >>> stations_over(Stations(over="stroke", least=3, every_mm=Decimal(500)), Decimal(1200))
    ('25', '410', '790', '1175')
    >>> stations_over(Stations(over="stroke", least=3, every_mm=Decimal(500)), Decimal(1200), "inch")
    ('25.4', '406.4', '787.4', '1168.4')
    """
    if stations.names:
        return tuple(stations.names)
    if not stations.over:
        return ("",)
    if length_mm is None or length_mm <= 2 * stations.inset_mm:
        return tuple(f"S{n}" for n in range(1, stations.least + 1))
    span = length_mm - 2 * stations.inset_mm
    steps = max(stations.least, math.ceil(span / stations.every_mm) + 1) - 1
    asked = [stations.inset_mm + span * n / steps for n in range(steps + 1)]
    for mark in MARKS_MM.get(units, MARKS_MM["metric"]):
        marked = [round(mm / mark) * mark for mm in asked]
        ends = max(abs(marked[n] - asked[n]) for n in (0, -1))
        if ends <= stations.inset_mm / 2 and all(0 < b - a <= stations.every_mm for a, b in pairwise(marked)):
            return tuple(f"{mm.normalize():f}" for mm in marked)
    return tuple(str(round(mm)) for mm in asked)


def places_of(check: Check, survey: Survey) -> tuple[Place, ...]:
    """Every place of a check, station by station, clock by clock.

    Once a check has a reading its places stand in the log and no longer follow the nameplate; what they
    leave uncovered of the checklist's places is asked as well.

    Args:
        check: the check.
        survey: the state of the cylinder, for its lengths and the places laid out by hand.
    """
    asked = stations_over(check.stations, survey.length(check.stations.over), survey.units)
    laid = survey.places.get(check.id)
    if laid is None:
        return tuple(Place(s, c) for s in asked for c in check.clocks or ("",))
    stations = list(dict.fromkeys(p.station for p in laid))
    clocks = list(dict.fromkeys(p.clock for p in laid))
    every_station = (*stations, *_uncovered_stations(asked, stations))
    every_clock = (*clocks, *_uncovered_clocks(check, clocks))
    return tuple(Place(s, c) for s in every_station for c in every_clock)


def _uncovered_stations(asked: Sequence[str], laid: Sequence[str]) -> list[str]:
    """Of the stations the checklist asks for, those that no station of the layout stands in for.

    A station stands in for the one asked within half a step of it, and for one only. One named in words
    stands in for another word; laid out before the length was known (S1, S2 …), for any.
    """
    spread = [mm for station in asked if (mm := distance_mm(station)) is not None]
    reach = (spread[1] - spread[0]) / 2 if len(spread) > 1 else Decimal(0)
    free = [station for station in laid if station not in asked]
    uncovered = []
    for station in asked:
        if station in laid:
            continue
        mm = distance_mm(station)
        stand_in = next((s for s in free if _stands_in(s, mm, reach)), None)
        if stand_in is None:
            uncovered.append(station)
        else:
            free.remove(stand_in)
    return uncovered


def _stands_in(laid: str, asked_mm: Decimal | None, reach: Decimal) -> bool:
    mm = distance_mm(laid)
    if asked_mm is None:
        return True
    return abs(mm - asked_mm) <= reach if mm is not None else bool(re.fullmatch(r"S\d+", laid))


def _uncovered_clocks(check: Check, laid: Sequence[str]) -> list[str]:
    """The checklist's clocks that a layout lacks, where it leaves a wider gap round the part than they do."""
    if not check.clocks:
        return []
    turn = HALF_TURN if "ovality" in check.characteristics else WHOLE_TURN
    hours = [float(mm) for clock in laid if (mm := distance_mm(clock)) is not None]
    if hours and _widest_gap(hours, turn) <= WIDER * _widest_gap([float(c) for c in check.clocks], turn):
        return []
    return [c for c in check.clocks if c not in laid]


def _widest_gap(hours: Sequence[float], turn: float) -> float:
    round_it = sorted({h % turn for h in hours})
    return max(b - a for a, b in pairwise((*round_it, round_it[0] + turn)))


def walked(places: Sequence[Place], order: str) -> tuple[Place, ...]:
    """Places in the order somebody goes to them.

    Args:
        places: station by station, clock by clock.
        order: STATIONS_FIRST, or CLOCKS_FIRST: along the part at one clock, and back at the next.

    >>> grid = [Place(s, c) for s in ("25", "300") for c in ("12", "3")]
    >>> [f"{station} {clock}" for station, clock in walked(grid, CLOCKS_FIRST)]
    ['25 12', '300 12', '300 3', '25 3']
    """
    if order != CLOCKS_FIRST:
        return tuple(places)
    lines = [[p for p in places if p.clock == clock] for clock in dict.fromkeys(p.clock for p in places)]
    return tuple(p for n, line in enumerate(lines) for p in (reversed(line) if n % 2 else line))


def next_place(
    check: Check,
    survey: Survey,
    after: Place | None = None,
    elsewhere: frozenset[Place] = frozenset(),
    order: str = STATIONS_FIRST,
) -> Place | None:
    """The first place still without a reading or a skip, looking on from `after` and then from the start.

    Args:
        check: the check.
        survey: the state of the cylinder.
        after: the place just measured.
        elsewhere: places somebody else is at; offered only when no other is left.
        order: in which places are measured, as `walked`.
    """
    places = walked(places_of(check, survey), order)
    start = places.index(after) + 1 if after in places else 0
    readings = survey.readings.get(check.id, {})
    around = (*places[start:], *places[:start])
    open_places = [p for p in around if p not in readings and (check.id, p) not in survey.skips]
    return next((p for p in open_places if p not in elsewhere), open_places[0] if open_places else None)


def outside_supports(check: Check, place: Place, survey: Survey) -> bool:
    """Whether a station counted from the first support lies beyond the other one: on an overhang, or mistyped.

    Args:
        check: the check.
        place: where.
        survey: the state of the cylinder, for the distance between the supports.
    """
    span, station = span_of(check, survey), distance_mm(place.station)
    if not check.stations.over.endswith(SPAN) or span is None or station is None:
        return False
    return station > span


SPAN = "support_span"


def span_of(check: Check, survey: Survey) -> Decimal | None:
    """The distance between the supports a part is turned on for a check: its own where there are several parts, mm.

    Args:
        check: the check.
        survey: the state of the cylinder, for its nameplate.
    """
    return survey.length(check.stations.over if check.stations.over.endswith(SPAN) else SPAN)


def whole_skip(check: Check, survey: Survey) -> str | None:
    """Why the whole check was skipped, as the log has it; None if it was not.

    Args:
        check: the check.
        survey: the state of the cylinder.
    """
    skip = survey.skips.get((check.id, WHOLE_CHECK))
    return skip.reason if skip else None
