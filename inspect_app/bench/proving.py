"""Verifies what a log, its photographs, its kept limits and its reports say of each other; records nothing."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import islice
from pathlib import Path

from inspect_app.bench.attaching import told_of_entries
from inspect_app.bench.bench import Bench
from inspect_app.bench.beside import Beside
from inspect_app.bench.issuing import covers_all, report_file, reports_listed
from inspect_app.bench.signing import signatures_told
from inspect_app.entries.entry import Entry
from inspect_app.entries.folding import fold
from inspect_app.job.assess import assess
from inspect_app.logbook.chains import Head, beyond, branches
from inspect_app.logbook.proving import Verified
from inspect_app.logbook.store import NotSaved
from inspect_app.logbook.taking_over import fork_words
from inspect_app.logbook.walking import Progress, no_progress
from inspect_app.report.phrases import when
from inspect_app.report.plain import headlines
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.wording import counted

LEAST_DIGITS = 16
"""So many digits of a fingerprint stand on every page of a report; fewer are found by chance."""
MOST_ENDS = 20
"""So often at most something was appended to a PDF for its beginning to be looked for."""
NOT_OURS = "This PDF is not one that this logbook says was issued, or it was changed since."
PRINTED = re.compile(rb"FINGERPRINT ([0-9A-F]{64})\b")


@dataclass(frozen=True, slots=True)
class Proven:
    """What a look at everything came to: sentences on what is wrong, on the report that was asked for, on what came
    here by two ways, and how many jobs, entries and photographs there are."""

    wrong: tuple[str, ...]
    found: tuple[str, ...] = ()
    forks: tuple[str, ...] = ()
    jobs: int = 0
    entries: int = 0
    photographs: int = 0


def verify(bench: Bench, pdf: bytes | None = None, fingerprint: str = "") -> list[str]:
    """Everything wrong, as `proven` finds it."""
    return list(proven(bench, pdf, fingerprint).wrong)


def proven(
    bench: Bench, pdf: bytes | None = None, fingerprint: str = "", progress: Progress = no_progress
) -> Proven:
    """Everything wrong with the log, its reports, the limits and photographs kept, and a report's file if given.

    No job is folded for it, and the entries are read once.

    Args:
        bench: the open data folder.
        pdf: a report's file: it must be one that the log says was issued.
        fingerprint: as printed on a report: some job's log must have stood so.
        progress: is told how many entries were looked at, of how many.
    Raises:
        Refusal: the fingerprint is none, or too short to mean one report.
    """
    digits = _digits(fingerprint) if fingerprint else ""
    issued = _issued(bench)
    looked = bench.logbook.look_through({end for e in issued for end in _ends(e)}, progress)
    wrong = [b.sentence for b in looked.breaks]
    found: list[str] = []
    beside = Beside(bench)
    try:
        wrong += beside.wrong()
        wrong += [sentence for e in issued for sentence in _not_proven(bench, e, looked)]
        wrong += _reports_unspoken(bench, issued)
        if pdf is not None:
            known = [e for e in issued if e.body.get("sha256") == hashlib.sha256(pdf).hexdigest()]
            wrong += [s for e in known for s in _printed_otherwise(e, pdf)]
            found += [s for e in known for s in _told(bench, e, "This PDF")]
            if not known:
                wrong += [NOT_OURS, *told_of_entries(bench, pdf)]
                found += _begins_as(bench, issued, pdf)
            broken, told = signatures_told(pdf)
            wrong, found = [*wrong, *broken], [*found, *told]
        if digits:
            stood = list(_stood_so(bench, digits, issued))
            wrong += (
                [] if stood else [f"No job here has, or ever issued a report with, the fingerprint {digits}."]
            )
            found += stood
    except NotSaved as e:
        wrong.append(str(e))
    forks = (f"Job {job}: {fork_words(device)}" for job, device in looked.forks)
    return Proven(
        tuple(dict.fromkeys(wrong)), tuple(dict.fromkeys(found)), tuple(forks),
        beside.jobs, looked.entries, beside.photographs,
    )  # fmt: skip


def _issued(bench: Bench) -> list[Entry]:
    """The entries of every report; none where the file cannot be read, which the look at it tells."""
    try:
        return list(bench.logbook.of_kind("report"))
    except NotSaved:
        return []


def _ends(report: Entry) -> Iterator[str]:
    named = Head.named_in(report.body)
    for ends in named.ends.values() if named else ():
        yield from branches(ends)


def _digits(fingerprint: str) -> str:
    digits = "".join(fingerprint.split()).lower()
    if not re.fullmatch(rf"[0-9a-f]{{{LEAST_DIGITS},64}}", digits):
        raise Refusal(
            f"{fingerprint!r} is no fingerprint; give the {LEAST_DIGITS} digits (0 to 9, a to f) from the foot of "
            "the report's page, or more of them from its last page."
        )
    return digits


def _reports_unspoken(bench: Bench, issued: Sequence[Entry]) -> Iterator[str]:
    spoken = {e.body.get("sha256") for e in issued}
    if unspoken := [file.name for file in _files_of(bench) if file.stem not in spoken]:
        yield f"Reports that no entry speaks of: {len(unspoken)}; entries were lost, or a stop came before them."


def _files_of(bench: Bench) -> Iterator[Path]:
    return (bench.folder / "reports").glob("*.pdf")


def _not_proven(bench: Bench, report: Entry, looked: Verified) -> Iterator[str]:
    """Why what a report says it covers cannot be proven out of this log, and what is wrong with its file."""
    said = f"Job {report.job}: the report of {when(report.at, bench.zone_at(report.at))} by {report.by}"
    file = report_file(bench, str(report.body.get("sha256")))
    if file is None:
        yield f"{said} is not here as a file; bring it from where it was issued, or from a backup."
    else:
        made = file.read_bytes()
        if hashlib.sha256(made).hexdigest() != report.body.get("sha256"):
            yield f"{said} is damaged or was exchanged; restore {file.name} from a backup."
        else:
            yield from _printed_otherwise(report, made)
    named = Head.named_in(report.body)
    if named is None:
        yield f"{said} does not name what it covers; it cannot be proven."
        return
    for reason in _unproven(bench, report.job, named, looked):
        yield f"{said} {reason}."
    if named.hash != report.body.get("head"):
        yield f"{said} has another fingerprint than what it covers."


def _unproven(bench: Bench, job: str, named: Head, looked: Verified) -> tuple[str, ...]:
    """What keeps a head from being proven; the job is read again only where the walk over all did not prove it."""
    ends = [((job, device), end) for device, ends in named.ends.items() for end in branches(ends)]
    if sum(looked.led_up.get(end, -1) for end in ends) == named.entries and all(
        end in looked.led_up for end in ends
    ):
        return ()
    return bench.logbook.unproven(job, named)


def _printed_otherwise(report: Entry, pdf: bytes) -> Iterator[str]:
    """What is printed on a report is out of reach of whoever changes the log."""
    printed = PRINTED.search(pdf)
    if printed and printed[1].decode().lower() != report.body.get("head"):
        yield (
            f"Job {report.job}: the log gives its report of {report.at} another fingerprint than is printed on it: "
            "the log was changed after it was issued."
        )


def _begins_as(bench: Bench, issued: Sequence[Entry], pdf: bytes) -> Iterator[str]:
    """Which report a PDF was before something was appended to it, as a signature of somebody else's is."""
    so_far, done = hashlib.sha256(), 0
    for end in islice(re.finditer(rb"%%EOF\r?\n?", pdf), MOST_ENDS):
        so_far.update(pdf[done : end.end()])
        done = end.end()
        for report in issued:
            if report.body.get("sha256") == so_far.hexdigest():
                yield (
                    f"Up to its byte {done} this PDF is a report as it was issued; what follows was appended: a "
                    "signature, a comment, or a change of what its pages show."
                )
                yield from _told(bench, report, "Its beginning")


