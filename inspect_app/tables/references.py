"""Holds every name in a checklist and in the limits against what is there: a slip of the hand is told, not lost."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from decimal import Decimal

from inspect_app.tables.cylinders import (
    Check,
    Cylinder,
    DefectKind,
    Groove,
    Measure,
    Part,
    Question,
)
from inspect_app.tables.faults import Reader, allowed_words
from inspect_app.tables.limits import (
    Answers,
    Fit,
    HousingTolerance,
    Limit,
    PerLength,
    SizeAfter,
    needs_nominal,
)
from inspect_app.tables.nameplate import check_field
from inspect_app.trade.form.fits import Iso286, limits_of_size
from inspect_app.trade.measuring.refusal import Refusal

PARTS_WITH_GROOVES = ("gland", "piston")
HOUSING_KINDS = ("rod", "piston", "wiper", "wear-ring", "static")
NEVER_ASKED = ("count", "felt")
"""Of a defect: that it is there counts one; a mark is felt (1) or not felt (0) by a fingernail."""

Named = Part | Question | Check | Measure | Groove | DefectKind


@dataclass(frozen=True, slots=True)
class Names:
    """What a checklist may name of other files: what can be made of readings, and materials."""

    characteristics: tuple[str, ...]
    materials: tuple[str, ...]


def check_cylinder(
    reader: Reader,
    cylinder: Cylinder,
    names: Names,
) -> None:
    """Note a fault for every name in a cylinder's checklist that nothing there has.

    Args:
        reader: where faults are noted.
        cylinder: what was read of it.
        names: what it may name of other files.
    """
    files = cylinder.files
    groups: Mapping[str, tuple[Named, ...]] = {
        "part": cylinder.parts,
        "question": cylinder.questions,
        "check": cylinder.checks,
        "measure": cylinder.measures,
        "groove": cylinder.grooves,
        "defect": cylinder.defects,
    }
    for kind, group in groups.items():
        ids = [x.id for x in group]
        for twice in sorted({i for i in ids if ids.count(i) > 1}):
            reader.fault(files[kind, twice], f"{kind} {twice}", "stands twice; rename one.")
    lengths = lengths_of(cylinder)
    for check in cylinder.checks:
        _check_check(reader, files["check", check.id], check, cylinder, names)
    for part in cylinder.parts:
        _check_material(reader, files["part", part.id], part, cylinder, names.materials)
        _check_answers(reader, files["part", part.id], f"part {part.id}.when", part.when, cylinder)
    for field in cylinder.fields.values():
        check_field(reader, files["field", field.id], field)
        _check_answers(reader, files["field", field.id], f"field {field.id}.when", field.when, cylinder)
    parts = {p.id for p in cylinder.parts}
    measures = {m.id for m in cylinder.measures}
    for question in cylinder.questions:
        file = files["question", question.id]
        _known(reader, file, f"question {question.id}.part", (question.part,), parts)
    for groove in cylinder.grooves:
        file, where = files["groove", groove.id], f"groove {groove.id}"
        _known(reader, file, f"{where}.cut_in", (groove.cut_in,), PARTS_WITH_GROOVES)
        _known(reader, file, f"{where}.housing", (groove.housing,), HOUSING_KINDS)
        sealed = {*lengths, *(c.id for c in cylinder.checks)}
        _known(reader, file, f"{where}.sealed", (groove.sealed,), sealed)
    for defect in cylinder.defects:
        where = f"defect {defect.id}.measures"
        _known(reader, files["defect", defect.id], where, defect.measures, measures)


def lengths_of(cylinder: Cylinder) -> tuple[str, ...]:
    """The lengths of a kind's nameplate.

    Args:
        cylinder: the kind.
    """
    return tuple(f.id for f in cylinder.fields.values() if f.kind == "length")


def _known(reader: Reader, file: str, where: str, names: tuple[str, ...], allowed: Collection[str]) -> None:
    for name in names:
        if name not in allowed:
            reader.fault(file, where, allowed_words(name, allowed))


def _check_check(reader: Reader, file: str, check: Check, cylinder: Cylinder, names: Names) -> None:
    def known(key: str, names: tuple[str, ...], allowed: Collection[str]) -> None:
        _known(reader, file, f"check {check.id}.{key}", tuple(n for n in names if n), allowed)

    known("part", (check.part,), {p.id for p in cylinder.parts})
    known("characteristics", check.characteristics, names.characteristics)
    known("look", check.look, {d.id for d in cylinder.defects})
    known("between", check.between or (), {c.id for c in cylinder.checks})
    known("groove", (check.groove,), {g.id for g in cylinder.grooves})
    known("nominal", (check.nominal,), {*lengths_of(cylinder), "ask"})
    known("stations.over", (check.stations.over,), lengths_of(cylinder))
    _check_answers(reader, file, f"check {check.id}.when", check.when, cylinder)
    _check_answers(reader, file, f"check {check.id}.when_any", check.when_any, cylinder)


def _check_material(
    reader: Reader, file: str, part: Part, cylinder: Cylinder, materials: Collection[str]
) -> None:
    """A part's material, or each answer to the question that tells it, must be one whose expansion is known."""
    _known(reader, file, f"part {part.id}.material", (part.material,), materials)
    if not part.material_from:
        return
    question = cylinder.question(part.material_from)
    ids = {q.id for q in cylinder.questions}
    _known(reader, file, f"part {part.id}.material_from", (part.material_from,), ids)
    answers = tuple(question.answers) if question else ()
    _known(reader, file, f"question {part.material_from}.answers", answers, materials)


