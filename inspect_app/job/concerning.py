"""What of a cylinder one check is judged by, and whether that is still the same; its judgement sees nothing else."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import starmap
from operator import is_
from typing import Any

from inspect_app.entries.job import Survey
from inspect_app.entries.seals import SealsSaid
from inspect_app.tables import Tables
from inspect_app.tables.cylinders import Check

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


def is_same(one: Survey, other: Survey) -> bool:
    """Whether two surveys were made of the same entries; two that only look alike (10.0 and 10.00) are not the same.

    Args:
        one: a survey.
        other: another.
    """
    return (
        (one.name, one.cylinder, one.units, one.looked, one.as_found_of)
        == (other.name, other.cylinder, other.units, other.looked, other.as_found_of)
        and all(starmap(_same_values, zip(_said(one), _said(other), strict=True)))
        and all(
            len(ours) == len(theirs) and all(map(is_, ours, theirs))
            for ours, theirs in ((one.limits, other.limits), (one.defects, other.defects))
        )
    )


def _said(survey: Survey) -> tuple[Mapping[Any, object], ...]:
    return (
        survey.nameplate,
        survey.answers,
        survey.nominals,
        survey.gauges,
        survey.places,
        survey.readings,
        survey.skips,
    )


def _same_values(ours: Mapping[Any, object], theirs: Mapping[Any, object]) -> bool:
    return ours is theirs or (
        ours.keys() == theirs.keys() and all(value is theirs[key] for key, value in ours.items())
    )
