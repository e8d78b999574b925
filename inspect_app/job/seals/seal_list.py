"""The seal list of a cylinder in one state, and two of them side by side; a pure function of what is known.

Every line says what it was measured by, why it is what it is, and what still speaks against ordering it.
"""

from __future__ import annotations

from dataclasses import dataclass

from inspect_app.entries.seals import Where
from inspect_app.job.seals.inputs import CylinderState
from inspect_app.job.seals.line import SealLine
from inspect_app.job.seals.making import Making
from inspect_app.job.seals.positions import Asked, Settled, positions_of
from inspect_app.job.seals.told import as_told
from inspect_app.tables.standards.handbook import Handbook


@dataclass(frozen=True, slots=True)
class SealList:
    """The lines of one state, what was answered to be not there, and what may be there and nobody has said."""

    state: str
    lines: tuple[SealLine, ...]
    settled: tuple[Settled, ...]
    unsaid: tuple[Asked, ...]


@dataclass(frozen=True, slots=True)
class Pair:
    """A place now and after the rework; `orderable` only where both say the same and nothing is open."""

    where: Where
    now: SealLine | None
    after: SealLine | None

    @property
    def same(self) -> bool:
        """Whether the rework changes nothing of what is ordered."""
        return bool(self.now and self.after) and self.now.to_order == self.after.to_order  # type: ignore[union-attr]

    @property
    def orderable(self) -> bool:
        """Whether it may be ordered while the path is open."""
        return self.same and all(line and line.orderable for line in (self.now, self.after))


def seal_list(state: CylinderState, handbook: Handbook) -> SealList:
    """Every seal of a cylinder in one state, line by line.

    Args:
        state: the cylinder as it is, or as it will be.
        handbook: positions, housings, rings, gaps and materials.
    Raises:
        Refusal: a kind of cylinder that is not known, or a telescopic one without its number of stages.
    Source: seal-positions, housing-match
    """
    asking = positions_of(
        kind=state.kind,
        stages=state.stages,
        answers=state.answers,
        said=state.said,
        found=[g.where for g in state.grooves if g.diameter or g.width],
        positions=handbook.positions,
    )
    lines = tuple(as_told(Making(asked, state, handbook).line(), state, handbook) for asked in asking.asked)
    return SealList(state.name, lines, asking.settled, asking.unsaid)


def side_by_side(now: SealList, after: SealList) -> tuple[Pair, ...]:
    """Two lists of one cylinder, place by place; what one of them lacks is None there.

    Args:
        now: the cylinder as it is.
        after: the cylinder as it will be.
    """
    by_now, by_after = ({line.where: line for line in each.lines} for each in (now, after))
    places = dict.fromkeys([*by_now, *by_after])
    return tuple(Pair(where, by_now.get(where), by_after.get(where)) for where in places)
