"""The jobs folded last, so many that they stay within bounds, each with what stood before its last entries."""

from __future__ import annotations

import gc
from collections import OrderedDict, deque
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field, replace

from inspect_app.entries.entry import Entry
from inspect_app.entries.folding import fold, write_up
from inspect_app.entries.job import Job
from inspect_app.trade.measuring.refusal import Refusal

MOST_ENTRIES = 100_000
"""So many entries the jobs in memory were folded from, together; more only where one job alone has more."""
STEPS_BACK = 8
"""So many of a job's last entries are taken back without its log."""


@dataclass(slots=True)
class _Kept:
    """A job as it stands, and as it stood before each of its last entries, by their ids."""

    job: Job
    before: deque[tuple[str, Job]] = field(default_factory=lambda: deque(maxlen=STEPS_BACK))


class JobsKept:
    """Jobs by id. One that nobody asked for longest is let go first.

    Args:
        entries: reads all entries of a job.
        let_go: is told of each that was let go.
    """

    def __init__(
        self, entries: Callable[[str], Sequence[Entry]], let_go: Callable[[str], None] = lambda _: None
    ) -> None:
        self._kept: OrderedDict[str, _Kept] = OrderedDict()
        self._all_of = entries
        self._let_go = let_go
        self._entries = 0

    def __contains__(self, job_id: str) -> bool:
        return job_id in self._kept

    def of(self, job_id: str) -> Job:
        """A job as it stands.

        Raises:
            Refusal: when the log has no such job.
        """
        kept = self._kept.get(job_id)
        if kept is None:
            return self.keep(self.folded(job_id))
        self._kept.move_to_end(job_id)
        return kept.job

    def folded(self, job_id: str) -> Job:
        """A job as its entries tell it now, which is not kept; raises as `of`."""
        with _nothing_collected():
            if entries := self._all_of(job_id):
                return fold(job_id, entries)
        raise Refusal(f"There is no job {job_id} in this logbook; open it from the list of jobs.")

    def keep(self, job: Job) -> Job:
        """Keep a job that was folded out of all its entries, and give it back."""
        if before := self._kept.pop(job.id, None):
            self._entries -= before.job.entries
        self._kept[job.id] = _Kept(job)
        self._entries += job.entries
        self._bound()
        return job

    def go_on(self, job_id: str, entries: Iterable[Entry]) -> Job:
        """A job after entries that were appended to it.

        Args:
            job_id: the job.
            entries: in their order.
        """
        kept = self._kept.get(job_id)
        before = kept.job.entries if kept else 0
        if kept is None or not all(_went_on(kept, entry) for entry in entries):
            self._entries += kept.job.entries - before if kept else 0
            return self.keep(self.folded(job_id))
        self._entries += kept.job.entries - before
        self._bound()
        return kept.job

    def pop(self, job_id: str) -> None:
        """Let go of a job, if it is kept."""
        if kept := self._kept.pop(job_id, None):
            self._entries -= kept.job.entries
            self._let_go(job_id)

    def clear(self) -> None:
        """Let go of all."""
        for job_id in tuple(self._kept):
            self.pop(job_id)

    def _bound(self) -> None:
        while self._entries > MOST_ENTRIES and len(self._kept) > 1:
            self.pop(next(iter(self._kept)))


@contextmanager
def _nothing_collected() -> Iterator[None]:
    """Folding makes values by the ten thousand and no circles: looking for some meanwhile is a fifth of its time."""
    on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if on:
            gc.enable()


def _went_on(kept: _Kept, entry: Entry) -> bool:
    """Whether one more entry could be taken in; else all of them are needed."""
    job = kept.job
    if entry.kind == "undo":
        if not kept.before or kept.before[-1][0] != entry.body.get("of"):
            return False
        # the job without the last entry that counts, as folding all without it would give
        _, stood = kept.before.pop()
        kept.job = replace(
            stood,
            entries=job.entries + 1,
            last_at=max(job.last_at, entry.at),
            photographed=job.photographed,
        )
        return True
    # an entry of another device may have a later time than ours: then ours is not the last one to count
    if entry.at <= job.last_at:
        return False
    kept.before.append((entry.id, job))
    kept.job = write_up(job, entry)
    return True
