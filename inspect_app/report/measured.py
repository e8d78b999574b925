"""Every reading as it was typed and as it was understood, judged; what was corrected, what was not measured."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from decimal import Decimal

from inspect_app.entries.job import Job, Place, Reading, Survey
from inspect_app.job.assess import Assessment
from inspect_app.job.findings import CheckResult, PlaceResult, check_verdict
from inspect_app.job.words import clock_words, place_words, station_words
from inspect_app.paper.blocks import Cell, Column, Grid, Grids, Section, Table, Words
from inspect_app.report.outside import outside_words
from inspect_app.report.phrases import uncertainty_words, when_said
from inspect_app.report.results import Setting, information
from inspect_app.tables.cylinders import Cylinder
from inspect_app.trade.measuring.decision import Verdict
from inspect_app.trade.measuring.quantities import KINDS
from inspect_app.trade.measuring.uncertainty import u_of

CORRECTED = (
    Column("Check", 24),
    Column("Place", 20),
    Column("First typed", 16),
    Column("By, when", 24),
    Column("Stands now", 16),
)
MISSING = (Column("Check", 46), Column("Places", 24), Column("Why", 30))


READINGS_NOTE = (
    "By station and clock, in the units of this report. What was typed stands under a number only where it reads "
    "differently, and who read only where it was not the one at the head. A sign stands beside a reading that is not "
    "within its limit by itself; G1, G2 … are the gauges. U is the greatest of the readings of a table."
)
MOST_ACROSS, MOST_WORDS, FEW = 8, 44, 6
"""Of more stations than this, or with longer names, each has a row of its own."""


def readings_sections(assessment: Assessment, setting: Setting) -> list[Section]:
    """Every reading, a table a check: stations by clocks, with gauge, U and who read once at its head.

    Args:
        assessment: the assessment.
        setting: the survey and what its numbers mean.
    """
    checks = [c for part in assessment.parts for c in part.checks if any(p.reading for p in c.places)]
    if not checks:
        return []
    single = [c for c in checks if len(c.places) == 1]
    grids = (*(_grid(c, setting) for c in checks if c not in single), *_once(single, setting))
    return [Section("Every reading", (Words(READINGS_NOTE, "small"), Grids(grids)))]


def _grid(check: CheckResult, setting: Setting) -> Grid:
    """One check's readings; the more of stations and clocks stand one under the other where they are many."""
    rule, system = check.check, setting.system
    at = {p.place: p for p in check.places if p.reading or p.skip}
    stations = list(dict.fromkeys(p.station for p in at))
    clocks = list(dict.fromkeys(p.clock for p in at))
    named = {s: station_words(s, rule.stations.names, system) if s else "" for s in stations}
    hours = {c: clock_words(c) if c else "" for c in clocks}
    one = Counter(p.reading.by for p in check.places if p.reading).most_common(1)[0][0]
    decimals = _decimals([p.reading for p in check.places if p.reading], rule.kind, system)
    words = sum(len(w) for w in named.values())
    by_clock = len(stations) > MOST_ACROSS or len(stations) == 1 or words > MOST_WORDS
    across, down = (clocks, stations) if by_clock else (stations, clocks)
    rows = []
    for name in down:
        keys = [Place(name, c) if by_clock else Place(c, name) for c in across]
        rows.append(
            (
                (named if by_clock else hours)[name],
                tuple(_read(at.get(k), rule.kind, system, one, decimals) for k in keys),
            )
        )
    heads = tuple(_short((hours if by_clock else named)[c]) for c in across)
    verdict = check_verdict(check) if any(f.verdict for f in check.findings) else None
    others = outside_words(setting.outside.get(rule.id, ""))
    under = ". ".join(w for w in (others, _under(check, setting, one), information(check, system)) if w)
    return Grid(rule.title, under, heads, tuple(rows), verdict)