def _check_answers(reader: Reader, file: str, where: str, when: Answers, cylinder: Cylinder) -> None:
    """Note a fault for every question or answer that the checklist does not have."""
    for question_id, answers in when.items():
        question = cylinder.question(question_id)
        if question is None:
            reader.fault(file, where, allowed_words(question_id, {q.id for q in cylinder.questions}))
            continue
        for answer in answers:
            if answer not in question.answers:
                reader.fault(file, f"{where}.{question_id}", allowed_words(answer, question.answers))


def check_limits(
    reader: Reader,
    cylinders: tuple[Cylinder, ...],
    limits: tuple[Limit, ...],
    iso286: Iso286,
) -> None:
    """Note a fault for every limit that judges nothing any cylinder has, or can never have numbers.

    A limit that several cylinders have the check of is right where it is right for one of them.

    Args:
        reader: where faults are noted.
        cylinders: the cylinders read.
        limits: the limits read.
        iso286: the tolerance classes a limit may name.
    """
    homes: dict[str, list[tuple[Check, Cylinder]]] = {}
    for cylinder in cylinders:
        for c in cylinder.checks:
            homes.setdefault(c.id, []).append((c, cylinder))
    for limit in limits:
        if limit.check in homes:
            tried = []
            for check, cylinder in homes[limit.check]:
                tried.append(Reader(reader.folder))
                _check_limit(tried[-1], limit, check, cylinder, iso286)
                if not tried[-1].faults:
                    break
            else:
                for fault in tried[0].faults:
                    reader.fault(fault.file, fault.key, fault.sentence)
        else:
            kinds = {c.of_kind for of in homes.values() for c, _ in of if c.of_kind}
            reader.fault(limit.file, f"{limit.id}.check", allowed_words(limit.check, {*homes, *kinds}))


def _check_limit(reader: Reader, limit: Limit, check: Check, cylinder: Cylinder, iso286: Iso286) -> None:
    def known(key: str, found: str, allowed: tuple[str, ...]) -> None:
        if found not in allowed:
            reader.fault(limit.file, f"{limit.id}.{key}", allowed_words(found, allowed))

    if isinstance(limit.rule, PerLength):
        known("rule.of", limit.rule.of, lengths_of(cylinder))
    if check.look:
        known("defect", limit.defect, check.look)
        defect = cylinder.defect(limit.defect)
        known("characteristic", limit.characteristic, (*(defect.measures if defect else ()), *NEVER_ASKED))
    else:
        known("defect", limit.defect, ("",))
        known("characteristic", limit.characteristic, check.characteristics)
    if limit.zone:
        known("zone", limit.zone, tuple(cylinder.zones_of(check)) if check.look else ("",))
    if isinstance(limit.rule, HousingTolerance) and not check.groove:
        reader.fault(limit.file, f"{limit.id}.rule", f"needs a groove; give check {check.id} one.")
    if isinstance(limit.rule, SizeAfter):
        known(
            "rule.size_after",
            limit.rule.check,
            tuple(c.id for c in cylinder.checks if "size" in c.characteristics),
        )
    _check_answers(reader, limit.file, f"{limit.id}.when", limit.when, cylinder)
    if needs_nominal(limit.rule) and not check.nominal:
        reader.fault(limit.file, f"{limit.id}.rule", f"needs a nominal size; give check {check.id} one.")
    if isinstance(limit.rule, Fit) and iso286.bands:
        try:
            limits_of_size(nominal_mm=A_SIZE, fit_class=limit.rule.fit_class, tables=iso286)
        except Refusal as refusal:
            reader.fault(limit.file, f"{limit.id}.rule", str(refusal))


A_SIZE = Decimal(50)
"""A size every class is tried on."""
