"""The ways a cylinder can be brought back: operations that cure all that was found, each way reckoned as it will be.

A path is offered only when it leaves nothing beyond its limit and everything reckoned afterwards is proven
within; one that passes only in the middle of its uncertainty, or lacks a figure, is not proven.
"""

from __future__ import annotations

import enum
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

from inspect_app.job.afterwards import outcomes
from inspect_app.job.assess import Assessment
from inspect_app.job.cures import (
    Barred,
    Operating,
    ToCure,
    barred,
    covers,
    cured_by,
    left_over,
    nonsense_in,
    stops,
    to_cure,
    to_renew,
    with_partners,
)
from inspect_app.job.findings import CheckResult, Disposition, Finding
from inspect_app.job.outcome import Band, Bands, Outcome
from inspect_app.job.planned import Found, Plan, planned
from inspect_app.job.words import finding_sentence
from inspect_app.tables.operations import Operation, Operations
from inspect_app.trade.measuring.decision import Verdict, worst
from inspect_app.trade.measuring.refusal import Said, Sentence, joined
from inspect_app.trade.measuring.wording import counted

ALWAYS = frozenset({"reseal"})
"""What every repair ends with."""

BORE_WORK = frozenset({"hone"})
BORE_PARTNERS: tuple[Operating, ...] = (frozenset(), frozenset({"special-seal"}), frozenset({"new-piston"}))
"""What a larger bore may need beside new seals: nothing, a seal made for it, or a piston made for it."""


class Standing(enum.Enum):
    """What may be said of a path."""

    OFFERED = "offered"
    UNPROVEN = "not proven"
    REFUSED = "refused"


@dataclass(frozen=True, slots=True)
class RepairPath:
    """One way to bring a cylinder back: its operations in order and what was reckoned for it.

    `nonsense` are sentences that refuse it, `left` what it leaves beyond a limit, `asks` what must be settled
    before it may be offered.
    """

    plan: Plan
    outcomes: tuple[Outcome, ...]
    nonsense: tuple[Said | str, ...] = ()
    left: tuple[Sentence, ...] = ()
    asks: tuple[Said | str, ...] = ()

    @property
    def operations(self) -> tuple[str, ...]:
        """Its operations in the order of the trade."""
        return self.plan.operations

    @property
    def verdict(self) -> Verdict:
        """The worst of what was reckoned; within where nothing had to be."""
        return worst([Verdict.WITHIN, *(o.verdict for o in self.outcomes)])

    @property
    def standing(self) -> Standing:
        """Offered, not proven, or refused."""
        if self.nonsense or self.left or self.verdict is Verdict.BEYOND:
            return Standing.REFUSED
        return Standing.UNPROVEN if self.asks or self.verdict is not Verdict.WITHIN else Standing.OFFERED

    @property
    def reasons(self) -> tuple[Said | str, ...]:
        """Why it is not offered, figure against limit; none for one that is."""
        if self.standing is Standing.REFUSED:
            beyond = tuple(o.sentence for o in self.outcomes if o.verdict is Verdict.BEYOND)
            return (*self.nonsense, *self.left, *beyond)
        return (*self.asks, *(o.sentence for o in self.outcomes if o.verdict is not Verdict.WITHIN))


@dataclass(frozen=True, slots=True)
class Paths:
    """Every way for one cylinder. With `stops` none is offered, whatever it costs.

    `barred` are operations that do not reach so far; `uncured` is what nothing in reach cures.
    """

    stops: tuple[Said | str, ...]
    every: tuple[RepairPath, ...]
    barred: tuple[Barred, ...]
    uncured: tuple[Sentence, ...]

    def standing(self, standing: Standing) -> tuple[RepairPath, ...]:
        """The paths of one standing; none is offered over a stop."""
        if self.stops and standing is Standing.OFFERED:
            return ()
        return tuple(p for p in self.every if p.standing is standing)

    @property
    def offered(self) -> tuple[RepairPath, ...]:
        """The paths that may be offered."""
        return self.standing(Standing.OFFERED)


Judge = Callable[[Plan], Sequence[Outcome]]
"""Judges the cylinder as planned by the same checks as the one found."""


def _nothing_more(_: Plan) -> Sequence[Outcome]:
    return ()


