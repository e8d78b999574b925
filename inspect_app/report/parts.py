"""What is said of each part: what becomes of it and why, its figures, its defects with their photographs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from inspect_app.entries.job import Decided, Defect, Examined, Job, Survey
from inspect_app.entries.looking import FELT
from inspect_app.figures.limit_scale import limit_scale
from inspect_app.figures.of_check import figures_of
from inspect_app.job.assess import Assessment, PartResult
from inspect_app.job.deciding import needed_sentence
from inspect_app.job.findings import CheckResult, Disposition, Finding
from inspect_app.job.measured import budget_sentence
from inspect_app.job.words import (
    BECOMES,
    MARKS,
    NOT_SIZED,
    disposition_words,
    finding_sentence,
    limit_sentence,
    place_words,
    reach_sentence,
    what_follows,
)
from inspect_app.paper.blocks import (
    Block,
    Card,
    Cards,
    Cell,
    Column,
    Evidence,
    Figure,
    Figures,
    Photos,
    Section,
    Table,
    Words,
)
from inspect_app.report.decisive import Decisive
from inspect_app.report.gauges import overdue_at
from inspect_app.report.outside import outside_by_check, outside_words
from inspect_app.report.phrases import as_typed, value_with_u, when_said, worst_first
from inspect_app.report.pictures import photos_of
from inspect_app.tables import Tables
from inspect_app.tables.cylinders import Cylinder
from inspect_app.trade.measuring.decision import Verdict, risk_sentence, worst
from inspect_app.trade.measuring.wording import capital, counted, inside

SCALE, SCALE_TALL = 159.0, 36.0
"""How large the scale of a limit is drawn."""

BESIDE, LEAST_WIDE, MOST_STATIONS, MOST_DEFECTS = 16.0, 300.0, 5, 3
"""Between two figures side by side; where they stand so, and what fits into half the room."""


def findings_sections(
    assessment: Assessment,
    numbered: Sequence[Decisive],
    tables: Tables,
    job: Job,
    survey: Survey,
    system: str,
    wide: float,
) -> list[Section]:
    """The parts: first those that are not simply fit or have a figure, then the others in a table, then the defects
    that may stay.

    Args:
        assessment: the assessment.
        numbered: the findings that decide, with their numbers.
        tables: the tables that judged it.
        job: the job, for its photographs.
        survey: the state of the cylinder that was judged.
        system: "metric" or "inch".
        wide: the room between the margins.
    """
    shown: list[tuple[PartResult, Section]] = []
    brief: list[tuple[PartResult, Section]] = []
    for part in assessment.parts:
        its = [f for f in numbered if f.part is part]
        section = _part_section(part, its, tables, job, survey, system, wide)
        (shown if section.blocks else brief).append((part, section))
    sections = [section for _, section in shown]
    if brief:
        rows = tuple(_in_brief(part) for part, _ in brief)
        sections.append(Section("The other parts", (Table(BRIEF, rows, dense=True),), 2))
    decide = {found.defect.id for found in numbered if found.defect}
    cylinder = tables.cylinders[survey.cylinder]
    if blocks := _acceptable(assessment, decide, cylinder, job, system):
        sections.append(Section("Defects that may stay", blocks, 2))
    return sections


BRIEF = (Column("Part", 40), Column("", 60))


def _in_brief(part: PartResult) -> tuple[Cell, Cell]:
    """A part of which there is nothing to show: what becomes of it, and why in a sentence."""
    absent = part.disposition is Disposition.ABSENT
    measured = any(f.value is not None for check in part.checks for f in check.findings)
    said = "Not on this cylinder." if absent else _nothing_wrong(part, measured)
    missing = " ".join(w.text for w in not_measured(part)) if not absent else ""
    title = f"{part.part.title}: {disposition_words(part)}"
    return Cell(title, sign=MARKS[part.disposition], bold=True), Cell(said, missing)


def _part_section(
    part: PartResult,
    numbered: Sequence[Decisive],
    tables: Tables,
    job: Job,
    survey: Survey,
    system: str,
    wide: float,
) -> Section:
    """One part: what becomes of it, why, what it looks like; no blocks where there is nothing to show."""
    cylinder = tables.cylinders[survey.cylinder]
    outside = outside_by_check(survey, cylinder)
    blocks: list[Block] = []
    if part.decided:
        blocks.append(Words(decided_words(part.decided, part.computed, job), "strong"))
    told: list[tuple[str, Evidence]] = []
    for found in numbered:
        if found.defect:
            told.append((str(found.number), _defect(found.defect, found.check, cylinder, job, system)))
        else:
            its = [(f, str(found.number) if f is found.worst else "") for f in found.findings]
            told += [(number, _measured(f, found, survey, tables, system)) for f, number in its]
    blocks += _side_by_side(told)
    figures: list[Figure] = []
    for check in part.checks:
        others = outside_words(outside.get(check.check.id, ""))
        if by := survey.examined.get(check.check.id):
            said = examined_words(check.check.title, by)
            blocks.append(Words(f"{said} {others}." if others else said))
        elif others and (check.measured or check.findings):
            blocks.append(Words(f"{check.check.title}: {inside(others)}."))
        figures += _figures(check, part, survey, system, wide)
        if photos := photos_of(job, check.check.id, system):
            blocks.append(Photos(photos))
    if figures:
        blocks.append(Figures(said_once(figures)))
    if blocks and part.disposition is not Disposition.ABSENT:
        nothing = [] if numbered or part.decided else [Words(_nothing_wrong(part, True))]
        blocks = [*nothing, *blocks, *not_measured(part)]
    title = f"{part.part.title}: {disposition_words(part)}"
    return Section(title, tuple(blocks), 2, MARKS[part.disposition])


def _figures(check: CheckResult, part: PartResult, survey: Survey, system: str, wide: float) -> list[Figure]:
    """A check's figures, each with what it says."""
    drawn = figures_of(check, part, survey, system, each_wide(check, wide))
    return [Figure(f.drawing, f.shows, f.title) for f in drawn]


