"""What was made of one check: findings with their judgements, and what follows from them; judges nothing itself.

Of several values the one with the least room speaks for all. Beyond the reuse limit is rework if an operation
reaches that far, else replace; too close to call decides nothing.
"""

from __future__ import annotations

import enum
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from inspect_app.entries.job import Defect, Place, Reading, Skip
from inspect_app.job.judge import Judgement, LimitInForce, judge
from inspect_app.job.measured import Sized
from inspect_app.tables.cylinders import Check
from inspect_app.trade.measuring.decision import Verdict, worst
from inspect_app.trade.measuring.refusal import Sentence
from inspect_app.trade.measuring.uncertainty import Terms, u_of


class Disposition(enum.Enum):
    """What becomes of a part, by id; in this order the first wins. ABSENT is a part that is not there: nothing to
    judge."""

    REFER = "stop"
    REPLACE = "replace"
    REWORK = "rework"
    OPEN = "not-decided"
    UNCHECKED = "not-checked"
    REUSE = "reuse"
    ABSENT = "not-fitted"


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
    characteristic, `seen` what the trade calls it, and `typed` its size as somebody typed it. `cannot_say` are
    sentences on what its readings do not settle.
    """

    check: Check
    characteristic: str
    title: str
    kind: str
    value: Decimal | None
    place: Place
    terms: Terms
    judgements: tuple[Judgement, ...]
    disposition: Disposition
    defect: str = ""
    seen: str = ""
    typed: str = ""
    cannot_say: tuple[Sentence, ...] = ()

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

    `why` says in words why it was skipped. `judgement` is None where single readings have no limit, or where the
    gauge is not known.
    """

    place: Place
    reading: Reading | None
    skip: Skip | None
    sized: Sized | None
    judgement: Judgement | None
    why: str = ""

    @property
    def verdict(self) -> Verdict:
        """The verdict on this reading alone, against the reuse limit."""
        return self.judgement.verdict if self.judgement else Verdict.NOT_MEASURED


@dataclass(frozen=True, slots=True)
class CheckResult:
    """Everything made of one check. `skipped` is the reason for leaving all of it out in words, "" if it was not;
    `not_fitted` says that it is that what is checked is not there."""

    check: Check
    places: tuple[PlaceResult, ...]
    findings: tuple[Finding, ...]
    defects: tuple[Defect, ...]
    measured: int
    expected: int
    skipped: str
    disposition: Disposition
    not_fitted: bool = False

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


def room_of(judgements: Sequence[Judgement]) -> tuple[int, Decimal]:
    """Sort key: the worst judged value of several first.

    Args:
        judgements: the judgements on one value, by level.
    """
    reuse = next((j for j in judgements if j.limit.level == "reuse"), None)
    room = reuse.decision.room if reuse and reuse.decision else None
    return list(Disposition).index(disposition_of(judgements)), room if room is not None else Decimal(0)


def judgements_of(value: Value, limits: Mapping[str, LimitInForce]) -> tuple[Judgement, ...]:
    """One value judged against the limit on each level that decides something: on what is new nothing hangs.

    Args:
        value: the value.
        limits: the limits in force, by level.
    """
    u = u_of(value.terms)
    return tuple(judge(value.value, u, limit) for level, limit in limits.items() if level != "new")


def finding_of(
    check: Check,
    characteristic: str,
    title: str,
    kind: str,
    value: Value,
    limits: Mapping[str, LimitInForce],
) -> Finding:
    """One value judged against the limit on each level.

    Args:
        check: its check.
        characteristic: what it is.
        title: what it is called in a sentence.
        kind: the quantity's kind.
        value: the value, where it belongs, and what it may be wrong by.
        limits: the limits in force, by level.
    """
    u = u_of(value.terms)
    judgements = tuple(judge(value.value, u, limit) for limit in limits.values())
    disposition = disposition_of(judgements)
    return Finding(
        check, characteristic, title, kind, value.value, value.place, value.terms, judgements, disposition
    )


def check_verdict(result: CheckResult) -> Verdict:
    """The worst verdict of a check's findings; not measured counts while the check is not complete.

    Args:
        result: the check's result.
    """
    verdicts = [f.verdict for f in result.findings if f.verdict is not None]
    if result.complete and result.check.look and not verdicts:
        return Verdict.WITHIN
    return worst(verdicts if result.complete else [*verdicts, Verdict.NOT_MEASURED])
