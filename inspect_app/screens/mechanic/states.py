"""From one state of the cylinder to another: which one a screen is in, the ways to the later ones, and back."""

from __future__ import annotations

import flet as ft

from inspect_app.entries.job import AS_FOUND, AS_LEFT, AS_PLANNED, Job, Survey
from inspect_app.job.as_left import now_sentence
from inspect_app.job.scope.fulfilled import NOT_YET, against_release
from inspect_app.screens.desk import Desk
from inspect_app.screens.mechanic.routes import parts_of
from inspect_app.screens.pieces import controls

HERE = {
    AS_PLANNED: "This is the cylinder as planned: the sizes it is to have. Nothing entered here changes what was "
    "found, or what is left.",
    AS_LEFT: "This is the cylinder as left: after the work. Measure again what was worked on; a part that was fit "
    "and is untouched stands as found. Nothing entered here changes what was found.",
}
LEADS_TO = {
    AS_LEFT: ("As left", "after the work: what was worked on, measured again"),
    AS_PLANNED: ("As planned", "before the work: the sizes it is to have"),
}


def which_state(desk: Desk, job: Job, survey: Survey) -> list[ft.Control]:
    """Of a later state which one this is, how it stands, what of the work agreed to is not done, and the way back."""
    if survey.name == AS_FOUND:
        return []
    look = desk.standing.look
    back = controls.button(look, "To the cylinder as found", lambda _: desk.go(parts_of(job, job.as_found)))
    said: list[ft.Control] = [controls.notice(look, HERE[survey.name], "accent", (back,))]
    if survey.name == AS_LEFT:
        now, rules = desk.bench.parts_now(job), desk.bench.tables_of(job).operations
        if AS_LEFT in job.surveys:
            said.append(controls.text(look, now_sentence(now), 20, bold=True))
        if waits := against_release(job.agreeing, now, rules.by_id):
            said.append(controls.notice(look, " ".join((NOT_YET, *waits)), "beyond"))
    return said


def later_states(desk: Desk, job: Job, survey: Survey) -> list[ft.Control]:
    """The ways to the states after as found, from there; nothing in a later one."""
    if survey.name != AS_FOUND:
        return []
    look = desk.standing.look
    return [
        controls.row(
            look, title, under, on_click=lambda _, n=name: desk.go(parts_of(job, job.survey(n))), key=title
        )
        for name, (title, under) in LEADS_TO.items()
    ]
