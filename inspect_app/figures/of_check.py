"""Which figures a check gets, and what each shows; the same for the screen and for paper."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from inspect_app.entries.job import Defect, Place, Survey
from inspect_app.figures.bore_map import bore_map
from inspect_app.figures.bow import bow_drawing
from inspect_app.figures.grooves import Dimension, GrooveShown, grooves_drawing
from inspect_app.figures.ovality import ovality_drawing
from inspect_app.figures.part import part_drawing
from inspect_app.figures.pointing import length_of
from inspect_app.figures.profile import Limits, profile_drawing
from inspect_app.figures.shapes import Drawing
from inspect_app.job.assess import PartResult
from inspect_app.job.findings import CheckResult, Disposition, Finding, room_of
from inspect_app.job.groove import Housed
from inspect_app.job.judge import nominal_of
from inspect_app.job.readings import grid_of
from inspect_app.job.words import finding_sentence, place_words
from inspect_app.trade.measuring.decision import Verdict, worst
from inspect_app.trade.measuring.uncertainty import expanded
from inspect_app.trade.measuring.wording import capital, counted

TALL, OVAL, PROFILE, BOW = 90.0, 340.0, 84.0, 106.0
"""How tall the drawings are, and the most the section of a bore is wide."""

NEEDS_CLOCKS, LEAST_STATIONS = 3, 2


@dataclass(frozen=True, slots=True)
class Drawn:
    """A drawing, what it shows, and what it says: a conclusion in a sentence, "" where there is none."""

    drawing: Drawing
    shows: str
    title: str = ""


def figures_of(
    check: CheckResult, part: PartResult, survey: Survey, system: str, width: float
) -> tuple[Drawn, ...]:
    """The drawings a check's readings and defects allow, each with what it shows.

    Args:
        check: the check's result.
        part: the part it belongs to.
        survey: the state of the cylinder that was judged.
        system: "metric" or "inch".
        width: of each.
    """
    rule = check.check
    drawings = measured_figures(check, survey, system, width)
    if not check.defects or all(f.verdict in (Verdict.WITHIN, None) for f in check.findings):
        return drawings  # where a defect sits that may stay is told in words
    drawing = defects_drawing(check, part.part.figure, survey, system, width, TALL)
    bad = {f.defect for f in check.findings if f.verdict is Verdict.BEYOND}
    count = counted(len(check.defects), "defect", "defects")
    title = f"{rule.title}: {count}, {len(bad) or 'none'} outside the limits."
    return (
        Drawn(
            drawing, "Where they sit; one that was measured along the part is drawn as long as it is.", title
        ),
        *drawings,
    )


def measured_figures(check: CheckResult, survey: Survey, system: str, width: float) -> tuple[Drawn, ...]:
    """The drawings that are made of the readings themselves, as far as they go, each with what it shows.

    Args:
        check: the check's result.
        survey: the state of the cylinder that was judged.
        system: "metric" or "inch".
        width: of each.
    """
    rule = check.check
    if "bow" in rule.characteristics:
        drawings = [_bow(check, survey, system, width)]
    elif "ballooning" in rule.characteristics:
        drawings = _bore(check, survey, system, width)
    else:
        odd = (f for f in check.findings if f.value is not None and f.verdict not in (Verdict.WITHIN, None))
        made = ((f, _profile(check, f, survey, system, width, PROFILE)) for f in odd)
        shown = next(((f, drawing) for f, drawing in made if drawing), None)
        drawings = [Drawn(shown[1], AGAINST, _conclusion(shown[0], system))] if shown else []
    return tuple(d for d in (*drawings, _oval(check, survey, system, min(width, OVAL))) if d)


AGAINST = "Each station from its least to its greatest reading. Strong line: the limit; hatched: what U leaves open."


def _conclusion(finding: Finding, system: str) -> str:
    return finding_sentence(finding).words(system)


def _speaking(check: CheckResult) -> Finding | None:
    """The finding that speaks for a check: the worst that has a limit."""
    judged = [f for f in check.findings if f.value is not None and f.verdict is not None]
    return min(judged, key=lambda f: room_of(f.judgements), default=None)


def _bow(check: CheckResult, survey: Survey, system: str, width: float) -> Drawn | None:
    """The bow of a rod along its length, with what may stay."""
    rule = check.check
    tir = {
        p.place.station: p.reading.value
        for p in check.places
        if p.reading and p.place.station and not p.place.clock
    }
    if not tir:
        return None
    finding = next((f for f in check.findings if f.characteristic == "tir" and f.value is not None), None)
    reuse = finding.judgement("reuse") if finding else None
    decision = reuse.decision if reuse else None
    drawing = bow_drawing(
        tir, length_mm=survey.length(rule.stations.over), called=rule.stations.names, system=system, width=width,
        height=BOW, limit_mm=decision.upper if decision else None,
        guard_mm=decision.expanded_uncertainty if decision else Decimal(0),
        press=bool(finding and finding.disposition is Disposition.REWORK),
    )  # fmt: skip
    shows = "The bow is half of what the dial shows in one turn. Its plane was not read: all is drawn to one side."
    return Drawn(drawing, shows, _conclusion(finding, system) if finding else "")


def _bore(check: CheckResult, survey: Survey, system: str, width: float) -> list[Drawn | None]:
    """A bore along its length against its limit, and rolled out."""
    rule, nominal = check.check, nominal_of(check.check, survey)
    readings = {p.place: p.reading.value for p in check.places if p.reading}
    if not nominal or not readings:
        return []
    size = next((f for f in check.findings if f.characteristic == "size" and f.value is not None), None)
    profile = _profile(check, size, survey, system, width, PROFILE) if size else None
    verdicts = {p.place: p.verdict for p in check.places if p.reading}
    rolled = bore_map(
        readings, verdicts, nominal_mm=nominal, called=rule.stations.names, system=system, width=width
    )
    speaking = _speaking(check)
    title = _conclusion(speaking, system) if speaking else ""
    return [
        Drawn(profile, AGAINST, title) if profile else None,
        Drawn(rolled, "The bore rolled out, gland end on the left.", "" if profile else title),
    ]


def _oval(check: CheckResult, survey: Survey, system: str, width: float) -> Drawn | None:
    """The section that is most oval, where there is something to see."""
    oval = next((f for f in check.findings if f.characteristic == "ovality" and _shows(f)), None)
    section = _section_at(check, oval, survey) if oval else {}
    if oval is None or len(section) < NEEDS_CLOCKS:
        return None
    drawing = _section_drawn(oval, section, system, width, 124)
    shows = "The circles are what the limit leaves; straight lines, as between readings nothing is known."
    return Drawn(drawing, shows, _conclusion(oval, system))


def _section_drawn(
    oval: Finding, section: Mapping[str, Decimal], system: str, width: float, height: float
) -> Drawing:
    reuse = oval.judgement("reuse")
    limit = reuse.decision.upper if reuse and reuse.decision else None
    return ovality_drawing(
        section, system=system, width=width, height=height, limit_mm=limit, uncertainty_mm=expanded(oval.u)
    )


def compared(
    before: CheckResult, after: CheckResult, survey: Survey, system: str, width: float
) -> Drawn | None:
    """A check as left against as found, None where it has too few stations to see a course.

    Args:
        before: as found.
        after: as left.
        survey: the cylinder as left.
        system: "metric" or "inch".
        width: of the drawing.
    """
    finding = next((f for f in after.findings if f.value is not None and _is_read(f, after)), None)
    found = {p.place: p.reading.value for p in before.places if p.reading}
    drawing = _profile(after, finding, survey, system, width, PROFILE, found) if finding else None
    if drawing is None or finding is None:
        return None
    shows = "As left: dots joined by a line. As found: hollow dots." if found else AGAINST
    return Drawn(drawing, shows, f"As left: {_conclusion(finding, system)}")


def grooves_figure(
    grooves: Sequence[Housed], results: Mapping[str, CheckResult], system: str, width: float
) -> Drawn | None:
    """Every groove that is a standard housing, cut to its own proportions; None where there is none.

    Args:
        grooves: the grooves by their housings.
        results: the checks' results by id.
        system: "metric" or "inch".
        width: of the drawing.
    """
    shown = []
    for groove in grooves:
        floor = _dimension(results.get(groove.diameter_check.id), groove.diameter_limits)
        axial = _dimension(results.get(groove.width_check.id), groove.width_limits)
        if floor and axial:
            title = groove.diameter_check.title.removesuffix(" diameter").removesuffix(" groove")
            shown.append(GrooveShown(title, groove.sealed, floor, axial))
    if not shown:
        return None
    odd = [g.title for g in shown if Verdict.BEYOND in (g.floor.verdict, g.width.verdict)]
    title = (
        f"Outside what may stay: {', '.join(odd)}."
        if odd
        else "Every groove that was measured may stay, unless it is too close to its limit."
    )
    if all(v is Verdict.WITHIN for g in shown for v in (g.floor.verdict, g.width.verdict)):
        title = "Every groove that was measured may stay."
    shows = "To their own proportions. Between the two strong lines a size may stay; hatched is what is new."
    return Drawn(grooves_drawing(shown, system=system, width=width), shows, title)


def _dimension(check: CheckResult | None, new: tuple[Decimal, Decimal]) -> Dimension | None:
    """A groove's diameter or width with what may stay, None where it was not measured or has no limits."""
    sizes = (f for f in check.findings if f.characteristic == "size" and f.value is not None) if check else ()
    for finding in sizes:
        reuse = finding.judgement("reuse")
        if reuse and reuse.decision and reuse.limit.lower is not None and reuse.limit.upper is not None:
            assert finding.value is not None
            return Dimension(finding.value, (reuse.limit.lower, reuse.limit.upper), new, reuse.verdict)
    return None


