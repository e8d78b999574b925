"""One step of a job: its cautions, what is recorded in it, what it lacks; started, stopped, closed, skipped here."""

from __future__ import annotations

from collections.abc import Callable

import flet as ft

from inspect_app.bench.releasing import certificate_pdf
from inspect_app.bench.stepping import facts_of, photo_of
from inspect_app.entries.deciding import CautionConfirmed
from inspect_app.entries.job import Job
from inspect_app.entries.opening import Nameplate
from inspect_app.entries.stepping import RecordNoted, StepDone
from inspect_app.entries.steps import CLOSED, OPENED, SKIPPED, STARTED, STOPPED
from inspect_app.entries.typed import Held
from inspect_app.job.means import means_told
from inspect_app.job.presets import step_presets
from inspect_app.job.step_figures import DO_NOT, SHOWN, mass_of
from inspect_app.job.steps import Facts, Stands, StepStands, changed_words, held_of, steps_of
from inspect_app.report.phrases import hours_words
from inspect_app.screens.desk import Desk
from inspect_app.screens.mechanic.job import state_words
from inspect_app.screens.mechanic.measure import units_tool
from inspect_app.screens.mechanic.nameplate import label_of
from inspect_app.screens.mechanic.photographs import Photos
from inspect_app.screens.mechanic.routes import job_route
from inspect_app.screens.mechanic.undoing import undo
from inspect_app.screens.pieces import controls
from inspect_app.screens.pieces.frame import frame
from inspect_app.screens.pieces.look import GAP
from inspect_app.screens.pieces.papers import Paper
from inspect_app.screens.pieces.texts import use_texts
from inspect_app.tables.steps import CHOICE, PHOTO, RELEASE, Record, Step
from inspect_app.trade.measuring.amounts import Amount
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.units import KINDS

LEADS = {
    "measure": (("To the parts", "parts"), ("What is there", "present")),
    "decide": (("Findings", "findings"),),
    "scope": (("Repair or replace", "paths"), ("Scope for the customer", "scope")),
    "seals": (("Seal list", "seals"),),
    "rework": (("The parts as left", "as-left/parts"),),
    "teardown": (("Seal list: what was there", "seals"),),
    "release": (("Report", "report"),),
    "reassembly": (("Torques", "torque"),),
    "pressure-test": (("Trials", "test"),),
}
"""Where the work of a step has screens of its own."""


@ft.component
def StepScreen(desk: Desk, job: Job, step: Step) -> ft.Control:  # noqa: N802
    look = desk.standing.look
    asking, set_asking = ft.use_state("")
    facts = facts_of(desk.bench, job)
    stands = next(s for s in steps_of(job.steps, facts.tables.steps) if s.step.id == step.id)
    held = Held() if stands.over else held_of(step.id, facts)
    body: list[ft.Control] = [controls.text(look, f"To record: {step.recorded}.", 17)]
    body += _how_it_stands(desk, stands)
    if asking:
        body.append(
            Reason(desk=desk, job=job, step=step, did=asking, held=held, leave=lambda: set_asking(""))
        )
    else:
        ways = (controls.button(look, t, lambda _, p=page: desk.go(f"{job_route(job)}/{p}"), key=t)
                for t, page in LEADS.get(step.id, ()))  # fmt: skip
        body += [
            *ways,
            *_papers(desk, stands, job),
            *_means(desk, facts, step),
            *_lacks(desk, held),
            *_cautions(desk, job, step),
        ]
        body += [*_nameplate(desk, job, step), *_reckoned(desk, facts, step), *_records(desk, job, step)]
    return frame(
        desk,
        step.title,
        body,
        under=job.name,
        back=job_route(job),
        tools=(
            units_tool(desk),
            controls.icon_button(look, ft.Icons.UNDO, "Undo", desk.guard(lambda _: undo(desk, job))),
        ),
        foot=() if asking else _foot(desk, job, stands, held, set_asking),
        panel=asking,
    )


def _how_it_stands(desk: Desk, stands: StepStands) -> list[ft.Control]:
    look = desk.standing.look
    spent = f"{hours_words(stands.spent)} worked" if stands.spent else ""
    words = " · ".join(w for w in (changed_words(stands) or state_words(desk, stands), spent) if w)
    return [controls.text(look, words, 18, bold=True)] if words else []


