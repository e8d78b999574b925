"""What was made of the readings: each characteristic against its limit, every groove in one table; judges nothing."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from inspect_app.entries.job import Survey
from inspect_app.figures.of_check import grooves_figure
from inspect_app.job.assess import Assessment, PartResult
from inspect_app.job.findings import CheckResult, Finding
from inspect_app.job.groove import Housed, housed
from inspect_app.job.judge import Judgement
from inspect_app.job.words import LEVELS, SHAPES, limit_sentence, place_words
from inspect_app.paper.blocks import Block, Cell, Column, Figure, Section, Table, Words
from inspect_app.report.gauges import overdue_at
from inspect_app.report.outside import outside_by_check, outside_words
from inspect_app.report.phrases import gauge_numbers, numbered_sources, value_with_u
from inspect_app.tables import Tables
from inspect_app.tables.cylinders import Cylinder
from inspect_app.tables.sources import Source
from inspect_app.trade.measuring.decision import Verdict
from inspect_app.trade.measuring.quantities import KINDS
from inspect_app.trade.measuring.refusal import in_words
from inspect_app.trade.measuring.wording import capital

RESULTS = (
    Column("What", 24.5),
    Column("Where", 16.5),
    Column("Value ± U", 18, right=True),
    Column("Limit for reuse", 27),
    Column("Verdict", 14),
)
GROOVES = (
    Column("Groove", 13),
    Column("Housing", 25.5),
    Column("Diameter ± U", 16.5, right=True),
    Column("Limit for reuse", 16),
    Column("Width ± U", 15, right=True),
    Column("Limit for reuse", 14),
)


@dataclass(frozen=True, slots=True)
class Setting:
    """What every table of readings needs: the survey, its tables, the numbers of gauges and sources, the room."""

    survey: Survey
    tables: Tables
    system: str
    gauges: Mapping[str, str]
    sources: Mapping[str, tuple[int, Source]]
    wide: float

    @property
    def cylinder(self) -> Cylinder:
        """The checklist."""
        return self.tables.cylinders[self.survey.cylinder]

    @property
    def outside(self) -> Mapping[str, str]:
        """The checks whose results are not this shop's own, and whose they are."""
        return outside_by_check(self.survey, self.cylinder)


def setting_of(assessment: Assessment, survey: Survey, tables: Tables, system: str, wide: float) -> Setting:
    """The survey with the numbers of its gauges and sources.

    Args:
        assessment: the assessment.
        survey: the state of the cylinder.
        tables: the tables that judged it.
        system: "metric" or "inch".
        wide: the room between the margins.
    """
    sources = numbered_sources(assessment, survey, tables)
    return Setting(survey, tables, system, gauge_numbers(survey), sources, wide)


RESULTS_NOTE = (
    "± is the expanded uncertainty U (k = 2), two digits at most; the value is rounded to match, and judged unrounded. "
    "Numbers in square brackets name the source of a limit. How far rework reaches, and the limit of a new part, "
    "stand where the value is not within its limit. What has no limit stands with its readings."
)


def results_sections(assessment: Assessment, setting: Setting) -> list[Section]:
    """Every characteristic that has a value against its limit, part by part, then the grooves.

    Args:
        assessment: the assessment.
        setting: the survey and what its numbers mean.
    """
    grooves = [h for g in setting.cylinder.grooves if (h := housed(g, setting.survey, setting.tables))]
    in_grooves = {check.id for h in grooves for check in (h.diameter_check, h.width_check)}
    rows = [row for part in assessment.parts for row in _part_rows(part, in_grooves, setting)]
    blocks: list[Block] = [Words(RESULTS_NOTE, "small")]
    blocks.append(
        Table(RESULTS, tuple(rows), dense=True) if rows else Words("Nothing has been measured yet.")
    )
    sections = [Section("Results", tuple(blocks))]
    if grooves:
        unit = KINDS["length"].shown(setting.system)[0].name
        results = {c.check.id: c for part in assessment.parts for c in part.checks}
        table = Table(GROOVES, tuple(_groove_row(h, results, setting) for h in grooves), dense=True)
        figure = grooves_figure(grooves, results, setting.system, setting.wide)
        drawn = [Figure(figure.drawing, figure.shows, figure.title)] if figure else []
        sections.append(Section(f"Grooves, each by its standard housing, {unit}", (table, *drawn), 2))
    return sections


