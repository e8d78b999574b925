"""The seal list of a cylinder in one state, and two of them side by side; a pure function of what is known.

Every line says what it was measured by, why it is what it is, and what still speaks against ordering it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from inspect_app.entries.seals import Where
from inspect_app.job.seals.inputs import CylinderState
from inspect_app.job.seals.line import After, Doubt, SealLine
from inspect_app.job.seals.making import Making
from inspect_app.job.seals.positions import Asked, Settled, positions_of
from inspect_app.job.seals.told import as_told
from inspect_app.tables.standards.handbook import Handbook
from inspect_app.trade.measuring.refusal import Sentence, joined
from inspect_app.trade.sealing.pairings import Objection

WAITS = Sentence("choose the way to repair, or measure as left what was worked on")
NOTHING = Sentence("no seal there")


@dataclass(frozen=True, slots=True)
class SealList:
    """The lines of one state, what was answered to be not there, and what may be there and nobody has said.

    `kind` is the kind of cylinder, as in the list of positions.
    """

    state: str
    lines: tuple[SealLine, ...]
    settled: tuple[Settled, ...]
    unsaid: tuple[Asked, ...]
    kind: str


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
        called=state.called,
        said=state.said,
        found=[g.where for g in state.grooves if g.diameter or g.width],
        positions=handbook.positions,
    )
    lines = tuple(as_told(Making(asked, state, handbook).line(), state, handbook) for asked in asking.asked)
    return SealList(state.name, lines, asking.settled, asking.unsaid, state.kind)


def side_by_side(now: SealList, after: SealList) -> tuple[Pair, ...]:
    """Two lists of one cylinder, place by place; what one of them lacks is None there.

    Args:
        now: the cylinder as it is.
        after: the cylinder as it will be.
    """
    by_now, by_after = ({line.where: line for line in each.lines} for each in (now, after))
    places = dict.fromkeys([*by_now, *by_after])
    return tuple(Pair(where, by_now.get(where), by_after.get(where)) for where in places)


def while_open(now: SealList, state: CylinderState, ways: Sequence[SealList]) -> SealList:
    """A list while the way to repair is open: a line that is not the same after every way waits for the choice.

    A line that is the same but in doubt after one of them has that doubt too.

    Args:
        now: the cylinder as it is.
        state: the same cylinder, for the doubts that were closed.
        ways: the cylinder as each way leaves it that changes something.
    """
    after = [(way.state.removeprefix("after: "), {line.where: line for line in way.lines}) for way in ways]
    lines = (_while_open(line, state, [(way, of.get(line.where)) for way, of in after]) for line in now.lines)
    return replace(now, lines=tuple(lines))


def _while_open(
    line: SealLine, state: CylinderState, after: Sequence[tuple[str, SealLine | None]]
) -> SealLine:
    told = tuple(
        After(way, then.thing if then else NOTHING, bool(then) and then.to_order == line.to_order)  # type: ignore[union-attr]
        for way, then in after
    )
    if all(each.same for each in told):
        more = (Doubt(o, state.closing(line.where, o)) for o in _besides(line, after))
        return replace(line, after=told, doubts=(*line.doubts, *more))
    waits = Doubt(Objection("path", _differs(line, told), WAITS, waits=True))
    return replace(line, after=told, doubts=(waits, *line.doubts))


def _differs(line: SealLine, told: Sequence[After]) -> Sentence:
    """Both, or as many as there are: as it is, and after each way that gives another."""
    ways: dict[str, tuple[Sentence, list[str]]] = {}
    for each in told:
        if not each.same:
            ways.setdefault(str(each.thing), (each.thing, []))[1].append(each.way)
    then = (
        Sentence("After {ways}: {thing}.", {"ways": "; or ".join(names), "thing": thing})
        for thing, names in ways.values()
    )
    says = Sentence(
        "The way to repair is open, and decides what goes here. As it is: {now}.", {"now": line.thing}
    )
    return joined((says, *then), " ")


def _besides(line: SealLine, after: Sequence[tuple[str, SealLine | None]]) -> Iterator[Objection]:
    """What speaks against the same seal after one of the ways, and not now."""
    said = {(d.objection.rule, str(d.objection.sentence)) for d in line.doubts}
    for way, then in after:
        for objection in (d.objection for d in (then.open_doubts if then else ())):
            if (key := (objection.rule, str(objection.sentence))) not in said:
                said.add(key)
                says = Sentence("After {way}: {says}", {"way": way, "says": objection.sentence})
                yield replace(objection, sentence=says)
