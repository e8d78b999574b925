"""What a report says and in which order, as plain blocks; draws nothing and knows no file.

The decision comes first, in words a customer understands; then the reasons part by part; then every
reading, what was not measured, the gauges, where the limits come from, and the record.
"""

from __future__ import annotations

from collections.abc import Sequence

from inspect_app.entries.job import Job, Survey
from inspect_app.job.as_left import PartNow, now_sentence
from inspect_app.job.assess import Assessment, PartResult
from inspect_app.job.headline import whole_sentence
from inspect_app.job.words import BECOMES, MARKS, disposition_words, part_reasons
from inspect_app.paper.blocks import (
    Block,
    Cell,
    Column,
    Fields,
    Key,
    Outcome,
    Photos,
    Report,
    Section,
    Table,
    Words,
)
from inspect_app.report.agreed import agreed_section
from inspect_app.report.as_left import as_left_sections
from inspect_app.report.assembled import assembled_section
from inspect_app.report.gauges import gauges_section, overdue_words
from inspect_app.report.grounds import (
    Head,
    cautions_section,
    confirm_words,
    grouped,
    last_fact,
    people,
    record_section,
    sources_section,
)
from inspect_app.report.measured import corrected_section, measured_count, missing_section, readings_sections
from inspect_app.report.parts import part_section, photos_of
from inspect_app.report.phrases import as_typed, day_of, numbered_sources, zone_of
from inspect_app.report.present import present_section
from inspect_app.report.steps import steps_section
from inspect_app.report.tested import pressure_test_section
from inspect_app.tables import Tables
from inspect_app.tables.cylinders import Cylinder
from inspect_app.trade.measuring.quantities import KINDS
from inspect_app.trade.measuring.wording import capital, counted

PARTS = (Column("Part", 24), Column("Result", 20), Column("Reason", 56))
PARTS_NOW = (Column("Part", 20), Column("As found", 18), Column("As left", 18), Column("Reason as found", 44))


def content(
    job: Job,
    assessment: Assessment,
    tables: Tables,
    cylinder: Cylinder,
    system: str,
    *,
    head: Head,
    now: Sequence[PartNow] = (),
    devices: Sequence[str] = (),
    version: str = "",
) -> Report:
    """The report of a job: the same job, tables and units say the same, before and after it was issued.

    Args:
        job: the job.
        assessment: what was made of it.
        tables: the tables that judged it.
        cylinder: the checklist.
        system: "metric" or "inch".
        head: how far the log reached.
        now: every part as found and as left; nothing for as found alone.
        devices: the phones and computers that wrote to the log, where known.
        version: of this program, where known.
    """
    found = job.as_found
    parts = [part_section(p, tables, job, found, system) for p in assessment.parts]
    agreed = agreed_section(job, now, tables.operations)
    closing = (assembled_section(job, tables, system), pressure_test_section(job, tables, system))
    steps = steps_section(job, tables, system)
    further = (
        present_section(assessment, found, cylinder),
        corrected_section(found, cylinder, system, zone_of(job)),
        missing_section(assessment, system),
        gauges_section(assessment, found, tables, system),
        sources_section(assessment, found, tables, system),
        cautions_section(job, tables),
        record_section(job, cylinder, tables, head, devices, version),
    )
    return Report(
        title="Inspection report",
        name=job.name,
        under=_under(job, cylinder, day_of(last_fact(job), zone_of(job))),
        head=f"Inspection report: {job.name}",
        foot=f"Fingerprint {grouped(head.hash[:16])}, {counted(head.entries, 'entry', 'entries')}",
        tag=f"JOB {job.id} FINGERPRINT {head.hash}".upper(),
        tag_caption="job and fingerprint",
        made_at=last_fact(job),
        sections=(
            _summary(found, assessment, now, tables, system),
            Section("Findings, part by part", (), new_page=True),
            *_of_the_whole(job, assessment),
            *parts,
            *as_left_sections(now, job, system),
            *(section for section in (agreed, *closing, steps) if section),
            *readings_sections(assessment, found, tables, system),
            *(section for section in further if section),
        ),
    )


def _under(job: Job, cylinder: Cylinder, last_day: str) -> tuple[str, ...]:
    found = job.as_found
    whose = ", ".join(w for w in (found.text("customer"), found.text("machine"), found.text("serial")) if w)
    by = ", ".join(people(job))
    complaint = found.text("complaint")
    said = f"Complaint: {complaint}" if complaint else ""
    return tuple(w for w in (whose, cylinder.title, said, f"Inspected by {by}, last reading {last_day}") if w)