def each_wide(check: CheckResult, wide: float) -> float:
    """How wide a check's figures are drawn: as half of the page where they have little to show.

    Args:
        check: the check's result.
        wide: the room between the margins.
    """
    stations = {p.place.station for p in check.places if p.reading}
    little = len(stations) <= MOST_STATIONS and len(check.defects) <= MOST_DEFECTS
    return (wide - BESIDE) / 2 if little and wide > LEAST_WIDE else wide


def said_once(figures: Sequence[Figure]) -> tuple[Figure, ...]:
    """Figures, what several of them show said under the first alone.

    Args:
        figures: the figures.
    """
    seen: set[str] = set()
    told = []
    for figure in figures:
        told.append(replace(figure, caption="") if figure.caption in seen else figure)
        seen.add(figure.caption)
    return tuple(told)


def _side_by_side(told: Sequence[tuple[str, Evidence]]) -> list[Block]:
    """Findings side by side; a single one, and those of which much is to be said or seen, by themselves."""
    short = [(n, e) for n, e in told if len(e.photos) < 2 and sum(map(len, e.lines)) <= LONGEST]
    if len(short) < 2:
        short = []
    cards = tuple(
        Card(n, e.title, (("", _run_on(e.lines)),), next(iter(e.photos), None), scale=e.drawing, sign=e.sign)
        for n, e in short
    )
    alone = [replace(e, title=f"{n}  {e.title}" if n else e.title) for n, e in told if (n, e) not in short]
    return [*([Cards(cards)] if cards else []), *alone]


def _run_on(lines: Sequence[str]) -> str:
    return " ".join(line if line.endswith(".") else f"{line}." for line in lines)


def _acceptable(
    assessment: Assessment, decide: set[str], cylinder: Cylinder, job: Job, system: str
) -> tuple[Block, ...]:
    """The defects that may stay, each with its photographs: side by side, those of which much is said by themselves."""
    cards: list[Card] = []
    long: list[Evidence] = []
    checks = (check for part in assessment.parts for check in part.checks)
    for check, defect in ((c, d) for c in checks for d in c.defects if d.id not in decide):
        told = _defect(defect, check, cylinder, job, system)
        if len(told.photos) > 1 or sum(len(line) for line in told.lines) > LONGEST:
            long.append(told)
            continue
        photo = next(iter(told.photos), None)
        cards.append(Card("", told.title, (("", _run_on(told.lines)),), photo, sign=told.sign))
    return (*([Cards(tuple(cards))] if cards else []), *long)


LONGEST = 420
"""Of a finding so many letters stand on a card."""


def examined_words(title: str, examined: Examined) -> str:
    """Who looked for cracks, qualified how, by which method.

    Args:
        title: what the check is called.
        examined: what was said of the look.
    """
    return f"{title}: looked for cracks by {examined.who}, {examined.qualified}; {examined.method}."


def _nothing_wrong(part: PartResult, measured: bool) -> str:
    if measured:
        return "Everything measured is within its limits."
    if any(check.measured for check in part.checks):
        return "Looked at, and nothing was found."
    return "Nothing has been measured yet."


def decided_words(decided: Decided, computed: Disposition, job: Job) -> str:
    """What a person decided, why, and what the readings alone say.

    Args:
        decided: the decision.
        computed: what the readings alone say.
        job: the job.
    """
    examined = ""
    if decided.examined_by:
        examined = f"Examined by {decided.examined_by}: {decided.examined_how.rstrip('.')}. "
    becomes = BECOMES[Disposition(decided.disposition)]
    return (
        f"{decided.by} decided: {becomes} ({when_said(job, decided.at)}). Reason: {decided.reason.rstrip('.')}. "
        f"{examined}Calculated result: {BECOMES[computed]}."
    )


