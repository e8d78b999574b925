"""What is to be ordered for several jobs: the same thing summed, with for whom; never what differs in any field."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from inspect_app.job.seals.line import SealLine
from inspect_app.job.seals.standing import Standing, State


@dataclass(frozen=True, slots=True)
class For:
    """Whom a part of a sum is for: the job, its line, and how many."""

    job: str
    name: str
    line: SealLine
    quantity: int


@dataclass(frozen=True, slots=True)
class Sum:
    """One thing to order, for one job or several: 4 = 2 + 1 + 1."""

    whose: tuple[For, ...]

    @property
    def line(self) -> SealLine:
        """The thing itself; the lines of all are the same but for how many."""
        return self.whose[0].line

    @property
    def count(self) -> int:
        """How many."""
        return sum(each.quantity for each in self.whose)

    def length_mm(self, cut_loss_mm: float) -> float | None:
        """Of strip its whole length, with what each cut costs; None of anything else."""
        if self.line.cut_mm is None:
            return None
        return sum(each.quantity * ((each.line.cut_mm or 0) + cut_loss_mm) for each in self.whose)


def to_order_today(jobs: Iterable[tuple[str, str, Sequence[Standing]]]) -> tuple[Sum, ...]:
    """What can be ordered now, over all jobs; made to measure never sums, and strip is cut to length here.

    Args:
        jobs: id and name of each job, and how its lines stand.
    """
    sums: dict[tuple[object, ...], Sum] = {}
    for job, name, standings in jobs:
        for stands in standings:
            line, missing = stands.line, stands.missing
            if stands.state not in (State.READY, State.WRONG) or not missing:
                continue
            key = (job, line.where) if line.made_to_measure else _same(line)
            whose = sums[key].whose if key in sums else ()
            sums[key] = Sum((*whose, For(job, name, line, missing)))
    return tuple(sums.values())


def _same(line: SealLine) -> tuple[object, ...]:
    """All that must agree: kind, housing, size, material, hardness, back-up rings, unit, remarks; not how many.

    Of strip neither how long nor in which housing: it is ordered by its section.
    """
    alike = replace(line, quantity=None, cut_mm=None, housing=None) if line.cut_mm else line
    return (*replace(alike, quantity=None).to_order, *line.remarks)
