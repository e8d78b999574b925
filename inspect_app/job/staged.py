"""One stage of a telescope as planned: what its ground wall bears, and whether the whole still stands as a column.

A stage is rod and tube at once: what is ground off its outside is taken from the wall that holds the pressure.
"""

from __future__ import annotations

from dataclasses import replace

from inspect_app.job.planned import Plan
from inspect_app.trade.measuring.carried import Carried, carry
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.strength.force import circle_area_mm2
from inspect_app.trade.strength.hone_out import PressureCase, Section, wall_use
from inspect_app.trade.strength.moves import staged_column_n

NO_BASE = "the steel below the coating is not known"


def column_used(plan: Plan) -> Carried | str:
    """Push of the last stage as a share of what the telescope stands, all out; a text says what is not known.

    The stage worked on counts with the steel below its coating. The outer tube counts from its far end also where it
    hangs in trunnions: the column is shorter then, and this one is on the safe side.

    Args:
        plan: the plan of one stage.
    Source: stepped-column, telescopic-areas, column-safety
    """
    cylinder, base = plan.found.cylinder, plan.sizes.base
    telescope, rated = cylinder.telescope, cylinder.rated_mpa
    if telescope is None:
        return "the stages' sizes, the outer tube's and the closed length, or how the ends are held, are not known"
    if rated is None:
        return "the rated pressure is not known"
    if base is None:
        return NO_BASE
    push_n = circle_area_mm2(telescope.last_pushed_mm) * rated
    n, safety = telescope.number, plan.figure("afterwards", "column-safety")

    def used(base_mm: float) -> float:
        worked = replace(telescope.stages[n], outside_mm=base_mm)
        stages = (*telescope.stages[:n], worked, *telescope.stages[n + 1 :])
        stands_n = staged_column_n(
            stages,
            tube_mm=telescope.tube_mm,
            tube_bore_mm=telescope.tube_bore_mm,
            closed_mm=telescope.closed_mm,
        )
        return safety * push_n / stands_n

    try:
        return carry(used, base_mm=base)
    except Refusal as refusal:
        return str(refusal).removesuffix(".")


def wall_used(plan: Plan, case_name: str) -> Carried | str | None:
    """Share of what the wall of a ground sleeve may bear; a text says what is not known, None where there is no wall.

    The thinnest wall counts that was measured, its coating with it, less what is ground off.

    Args:
        plan: the plan of one stage.
        case_name: "rated" or "proof".
    Source: wall-shares, lame, von-mises
    """
    cylinder, found, base = plan.found.cylinder, plan.found.sizes, plan.sizes.base
    if cylinder.telescope is None or not cylinder.telescope.bored_mm:
        return None
    if cylinder.rated_mpa is None:
        return "the rated pressure is not known"
    if cylinder.barrel_yield_mpa is None:
        return "the yield strength of the stage's steel is not known"
    if base is None or found.rod is None:
        return NO_BASE
    if found.wall is None:
        return "the wall of the stage is not measured"
    factor = plan.figure("afterwards", "proof-factor") if case_name == "proof" else 1.0
    case = PressureCase(factor * cylinder.rated_mpa, plan.figure("afterwards", f"{case_name}-share"))
    yield_mpa = cylinder.barrel_yield_mpa

    def used(base_mm: float, rod_mm: float, wall_mm: float) -> float:
        left_mm = wall_mm - (rod_mm - base_mm) / 2
        bore_mm = rod_mm - 2 * wall_mm
        return wall_use(
            Section(bore_mm, bore_mm + 2 * left_mm, left_mm), case, yield_mpa=yield_mpa
        ).utilisation

    try:
        return carry(used, base_mm=base, rod_mm=found.rod, wall_mm=found.wall)
    except Refusal as refusal:
        return str(refusal).removesuffix(".")
