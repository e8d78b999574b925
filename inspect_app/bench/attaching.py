"""The files that go inside a report's PDF, and whether those inside one are what stands in the log."""

from __future__ import annotations

import json
import re
import zlib
from collections.abc import Iterator, Sequence

from inspect_app.bench.bench import Bench
from inspect_app.bench.readings_written import readings_text
from inspect_app.entries.job import Job
from inspect_app.logbook.chains import Head, Row, beyond, unproven
from inspect_app.paper.blocks import Attachment
from inspect_app.report.recompute import ENTRIES, PROGRAM, READINGS, RULE
from inspect_app.trade.measuring.wording import counted

LARGEST = 64_000_000
"""A file that unpacks to more is not read: nobody's job is as large, and a PDF from elsewhere may be a trap."""

_BEGINS = re.compile(rb"/Type\s*/EmbeddedFile\b.{0,600}?\bstream\r?\n", re.DOTALL)


def files_of(bench: Bench, job: Job, head: Head) -> tuple[Attachment, ...]:
    """The entries a report covers, its readings, and the rule by which its fingerprint is recomputed.

    Args:
        bench: the open data folder.
        job: the job.
        head: how far the report reaches.
    """
    covered = covered_by(head, bench.logbook.rows(job.id))
    lines = "".join(json.dumps(row._asdict(), ensure_ascii=False) + "\n" for row in covered)
    cylinder = bench.tables_of(job).cylinders[job.cylinder]
    return (
        Attachment(
            ENTRIES, "The entries of the log this report covers, as they are, with their links", lines
        ),
        Attachment(READINGS, "The readings as typed, as a readings file", readings_text(job, cylinder)),
        Attachment(RULE, "Recomputes the report's fingerprint from the entries", f"{PROGRAM}\n"),
    )


def covered_by(head: Head, rows: Sequence[Row]) -> list[Row]:
    """The rows a head covers, device by device: in one order whatever came into the log first.

    Args:
        head: the ends of its chains.
        rows: the job's rows, those of one chain in their order.
    """
    left = {row.id for row in beyond(head, rows)}
    return sorted((row for row in rows if row.id not in left), key=lambda row: row.device)


def told_of_entries(bench: Bench, pdf: bytes) -> Iterator[str]:
    """What the entries inside a PDF say beside those of the log; for one that is not as it was issued.

    Args:
        bench: the open data folder.
        pdf: the PDF.
    """
    found = False
    for inside in _entries_inside(pdf):
        found = True
        yield _beside_the_log(bench, inside)
    if not found:
        yield "No entries were found inside this PDF."


def _entries_inside(pdf: bytes) -> Iterator[list[Row]]:
    """The entries inside a PDF; several lists where an editor left what it replaced."""
    for file in _files_inside(pdf):
        try:
            rows = [Row(**json.loads(line)) for line in file.decode().split("\n") if line]
        except (ValueError, TypeError, RecursionError):
            continue
        if rows and all(isinstance(value, str) for row in rows for value in row):
            yield rows


def _beside_the_log(bench: Bench, inside: Sequence[Row]) -> str:
    head = Head({row.device: row.hash for row in inside}, len(inside))
    standing = {row.id: row for job in {row.job for row in inside} for row in bench.logbook.rows(job)}
    other = [row for row in inside if standing.get(row.id) != row]
    count = counted(len(inside), "entry", "entries")
    if other:
        are = counted(len(other), "is not as it stands", "are not as they stand")
        first = f"the first is the {other[0].kind} of {other[0].at} by {other[0].by}"
        return f"Of the {count} inside this PDF {are} in this logbook: {first}."
    if any(unproven(head, inside)):
        return (
            f"The {count} inside this PDF stand in this logbook, but not all of them are there, or in order."
        )
    return (
        f"The {count} inside this PDF are as they stand in this logbook (fingerprint {head.hash[:16]}); its pages may "
        "say something else."
    )


def _files_inside(pdf: bytes) -> Iterator[bytes]:
    """The files inside a PDF of anybody's, those that can be read without its tables."""
    for found in _BEGINS.finditer(pdf):
        packed = zlib.decompressobj()
        try:
            content = packed.decompress(pdf[found.end() :], LARGEST)
        except zlib.error:
            continue
        if packed.eof:
            yield content