def small_figure(
    check: CheckResult, finding: Finding, survey: Survey, system: str, width: float, height: float
) -> Drawing | None:
    """The figure that explains one finding at a glance, None where its scale says all.

    Args:
        check: the check's result.
        finding: the finding.
        survey: the state of the cylinder.
        system: "metric" or "inch".
        width: of the drawing.
        height: of the drawing.
    """
    if finding.characteristic == "ovality" and _shows(finding):
        section = _section_at(check, finding, survey)
        if len(section) >= NEEDS_CLOCKS:
            return _section_drawn(finding, section, system, width, height)
    return _profile(check, finding, survey, system, width, height)


def _is_read(finding: Finding, check: CheckResult) -> bool:
    """Whether a finding is one of the readings, so that its limit may be drawn among them."""
    return any(
        p.place == finding.place and finding.value in (p.reading.value, p.sized.value if p.sized else None)
        for p in check.places
        if p.reading
    )


def _profile(
    check: CheckResult,
    finding: Finding,
    survey: Survey,
    system: str,
    width: float,
    height: float,
    before: Mapping[Place, Decimal] | None = None,
) -> Drawing | None:
    """The readings along the part against the limit of a finding that is one of them."""
    values = {p.place: p.reading.value for p in check.places if p.reading}
    stations = {p.station for p in values if p.station}
    reuse = finding.judgement("reuse")
    if (
        len(stations) < LEAST_STATIONS
        or reuse is None
        or reuse.decision is None
        or not _is_read(finding, check)
    ):
        return None
    decision, rule = reuse.decision, check.check
    return profile_drawing(
        values, {p.place: p.verdict for p in check.places if p.reading},
        Limits(decision.lower, decision.upper, decision.expanded_uncertainty), kind=rule.kind,
        length_mm=survey.length(rule.stations.over), called=rule.stations.names, system=system, width=width,
        height=height, nominal=nominal_of(rule, survey), before=before,
    )  # fmt: skip


