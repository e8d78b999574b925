"""What the cost of rework grows with: chromed area, honed stock; knows no price."""

from __future__ import annotations

import math

from inspect_app.trade.measuring.required import require_not_negative, require_positive

MM2_PER_DM2 = 10_000
HONED_STEP_MM, HONED_LENGTH_MM = 0.01, 100


def chromed_area_dm2(*, diameter_mm: float, length_mm: float) -> float:
    """Surface of a rod that is chromed, dm².

    A = pi d L / 10⁴

    Args:
        diameter_mm: diameter of the rod d, mm.
        length_mm: length that is chromed L, mm.
    Raises:
        Refusal: a length not greater than 0.
    Source: chrome-pricing

    >>> chromed_area_dm2(diameter_mm=100, length_mm=1000)   # 0.314 m²
    31.416
    """
    require_positive(diameter_mm=diameter_mm, length_mm=length_mm)
    return math.pi * diameter_mm * length_mm / MM2_PER_DM2


def honed_stock_steps(*, stock_mm: float, length_mm: float) -> float:
    """How often 0.01 mm is honed out over 100 mm of length: what honing time grows with.

    n = (stock / 0.01) (L / 100)

    Args:
        stock_mm: what is taken out, on diameter, mm.
        length_mm: length of the bore that is honed L, mm.
    Raises:
        Refusal: a negative stock, or a length not greater than 0.
    Source: rework-practice

    >>> honed_stock_steps(stock_mm=0.25, length_mm=1500)
    375.0
    """
    require_not_negative(stock_mm=stock_mm)
    require_positive(length_mm=length_mm)
    return stock_mm / HONED_STEP_MM * length_mm / HONED_LENGTH_MM
