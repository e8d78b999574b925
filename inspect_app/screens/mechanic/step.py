"""One step of a job: its cautions, what is recorded in it, what it lacks; started, stopped, closed, skipped here."""

from __future__ import annotations

from collections.abc import Callable

import flet as ft

from inspect_app.bench.releasing import certificate_pdf
from inspect_app.bench.scoping import hours_of
from inspect_app.bench.stepping import facts_of
from inspect_app.entries.job import Job
from inspect_app.entries.opening import Nameplate
from inspect_app.entries.stepping import StepDone
from inspect_app.entries.steps import CLOSED, OPENED, SKIPPED, STARTED, STOPPED
from inspect_app.entries.typed import Held
from inspect_app.job.means import means_told
from inspect_app.job.presets import step_presets
from inspect_app.job.step_figures import DO_NOT, SHOWN
from inspect_app.job.steps import (
    Facts,
    Stands,
    StepStands,
    changed_words,
    held_of,
    passed_over_words,
    steps_of,
)
from inspect_app.job.weighing import mass_of
from inspect_app.report.phrases import beside_words, hours_words
from inspect_app.screens.desk import Desk
from inspect_app.screens.mechanic.confirming import cautions_first, of_step
from inspect_app.screens.mechanic.job import state_words
from inspect_app.screens.mechanic.measure import units_tool
from inspect_app.screens.mechanic.recording import nameplate_of, records_of
from inspect_app.screens.mechanic.routes import job_route
from inspect_app.screens.mechanic.undoing import undo
from inspect_app.screens.pieces import controls
from inspect_app.screens.pieces.frame import frame
from inspect_app.screens.pieces.look import GAP
from inspect_app.screens.pieces.papers import Paper
from inspect_app.screens.pieces.texts import use_texts
from inspect_app.tables.steps import RELEASE, Step
from inspect_app.trade.measuring.amounts import Amount
from inspect_app.trade.measuring.refusal import Refusal

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
    passed_over, set_passed_over = ft.use_state(False)
    facts = facts_of(desk.bench, job)
    stands = next(s for s in steps_of(job.steps, facts.tables.steps) if s.step.id == step.id)
    held = Held() if stands.over else held_of(step.id, facts)
    body: list[ft.Control] = [controls.text(look, f"To record: {step.recorded}.", 17)]
    body += _how_it_stands(desk, job, stands)
    if asking:
        body.append(
            Reason(desk=desk, job=job, step=step, did=asking, held=held, leave=lambda: set_asking(""))
        )
    elif not (stands.over or passed_over) and (
        first := cautions_first(desk, job, step, lambda _: set_passed_over(True))
    ):
        body += [*_means(desk, facts, step), *_reckoned(desk, facts, step), *first]
    else:
        ways = (controls.button(look, t, lambda _, p=page: desk.go(f"{job_route(job)}/{p}"), key=t)
                for t, page in LEADS.get(step.id, ()))  # fmt: skip
        body += [
            *ways,
            *_papers(desk, stands, job),
            *_means(desk, facts, step),
            *_lacks(desk, held),
            *of_step(desk, job, step),
        ]
        body += [*nameplate_of(desk, job, step), *_reckoned(desk, facts, step), *records_of(desk, job, step)]
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


def _how_it_stands(desk: Desk, job: Job, stands: StepStands) -> list[ft.Control]:
    look = desk.standing.look
    passed_over = passed_over_words(stands, job)
    words = ", ".join(w for w in (changed_words(stands) or state_words(desk, stands), passed_over) if w)
    said: list[ft.Control] = [controls.text(look, words, 18, bold=True)] if words else []
    return [*said, *_hours(desk, job, stands)]


def _hours(desk: Desk, job: Job, stands: StepStands) -> list[ft.Control]:
    """The hours worked in it, beside those the scope's own lines have for it where they do."""
    if not stands.spent:
        return []
    beside = [h for h in hours_of(desk.bench, job, desk.standing.system) if stands.step.title in h.steps]
    told = [beside_words(h) for h in beside] or [f"{hours_words(stands.spent)} worked."]
    return [controls.text(desk.standing.look, words, 17) for words in told]


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
        cylinder = facts.tables.cylinders[job.as_found.cylinder]
        mass = Amount(mass_of(cylinder, job.as_found).total_kg, "mass").words("metric")
    except Refusal:
        return rows

    def take(_: object) -> None:
        desk.enter(job, job.as_found, Nameplate({"mass": mass}))

    return [*rows, controls.button(look, "Take the computed mass", desk.guard(take))]


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
        close = controls.button(
            look, title, desk.guard(lambda _: do(CLOSED)), strong=not held.refused, key="close"
        )
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
