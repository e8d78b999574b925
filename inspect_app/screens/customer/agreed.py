"""How a job stands with its customer, in sentences and as notices: agreed, changed since, asked."""

from __future__ import annotations

from datetime import datetime

import flet as ft

from inspect_app.bench.listing import AtTheCustomer
from inspect_app.bench.scoping import frozen_scope, standing
from inspect_app.entries.agreed import HOWS, CustomerAnswer, Version
from inspect_app.entries.job import Job
from inspect_app.job.progress import ago_words
from inspect_app.job.scope.covering import AnswerStanding, Stand
from inspect_app.report.phrases import when
from inspect_app.screens.customer.wording import SAID, long_day, time_words
from inspect_app.screens.desk import Desk
from inspect_app.screens.pieces import controls
from inspect_app.tables.faults import TableError

ROLES = {Stand.YES: "within", Stand.CHANGED: "beyond", Stand.REFUSED: "beyond"}
IN_A_LIST = {
    Stand.OPEN: "no answer yet",
    Stand.EXPIRED: "no answer, and the offer's date is past",
    Stand.YES: "yes",
    Stand.CHANGED: "yes, but it has changed since",
    Stand.REFUSED: "no",
}
NEW_YES = "It needs a new yes: show the new version."


def scope_route(job: Job, *what: str) -> str:
    """Where a job's scope is prepared, or something of it.

    Args:
        job: the job.
        what: "terms", "photos", "line" and its id, "shown" and a version's hash, "tell" and an answer's id.
    """
    return "/".join([f"/job/{job.id}/scope", *what])


def answer_words(answer: CustomerAnswer, version: Version) -> str:
    """An answer in one sentence: who, what, to which version, when, how, and who took it.

    Args:
        answer: the answer.
        version: the version it was given to.
    """
    scope = frozen_scope(version)
    amount = f", {scope.money(answer.total)} with tax" if answer.answer == "yes" else ""
    chosen = [line.title for line in scope.optional if answer.options.get(line.line)]
    with_these = f", with {', '.join(chosen)}" if chosen else ""
    may = f" (may order for {answer.role})" if answer.role else ""
    to = f" {answer.to}" if answer.to else ""
    said = f"{answer.name}{may}: {SAID[answer.answer]} to version {version.number}{amount}{with_these}"
    words = f" “{answer.words}”" if answer.words else ""
    taken = f", taken by {answer.by}" if answer.by else ", on their own phone"
    return f"{said}. {time_words(answer)}, {HOWS[answer.how]}{to}{taken}.{words}"


def standing_now(desk: Desk, job: Job) -> AnswerStanding | str:
    """How a job stands with its customer, or why the shop's rates cannot tell it; made anew with every call.

    Args:
        desk: the session.
        job: the job.
    """
    try:
        return standing(desk.bench, job, desk.standing.system)
    except TableError as fault:
        return str(fault)


def agreed_words(job: Job, stands: AnswerStanding | str) -> str:
    """How a job stands with its customer, for a row of a list.

    Args:
        job: the job.
        stands: its `standing_now`.
    """
    agreeing = job.agreeing
    if not agreeing.versions:
        return "what is proposed, with prices; the customer's yes"
    if isinstance(stands, str):
        return stands
    asked = f"{len(agreeing.asked)} to answer. " if agreeing.asked else ""
    return f"{asked}{stands.stand.value}"


def listed_words(customer: AtTheCustomer, now: datetime) -> str:
    """How a job stands with its customer, in a few words for the list of jobs.

    Args:
        customer: how it stands.
        now: the time.
    """
    if customer.fault:
        return customer.fault
    words = IN_A_LIST[customer.stand]
    if customer.shown_at:
        words = f"{words}, shown {ago_words(customer.shown_at, now)}"
    return f"customer: {'; '.join([*(['asks something'] if customer.asked else []), words])}"


def agreed_notices(desk: Desk, job: Job, stands: AnswerStanding | str, here: bool) -> list[ft.Control]:
    """What must be seen of it: questions that wait, and how the last version stands.

    Args:
        desk: the session.
        job: the job.
        stands: its `standing_now`.
        here: it is the scope's own screen; elsewhere each notice leads there, and what is well has none.
    """
    if not job.agreeing.versions:
        return []
    if isinstance(stands, str):
        return [controls.notice(desk.standing.look, stands)]
    notices = [_asked(desk, job, answer) for answer in job.agreeing.asked]
    if here or stands.stand in (Stand.CHANGED, Stand.REFUSED, Stand.YES):
        notices.append(_stands(desk, job, stands, here))
    return notices


def _asked(desk: Desk, job: Job, answer: CustomerAnswer) -> ft.Control:
    look = desk.standing.look
    asks = f"asks: {answer.words}" if answer.answer == "question" else "wants to be called."
    more = "".join(
        f" {text}" for text in (answer.to, answer.words if answer.answer == "call" else "") if text
    )
    tell = controls.button(
        look, "Say what they were told", lambda _: desk.go(scope_route(job, "tell", answer.id)), strong=True,
        key=f"tell {answer.id}",
    )  # fmt: skip
    return controls.notice(look, f"{answer.name} {asks}{more}", "accent", (tell,))


def _stands(desk: Desk, job: Job, stands: AnswerStanding, here: bool) -> ft.Control:
    look = desk.standing.look
    more: list[ft.Control] = [controls.text(look, change, 17) for change in stands.changes]
    if stands.changes:
        more.append(controls.text(look, NEW_YES, 17, bold=True))
    if stands.waiting and stands.answer:
        more.append(controls.text(look, f"Version {stands.waiting.number} is shown, not answered yet.", 17))
    if not here:
        more.append(controls.button(look, "To the scope", lambda _: desk.go(scope_route(job))))
    return controls.notice(look, stand_words(desk, stands), ROLES.get(stands.stand, "unclear"), more)


def stand_words(desk: Desk, stands: AnswerStanding) -> str:
    """How it stands, in a sentence.

    Args:
        desk: the session.
        stands: how it stands.
    """
    version, answer = stands.version, stands.answer
    if version is None:
        return "The customer was shown nothing yet."
    if answer:
        said = answer_words(answer, version)
        return {
            Stand.YES: f"Agreed, and it covers what will be done. {said}",
            Stand.CHANGED: f"The yes no longer covers what will be done. {said} Changed since:",
        }.get(stands.stand, f"Refused. {said}")
    shown = f"Version {version.number} was shown {when(version.at, desk.bench.zone_at(version.at))} by {version.by}"
    if stands.stand is Stand.EXPIRED:
        until = long_day(str(version.shown["valid_until"]))
        return f"{shown} and held until {until}. Give it a later date and show it again."
    since = " Since then it has changed:" if stands.changes else ""
    return f"{shown}. No answer yet.{since}"
