"""What changed between two visits, with what it may be off by, and how fast; knows no part and no calendar."""

from __future__ import annotations

import math
from dataclasses import dataclass
from decimal import Decimal

from inspect_app.trade.measuring.required import require_finite, require_not_negative, require_positive


@dataclass(frozen=True, slots=True)
class Change:
    """What one size changed by: later less earlier, and its expanded uncertainty (k = 2), in the unit of the size."""

    change: Decimal
    expanded: Decimal

    @property
    def shown(self) -> bool:
        """Whether the change is more than it may be off by; if not, no wear is shown."""
        return abs(self.change) >= self.expanded and self.change != 0


def change_between(
    *, earlier: Decimal, later: Decimal, expanded_earlier: float, expanded_later: float
) -> Change:
    """What a size changed by between two visits, each measured by itself.

    Δ = later − earlier; U = √(U₁² + U₂²); |Δ| < U shows no wear

    Args:
        earlier: the size at the earlier visit.
        later: the size now, in the same unit.
        expanded_earlier: U₁ of the earlier one (k = 2), in that unit.
        expanded_later: U₂ of the later one (k = 2), in that unit.
    Raises:
        Refusal: a value is not a number, or an uncertainty is negative.
    Valid: the same check at the same place, both sizes at 20 °C; what both visits share is not taken off.
    Source: gum

    >>> worn = change_between(earlier=Decimal("49.960"), later=Decimal("49.935"), expanded_earlier=0.006,
    ...                       expanded_later=0.008)
    >>> print(worn.change, worn.expanded, worn.shown)
    -0.025 0.01 True
    """
    require_finite(earlier=float(earlier), later=float(later))
    require_not_negative(expanded_earlier=expanded_earlier, expanded_later=expanded_later)
    off = math.hypot(expanded_earlier, expanded_later)
    return Change(later - earlier, Decimal(f"{off:.12g}"))


def rate_of(change: Change, *, elapsed: float) -> Change:
    """How fast a size changed: its change and its uncertainty, each over the time between the visits.

    Δ/Δt ± √(U₁² + U₂²)/Δt

    Args:
        change: the change.
        elapsed: the time between the two visits, in any unit; it is taken as exact.
    Raises:
        Refusal: a time that is not greater than 0.
    Source: gum

    >>> yearly = rate_of(Change(Decimal("-0.024"), Decimal("0.012")), elapsed=12)
    >>> print(yearly.change, yearly.expanded)
    -0.002 0.001
    """
    require_positive(elapsed=elapsed)
    over = Decimal(repr(elapsed))
    return Change(change.change / over, change.expanded / over)
