"""Spreads what names a kind of check over every check of that kind, so that a repeated part has it without copies.

A check is of the kind it says, and of its own name: what is written for the rod of one stage holds for those of
the others. Afterwards limits and operations name checks alone.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

from inspect_app.tables.cylinders import Check, Cylinder
from inspect_app.tables.faults import Reader, allowed_words
from inspect_app.tables.limits import Limit, SizeAfter
from inspect_app.tables.operations import Operations


def names_of(check: Check, checks: Mapping[str, Check]) -> tuple[str, ...]:
    """What a limit or an operation may call a check: its own name, its kind, and what that is a kind of.

    Args:
        check: the check.
        checks: every check by its id.
    """
    names = [check.id]
    while (last := checks.get(names[-1])) and last.of_kind and last.of_kind not in names:
        names.append(last.of_kind)
    return tuple(names)


def limits_by_check(limits: Iterable[Limit], cylinders: Iterable[Cylinder]) -> tuple[Limit, ...]:
    """A limit for each check it names, each with the id of its check behind its own.

    The size a mark is taken out of is the one on the same part, where that has one of the kind named.

    Args:
        limits: as the files have them.
        cylinders: the checklists.
    """
    checks = {c.id: c for cylinder in cylinders for c in cylinder.checks}
    spread = []
    for limit in limits:
        named = [c for c in checks.values() if limit.check in names_of(c, checks)]
        spread += [_on(limit, c, checks) for c in named] or [limit]
    return tuple(spread)


def _on(limit: Limit, check: Check, checks: Mapping[str, Check]) -> Limit:
    if isinstance(limit.rule, SizeAfter):
        of_part = [
            c.id for c in checks.values() if c.part == check.part and limit.rule.check in names_of(c, checks)
        ]
        limit = replace(limit, rule=replace(limit.rule, check=[*of_part, limit.rule.check][0]))
    if limit.check == check.id:
        return limit
    return replace(limit, id=f"{limit.id}-{check.id}", check=check.id)


def operations_by_check(operations: Operations, cylinders: Iterable[Cylinder]) -> Operations:
    """Operations that name each check they cure, or are held by, for itself.

    Args:
        operations: as the file has them.
        cylinders: the checklists.
    """
    checks = {c.id: c for cylinder in cylinders for c in cylinder.checks}

    def spread(by_name: Mapping[str, tuple[str, ...]]) -> dict[str, tuple[str, ...]]:
        found: dict[str, tuple[str, ...]] = {}
        for name, what in by_name.items():
            for check_id in [c.id for c in checks.values() if name in names_of(c, checks)] or [name]:
                found[check_id] = (*found.get(check_id, ()), *what)
        return found

    by_id = {
        key: replace(o, cures=spread(o.cures), reach=spread(o.reach)) for key, o in operations.by_id.items()
    }
    return replace(operations, by_id=by_id)


def check_kinds(reader: Reader, files: Mapping[str, Cylinder], written: Iterable[Limit]) -> None:
    """Note a fault for every kind of check that no limit is written for, and for limits that contradict each other.

    Args:
        reader: where faults are noted.
        files: the checklists by their file.
        written: the limits as the files have them.
    """
    as_written = tuple(written)
    named = {limit.check for limit in as_written}
    for file, cylinder in files.items():
        for check in cylinder.checks:
            if check.of_kind and check.of_kind not in named:
                reader.fault(file, f"check {check.id}.of_kind", allowed_words(check.of_kind, named))
    groups: dict[tuple[object, ...], list[Limit]] = {}
    for limit in limits_by_check(as_written, files.values()):
        key = (
            limit.owner,
            limit.check,
            limit.characteristic,
            limit.level,
            limit.defect,
            limit.zone,
            limit.only_felt,
        )
        for first in groups.setdefault(key, []):
            if _together(first, limit):
                words = f"judges check {limit.check} like {first.id} of {first.file}; keep one, or give each its when."
                reader.fault(limit.file, limit.id, words)
        groups[key].append(limit)


def _together(one: Limit, other: Limit) -> bool:
    """Whether both can hold on one cylinder."""
    return all(set(one.when[q]) & set(other.when[q]) for q in set(one.when) & set(other.when))
