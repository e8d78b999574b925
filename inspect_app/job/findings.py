"""Judges what stands about one check: every characteristic of its readings, every size of its defects.

Each value is judged once, here; whoever shows or prints it takes the judgement from the result. Three rules
hold. An unmeasured place is never a pass. Of several values the one with the least room speaks for all. Beyond
the reuse limit is rework if an operation reaches that far, else replace; too close to call decides nothing.
"""

from __future__ import annotations

import enum
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal

from inspect_app.job.job import Defect, Job, Place, Reading, Skip
from inspect_app.job.judge import Judgement, LimitInForce, Mark, judge, limits_for
from inspect_app.job.measured import Sized, size_terms, sized
from inspect_app.job.places import places_of, whole_skip
from inspect_app.tables import Tables
from inspect_app.tables.cylinders import Check, Cylinder
from inspect_app.trade.characteristics import CHARACTERISTICS, Compute
from inspect_app.trade.decision import Verdict, worst
from inspect_app.trade.grid import Grid
from inspect_app.trade.making import Made, Supports
from inspect_app.trade.refusal import Refusal
from inspect_app.trade.uncertainty import Terms, linear, u_of


class Disposition(enum.Enum):
    """What becomes of a part; in this order the first wins."""

    REFER = "stop"
    REPLACE = "replace"
    REWORK = "rework"
    OPEN = "not decided"
    UNCHECKED = "not checked"
    REUSE = "reuse"


@dataclass(frozen=True, slots=True)
class Value:
    """A value to be judged, where it belongs, and what it may be wrong by, source by source."""

    value: Decimal | None
    place: Place
    terms: Terms


NOTHING = Value(None, Place("", ""), {})


@dataclass(frozen=True, slots=True)
class Finding:
    """One characteristic of a check, or one measure of a defect: its worst value and the judgements on it.

    `kind` names the quantity for showing it; `terms` are the contributions to its uncertainty by source;
    judgements come by level, reuse first. `defect` is the defect's id in the log, "" for a measured
    characteristic. `cannot_say` are sentences on what its readings do not settle.
    """

    check: str
    characteristic: str
    title: str
    kind: str
    value: Decimal | None
    place: Place
    terms: Terms
    judgements: tuple[Judgement, ...]
    disposition: Disposition
    defect: str = ""
    cannot_say: tuple[str, ...] = ()

    @property
    def u(self) -> float:
        """Its standard uncertainty, in the unit of the value."""
        return u_of(self.terms)

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
    """One place of a check: its reading as it was judged, or the reason it was skipped, or neither yet.

    `judgement` is None where single readings have no limit, or where the gauge is not known.
    """

    place: Place
    reading: Reading | None
    skip: Skip | None
    sized: Sized | None
    judgement: Judgement | None

    @property
    def verdict(self) -> Verdict:
        """The verdict on this reading alone, against the reuse limit."""
        return self.judgement.verdict if self.judgement else Verdict.NOT_MEASURED


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

    @property
    def settled(self) -> bool:
        """Whether nothing more is needed of it: complete, or left out where it may be, and nothing open."""
        done = self.complete or (self.check.optional and bool(self.skipped))
        known = [f for f in self.findings if f.value is not None or self.complete]
        return done and not any(f.disposition is Disposition.OPEN for f in known)

    @property
    def left(self) -> int:
        """How many of its places, or whether its look, are still neither done nor skipped."""
        if self.skipped:
            return 0
        if not self.places:
            return self.expected - self.measured
        return sum(1 for p in self.places if not p.reading and not p.skip)


def grid_of(check: Check, job: Job) -> Grid:
    """The check's places with what was read there, None where nothing was.

    Args:
        check: the check.
        job: the job.
    """
    readings = job.readings.get(check.id, {})
    places = dict.fromkeys((*places_of(check, job), *readings))
    return {place: readings[place].value if place in readings else None for place in places}


