"""What stands of a job's steps: what was done with each, and what was recorded in it; values only, pure."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal

from inspect_app.tables.steps import RELEASE

STARTED, STOPPED, CLOSED, SKIPPED, OPENED = (
    "started",
    "stopped",
    "closed",
    "skipped",
    "opened",
)
DID = {
    STARTED: "started",
    STOPPED: "stopped",
    CLOSED: "closed",
    SKIPPED: "skipped",
    OPENED: "opened again",
}
"""What may be done with a step, ids with what each is called."""


@dataclass(frozen=True, slots=True)
class Stepped:
    """What was done with a step (an id of DID), why where a reason was needed, by whom and when."""

    id: str
    step: str
    did: str
    reason: str
    by: str
    at: str


@dataclass(frozen=True, slots=True)
class Noted:
    """One record of a step: as typed, its canonical value where it is a quantity, by whom and when.

    Of a choice, and of words that stand instead of a number, `typed` is the id.
    """

    typed: str
    value: Decimal | None
    by: str
    at: str


@dataclass(frozen=True, slots=True)
class Steps:
    """Everything about a job's steps, in the order it was entered; records by step and record."""

    done: tuple[Stepped, ...] = ()
    records: Mapping[tuple[str, str], Noted] = field(default_factory=dict)

    def last(self, step: str) -> Stepped | None:
        """What was last done with a step beside starting and stopping, None for nothing yet."""
        said = (d for d in reversed(self.done) if d.step == step and d.did not in (STARTED, STOPPED))
        return next(said, None)

    @property
    def let_go(self) -> Stepped | None:
        """The closed release, with which the cylinder leaves; None while the job is under way."""
        last = self.last(RELEASE)
        return last if last is not None and last.did == CLOSED else None

    def over(self, step: str) -> bool:
        """Whether a step is closed or skipped."""
        last = self.last(step)
        return last is not None and last.did in (CLOSED, SKIPPED)

    def running(self, step: str) -> tuple[Stepped, ...]:
        """Who is at work in a step: what each started and did not stop."""
        at_work: dict[str, Stepped] = {}
        for done in (d for d in self.done if d.step == step):
            if done.did == STARTED:
                at_work[done.by] = done
            elif done.did == STOPPED:
                at_work.pop(done.by, None)
            else:
                at_work = {}
        return tuple(at_work.values())

    def typed(self, step: str, record: str) -> str:
        """A record as typed, "" while there is none."""
        noted = self.records.get((step, record))
        return noted.typed if noted else ""

    def value(self, step: str, record: str) -> Decimal | None:
        """A quantity recorded in its canonical unit, None while there is none."""
        noted = self.records.get((step, record))
        return noted.value if noted else None
