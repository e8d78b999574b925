"""Two seal lists side by side, as it is and after a path, in words and as data: only what is equal in both may go."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from inspect_app.job.seals.line import SealLine
from inspect_app.job.seals.seal_list import Pair
from inspect_app.report.seal_lines import order_words


def pair_words(pair: Pair) -> str:
    """Whether a place may be ordered while the path is open.

    Args:
        pair: the place in both lists.
    """
    if pair.orderable:
        return "the same in both, may be ordered"
    return "the same in both, not yet" if pair.same else "differs: waits for the path"


def after_lines(name: str, state: str, pairs: Sequence[Pair], system: str) -> Iterator[str]:
    """The lists side by side as lines.

    Args:
        name: the job.
        state: the state after the path.
        pairs: place by place.
        system: "metric" or "inch".
    """
    ready = sum(pair.orderable for pair in pairs)
    yield f"{name}: seal list as it is, and {state}."
    yield f"{ready} of {len(pairs)} places may be ordered while the path is open: those equal in both lists."
    for number, pair in enumerate(pairs, 1):
        line = pair.now or pair.after
        title = f"{line.title}, {line.place}" if line else ""
        yield ""
        yield f"{number}. {title}: {pair_words(pair)}"
        for when, each in (("now", pair.now), ("after", pair.after)):
            yield f"   {when}: {order_words(each, system) if each else 'not on the list.'}"
            yield from (f"     ? {said}" for said in _doubts(each, system))


def _doubts(line: SealLine | None, system: str) -> Iterator[str]:
    for doubt in line.open_doubts if line else ():
        yield doubt.objection.sentence.words(system)


def after_data(name: str, state: str, pairs: Sequence[Pair]) -> dict[str, Any]:
    """The same as data.

    Args:
        name: the job.
        state: the state after the path.
        pairs: place by place.
    """
    return {
        "job": name,
        "after": state,
        "places": [
            {
                "position": pair.where[0],
                "place": pair.where[1],
                "now": pair.now and order_words(pair.now, "metric"),
                "after": pair.after and order_words(pair.after, "metric"),
                "same": pair.same,
                "orderable": pair.orderable,
            }
            for pair in pairs
        ],
    }
