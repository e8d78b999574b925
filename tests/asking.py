"""A repairable cylinder of the demo in a folder of its own, shown to its customer and answered, for tests."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path

from inspect_app.bench.bench import Bench
from inspect_app.bench.scoping import answer, freeze, scope_now, standing
from inspect_app.entries.agreed import Version
from inspect_app.entries.folding import fold
from inspect_app.entries.job import Job
from inspect_app.entries.typed import Typed
from inspect_app.job.scope.covering import AnswerStanding
from inspect_app.job.scope.shown import Scope

DRAWN = ((10, 200, 300, 40, 600, 220), (620, 100, 990, 90))


@dataclass
class Clock:
    """A clock that a test sets."""

    at: datetime = field(default_factory=lambda: datetime(2026, 3, 2, 8, tzinfo=UTC))

    def __call__(self) -> datetime:
        return self.at


@dataclass
class Asking:
    """The demo's repairable cylinder in a folder of its own, and what is done with it."""

    folder: Path
    clock: Clock
    bench: Bench
    job: Job

    def enter(self, typed: Typed) -> Job:
        outcome = self.bench.enter(self.job, typed, "KM", "metric")
        assert not outcome.remark, str(outcome.remark)
        self.job = outcome.job
        return self.job

    def undo(self) -> None:
        self.job, entry = self.bench.undo(self.job, "KM")
        assert entry

    def shown(self) -> Version:
        self.job, version = freeze(self.bench, self.job, "KM", "metric")
        return version

    def scope(self) -> Scope:
        return scope_now(self.bench, self.job, "metric")

    def say(self, version: Version, said: str = "yes", **more: object) -> str:
        """Give an answer; the sentence that refuses it, "" where it was taken."""
        given = {"by": "KM", "name": "H. Aalto", "how": "signed-here", "signature": DRAWN}
        whole = {**given, "options": {"own-1": False}, **more}
        outcome = answer(self.bench, self.job, version, said, **whole)  # type: ignore[arg-type]
        self.job = outcome.job
        return str(outcome.remark)

    def merge(self, other: Asking) -> Job:
        """Take over what another phone has of the job."""
        self.bench.logbook.take_over(other.bench.logbook.rows(self.job.id))
        self.job = fold(self.job.id, self.bench.logbook.entries(self.job.id))
        return self.job

    def stands(self, system: str = "metric") -> AnswerStanding:
        return standing(self.bench, self.job, system)