def not_measured(part: PartResult) -> list[Words]:
    """What is missing from a part's checks, in one small sentence; none when nothing is.

    Args:
        part: the part's result.
    """
    by_reason: dict[str, list[str]] = {}
    for check in part.checks:
        if missing := _missing(check):
            by_reason.setdefault(check.skipped, []).append(missing)
    said = [f"{'; '.join(its)}{f' ({why})' if why else ''}" for why, its in by_reason.items()]
    return [Words(f"Not measured: {'; '.join(said)}.", "small")] if said else []


def _missing(check: CheckResult) -> str:
    """What is missing from a check, in a few words."""
    title, left = check.check.title, check.expected - check.measured
    if check.complete and not check.skipped:
        return ""
    if check.skipped or check.check.look or check.check.between or left == check.expected:
        return title
    return f"{title} ({left} of {counted(check.expected, 'place', 'places')})"


def _measured(finding: Finding, found: Decisive, survey: Survey, tables: Tables, system: str) -> Evidence:
    """A measured characteristic that is not simply fit for reuse, on the scale of its limit."""
    check, reuse = finding.check, finding.judgement("reuse")
    scale = None
    if reuse and reuse.decision:
        scale = limit_scale(reuse.decision, finding.kind, system, SCALE, SCALE_TALL)
    lines = [finding_sentence(finding).words(system), capital(what_follows(finding)) + "."]
    if reach := reach_sentence(finding).words(system):
        lines.append(reach)
    if reuse and reuse.decision and (risk := risk_sentence(reuse.decision)):
        lines.append(risk)
    if finding.verdict is Verdict.UNCLEAR:
        lines.append(budget_sentence(finding.terms, finding.kind, survey, tables, system))
    if needed := needed_sentence(finding, check, survey, tables, system):
        lines.append(needed)
    if overdue := overdue_at(finding, survey, tables):
        lines.append(overdue)
    said = (_run_on(lines),)
    return Evidence(check.title, finding.verdict, said, scale)


def _defect(defect: Defect, check: CheckResult, cylinder: Cylinder, job: Job, system: str) -> Evidence:
    """A defect: where, how large as typed and as understood, what follows, its photographs."""
    kind = cylinder.defect(defect.kind)
    zone = cylinder.zones.get(defect.zone, defect.zone)
    where = ", ".join(w for w in (place_words(defect.place, {}, system), zone) if w)
    findings = [f for f in check.findings if f.defect == defect.id]
    lines = [f"{capital(where)}." if where else "Place not noted."]
    lines += [_size(f, defect, system) for f in worst_first(findings)]
    judged = {f.characteristic for f in findings}
    for measure, size in defect.sizes.items():
        if measure not in judged:
            known = cylinder.measure(measure)
            typed = as_typed(size.typed, size.value, known.kind if known else "deviation", system)
            title = capital(known.title if known else measure)
            lines.append(f"{title} {typed}; no limit is written for it.")
    if defect.felt and "felt" not in judged:
        lines.append(f"By fingernail: {FELT.get(defect.felt, defect.felt)}.")
    lines += [defect.note] if defect.note else []
    lines.append(f"Noted by {defect.by}, {when_said(job, defect.at)}.")
    verdicts = [f.verdict for f in findings if f.verdict]
    title = f"{kind.title if kind else defect.kind}, {inside(check.check.title)}"
    return Evidence(
        title, worst(verdicts) if verdicts else None, tuple(lines), None, photos_of(job, defect.id, system)
    )


def _size(finding: Finding, defect: Defect, system: str) -> str:
    """One measure of a defect: as typed and as understood, its verdict, its limit and what follows."""
    reuse, measure = finding.judgement("reuse"), finding.characteristic
    follows = capital(what_follows(finding))
    limit = limit_sentence(reuse.limit, finding.kind).words(system) if reuse else "no limit is written for it"
    if finding.kind in NOT_SIZED:
        said = f"By fingernail: {FELT.get(defect.felt, defect.felt)}. " if finding.kind == "felt" else ""
        allowed = finding.verdict is Verdict.WITHIN
        return f"{said}Acceptable here. {follows}." if allowed else f"{said}{capital(limit)}. {follows}."
    reach = f" {words}" if (words := reach_sentence(finding).words(system)) else ""
    if finding.value is None:
        return f"{capital(measure)} not measured; for reuse {limit}. {follows}.{reach}"
    typed = defect.sizes[measure].typed
    if finding.u:
        said = value_with_u(finding.value, finding.u, finding.kind, system)
        # converted, it stands beside what was typed
        typed = said if typed.endswith(f" {said.rsplit(' ', 1)[-1]}") else f"{said} (typed {typed})"
    else:
        typed = as_typed(typed, finding.value, finding.kind, system)
    verdict = f"{finding.verdict.value}, " if finding.verdict else ""
    return f"{capital(measure)} {typed}: {verdict}{limit}. {follows}.{reach}"
