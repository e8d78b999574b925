"""The gap a seal may be pressed into, at its widest, from measured parts; knows no limit."""

from __future__ import annotations

from dataclasses import dataclass

from inspect_app.trade.measuring.amounts import Amount, argument
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.required import require_not_negative, require_positive
from inspect_app.trade.measuring.sizes import Size


@dataclass(frozen=True, slots=True)
class Gap:
    """The greatest gap beside a seal under pressure.

    `concentric_mm` on each side when the parts lie in the middle, `one_sided_mm` opposite the side they
    rest on, `diametral_mm` the whole clearance; `metal_gap_mm` keeps metal off metal on the resting side.
    """

    diametral_mm: float
    concentric_mm: float
    one_sided_mm: float
    metal_gap_mm: float

    @property
    def metal_touches(self) -> bool:
        """Whether the wear ring no longer keeps metal off metal."""
        return self.metal_gap_mm <= 0


def plain_gap(*, inner: Size, outer: Size, swell_mm: float = 0.0) -> Gap:
    """The greatest gap between two round parts without wear rings, mm.

    concentric (D - d) / 2; resting on one side D - d

    Args:
        inner: rod, piston or spigot.
        outer: bore around it.
        swell_mm: growth of the outer diameter under pressure, mm on diameter.
    Raises:
        Refusal: when the greatest clearance is not greater than 0, or the swell is negative.
    Source: iso-7425-1, mil-g-5514g

    >>> plain_gap(inner=Size(49.960, 49.936, 49.975), outer=Size(50.2, 50.2, 50.239)).one_sided_mm
    0.303
    """
    require_not_negative(swell_mm=swell_mm)
    clearance_mm = outer.greatest_mm + swell_mm - inner.least_mm
    require_positive(clearance_mm=clearance_mm)
    return Gap(clearance_mm, clearance_mm / 2, clearance_mm, 0.0)


def piston_gap(
    *,
    bore: Size,
    land: Size,
    ring_groove: Size,
    ring_thickness: Size,
    ring_wear_mm: float = 0.0,
    swell_mm: float = 0.0,
) -> Gap:
    """The greatest gap at a piston carried by wear rings, resting on one side, mm.

    F_max = D1max - S_min - (d3min + d2min) / 2 + swell; metal gap F_min = S_min - (d3max - d2min) / 2

    Args:
        bore: bore of the barrel D1.
        land: piston land beside the seal d3.
        ring_groove: bottom of the wear ring's groove d2.
        ring_thickness: thickness of the new wear ring S.
        ring_wear_mm: thickness the ring has lost, mm.
        swell_mm: growth of the bore under pressure, mm on diameter.
    Returns: once metal touches, the gap is the whole clearance and grows no further.
    Raises:
        Refusal: when the land does not pass the bore, or the ring is worn away.
    Valid: piston parallel to the bore; tilt between two rings is left out.
    Source: guided-gap, iso-7425-1

    >>> gap = piston_gap(bore=Size.plus_minus(100.027, 0.027), land=Size.plus_minus(99.5, 0.05),
    ...                  ring_groove=Size(94.973, 94.946, 95.0), ring_thickness=Size(2.475, 2.45, 2.5))
    >>> gap.one_sided_mm, gap.metal_gap_mm
    (0.406, 0.148)
    """
    require_not_negative(swell_mm=swell_mm)
    ring_mm = _left_of_ring(ring_thickness, ring_wear_mm)
    resting_mm = bore.greatest_mm - ring_mm - (land.least_mm + ring_groove.least_mm) / 2 + swell_mm
    metal_mm = ring_mm - (land.greatest_mm - ring_groove.least_mm) / 2
    return _guided(bore.greatest_mm + swell_mm - land.least_mm, resting_mm, metal_mm)


def gland_gap(
    *,
    rod: Size,
    land: Size,
    ring_groove: Size,
    ring_thickness: Size,
    ring_wear_mm: float = 0.0,
    swell_mm: float = 0.0,
) -> Gap:
    """The greatest gap at a rod carried by wear rings in the gland, resting on one side, mm.

    F_max = (D3max + D2max) / 2 - S_min - d1min; metal gap F_min = S_min - (D2max - D3min) / 2

    Args:
        rod: rod d1.
        land: bore of the gland beside the seal D3.
        ring_groove: bottom of the wear ring's groove D2.
        ring_thickness: thickness of the new wear ring S.
        ring_wear_mm: thickness the ring has lost, mm.
        swell_mm: growth of the gland's bore under pressure, mm on diameter.
    Returns: once metal touches, the gap is the whole clearance and grows no further.
    Raises:
        Refusal: when the rod does not pass the land, or the ring is worn away.
    Valid: rod parallel to the gland; tilt between two rings is left out.
    Source: guided-gap

    >>> gap = gland_gap(rod=Size(49.96, 49.936, 49.975), land=Size(50.7, 50.6, 50.8),
    ...                 ring_groove=Size(55.037, 55.0, 55.074), ring_thickness=Size(2.475, 2.45, 2.5))
    >>> gap.one_sided_mm, gap.metal_gap_mm
    (0.551, 0.213)
    """
    require_not_negative(swell_mm=swell_mm)
    ring_mm = _left_of_ring(ring_thickness, ring_wear_mm)
    resting_mm = (land.greatest_mm + ring_groove.greatest_mm) / 2 - ring_mm - rod.least_mm + swell_mm
    metal_mm = ring_mm - (ring_groove.greatest_mm - land.least_mm) / 2
    return _guided(land.greatest_mm + swell_mm - rod.least_mm, resting_mm, metal_mm)


def _left_of_ring(thickness: Size, wear_mm: float) -> float:
    require_not_negative(ring_wear_mm=wear_mm)
    left_mm = thickness.least_mm - wear_mm
    if left_mm <= 0:
        raise Refusal(
            "{given}; it must be less than the ring's {thickness}.",
            given=argument("ring_wear_mm", wear_mm),
            thickness=Amount(thickness.least_mm, "length"),
        )
    return left_mm


def _guided(clearance_mm: float, resting_mm: float, metal_mm: float) -> Gap:
    require_positive(clearance_mm=clearance_mm)
    return Gap(clearance_mm, clearance_mm / 2, min(resting_mm, clearance_mm), metal_mm)
