"""How many days work takes that runs side by side where it can: the longest chain; knows no calendar."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache

from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.required import require_not_negative


@dataclass(frozen=True, slots=True)
class Chain:
    """The longest chain of work, in order, and its days."""

    days: float
    names: tuple[str, ...]


def longest_chain(days: Mapping[str, float], after: Mapping[str, Sequence[str]]) -> Chain:
    """The days until all is done, each work begun as soon as what comes before it is done.

    end(x) = days(x) + greatest end of what comes before x; the lead is the greatest end

    Args:
        days: days of each work.
        after: of each work what must be done before; names that are not done are left aside.
    Raises:
        Refusal: a negative number of days, or work that waits for itself.

    >>> longest_chain({"plate": 8, "hone": 2, "seals": 5, "fit": 1}, {"fit": ["plate", "hone", "seals"]})
    Chain(days=9, names=('plate', 'fit'))
    """
    for name, of_it in days.items():
        require_not_negative(**{name.replace("-", "_"): of_it})
    waiting: list[str] = []

    @cache
    def until(name: str) -> Chain:
        if name in waiting:
            raise Refusal(f"{name} waits for itself; take one of {', '.join(waiting)} out of the order.")
        waiting.append(name)
        before = [until(b) for b in after.get(name, ()) if b in days]
        waiting.pop()
        longest = max(before, key=lambda chain: chain.days, default=Chain(0, ()))
        return Chain(longest.days + days[name], (*longest.names, name))

    return max((until(name) for name in days), key=lambda chain: chain.days, default=Chain(0, ()))