def _papers(desk: Desk, stands: StepStands, job: Job) -> list[ft.Control]:
    """The certificate, once the cylinder is let go."""
    if stands.step.id != RELEASE or stands.stands is not Stands.CLOSED:
        return []

    def make() -> bytes:
        return certificate_pdf(desk.bench, desk.bench.job(job.id), desk.standing.system)

    name = f"certificate-{job.id[:8]}.pdf"
    return [Paper(desk=desk, label="Make the certificate", name=name, make=make, entries=job.entries)]


def _means(desk: Desk, facts: Facts, step: Step) -> list[ft.Control]:
    """What exceeds the shop's means, before anybody finds out under load, and what they are set to."""
    look, system, shops = desk.standing.look, desk.standing.system, desk.bench.shop.means()
    told = means_told(step.id, facts, shops, desk.bench.today())
    presets = step_presets(step.id, facts, shops)
    return [
        *(controls.notice(look, s.words(system), "beyond") for s in told),
        *(controls.notice(look, s.words(system), "accent") for s in presets),
    ]


def _lacks(desk: Desk, held: Held) -> list[ft.Control]:
    look, system = desk.standing.look, desk.standing.system
    said: list[ft.Control] = []
    if held.refused:
        words = " ".join(s.words(system) for s in held.refused)
        said.append(controls.notice(look, f"Refused: {words}", "beyond"))
    if held.missing:
        words = "\n".join(s.words(system) for s in held.missing)
        said.append(controls.notice(look, f"Before it is closed\n{words}", "unclear"))
    return said


def _cautions(desk: Desk, job: Job, step: Step) -> list[ft.Control]:
    look = desk.standing.look
    every = [c for c in desk.bench.tables_of(job).cautions if c.id in step.cautions]

    def confirm(caution: str) -> None:
        if caution not in job.cautions:
            desk.enter(job, job.as_found, CautionConfirmed(caution))

    rows: list[ft.Control] = [controls.heading(look, "Cautions")] if every else []
    for caution in every:
        by = job.cautions.get(caution.id)
        rows.append(controls.text(look, caution.sentence, 18))
        if caution.reference:
            rows.append(controls.small(look, caution.reference))
        said = f"Confirmed by {by}" if by else "Read and understood"
        confirmed = desk.guard(lambda _, c=caution.id: confirm(c))
        rows.append(controls.choice(look, said, bool(by), confirmed, key=f"caution {caution.id}"))
    return rows


def _nameplate(desk: Desk, job: Job, step: Step) -> list[ft.Control]:
    fields = [desk.bench.tables_of(job).nameplate[name] for name in step.nameplate]
    return [
        Kept(
            desk=desk,
            label=label_of(f.title, f.kind, desk.standing.system),
            stands=job.as_found.text(f.id),
            keep=lambda text, n=f.id: desk.enter(job, job.as_found, Nameplate({n: text})),
            hint=f.hint,
            lines=f.lines,
            key=f"nameplate {f.id}",
        )
        for f in fields
    ]


@ft.component
def Kept(  # noqa: N802
    desk: Desk, label: str, stands: str, keep: Callable[[str], bool], hint: str = "", lines: int = 1
) -> ft.Control:
    """A line to type in that is kept when it is left; what cannot be taken stays in it beside its sentence."""
    refused, set_refused = ft.use_state("")

    def done(text: str) -> None:
        if text.strip() != stands:
            set_refused("" if keep(text) else text)

    return controls.field(
        desk.standing.look, label, refused or stands, desk.guard(done), hint=hint, lines=lines
    )


def _reckoned(desk: Desk, facts: Facts, step: Step) -> list[ft.Control]:
    """What is reckoned of what was recorded; the mass may be taken as it was computed."""
    look, job = desk.standing.look, facts.job
    said = [s.words(desk.standing.system) for name in step.shows for s in SHOWN[name](facts)]
    rows: list[ft.Control] = [
        controls.notice(look, words, "beyond" if words.startswith(DO_NOT) else "accent") for words in said
    ]
    if "mass" not in step.shows or job.as_found.length("mass"):
        return rows
    try:
        mass = Amount(mass_of(job.as_found).total_kg, "mass").words("metric")
    except Refusal:
        return rows

    def take(_: object) -> None:
        desk.enter(job, job.as_found, Nameplate({"mass": mass}))

    return [*rows, controls.button(look, "Take the computed mass", desk.guard(take))]


