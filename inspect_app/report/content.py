"""What a report says and in which order, as plain blocks; draws nothing and knows no file.

A picture first: the decision, the cylinder with what becomes of every part, and what decides it, on one page. Then
the reasons part by part, the results and every reading, what was not measured, and what all of it rests on.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from inspect_app.entries.job import Job, Survey
from inspect_app.job.as_left import PartNow
from inspect_app.job.assess import Assessment
from inspect_app.paper.blocks import PAPERS, Attachment, Block, Fields, Photos, Report, Section
from inspect_app.report.agreed import agreed_section
from inspect_app.report.as_left import as_left_sections
from inspect_app.report.assembled import assembled_section
from inspect_app.report.decisive import decisive
from inspect_app.report.first_page import first_page
from inspect_app.report.gauges import gauges_section
from inspect_app.report.grounds import (
    Head,
    cautions_section,
    grouped,
    last_fact,
    people,
    record_section,
    sources_section,
)
from inspect_app.report.history import history_section
from inspect_app.report.issue import NOBODY, House, Issue, draft_of
from inspect_app.report.measured import corrected_section, missing_section, readings_sections
from inspect_app.report.output import output_section
from inspect_app.report.parts import findings_sections
from inspect_app.report.phrases import as_typed, day_of, zone_of
from inspect_app.report.pictures import contact_sheet, photos_of
from inspect_app.report.present import present_section
from inspect_app.report.results import results_sections, setting_of
from inspect_app.report.steps import steps_section
from inspect_app.report.tested import pressure_test_section
from inspect_app.tables import Tables
from inspect_app.tables.cylinders import Cylinder
from inspect_app.trade.measuring.quantities import KINDS
from inspect_app.trade.measuring.refusal import Sentence
from inspect_app.trade.measuring.wording import capital, counted, inside


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
    house: House = NOBODY,
    issue: Issue | None = None,
    earlier: Sequence[Sentence] = (),
    attached: tuple[Attachment, ...] = (),
    wide: float = PAPERS["A4"].room,
) -> Report:
    """The report of a job: the same job, tables, units and issue say the same, before and after it was issued.

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
        house: the shop that issues it.
        issue: which issue it is; None for a draft.
        earlier: what is said of the cylinder's earlier visits.
        attached: the files that go inside its PDF.
        wide: the room between the margins of its pages, for which the figures are drawn.
    """
    found, issue = job.as_found, issue or draft_of(job)
    setting = setting_of(assessment, found, tables, system, wide)
    numbered = decisive(assessment)
    sections: list[Section | None] = [
        *first_page(job, assessment, numbered, now, tables, system, house, wide),
        Section("Findings, part by part", (), new_page=True),
        *findings_sections(assessment, numbered, tables, job, found, system, wide),
        *as_left_sections(now, job, system, wide),
        agreed_section(job, now, tables.operations),
        assembled_section(job, tables, system),
        pressure_test_section(job, tables, system, wide),
        steps_section(job, tables, system),
        history_section(earlier, system),
        *results_sections(assessment, setting),
        *readings_sections(assessment, setting),
        corrected_section(found, cylinder, system, job),
        missing_section(assessment, system),
        *_the_cylinder(job, assessment, tables, system),
        contact_sheet(job, cylinder, system),
        present_section(assessment, found, cylinder),
        output_section(found, cylinder, system),
        gauges_section(assessment, found, tables, system),
        sources_section(assessment, found, tables, system),
        cautions_section(job, tables),
        record_section(job, cylinder, tables, head, devices, version, issue.named, bool(attached)),
    ]
    return Report(
        title="Inspection report",
        name=job.name,
        under=tuple(_under(job, cylinder)),
        head=f"Inspection report {issue.named}: {job.name}",
        foot=f"Fingerprint {grouped(head.hash[:16])}, {counted(head.entries, 'entry', 'entries')}",
        tag=f"JOB {job.id} FINGERPRINT {head.hash}".upper(),
        tag_caption="job and fingerprint",
        made_at=last_fact(job),
        sections=tuple(section for section in sections if section),
        issuer=house.lines,
        issue=issue.lines,
        attached=attached,
    )


def _under(job: Job, cylinder: Cylinder) -> Iterator[str]:
    """For whom, what it is, what was wrong, when it came and was inspected, and by whom."""
    found, zone = job.as_found, zone_of(job)
    whose = [found.text(name) for name in ("customer", "contact", "machine", "serial")]
    yield ", ".join(w for w in (*whose, inside(cylinder.title)) if w)
    came = ", ".join(w for w in (found.text("received"), found.text("condition")) if w)
    said = [f"Received {came}"] if came else []
    said += [f"Complaint: {found.text('complaint')}"] if found.text("complaint") else []
    yield ". ".join(said)
    by, last = ", ".join(people(job)), day_of(last_fact(job), zone)
    off = job.typed_off
    if off:
        yield f"Inspected by {by}, typed off a paper sheet of {off['date'] or 'no date'}"
    else:
        yield f"Inspected by {by}, {day_of(job.opened_at, zone)} to {last}"


def _the_cylinder(job: Job, assessment: Assessment, tables: Tables, system: str) -> tuple[Section, ...]:
    """Its nameplate, and the photographs that belong to no check and no defect."""
    known = {c.check.id for p in assessment.parts for c in p.checks}
    known |= {d.id for survey in job.surveys.values() for d in survey.defects}
    others = dict.fromkeys(p.of for p in job.photos if p.of not in known)
    photos = tuple(photo for of in others for photo in photos_of(job, of, system))
    rows = nameplate_rows(job.as_found, tables, system)
    blocks: list[Block] = [Fields(rows, 3)] if rows else []
    blocks += [Photos(photos)] if photos else []
    return (Section("The cylinder", tuple(blocks), 2),) if blocks else ()


AT_THE_HEAD = (
    "customer",
    "contact",
    "machine",
    "serial",
    "received",
    "condition",
    "complaint",
    "inspected_at",
    "outside_results",
)
"""Fields that stand under the report's name already."""


def nameplate_rows(survey: Survey, tables: Tables, system: str) -> tuple[tuple[str, str], ...]:
    """The nameplate as names and values: quantities as typed, with the report's units beside where they differ.

    Args:
        survey: the state of the cylinder.
        tables: for the fields' titles and order; one they do not list follows behind, by its name.
        system: "metric" or "inch".
    """
    own = tables.cylinders[survey.cylinder].fields
    listed = {**own, **tables.nameplate, **own}
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
