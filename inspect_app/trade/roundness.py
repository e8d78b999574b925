"""How far one section is from round, from diameters or radii; knows no limits and no part."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from inspect_app.trade.refusal import Refusal, require_positive


def require_diameters(diameters_mm: Sequence[Decimal], *, at_least: int) -> None:
    """Refuse diameters that are too few, or any that is not a finite number greater than 0.

    Args:
        diameters_mm: diameters read, mm.
        at_least: how many the computation needs.
    Raises:
        Refusal: says how many were given, or which one is wrong.
    Source: none
    """
    if len(diameters_mm) < at_least:
        raise Refusal(f"{len(diameters_mm)} diameters were given; at least {at_least} are needed.")
    for number, diameter_mm in enumerate(diameters_mm, 1):
        require_positive(**{f"diameter {number} (mm)": float(diameter_mm)})


def ovality_mm(diameters_mm: Sequence[Decimal]) -> Decimal:
    """Ovality of one section as the trade says it: greatest less least diameter, mm.

    Args:
        diameters_mm: two-point diameters at different clocks of one section, mm.
    Raises:
        Refusal: fewer than 2 diameters.
    Valid: two-point readings; lobes of odd number do not show in them. For a pure ellipse it is twice
        the roundness deviation RONt.
    Source: trade-ovality

    >>> ovality_mm([Decimal("100.012"), Decimal("100.031"), Decimal("100.028"), Decimal("100.009")])
    Decimal('0.022')
    """
    require_diameters(diameters_mm, at_least=2)
    return max(diameters_mm) - min(diameters_mm)
