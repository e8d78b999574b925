"""Which report it is: the shop that issues it, its number, its issue, and what that replaces."""

from __future__ import annotations

from dataclasses import dataclass

from inspect_app.entries.job import Issued, Job
from inspect_app.report.phrases import day_of, zone_of

NOT_NAMED = "The shop has not entered its name"


@dataclass(frozen=True, slots=True)
class House:
    """The shop: name, address, and who authorises its reports; "" where not entered."""

    name: str = ""
    address: str = ""
    authorises: str = ""

    @property
    def lines(self) -> tuple[str, ...]:
        """Name and address as they stand at the head."""
        return (self.name or NOT_NAMED, *((self.address,) if self.address else ()))


NOBODY = House()


@dataclass(frozen=True, slots=True)
class Issue:
    """An issue of a report: its report's number, which it is (0 for a draft), its day, and the sentence on what it
    replaces."""

    number: str
    issue: int
    day: str
    replaces: str = ""

    @property
    def named(self) -> str:
        """Number and issue, as they stand on every page."""
        return f"{self.number}, issue {self.issue}" if self.issue else f"{self.number}, draft"

    @property
    def lines(self) -> tuple[str, ...]:
        """What stands at the head: which report, of which day, and what it replaces."""
        day = f"issued {self.day}" if self.issue else "a draft: not issued out of a logbook"
        return (f"Inspection report {self.named}", day, *((self.replaces,) if self.replaces else ()))


def number_of(job: Job) -> str:
    """The number of a job's report: the day it was opened and the end of its id, so that no two are alike.

    Args:
        job: the job.

    >>> number_of(Job("01f0-ab12cd", opened_at="2026-03-02T08:00:00.000Z"))
    '20260302-AB12CD'
    """
    day = day_of(job.opened_at, zone_of(job)).replace("-", "")
    return f"{day}-{''.join(c for c in job.id if c.isalnum())[-6:].upper()}"


def draft_of(job: Job) -> Issue:
    """A report that nobody issues.

    Args:
        job: the job.
    """
    return Issue(number_of(job), 0, "")


def issue_of(job: Job, head: str, at: str) -> Issue:
    """The issue that covers a log as it stands; one that was issued before keeps its number and its day.

    The same entries in other units or on other paper are the same issue.

    Args:
        job: the job, with the reports issued of it.
        head: digest of what it covers.
        at: when it is issued, UTC, if it was not before; "" for a draft, unless it was issued.
    """
    zone = zone_of(job)
    first: dict[str, Issued] = {}
    for made in job.reports:
        first.setdefault(made.head, made)
    heads = list(first)
    known = head in first
    if not known and not at:
        return draft_of(job)
    n = heads.index(head) if known else len(heads)
    before = first[heads[n - 1]] if n else None
    replaces = f"replaces issue {n} of {day_of(before.at, zone)}, which is void" if before else ""
    return Issue(number_of(job), n + 1, day_of(first[head].at if known else at, zone), replaces)