@dataclass(frozen=True, slots=True)
class Case:
    """One cylinder to find paths for: how it was judged, its sizes, the limits and rules that hold.

    `answers` are what was said of it, `duties` what is known of its duty, `confirmed` the operations that
    somebody answered for; `judge` judges a planned cylinder by the checks themselves. `own_bands` are the limits
    of each stage or side.
    """

    assessment: Assessment
    found: Found
    bands: Bands
    rules: Operations
    answers: Mapping[str, str] = field(default_factory=dict)
    duties: Mapping[str, bool] = field(default_factory=dict)
    confirmed: frozenset[str] = frozenset()
    judge: Judge = _nothing_more
    own_bands: Mapping[str, Bands] = field(default_factory=dict)

    @property
    def candidates(self) -> tuple[Operation, ...]:
        """The operations that are done on such a cylinder."""
        never, there = self.rules.never_done, {"", *self.found.each}
        return tuple(
            o
            for o in self.rules.by_id.values()
            if o.id not in never and o.at in there and o.fits(self.answers)
        )


def paths_of(case: Case) -> Paths:
    """Every way to bring a cylinder back, those with the fewest operations first.

    Args:
        case: the cylinder.
    """
    wanted, tried = to_cure(case.assessment), tried_of(case)
    every = [path_of(case, wanted, operations) for operations in tried]
    every.sort(key=lambda p: (len(p.operations), p.operations))
    uncured = () if tried else tuple(w.sentence for w in _without_cure(wanted, case.candidates))
    return Paths(_stops(case), tuple(_worth_saying(every)), barred(wanted, case.candidates), uncured)


def tried_of(case: Case) -> frozenset[Operating]:
    """The operations of every path, before any of it is reckoned.

    Args:
        case: the cylinder.
    """
    found = covers(to_cure(case.assessment), case.candidates, to_renew(case.assessment))
    return frozenset(with_partners(v | ALWAYS, case.rules) for s in found for v in _variants(s, case))


def path_of(case: Case, wanted: tuple[ToCure, ...], operations: Operating) -> RepairPath:
    """One way reckoned: also one that somebody put together by hand.

    Args:
        case: the cylinder.
        wanted: what has to be cured.
        operations: ids of the operations.
    """
    plan = planned(case.found, operations, case.rules)
    refused, asked = nonsense_in(operations, case.assessment, wanted, case.rules, case.duties)
    left = left_over(operations, wanted, case.rules)
    sure = tuple(w.sentence for w in left if w.certain)
    settle = tuple(joined((w.sentence, SETTLE), " ") for w in left if not w.certain)
    unsure = tuple(
        joined((w.sentence, TOO_CLOSE), " ")
        for w in wanted
        if w.certain and _only_maybe(w, operations, case.rules)
    )
    own = (x for at, one in plan.each.items() for x in outcomes(one, case.own_bands.get(at, {})))
    told = (*outcomes(plan, case.bands), *own, *case.judge(plan))
    confirm = tuple(
        c for o in plan.operations if (c := case.rules.by_id[o].confirm) and o not in case.confirmed
    )
    asks: tuple[Said | str, ...] = (*asked, *confirm, *settle, *unsure, *_open(case, operations))
    return RepairPath(plan, told, refused, sure, asks)


SETTLE = "Read it with a better gauge, or somebody decides by name."
TOO_CLOSE = "It is too close to the reach of this work to call."


def _only_maybe(wanted: ToCure, operations: Operating, rules: Operations) -> bool:
    """Whether each operation that cures it may end before it."""
    cures = [rules.by_id[o] for o in operations if cured_by(wanted, rules.by_id[o])]
    return bool(cures) and all(wanted.reach(o) is not Verdict.WITHIN for o in cures)


def _open(case: Case, operations: Operating) -> tuple[Said | str, ...]:
    """Parts something required is missing of, or a new one was decided for, unless a new one takes their place."""
    renewed = {part for o in operations for part in case.rules.by_id[o].renews}
    parts = {p.part.id: p.part.title for p in case.assessment.parts}
    undone = tuple(
        f"{parts[part]}: somebody decided for a new one, and no work here puts one in."
        for part in to_renew(case.assessment)
        if part not in renewed
    )
    return (
        undone
        + _unsized(case, operations, renewed)
        + tuple(
            f"{p.part.title}: {counted(p.left, 'place is', 'places are')} not measured or answered yet."
            for p in case.assessment.parts
            if p.left and p.part.id not in renewed and not p.decided
        )
    )


