"""Which seals are asked for on this cylinder, place by place: what must be there, what is answered, what is unsaid."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass

from inspect_app.entries.seals import Where
from inspect_app.tables.positions import STAGE, Kind, Need, Position, Positions, instances
from inspect_app.trade.measuring.refusal import Refusal

THERE, NONE = "there", "none"

Called = Mapping[str, Mapping[str, str]]
"""What the answers to each question are called."""


@dataclass(frozen=True, slots=True)
class Asked:
    """A position at a place that needs a line; `question` is what nobody has answered yet, or ""."""

    position: Position
    place: str
    need: str
    question: str = ""

    @property
    def where(self) -> Where:
        """Position and place."""
        return self.position.id, self.place


@dataclass(frozen=True, slots=True)
class Settled:
    """A position at a place that needs no line, and what was answered: none, or what stands there instead."""

    position: Position
    place: str
    words: str


@dataclass(frozen=True, slots=True)
class Asking:
    """The positions of a cylinder: lines to make, answers that need none, and what may be there and nobody said."""

    asked: tuple[Asked, ...]
    settled: tuple[Settled, ...]
    unsaid: tuple[Asked, ...]


def positions_of(
    *,
    kind: str,
    stages: int,
    answers: Mapping[str, str],
    called: Called,
    said: Mapping[Where, str],
    found: Collection[Where],
    positions: Positions,
) -> Asking:
    """Every position of a kind of cylinder at every place; what it cannot have is left out.

    A groove somebody measured says that the position is there, whatever was answered.

    Args:
        kind: the kind of cylinder.
        stages: how many moving sections a telescopic cylinder has.
        answers: answers to the checklist's questions, by id.
        called: what the answers to each question are called.
        said: what somebody said of a position at a place.
        found: the positions with a groove that was measured.
        positions: what kinds of cylinder must, may and cannot have.
    Raises:
        Refusal: a kind that is not known, or a telescopic cylinder without its number of stages.
    Source: seal-positions
    """
    if kind not in positions.kinds:
        raise Refusal(f"{kind!r} is no known kind of cylinder; there are {', '.join(positions.kinds)}.")
    asked: list[Asked] = []
    settled: list[Settled] = []
    unsaid: list[Asked] = []
    for position, need, place in _wanted(positions, positions.kinds[kind], stages):
        where = position.id, place
        words = "" if where in found else said.get(where, "") or _answered(need, answers, called)
        if words and words != THERE:
            settled.append(Settled(position, place, words))
        elif where in found or words == THERE:
            asked.append(Asked(position, place, "must"))
        elif need.need == "must":
            asked.append(Asked(position, place, "must", _question(need, called)))
        else:
            unsaid.append(Asked(position, place, "may"))
    return Asking(tuple(asked), tuple(settled), tuple(unsaid))


def _wanted(positions: Positions, kind: Kind, stages: int) -> Iterator[tuple[Position, Need, str]]:
    for position in positions.positions.values():
        for need in positions.needs_of(kind.id):
            if need.position == position.id and need.need != "cannot":
                for place in kind.places[need.at]:
                    if STAGE in place and stages < 1:
                        raise Refusal(
                            "How many stages has the telescopic cylinder? Count its moving sections."
                        )
                    for instance in instances(place, stages):
                        yield position, need, instance


def _answered(need: Need, answers: Mapping[str, str], called: Called) -> str:
    """What the answers say: "there", "none", what stands there instead, or "" while one is missing."""
    for question, instead in need.instead.items():
        if answers.get(question) in instead:
            return _words(question, answers[question], called)
    for question, there in need.there.items():
        if question in answers and answers[question] not in there:
            return NONE
    return THERE if need.there and all(q in answers for q in need.there) else ""


def _question(need: Need, called: Called) -> str:
    """What has to be answered first; "" where the position is always there."""
    if not need.there:
        return ""
    choices = [
        _words(q, a, called) for way in (need.there, need.instead) for q, of in way.items() for a in of
    ]
    return f"Nobody has said what is there: {' or '.join(choices)}."


def _words(question: str, answer: str, called: Called) -> str:
    return called.get(question, {}).get(answer, answer)
