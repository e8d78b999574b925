"""Makes a job's report, keeps it, and tells which entries each report covers."""

from __future__ import annotations

import getpass
import hashlib
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import UTC
from pathlib import Path

from inspect_app import __version__
from inspect_app.bench.attaching import files_of
from inspect_app.bench.bench import Bench
from inspect_app.bench.shop import Shop
from inspect_app.bench.visits import history_told
from inspect_app.entries.entry import SHOP, Entry
from inspect_app.entries.issuing import issued
from inspect_app.entries.job import Issued, Job
from inspect_app.logbook.chains import Head, beyond
from inspect_app.logbook.durable import make_folder, write_file
from inspect_app.logbook.photos import for_paper
from inspect_app.logbook.store import not_saved
from inspect_app.report.issue import House
from inspect_app.report.phrases import when
from inspect_app.trade.measuring.wording import counted

NARROW = "narrow"
"""The pages of a report that is read on a phone."""


@dataclass(frozen=True, slots=True)
class Draft:
    """A report as it is said, and how far the log reached then; `drawn` takes its time, and asks nobody any more."""

    head: Head
    drawn: Callable[[], bytes]


def issue_report(bench: Bench, job: Job, by: str, system: str, page_size: str = "A4") -> Issued:
    """Make the report of a job, keep the file, and record that it was issued.

    The same entries, tables and units give the same bytes; nothing is recorded a second time then.

    Args:
        bench: the open data folder.
        job: the job.
        by: initials.
        system: "metric" or "inch".
        page_size: "A4", "letter" or "narrow".
    Raises:
        NotSaved: when the disk refused.
    """
    draft = draft_report(bench, job, system, page_size, issuing=True)
    return issue_drawn(bench, job, by, draft.head, draft.drawn(), page_size)


def issue_drawn(bench: Bench, job: Job, by: str, head: Head, made: bytes, page_size: str = "") -> Issued:
    """Keep a report that was drawn, and record that it was issued; as `issue_report`.

    Args:
        bench: the open data folder.
        job: the job as it stands.
        by: initials.
        head: how far the log reached when it was drafted: later entries it does not cover.
        made: its PDF.
        page_size: of its pages, "" where that is not known.
    Raises:
        NotSaved: when the disk refused.
    """
    sha256, since = _keep(bench, made), entered_since(bench, job)
    standing = [made for made, later in zip(job.reports, since, strict=True) if not later]
    known = next((made for made in standing if made.sha256 == sha256), None)
    if known is None:
        # what is printed, and the ends of the chains it stands for: by them it can be proven after any merge
        body = issued(sha256, head.entries, head.hash, head.ends, page_size)
        known = bench.record(job.id, by, ("report", body)).reports[-1]
    return known


def entered_since(bench: Bench, job: Job) -> tuple[int, ...]:
    """How many entries each report of a job does not cover, other reports apart, in the order of `Job.reports`.

    A report covers what stood behind the ends of the chains it names; an entry that came in later from another
    device is none of that, however old it is.

    Args:
        bench: the open data folder.
        job: the job.
    """
    known = bench.reports_since.get(job.id)
    if known is None or known[0] != job.entries:
        rows = bench.logbook.rows(job.id) if job.reports else []
        since = tuple(
            sum(row.kind != "report" for row in beyond(Head(made.ends, made.entries), rows))
            for made in job.reports
        )
        known = bench.reports_since[job.id] = (job.entries, since)
    return known[1]


def covers_all(bench: Bench, job: Job) -> Issued | None:
    """The last report of a job, if it covers everything that stands; None otherwise.

    Args:
        bench: the open data folder.
        job: the job.
    """
    since = entered_since(bench, job)
    return job.reports[-1] if since and since[-1] == 0 else None


def reports_listed(bench: Bench, job: Job) -> Iterator[tuple[Issued, str]]:
    """Every report of a job with a sentence: when it was issued, by whom, and whether entries came in since.

    Args:
        bench: the open data folder.
        job: the job.
    """
    for made, since in zip(job.reports, entered_since(bench, job), strict=True):
        narrow = ", narrow for a phone" if made.page == NARROW else ""
        issued = f"Report of {when(made.at, bench.zone_at(made.at))} by {made.by}{narrow}"
        later = counted(since, "entry that came", "entries that came")
        yield made, f"{issued}: issued before {later} later." if since else f"{issued}: covers all entries."