def _records(desk: Desk, job: Job, step: Step) -> list[ft.Control]:
    look = desk.standing.look
    rows: list[ft.Control] = []
    for group in dict.fromkeys(r.group for r in step.records):
        if group:
            rows.append(controls.heading(look, group))
        for record in (r for r in step.records if r.group == group):
            rows += record_rows(desk, job, step, record)
    return rows


def record_rows(desk: Desk, job: Job, step: Step, record: Record) -> list[ft.Control]:
    """One record of a step, to be typed, chosen or photographed."""
    look, typed = desk.standing.look, job.steps.typed(step.id, record.id)

    def keep(text: str) -> bool:
        return desk.enter(job, job.as_found, RecordNoted(step.id, record.id, text))

    if record.kind == PHOTO:
        of = photo_of(step.id, record.id)
        photos = Photos(desk=desk, job=job, of=of, what=record.title, version=desk.standing.version, key=of)
        return [controls.text(look, record.title, 18, bold=True), photos]
    options = [
        controls.choice(
            look, words, typed == name, desk.guard(lambda _, n=name: keep(n)), key=f"{record.id} {name}"
        )
        for name, words in record.options.items()
    ]
    if record.kind == CHOICE:
        hint = [controls.small(look, record.hint)] if record.hint else []
        return [controls.text(look, record.title, 18, bold=True), *hint, *options]
    kind = record.kind if record.kind in KINDS else "text"
    shown = "" if typed in record.options else typed
    label = label_of(record.title, kind, desk.standing.system)
    key = f"record {record.id}"
    return [Kept(desk=desk, label=label, stands=shown, keep=keep, hint=record.hint, key=key), *options]


def _foot(
    desk: Desk, job: Job, stands: StepStands, held: Held, ask: Callable[[str], None]
) -> list[ft.Control]:
    """Start or stop by one tap, skip or open again with a reason, and the strong one closes it."""
    look, step = desk.standing.look, stands.step

    def do(did: str) -> None:
        if desk.enter(job, job.as_found, StepDone(step.id, did)) and did == CLOSED:
            desk.go(job_route(job))

    if stands.over:
        return [controls.button(look, "Open it again", lambda _: ask(OPENED))]
    mine = desk.standing.initials in [r.by for r in stands.running]
    clock = (STOPPED, "Stop work") if mine else (STARTED, "Start work")
    row = [
        controls.button(look, clock[1], desk.guard(lambda _: do(clock[0])), expand=True, key="clock"),
        controls.button(look, "Skip it", lambda _: ask(SKIPPED), expand=True),
    ]
    title = f"Close: {step.title}"
    if held.refused or not held.missing:
        close = controls.button(look, title, desk.guard(lambda _: do(CLOSED)), strong=True, key="close")
    else:
        close = controls.button(look, "Close with something missing", lambda _: ask(CLOSED), key="close")
    return [ft.Row(row, spacing=GAP), close]


@ft.component
def Reason(  # noqa: N802
    desk: Desk, job: Job, step: Step, did: str, held: Held, leave: Callable[[], None]
) -> ft.Control:
    """Why a step is skipped, opened again, or closed with something missing."""
    look = desk.standing.look
    texts, _ = use_texts()
    words = {
        SKIPPED: ("Skip this step", "The report says that it was skipped, by whom and why."),
        OPENED: ("Open it again", "What was recorded stays."),
        CLOSED: ("Close it all the same", "The report says what was missing, by whom and why."),
    }
    title, says = words[did]

    def keep() -> None:
        if desk.enter(job, job.as_found, StepDone(step.id, did, texts["reason"])):
            leave()
            if did != OPENED:
                desk.go(job_route(job))

    lacks = _lacks(desk, held) if did == CLOSED else []
    return controls.form(
        [
            *lacks,
            controls.text(look, says, 17),
            texts.field(look, "reason", "Reason"),
            controls.button(look, title, desk.guard(lambda _: keep()), strong=True),
            controls.button(look, "Leave it", lambda _: leave()),
        ]
    )
