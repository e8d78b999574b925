"""What a cylinder of any kind does under pressure, one moving section at a time: areas, forces, oil.

Knows no nameplate and no kind of cylinder: who calls says what the oil presses on.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.required import require_positive
from inspect_app.trade.strength.barrel import STEEL_ELASTIC_MPA
from inspect_app.trade.strength.column import Segment, round_section, stepped_column_force_n
from inspect_app.trade.strength.force import annulus_area_mm2, circle_area_mm2

MM3_PER_L = 1e6


@dataclass(frozen=True, slots=True)
class Stage:
    """A moving section of a telescopic cylinder: its outside diameter, the bore of the tube it runs in, its stroke."""

    outside_mm: float
    runs_in_mm: float
    stroke_mm: float

    def __post_init__(self) -> None:
        require_positive(outside_mm=self.outside_mm, runs_in_mm=self.runs_in_mm, stroke_mm=self.stroke_mm)
        if self.outside_mm >= self.runs_in_mm:
            raise Refusal("A stage must be thinner than the tube it runs in.")


@dataclass(frozen=True, slots=True)
class Move:
    """Areas one section is pushed out and back by, mm², and oil for its stroke, litres; back 0: the load brings it."""

    out_mm2: float
    back_mm2: float
    out_l: float
    back_l: float

    def forces_n(self, pressure_mpa: float) -> tuple[float, float]:
        """Force out and force back at a pressure, N; no friction."""
        return pressure_mpa * self.out_mm2, pressure_mpa * self.back_mm2


def plunger_move(*, plunger_mm: float, stroke_mm: float) -> Move:
    """A ram: the oil presses on the plunger's own area, the bore of its tube does not count.

    A = pi d² / 4

    Args:
        plunger_mm: diameter of the plunger d, mm.
        stroke_mm: stroke, mm.
    Raises:
        Refusal: a value not greater than 0.
    Source: fluid-power-areas, telescopic-areas

    >>> plunger_move(plunger_mm=90, stroke_mm=1500).out_mm2
    6361.73
    """
    require_positive(stroke_mm=stroke_mm)
    area_mm2 = circle_area_mm2(plunger_mm)
    return Move(area_mm2, 0.0, area_mm2 * stroke_mm / MM3_PER_L, 0.0)


def piston_move(*, bore_mm: float, rod_mm: float, stroke_mm: float, through_mm: float = 0.0) -> Move:
    """A piston with a rod on one side, or through rods of either size on both.

    A = pi (D² - d²) / 4 on each side

    Args:
        bore_mm: inside diameter of the barrel D, mm.
        rod_mm: rod on the side the oil presses on to come back, mm.
        stroke_mm: stroke, mm.
        through_mm: rod on the other side, mm; 0 where there is none.
    Raises:
        Refusal: a rod as thick as the bore, or a stroke not greater than 0.
    Source: fluid-power-areas

    >>> piston_move(bore_mm=100, rod_mm=70, stroke_mm=400, through_mm=56).out_mm2
    5390.97
    """
    require_positive(stroke_mm=stroke_mm)
    out_mm2 = annulus_area_mm2(bore_mm=bore_mm, rod_mm=through_mm)
    back_mm2 = annulus_area_mm2(bore_mm=bore_mm, rod_mm=rod_mm)
    return Move(out_mm2, back_mm2, out_mm2 * stroke_mm / MM3_PER_L, back_mm2 * stroke_mm / MM3_PER_L)


def stage_moves(stages: Sequence[Stage], *, both_ways: bool) -> tuple[Move, ...]:
    """The stages of a telescopic cylinder, the largest first: it goes out first and comes back last.

    single-acting: A = pi d² / 4, sealed on its outside in the gland of the next larger tube;
    double-acting: out pi D² / 4, back pi (D² - d²) / 4, D the bore it runs in

    Args:
        stages: the moving sections, largest first.
        both_ways: whether each stage has a piston seal and oil brings it back.
    Raises:
        Refusal: no stage, or stages that do not fit into one another.
    Valid: each stage against its own load; no friction.
    Source: telescopic-areas

    >>> [round(m.out_mm2) for m in stage_moves([Stage(125, 140, 900), Stage(100, 110, 900)], both_ways=False)]
    [12272, 7854]
    """
    if not stages:
        raise Refusal("A telescopic cylinder needs its stages; give each outside diameter, bore and stroke.")
    for larger, smaller in pairwise(stages):
        if smaller.runs_in_mm >= larger.outside_mm:
            raise Refusal(
                "A stage runs in a bore as wide as the stage around it; give the stages largest first."
            )
    if both_ways:
        return tuple(
            piston_move(bore_mm=s.runs_in_mm, rod_mm=s.outside_mm, stroke_mm=s.stroke_mm) for s in stages
        )
    return tuple(plunger_move(plunger_mm=s.outside_mm, stroke_mm=s.stroke_mm) for s in stages)


def oil_held_l(tubes_mm: Sequence[tuple[float, float]]) -> float:
    """Oil under pressure at once with everything out, litres: it fills each tube as far as what ran in it went.

    V = Sum pi D² s / 4

    Args:
        tubes_mm: inside diameter D of each tube, and the stroke s of what runs in it, mm.
    Raises:
        Refusal: no tube, or a value not greater than 0.
    Valid: round a plunger or a stage that is sealed on its outside stands oil too, so that this is more than what
        pushes it out; what stays behind in the overlaps and in the lines is left out.
    Source: fluid-power-areas, telescopic-areas

    >>> oil_held_l([(105, 1500)])   # the ram of 90 mm above, in a tube of 105: 9.54 l push it out
    12.9885
    """
    if not tubes_mm:
        raise Refusal("Oil needs a tube to be in; give inside diameter and stroke.")
    for bore_mm, stroke_mm in tubes_mm:
        require_positive(bore_mm=bore_mm, stroke_mm=stroke_mm)
    return sum(circle_area_mm2(bore_mm) * stroke_mm for bore_mm, stroke_mm in tubes_mm) / MM3_PER_L


def staged_column_n(
    stages: Sequence[Stage],
    *,
    tube_mm: float,
    tube_bore_mm: float,
    closed_mm: float,
    elastic_mpa: float = STEEL_ELASTIC_MPA,
) -> float:
    """Push at which a telescopic cylinder buckles with its last stage out, pinned at both far ends, N.

    Args:
        stages: the moving sections, largest first; each is bored for the next, the last is solid.
        tube_mm: outside diameter of the outer tube, mm.
        tube_bore_mm: its bore, mm.
        closed_mm: length with all stages in, mm.
        elastic_mpa: modulus of elasticity E, MPa.
    Raises:
        Refusal: no stage, or a wall of nothing.
    Valid: elastic, straight, stiff joints without play, pinned ends. Play at the glands makes it worse: an estimate,
        outside the scope of ISO/TS 13725.
    Source: stepped-column, telescopic-areas

    >>> staged_column_n([Stage(50, 100, 800)], tube_mm=120, tube_bore_mm=100, closed_mm=900, elastic_mpa=210e3) / 1000
    386.66
    """
    inner = [s.runs_in_mm for s in stages[1:]]
    tubes = [(tube_mm, tube_bore_mm, closed_mm)]
    tubes += [(s.outside_mm, bore, s.stroke_mm) for s, bore in zip(stages, [*inner, 0.0], strict=False)]
    return stepped_column_force_n(
        [
            Segment(round_section(outside_mm=outside, inside_mm=bore).inertia_mm4, length)
            for outside, bore, length in tubes
        ],
        elastic_mpa=elastic_mpa,
    )