def _once(checks: Sequence[CheckResult], setting: Setting) -> Iterator[Grid]:
    """The checks that have one place only, a row each, by their unit; many of them in two halves."""
    by_unit: dict[str, list[CheckResult]] = {}
    readers = Counter(p.reading.by for check in checks for p in check.places if p.reading)
    reader = readers.most_common(1)[0][0] if readers else ""
    for check in checks:
        by_unit.setdefault(KINDS[check.check.kind].shown(setting.system)[0].name, []).append(check)
    for unit, its in by_unit.items():
        half = len(its) if len(its) < FEW else -(-len(its) // 2)
        for n in range(0, len(its), half):
            title = ", ".join(w for w in ("Read at one place", unit, reader, "continued" if n else "") if w)
            yield Grid(title, "", ("reading", "U", "gauge"), _rows_once(its[n : n + half], setting, reader))


def _rows_once(
    checks: Sequence[CheckResult], setting: Setting, reader: str
) -> tuple[tuple[str, tuple[Cell, ...]], ...]:
    rows = []
    for check in checks:
        (place,) = check.places
        assert place.reading is not None
        kind = check.check.kind
        unit = KINDS[kind].shown(setting.system)[0].name
        u = uncertainty_words(u_of(place.sized.terms), kind, setting.system) if place.sized else "not known"
        u = u.removesuffix(f" {unit}") if unit else u
        gauge = setting.gauges.get(place.reading.gauge, "unknown")
        read = _read(place, kind, setting.system, reader, _decimals([place.reading], kind, setting.system))
        outside = " (from outside)" if check.check.id in setting.outside else ""
        rows.append((f"{check.check.title}{outside}", (read, Cell(u), Cell(gauge))))
    return tuple(rows)


def _short(name: str) -> str:
    return name.removesuffix(" o'clock") + " h" if name.endswith(" o'clock") else name


def _under(check: CheckResult, setting: Setting, reader: str) -> str:
    """Unit, gauges, U and who read, once for all readings of a check."""
    read = [p for p in check.places if p.reading]
    gauges = dict.fromkeys(setting.gauges.get(p.reading.gauge, "gauge unknown") for p in read if p.reading)
    unit = KINDS[check.check.kind].shown(setting.system)[0].name
    greatest = max((u_of(p.sized.terms) for p in read if p.sized), default=0.0)
    u = f"U {uncertainty_words(greatest, check.check.kind, setting.system)}" if greatest else "U not known"
    remarks = dict.fromkeys(p.sized.remark for p in read if p.sized and p.sized.remark)
    return ", ".join(w for w in (unit, " and ".join(gauges), u, reader, *remarks) if w)


def _decimals(readings: Sequence[Reading], kind: str, system: str) -> int:
    """With how many decimals all readings of a table are shown: the most that were typed, and not fewer than usual
    where one was typed in another unit."""
    typed = [_as_read(r.typed, r.value, kind, system) for r in readings]
    most = max(len(text.partition(".")[2]) for text in typed)
    return most if all(typed) else max(most, KINDS[kind].shown(system)[1])


def _read(place: PlaceResult | None, kind: str, system: str, reader: str, decimals: int) -> Cell:
    """One reading, as typed below it where that reads differently; why a place was skipped."""
    if place is None:
        return Cell("")
    if place.reading is None:
        return Cell("skipped" if place.skip else "–")
    reading = place.reading
    number = f"{KINDS[kind].shown(system)[0].number(reading.value):.{decimals}f}"
    alike = _as_read(reading.typed, reading.value, kind, system) == number
    by = reading.by if reading.by != reader else ""
    under = " ".join(w for w in ("" if alike else reading.typed, by) if w)
    judged = place.judgement
    odd = judged is not None and judged.verdict in (Verdict.BEYOND, Verdict.UNCLEAR)
    return Cell(number, under, judged.verdict if odd and judged else None, bold=odd)


def _as_read(typed: str, value: Decimal, kind: str, system: str) -> str:
    """The digits that were typed, where they are the whole value in the unit of the report; else ""."""
    unit = KINDS[kind].shown(system)[0]
    plain = typed.strip().removesuffix(unit.name).strip().replace(",", ".")
    whole = plain.replace(".", "", 1).isdigit() and plain.isascii()
    return plain if whole and unit.number(value) == Decimal(plain) else ""


def corrected_section(survey: Survey, cylinder: Cylinder, system: str, job: Job) -> Section | None:
    """The readings that were taken again, with what stands in their place; None when there are none.

    Args:
        survey: the state of the cylinder.
        cylinder: the checklist.
        system: "metric" or "inch".
        job: the job.
    """
    if not survey.replaced:
        return None
    rows = tuple(_corrected(r, survey, cylinder, system, job) for r in survey.replaced)
    note = Words("Both stay in the log; only the later one is judged.", "small")
    return Section("Readings taken again", (note, Table(CORRECTED, rows, dense=True)), 2)


def _corrected(old: Reading, survey: Survey, cylinder: Cylinder, system: str, job: Job) -> tuple[Cell, ...]:
    check = cylinder.check(old.check)
    now = survey.readings.get(old.check, {}).get(old.place)
    return (
        Cell(check.title if check else old.check),
        Cell(place_words(old.place, check.stations.names if check else {}, system) or "the part"),
        Cell(old.typed),
        Cell(f"{old.by}, {when_said(job, old.at)}"),
        Cell(now.typed if now else "nothing"),
    )


def missing_section(assessment: Assessment, system: str) -> Section | None:
    """What was not measured and why, None when everything was.

    Args:
        assessment: the assessment.
        system: "metric" or "inch".
    """
    alike: dict[tuple[str, str], list[str]] = {}
    for part in assessment.parts:
        for check in part.checks:
            for places, why in _missing(check, system):
                alike.setdefault((places, why), []).append(check.check.title)
    if not alike:
        return None
    rows = [(Cell("; ".join(titles)), Cell(places), Cell(why)) for (places, why), titles in alike.items()]
    note = Words("What was not measured is never counted as good.", "small")
    return Section("Not measured, and why", (note, Table(MISSING, tuple(rows), dense=True)), 2)


def _missing(check: CheckResult, system: str) -> list[tuple[str, str]]:
    """What of a check is missing, and why."""
    if check.skipped:
        return [("all of it", check.skipped)]
    if check.complete:
        return []
    if check.check.look:
        return [("the look was not finished", "no reason given")]
    if check.check.between:
        return [("calculated", "readings of one of the two parts are missing")]
    reasons: dict[str, list[str]] = {}
    for place in check.places:
        if not place.reading:
            reason = f"{place.why} ({place.skip.by})" if place.skip else "no reason given"
            where = place_words(place.place, check.check.stations.names, system)
            reasons.setdefault(reason, []).append(where or "the part")
    rows = []
    for reason, places in reasons.items():
        every = len(places) == check.expected and len(places) > 1
        rows.append((f"all {check.expected} places" if every else "; ".join(places), reason))
    return rows


def measured_count(assessment: Assessment) -> tuple[int, int, int]:
    """How many places and looks are done, of how many, and how many were left without a reason.

    Args:
        assessment: the assessment.
    """
    checks = [c for part in assessment.parts for c in part.checks if not c.check.between]
    return sum(c.measured for c in checks), sum(c.expected for c in checks), sum(c.left for c in checks)
