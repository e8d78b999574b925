"""Makes of the readings a verdict per characteristic, a disposition per part, repair or replace for all.

Four rules hold here. An unmeasured place is never a pass. The worst finding decides. Proven beyond
the reuse limit sends a part to rework if an operation reaches that far, else it is replaced; too close
to call decides nothing. A person may decide otherwise with open eyes: then both stand side by side.
"""

from __future__ import annotations

import enum
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal

from inspect_app.job.at_20 import Sized, sized
from inspect_app.job.job import Decided, Defect, Job, Place, Reading, Skip
from inspect_app.job.judge import Judgement, LimitInForce, judge, limits_for, reading_u
from inspect_app.job.places import places_of, whole_skip
from inspect_app.tables import Tables
from inspect_app.tables.cylinders import Check, Cylinder, Part
from inspect_app.trade.characteristics import CHARACTERISTICS, Compute
from inspect_app.trade.decision import Verdict, worst
from inspect_app.trade.grid import Cell, Grid
from inspect_app.trade.making import Made, Supports
from inspect_app.trade.refusal import Refusal
from inspect_app.trade.uncertainty import of_difference


class Disposition(enum.Enum):
    """What becomes of a part; in this order the first wins."""

    REFER = "stop"
    REPLACE = "replace"
    REWORK = "rework"
    OPEN = "not decided"
    UNCHECKED = "not checked"
    REUSE = "reuse"


class Whole(enum.Enum):
    """What becomes of the cylinder."""

    REPAIR = "repair"
    REPLACE = "replace"
    OPEN = "not decided"


@dataclass(frozen=True, slots=True)
class Finding:
    """One characteristic of a check, or one measure of a defect: its worst value and the judgements on it.

    `kind` names the quantity for showing it; `u` is the standard uncertainty; judgements come by level,
    reuse first. `defect` is the defect's id in the log, "" for a measured characteristic.
    """

    check: str
    characteristic: str
    title: str
    kind: str
    value: Decimal | None
    place: Place
    u: float
    judgements: tuple[Judgement, ...]
    disposition: Disposition
    defect: str = ""

    def judgement(self, level: str) -> Judgement | None:
        """The judgement on one level, or None where no limit is written."""
        return next((j for j in self.judgements if j.limit.level == level), None)

    @property
    def verdict(self) -> Verdict | None:
        """The verdict against the reuse limit; None for a characteristic that is information only."""
        reuse = self.judgement("reuse")
        return reuse.verdict if reuse else None


@dataclass(frozen=True, slots=True)
class PlaceResult:
    """One place of a check: its reading and verdict, or the reason it was skipped, or neither yet."""

    place: Place
    reading: Reading | None
    skip: Skip | None
    verdict: Verdict


@dataclass(frozen=True, slots=True)
class CheckResult:
    """Everything made of one check. `skipped` is the reason for leaving all of it out, "" if it was not."""

    check: Check
    places: tuple[PlaceResult, ...]
    findings: tuple[Finding, ...]
    defects: tuple[Defect, ...]
    measured: int
    expected: int
    skipped: str
    disposition: Disposition

    @property
    def complete(self) -> bool:
        """Whether every place has a reading, or a look was finished."""
        return self.measured == self.expected


@dataclass(frozen=True, slots=True)
class PartResult:
    """A part: what was computed, and what a person decided if one did."""

    part: Part
    checks: tuple[CheckResult, ...]
    computed: Disposition
    decided: Decided | None

    @property
    def disposition(self) -> Disposition:
        """What holds: the person's decision before the computed one."""
        return Disposition(self.decided.disposition) if self.decided else self.computed

    @property
    def left(self) -> int:
        """How many places and looks are still neither done nor skipped with a reason."""
        return sum(left_of(c) for c in self.checks)


@dataclass(frozen=True, slots=True)
class Assessment:
    """The whole cylinder: parts in the checklist's order, repair or replace, and the parts that decide it."""

    parts: tuple[PartResult, ...]
    whole: Whole
    because: tuple[PartResult, ...]

    @property
    def left(self) -> int:
        """How many places and looks are still to be done or skipped."""
        return sum(p.left for p in self.parts)

    @property
    def unchecked(self) -> tuple[PartResult, ...]:
        """The parts nothing was measured on, every check skipped with a reason."""
        return tuple(p for p in self.parts if p.disposition is Disposition.UNCHECKED)


