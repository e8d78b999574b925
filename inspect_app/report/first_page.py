"""The first page: the decision, the cylinder with what becomes of every part, the findings that decide, how far all
of it can be relied on, and what is signed."""

from __future__ import annotations

from collections.abc import Sequence

from inspect_app.entries.job import Job, Survey
from inspect_app.figures.limit_scale import limit_scale
from inspect_app.figures.names import Tag
from inspect_app.figures.of_check import small_figure
from inspect_app.figures.section import sizes_of
from inspect_app.figures.shapes import Drawing
from inspect_app.figures.verdicts import Spot, verdicts_drawing
from inspect_app.job.as_left import PartNow, now_sentence
from inspect_app.job.assess import Assessment, PartResult, Whole
from inspect_app.job.findings import Disposition, Finding
from inspect_app.job.headline import whole_sentence
from inspect_app.job.words import MARKS, disposition_words, place_words, value_words, what_follows
from inspect_app.paper.blocks import Block, Card, Cards, Figure, Key, Section, ToSign, Words
from inspect_app.paper.blocks import Outcome as Decision
from inspect_app.report.decisive import Decisive, cures_of
from inspect_app.report.gauges import out_since, overdue_words
from inspect_app.report.grounds import confirm_words
from inspect_app.report.issue import House
from inspect_app.report.measured import measured_count
from inspect_app.report.phrases import numbered_sources, value_with_u
from inspect_app.report.pictures import on_a_card
from inspect_app.tables import Tables
from inspect_app.tables.cylinders import Cylinder
from inspect_app.trade.measuring.wording import capital, inside, listed

TALL = 178.0
CARD, CARD_TALL, SCALE_TALL = 159.0, 62.0, 36.0
MOST = 3
"""So many findings stand on the first page with figure or photograph; the others follow behind it."""


def first_page(
    job: Job,
    assessment: Assessment,
    found: Sequence[Decisive],
    now: Sequence[PartNow],
    tables: Tables,
    system: str,
    house: House,
    wide: float,
) -> tuple[Section, ...]:
    """What a customer reads first, and signs.

    Args:
        job: the job.
        assessment: what was made of it as found.
        found: the findings that decide, numbered.
        now: every part as found and as left; nothing for as found alone.
        tables: the tables that judged it.
        system: "metric" or "inch".
        house: the shop, for who authorises.
        wide: the room between the margins.
    """
    survey = job.as_found
    sections = [
        Section(
            "",
            (
                *_decision(assessment, now),
                Figure(_picture(assessment, found, now, survey, tables, system, wide), ""),
                Key(),
            ),
        )
    ]
    if found:
        cards = Cards(tuple(_card(f, job, survey, tables, system) for f in found[:MOST]))
        title = "The finding that decides" if len(found) == 1 else "The findings that decide"
        if len(found) > MOST:
            title += f" ({len(found) - MOST} more, numbered in the drawing, on the next pages)"
        sections.append(Section(title, (cards,), 3))
    sections.append(
        Section(
            "How far this can be relied on",
            (Words(" ".join(_reliance(assessment, survey, tables)), "small"),),
            3,
        )
    )
    sections.append(Section("", (_to_sign(assessment, house),)))
    return tuple(sections)


def _decision(assessment: Assessment, now: Sequence[PartNow]) -> list[Block]:
    """The sentence that decides, and what is done to each part."""
    whole = whole_sentence(assessment)
    if any(p.touched for p in now):
        return [Decision(now_sentence(now)), Words(f"As found, before the work: {whole}", "strong")]
    to_do = [] if assessment.whole is Whole.REPLACE else assessment.parts
    done = [f"{p.part.title}: {cures}" for p in to_do if (cures := _done_to(p))]
    return [Decision(whole), *([Words(f"{'. '.join(done)}.")] if done else [])]


def _done_to(part: PartResult) -> str:
    if part.decided:
        return f"{disposition_words(part)}, decided by {part.decided.by}"
    return cures_of(part) if part.disposition is Disposition.REWORK else ""


def _picture(
    assessment: Assessment,
    found: Sequence[Decisive],
    now: Sequence[PartNow],
    survey: Survey,
    tables: Tables,
    system: str,
    wide: float,
) -> Drawing:
    """The cylinder with every part's verdict, as left where it was measured again."""
    kinds = [k.id for k in tables.positions.kinds.values() if k.checklist == survey.cylinder]
    left = {p.part.id: p for p in now if p.touched}
    tags = [_tag(part, left.get(part.part.id)) for part in assessment.parts]
    spots = [_spot(f, tables.cylinders[survey.cylinder]) for f in found]
    return verdicts_drawing(
        kinds[0] if kinds else survey.cylinder,
        sizes_of(survey),
        tags,
        spots,
        system=system,
        width=wide,
        height=TALL,
    )


