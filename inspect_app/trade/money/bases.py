"""What the cost of rework grows with: chromed area, honed stock, masses; knows no price."""

from __future__ import annotations

import math

from inspect_app.trade.measuring.amounts import Amount, argument
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.required import require_not_negative, require_positive

STEEL_KG_PER_MM3 = 7850e-9
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


def steel_mass_kg(*, outside_mm: float, length_mm: float, inside_mm: float = 0.0) -> float:
    """Mass of a steel bar or tube, kg.

    m = pi/4 (D² − d²) L 7850e-9

    Args:
        outside_mm: outside diameter D, mm.
        length_mm: length L, mm.
        inside_mm: inside diameter d, mm; 0 for a bar.
    Raises:
        Refusal: no steel between the diameters, or a length not greater than 0.
    Source: steel-density

    >>> steel_mass_kg(outside_mm=50, length_mm=1000)   # handbooks: 15.4 kg a metre
    15.41
    """
    require_positive(outside_mm=outside_mm, length_mm=length_mm)
    require_not_negative(inside_mm=inside_mm)
    if inside_mm >= outside_mm:
        raise Refusal(
            "{inside} in {outside} of steel; it must be smaller.",
            inside=argument("inside_mm", inside_mm),
            outside=Amount(outside_mm, "length"),
        )
    return math.pi / 4 * (outside_mm**2 - inside_mm**2) * length_mm * STEEL_KG_PER_MM3


def handled_mass_kg(*masses_kg: float, share_more: float) -> float:
    """Mass to be handled: the parts, and a share more for what nobody weighed, kg.

    m = (1 + share) Σ m_i

    Args:
        masses_kg: masses of the parts, kg.
        share_more: share for ends, ports and eyes, a fraction.
    Raises:
        Refusal: no part, or a negative value.

    >>> handled_mass_kg(74.9, 60.5, share_more=0.10)
    148.94
    """
    if not masses_kg:
        raise Refusal("No mass given; give that of one part at least.")
    require_not_negative(share_more=share_more)
    for mass_kg in masses_kg:
        require_positive(mass_kg=mass_kg)
    return (1 + share_more) * sum(masses_kg)
