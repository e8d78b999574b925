"""What is tightened at reassembly, and what a computed torque rests on: checklists/assembling.toml."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal

from inspect_app.tables.blocks import WordLists, block_from
from inspect_app.tables.cylinders import Cylinder
from inspect_app.tables.faults import Reader, allowed_words
from inspect_app.tables.steps import REASSEMBLY, Step

FILE = "assembling.toml"
LUBRICANT = "lubricant"
"""The record of the step that says what is on the seals."""

PISTON, GLAND, ENDS, NO_PRESSURE = PARTED_BY = ("piston", "gland", "ends", "none")
"""What parts a joint: the rod side on the piston, whatever stands on the gland, pressure on the whole bore, nothing."""


@dataclass(frozen=True, slots=True)
class Joint:
    """One thing that is tightened; `parted_by` is of PARTED_BY.

    It must be on the cylinders of which an answer of `when` was given, and on those of a checklist named by `on`. Where
    there are several of the part `of_each` it is one of several itself (`repeats`), `at` by id and `called` in words.
    """

    id: str
    title: str
    parted_by: str
    several: bool = False
    when: WordLists = field(default_factory=dict)
    on: tuple[str, ...] = ()
    of_each: str = ""
    repeats: str = ""
    at: str = ""
    called: str = ""


@dataclass(frozen=True, slots=True)
class Computed:
    """What a computed torque rests on, as the head of the file says it."""

    share_percent: Decimal
    reading_percent: Decimal
    bolt_takes_least: Decimal
    bolt_takes_most: Decimal
    tie_rod_margin: Decimal
    passes: tuple[str, ...]
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Fitted:
    """What is wrong of what was fitted: answers of the step by record, and materials that a lubricant ruins."""

    wrong: WordLists
    lubricant_ruins: WordLists
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Twist:
    """The angle between the pins of both ends, °: its record, that of what the drawing allows, what holds without."""

    record: str
    allowed: str
    at_most: Decimal
    source: str


@dataclass(frozen=True, slots=True)
class Assembling:
    """Everything assembling.toml says."""

    computed: Computed
    fitted: Fitted
    twist: Twist
    joints: Mapping[str, Joint]


def load_assembling(reader: Reader, sources: Collection[str], steps: Mapping[str, Step]) -> Assembling | None:
    """The joints by id; None, with a fault noted, where the file cannot be used.

    Args:
        reader: the checklists folder being read; faults are noted in it.
        sources: keys of the known sources.
        steps: the steps of a job, for what reassembly records.
    """
    content = reader.toml(FILE)
    reader.known_keys(FILE, content, "computed", "fitted", "twist", "joint")
    joints: dict[str, Joint] = {}
    for n, block in enumerate(reader.blocks(FILE, content, "joint"), 1):
        where = f"joint {block.get('id') or n}"
        joint = block_from(reader, FILE, where, block, Joint)
        if joint is None:
            continue
        if joint.id in joints:
            reader.fault(FILE, where, "stands twice; rename one.")
        if joint.parted_by not in PARTED_BY:
            reader.fault(FILE, f"{where}.parted_by", allowed_words(joint.parted_by, PARTED_BY))
        joints[joint.id] = joint
    computed = (
        block_from(reader, FILE, "computed", content.get("computed", {}), Computed) if content else None
    )
    fitted = block_from(reader, FILE, "fitted", content.get("fitted", {}), Fitted) if content else None
    twist = block_from(reader, FILE, "twist", content.get("twist", {}), Twist) if content else None
    if computed is None or fitted is None or twist is None:
        return None
    _check_fitted(reader, fitted, steps)
    _check_twist(reader, twist, steps, sources)
    for where, keys in (("computed", computed.sources), ("fitted", fitted.sources)):
        for key in keys:
            if key not in sources:
                reader.fault(FILE, f"{where}.sources", allowed_words(key, sources))
    for text in computed.passes:
        if not text.isdigit() or not 0 < int(text) <= 100:
            reader.fault(FILE, "computed.passes", f"found {text!r}; write whole percent up to 100.")
    if not computed.bolt_takes_least <= computed.bolt_takes_most < 100:
        reader.fault(
            FILE, "computed", "bolt_takes_least is not below bolt_takes_most, or that not below 100."
        )
    return Assembling(computed, fitted, twist, joints)


def joints_on(
    assembling: Assembling, cylinder: Cylinder, answers: Mapping[str, str] | None = None
) -> dict[str, Joint]:
    """The joints of a cylinder by id, in the order they are tightened; of several glands each has its own.

    Args:
        assembling: what is tightened.
        cylinder: the checklist.
        answers: what was said of the cylinder, for how many there are; None for as many as there can be.
    """
    found: dict[str, Joint] = {}
    for joint in assembling.joints.values():
        every = [p for p in cylinder.parts if joint.of_each and p.repeats == joint.of_each]
        told = answers or {}
        there = [p for p in every if all(told.get(q, "") in allowed for q, allowed in p.when.items())]
        asked = {q for p in every for q in p.when}
        if answers is None or not asked <= told.keys():
            there = every
        for part in there:
            own = replace(
                joint,
                id=f"{part.at}-{joint.id}",
                title=f"{joint.title}, {part.called}",
                repeats=joint.id,
                at=part.at,
                called=part.called,
            )
            found[own.id] = own
        if not every:
            found[joint.id] = joint
    return found


def _check_fitted(reader: Reader, fitted: Fitted, steps: Mapping[str, Step]) -> None:
    """What it names that the step does not record."""
    step = steps.get(REASSEMBLY)
    options = {r.id: tuple(r.options) for r in step.records} if step else {}
    named = [*fitted.wrong.items(), (LUBRICANT, tuple(fitted.lubricant_ruins))]
    for record, answers in named:
        for answer in answers:
            if answer not in options.get(record, ()):
                reader.fault(FILE, f"fitted, {record}", allowed_words(answer, options.get(record, ())))


def _check_twist(reader: Reader, twist: Twist, steps: Mapping[str, Step], sources: Collection[str]) -> None:
    step = steps.get(REASSEMBLY)
    angles = [r.id for r in step.records if r.kind == "angle"] if step else []
    for key, name in (("record", twist.record), ("allowed", twist.allowed)):
        if name not in angles:
            reader.fault(FILE, f"twist.{key}", allowed_words(name, angles))
    if twist.source not in sources:
        reader.fault(FILE, "twist.source", allowed_words(twist.source, sources))


def check_joints(reader: Reader, assembling: Assembling | None, cylinders: Iterable[Cylinder]) -> None:
    """Note a fault for every answer a joint hangs on that no checklist has, and every checklist there is not.

    Args:
        reader: the checklists folder being read.
        assembling: what is tightened.
        cylinders: the checklists.
    """
    answers: dict[str, set[str]] = {}
    cylinders = tuple(cylinders)
    ids = [c.id for c in cylinders]
    for question in (q for c in cylinders for q in c.questions):
        answers.setdefault(question.id, set()).update(question.answers)
    parts = sorted({name for c in cylinders for p in c.parts for name in (p.id, p.repeats) if name})
    for joint in assembling.joints.values() if assembling else ():
        if joint.of_each and joint.of_each not in parts:
            reader.fault(FILE, f"joint {joint.id}.of_each", allowed_words(joint.of_each, parts))
        for name in joint.on:
            if name not in ids:
                reader.fault(FILE, f"joint {joint.id}.on", allowed_words(name, ids))
        for question_id, named in joint.when.items():
            known = answers.get(question_id, set())
            for answer in named:
                if answer not in known:
                    reader.fault(FILE, f"joint {joint.id}.when", allowed_words(answer, sorted(known)))