def _tag(part: PartResult, left: PartNow | None) -> Tag:
    words = disposition_words(part)
    if left:
        return Tag(
            part.part.figure,
            part.part.title,
            f"{words}; as left {disposition_words(left.left)}",
            MARKS[left.left.disposition],
        )
    if part.decided:
        words = f"{words}, {part.decided.by}"
    return Tag(part.part.figure, part.part.title, words, MARKS[part.disposition])


def _spot(found: Decisive, cylinder: Cylinder) -> Spot:
    length = found.defect.sizes.get("length") if found.defect else None
    figure, _ = cylinder.shown_on(found.check.check)
    place = found.place
    if figure == "pins" and found.check.check.id.startswith("cap"):
        place = place._replace(station=f"cap {place.station}")
    return Spot(found.number, figure, place, float(length.value) if length else 0.0)


def _card(found: Decisive, job: Job, survey: Survey, tables: Tables, system: str) -> Card:
    """A finding with its photograph or figure, its sentence, what follows, and the scale of its limit."""
    worst, check = found.worst, found.check.check
    cylinder = tables.cylinders[survey.cylinder]
    kind = cylinder.defect(found.defect.kind) if found.defect else None
    where = place_words(found.place, {} if found.defect else check.stations.names, system)
    said = [f"{capital(worst.title)} {_value(worst, system)}{f' at {where}' if where else ''}."]
    said.append(f"{capital(what_follows(worst))}.")
    said += [f"Gauge out of calibration since {day}." for day in out_since(worst, survey)]
    photo, number = (on_a_card(job, found.defect.id, system) if found.defect else None) or (None, "")
    said += [number] if number else []
    reuse = worst.judgement("reuse")
    scale = (
        limit_scale(reuse.decision, worst.kind, system, CARD, SCALE_TALL)
        if reuse and reuse.decision and worst.kind not in ("count", "felt")
        else None
    )
    drawing = None if photo else small_figure(found.check, worst, survey, system, CARD, CARD_TALL)
    title = check.title if not found.defect else kind.title if kind else found.defect.kind
    to = f"{found.part.part.title}: {disposition_words(found.part)}"
    return Card(str(found.number), title, (("", " ".join(said)),), photo, drawing, scale, to)


def _value(finding: Finding, system: str) -> str:
    if finding.value is None or finding.defect or not finding.u:
        return value_words(finding, system)
    return value_with_u(finding.value, finding.u, finding.kind, system)


def _reliance(assessment: Assessment, survey: Survey, tables: Tables) -> list[str]:
    """How complete it is, what was left out, what the limits rest on, and the gauges past their date."""
    said = [complete_words(assessment)]
    if outside := survey.text("outside_results"):
        said.append(
            f"Results from outside, not this shop's own: {'; '.join(outside.splitlines()).rstrip('.')}."
        )
    left = [
        inside(c.check.title) for p in assessment.parts for c in p.checks if c.skipped and not c.not_fitted
    ]
    if left:
        said.append(f"Left out with a reason: {listed(left)}.")
    sources = [s for _, s in numbered_sources(assessment, survey, tables).values()]
    if any(not s.confirmed for s in sources):
        said.append(confirm_words(sources))
    if overdue := overdue_words(survey):
        said.append(overdue)
    return said


def complete_words(assessment: Assessment) -> str:
    """How many measurements and visual checks are done, and what is left without a reason.

    Args:
        assessment: the assessment.
    """
    done, of, left = measured_count(assessment)
    so_far = f"{done} of {of} measurements and visual checks are done"
    if not assessment.left:
        return f"{so_far}." if done == of else f"{so_far}; the others were left out for a reason."
    questions = sum(len(p.questions) for p in assessment.parts)
    clearances = assessment.left - left - questions
    said = [so_far]
    if left:
        said.append(f"left without a reason: {left}")
    if questions:
        said.append(f"questions on what is there not answered: {questions}")
    if clearances:
        said.append(f"clearances without readings of both parts: {clearances}")
    return f"This report is not complete: {'; '.join(said)}. What was not measured is never counted as good."


CHOICES = {
    Whole.REPAIR: ("Repair as written", "Replace the cylinder", "Call me first"),
    Whole.REPLACE: ("Replace the cylinder", "Call me first"),
    Whole.OPEN: ("Finish the inspection", "Replace the cylinder", "Call me first"),
}


def _to_sign(assessment: Assessment, house: House) -> ToSign:
    who = house.authorises or "name"
    return ToSign(
        "Your decision",
        CHOICES[assessment.whole],
        "The customer signs that this report was received, all its pages, and that this is to be done; prices are "
        "agreed to on a scope, not here. The shop signs that the results are those of this inspection.",
        ("For the customer: name, date, signature", f"Authorised for the shop: {who}, date, signature"),
    )