def report_kept(bench: Bench, job: Job, system: str, page_size: str = "A4") -> bytes:
    """The report of a job as PDF, kept and recorded as issued by whoever is logged in here; as `issue_report`."""
    made = issue_report(bench, job, logged_in(), system, page_size)
    return (bench.folder / "reports" / f"{made.sha256}.pdf").read_bytes()


def logged_in() -> str:
    """The name of whoever is logged in at this computer, "" where it has none."""
    try:
        return getpass.getuser()
    except (KeyError, OSError, ImportError):
        return ""


def report_pdf(bench: Bench, job: Job, system: str, page_size: str = "A4") -> bytes:
    """The report of a job as PDF, without recording anything.

    Args:
        bench: the open data folder.
        job: the job.
        system: "metric" or "inch".
        page_size: "A4", "letter" or "narrow".
    """
    return draft_report(bench, job, system, page_size).drawn()


def draft_report(
    bench: Bench, job: Job, system: str, page_size: str = "A4", *, issuing: bool = False
) -> Draft:
    """What the report of a job says as it stands, and how it is drawn.

    Args:
        bench: the open data folder.
        job: the job.
        system: "metric" or "inch".
        page_size: "A4", "letter" or "narrow".
        issuing: whether it is to be issued; else it is a draft, unless the same was issued before.
    """
    from inspect_app.paper.blocks import PAPERS
    from inspect_app.report.content import content
    from inspect_app.report.issue import issue_of

    tables, head, photos = bench.tables_of(job), head_of(bench, job), bench.photos
    cylinder = tables.cylinders[job.cylinder]
    said = content(
        job,
        bench.assess(job),
        tables,
        cylinder,
        system,
        head=head,
        now=bench.parts_now(job),
        devices=sorted({e.device for e in bench.logbook.entries(job.id)}),
        version=__version__,
        house=_house_of(bench, job, head),
        issue=issue_of(job, head.hash, bench.now().astimezone(UTC).isoformat() if issuing else ""),
        earlier=history_told(bench, job),
        attached=files_of(bench, job, head),
        wide=PAPERS[page_size].room,
    )

    def drawn() -> bytes:
        from inspect_app.paper.pdf import pdf

        return pdf(said, lambda sha256: for_paper(sha256, photos), page_size=page_size)

    return Draft(head, drawn)


def _house_of(bench: Bench, job: Job, head: Head) -> House:
    """Who the shop was when a report of these entries was issued first, or is now; its later copies say the same."""
    first = next((made.at for made in job.reports if made.head == head.hash), None)
    if first is None:
        return bench.shop.house()
    then = Shop(bench.tables.gauges)
    then.take_in(e for e in bench.logbook.entries(SHOP) if e.at <= first)
    return then.house()


def report_file(bench: Bench, sha256: str) -> Path | None:
    """The file of a report that was issued, None if it is not here.

    Args:
        bench: the open data folder.
        sha256: the report's name.
    """
    file = bench.folder / "reports" / f"{sha256}.pdf"
    return file if sha256.isalnum() and file.is_file() else None


def _keep(bench: Bench, made: bytes) -> str:
    """Put a report where `report_file` finds it, and give its hash; records nothing."""
    sha256, folder = hashlib.sha256(made).hexdigest(), bench.folder / "reports"
    try:
        make_folder(folder)
        write_file(folder / f"{sha256}.pdf", made)
    except OSError as e:
        raise not_saved("The report was", e) from e
    return sha256


def head_of(bench: Bench, job: Job) -> Head:
    """How far the log reached when a report was made that covers all but reports, or reaches now.

    Args:
        bench: the open data folder.
        job: the job.
    """
    for entry in reversed(_reports(bench, job.id)):
        named = Head.named_in(entry.body)
        if named and all(row.kind == "report" for row in beyond(named, bench.logbook.rows(job.id))):
            return named
    return bench.logbook.head(job.id)


def _reports(bench: Bench, job_id: str) -> list[Entry]:
    return [e for e in bench.logbook.entries(job_id) if e.kind == "report"]
