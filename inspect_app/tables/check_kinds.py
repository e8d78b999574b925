"""Spreads what names a kind of check over every check of that kind, so that a repeated part has it without copies.

A check is of the kind it says, and of its own name: what is written for the rod of one stage holds for those of
the others. Afterwards limits and operations name checks alone.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

from inspect_app.tables.cylinders import Check, Cylinder
from inspect_app.tables.faults import Reader, allowed_words
from inspect_app.tables.limits import Limit, PerLength, SizeAfter
from inspect_app.tables.operations import ALL, Operations


def names_of(check: Check, checks: Mapping[str, Check]) -> tuple[str, ...]:
    """What a limit or an operation may call a check: its own name, what it repeats, its kind, and what that is one of.

    Args:
        check: the check.
        checks: every check by its id.
    """
    names, ahead = [check.id], [check.repeats, check.of_kind]
    while ahead:
        name = ahead.pop(0)
        if name and name not in names:
            names.append(name)
            ahead += [known.of_kind] if (known := checks.get(name)) else []
    return tuple(names)


def limits_by_check(limits: Iterable[Limit], cylinders: Iterable[Cylinder]) -> tuple[Limit, ...]:
    """A limit for each check it names, each with the id of its check behind its own.

    The size a mark is taken out of is the one on the same part, where that has one of the kind named.

    Args:
        limits: as the files have them.
        cylinders: the checklists.
    """
    every = tuple(cylinders)
    checks = {c.id: c for cylinder in every for c in cylinder.checks}
    beside = {c.id: cylinder for cylinder in reversed(every) for c in cylinder.checks}
    called = _called(checks)
    spread = []
    for limit in limits:
        named = (c for c in called.get(limit.check, ()) if limit.check == c.id or _has(c, limit))
        spread += [_on(limit, c, beside[c.id], checks) for c in named] or [limit]
    return tuple(spread)


def _called(checks: Mapping[str, Check]) -> dict[str, list[Check]]:
    """The checks that go by a name: their own, that of what they repeat, or of their kind."""
    found: dict[str, list[Check]] = {}
    for check in checks.values():
        for name in names_of(check, checks):
            found.setdefault(name, []).append(check)
    return found


def _has(check: Check, limit: Limit) -> bool:
    """Whether a check that is of a kind has what a limit of that kind is on: it may look for less, and elsewhere."""
    if limit.zone and check.zones and limit.zone not in check.zones:
        return False
    return limit.defect in check.look if limit.defect else limit.characteristic in check.characteristics


def _on(limit: Limit, check: Check, cylinder: Cylinder, checks: Mapping[str, Check]) -> Limit:
    if isinstance(limit.rule, SizeAfter):
        of_part = [c.id for c in cylinder.checks_of(check.part) if limit.rule.check in names_of(c, checks)]
        limit = replace(limit, rule=replace(limit.rule, check=[*of_part, limit.rule.check][0]))
    if isinstance(limit.rule, PerLength) and check.stations.over.endswith(f"-{limit.rule.of}"):
        # of several parts each is as long as it says itself
        limit = replace(limit, rule=replace(limit.rule, of=check.stations.over))
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
    called = _called(checks)

    def spread(by_name: Mapping[str, tuple[str, ...]]) -> dict[str, tuple[str, ...]]:
        found: dict[str, tuple[str, ...]] = {}
        for name, what in by_name.items():
            of_name = called.get(name, ())
            for check in of_name:
                has = (*check.look, *check.characteristics, ALL)
                mine = what if check.id == name else tuple(x for x in what if x in has)
                found[check.id] = (*found.get(check.id, ()), *mine)
            if not of_name:
                found[name] = (*found.get(name, ()), *what)
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
                where = cylinder.files.get(("check", check.id), file)
                reader.fault(
                    where, f"check {check.repeats or check.id}.of_kind", allowed_words(check.of_kind, named)
                )
    _check_same_ids(reader, files)
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


def _check_same_ids(reader: Reader, files: Mapping[str, Cylinder]) -> None:
    """Note a fault for a check that is of another kind on another cylinder: limits go by its id, whatever cylinder."""
    kinds: dict[str, tuple[str, ...]] = {}
    for file, cylinder in files.items():
        for check in cylinder.checks:
            kind = (check.of_kind, check.repeats, check.kind, check.groove and check.part)
            if kinds.setdefault(check.id, kind) != kind:
                words = "is of another kind than on another cylinder, and its limits go by its id; give it another id."
                reader.fault(file, f"check {check.id}", words)


def _together(one: Limit, other: Limit) -> bool:
    """Whether both can hold on one cylinder."""
    return all(set(one.when[q]) & set(other.when[q]) for q in set(one.when) & set(other.when))