def left_of(result: CheckResult) -> int:
    """How many places of a check are still neither read nor skipped.

    Args:
        result: the check's result.
    Source: none
    """
    if result.skipped:
        return 0
    if not result.places:
        return result.expected - result.measured
    return sum(1 for p in result.places if not p.reading and not p.skip)


def grid_of(check: Check, job: Job) -> Grid:
    """The check's places with what was read there, None where nothing was.

    Args:
        check: the check.
        job: the job.
    Source: none
    """
    readings = job.readings.get(check.id, {})
    places = dict.fromkeys((*places_of(check, job), *readings))
    return {place: readings[place].value if place in readings else None for place in places}


def judge_reading(check: Check, reading: Reading, job: Job, tables: Tables) -> Judgement | None:
    """The reuse verdict on one reading the moment it stands; None where single readings have no limit.

    Args:
        check: its check.
        reading: the reading.
        job: the job.
        tables: the tables.
    Source: iso-14253-1
    """
    characteristic = next((c for c in check.characteristics if CHARACTERISTICS[c].scope == "place"), None)
    if characteristic is None:
        return None
    limit = limits_for(check, characteristic, job, tables).get("reuse")
    if limit is None:
        return None
    judged = sized(reading, check, job, tables)
    return judge(judged.value, judged.u, limit)


def _disposition(judgements: Iterable[Judgement]) -> Disposition:
    by_level = {j.limit.level: j for j in judgements}
    reuse, reach = by_level.get("reuse"), by_level.get("rework")
    if reuse is None or reuse.verdict is Verdict.WITHIN:
        return Disposition.REUSE
    if reuse.verdict is not Verdict.BEYOND:
        return Disposition.OPEN
    if reuse.limit.beyond == "rework" and reach:
        after = {
            Verdict.BEYOND: Disposition.REPLACE,
            Verdict.WITHIN: Disposition.REWORK,
        }
        return after.get(reach.verdict, Disposition.OPEN)
    return {
        "rework": Disposition.REWORK,
        "replace": Disposition.REPLACE,
        "refer": Disposition.REFER,
    }[reuse.limit.beyond]


def _worst_disposition(dispositions: Iterable[Disposition]) -> Disposition:
    order = list(Disposition)
    return min(dispositions, key=order.index, default=Disposition.REUSE)


def _room(finding: Finding) -> tuple[int, Decimal]:
    """Sort key: the worst judged value of several first."""
    reuse = finding.judgement("reuse")
    room = reuse.decision.room if reuse and reuse.decision else None
    return list(Disposition).index(finding.disposition), room if room is not None else Decimal(0)


def _finding(
    check: Check,
    characteristic: str,
    value: Decimal | None,
    place: Place,
    u: float,
    limits: Mapping[str, LimitInForce],
    kind: str,
) -> Finding:
    judgements = tuple(judge(value, u, limit) for limit in limits.values())
    title = CHARACTERISTICS[characteristic].title
    return Finding(
        check.id, characteristic, title, kind, value, place, u, judgements, _disposition(judgements)
    )


def _made(compute: Compute, grid: Grid, job: Job) -> Made:
    """What is made of the readings; of those that cannot be, which a log of elsewhere may hold, the sentence."""
    span_mm = job.length("support_span")
    supports = Supports(Decimal(0), span_mm) if span_mm else None
    try:
        return compute(grid, supports)
    except Refusal as refusal:
        return Made((), (str(refusal),))


def _u(weights: Mapping[Cell, float], reading_us: Mapping[Cell, float]) -> float:
    """Standard uncertainty of what is made of readings: those that enter with one sign are wrong alike."""
    added = sum(w * reading_us[cell] for cell, w in weights.items() if w > 0)
    taken = sum(w * reading_us[cell] for cell, w in weights.items() if w < 0)
    return of_difference(added, -taken)


