"""The steps of a job from receiving to release, as checklists/steps.toml lists them: what each records and asks for."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal
from typing import Any

from inspect_app.tables.blocks import WordLists, block_from
from inspect_app.tables.cylinders import Cylinder
from inspect_app.tables.faults import Reader, allowed_words
from inspect_app.tables.sources import Source
from inspect_app.trade.measuring.units import KINDS

FILE = "steps.toml"
TEXT, CHOICE, PHOTO = OWN_KINDS = ("text", "choice", "photo")
"""What a record may hold beside a quantity."""

REWORK, REASSEMBLY, RELEASE = NAMED = ("rework", "reassembly", "release")
"""The steps that others look at by their ids, so that they have to be there."""

REQUIREMENTS = (
    "mass",
    "owner",
    "places",
    "decided",
    "fitted",
    "customer",
    "seals",
    "seals-answered",
    "approved",
    "rework",
    "fit",
    "stops",
    "steps",
    "tag",
    "test",
    "torque",
)
"""What may be asked for before a step is closed; `job/steps.py` reckons each."""

MAIN_SIZES = "main-sizes"
"""What stands in a step's nameplate for the main sizes of whatever kind of cylinder it is."""

SHOWN = ("history", "mass", "legs", "energy", "draw-force", "oil")
"""What a step may show that is reckoned of what was recorded; `job/step_figures.py` reckons each."""


@dataclass(frozen=True, slots=True)
class Record:
    """One thing a step records.

    `kind` is a kind of quantity, "text", "choice" or "photo". `options` are a choice's answers, id and what it is
    called; of a quantity the words that may stand instead of a number. A number lies between `at_least` and `at_most`
    (canonical unit). One that `needs` another is taken only while that one stands. `must`: the step is not closed
    without it. It is asked only where each question of `when` was answered so, and not on the checklists of `not_for`.
    """

    id: str
    title: str
    kind: str = TEXT
    group: str = ""
    hint: str = ""
    at_least: Decimal | None = None
    at_most: Decimal | None = None
    needs: str = ""
    must: bool = False
    source: str = ""
    options: Mapping[str, str] = field(default_factory=dict)
    when: WordLists = field(default_factory=dict)
    not_for: tuple[str, ...] = ()

    def is_asked(self, checklist: str, answers: Mapping[str, str]) -> bool:
        """Whether it is asked on a cylinder of this checklist, of which this was answered."""
        return checklist not in self.not_for and all(answers.get(q) in said for q, said in self.when.items())


@dataclass(frozen=True, slots=True)
class Step:
    """One step: what is recorded in it, and what must be there before it is closed.

    `before_closing` and `refused_while` are of REQUIREMENTS: the first may be overruled with a reason, the second not.
    `cautions` are confirmed one by one, and where `cautions_first` before anything else is shown; `nameplate` are its
    fields asked for here, MAIN_SIZES for those its kind of cylinder has; `shows` is of SHOWN. `does` are
    lines of the scope that no reading tells and that are done when it is closed.
    """

    id: str
    title: str
    recorded: str
    before_closing: tuple[str, ...] = ()
    refused_while: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    cautions_first: bool = False
    nameplate: tuple[str, ...] = ()
    shows: tuple[str, ...] = ()
    does: tuple[str, ...] = ()
    records: tuple[Record, ...] = ()

    def record(self, name: str) -> Record | None:
        """One of its records by id, None where there is none."""
        return next((r for r in self.records if r.id == name), None)


