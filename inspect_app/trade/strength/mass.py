"""Mass of a cylinder from its dimensions, to know it before it is lifted; knows no sling."""

from __future__ import annotations

import math
from dataclasses import dataclass

from inspect_app.trade.measuring.amounts import Amount, argument
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.required import require_not_negative, require_positive
from inspect_app.trade.strength.force import circle_area_mm2

STEEL_KG_PER_MM3 = 7850e-9
PISTON_SHARE, GLAND_SHARE, CAP_SHARE = 0.8, 1.0, 0.5
"""How long piston, gland and cap are taken to be, as shares of the bore."""

SHARE_MORE = 0.10
"""For ports, eyes and what nobody weighed."""


@dataclass(frozen=True, slots=True)
class CylinderMass:
    """Masses of the parts and of the oil, kg; `total_kg` has a share more for ports and eyes."""

    tube_kg: float
    rod_kg: float
    piston_kg: float
    gland_kg: float
    cap_kg: float
    oil_kg: float
    total_kg: float


def cylinder_mass(
    *, bore_mm: float, rod_mm: float, stroke_mm: float, outside_mm: float, oil_kg_l: float
) -> CylinderMass:
    """Mass of a double-acting cylinder full of oil, kg, from its four main dimensions.

    m = 1.10 (tube + rod + piston + gland + cap + oil); piston 0.8 D, gland 1.0 D and cap 0.5 D long; tube and rod as
    long as stroke, piston and gland together; oil fills bore x stroke

    Args:
        bore_mm: inside diameter of the barrel D, mm.
        rod_mm: rod diameter, mm.
        stroke_mm: stroke, mm.
        outside_mm: outside diameter of the barrel, mm.
        oil_kg_l: density of the fluid, kg/l.
    Raises:
        Refusal: no wall, a rod as thick as the bore, or a value out of range.
    Valid: steel, solid rod; an estimate for choosing lifting gear, a scale comes before it.
    Source: steel-density, mass-estimate

    >>> round(cylinder_mass(bore_mm=100, rod_mm=56, stroke_mm=800, outside_mm=120, oil_kg_l=0.87).total_kg, 1)
    69.4
    """
    require_positive(
        bore_mm=bore_mm, rod_mm=rod_mm, stroke_mm=stroke_mm, outside_mm=outside_mm, oil_kg_l=oil_kg_l
    )
    long_mm = stroke_mm + (PISTON_SHARE + GLAND_SHARE) * bore_mm
    tube = steel_mass_kg(outside_mm=outside_mm, inside_mm=bore_mm, length_mm=long_mm)
    rod = steel_mass_kg(outside_mm=rod_mm, length_mm=long_mm)
    piston, gland = (
        steel_mass_kg(outside_mm=bore_mm, inside_mm=rod_mm, length_mm=share * bore_mm)
        for share in (PISTON_SHARE, GLAND_SHARE)
    )
    cap = steel_mass_kg(outside_mm=outside_mm, length_mm=CAP_SHARE * bore_mm)
    oil = circle_area_mm2(bore_mm) * stroke_mm / 1e6 * oil_kg_l
    total = handled_mass_kg(tube, rod, piston, gland, cap, oil, share_more=SHARE_MORE)
    return CylinderMass(tube, rod, piston, gland, cap, oil, total)


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
