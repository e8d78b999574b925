"""The steps of a job in words: the report's section, and the same for the prompt and for other programs."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from inspect_app.entries.job import Job
from inspect_app.job.steps import Stands, StepStands, steps_of, told_words
from inspect_app.paper.blocks import Block, Bullets, Cell, Column, Section, Table, Words
from inspect_app.report.phrases import as_typed, hours_words, when, zone_of
from inspect_app.tables import Tables
from inspect_app.tables.steps import Record, Step
from inspect_app.trade.measuring.quantities import KINDS
from inspect_app.trade.measuring.wording import inside, listed

STEPS = (Column("Step", 16), Column("How it stands", 31), Column("What was recorded", 53))


def record_text(record: Record, job: Job, step: Step, system: str) -> str:
    """What a step records, in words and in the reader's units; "" where nothing was recorded.

    Args:
        record: which.
        job: the job.
        step: the step.
        system: "metric" or "inch".
    """
    noted = job.steps.records.get((step.id, record.id))
    if noted is None:
        return ""
    if noted.typed in record.options:
        return record.options[noted.typed]
    if noted.value is not None and record.kind in KINDS:
        return as_typed(noted.typed, noted.value, record.kind, system)
    return noted.typed


def record_rows(step: Step, job: Job, system: str) -> tuple[tuple[str, str], ...]:
    """Everything a step recorded, as names and values.

    Args:
        step: the step.
        job: the job.
        system: "metric" or "inch".
    """
    told = ((r.title, record_text(r, job, step, system)) for r in step.records)
    return tuple((title, text) for title, text in told if text)


def changed_steps(job: Job, tables: Tables) -> tuple[str, ...]:
    """Which steps were skipped or closed with something missing, by whom and why, a sentence each.

    Args:
        job: the job.
        tables: the tables that judge it.
    """
    told = ((s.step.title, told_words(s, job)) for s in steps_of(job.steps, tables.steps))
    return tuple(f"{title}: {words}." for title, words in told if words)


def steps_section(job: Job, tables: Tables, system: str) -> Section | None:
    """How every step stands, what was skipped and why, the hours worked, what was recorded; None where none was kept.

    Args:
        job: the job.
        tables: the tables that judge it.
        system: "metric" or "inch".
    """
    steps = job.steps
    if not steps.done and not steps.records:
        return None
    every = steps_of(steps, tables.steps)
    blocks: list[Block] = []
    if changed := changed_steps(job, tables):
        blocks += [Words("Not done as the steps have it:", "strong"), Bullets(changed)]
    begun = [s for s in every if s.stands is not Stands.TO_COME]
    blocks.append(Table(STEPS, tuple(_row(s, job, system) for s in begun), dense=True))
    if to_come := [inside(s.step.title) for s in every if s.stands is Stands.TO_COME]:
        blocks.append(Words(f"Not begun: {listed(to_come)}.", "small"))
    return Section("Steps", tuple(blocks))


def _row(stands: StepStands, job: Job, system: str) -> tuple[Cell, ...]:
    last = stands.last
    at = f" {when(last.at, zone_of(job))}, {last.by}" if last and stands.over else ""
    worked = f"worked {hours_words(stands.spent)}" if stands.spent else ""
    recorded = "; ".join(f"{title}: {text}" for title, text in record_rows(stands.step, job, system))
    how = Cell(f"{stands.stands.value}{at}", worked)
    return Cell(stands.step.title, bold=True), how, Cell(recorded)


def steps_lines(job: Job, tables: Tables) -> Iterator[str]:
    """What was skipped or closed with something missing, as lines for the prompt; none where nothing was.

    Args:
        job: the job.
        tables: the tables that judge it.
    """
    if changed := changed_steps(job, tables):
        yield ""
        yield "Steps not done as they should be:"
        yield from (f"  - {sentence}" for sentence in changed)


def steps_data(job: Job, tables: Tables) -> list[dict[str, Any]]:
    """The steps as data: how each stands, by whom, why, how long, and its records as understood.

    Args:
        job: the job.
        tables: the tables that judge it.
    """
    return [
        {
            "step": stands.step.id,
            "stands": stands.stands.value,
            "by": stands.last.by if stands.last and stands.over else "",
            "reason": stands.last.reason if stands.last and stands.over else "",
            "worked_s": int(stands.spent.total_seconds()),
            "records": {
                record: {"typed": noted.typed, "value": str(noted.value) if noted.value is not None else None}
                for (step, record), noted in job.steps.records.items()
                if step == stands.step.id
            },
        }
        for stands in steps_of(job.steps, tables.steps)
    ]
