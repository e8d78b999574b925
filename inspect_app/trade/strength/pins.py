"""Stresses in a pin between eye and fork, as information; knows no limits and certifies nothing."""

from __future__ import annotations

import math
from dataclasses import dataclass

from inspect_app.trade.measuring.required import require_not_negative, require_positive


@dataclass(frozen=True, slots=True)
class PinStress:
    """Mean pressures of the pin on eye and fork, its mean shear, and its greatest bending stress."""

    eye_bearing_mpa: float
    fork_bearing_mpa: float
    shear_mpa: float
    bending_mpa: float


def pin_stress(
    *, force_n: float, pin_mm: float, eye_mm: float, fork_mm: float, gap_mm: float = 0.0
) -> PinStress:
    """Bearing pressures, double shear and bending of a pin through eye and fork, MPa.

    eye p = F / (d b); fork p = F / (2 d b_f); tau = 2 F / (pi d²);
    sigma = 32 M / (pi d³), M = F s / 4, s = b + b_f + 2 gap (span between the middles of the cheeks)

    Args:
        force_n: force through the joint F, N.
        pin_mm: least measured pin diameter d, mm.
        eye_mm: width of the eye still bearing b, mm.
        fork_mm: width of one cheek of the fork still bearing b_f, mm.
        gap_mm: free space between eye and cheek on each side, mm.
    Raises:
        Refusal: a value out of range.
    Valid: load in the plane of the middle, taken as a point load (the pin bends less); tear-out,
        fatigue and welds are not covered.
    Source: pin-beam

    >>> pin_stress(force_n=10_000, pin_mm=35, eye_mm=40, fork_mm=20).shear_mpa  # published: 5.196
    5.197
    """
    require_positive(force_n=force_n, pin_mm=pin_mm, eye_mm=eye_mm, fork_mm=fork_mm)
    require_not_negative(gap_mm=gap_mm)
    moment_nmm = force_n * (eye_mm + fork_mm + 2 * gap_mm) / 4
    return PinStress(
        eye_bearing_mpa=force_n / (pin_mm * eye_mm),
        fork_bearing_mpa=force_n / (2 * pin_mm * fork_mm),
        shear_mpa=2 * force_n / (math.pi * pin_mm**2),
        bending_mpa=32 * moment_nmm / (math.pi * pin_mm**3),
    )