def _characteristic(check: Check, name: str, job: Job, tables: Tables, grid: Grid) -> Finding:
    """The finding for one characteristic: where several values exist, the one with the least room."""
    limits = limits_for(check, name, job, tables)
    how = CHARACTERISTICS[name]
    kind = how.kind_from(check.kind)
    readings = job.readings.get(check.id, {})
    if how.compute is None:
        judged = {p: sized(r, check, job, tables) for p, r in readings.items()}
        values = [(s.value, p, s.u) for p, s in judged.items()]
    else:
        us: dict[Cell, float] = {place: reading_u(r, job) for place, r in readings.items()}
        made = _made(how.compute, grid, job).measured
        values = [(m.value, Place(m.station, ""), _u(m.weights, us)) for m in made]
    if not values:
        return _finding(check, name, None, Place("", ""), 0.0, limits, kind)
    findings = [_finding(check, name, value, place, u, limits, kind) for value, place, u in values]
    if limits.get("reuse") is None:
        pick = min if name == "least" else max
        return pick(findings, key=lambda f: f.value or Decimal(0))
    return min(findings, key=_room)


def _clearance(check: Check, job: Job, tables: Tables) -> Finding:
    """Hole less shaft of the two checks it lies between, at its greatest and its least: the one with less room."""
    limits = limits_for(check, "clearance", job, tables)
    holes, shafts = (_judged_sizes(c, job, tables) for c in check.between or ("", ""))
    if not (holes and shafts):
        return _finding(check, "clearance", None, Place("", ""), 0.0, limits, "deviation")
    greatest = (max(holes, key=_size), min(shafts, key=_size))
    least = (min(holes, key=_size), max(shafts, key=_size))
    findings = [
        _finding(
            check,
            "clearance",
            hole.value - shaft.value,
            Place("", ""),
            of_difference(hole.u, shaft.u),
            limits,
            "deviation",
        )
        for hole, shaft in (greatest, least)
    ]
    return min(findings, key=_room)


def _judged_sizes(check_id: str, job: Job, tables: Tables) -> list[Sized]:
    check = tables.cylinders[job.cylinder].check(check_id)
    readings = job.readings.get(check_id, {}).values()
    return [sized(r, check, job, tables) for r in readings] if check else []


def _size(judged: Sized) -> Decimal:
    return judged.value


def _defect_findings(check: Check, defect: Defect, job: Job, tables: Tables, title: str) -> list[Finding]:
    """Each measure of a defect against its limit, taken or not; that it is there at all counts as one."""
    findings = []
    for measure in (*(m.id for m in tables.cylinders[job.cylinder].measures), "count"):
        value = Decimal(1) if measure == "count" else defect.measures.get(measure)
        limits = limits_for(check, measure, job, tables, defect.kind, defect.zone)
        if not limits:
            continue
        judgements = tuple(judge(value, 0.0, limit) for limit in limits.values())
        named = title if measure == "count" else f"{title}: {measure}"
        findings.append(
            Finding(
                check.id,
                measure,
                named,
                "count" if measure == "count" else "deviation",
                value,
                defect.place,
                0.0,
                judgements,
                _disposition(judgements),
                defect.id,
            )
        )
    if not findings:
        # a defect nobody wrote a limit for decides nothing by itself
        empty = Finding(
            check.id, "count", title, "count", Decimal(1), defect.place, 0.0, (), Disposition.OPEN, defect.id
        )
        return [empty]
    return findings


def assess_check(check: Check, cylinder: Cylinder, job: Job, tables: Tables) -> CheckResult:
    """One check: its places, its characteristics and defects, and what follows.

    Args:
        check: the check.
        cylinder: the checklist it stands in.
        job: the job.
        tables: the tables.
    Source: iso-14253-1
    """
    skipped = whole_skip(check, job) or ""
    if check.look:
        return _assess_look(check, cylinder, job, tables, skipped)
    if check.between:
        return _assess_between(check, cylinder, job, tables, skipped)
    readings = job.readings.get(check.id, {})
    places = tuple(dict.fromkeys((*places_of(check, job), *readings)))
    results = tuple(_place(check, place, job, tables) for place in places)
    grid = grid_of(check, job)
    findings = [_characteristic(check, name, job, tables, grid) for name in check.characteristics]
    measured = sum(1 for r in results if r.reading)
    disposition = _check_disposition(check, findings, measured == len(results), skipped)
    return CheckResult(check, results, tuple(findings), (), measured, len(results), skipped, disposition)