def _made(compute: Compute, grid: Grid, job: Job) -> Made:
    """What is made of the readings; of those that cannot be, which a log of elsewhere may hold, the sentence."""
    span_mm = job.length("support_span")
    supports = Supports(Decimal(0), span_mm) if span_mm else None
    try:
        return compute(grid, supports)
    except Refusal as refusal:
        return Made((), (str(refusal),))


def judge_reading(check: Check, reading: Reading, job: Job, tables: Tables) -> Judgement | None:
    """The reuse verdict on one reading the moment it stands; None where single readings have no limit.

    Args:
        check: its check.
        reading: the reading.
        job: the job.
        tables: the tables.
    """
    limit = _reading_limit(check, job, tables)
    judged = sized(reading, check, job, tables) if limit else None
    return judge(judged.value, u_of(judged.terms), limit) if judged and limit else None


def _reading_limit(check: Check, job: Job, tables: Tables) -> LimitInForce | None:
    """The reuse limit single readings of a check are judged against."""
    name = next((c for c in check.characteristics if CHARACTERISTICS[c].scope == "place"), None)
    return limits_for(check, name, job, tables).get("reuse") if name else None


def _place(check: Check, place: Place, limit: LimitInForce | None, job: Job, tables: Tables) -> PlaceResult:
    reading = job.readings.get(check.id, {}).get(place)
    judged = sized(reading, check, job, tables) if reading else None
    judgement = judge(judged.value, u_of(judged.terms), limit) if judged and limit else None
    return PlaceResult(place, reading, job.skips.get((check.id, place)), judged, judgement)


def disposition_of(judgements: Iterable[Judgement]) -> Disposition:
    """What follows from the judgements on one value.

    Args:
        judgements: by level; without one for reuse nothing follows.
    """
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


def worst_disposition(dispositions: Iterable[Disposition]) -> Disposition:
    """Of several dispositions the one that wins; none at all is reuse.

    Args:
        dispositions: the dispositions.
    """
    order = list(Disposition)
    return min(dispositions, key=order.index, default=Disposition.REUSE)


def _room(finding: Finding) -> tuple[int, Decimal]:
    """Sort key: the worst judged value of several first."""
    reuse = finding.judgement("reuse")
    room = reuse.decision.room if reuse and reuse.decision else None
    return list(Disposition).index(finding.disposition), room if room is not None else Decimal(0)


def _finding(
    check: Check, characteristic: str, value: Value, limits: Mapping[str, LimitInForce], kind: str
) -> Finding:
    u = u_of(value.terms)
    judgements = tuple(judge(value.value, u, limit) for limit in limits.values())
    title = CHARACTERISTICS[characteristic].title
    return Finding(
        check.id,
        characteristic,
        title,
        kind,
        value.value,
        value.place,
        value.terms,
        judgements,
        disposition_of(judgements),
    )


def _characteristic(
    check: Check, name: str, places: Mapping[Place, PlaceResult], job: Job, tables: Tables
) -> Finding:
    """The finding for one characteristic: where several values exist, the one with the least room."""
    limits = limits_for(check, name, job, tables)
    how = CHARACTERISTICS[name]
    read = {p: r.sized for p, r in places.items() if r.sized}
    cannot_say: tuple[str, ...] = ()
    if how.compute is None:
        values = [Value(s.value, place, s.terms) for place, s in read.items()]
    else:
        made = _made(how.compute, grid_of(check, job), job)
        cannot_say = made.cannot_say
        values = [
            Value(
                m.value,
                Place(m.station, ""),
                linear((weight, read[Place(*cell)].terms) for cell, weight in m.weights.items()),
            )
            for m in made.measured
            if all(Place(*cell) in read for cell in m.weights)
        ]
    kind = how.kind_from(check.kind)
    findings = [_finding(check, name, v, limits, kind) for v in values or [NOTHING]]
    if limits.get("reuse") is None:
        pick = min if name == "least" else max
        speaks = pick(findings, key=lambda f: f.value or Decimal(0))
    else:
        speaks = min(findings, key=_room)
    return replace(speaks, cannot_say=cannot_say)


