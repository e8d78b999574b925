"""Whether a reading is asked about before it is entered: against its nominal, its neighbours and its supports; pure."""

from __future__ import annotations

from decimal import Decimal
from itertools import islice

from inspect_app.entries.job import Place, Reading, Survey
from inspect_app.job.judge import nominal_of
from inspect_app.job.places import outside_supports, span_of
from inspect_app.job.words import outside_supports_words
from inspect_app.tables.cylinders import Check
from inspect_app.trade.measuring.plausible import Doubt, doubt

NEIGHBOURS = 12
"""How many earlier readings of a check an unlikely one is compared with."""

KINDS_ALIKE = ("thickness", "hardness")
"""Kinds that are alike all over a part although no nominal size says so."""


def holds_size(check: Check) -> bool:
    """Whether a check measures one size at all its places, known or not: then its readings are alike.

    A bend, wear or rust makes places differ where none is held.

    Args:
        check: the check.
    """
    return bool(check.nominal) or (check.alike and "size" in check.characteristics)


def neighbours_of(survey: Survey, check: Check, place: Place) -> list[Reading]:
    """The readings at other places that one here is compared with, the latest first; none where places differ.

    Args:
        survey: the state of the cylinder.
        check: the check.
        place: where it is read.
    """
    alike = holds_size(check) or check.kind in KINDS_ALIKE
    taken = list(survey.readings.get(check.id, {}).values()) if alike else []
    return list(islice((r for r in reversed(taken) if r.place != place), NEIGHBOURS))


def reading_doubt(survey: Survey, check: Check, place: Place, value: Decimal, system: str) -> Doubt | None:
    """The question about a reading that is unlikely, None where there is nothing to ask.

    Args:
        survey: the state of the cylinder.
        check: the check.
        place: where it was read.
        value: the reading, canonical unit.
        system: "metric" or "inch", the units of the question.
    """
    question = doubt(
        value,
        nominal=nominal_of(check, survey),
        tolerance_span_mm=None,
        neighbours=[r.value for r in neighbours_of(survey, check, place)],
        kind=check.kind,
        system=system,
    )
    span = span_of(check, survey)
    if question is None and span is not None and outside_supports(check, place, survey):
        question = Doubt(outside_supports_words(place, span, system), None, "outside the supports")
    return question