def _summary(
    survey: Survey, assessment: Assessment, now: Sequence[PartNow], tables: Tables, system: str
) -> Section:
    """What a customer reads: the decision, how complete it is, and each part with its main reason."""
    columns: tuple[Column, ...] = PARTS
    rows: tuple[tuple[Cell, ...], ...] = tuple(_part_row(p, system) for p in assessment.parts)
    whole = whole_sentence(assessment)
    blocks: list[Block] = [Outcome(whole)]
    if any(p.touched for p in now):
        blocks = [Outcome(now_sentence(now)), Words(f"As found, before the work: {whole}", "strong")]
        columns = PARTS_NOW
        rows = tuple((*row[:2], _now_cell(p), *row[2:]) for p, row in zip(now, rows, strict=True))
    blocks.append(Words(_complete(assessment)))
    sources = [s for _, s in numbered_sources(assessment, survey, tables).values()]
    if any(not s.confirmed for s in sources):
        blocks.append(Words(confirm_words(sources)))
    if overdue := overdue_words(survey):
        blocks.append(Words(overdue))
    blocks += [Table(columns, rows), Key(), Fields(nameplate_rows(survey, tables, system))]
    return Section("", tuple(blocks))


def _of_the_whole(job: Job, assessment: Assessment) -> tuple[Section, ...]:
    """The photographs that belong to no check and no defect."""
    known = {c.check.id for p in assessment.parts for c in p.checks}
    known |= {d.id for survey in job.surveys.values() for d in survey.defects}
    others = dict.fromkeys(p.of for p in job.photos if p.of not in known)
    photos = tuple(photo for of in others for photo in photos_of(job, of))
    return (Section("The cylinder", (Photos(photos),), 2),) if photos else ()


def _complete(assessment: Assessment) -> str:
    done, of, left = measured_count(assessment)
    so_far = f"{done} of {of} measurements and visual checks are done"
    if assessment.left:
        questions = sum(len(p.questions) for p in assessment.parts)
        clearances = assessment.left - left - questions
        said = [so_far]
        if left:
            said.append(f"left without a reason: {left}")
        if questions:
            said.append(f"questions on what is there not answered: {questions}")
        if clearances:
            said.append(f"clearances without readings of both parts: {clearances}")
        return (
            f"This report is not complete: {'; '.join(said)}. What was not measured is never counted as good."
        )
    return f"{so_far}." if done == of else f"{so_far}; the others were skipped for a reason given below."


def _part_row(part: PartResult, system: str) -> tuple[Cell, ...]:
    reasons = [reason.words(system) for reason in part_reasons(part)]
    if part.decided:
        because = f"Decided by {part.decided.by}: {part.decided.reason}"
        more = f"calculated result: {BECOMES[part.computed]}"
    else:
        because = reasons[0] if reasons else "Everything measured is within its limits."
        more = f"and {len(reasons) - 1} more below" if len(reasons) > 1 else ""
    comes_out = Cell(disposition_words(part), sign=MARKS[part.disposition], bold=True)
    return Cell(part.part.title, bold=True), comes_out, Cell(because, more)


def _now_cell(part: PartNow) -> Cell:
    """How a part stands as left; one that was fit and untouched needs no verdict of its own."""
    if part.as_found_still:
        return Cell("as found")
    return Cell(disposition_words(part.now), sign=MARKS[part.now.disposition], bold=True)


AT_THE_HEAD = ("customer", "machine", "serial", "complaint")
"""Fields that stand under the report's name already."""


def nameplate_rows(survey: Survey, tables: Tables, system: str) -> tuple[tuple[str, str], ...]:
    """The nameplate as names and values: quantities as typed, with the report's units beside where they differ.

    Args:
        survey: the state of the cylinder.
        tables: for the fields' titles and order; one they do not list follows behind, by its name.
        system: "metric" or "inch".
    """
    listed = tables.nameplate
    names = [*(n for n in listed if n in survey.nameplate), *(n for n in survey.nameplate if n not in listed)]
    names = [n for n in names if n not in AT_THE_HEAD]
    rows = []
    for name in names:
        known, field = listed.get(name), survey.nameplate[name]
        title, text = known.title if known else capital(name.replace("_", " ")), field.typed
        if known and known.kind in KINDS and field.value is not None:
            text = as_typed(text, field.value, known.kind, system)
        rows.append((title, text))
    return tuple(rows)
