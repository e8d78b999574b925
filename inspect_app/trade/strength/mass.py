"""Mass of a cylinder from its dimensions, to know it before it is lifted; knows no sling."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from inspect_app.trade.measuring.amounts import Amount, argument
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.required import require_not_negative, require_positive
from inspect_app.trade.strength.force import annulus_area_mm2, circle_area_mm2
from inspect_app.trade.strength.moves import MM3_PER_L, Stage, oil_held_l

STEEL_KG_PER_MM3 = 7850e-9
PISTON_SHARE, GLAND_SHARE, CAP_SHARE = 0.8, 1.0, 0.5
"""How long piston, gland and cap are taken to be, as shares of the bore."""

SHARE_MORE = 0.10
"""For ports, eyes and what nobody weighed."""

TIE_RODS = 4
NUT_ACROSS, NUT_HIGH = 1.5, 0.9
"""A nut's width across its flats and its height, in diameters of its thread; one at each end of a tie-rod."""

TO_EDGE = 1.0
"""From the middle of a tie-rod to the edge of the block, in its diameters: half a nut, and a quarter more."""


@dataclass(frozen=True, slots=True)
class CylinderMass:
    """Masses of the parts and of the oil, kg; `total_kg` has a share more for ports and eyes.

    `rod_kg` is all that moves but pistons and feet: one rod, two, or the stages; a part that is not there weighs 0.
    """

    tube_kg: float
    rod_kg: float
    piston_kg: float
    gland_kg: float
    cap_kg: float
    oil_kg: float
    tie_rods_kg: float = 0.0

    @property
    def total_kg(self) -> float:
        """All of it, and the share more."""
        parts = (
            self.tube_kg, self.rod_kg, self.piston_kg, self.gland_kg, self.cap_kg, self.oil_kg, self.tie_rods_kg
        )  # fmt: skip
        return handled_mass_kg(*(kg for kg in parts if kg), share_more=SHARE_MORE)


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
    oil = circle_area_mm2(bore_mm) * stroke_mm / MM3_PER_L * oil_kg_l
    return CylinderMass(tube, rod, piston, gland, cap, oil)


def tie_rod_cylinder_mass(
    *,
    bore_mm: float,
    rod_mm: float,
    stroke_mm: float,
    outside_mm: float,
    tie_rod_mm: float,
    tie_rod_length_mm: float,
    oil_kg_l: float,
) -> CylinderMass:
    """Mass of a tie-rod cylinder full of oil, kg: head and cap are square blocks, a tie-rod in each corner.

    as cylinder_mass, with head w² - pi/4 d² over 1.0 D, cap w² over 0.5 D; w = 2 ((o + t)/(2 sqrt 2) + 1.0 t), the
    tie-rods t close beside the tube o; four tie-rods, and eight nuts 1.5 t across and 0.9 t high

    Args:
        bore_mm: inside diameter of the tube D, mm.
        rod_mm: rod diameter d, mm.
        stroke_mm: stroke, mm.
        outside_mm: outside diameter of the tube, mm.
        tie_rod_mm: diameter of a tie-rod, mm.
        tie_rod_length_mm: length of a tie-rod, mm.
        oil_kg_l: density of the fluid, kg/l.
    Raises:
        Refusal: no wall, a rod as thick as the bore, or a value out of range.
    Valid: steel, solid rod, four tie-rods; wider blocks or a plate in front are heavier: weigh it.
    Source: steel-density, mass-estimate, tie-rod-block

    >>> round(tie_rod_cylinder_mass(bore_mm=100, rod_mm=45, stroke_mm=500, outside_mm=115, tie_rod_mm=20,
    ...     tie_rod_length_mm=700, oil_kg_l=0.87).total_kg, 1)
    62.9
    """
    round_one = cylinder_mass(
        bore_mm=bore_mm, rod_mm=rod_mm, stroke_mm=stroke_mm, outside_mm=outside_mm, oil_kg_l=oil_kg_l
    )
    require_positive(tie_rod_mm=tie_rod_mm)
    wide_mm = 2 * ((outside_mm + tie_rod_mm) / (2 * math.sqrt(2)) + TO_EDGE * tie_rod_mm)
    square_mm2 = max(wide_mm, outside_mm) ** 2
    hexagon_mm2 = math.sqrt(3) / 2 * (NUT_ACROSS * tie_rod_mm) ** 2
    nut_mm3 = (hexagon_mm2 - circle_area_mm2(tie_rod_mm)) * NUT_HIGH * tie_rod_mm
    head_mm3 = (square_mm2 - circle_area_mm2(rod_mm)) * GLAND_SHARE * bore_mm
    return replace(
        round_one,
        gland_kg=head_mm3 * STEEL_KG_PER_MM3,
        cap_kg=square_mm2 * CAP_SHARE * bore_mm * STEEL_KG_PER_MM3,
        tie_rods_kg=TIE_RODS
        * (
            steel_mass_kg(outside_mm=tie_rod_mm, length_mm=tie_rod_length_mm) + 2 * nut_mm3 * STEEL_KG_PER_MM3
        ),
    )


