"""Which figures a check gets, and what each shows; the same for the screen and for paper."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from decimal import Decimal

from inspect_app.entries.job import Defect, Place, Survey
from inspect_app.figures.bore_map import bore_map
from inspect_app.figures.bow import bow_drawing
from inspect_app.figures.ovality import ovality_drawing
from inspect_app.figures.part import part_drawing
from inspect_app.figures.shapes import Drawing
from inspect_app.job.assess import PartResult
from inspect_app.job.findings import CheckResult, Finding
from inspect_app.job.judge import nominal_of
from inspect_app.job.readings import grid_of
from inspect_app.job.words import place_words
from inspect_app.trade.measuring.decision import Verdict, worst
from inspect_app.trade.measuring.uncertainty import expanded
from inspect_app.trade.measuring.wording import capital, counted

WIDE = 500.0
TALL, OVAL = 128.0, 340.0
"""Sizes of the drawings; 500 is the width of a page between its margins."""

NEEDS_CLOCKS, LEAST_STATIONS = 3, 2


def figures_of(
    check: CheckResult, part: PartResult, survey: Survey, system: str
) -> tuple[tuple[Drawing, str], ...]:
    """The drawings a check's readings and defects allow, each with what it shows.

    Args:
        check: the check's result.
        part: the part it belongs to; the check that shows the part best gets the part with its places.
        survey: the state of the cylinder that was judged.
        system: "metric" or "inch".
    """
    rule, length = check.check, survey.length(check.check.stations.over)
    drawings: list[tuple[Drawing, str]] = []
    if check.defects:
        drawing = defects_drawing(check, part.part.figure, survey, system, WIDE, TALL)
        drawings.append((drawing, f"{rule.title}: where the defects sit."))
    if check is _leading(part):
        verdicts = {p.place: p.verdict for p in check.places if p.reading}
        places = [p.place for p in check.places]
        drawing = part_drawing(
            part.part.figure, places, None, verdicts, length_mm=length, called=rule.stations.names,
            system=system, width=WIDE, height=TALL,
        )  # fmt: skip
        drawings.append(
            (
                drawing,
                f"{rule.title}: {check.measured} of {counted(check.expected, 'place', 'places')} measured.",
            )
        )
    return (*drawings, *measured_figures(check, survey, system))


def measured_figures(check: CheckResult, survey: Survey, system: str) -> tuple[tuple[Drawing, str], ...]:
    """The drawings that are made of the readings themselves, as far as they go, each with what it shows.

    Args:
        check: the check's result.
        survey: the state of the cylinder that was judged.
        system: "metric" or "inch".
    """
    rule, length = check.check, survey.length(check.check.stations.over)
    readings = {p.place: p.reading.value for p in check.places if p.reading}
    drawings: list[tuple[Drawing, str]] = []
    tir = {place.station: value for place, value in readings.items() if not place.clock and place.station}
    if "bow" in rule.characteristics and tir:
        drawing = bow_drawing(
            tir, length_mm=length, called=rule.stations.names, system=system, width=WIDE, height=120
        )
        drawings.append((drawing, "Bow along the rod, half the dial's reading; its direction was not read."))
    drawings += _sections_drawn(check, survey, readings, length, system)
    return tuple(drawings)


def _sections_drawn(
    check: CheckResult,
    survey: Survey,
    readings: Mapping[Place, Decimal],
    length: Decimal | None,
    system: str,
) -> list[tuple[Drawing, str]]:
    """The bore rolled out, and the section that is most oval."""
    rule, nominal = check.check, nominal_of(check.check, survey)
    drawings: list[tuple[Drawing, str]] = []
    if "ballooning" in rule.characteristics and nominal and readings:
        verdicts = {p.place: p.verdict for p in check.places if p.reading}
        rows = len({p.clock for p in readings})
        drawing = bore_map(
            readings, verdicts, nominal_mm=nominal, length_mm=length, called=rule.stations.names, system=system,
            width=WIDE, height=44 + 40 * rows,
        )  # fmt: skip
        drawings.append((drawing, "The bore rolled out, gland end on the left."))
    oval = next((f for f in check.findings if f.characteristic == "ovality" and _shows(f)), None)
    read = {place: value for place, value in grid_of(rule, survey).items() if value is not None}
    section = {
        clock: value for (station, clock), value in read.items() if oval and station == oval.place.station
    }
    if oval and len(section) >= NEEDS_CLOCKS:
        drawing = ovality_drawing(section, system=system, width=OVAL, height=170)
        where = place_words(oval.place, rule.stations.names, system)
        drawings.append((drawing, f"The most oval section{f', {where}' if where else ''}."))
    return drawings


def _shows(finding: Finding) -> bool:
    """Whether an oval is more than its own uncertainty and not plainly within its limit: else no shape is shown."""
    if finding.value is None or finding.verdict in (Verdict.WITHIN, None):
        return False
    return finding.value > expanded(finding.u)


def defects_drawing(
    check: CheckResult,
    figure: str,
    survey: Survey,
    system: str,
    width: float,
    height: float,
    lit: Place | None = None,
) -> Drawing:
    """Where the defects of a look sit on the part; one that has no place is drawn nowhere.

    Args:
        check: the look's result.
        figure: which part, a name in OUTLINES.
        survey: the state of the cylinder.
        system: "metric" or "inch".
        width: of the drawing.
        height: of the drawing.
        lit: where one is being noted, if one is.
    """
    verdicts: dict[Place, Verdict] = {}
    nowhere = Place("", "")
    for defect in check.defects:
        if defect.place == nowhere:
            continue
        found = [f.verdict for f in check.findings if f.defect == defect.id and f.verdict]
        at = [verdicts[defect.place]] if defect.place in verdicts else []
        verdicts[defect.place] = worst([*found, *at] or [Verdict.UNCLEAR])
    lit = None if lit == nowhere else lit
    if lit is not None:
        verdicts.setdefault(lit, Verdict.NOT_MEASURED)
    drawing = part_drawing(
        figure, list(verdicts), lit, verdicts, length_mm=survey.length("stroke"), called={}, system=system,
        width=width, height=height,
    )  # fmt: skip
    return replace(drawing, says=_says(figure, check.defects, lit, system))


def _says(figure: str, defects: Sequence[Defect], lit: Place | None, system: str) -> str:
    """The drawing of the defects in words."""
    count = counted(len(defects), "defect", "defects")
    where = [words for d in defects if (words := place_words(d.place, {}, system))]
    here = f". Now at {words}" if lit and (words := place_words(lit, {}, system)) else ""
    return f"{capital(figure)} with {count}{': ' + '; '.join(where) if where else ''}{here}."


def _leading(part: PartResult) -> CheckResult | None:
    """The check whose places show the part best: most stations judged, unless its bore is rolled out anyway."""

    def judged(check: CheckResult) -> int:
        return len({p.place.station for p in check.places if p.verdict is not Verdict.NOT_MEASURED})

    best = max(part.checks, key=judged, default=None)
    if best is None or judged(best) < LEAST_STATIONS or "ballooning" in best.check.characteristics:
        return None
    return best
