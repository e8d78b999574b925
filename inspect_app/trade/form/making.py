"""What a characteristic hands back: values, how each follows the readings, and what could not be said."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal

from inspect_app.trade.form.grid import Cell
from inspect_app.trade.measuring.refusal import Sentence


@dataclass(frozen=True, slots=True)
class Measured:
    """A characteristic's value, the station it belongs to ("" for the whole part), and its weights.

    The weight of a place is how far the value moves for one unit of the reading there, the others held:
    1 and -1 for a greatest less least, 1/n for a mean. The value is the sum of weight times reading. What
    every reading of one gauge is wrong by alike therefore enters with the sum of the weights, which is
    nothing in a difference and all of it in a mean.
    """

    value: Decimal
    station: str
    weights: Mapping[Cell, float]


@dataclass(frozen=True, slots=True)
class Made:
    """What was made of the readings, and a sentence for each thing they leave unsaid."""

    measured: tuple[Measured, ...] = ()
    cannot_say: tuple[Sentence, ...] = ()


@dataclass(frozen=True, slots=True)
class Supports:
    """Where the rod is supported under the dial, mm, counted as its stations are."""

    first_mm: Decimal
    last_mm: Decimal

    def outside(self, place_mm: Decimal) -> bool:
        """Whether a station lies beyond the supports: on an overhang, or mistyped."""
        low, high = sorted((self.first_mm, self.last_mm))
        return not low <= place_mm <= high


def total_weights(parts: Iterable[tuple[float, Mapping[Cell, float]]]) -> dict[Cell, float]:
    """Weights of a sum of values made of different places, each times a factor.

    Args:
        parts: (factor, weights of a value) of each.
    """
    return {cell: factor * weight for factor, weights in parts for cell, weight in weights.items()}


def greatest_less_least(read: Mapping[Cell, Decimal]) -> dict[Cell, float]:
    """Weights of the greatest less the least of two readings or more; of equal ones, of two by their places.

    Args:
        read: the readings by their places.

    >>> greatest_less_least({("25", "12"): Decimal("50.01"), ("25", "3"): Decimal("50.03")})
    {('25', '3'): 1.0, ('25', '12'): -1.0}
    """
    by_size = sorted(read, key=lambda cell: (read[cell], cell))
    return {by_size[-1]: 1.0, by_size[0]: -1.0}