def _assess_between(check: Check, cylinder: Cylinder, job: Job, tables: Tables, skipped: str) -> CheckResult:
    """A clearance: done once both its checks are read everywhere, skipped with either of them."""
    finding = _clearance(check, job, tables)
    pair = [c for c in map(cylinder.check, check.between or ()) if c]
    done = all(place in job.readings.get(c.id, {}) for c in pair for place in places_of(c, job))
    skipped = skipped or next((why for c in pair if (why := whole_skip(c, job))), "")
    disposition = _check_disposition(check, [finding], done, skipped)
    return CheckResult(check, (), (finding,), (), int(done), 1, skipped, disposition)


def _place(check: Check, place: Place, job: Job, tables: Tables) -> PlaceResult:
    reading = job.readings.get(check.id, {}).get(place)
    judgement = judge_reading(check, reading, job, tables) if reading else None
    verdict = judgement.verdict if judgement else Verdict.NOT_MEASURED
    return PlaceResult(place, reading, job.skips.get((check.id, place)), verdict)


def _assess_look(check: Check, cylinder: Cylinder, job: Job, tables: Tables, skipped: str) -> CheckResult:
    defects = tuple(d for d in job.defects if d.check == check.id)
    findings = []
    for defect in defects:
        kind = cylinder.defect(defect.kind)
        findings += _defect_findings(check, defect, job, tables, kind.title if kind else defect.kind)
    looked = check.id in job.looked
    disposition = _check_disposition(check, findings, looked, skipped)
    return CheckResult(check, (), tuple(findings), defects, int(looked), 1, skipped, disposition)


def _check_disposition(
    check: Check, findings: Iterable[Finding], complete: bool, skipped: str
) -> Disposition:
    every = tuple(findings)
    if complete:
        return _worst_disposition(f.disposition for f in every)
    found = _worst_disposition(f.disposition for f in every if f.value is not None)
    if found is not Disposition.REUSE:
        return found
    return Disposition.REUSE if check.optional and skipped else Disposition.OPEN


def assess_part(part: Part, cylinder: Cylinder, job: Job, tables: Tables) -> PartResult:
    """One part: its checks and the worst of what follows from them.

    Args:
        part: the part.
        cylinder: the checklist.
        job: the job.
        tables: the tables.
    Source: none
    """
    checks = tuple(assess_check(c, cylinder, job, tables) for c in cylinder.checks_of(part.id))
    computed = _worst_disposition(c.disposition for c in checks)
    gauged = [c for c in checks if not c.check.look and not c.check.between]
    if computed is Disposition.REUSE and gauged and not any(c.measured for c in gauged):
        # every measurement was skipped with a reason: nothing speaks against the part, and nothing for it
        computed = Disposition.UNCHECKED
    return PartResult(part, checks, computed, job.decided.get(part.id))


def assess(job: Job, tables: Tables) -> Assessment:
    """The whole cylinder. Repair includes a reseal of parts that are all fit for reuse.

    A body part to be replaced means the cylinder is replaced; a part that is stopped or not decided
    leaves the whole undecided unless a replacement is already certain.

    Args:
        job: the job.
        tables: the tables that judge it.
    Raises:
        KeyError: when the tables lack the job's cylinder.
    Source: none
    """
    cylinder = tables.cylinders[job.cylinder]
    parts = tuple(assess_part(p, cylinder, job, tables) for p in cylinder.parts)
    replaced = tuple(p for p in parts if p.part.body and p.disposition is Disposition.REPLACE)
    undecided = tuple(p for p in parts if p.disposition in (Disposition.OPEN, Disposition.REFER))
    if replaced:
        return Assessment(parts, Whole.REPLACE, replaced)
    if undecided:
        return Assessment(parts, Whole.OPEN, undecided)
    fit = (Disposition.REUSE, Disposition.UNCHECKED)
    worked_on = tuple(p for p in parts if p.disposition not in fit)
    return Assessment(parts, Whole.REPAIR, worked_on)


def check_verdict(result: CheckResult) -> Verdict:
    """The worst verdict of a check's findings; not measured counts while the check is not complete.

    Args:
        result: the check's result.
    Source: none
    """
    verdicts = [f.verdict for f in result.findings if f.verdict is not None]
    if result.complete and result.check.look and not verdicts:
        return Verdict.WITHIN
    return worst(verdicts if result.complete else [*verdicts, Verdict.NOT_MEASURED])