def double_rod_mass(
    *,
    bore_mm: float,
    rods_mm: tuple[float, float],
    stroke_mm: float,
    outside_mm: float,
    oil_kg_l: float,
) -> CylinderMass:
    """Mass of a cylinder with a rod out of both ends, full of oil, kg.

    m = 1.10 (tube + rods + piston + glands + oil); each rod as long as stroke, gland and half the piston; a gland 1.0 D
    long at both ends, no cap; oil fills the ring round the thinner rod

    Args:
        bore_mm: inside diameter of the barrel D, mm.
        rods_mm: diameter of the rod on side A and on side B, mm.
        stroke_mm: stroke, mm.
        outside_mm: outside diameter of the barrel, mm.
        oil_kg_l: density of the fluid, kg/l.
    Raises:
        Refusal: no wall, a rod as thick as the bore, or a value out of range.
    Valid: steel, solid rods that end at their glands with the piston at that end; a longer end is not counted.
    Source: steel-density, mass-estimate

    >>> round(double_rod_mass(bore_mm=100, rods_mm=(70, 56), stroke_mm=400, outside_mm=120, oil_kg_l=0.87).total_kg, 1)
    63.1
    """
    require_positive(stroke_mm=stroke_mm, oil_kg_l=oil_kg_l, bore_mm=bore_mm)
    half_mm, gland_mm = PISTON_SHARE * bore_mm / 2, GLAND_SHARE * bore_mm
    tube = steel_mass_kg(
        outside_mm=outside_mm, inside_mm=bore_mm, length_mm=stroke_mm + 2 * half_mm + 2 * gland_mm
    )
    rods = sum(steel_mass_kg(outside_mm=d, length_mm=stroke_mm + half_mm + gland_mm) for d in rods_mm)
    piston, glands = (
        sum(steel_mass_kg(outside_mm=bore_mm, inside_mm=d, length_mm=length_mm) for d in rods_mm)
        for length_mm in (half_mm, gland_mm)
    )
    ring_mm2 = annulus_area_mm2(bore_mm=bore_mm, rod_mm=min(rods_mm))
    return CylinderMass(tube, rods, piston, glands, 0.0, ring_mm2 * stroke_mm / MM3_PER_L * oil_kg_l)


def telescopic_mass(stages: Sequence[Stage], *, outside_mm: float, oil_kg_l: float) -> CylinderMass:
    """Mass of a telescopic cylinder full of oil, kg.

    m = 1.10 (outer tube + stages + feet + glands + cap + oil); of each stage, in the bore D it runs in: the stage and
    the tube round it as long as its stroke and 1.8 D, its foot 0.8 D and its gland 1.0 D long; the cap 0.5 D of the
    outer tube; oil fills every tube as far as the stage went

    Args:
        stages: the moving sections, largest first; each is bored for the next, the last is solid.
        outside_mm: outside diameter of the outer tube, mm.
        oil_kg_l: density of the fluid, kg/l.
    Raises:
        Refusal: no stage, no wall, or a value out of range.
    Valid: steel; all stages out, the most oil there can be; a hollow plunger is lighter.
    Source: steel-density, mass-estimate

    >>> two = [Stage(125, 140, 900), Stage(100, 110, 900)]
    >>> round(telescopic_mass(two, outside_mm=163, oil_kg_l=0.87).total_kg, 1)
    200.1
    """
    if not stages:
        raise Refusal("A telescopic cylinder needs its stages; give each outside diameter, bore and stroke.")
    require_positive(oil_kg_l=oil_kg_l)
    tube = steel_mass_kg(
        outside_mm=outside_mm, inside_mm=stages[0].runs_in_mm, length_mm=_stage_length_mm(stages[0])
    )
    bored = [(stage, inner.runs_in_mm) for stage, inner in pairwise(stages)]
    moving = sum(
        steel_mass_kg(outside_mm=s.outside_mm, inside_mm=inside_mm, length_mm=_stage_length_mm(s))
        for s, inside_mm in (*bored, (stages[-1], 0.0))
    )
    feet, glands = (
        sum(
            steel_mass_kg(outside_mm=s.runs_in_mm, inside_mm=s.outside_mm, length_mm=share * s.runs_in_mm)
            for s in stages
        )
        for share in (PISTON_SHARE, GLAND_SHARE)
    )
    cap = steel_mass_kg(outside_mm=outside_mm, length_mm=CAP_SHARE * stages[0].runs_in_mm)
    oil = oil_held_l([(s.runs_in_mm, s.stroke_mm) for s in stages]) * oil_kg_l
    return CylinderMass(tube, moving, feet, glands, cap, oil)


def _stage_length_mm(stage: Stage) -> float:
    """A stage is as long as its stroke, its foot and its gland together; so is the tube it runs in."""
    return stage.stroke_mm + (PISTON_SHARE + GLAND_SHARE) * stage.runs_in_mm


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