def _stood_so(bench: Bench, digits: str, issued: Sequence[Entry]) -> Iterator[str]:
    """Which reports have a fingerprint, and which jobs stand at it now; computed anew from the ends."""
    for report in issued:
        named = Head.named_in(report.body)
        if named and named.hash.startswith(digits):
            yield from _told(bench, report, f"Fingerprint {digits}")
    for job_id in bench.logbook.jobs():
        if bench.logbook.head(job_id).hash.startswith(digits):
            yield f"Fingerprint {digits}: the job {bench.job(job_id).name} as it stands now."


def _told(bench: Bench, report: Entry, asked: str) -> Iterator[str]:
    """Which report of which job it is, what it came to, and what came after it."""
    job, named = fold(report.job, bench.logbook.entries(report.job)), Head.named_in(report.body)
    numbers = [n for n, made in enumerate(job.reports, 1) if (made.sha256, made.at) == _which(report)]
    if not numbers or named is None:
        yield f"{asked}: job {job.name}, a report that cannot be read."
        return
    listed = [sentence for _, sentence in reports_listed(bench, job)]
    number, count = numbers[0], len(job.reports)
    yield f"{asked}: job {job.name}, report {number} of {count}. {listed[number - 1]}"
    if any(bench.logbook.unproven(report.job, named)):
        return
    rows = bench.logbook.rows(report.job)
    later = {row.id for row in beyond(named, rows)}
    then = fold(report.job, (e for e in bench.logbook.entries(report.job) if e.id not in later))
    try:
        yield from headlines(then, assess(then.as_found, bench.tables_of(then)))
    except (
        Refusal
    ) as refusal:  # its limits are gone: what it came to cannot be said, and that is told already
        yield str(refusal)
    yield f"A later report was issued. {listed[-1]}" if number < count else "No later report was issued."


def _which(report: Entry) -> tuple[str, str]:
    return (str(report.body.get("sha256")), report.at)


def outdated(bench: Bench) -> Iterator[str]:
    """Each job's last report that was issued before the last entry: nothing is wrong with it, but it is not all.

    Args:
        bench: the open data folder.
    """
    last = {e.job: e for e in sorted(_issued(bench), key=lambda e: (e.at, e.id))}
    for line in bench.logbook.lines.found("", "", len(last) and -1):
        if line.job not in last or last[line.job].body.get("entries") == line.entries - 1:
            continue  # the report alone came after what it covers
        job = bench.job(line.job)
        if job.reports and covers_all(bench, job) is None:
            *_, (_, sentence) = reports_listed(bench, job)
            yield f"{job.name}: {sentence}"


def verified(bench: Bench, looked: Proven) -> list[str]:
    """What was looked at when nothing was wrong.

    Args:
        bench: the open data folder.
        looked: what the look came to.
    """
    return [
        f"{bench.folder}: in order. {counted(looked.jobs, 'job', 'jobs')}, "
        f"{counted(looked.entries, 'entry', 'entries')}, {counted(looked.photographs, 'photograph', 'photographs')}; "
        "every chain unbroken, every report proven, limits and photographs as they were stored."
    ]