def _section_at(check: CheckResult, finding: Finding, survey: Survey) -> dict[str, Decimal]:
    """The diameters by clock at a finding's station."""
    read = {place: value for place, value in grid_of(check.check, survey).items() if value is not None}
    return {clock: value for (station, clock), value in read.items() if station == finding.place.station}


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
    round_view: bool = False,
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
        round_view: whether the end view stands there without a place that has a clock.
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
    placed = [d for d in check.defects if d.place != nowhere]
    drawing = part_drawing(
        figure, list(verdicts), lit, verdicts, length_mm=length_of(figure, survey), called={}, system=system,
        width=width, height=height, long_mm=_lengths(placed), counts=_counts(placed), round_view=round_view,
    )  # fmt: skip
    return replace(drawing, says=_says(figure, check.defects, lit, system))


def _says(figure: str, defects: Sequence[Defect], lit: Place | None, system: str) -> str:
    """The drawing of the defects in words."""
    count = counted(len(defects), "defect", "defects")
    where = [words for d in defects if (words := place_words(d.place, {}, system))]
    here = f". Now at {words}" if lit and (words := place_words(lit, {}, system)) else ""
    return f"{capital(figure)} with {count}{': ' + '; '.join(where) if where else ''}{here}."


RUNS_ALONG = ("score-along",)
"""Kinds of defects whose length lies along the part."""


def _lengths(defects: Sequence[Defect]) -> dict[Place, float]:
    """How long the longest mark at each place is along the part, mm; of those that run along it."""
    longest: dict[Place, float] = {}
    for defect in defects:
        long = defect.sizes.get("length")
        if long and defect.kind in RUNS_ALONG:
            longest[defect.place] = max(longest.get(defect.place, 0.0), float(long.value))
    return longest


def _counts(defects: Sequence[Defect]) -> dict[Place, int]:
    """How many defects lie at each place: one noted as several counts as so many."""
    counts: dict[Place, int] = {}
    for defect in defects:
        number = defect.sizes.get("number")
        counts[defect.place] = counts.get(defect.place, 0) + (int(number.value) if number else 1)
    return counts
