"""Results that others measured: which check each belongs to, out of what the nameplate says of them, a line each."""

from __future__ import annotations

from collections.abc import Mapping

from inspect_app.entries.job import Survey
from inspect_app.tables.cylinders import Cylinder

FIELD = "outside_results"
"""The field of the nameplate: a line each, as "chrome thickness: Example Platers, certificate 77"."""


def outside_by_check(survey: Survey, cylinder: Cylinder) -> Mapping[str, str]:
    """By whom a check's results are, and under which number, where that was not this shop; by the check's id.

    A line names the check before its colon, as it is called or by its id. One that names none is said of the whole job.

    Args:
        survey: the state of the cylinder.
        cylinder: its checklist.
    """
    named = {word.casefold(): c.id for c in cylinder.checks for word in (c.title, c.id)}
    found = {}
    for line in survey.text(FIELD).replace(";", "\n").splitlines():
        check, colon, whose = line.partition(":")
        if colon and whose.strip() and (known := named.get(" ".join(check.split()).casefold())):
            found[known] = whose.strip().rstrip(".")
    return found


def outside_words(whose: str) -> str:
    """The mark at a result that others measured, "" at one of this shop.

    Args:
        whose: by whom, and under which number.
    """
    return f"From outside: {whose}" if whose else ""
