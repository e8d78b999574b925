"""What has to be cured on a cylinder, what cures it, and what is nonsense together; reckons nothing.

A finding beyond its limit is cured by an operation that names it and reaches that far. One too close to call is
settled by a better reading, by a person, or by an operation that would cure it anyway.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from inspect_app.job.assess import Assessment, PartResult
from inspect_app.job.findings import CheckResult, Disposition, Finding
from inspect_app.job.words import finding_sentence, limit_sentence, part_reasons
from inspect_app.tables.operations import Nonsense, Operation, Operations
from inspect_app.trade.measuring.decision import Verdict
from inspect_app.trade.measuring.refusal import Sentence, joined

Operating = frozenset[str]
"""Ids of operations done together."""

HAS_WORK = (Disposition.REWORK, Disposition.REPLACE, Disposition.OPEN)


@dataclass(frozen=True, slots=True)
class ToCure:
    """One finding that may not stay: its part, its check with its title, and the characteristic or defect it is.

    `certain` is false for one too close to call: it may turn out to be fit.
    """

    part: str
    check: str
    title: str
    name: str
    zone: str
    finding: Finding
    certain: bool = True

    @property
    def sentence(self) -> Sentence:
        """The finding with its check, value, place and limit."""
        return joined((self.title, finding_sentence(self.finding)), ": ")

    def reach(self, operation: Operation) -> Verdict:
        """What the rework limit says of this operation's reach; within where it has none."""
        if not operation.is_held_by(self.check, self.finding.characteristic):
            return Verdict.WITHIN
        reach = self.finding.judgement("rework")
        return reach.verdict if reach else Verdict.WITHIN


@dataclass(frozen=True, slots=True)
class Barred:
    """An operation that would cure a finding if it reached so far; `sentence` says at which figure it ends."""

    operation: str
    sentence: Sentence


def to_cure(assessment: Assessment) -> tuple[ToCure, ...]:
    """Every finding that may not stay as it is, part by part.

    A part that a person decided to use again has none: that was decided with open eyes.

    Args:
        assessment: the cylinder as it was judged.
    """
    return tuple(
        wanted
        for part in assessment.parts
        if not (part.decided and part.disposition is Disposition.REUSE)
        for result in part.checks
        for finding in result.findings
        if finding.disposition in HAS_WORK and finding.verdict in (Verdict.BEYOND, Verdict.UNCLEAR)
        for wanted in [_wanted(part, result, finding)]
    )


def stopping(assessment: Assessment) -> tuple[ToCure, ...]:
    """Every finding that stops a part until a qualified person has decided.

    Args:
        assessment: the cylinder as it was judged.
    """
    return tuple(
        _wanted(part, result, finding)
        for part in assessment.stopped
        for result in part.checks
        for finding in result.findings
        if finding.disposition is Disposition.REFER
    )


def _wanted(part: PartResult, result: CheckResult, finding: Finding) -> ToCure:
    defect = next((d for d in result.defects if d.id == finding.defect), None)
    return ToCure(
        part.part.id,
        result.check.id,
        result.check.title,
        defect.kind if defect else finding.characteristic,
        defect.zone if defect else "",
        finding,
        finding.verdict is Verdict.BEYOND,
    )


def stops(assessment: Assessment) -> tuple[Sentence, ...]:
    """Why nothing may be offered, whatever it costs; none where nothing stops.

    Args:
        assessment: the cylinder as it was judged.
    """
    return tuple(
        joined((part.part.title, reason), ": ")
        for part in assessment.stopped
        for reason in part_reasons(part)
    )


def barred(wanted: Iterable[ToCure], candidates: Iterable[Operation]) -> tuple[Barred, ...]:
    """Operations that would cure a finding but do not reach so far.

    Args:
        wanted: what has to be cured.
        candidates: the operations that are done on such a cylinder.
    """
    return tuple(
        Barred(operation.id, joined((w.sentence, _reach(w)), " "))
        for w in wanted
        for operation in candidates
        if operation.does_cure(w.check, w.name) and w.reach(operation) is Verdict.BEYOND
    )


def _reach(wanted: ToCure) -> Sentence:
    reach = wanted.finding.judgement("rework")
    assert reach
    return Sentence("It reaches {limit}.", {"limit": limit_sentence(reach.limit, wanted.finding.kind)})


