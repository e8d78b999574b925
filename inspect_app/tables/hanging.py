"""Which checks the judgement of a check hangs on: itself, what it lies between, its groove, the size its marks are
taken out of; and what those hang on in turn."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from inspect_app.tables.cylinders import Check, Cylinder
from inspect_app.tables.limits import Limit, SizeAfter


def hanging_on(cylinder: Cylinder, limits_of: Mapping[str, Iterable[Limit]]) -> dict[str, frozenset[str]]:
    """For each check of a checklist the ids of the checks its judgement hangs on, its own among them.

    Args:
        cylinder: the checklist.
        limits_of: the limits by check.
    """
    directly = {c.id: set(_directly(c, cylinder, limits_of)) for c in cylinder.checks}
    return {check: _all_of(check, directly) for check in directly}


def _directly(check: Check, cylinder: Cylinder, limits_of: Mapping[str, Iterable[Limit]]) -> Iterator[str]:
    yield from check.between or ()
    groove = cylinder.groove(check.groove) if check.groove else None
    if groove:
        yield groove.sealed
        yield from (c.id for c in cylinder.checks if c.groove == groove.id)
    yield from (x.rule.check for x in limits_of.get(check.id, ()) if isinstance(x.rule, SizeAfter))


def _all_of(check: str, directly: Mapping[str, Iterable[str]]) -> frozenset[str]:
    found, new = {check}, [check]
    while new:
        more = set(directly.get(new.pop(), ())) - found
        found |= more
        new += more
    return frozenset(found)
