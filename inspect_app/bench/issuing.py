"""Makes a job's report, keeps it, and verifies what a log, its photographs and a report say of each other."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from inspect_app import __version__
from inspect_app.bench.bench import Bench
from inspect_app.bench.testing import wrong_logs
from inspect_app.entries.entry import Entry
from inspect_app.entries.issuing import issued
from inspect_app.entries.job import Issued, Job
from inspect_app.logbook.chains import Head, beyond
from inspect_app.logbook.durable import make_folder, write_file
from inspect_app.logbook.photos import path as photo_path
from inspect_app.logbook.photos import verify as verify_photos
from inspect_app.logbook.store import not_saved
from inspect_app.report.phrases import when
from inspect_app.trade.measuring.wording import counted


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
        page_size: "A4" or "letter".
    Raises:
        NotSaved: when the disk refused.
    """
    draft = draft_report(bench, job, system, page_size)
    return issue_drawn(bench, job, by, draft.head, draft.drawn())


def issue_drawn(bench: Bench, job: Job, by: str, head: Head, made: bytes) -> Issued:
    """Keep a report that was drawn, and record that it was issued; as `issue_report`.

    Args:
        bench: the open data folder.
        job: the job as it stands.
        by: initials.
        head: how far the log reached when it was drafted: later entries it does not cover.
        made: its PDF.
    Raises:
        NotSaved: when the disk refused.
    """
    sha256, before = _keep(bench, made), covers_all(bench, job)
    if before is None or before.sha256 != sha256:
        # what is printed, and the ends of the chains it stands for: by them it can be proven after any merge
        body = issued(sha256, head.entries, head.hash, head.ends)
        job = bench.record(job.id, by, ("report", body))
    return job.reports[-1]


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
        issued = f"Report of {when(made.at, bench.zone_at(made.at))} by {made.by}"
        later = counted(since, "entry that came", "entries that came")
        yield made, f"{issued}: issued before {later} later." if since else f"{issued}: covers all entries."


def report_pdf(bench: Bench, job: Job, system: str, page_size: str = "A4") -> bytes:
    """The report of a job as PDF, without recording anything.

    Args:
        bench: the open data folder.
        job: the job.
        system: "metric" or "inch".
        page_size: "A4" or "letter".
    """
    return draft_report(bench, job, system, page_size).drawn()


def draft_report(bench: Bench, job: Job, system: str, page_size: str = "A4") -> Draft:
    """What the report of a job says as it stands, and how it is drawn.

    Args:
        bench: the open data folder.
        job: the job.
        system: "metric" or "inch".
        page_size: "A4" or "letter".
    """
    from inspect_app.report.content import content

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
    )

    def drawn() -> bytes:
        from inspect_app.paper.pdf import pdf

        return pdf(said, lambda sha256: photo_path(sha256, photos), page_size=page_size)

    return Draft(head, drawn)


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


def verify(bench: Bench, pdf: bytes | None = None, fingerprint: str = "") -> list[str]:
    """Everything wrong with the log, its reports, the limits and photographs kept, and a report's file if given.

    Args:
        bench: the open data folder.
        pdf: a report's file: it must be one that the log says was issued.
        fingerprint: as printed on a report: some job's log must have stood so.
    Returns: sentences; none when all is in order.
    """
    wrong = [b.sentence for b in bench.logbook.verify()]
    jobs = [bench.job(job_id) for job_id in bench.logbook.jobs()]
    wrong += bench.kept_tables.wrong_with(jobs)
    wrong += [sentence for job in jobs for sentence in wrong_logs(bench.folder, job)]
    wrong += verify_photos(bench.photos, [p.sha256 for job in jobs for p in job.photos])
    issued = [e for job in jobs for e in _reports(bench, job.id)]
    wrong += [sentence for e in issued for sentence in _not_proven(bench, e)]
    if pdf is not None and hashlib.sha256(pdf).hexdigest() not in [e.body.get("sha256") for e in issued]:
        wrong.append("This PDF is not one that this logbook says was issued, or it was changed since.")
    if fingerprint and not _stood_so(bench, fingerprint, issued):
        wrong.append(
            f"No job in this logbook has, or ever issued a report with, the fingerprint {fingerprint}."
        )
    return wrong


def _not_proven(bench: Bench, report: Entry) -> Iterator[str]:
    """Why what a report says it covers cannot be proven out of this log."""
    said = f"Job {report.job}: the report of {when(report.at, bench.zone_at(report.at))} by {report.by}"
    named = Head.named_in(report.body)
    if named is None:
        yield f"{said} does not name what it covers; it cannot be proven."
        return
    for reason in bench.logbook.unproven(report.job, named):
        yield f"{said} {reason}."
    if named.hash != report.body.get("head"):
        yield f"{said} has another fingerprint than what it covers."


def _stood_so(bench: Bench, fingerprint: str, issued: Sequence[Entry]) -> bool:
    """Whether a job's log stands, or stood when a report was issued, at this fingerprint; computed anew."""
    wanted = "".join(fingerprint.split()).lower()
    heads = [bench.logbook.head(job_id) for job_id in bench.logbook.jobs()]
    heads += [named for e in issued if (named := Head.named_in(e.body))]
    return any(head.hash.startswith(wanted) for head in heads)


def outdated(bench: Bench) -> Iterator[str]:
    """Each job's last report that was issued before the last entry: nothing is wrong with it, but it is not all.

    Args:
        bench: the open data folder.
    """
    for job in bench.jobs():
        if job.reports and covers_all(bench, job) is None:
            *_, (_, sentence) = reports_listed(bench, job)
            yield f"{job.name}: {sentence}"


def verified(bench: Bench) -> list[str]:
    """What was looked at when nothing was wrong.

    Args:
        bench: the open data folder.
    """
    jobs = bench.logbook.jobs()
    entries = sum(len(bench.logbook.entries(job_id)) for job_id in jobs)
    photos = sum(len(bench.job(job_id).photos) for job_id in jobs)
    return [
        f"{bench.folder}: in order. {counted(len(jobs), 'job', 'jobs')}, "
        f"{counted(entries, 'entry', 'entries')}, {counted(photos, 'photograph', 'photographs')}; "
        "every chain unbroken, every report proven, limits and photographs as they were stored."
    ]
