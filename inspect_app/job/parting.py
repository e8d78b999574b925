"""What pulls a joint apart under pressure: the area it works on in each kind of cylinder, and why that one.

Knows no torque: `assembling.py` holds it against what the joint bears.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from inspect_app.entries.job import Survey
from inspect_app.job.output import moves_of
from inspect_app.job.stages import stage_sizes, stages_of
from inspect_app.tables.assembling import ENDS, GLAND, NO_PRESSURE, PISTON
from inspect_app.tables.cylinders import Cylinder
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.strength.force import circle_area_mm2

NOT_KNOWN = "What pulls it apart at proof pressure is not known: a size or the rated pressure is missing."
NO_PISTON = "No pressure pulls it apart: this kind has no piston on a rod."


@dataclass(frozen=True, slots=True)
class Parting:
    """The area pressure pulls a joint apart on, None where there is none or a size is missing; `why` says which it is,
    or why there is none."""

    area_mm2: float | None
    why: str


def parting_of(parted_by: str, cylinder: Cylinder, survey: Survey, at: str = "") -> Parting:
    """What pulls a joint apart at its worst: the other side is empty, and whatever moves stands at its end.

    Args:
        parted_by: what parts it, of PARTED_BY.
        cylinder: the checklist, which says what the oil presses on.
        survey: the state of the cylinder, for its nameplate and answers.
        at: which of several glands it is; "" for the one there is.
    Source: statics, gland-carries-end-load
    """
    if parted_by == NO_PRESSURE:
        return Parting(None, "")
    try:
        if parted_by == GLAND:
            return _gland(cylinder, survey, at)
        return OF[parted_by](cylinder, survey)
    except Refusal:
        return Parting(None, NOT_KNOWN)


def _piston(cylinder: Cylinder, survey: Survey) -> Parting:
    if cylinder.areas in ("rod", "stages"):
        return Parting(None, NO_PISTON)
    moves = moves_of(cylinder, survey)
    if cylinder.areas == "annulus":
        return _wider_side(cylinder, survey)
    areas = {name: move.back_mm2 for name, move in moves.items()}
    if not areas:
        return Parting(None, NOT_KNOWN)
    widest = max(areas, key=lambda name: areas[name])
    why = (
        f"on the piston of {widest.lower()}, the widest ring" if widest else "from the rod side on the piston"
    )
    return Parting(areas[widest], why)


def _wider_side(cylinder: Cylinder, survey: Survey) -> Parting:
    """Nobody says on which side the fixing is: the side with the thinner rod pulls harder."""
    move = next(iter(moves_of(cylinder, survey).values()), None)
    if move is None:
        return Parting(None, NOT_KNOWN)
    if move.out_mm2 == move.back_mm2:
        return Parting(move.out_mm2, "from either side on the piston")
    side = "A" if move.out_mm2 > move.back_mm2 else "B"
    return Parting(max(move.out_mm2, move.back_mm2), f"from side {side}, the one with the thinner rod")


def _gland(cylinder: Cylinder, survey: Survey, at: str) -> Parting:
    """What moves stands on its gland, and hands it all the pressure pushes: the piston, or the stage."""
    if cylinder.areas == "annulus":
        return _gland_of_side(cylinder, survey, at) if at else _wider_side(cylinder, survey)
    if cylinder.areas.startswith("stages"):
        stages = stages_of(survey)
        number = next((n for n, names in enumerate(stage_sizes(survey)) if names[0] == f"{at}-outside"), 0)
        if not stages:
            return Parting(None, NOT_KNOWN)
        widest = "" if at else ", the widest"
        return Parting(
            circle_area_mm2(stages[number].runs_in_mm),
            f"on the gland of stage {number + 1}{widest}, with the stage on it",
        )
    stands = "plunger" if cylinder.areas == "rod" else "piston"
    return Parting(_bore_mm2(survey), f"on the whole bore, with the {stands} standing on the gland")


def _gland_of_side(cylinder: Cylinder, survey: Survey, at: str) -> Parting:
    """What is more: the oil on the gland itself, or the piston standing on it with the other side's oil behind."""
    side = at.removeprefix("side-").upper()
    move = moves_of(cylinder, survey).get(f"Towards side {side}")
    if move is None:
        return Parting(None, NOT_KNOWN)
    if move.back_mm2 > move.out_mm2:
        return Parting(move.back_mm2, f"from the oil on gland {side} itself")
    return Parting(move.out_mm2, f"with the piston standing on gland {side}")


def _ends(cylinder: Cylinder, survey: Survey) -> Parting:
    return Parting(_bore_mm2(survey), "on the whole bore")


def _bore_mm2(survey: Survey) -> float:
    return circle_area_mm2(float(survey.length("bore") or 0))


OF: Mapping[str, Callable[[Cylinder, Survey], Parting]] = {PISTON: _piston, ENDS: _ends}
"""By what parts the joint, where there is one of it."""
