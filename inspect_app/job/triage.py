"""The short look before the long one: a few checks in the order that ends early when the cylinder is plainly scrap.

It may say stop or go on, never fit. Its readings are the checks' own and count later; it has no limits of its own.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from inspect_app.entries.job import Place
from inspect_app.job.assess import Assessment, PartResult
from inspect_app.job.findings import CheckResult, Disposition
from inspect_app.trade.form.grid import in_order


@dataclass(frozen=True, slots=True)
class Step:
    """One check of the short look: the places it takes, none for a look, how many that is and how many are done.

    A place left out with a reason counts as done: nobody comes back to it.
    """

    result: CheckResult
    places: tuple[Place, ...]
    wanted: int
    done: int

    @property
    def is_done(self) -> bool:
        """Whether the short look needs nothing more of it; a check left out with a reason is not waited for."""
        return self.done >= self.wanted or bool(self.result.skipped)


@dataclass(frozen=True, slots=True)
class Triage:
    """The short look as it stands: its steps, and the parts that end it here, none while it goes on."""

    steps: tuple[Step, ...]
    stops: tuple[PartResult, ...]

    @property
    def following(self) -> Step | None:
        """The next step to do; None when all are done or the look ended."""
        return None if self.stops else next((s for s in self.steps if not s.is_done), None)


def triage(assessment: Assessment) -> Triage:
    """The short look, out of what the checks say so far.

    It ends where a part is stopped, or where a part that cannot be exchanged on its own is beyond every rework.

    Args:
        assessment: the whole assessment.
    """
    results = [r for p in assessment.parts for r in p.checks if r.check.triage]
    steps = tuple(_step(r) for r in sorted(results, key=lambda r: r.check.triage))
    ends = (Disposition.REFER, Disposition.REPLACE)
    stops = tuple(
        p
        for p in assessment.parts
        if p.computed in ends and (p.part.body or p.computed is Disposition.REFER) and not p.decided
    )
    return Triage(steps, stops)


def _step(result: CheckResult) -> Step:
    places = places_first(result)
    if not places:
        return Step(result, (), result.expected, result.measured)
    done = sum(1 for p in result.places if p.place in places and (p.reading or p.skip))
    return Step(result, places, len(places), done)


def places_first(result: CheckResult) -> tuple[Place, ...]:
    """The places the short look takes: whole stations, spread over the part; a single one in its middle.

    Args:
        result: the check's result.
    """
    wanted = result.check.triage_places or len(result.places)
    stations = in_order(p.place.station for p in result.places)
    clocks = max(1, len(result.places) // max(1, len(stations)))
    taken = _spread(stations, -(-wanted // clocks))
    return tuple(p.place for p in result.places if p.place.station in taken)


def _spread(stations: Sequence[str], number: int) -> list[str]:
    last = len(stations) - 1
    if number >= len(stations):
        return list(stations)
    if number == 1:
        return [stations[last // 2]]
    return [stations[round(n * last / (number - 1))] for n in range(number)]