def _unsized(case: Case, operations: Operating, renewed: set[str]) -> tuple[Sentence, ...]:
    """Defects nobody has measured or can judge, unless the work takes them away whatever their size."""
    done = [case.rules.by_id[o] for o in operations]
    return tuple(
        joined((result.check.title, finding_sentence(finding)), ": ")
        for part in case.assessment.parts
        if part.part.id not in renewed and not part.decided
        for result in part.checks
        for finding in result.findings
        if finding.defect
        and finding.disposition is Disposition.OPEN
        and finding.verdict in (None, Verdict.NOT_MEASURED)
        and not any(o.does_cure(result.check.id, _kind_of(finding, result)) for o in done)
    )


def _kind_of(finding: Finding, result: CheckResult) -> str:
    return next(d.kind for d in result.defects if d.id == finding.defect)


def _variants(operations: Operating, case: Case) -> list[Operating]:
    partners = (
        BORE_PARTNERS if {case.rules.by_id[o].name for o in operations} & BORE_WORK else BORE_PARTNERS[:1]
    )
    parts = {p.part.id for p in case.assessment.parts}
    there = [x for x in partners if all({*case.rules.by_id[o].renews} <= parts for o in x)]
    return [operations | partner for partner in there]


def _without_cure(wanted: tuple[ToCure, ...], candidates: tuple[Operation, ...]) -> list[ToCure]:
    return [w for w in wanted if w.certain and not any(cured_by(w, o) for o in candidates)]


NO_RATING = "The rated pressure is not known: nothing is offered before it is."


def _stops(case: Case) -> tuple[Said | str, ...]:
    rating = () if case.found.cylinder.rated_mpa else (NO_RATING,)
    return (*stops(case.assessment), *rating)


def _worth_saying(every: list[RepairPath]) -> list[RepairPath]:
    """Without ways that only add work to one that is offered already."""
    offered = [frozenset(p.operations) for p in every if p.standing is Standing.OFFERED]
    return [p for p in every if not any(o < frozenset(p.operations) for o in offered)]


def bands_of(
    assessment: Assessment, rules: Operations, roles: Mapping[str, str] | None = None
) -> dict[str, Band]:
    """The limits of the tables that a planned size is held against, by key.

    Args:
        assessment: the cylinder as it was judged, each finding with its limits.
        rules: the operations, for the stock honing takes beyond the mark.
        roles: the check in each role, of one stage or side; each in that of its id if None.
    """
    found = {}
    for key, (role, characteristic, level, side) in LIMITS.items():
        check = role if roles is None else roles.get(role, "")
        limit = next(
            (
                j.limit
                for p in assessment.parts
                for c in p.checks
                if c.check.id == check
                for f in c.findings
                if f.characteristic == characteristic and not f.defect and (j := f.judgement(level))
            ),
            None,
        )
        if limit is None or limit.missing:
            continue
        lower = None if limit.lower is None or side == "upper" else float(limit.lower)
        upper = None if limit.upper is None or side == "lower" else float(limit.upper)
        found[key] = Band(lower, upper, limit.source.key)
    if (bore := found.get("bore")) and bore.upper is not None:
        # the limit keeps back what cleaning up takes; the planned bore has it taken out
        found["bore"] = Band(None, bore.upper + float(rules.figure("hone", "stock")), bore.source)
    return found


LIMITS: Mapping[str, tuple[str, str, str, str]] = {
    "bore": ("bore-diameter", "size", "rework", "upper"),
    "clearance": ("piston-clearance", "clearance", "reuse", "both"),
    "gland": ("gland-clearance", "clearance", "reuse", "both"),
    "chrome": ("rod-chrome", "least", "reuse", "lower"),
    "base": ("rod-diameter", "size", "rework", "lower"),
    "runout": ("rod-runout", "tir", "reuse", "upper"),
}
"""Which limit a planned size is held against: check, characteristic, level, and the side that counts."""
