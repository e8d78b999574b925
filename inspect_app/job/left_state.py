"""The cylinder as left as it is judged: of a clearance, the part nobody worked on keeps its readings as found.

A part counts as worked on when anything was said of it as left, when it was not fit as found, and when the customer
agreed to work on it: then only what is measured again says anything.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from inspect_app.entries.job import AS_LEFT, Job, Survey
from inspect_app.job.as_left import checks_said
from inspect_app.job.assess import FIT, Assessment
from inspect_app.job.scope.fulfilled import parts_agreed
from inspect_app.tables import Tables


def state_of(job: Job, survey: str, tables: Tables, assess: Callable[[Job], Assessment]) -> Survey:
    """A state of the cylinder as it is judged.

    Args:
        job: the job.
        survey: which state.
        tables: its tables.
        assess: judges the cylinder as found.
    """
    return left_state(job, tables, assess(job)) if survey == AS_LEFT else job.survey(survey)


def left_state(job: Job, tables: Tables, found: Assessment) -> Survey:
    """The state as left, with the readings as found of each mate that was not worked on.

    Args:
        job: the job.
        tables: its tables.
        found: how the cylinder as found was judged.
    """
    left, own = job.survey(AS_LEFT), job.surveys.get(AS_LEFT, Survey())
    cylinder, as_found = tables.cylinders[job.cylinder], job.as_found
    untouched = _untouched(job, tables, own, found)
    mates = set()
    for check in cylinder.checks:
        pair = [c for c in map(cylinder.check, check.between or ()) if c]
        read = [c for c in pair if own.readings.get(c.id)]
        mates |= {
            mate.id
            for mate in pair
            if len(read) == 1
            and mate not in read
            and mate.part in untouched
            and as_found.readings.get(mate.id)
        }
    if not mates:
        return left
    return replace(
        left,
        readings={**left.readings, **{m: as_found.readings[m] for m in mates}},
        places={**left.places, **{m: as_found.places[m] for m in mates if m in as_found.places}},
        as_found_of=frozenset(mates),
    )


def _untouched(job: Job, tables: Tables, own: Survey, found: Assessment) -> set[str]:
    """The parts that were fit, and of which nothing was said or agreed to since."""
    said, agreed = checks_said(own), parts_agreed(job.agreeing, tables.operations.by_id)
    return {
        p.part.id
        for p in found.parts
        if p.disposition in FIT
        and p.part.id not in own.decided
        and not {p.part.id, p.part.repeats} & agreed
        and not said & {c.check.id for c in p.checks}
    }