def _clearance(check: Check, job: Job, tables: Tables) -> Finding:
    """Hole less shaft of the two checks it lies between, at its greatest and its least: the one with less room."""
    limits = limits_for(check, "clearance", job, tables)
    holes, shafts = (_judged_sizes(c, job, tables) for c in check.between or ("", ""))
    if not (holes and shafts):
        return _finding(check, "clearance", NOTHING, limits, "deviation")
    greatest = (max(holes, key=_size), min(shafts, key=_size))
    least = (min(holes, key=_size), max(shafts, key=_size))
    values = [
        Value(hole.value - shaft.value, Place("", ""), linear([(1, hole.terms), (-1, shaft.terms)]))
        for hole, shaft in (greatest, least)
    ]
    return min((_finding(check, "clearance", v, limits, "deviation") for v in values), key=_room)


def _judged_sizes(check_id: str, job: Job, tables: Tables) -> list[Sized]:
    check = tables.cylinders[job.cylinder].check(check_id)
    if check is None:
        return []
    readings = job.readings.get(check_id, {}).values()
    return [s for r in readings if (s := sized(r, check, job, tables))]


def _size(judged: Sized) -> Decimal:
    return judged.value


def _defect_findings(
    check: Check, defect: Defect, cylinder: Cylinder, job: Job, tables: Tables
) -> list[Finding]:
    """Each measure of a defect against its limit, taken or not; that it is there at all counts as one.

    What a fingernail says stands in for a depth that nobody measured, and only for that.
    """
    kind = cylinder.defect(defect.kind)
    title = kind.title if kind else defect.kind
    where = Mark(defect.kind, defect.zone)
    findings = []
    for measure in cylinder.measures:
        limits = limits_for(check, measure.id, job, tables, where)
        if measure.id == "depth" and "depth" not in defect.sizes and defect.felt == "not felt":
            continue
        if measure.id != "depth" and not _counts_as_felt(check, defect, job, tables):
            limits = limits_for(check, measure.id, job, tables, replace(where, counts_as_felt=False))
        if limits:
            value = _defect_value(measure.id, measure.gauge, defect, job, tables)
            findings.append(
                _of_defect(
                    check, defect, measure.id, f"{title}: {measure.title}", measure.kind, value, limits
                )
            )
    for name, number in (("felt", _felt(defect)), ("count", Decimal(1))):
        limits = limits_for(check, name, job, tables, where)
        if limits and number is not None:
            one = Value(number, defect.place, {})
            findings.append(_of_defect(check, defect, name, title, name, one, limits))
    if findings:
        return findings
    # a defect nobody wrote a limit for decides nothing by itself
    return [
        Finding(
            check.id, "count", title, "count", Decimal(1), defect.place, {}, (), Disposition.OPEN, defect.id
        )
    ]


def _of_defect(
    check: Check,
    defect: Defect,
    characteristic: str,
    title: str,
    kind: str,
    value: Value,
    limits: Mapping[str, LimitInForce],
) -> Finding:
    u = u_of(value.terms)
    judgements = tuple(judge(value.value, u, limit) for limit in limits.values())
    return Finding(
        check.id,
        characteristic,
        title,
        kind,
        value.value,
        defect.place,
        value.terms,
        judgements,
        disposition_of(judgements),
        defect.id,
    )


def _felt(defect: Defect) -> Decimal | None:
    """1 for a mark that is felt, 0 for one that is not; None where its depth was measured or nobody said."""
    if "depth" in defect.sizes or not defect.felt:
        return None
    return Decimal(1) if defect.felt == "felt" else Decimal(0)