def _part_rows(part: PartResult, elsewhere: set[str], setting: Setting) -> list[tuple[Cell, ...]]:
    rows = []
    for check in part.checks:
        own = [f for f in check.findings if f.value is not None and not f.defect]
        for finding in (f for f in own if f.judgement("reuse")):
            sized = finding.characteristic == "size" and check.check.id in elsewhere
            if not sized:
                rows.append(_row(finding, check, len(own) > 1, setting))
    return rows


def _row(finding: Finding, check: CheckResult, several: bool, setting: Setting) -> tuple[Cell, ...]:
    """A characteristic against the limit of reuse; what else matters below it."""
    what = f"{check.check.title}: {finding.title}" if several else check.check.title
    where = place_words(finding.place, check.check.stations.names, setting.system)
    others = outside_words(setting.outside.get(check.check.id, ""))
    under = ". ".join(w for w in (others, overdue_at(finding, setting.survey, setting.tables)) if w)
    reuse = finding.judgement("reuse")
    assert reuse is not None  # the others stand with their readings
    value = Cell(_value(finding, setting.system), bold=True)
    return (
        Cell(what, under),
        Cell(where),
        value,
        Cell(_limit(reuse, finding, setting), _others(finding, setting)),
        _verdict(reuse),
    )


def information(check: CheckResult, system: str) -> str:
    """What was made of a check's readings without a limit: "Ovality 0.002 ± 0.006 mm"; "" where there is none.

    Args:
        check: the check's result.
        system: "metric" or "inch".
    """
    told = []
    for finding in check.findings:
        if finding.value is None or finding.defect or finding.judgement("reuse"):
            continue
        where = place_words(finding.place, check.check.stations.names, system)
        at = f" at {where}" if where and len(check.places) > 1 else ""
        told.append(f"{finding.title} {_value(finding, system)}{at}")
    return capital("; ".join(told))


def _value(finding: Finding, system: str) -> str:
    assert finding.value is not None
    words = value_with_u(finding.value, finding.u, finding.kind, system)
    return f"none ({words})" if finding.characteristic in SHAPES and finding.value < 0 else words


def _limit(judgement: Judgement, finding: Finding, setting: Setting) -> str:
    words = limit_sentence(judgement.limit, finding.kind).words(setting.system)
    number = setting.sources.get(judgement.limit.source.key)
    return f"{words} [{number[0]}]" if number else words


def _others(finding: Finding, setting: Setting) -> str:
    """The limits beside that of reuse, only where the value is not simply within it."""
    if finding.verdict is Verdict.WITHIN:
        return ""
    others = [j for j in finding.judgements if j.limit.level != "reuse"]
    return "; ".join(f"{LEVELS[j.limit.level]}: {_limit(j, finding, setting)}" for j in others)


def _verdict(judgement: Judgement) -> Cell:
    if judgement.decision is None:
        return Cell("no limit yet")
    return Cell(judgement.verdict.value, sign=judgement.verdict)


def _groove_row(groove: Housed, results: Mapping[str, CheckResult], setting: Setting) -> tuple[Cell, ...]:
    """A groove: what it is, its floor and its width, each beside what may stay."""
    title = groove.diameter_check.title.removesuffix(" diameter").removesuffix(" groove")
    unit = KINDS["length"].shown(setting.system)[0].name
    cells = [Cell(title, bold=True), Cell(in_words(groove.name, setting.system))]
    for check in (groove.diameter_check, groove.width_check):
        found = results.get(check.id)
        sizes = (
            [f for f in found.findings if f.characteristic == "size" and f.value is not None] if found else []
        )
        if not sizes or not (reuse := sizes[0].judgement("reuse")):
            cells += [Cell("not measured"), Cell("")]
            continue
        cells += [
            Cell(
                _value(sizes[0], setting.system).removesuffix(f" {unit}"),
                sign=reuse.verdict if reuse.verdict is not Verdict.WITHIN else None,
                bold=True,
            ),
            Cell(_limit(reuse, sizes[0], setting).replace(f" {unit}", ""), _others(sizes[0], setting)),
        ]
    return tuple(cells)
