"""Where a check is measured on this cylinder: the checklist's stations laid out over its real lengths."""

from __future__ import annotations

import math
from decimal import Decimal

from inspect_app.job.job import WHOLE_CHECK, Job, Place
from inspect_app.tables.cylinders import Check, Stations


def stations_over(stations: Stations, length_mm: Decimal | None) -> tuple[str, ...]:
    """The stations along a part, in order from its datum at the gland end.

    Args:
        stations: the checklist's rule.
        length_mm: the length they are spread over, mm; None while it is not known.
    Returns: mm as text, or S1, S2 … while the length is not known; ("",) for a check without stations.
    Source: none

    >>> stations_over(Stations(over="stroke", least=3, every_mm=Decimal(500)), Decimal(1200))
    ('25', '408', '792', '1175')
    """
    if stations.names:
        return stations.names
    if not stations.over:
        return ("",)
    if length_mm is None or length_mm <= 2 * stations.inset_mm:
        return tuple(f"S{n}" for n in range(1, stations.least + 1))
    span = length_mm - 2 * stations.inset_mm
    steps = max(stations.least, math.ceil(span / stations.every_mm) + 1) - 1
    return tuple(str(round(stations.inset_mm + span * n / steps)) for n in range(steps + 1))


def places_of(check: Check, job: Job) -> tuple[Place, ...]:
    """Every place of a check, station by station, clock by clock.

    Once a check has a reading its places stand in the log and no longer follow the nameplate.

    Args:
        check: the check.
        job: the job, for its lengths and the places laid out by hand.
    Source: none
    """
    if check.id in job.places:
        return job.places[check.id]
    stations = stations_over(check.stations, job.length(check.stations.over))
    return tuple(Place(s, c) for s in stations for c in check.clocks or ("",))


def next_place(
    check: Check, job: Job, after: Place | None = None, elsewhere: frozenset[Place] = frozenset()
) -> Place | None:
    """The first place still without a reading or a skip, looking on from `after` and then from the start.

    Args:
        check: the check.
        job: the job.
        after: the place just measured.
        elsewhere: places somebody else is at; offered only when no other is left.
    Source: none
    """
    places = places_of(check, job)
    start = places.index(after) + 1 if after in places else 0
    readings = job.readings.get(check.id, {})
    around = (*places[start:], *places[:start])
    open_places = [p for p in around if p not in readings and (check.id, p) not in job.skips]
    return next((p for p in open_places if p not in elsewhere), open_places[0] if open_places else None)


def whole_skip(check: Check, job: Job) -> str | None:
    """Why the whole check was skipped, or None if it was not.

    Args:
        check: the check.
        job: the job.
    Source: none
    """
    skip = job.skips.get((check.id, WHOLE_CHECK))
    return skip.reason if skip else None
