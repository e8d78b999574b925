"""How a job stands in the few words of a list: what becomes of the cylinder so far, and how much of it is done."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from inspect_app.entries.job import Job
from inspect_app.job.assess import Assessment, PartResult, Whole
from inspect_app.job.findings import Disposition
from inspect_app.job.words import BECOMES
from inspect_app.trade.measuring.decision import Verdict
from inspect_app.trade.measuring.wording import counted, inside

WORK = (Disposition.REFER, Disposition.REPLACE, Disposition.REWORK)
"""What a part may come to that somebody has to act on, the gravest first."""


@dataclass(frozen=True, slots=True)
class Progress:
    """How a job stands: its sign and word, the parts with work so far, and places and looks done of all."""

    sign: Verdict | Disposition
    word: str
    parts: str
    done: int
    of: int
    left: int


def progress_of(assessment: Assessment) -> Progress:
    """What a list of jobs says of one.

    Args:
        assessment: what was made of its readings.
    """
    sign, word = _headline(assessment)
    told = [
        f"{inside(part.part.title)} {BECOMES[part.disposition]}"
        for disposition in WORK
        for part in assessment.parts
        if part.disposition is disposition
    ]
    counts = [done_of(part) for part in assessment.parts]
    done, of = (sum(numbers) for numbers in zip(*counts, strict=True)) if counts else (0, 0)
    return Progress(sign, word, ", ".join(told), done, of, assessment.left)


def done_of(part: PartResult) -> tuple[int, int]:
    """How many of a part's places and looks are done, of how many; what follows from others does not count.

    Args:
        part: the part's result.
    """
    checks = [c for c in part.checks if not c.check.between]
    return sum(c.measured for c in checks), sum(c.expected for c in checks)


def _headline(assessment: Assessment) -> tuple[Verdict | Disposition, str]:
    if assessment.stopped:
        return Disposition.REFER, "stop"
    if assessment.whole is Whole.REPLACE:
        return Disposition.REPLACE, "replace"
    if assessment.whole is Whole.OPEN:
        return Verdict.NOT_MEASURED, "not decided"
    return (Disposition.REWORK, "repair") if assessment.because else (Verdict.WITHIN, "new seals")


def ago_words(at: str, now: datetime) -> str:
    """How long ago something was entered, a date for what is long past.

    Args:
        at: when, UTC, ISO 8601.
        now: the time now.

    >>> from datetime import UTC
    >>> noon = datetime(2026, 3, 2, 12, tzinfo=UTC)
    >>> ago_words("2026-03-02T11:59:40.000Z", noon), ago_words("2026-03-02T09:30:00.000Z", noon)
    ('just now', '2 h ago')
    >>> ago_words("2026-02-20T12:00:00.000Z", noon), ago_words("2025-12-24T12:00:00.000Z", noon)
    ('10 days ago', '2025-12-24')
    """
    if not at:
        return ""
    gone = now - datetime.fromisoformat(at)
    if gone < timedelta(minutes=1):
        return "just now"
    if gone < timedelta(hours=1):
        return f"{gone // timedelta(minutes=1)} min ago"
    if gone < timedelta(days=1):
        return f"{gone // timedelta(hours=1)} h ago"
    if gone < timedelta(days=30):
        return f"{counted(gone.days, 'day', 'days')} ago"
    return at[:10]


def orders_seals(job: Job) -> bool:
    """Whether seals are ordered for a job: something was read or said of them, and the cylinder was not let go.

    Args:
        job: the job.
    """
    found = job.as_found
    return job.steps.let_go is None and bool(found.readings or found.nominals or found.seals.there)