def _counts_as_felt(check: Check, defect: Defect, job: Job, tables: Tables) -> bool:
    """Whether a mark counts as one a nail feels: unless it was not felt, or its depth is proven within limit."""
    if "depth" not in defect.sizes:
        return defect.felt != "not felt"
    depth = limits_for(check, "depth", job, tables, Mark(defect.kind, defect.zone)).get("reuse")
    if depth is None:
        return True
    measure = tables.cylinders[job.cylinder].measure("depth")
    value = _defect_value("depth", measure.gauge if measure else "", defect, job, tables)
    return judge(value.value, u_of(value.terms), depth).verdict is not Verdict.WITHIN


def _defect_value(measure: str, gauge_kind: str, defect: Defect, job: Job, tables: Tables) -> Value:
    size = defect.sizes.get(measure)
    if size is None:
        return Value(None, defect.place, {})
    terms = size_terms(size, gauge_kind, f"{defect.id} {measure}", job, tables)
    return Value(size.value if terms is not None else None, defect.place, terms or {})


def assess_check(check: Check, cylinder: Cylinder, job: Job, tables: Tables) -> CheckResult:
    """One check: its places, its characteristics and defects, and what follows.

    Args:
        check: the check.
        cylinder: the checklist it stands in.
        job: the job.
        tables: the tables.
    """
    skipped = whole_skip(check, job) or ""
    if check.look:
        return _assess_look(check, cylinder, job, tables, skipped)
    if check.between:
        return _assess_between(check, cylinder, job, tables, skipped)
    limit = _reading_limit(check, job, tables)
    asked = dict.fromkeys((*places_of(check, job), *job.readings.get(check.id, {})))
    places = {place: _place(check, place, limit, job, tables) for place in asked}
    findings = [_characteristic(check, name, places, job, tables) for name in check.characteristics]
    measured = sum(1 for r in places.values() if r.reading)
    disposition = _check_disposition(check, findings, measured == len(places), skipped)
    return CheckResult(
        check, tuple(places.values()), tuple(findings), (), measured, len(places), skipped, disposition
    )


def _assess_between(check: Check, cylinder: Cylinder, job: Job, tables: Tables, skipped: str) -> CheckResult:
    """A clearance: done once both its checks are read everywhere, skipped with either of them."""
    finding = _clearance(check, job, tables)
    pair = [c for c in map(cylinder.check, check.between or ()) if c]
    done = all(place in job.readings.get(c.id, {}) for c in pair for place in places_of(c, job))
    skipped = skipped or next((why for c in pair if (why := whole_skip(c, job))), "")
    disposition = _check_disposition(check, [finding], done, skipped)
    return CheckResult(check, (), (finding,), (), int(done), 1, skipped, disposition)


def _assess_look(check: Check, cylinder: Cylinder, job: Job, tables: Tables, skipped: str) -> CheckResult:
    defects = tuple(d for d in job.defects if d.check == check.id)
    findings = [f for d in defects for f in _defect_findings(check, d, cylinder, job, tables)]
    looked = check.id in job.looked
    disposition = _check_disposition(check, findings, looked, skipped)
    return CheckResult(check, (), tuple(findings), defects, int(looked), 1, skipped, disposition)


def _check_disposition(
    check: Check, findings: Iterable[Finding], complete: bool, skipped: str
) -> Disposition:
    every = tuple(findings)
    if complete:
        return worst_disposition(f.disposition for f in every)
    found = worst_disposition(f.disposition for f in every if f.value is not None)
    if found is not Disposition.REUSE:
        return found
    return Disposition.REUSE if check.optional and skipped else Disposition.OPEN


def check_verdict(result: CheckResult) -> Verdict:
    """The worst verdict of a check's findings; not measured counts while the check is not complete.

    Args:
        result: the check's result.
    """
    verdicts = [f.verdict for f in result.findings if f.verdict is not None]
    if result.complete and result.check.look and not verdicts:
        return Verdict.WITHIN
    return worst(verdicts if result.complete else [*verdicts, Verdict.NOT_MEASURED])
