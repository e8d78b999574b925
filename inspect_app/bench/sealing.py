"""The seal list of a job, for the prompt and for files: brings the job, the handbook and the words together."""

from __future__ import annotations

from inspect_app.bench.bench import Bench
from inspect_app.entries.job import Job
from inspect_app.job.seals.of_survey import state_of
from inspect_app.job.seals.seal_list import SealList, seal_list
from inspect_app.report.seal_lines import seal_csv, seal_lines
from inspect_app.tables import Tables
from inspect_app.trade.measuring.refusal import Refusal


def seals_of(bench: Bench, job: Job) -> SealList:
    """The seal list of a job as it stands.

    Args:
        bench: the bench, for the tables and the handbook that judge the job.
        job: the job.
    Raises:
        Refusal: the tables kept with the job cannot be read.
    """
    tables, handbook = bench.tables_of(job), bench.handbook_of(job)
    return bench.remembered.of(
        job, tables, "seals", lambda: seal_list(state_of(job.as_found, tables, handbook), handbook)
    )


def seals_pdf(job: Job, listing: SealList, tables: Tables, system: str, page_size: str = "A4") -> bytes:
    """The seal list of a job as PDF.

    Args:
        job: the job.
        listing: its seal list.
        tables: the tables that judge it.
        system: "metric" or "inch".
        page_size: "A4" or "letter".
    """
    from inspect_app.paper.pdf import pdf
    from inspect_app.report.seal_sheet import seal_sheet

    return pdf(seal_sheet(job, listing, tables, system), _no_photographs, page_size=page_size)


def _no_photographs(sha256: str) -> bytes:
    raise ValueError(f"A seal list has no photographs, and {sha256} was asked for.")


def seals_as_file(
    job: Job, listing: SealList, tables: Tables, suffix: str, system: str, decimal_comma: bool
) -> bytes:
    """The seal list as a file.

    Args:
        job: the job.
        listing: its seal list.
        tables: the tables that judge it.
        suffix: ".csv" for a spreadsheet, ".txt" for a message, ".pdf" for paper.
        system: "metric" or "inch".
        decimal_comma: for a spreadsheet, numbers with a comma.
    Raises:
        Refusal: another suffix.
    """
    if suffix == ".csv":
        return seal_csv(job.name, listing, system=system, decimal_comma=decimal_comma).encode("utf-8")
    if suffix == ".txt":
        return ("\n".join(seal_lines(job.name, listing, system)) + "\n").encode("utf-8")
    if suffix == ".pdf":
        return seals_pdf(job, listing, tables, system)
    given = suffix or "a name without an ending"
    raise Refusal(f"A seal list is written as .csv, .txt or .pdf, not as {given}.")
