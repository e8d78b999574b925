"""A check with every place done: what was made of it, each reading to take again, and where it is measured."""

from __future__ import annotations

from collections.abc import Callable

import flet as ft

from inspect_app.entries.job import Job, Place, Survey
from inspect_app.job.findings import CheckResult, PlaceResult
from inspect_app.job.words import finding_sentence, guard_words, place_words, value_words
from inspect_app.screens.desk import Desk
from inspect_app.screens.mechanic.parts import next_check, parts_to_do
from inspect_app.screens.mechanic.photographs import Photos
from inspect_app.screens.mechanic.routes import route_of
from inspect_app.screens.mechanic.standing import word_of_place
from inspect_app.screens.pieces import controls, marks
from inspect_app.tables.cylinders import Check
from inspect_app.trade.measuring.quantities import show_text


def summary(
    *,
    desk: Desk,
    job: Job,
    survey: Survey,
    check: Check,
    result: CheckResult,
    choose: Callable[[Place | None], None],
    open_panel: Callable[[str], None],
) -> list[ft.Control]:
    """A check with every place done: what was made of it, each reading to take again, and the next check."""
    look = desk.standing.look
    body = _findings(desk, result)
    following = next_check(parts_to_do(desk, job, survey), check.id)
    label = f"Next: {following.title}" if following else "To the report"
    route = route_of(job, survey, following) if following else f"/job/{job.id}/report"
    body.append(controls.button(look, label, lambda _: desk.go(route), strong=True, key="Next check"))
    body.append(controls.heading(look, "Readings: tap one to take it again"))
    body += [_reading_row(desk, check, p, lambda _, p=p.place: choose(p)) for p in result.places]
    what = check.title
    body.append(Photos(desk=desk, job=job, of=check.id, what=what, version=desk.standing.version))
    body.append(controls.button(look, "Limits and their sources", lambda _: open_panel("limit")))
    body.append(controls.button(look, "Places: choose or add one", lambda _: open_panel("places")))
    return body


def _findings(desk: Desk, result: CheckResult) -> list[ft.Control]:
    look, system = desk.standing.look, desk.standing.system
    body: list[ft.Control] = []
    if result.skipped:
        body.append(controls.notice(look, f"Left out: {result.skipped}.", "unmeasured"))
    for finding in result.findings:
        if finding.verdict is None:
            body.append(controls.text(look, finding_sentence(finding).words(system), 17))
            continue
        body.append(
            marks.verdict_line(look, finding.verdict, f"{finding.title} {value_words(finding, system)}")
        )
        body.append(controls.small(look, finding_sentence(finding).words(system)))
        reuse = finding.judgement("reuse")
        if reuse and reuse.decision:
            body.append(controls.small(look, guard_words(reuse.decision, finding.kind, system)))
    return body


def _reading_row(desk: Desk, check: Check, result: PlaceResult, retake: controls.Handler) -> ft.Control:
    look, system = desk.standing.look, desk.standing.system
    verdict, word = word_of_place(result)
    if result.reading:
        value = show_text(result.reading.value, kind=check.kind, system=system)
        under = word if result.reading.typed == value else f"{word} · typed {result.reading.typed}"
    else:
        value = "not measured"
        under = result.why
    return controls.row(
        look,
        place_words(result.place, check.stations.names, system) or check.title,
        under,
        leading=marks.mark(look, verdict),
        trailing=value,
        on_click=retake,
        key=f"reading {result.place.station} {result.place.clock}",
    )