def load_steps(
    reader: Reader, sources: Mapping[str, Source], cautions: Collection[str], nameplate: Collection[str]
) -> Mapping[str, Step]:
    """The steps by id, in the order they are worked through.

    Args:
        reader: the checklists folder being read; faults are noted in it.
        sources: known sources.
        cautions: ids of the cautions.
        nameplate: ids of the nameplate's fields.
    """
    content = reader.toml(FILE)
    reader.known_keys(FILE, content, "step")
    found: dict[str, Step] = {}
    for n, block in enumerate(reader.blocks(FILE, content, "step"), 1):
        where = f"step {block.get('id') or n}"
        plain = {key: value for key, value in block.items() if key != "record"}
        step = block_from(reader, FILE, where, plain, Step)
        if step is None:
            continue
        if step.id in found:
            reader.fault(FILE, where, "stands twice; rename one.")
        named = (
            ("before_closing", step.before_closing, REQUIREMENTS),
            ("refused_while", step.refused_while, REQUIREMENTS),
            ("cautions", step.cautions, cautions),
            ("nameplate", step.nameplate, (*nameplate, MAIN_SIZES)),
            ("shows", step.shows, SHOWN),
        )
        for key, names, allowed in named:
            for name in names:
                if name not in allowed:
                    reader.fault(FILE, f"{where}.{key}", allowed_words(name, allowed))
        found[step.id] = replace(step, records=_records(reader, where, block, sources))
    for name in NAMED:
        if content and name not in found:
            reader.fault(FILE, f"step {name}", "is missing; the other steps look at it, so add it.")
    return found


def check_records(reader: Reader, steps: Mapping[str, Step], cylinders: Iterable[Cylinder]) -> None:
    """Note a fault for every answer a record hangs on that no checklist has, and every checklist there is not.

    Args:
        reader: the checklists folder being read.
        steps: the steps.
        cylinders: the checklists.
    """
    kinds = tuple(cylinders)
    answers: dict[str, set[str]] = {}
    for question in (q for c in kinds for q in c.questions):
        answers.setdefault(question.id, set()).update(question.answers)
    for step in steps.values():
        for record in step.records:
            where = f"step {step.id}, record {record.id}"
            for name in record.not_for:
                if name not in [c.id for c in kinds]:
                    reader.fault(FILE, f"{where}.not_for", allowed_words(name, [c.id for c in kinds]))
            for question_id, said in record.when.items():
                known = sorted(answers.get(question_id, answers))
                for name in said if question_id in answers else (question_id,):
                    if name not in known:
                        reader.fault(FILE, f"{where}.when", allowed_words(name, known))


def _records(
    reader: Reader, where: str, block: dict[str, Any], sources: Mapping[str, Source]
) -> tuple[Record, ...]:
    found: dict[str, Record] = {}
    for n, inner in enumerate(reader.blocks(FILE, block, "record"), 1):
        at = f"{where}, record {inner.get('id') or n}"
        options = inner.get("options", {})
        if not isinstance(options, dict) or not all(isinstance(v, str) and v for v in options.values()):
            reader.fault(FILE, f"{at}.options", f'found {options!r}; write {{ id = "what it is called" }}.')
            continue
        plain = {key: value for key, value in inner.items() if key != "options"}
        record = block_from(reader, FILE, at, plain, Record)
        if record is None:
            continue
        if record.id in found:
            reader.fault(FILE, at, "stands twice; rename one.")
        found[record.id] = record = replace(record, options=options)
        _check(reader, at, record, sources)
    for record in found.values():
        if record.needs and record.needs not in found:
            reader.fault(FILE, f"{where}, record {record.id}.needs", allowed_words(record.needs, list(found)))
    return tuple(found.values())


def _check(reader: Reader, at: str, record: Record, sources: Mapping[str, Source]) -> None:
    """What one record says against itself."""
    if record.kind not in (*OWN_KINDS, *KINDS):
        reader.fault(FILE, f"{at}.kind", allowed_words(record.kind, (*OWN_KINDS, *KINDS)))
    if record.kind == CHOICE and not record.options:
        reader.fault(FILE, f"{at}.options", "is missing; a choice needs its answers.")
    if record.kind in (TEXT, PHOTO) and record.options:
        reader.fault(FILE, f"{at}.options", f"belongs to no {record.kind}; remove it.")
    bounds = record.at_least, record.at_most
    if any(bounds) and record.kind not in KINDS:
        reader.fault(FILE, at, f"has bounds, but a {record.kind} has no number; remove them.")
    if record.at_least and record.at_most and record.at_least >= record.at_most:
        reader.fault(FILE, at, "has a lower bound above the upper one; exchange them.")
    if any(bounds) and record.source not in sources:
        reader.fault(FILE, f"{at}.source", allowed_words(record.source, sources))
    if record.source and not any(bounds):
        reader.fault(FILE, f"{at}.source", "says where bounds are from, and there are none; remove it.")
