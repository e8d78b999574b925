"""The short look: a few checks in order, and whether to stop or to go on; never that a part is fit."""

from __future__ import annotations

import flet as ft

from inspect_app.entries.job import Job, Survey
from inspect_app.job.findings import check_verdict
from inspect_app.job.headline import triage_sentence
from inspect_app.job.triage import Step, Triage, triage
from inspect_app.job.words import station_words
from inspect_app.screens.desk import Desk
from inspect_app.screens.mechanic.routes import home_of, parts_of, route_of
from inspect_app.screens.pieces import controls, marks
from inspect_app.screens.pieces.frame import frame


@ft.component
def ShortLook(desk: Desk, job: Job, survey: Survey) -> ft.Control:  # noqa: N802
    look = desk.standing.look
    short = triage(desk.bench.assess(job, survey.name))
    body: list[ft.Control] = [
        controls.notice(look, triage_sentence(short), "beyond" if short.stops else "unclear"),
        *(_row(desk, job, survey, step) for step in short.steps),
    ]
    return frame(
        desk,
        "Short look first",
        body,
        under=f"{sum(s.is_done for s in short.steps)} of {len(short.steps)} done",
        back=parts_of(job, survey),
        foot=_ways_on(desk, job, survey, short),
    )


def _row(desk: Desk, job: Job, survey: Survey, step: Step) -> ft.Control:
    check = step.result.check
    under = f"skipped: {step.result.skipped}" if step.result.skipped else _progress(desk, step)
    return controls.row(
        desk.standing.look,
        check.title,
        under,
        leading=marks.mark(desk.standing.look, check_verdict(step.result)),
        on_click=lambda _: _begin(desk, job, survey, step),
        key=f"short {check.id}",
        said=f"{check.title}. {under}",
    )


def _begin(desk: Desk, job: Job, survey: Survey, step: Step) -> None:
    """Go to a step; where it is measured, its own places are lit first."""
    check = step.result.check
    if step.places:
        desk.entering.lead(job, survey, check, step.places)
    desk.go(route_of(job, survey, check))


def _progress(desk: Desk, step: Step) -> str:
    """How much of it is done, and at which stations where it takes only some of them."""
    stations = [s for s in dict.fromkeys(p.station for p in step.places) if s]
    if len(step.places) == len(step.result.places) or not stations:
        return f"{step.done} of {step.wanted}"
    at = ", ".join(station_words(s, step.result.check.stations.names, desk.standing.system) for s in stations)
    return f"{step.done} of {step.wanted}, at {at}"


def _ways_on(desk: Desk, job: Job, survey: Survey, short: Triage) -> list[ft.Control]:
    look, following = desk.standing.look, short.following
    if following:
        return [
            controls.button(
                look,
                f"Go on: {following.result.check.title}",
                lambda _: _begin(desk, job, survey, following),
                strong=True,
                key="Go on",
            )
        ]
    home = home_of(job, survey)
    to = f"{home}/findings" if short.stops else parts_of(job, survey)
    title = "Findings" if short.stops else "Measure on"
    return [controls.button(look, title, lambda _: desk.go(to), strong=True)]
