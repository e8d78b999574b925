"""The parts on the bench: how far each is, what was found, and what to do next."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import flet as ft

from inspect_app.entries.job import AS_FOUND, AS_LEFT, AS_PLANNED, Job, Survey
from inspect_app.entries.measuring import NotFitted
from inspect_app.job.assess import Assessment, PartResult
from inspect_app.job.findings import CheckResult, Disposition, worst_disposition
from inspect_app.job.headline import WHOLE, stop_sentence
from inspect_app.job.nameplate import sizes_missing
from inspect_app.job.progress import done_of
from inspect_app.job.scope.covering import AnswerStanding
from inspect_app.job.triage import triage
from inspect_app.job.words import BECOMES, MARKS, disposition_words
from inspect_app.screens.clerk.places import held_words, list_route
from inspect_app.screens.customer.agreed import agreed_notices, agreed_words, standing_now
from inspect_app.screens.desk import Desk
from inspect_app.screens.mechanic.confirming import caution_words, to_confirm
from inspect_app.screens.mechanic.routes import home_of, job_route, parts_of, route_of
from inspect_app.screens.mechanic.standing import word_of_check
from inspect_app.screens.mechanic.states import later_states, which_state
from inspect_app.screens.mechanic.undoing import undo
from inspect_app.screens.pieces import controls, marks
from inspect_app.screens.pieces.frame import frame
from inspect_app.screens.pieces.look import GAP
from inspect_app.tables.cylinders import Check
from inspect_app.trade.measuring.wording import capital, counted, inside, listed

BEFORE_OPENING = "before opening"


def parts_to_do(desk: Desk, job: Job, survey: Survey) -> list[PartResult]:
    """The parts that are to be measured in a state of the cylinder: in a later one, those that are worked on."""
    parts = desk.bench.assess(job, survey.name).parts
    if survey.name == AS_FOUND:
        return list(parts)
    still = {p.part.id for p in desk.bench.parts_now(job) if p.as_found_still}
    return [p for p in parts if p.part.id not in still]


def next_check(parts: Iterable[PartResult], after: str = "") -> Check | None:
    """The next check that still has something to do, looking on from `after`; clearances follow by themselves."""
    results = [r for p in parts for r in p.checks if not r.check.between]
    ids = [r.check.id for r in results]
    start = ids.index(after) + 1 if after in ids else 0
    return next((r.check for r in (*results[start:], *results[:start]) if r.left), None)


def go_on(desk: Desk, job: Job, survey: Survey, check: Check) -> None:
    """Show the next check that has something to do, after `check`; the parts when none has."""
    now = desk.bench.job(job.id)
    following = next_check(parts_to_do(desk, now, now.survey(survey.name)), check.id)
    desk.go(route_of(job, survey, following) if following else parts_of(job, survey))


def progress_words(result: CheckResult) -> str:
    """How far a check is, in a few words."""
    if result.not_fitted:
        return result.skipped
    if result.skipped:
        return f"skipped: {result.skipped}"
    if result.check.look:
        found = f"{len(result.defects)} found" if result.defects else "nothing found"
        return (
            found if result.complete else ("not looked at yet" if not result.defects else f"{found}, go on")
        )
    if result.check.between:
        return "" if result.complete else "follows from two checks"
    return f"{result.measured} of {result.expected}"


def _check_row(desk: Desk, job: Job, survey: Survey, result: CheckResult) -> ft.Control:
    look = desk.standing.look
    verdict, word = word_of_check(result)
    under = progress_words(result)
    return controls.row(
        look,
        result.check.title,
        under,
        leading=marks.mark(look, verdict),
        on_click=None if result.check.between else (lambda _: desk.go(route_of(job, survey, result.check))),
        key=f"check {result.check.id}",
        said=f"{result.check.title}. {word}. {under}",
    )


def part_progress(part: PartResult) -> str:
    """How far a part is: done of all, and what comes of it once something is known."""
    done, every = done_of(part)
    if part.disposition is Disposition.OPEN:
        return f"{done} of {every}" if every else "What is there first"
    left = f" · {part.left} to do" if part.left else ""
    return f"{disposition_words(part)}{left}"


def _may_be_missing(desk: Desk, job: Job, survey: Survey, part: PartResult) -> list[ft.Control]:
    """What says of a part that need not be there that it is not, as long as nothing was entered of it."""
    checks = desk.bench.tables_of(job).cylinders[survey.cylinder].checks_of(part.part.id)
    met = part.disposition is Disposition.ABSENT or any(survey.met(c.id) for c in checks)
    if met or not part.part.optional:
        return []
    say = desk.guard(lambda _: desk.enter(job, survey, NotFitted(checks)))
    return [controls.button(desk.standing.look, "Not fitted", say, key=f"not fitted {part.part.id}")]


@ft.component
def Parts(desk: Desk, job: Job, survey: Survey) -> ft.Control:  # noqa: N802
    look = desk.standing.look
    assessment = desk.bench.assess(job, survey.name)
    to_do = parts_to_do(desk, job, survey)
    opened, set_opened = ft.use_state(next((p.part.id for p in to_do if p.left), ""))
    body = [*_stop(desk, assessment), *which_state(desk, job, survey)]
    agreed = standing_now(desk, job) if survey.name == AS_FOUND else ""  # a later state says nothing of it
    body += [*_to_do_first(desk, job, survey, agreed), *_asked_first(desk, job, survey, assessment)]
    for part in assessment.parts:
        is_open = part.part.id == opened
        toggle = "" if is_open else part.part.id
        progress = part_progress(part) if part in to_do else "as found"
        body.append(_part_row(desk, part, progress, is_open, lambda _, t=toggle: set_opened(t)))
        if is_open:
            rows = [*(_check_row(desk, job, survey, r) for r in part.checks)]
            rows += _may_be_missing(desk, job, survey, part)
            body.append(ft.Container(ft.Column(rows, spacing=0), padding=ft.Padding(18, 0, 0, 8)))
    body += [*_made_of_it(desk, job, survey, agreed), *later_states(desk, job, survey)]
    home = home_of(job, survey)
    return frame(
        desk,
        job.name,
        body,
        under=_under(assessment, to_do, survey),
        back=job_route(job) if survey.name == AS_FOUND else parts_of(job, job.as_found),
        tools=(
            controls.icon_button(
                look, ft.Icons.BADGE_OUTLINED, "Nameplate", lambda _: desk.go(f"{home}/nameplate")
            ),
            controls.icon_button(look, ft.Icons.UNDO, "Undo", desk.guard(lambda _: undo(desk, job))),
        ),
        foot=_ways_on(desk, job, survey, next_check(to_do)),
    )


def _stop(desk: Desk, assessment: Assessment) -> list[ft.Control]:
    """What stops the cylinder, before everything else."""
    stop = stop_sentence(assessment)
    return [controls.notice(desk.standing.look, stop, "beyond")] if stop else []


def _under(assessment: Assessment, to_do: Sequence[PartResult], survey: Survey) -> str:
    """What becomes of the cylinder and how much is to do; as left, of the parts that were worked on."""
    if survey.name == AS_PLANNED:
        return f"parts to mend: {len(to_do)}"
    as_left = BECOMES[worst_disposition(p.disposition for p in to_do)]
    whole = as_left if survey.name == AS_LEFT else WHOLE[assessment.whole]
    return f"{whole} · {sum(p.left for p in to_do)} to do"


def _to_do_first(desk: Desk, job: Job, survey: Survey, agreed: AnswerStanding | str) -> list[ft.Control]:
    """What stands before measuring: cautions not confirmed yet, and a nameplate without its main sizes."""
    look = desk.standing.look
    first: list[ft.Control] = []
    cautions = [c for c in desk.bench.tables_of(job).cautions if c.when == BEFORE_OPENING]
    unconfirmed = [c for c in cautions if c.id not in job.cautions]
    if unconfirmed:
        first.append(
            controls.notice(
                look,
                f"Make it safe first: {counted(len(unconfirmed), 'caution', 'cautions')} before opening the cylinder.",
                "beyond",
                (controls.button(look, "Read and confirm", lambda _: desk.go(f"/job/{job.id}/cautions")),),
            )
        )
    if survey.name == AS_FOUND and (held := held_words(desk, job)):
        to_seals = controls.button(look, "To the seals", lambda _: desk.go(list_route(job)))
        first.append(controls.notice(look, held, "unclear", (to_seals,)))
    if survey.name == AS_FOUND:
        first += agreed_notices(desk, job, agreed, here=False)
    if missing := sizes_missing(desk.bench.tables_of(job).cylinders[survey.cylinder], survey):
        first.append(
            controls.notice(
                look,
                f"Limits need {listed([inside(field.title) for field in missing])}. What is measured meanwhile is "
                "judged as soon as they are known.",
                "unclear",
                (controls.button(look, "Nameplate", lambda _: desk.go(f"{home_of(job, survey)}/nameplate")),),
            )
        )
    return first


def _asked_first(desk: Desk, job: Job, survey: Survey, assessment: Assessment) -> list[ft.Control]:
    """The rows that come before the parts: what is there, and the short look."""
    look = desk.standing.look
    questions = desk.bench.tables_of(job).cylinders[survey.cylinder].questions
    rows: list[ft.Control] = []
    if questions:
        left = sum(len(p.questions) for p in assessment.parts)
        rows.append(
            controls.row(
                look,
                "What is there",
                f"{left} of {len(questions)} to answer first" if left else "all answered",
                on_click=lambda _: desk.go(f"{home_of(job, survey)}/present"),
                key="What is there",
            )
        )
    short = triage(assessment)
    if short.steps and survey.name == AS_FOUND:  # whether to go on at all is asked once
        done = sum(s.is_done for s in short.steps)
        rows.append(
            controls.row(
                look,
                "Short look first",
                "stop here" if short.stops else f"{done} of {len(short.steps)} done",
                on_click=lambda _: desk.go(f"{home_of(job, survey)}/short-look"),
                key="Short look first",
            )
        )
    return rows


def _made_of_it(desk: Desk, job: Job, survey: Survey, agreed: AnswerStanding | str) -> list[ft.Control]:
    """What the clerk and the customer read of the cylinder as found; a later state has none of its own."""
    if survey.name != AS_FOUND:
        return []
    look = desk.standing.look
    pages = (
        ("Seal list", "what can be ordered, and what holds the rest back", "seals"),
        ("Repair or replace", "the ways, what each costs, and why others are refused", "paths"),
        ("Scope for the customer", agreed_words(job, agreed), "scope"),
    )
    return [
        controls.row(look, title, under, on_click=lambda _, p=page: desk.go(f"/job/{job.id}/{p}"), key=title)
        for title, under, page in pages
    ]


def _ways_on(desk: Desk, job: Job, survey: Survey, following: Check | None) -> list[ft.Control]:
    """The next check, and always the findings and the report."""
    look = desk.standing.look
    to_findings, to_report = f"{home_of(job, survey)}/findings", f"/job/{job.id}/report"
    ways: list[ft.Control] = []
    if following:
        ways.append(
            controls.button(
                look,
                f"Go on: {following.title}",
                lambda _: desk.go(route_of(job, survey, following)),
                strong=True,
                key="Go on",
            )
        )
    findings = controls.button(look, "Findings", lambda _: desk.go(to_findings), expand=True)
    report = controls.button(
        look, "Report", lambda _: desk.go(to_report), strong=following is None, expand=True
    )
    return [*ways, ft.Row([findings, report], spacing=GAP)]


def _part_row(
    desk: Desk, part: PartResult, progress: str, is_open: bool, on_click: controls.Handler
) -> ft.Control:
    look = desk.standing.look
    icon = ft.Icons.EXPAND_LESS if is_open else ft.Icons.EXPAND_MORE
    title = [controls.text(look, part.part.title, 20, bold=True)]
    if part.disposition is Disposition.OPEN:
        at_right: ft.Control = controls.text(look, progress, 17)
    else:
        title.append(controls.text(look, progress, 17))
        at_right = marks.mark(look, MARKS[part.disposition], look.size(26))
    return ft.Semantics(
        label=f"{part.part.title}. {progress}",
        button=True,
        expanded=is_open,
        container=True,
        exclude_semantics=True,
        identifier=f"part {part.part.id}",
        on_tap=on_click,
        key=f"part {part.part.id}",
        content=ft.Container(
            ft.Row(
                [
                    ft.Icon(icon, color=look.accent, size=30),
                    ft.Container(width=0, height=52),
                    ft.Column(title, spacing=0, tight=True, expand=True),
                    at_right,
                ],
                spacing=10,
                vertical_alignment=ft.CrossAxisAlignment.CENTER,
            ),
            padding=ft.Padding(4, 6, 8, 6),
            border=ft.Border(bottom=ft.BorderSide(look.weight, look.rule)),
            on_click=on_click,
            ink=True,
        ),
    )


@ft.component
def Cautions(desk: Desk, job: Job) -> ft.Control:  # noqa: N802
    look = desk.standing.look
    cautions = desk.bench.tables_of(job).cautions

    body: list[ft.Control] = []
    for when in dict.fromkeys(c.when for c in cautions):
        body.append(controls.heading(look, capital(when)))
        of_it = [c for c in cautions if c.when == when]
        if when == BEFORE_OPENING:
            body += to_confirm(desk, job, of_it)
        else:
            body += [words for c in of_it for words in caution_words(desk, c)]
    return frame(desk, "Cautions", body, under=job.name, back=parts_of(job, job.as_found))
