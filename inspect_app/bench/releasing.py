"""What goes with a cylinder on paper: the card on the bench, and the certificate once it is let go."""

from __future__ import annotations

from inspect_app.bench.bench import Bench
from inspect_app.bench.issuing import head_of
from inspect_app.bench.stepping import facts_of
from inspect_app.entries.job import Job
from inspect_app.entries.steps import CLOSED
from inspect_app.job.steps import held_of
from inspect_app.tables.steps import RELEASE
from inspect_app.trade.measuring.refusal import Refusal, joined


def certificate_pdf(bench: Bench, job: Job, system: str, page_size: str = "A4") -> bytes:
    """The certificate of a cylinder that was let go, as PDF.

    Args:
        bench: the open data folder.
        job: the job.
        system: "metric" or "inch".
        page_size: "A4" or "letter".
    Raises:
        Refusal: its release is refused, or was not closed.
    """
    from inspect_app.paper.pdf import pages_of, pdf
    from inspect_app.report.certificate import ROOMS, certificate

    facts = facts_of(bench, job)
    if refused := held_of(RELEASE, facts).refused:
        raise Refusal("No certificate: the release is refused. {says}", says=joined(refused, " "))
    released = job.steps.last(RELEASE)
    if released is None or released.did != CLOSED:
        raise Refusal("No certificate: the release is not closed yet.")
    try:
        seals = bench.seals(job)
    except Refusal:  # a kind whose seals are not listed
        seals = ()
    now, head = bench.parts_now(job), head_of(bench, job)
    for room in ROOMS:
        said = certificate(job, facts.tables, now, seals, head, released, system, room)
        if len(pages_of(said, page_size)) == 1:
            break
    return pdf(said, _no_photographs, page_size=page_size)


def card_pdf(bench: Bench, job: Job, system: str, address: str = "", page_size: str = "A4") -> bytes:
    """The bench card of a job, as PDF.

    Args:
        bench: the open data folder.
        job: the job.
        system: "metric" or "inch".
        address: where a phone reaches the program, such as http://192.168.1.7:8550; "" where none can come in.
        page_size: "A4" or "letter".
    """
    from inspect_app.paper.pdf import pdf
    from inspect_app.report.bench_card import bench_card

    try:
        listing = bench.seal_list(job)
    except Refusal:  # of a cylinder whose seals are not known nothing is drawn
        listing = None
    opens = f"{address.rstrip('/')}/job/{job.id}" if address else ""
    said = bench_card(job, bench.tables_of(job), opens, listing, system)
    return pdf(said, _no_photographs, page_size=page_size)


def _no_photographs(sha256: str) -> bytes:
    raise ValueError(f"Neither card nor certificate has photographs, and {sha256} was asked for.")
