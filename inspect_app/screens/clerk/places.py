"""Where in the app a place of the seal list is worked on, and which seals of a job are told on other screens."""

from __future__ import annotations

from urllib.parse import quote, unquote

from inspect_app.entries.job import Job
from inspect_app.entries.seals import WHOLE_CYLINDER, Ordering, Where
from inspect_app.report.seal_standing import holding_words
from inspect_app.screens.desk import Desk
from inspect_app.trade.measuring.refusal import Refusal

WHOLE = "whole-cylinder"


def list_route(job: Job) -> str:
    """Where the seal list of a job is."""
    return f"/job/{job.id}/seals"


def place_route(job: Job, where: Where) -> str:
    """Where one of its places is worked on."""
    named = WHOLE if where == WHOLE_CYLINDER else "/".join(quote(part) for part in where)
    return f"{list_route(job)}/{named}"


def place_of(rest: list[str]) -> Where | None:
    """The place that the end of a route names, None for the list alone.

    >>> place_of(["cushion-seal", "rod%20end"]), place_of(["whole-cylinder"]), place_of([])
    (('cushion-seal', 'rod end'), ('', ''), None)
    """
    if rest == [WHOLE]:
        return WHOLE_CYLINDER
    return (unquote(rest[0]), unquote(rest[1])) if len(rest) == 2 else None


def held_words(desk: Desk, job: Job) -> str:
    """What of a job's seals the mechanic must know: questions to answer, what holds the reassembly; "" for nothing."""
    if job.ordering == Ordering():
        return ""
    try:
        every = desk.bench.seals(job)
    except Refusal:
        return ""
    asked = sum(not question.answer for question in job.ordering.questions.values())
    waits = sum(stands.waits for line in every for stands in line.orders)
    said = [f"{asked} to answer for the clerk." if asked else ""]
    said.append(f"{waits} offered otherwise, to accept or refuse." if waits else "")
    said.append(holding_words(every, desk.standing.system))
    return " ".join(words for words in said if words)
