"""What was agreed to with the customer, and what was declined: the section of the report that repeats it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from inspect_app.entries.job import Job
from inspect_app.job.as_left import PartNow
from inspect_app.job.scope.fulfilled import NOT_YET, against_release, agreed_lines, last_yes
from inspect_app.paper.blocks import Block, Bullets, Cell, Column, Section, Table, Words
from inspect_app.report.phrases import zone_of
from inspect_app.report.scope_list import answer_words
from inspect_app.tables.operations import Operations

LINES = (Column("Agreed to", 80), Column("Before tax", 20, right=True))
NOBODY = "A scope was shown, and nobody has said yes or no to it."


def agreed_section(job: Job, now: Sequence[PartNow], rules: Operations) -> Section | None:
    """What was agreed to and declined, by whom and how, and what of it is not done; None before anything was shown.

    Args:
        job: the job.
        now: every part as found and as left.
        rules: the operations.
    """
    agreeing = job.agreeing
    if not agreeing.versions:
        return None
    blocks: list[Block] = []
    if agreeing.answers:
        told = (answer_words(answer, agreeing, zone_of(job)) for answer in agreeing.answers)
        blocks.append(Bullets(tuple(told)))
    else:
        blocks.append(Words(NOBODY))
    blocks += _lines(job)
    if open_ := against_release(agreeing, now, rules.by_id):
        blocks += [
            Words(NOT_YET, "strong"),
            Bullets(open_),
        ]
    return Section("Agreed with the customer", tuple(blocks))


def _lines(job: Job) -> Iterator[Block]:
    """What the last yes is to, line by line, and what was said no to or left out."""
    agreed = last_yes(job.agreeing)
    if agreed is None:
        return
    answer, scope = agreed
    done = agreed_lines(answer, scope)
    yield Table(LINES, tuple((Cell(x.title), Cell(scope.money(x.amount))) for x in done))
    yield Words(
        f"Together {scope.money(answer.net)}, tax {scope.money(answer.tax)}: {scope.money(answer.total)}."
    )
    declined = [(x.title, "the customer said no", x.if_not) for x in scope.lines if x not in done]
    declined += [(x.title, x.reason, x.if_not) for x in scope.dropped]
    if declined:
        yield Words("Declined or left out:", "strong")
        yield Bullets(tuple(f"{title}: {why}. {if_not}".rstrip() for title, why, if_not in declined))
