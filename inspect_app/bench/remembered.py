"""What was computed of a job last, kept until the job, or what judges it, is another; decides nothing itself.

An entry changes one check or a few: the results of the others are kept, each with what it was judged by.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

from inspect_app.entries.job import Job
from inspect_app.job.checks import CheckJudged, Remembering
from inspect_app.tables import Tables

T = TypeVar("T")


class Remembered:
    """The last result of each kind for each job. Two equal jobs under the same tables give the same."""

    def __init__(self) -> None:
        self._kept: dict[tuple[str, str], tuple[tuple[object, ...], Tables, Any]] = {}
        self._results: dict[tuple[str, str], Remembering] = {}

    def judged(self, job_id: str, survey: str) -> CheckJudged:
        """Judges the checks of one state of a job, each anew only when what it is judged by is another.

        Args:
            job_id: the job.
            survey: which state.
        """
        return self._results.setdefault((job_id, survey), Remembering())

    def of(self, job: Job, tables: Tables, what: str, compute: Callable[[], T], *out_of: object) -> T:
        """The result, computed only if it is not the one kept. What raises is not kept.

        Args:
            job: the job as it stands.
            tables: the tables that judge it.
            what: which result, and of what else it depends, such as the system of units.
            compute: computes it out of these alone.
            out_of: the parts of the job it is computed out of, where that is not all of it. They are the same only as
                long as they are the very ones: 60.0 and 60.00 are equal, and are not said alike.
        """
        basis = out_of or (job,)
        kept = self._kept.get((job.id, what))
        if kept and kept[1] is tables and all(was is now for was, now in zip(kept[0], basis, strict=True)):
            result: T = kept[2]
            return result
        made = compute()
        self._kept[job.id, what] = (basis, tables, made)
        return made

    def take_over(self, other: Remembered) -> None:
        """Remember what another one computed, which nobody goes on using."""
        self._kept |= other._kept
        self._results |= other._results

    def forget(self, job_id: str) -> None:
        """Let go of all that was computed of a job."""
        for key in [key for key in self._kept if key[0] == job_id]:
            del self._kept[key]
        for state in [state for state in self._results if state[0] == job_id]:
            del self._results[state]
