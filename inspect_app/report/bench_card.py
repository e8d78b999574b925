"""The card that stays with the cylinder on the bench: number, mass, cautions, and its steps to fill by pen."""

from __future__ import annotations

from inspect_app.entries.job import Job
from inspect_app.entries.steps import CLOSED
from inspect_app.figures.assembled import assembled
from inspect_app.figures.section import sizes_of
from inspect_app.job.seals.seal_list import SealList
from inspect_app.job.steps import steps_of
from inspect_app.paper.blocks import (
    Banner,
    Block,
    Bullets,
    Cell,
    Column,
    Figure,
    Report,
    Section,
    Table,
    Words,
)
from inspect_app.report.phrases import day_of, zone_of
from inspect_app.tables import Tables
from inspect_app.trade.measuring.amounts import Amount

STEPS = (
    Column("Step", 28),
    Column("Date", 16),
    Column("Who", 12),
    Column("What holds it, where it lies", 44),
)
RECEIVING = "receiving"
SECTION = (508.0, 120.0)
"""Width and height of the section, points."""

CAUTIONS = ("trapped-load", "rod-slides")
"""What is said on the card itself; the others are read and confirmed in the job."""


def bench_card(job: Job, tables: Tables, address: str, listing: SealList | None, system: str) -> Report:
    """The bench card of a job, one page.

    Args:
        job: the job.
        tables: the tables that judge it.
        address: what its QR code opens; "" where no phone can come in, the job's id then.
        listing: its seal list, for the section; None where its seals are not known.
        system: "metric" or "inch".
    """
    found = job.as_found
    blocks: list[Block] = [Banner(job.name), *_warned(job, tables, system)]
    width, height = SECTION
    sizes = sizes_of(found)
    drawing = assembled(listing, sizes, system=system, width=width, height=height) if listing else None
    if drawing:
        blocks.append(Figure(drawing, ""))
    if marks := job.steps.typed(RECEIVING, "marks"):
        blocks.append(Words(f"Marks: {marks}", "strong"))
    rows = tuple(
        (Cell(s.step.title, bold=True), *_filled(s.last.at, s.last.by, job))
        if s.last and s.last.did == CLOSED
        else (Cell(s.step.title, bold=True), Cell(""), Cell(""), Cell(""))
        for s in steps_of(job.steps, tables.steps)
    )
    blocks.append(Table(STEPS, rows))
    whose = ", ".join(w for w in (found.text("customer"), found.text("serial")) if w)
    return Report(
        title="Bench card: point a phone at the code, and the job opens",
        name=found.text("machine") or job.name,
        under=tuple(w for w in (whose, _size(job, tables, system)) if w),
        head=f"Bench card: {job.name}",
        foot="Stays with the cylinder. The log keeps the rest.",
        tag=address or f"JOB {job.id}".upper(),
        tag_caption="opens the job" if address else "job",
        made_at=job.opened_at,
        sections=(Section("", tuple(blocks)),),
    )


def _size(job: Job, tables: Tables, system: str) -> str:
    sizes = [(name, job.as_found.length(name)) for name in ("bore", "rod", "stroke")]
    told = ", ".join(f"{name} {Amount(mm, 'length').words(system)}" for name, mm in sizes if mm)
    return f"{tables.cylinders[job.cylinder].title}: {told or 'size not known yet'}"


def _warned(job: Job, tables: Tables, system: str) -> list[Block]:
    """Mass and cautions, before anybody lifts or opens it."""
    mass = job.as_found.length("mass")
    words = (
        f"About {Amount(mass, 'mass').words(system)}. Rod tied."
        if mass
        else "Mass not known: weigh it first."
    )
    told = tuple(c.sentence for c in tables.cautions if c.id in CAUTIONS)
    return [Words(words, "strong"), Bullets(told)]


def _filled(at: str, by: str, job: Job) -> tuple[Cell, Cell, Cell]:
    return Cell(day_of(at, zone_of(job))), Cell(by), Cell("")