def to_renew(assessment: Assessment) -> tuple[str, ...]:
    """The parts a person decided to put a new one in for, whatever was measured on them.

    Args:
        assessment: the cylinder as it was judged.
    """
    decided = (p for p in assessment.parts if p.decided and p.disposition is Disposition.REPLACE)
    return tuple(p.part.id for p in decided)


def covers(
    wanted: Iterable[ToCure], candidates: Iterable[Operation], renew: Iterable[str] = ()
) -> tuple[Operating, ...]:
    """Every least set of operations that cures all that is certain; none where something has no cure in reach.

    Args:
        wanted: what has to be cured.
        candidates: the operations that are done on such a cylinder.
        renew: parts that somebody decided to put a new one in for.
    """
    able = tuple(candidates)
    needed = [n for part in renew if (n := [o.id for o in able if part in o.renews])]
    needed += [[o.id for o in able if cured_by(w, o)] for w in wanted if w.certain]
    sets: list[Operating] = [frozenset()]
    for cures in needed:
        sets = _least([s if s & {*cures} else s | {cure} for s in sets for cure in cures])
    return tuple(sets)


def cured_by(wanted: ToCure, operation: Operation) -> bool:
    """Whether an operation cures a finding and is not proven to end before it.

    Args:
        wanted: the finding.
        operation: the operation.
    """
    return operation.does_cure(wanted.check, wanted.name) and wanted.reach(operation) is not Verdict.BEYOND


def _least(sets: Iterable[Operating]) -> list[Operating]:
    """Without those that hold another one whole."""
    found = sorted(set(sets), key=lambda s: (len(s), sorted(s)))
    return [s for n, s in enumerate(found) if not any(other <= s for other in found[:n])]


def with_partners(operations: Operating, rules: Operations) -> Operating:
    """Operations with what they must never be done without.

    Args:
        operations: ids of the operations.
        rules: the operations.
    """
    done = operations
    for nonsense in rules.nonsense:
        if nonsense.without and set(nonsense.together) <= done and not done & {*nonsense.without}:
            done = done | {nonsense.without[0]}
    return done


def left_over(operations: Operating, wanted: Iterable[ToCure], rules: Operations) -> tuple[ToCure, ...]:
    """What none of the operations cures.

    Args:
        operations: ids of the operations.
        wanted: what has to be cured.
        rules: the operations.
    """
    return tuple(w for w in wanted if not any(cured_by(w, rules.by_id[o]) for o in operations))


def nonsense_in(
    operations: Operating,
    assessment: Assessment,
    wanted: tuple[ToCure, ...],
    rules: Operations,
    duties: Mapping[str, bool],
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The sentences that refuse these operations, and what must be asked before they may be offered.

    Args:
        operations: ids of the operations.
        assessment: the cylinder as it was judged.
        wanted: what has to be cured.
        rules: the operations and what is nonsense.
        duties: what is known of the cylinder's duty, by field of the nameplate; yes or no.
    """
    refused, asked = [], []
    for nonsense in rules.nonsense:
        if not set(nonsense.together) <= operations or operations & {*nonsense.without}:
            continue
        if nonsense.duty and nonsense.duty not in duties:
            asked.append(nonsense.ask)
        elif _holds(nonsense, operations, assessment, wanted, rules, duties):
            refused.append(nonsense.sentence)
    return tuple(refused), tuple(asked)


def _holds(
    nonsense: Nonsense,
    operations: Operating,
    assessment: Assessment,
    wanted: tuple[ToCure, ...],
    rules: Operations,
    duties: Mapping[str, bool],
) -> bool:
    chosen = [rules.by_id[o] for o in nonsense.together]
    if nonsense.duty:
        return duties[nonsense.duty]
    if nonsense.left:
        return any(w.certain for w in left_over(operations, wanted, rules))
    if nonsense.zone:
        return any(w.zone == nonsense.zone and any(cured_by(w, o) for o in chosen) for w in wanted)
    if nonsense.finding:
        parts = {part for o in chosen for part in o.parts}
        return any(
            d.kind == nonsense.finding
            for p in assessment.parts
            if p.part.id in parts
            for c in p.checks
            for d in c.defects
        )
    return True
