"""Checks what operations name of the checklists and limits, and that what a limit calls its cure does cure it."""

from __future__ import annotations

from collections.abc import Collection, Mapping

from inspect_app.tables.cylinders import Check, Cylinder
from inspect_app.tables.faults import Reader, allowed_words
from inspect_app.tables.limits import Limit
from inspect_app.tables.operations import ALL, FILE, Operation, Operations


def check_operations(
    reader: Reader,
    cylinders: tuple[Cylinder, ...],
    operations: Operations,
    limits: tuple[Limit, ...],
    nameplate: Collection[str],
) -> None:
    """Note a fault for every part, check, characteristic or defect an operation names that is nowhere.

    And for a limit whose cure does not cure it by the operation's own words.

    Args:
        reader: where faults are noted.
        cylinders: the cylinders read.
        operations: the operations read.
        limits: the limits read.
        nameplate: ids of the nameplate's fields.
    """
    parts = {name for c in cylinders for p in c.parts for name in (p.id, p.repeats) if name}
    checks: dict[str, list[Check]] = {}
    for each in (check for c in cylinders for check in c.checks):
        checks.setdefault(each.id, []).append(each)
    for operation in (o for o in operations.by_id.values() if not o.repeats):
        where = f"operation {operation.id}"
        for key, names in (("parts", operation.parts), ("renews", operation.renews)):
            for part in names:
                if part not in parts:
                    reader.fault(FILE, f"{where}.{key}", allowed_words(part, parts))
        _check_cures(reader, operation, checks)
        _check_when(reader, operation, cylinders)
        _check_reach(reader, operation, limits)
    defects = {d.id for c in cylinders for d in c.defects}
    zones = {z for c in cylinders for z in c.zones}
    for nonsense in operations.nonsense:
        where = f"nonsense {nonsense.id}"
        named = (
            ("finding", nonsense.finding, defects),
            ("zone", nonsense.zone, zones),
            ("duty", nonsense.duty, nameplate),
        )
        for key, name, allowed in named:
            if name and name not in allowed:
                reader.fault(FILE, f"{where}.{key}", allowed_words(name, allowed))
    for limit in limits:
        if limit.cure and not limit.cure.does_cure(limit.check, limit.defect or limit.characteristic):
            of = limit.defect or limit.characteristic
            words = f"is {limit.cure.id}, which does not cure {of} of {limit.check}; add it to its cures."
            reader.fault(limit.file, f"{limit.id}.cure", words)


def _check_cures(reader: Reader, operation: Operation, checks: Mapping[str, list[Check]]) -> None:
    for check_id, names in operation.cures.items():
        where = f"operation {operation.id}.cures"
        if check_id not in checks:
            reader.fault(FILE, where, allowed_words(check_id, checks))
            continue
        found = (*(name for c in checks[check_id] for name in (*c.look, *c.characteristics)), ALL)
        for name in names:
            if name not in found:
                reader.fault(FILE, f"{where}.{check_id}", allowed_words(name, found))


def _check_when(reader: Reader, operation: Operation, cylinders: tuple[Cylinder, ...]) -> None:
    questions: dict[str, list[str]] = {}
    for question_asked in (q for c in cylinders for q in c.questions):
        questions.setdefault(question_asked.id, []).extend(question_asked.answers)
    for question, answers in operation.when.items():
        where = f"operation {operation.id}.when"
        if question not in questions:
            reader.fault(FILE, where, allowed_words(question, questions))
            continue
        for answer in answers:
            if answer not in questions[question]:
                reader.fault(FILE, f"{where}.{question}", allowed_words(answer, questions[question]))


def _check_reach(reader: Reader, operation: Operation, limits: tuple[Limit, ...]) -> None:
    written = {(x.check, x.characteristic) for x in limits if x.level == "rework"}
    for check, names in operation.reach.items():
        for name in names:
            if (check, name) not in written:
                words = f"no rework limit says how far {name} of {check} may go; write one, or take it out."
                reader.fault(FILE, f"operation {operation.id}.reach", words)
