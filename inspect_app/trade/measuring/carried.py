"""A value with its expanded uncertainty, and how that goes through a formula; knows no gauge and no part."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from inspect_app.trade.measuring.required import require_finite, require_not_negative


@dataclass(frozen=True, slots=True)
class Carried:
    """A value and its expanded uncertainty (k = 2), in the same unit."""

    value: float
    expanded: float = 0.0

    def __post_init__(self) -> None:
        require_finite(value=self.value)
        require_not_negative(expanded=self.expanded)

    @property
    def least(self) -> float:
        """The least it may be."""
        return self.value - self.expanded

    @property
    def greatest(self) -> float:
        """The greatest it may be."""
        return self.value + self.expanded


def carry(formula: Callable[..., float], **inputs: Carried) -> Carried:
    """What a formula gives, and the uncertainty its inputs leave in it.

    U² = Σ ((f(x_i + U_i) − f(x_i − U_i)) / 2)², every other input at its value

    Args:
        formula: takes the inputs by name as plain numbers.
        inputs: each with its expanded uncertainty; independent of each other.
    Raises:
        Refusal: what the formula refuses at a value or at the end of its uncertainty.
    Valid: formulas nearly straight over the uncertainties.
    Source: gum

    >>> carry(lambda d, k: d + 2 * k, d=Carried(100, 0.03), k=Carried(0.1, 0.02))
    Carried(value=100.2, expanded=0.05)
    """
    at = {name: x.value for name, x in inputs.items()}

    def swing(name: str, x: Carried) -> float:
        low, high = at | {name: x.least}, at | {name: x.greatest}
        return (formula(**high) - formula(**low)) / 2

    swings = [swing(name, x) for name, x in inputs.items() if x.expanded]
    return Carried(formula(**at), math.hypot(*swings))
