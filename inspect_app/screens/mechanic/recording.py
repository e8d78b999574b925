"""What is recorded in a step: fields of the nameplate, and its records, typed, chosen or photographed."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal

import flet as ft

from inspect_app.bench.stepping import photo_of
from inspect_app.entries.job import Job
from inspect_app.entries.opening import Nameplate
from inspect_app.entries.stepping import RecordNoted
from inspect_app.job.nameplate import fields_of, main_sizes
from inspect_app.job.steps import asked_of
from inspect_app.screens.desk import Desk
from inspect_app.screens.mechanic.nameplate import label_of
from inspect_app.screens.mechanic.photographs import Photos
from inspect_app.screens.pieces import controls
from inspect_app.tables.nameplate import TEXT, NameplateField
from inspect_app.tables.steps import CHOICE, MAIN_SIZES, PHOTO, Record, Step
from inspect_app.trade.measuring.readable import both_ways
from inspect_app.trade.measuring.units import KINDS

_MOST_LINES = 4
"""So many lines a line of words grows to while it is typed."""


@ft.component
def Kept(  # noqa: N802
    desk: Desk,
    label: str,
    stands: str,
    keep: Callable[[str], bool],
    hint: str = "",
    lines: int = 1,
    words: bool = False,
) -> ft.Control:
    """A line to type in that is kept when it is left; what cannot be taken stays in it. One of words grows."""
    refused, set_refused = ft.use_state("")

    def done(text: str) -> None:
        if text.strip() != stands:
            set_refused("" if keep(text) else text)

    return controls.field(
        desk.standing.look, label, refused or stands, desk.guard(done), hint=hint, lines=lines,
        most_lines=_MOST_LINES if words else 1,
    )  # fmt: skip


def nameplate_of(desk: Desk, job: Job, step: Step) -> list[ft.Control]:
    """The fields of the nameplate a step asks for.

    Args:
        desk: the session.
        job: the job.
        step: the step.
    """
    rows: list[ft.Control] = []
    for f in _asked(desk, job, step):
        typed = job.as_found.text(f.id)
        kept = Kept(
            desk=desk,
            label=label_of(f.title, f.kind, desk.standing.system),
            stands=typed,
            keep=lambda text, n=f.id: desk.enter(job, job.as_found, Nameplate({n: text})),
            hint=f.hint,
            lines=f.lines,
            words=f.kind == TEXT,
            key=f"nameplate {f.id}",
        )
        rows += [kept, *_both(desk, typed, job.as_found.length(f.id), f.kind)]
    return rows


def _both(desk: Desk, typed: str, value: Decimal | None, kind: str) -> list[ft.Control]:
    """What was typed, as a reader of the other system has it."""
    if not typed or value is None or kind not in KINDS:
        return []
    told = both_ways(typed, value, kind, desk.standing.system)
    return [controls.small(desk.standing.look, told)] if told else []


def _asked(desk: Desk, job: Job, step: Step) -> list[NameplateField]:
    """The fields a step names that this kind of cylinder has."""
    tables, found = desk.bench.tables_of(job), job.as_found
    cylinder = tables.cylinders[found.cylinder]
    offered = {f.id for f in fields_of(cylinder, found)}
    asked: list[NameplateField] = []
    for name in step.nameplate:
        if name == MAIN_SIZES:
            asked += main_sizes(cylinder, found)
        elif name in offered:
            asked.append(tables.nameplate[name])
    return asked


def records_of(desk: Desk, job: Job, step: Step) -> list[ft.Control]:
    """Every record of a step under the headings of its groups.

    Args:
        desk: the session.
        job: the job.
        step: the step.
    """
    look = desk.standing.look
    rows: list[ft.Control] = []
    asked = asked_of(step, job)
    for group in dict.fromkeys(r.group for r in asked):
        if group:
            rows.append(controls.heading(look, group))
        for record in (r for r in asked if r.group == group):
            rows += record_rows(desk, job, step, record)
    return rows


def record_rows(desk: Desk, job: Job, step: Step, record: Record) -> list[ft.Control]:
    """One record of a step, to be typed, chosen or photographed.

    Args:
        desk: the session.
        job: the job.
        step: the step.
        record: the record.
    """
    look, typed = desk.standing.look, job.steps.typed(step.id, record.id)

    def keep(text: str) -> bool:
        return desk.enter(job, job.as_found, RecordNoted(step.id, record.id, text))

    if record.kind == PHOTO:
        of = photo_of(step.id, record.id)
        photos = Photos(desk=desk, job=job, of=of, what=record.title, version=desk.standing.version, key=of)
        return [controls.text(look, record.title, 18, bold=True), photos]
    options = [
        controls.choice(
            look,
            words,
            typed == name,
            desk.guard(lambda _, n=name: keep(n)),
            key=f"{record.id} {name}",
            of=record.title,
        )
        for name, words in record.options.items()
    ]
    if record.kind == CHOICE:
        hint = [controls.small(look, record.hint)] if record.hint else []
        return [controls.text(look, record.title, 18, bold=True), *hint, *options]
    kind = record.kind if record.kind in KINDS else TEXT
    shown = "" if typed in record.options else typed
    label = label_of(record.title, kind, desk.standing.system)
    key = f"record {record.id}"
    kept = Kept(
        desk=desk, label=label, stands=shown, keep=keep, hint=record.hint, words=kind == TEXT, key=key
    )
    return [kept, *_both(desk, shown, job.steps.value(step.id, record.id), kind), *options]
