"""What of a cylinder one check is judged by, and which checks entries were about."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import chain, takewhile
from operator import is_
from typing import TypeVar

from inspect_app.entries.job import Survey
from inspect_app.entries.seals import SealsSaid
from inspect_app.tables import Tables
from inspect_app.tables.cylinders import Check

K = TypeVar("K")
T = TypeVar("T")
NO_SEALS = SealsSaid()


def concerning(check: Check, survey: Survey, tables: Tables) -> Survey:
    """The survey without what was said of checks that this one does not hang on.

    Nameplate and answers stay, and the gauges it was read with. What was decided, replaced and said of the seals
    judges no check.

    Args:
        check: the check.
        survey: the state of the cylinder.
        tables: the tables.
    """
    ids = tables.hangs_on[survey.cylinder][check.id]
    readings = {c: survey.readings[c] for c in ids if c in survey.readings}
    defects = tuple(x for x in survey.defects if x.check in ids)
    used = {r.gauge for at in readings.values() for r in at.values()}
    used |= {size.gauge for x in defects for size in x.sizes.values()}
    return Survey(
        survey.name,
        survey.cylinder,
        survey.units,
        survey.nameplate,
        survey.answers,
        nominals={c: survey.nominals[c] for c in ids if c in survey.nominals},
        limits=tuple(x for x in survey.limits if x.check in ids),
        gauges={g: survey.gauges[g] for g in used if g in survey.gauges},
        places={c: survey.places[c] for c in ids if c in survey.places},
        readings=readings,
        skips={at: x for at, x in survey.skips.items() if at[0] in ids},
        defects=defects,
        looked=survey.looked & ids,
        seals=NO_SEALS,
        as_found_of=survey.as_found_of & ids,
    )


def changed_between(before: Survey, now: Survey) -> frozenset[str] | None:
    """The checks of which another thing is said than before, by id; None where what was said of the whole changed.

    What only looks alike (10.0 and 10.00) is not the same: the objects of the fold are compared, which one entry
    leaves as they were but for what it is about.

    Args:
        before: a state of the cylinder.
        now: the same state after some entries, or another.
    """
    if (before.name, before.cylinder, before.units) != (now.name, now.cylinder, now.units) or any(
        _differing(ours, theirs)
        for ours, theirs in ((before.nameplate, now.nameplate), (before.answers, now.answers))
    ):
        return None
    changed = set(before.looked ^ now.looked) | (before.as_found_of ^ now.as_found_of)
    changed |= _differing(before.nominals, now.nominals)
    changed |= _differing(before.places, now.places)
    changed |= _differing(before.readings, now.readings)
    changed |= {check for check, _ in _differing(before.skips, now.skips)}
    changed |= {limit.check for limit in _from_where_they_part(before.limits, now.limits)}
    changed |= {defect.check for defect in _from_where_they_part(before.defects, now.defects)}
    if gauges := _differing(before.gauges, now.gauges):
        changed |= {c for c, at in now.readings.items() if any(r.gauge in gauges for r in at.values())}
        changed |= {x.check for x in now.defects if any(size.gauge in gauges for size in x.sizes.values())}
    return frozenset(changed)


def _differing(before: Mapping[K, object], now: Mapping[K, object]) -> set[K]:
    if before is now:
        return set()
    return {key for key in before.keys() | now.keys() if before.get(key) is not now.get(key)}


def _from_where_they_part(before: Sequence[T], now: Sequence[T]) -> Iterator[T]:
    same = sum(1 for _ in takewhile(bool, map(is_, before, now)))
    return chain(before[same:], now[same:])
