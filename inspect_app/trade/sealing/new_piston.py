"""The clearance a new piston may have in its bore, so that gap and metal gap hold together; knows no seal."""

from __future__ import annotations

from dataclasses import dataclass

from inspect_app.trade.measuring.required import require_not_negative, require_positive


@dataclass(frozen=True, slots=True)
class Room:
    """The clearances on diameter a new piston may have; none where the least is above the greatest."""

    least_mm: float
    greatest_mm: float

    @property
    def width_mm(self) -> float:
        """What is left to make the piston in, mm; negative where no piston does."""
        return self.greatest_mm - self.least_mm


def new_piston_room(*, gap_mm: float, metal_gap_mm: float, ring_play_mm: float, swell_mm: float) -> Room:
    """The clearance of a guided piston between metal that touches and a gap the seal does not stand, mm.

    gap + metal gap = C + swell, metal gap = (C − play)/2: C from 2 metal gap + play to 2 (gap − swell) − play

    Args:
        gap_mm: greatest gap the seal stands with the piston resting on one side, mm.
        metal_gap_mm: least gap that keeps metal off metal, mm.
        ring_play_mm: clearance of the wear ring in the bore, on diameter, mm.
        swell_mm: growth of the bore under pressure, mm on diameter.
    Raises:
        Refusal: a gap not greater than 0, or a negative value.
    Valid: piston parallel to the bore; grooves of the wear ring cut for this play.
    Source: gap-and-metal, guided-gap

    >>> new_piston_room(gap_mm=0.40, metal_gap_mm=0.10, ring_play_mm=0.10, swell_mm=0.07)
    Room(least_mm=0.30, greatest_mm=0.56)
    """
    require_positive(gap_mm=gap_mm)
    require_not_negative(metal_gap_mm=metal_gap_mm, ring_play_mm=ring_play_mm, swell_mm=swell_mm)
    return Room(2 * metal_gap_mm + ring_play_mm, 2 * (gap_mm - swell_mm) - ring_play_mm)


def groove_depth_after_honing_mm(*, depth_mm: float, oversize_mm: float) -> float:
    """Radial depth of a piston's groove in the honed bore: the groove stays, the bore grows, mm.

    g' = g + oversize / 2

    Args:
        depth_mm: radial depth before honing g, mm.
        oversize_mm: growth of the bore on diameter, mm.
    Raises:
        Refusal: a depth not greater than 0, or a negative oversize.

    >>> groove_depth_after_honing_mm(depth_mm=7.75, oversize_mm=0.3)
    7.9
    """
    require_positive(depth_mm=depth_mm)
    require_not_negative(oversize_mm=oversize_mm)
    return depth_mm + oversize_mm / 2
