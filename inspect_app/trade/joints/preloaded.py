"""What piston nut and gland thread hold under load; knows no torque, no file and no verdict."""

from __future__ import annotations

import math
from dataclasses import dataclass

from inspect_app.trade.measuring.amounts import Amount
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.required import require_not_negative, require_positive
from inspect_app.trade.strength.force import annulus_area_mm2


@dataclass(frozen=True, slots=True)
class JointCheck:
    """A preloaded joint under its load; each factor must be above 1.

    `proof_factor` is proof load over bolt load, `overload_factor` how often the load may grow until the
    bolt reaches proof load, `separation_factor` how often until the parts part.
    """

    bolt_load_n: float
    clamp_n: float
    proof_factor: float
    overload_factor: float
    separation_factor: float


def piston_parting_n(
    *, bore_mm: float, rod_mm: float, spigot_mm: float, rod_side_mpa: float, cap_side_mpa: float = 0.0
) -> float:
    """The load that parts piston and rod shoulder, the load P of the joint under the piston nut, N.

    P = p_rod π/4 (D² − d²) − p_cap π/4 (D² − ds²), 0 where the cap side presses harder

    Args:
        bore_mm: bore D, mm.
        rod_mm: diameter d inside which rod-side oil cannot reach the piston, mm: the rod's where the piston seats
            tight on its shoulder.
        spigot_mm: diameter ds of the rod through the piston, mm.
        rod_side_mpa: pressure on the rod side, MPa.
        cap_side_mpa: pressure on the cap side at the same time, MPa; 0, the worst, while the rod side is tested.
    Raises:
        Refusal: when a size or the rod side's pressure is not positive, the cap side's is negative, or a diameter is
            not inside the one around it.
    Valid: with the rod port shut and nothing on the rod both sides are under pressure, and the cap side balances
        most of it; that it is suddenly lost is bounded by p_cap π/4 D².
    Source: statics

    >>> piston_parting_n(bore_mm=100, rod_mm=56, spigot_mm=42, rod_side_mpa=21) / 1000
    113.21
    >>> piston_parting_n(bore_mm=100, rod_mm=56, spigot_mm=42, rod_side_mpa=30.594, cap_side_mpa=21) / 1000
    29.09
    """
    require_positive(bore_mm=bore_mm, spigot_mm=spigot_mm, rod_side_mpa=rod_side_mpa)
    require_not_negative(cap_side_mpa=cap_side_mpa)
    if spigot_mm > rod_mm:
        raise Refusal(
            "The spigot is {spigot} in a rod of {rod}; it cannot be thicker than the rod.",
            spigot=Amount(spigot_mm, "length"),
            rod=Amount(rod_mm, "length"),
        )
    opens_n = rod_side_mpa * annulus_area_mm2(bore_mm=bore_mm, rod_mm=rod_mm)
    shuts_n = cap_side_mpa * annulus_area_mm2(bore_mm=bore_mm, rod_mm=spigot_mm)
    return max(0.0, opens_n - shuts_n)


def joint_constant(*, bolt_stiffness: float, member_stiffness: float) -> float:
    """The share of the outside load that the bolt (the rod's threaded end) takes.

    C = kb / (kb + km)

    Args:
        bolt_stiffness: kb, any unit.
        member_stiffness: km of the clamped parts, in the same unit.
    Raises:
        Refusal: when a stiffness is not positive.
    Source: shigley-bolts

    >>> joint_constant(bolt_stiffness=6.50, member_stiffness=13.8)   # example 8-3: 0.320
    0.320
    """
    require_positive(bolt_stiffness=bolt_stiffness, member_stiffness=member_stiffness)
    return bolt_stiffness / (bolt_stiffness + member_stiffness)


def joint_check(*, preload_n: float, load_n: float, joint_constant: float, proof_load_n: float) -> JointCheck:
    """A preloaded joint under an outside load: load in the bolt, clamp left, and the factors of safety.

    bolt Fi + C P; clamp Fi − (1 − C) P; np = Fp/(Fi + C P); nL = (Fp − Fi)/(C P); n0 = Fi/((1 − C) P).
    Where the parts part first, the bolt carries P alone: bolt P, clamp 0, nL = Fp/P.

    Args:
        preload_n: preload Fi, N; the least for separation, the greatest for overload.
        load_n: outside load P, N.
        joint_constant: C, between 0 and 1.
        proof_load_n: proof load Fp of the thread, N.
    Raises:
        Refusal: when a force is not positive, C not between 0 and 1, or the preload above the proof load.
    Source: shigley-bolts

    >>> joint = joint_check(preload_n=25, load_n=6, joint_constant=0.32, proof_load_n=31.7)   # kip
    >>> joint.separation_factor
    6.13
    """
    require_positive(preload_n=preload_n, load_n=load_n, proof_load_n=proof_load_n)
    if not 0 < joint_constant < 1:
        raise Refusal(f"joint constant is {joint_constant:g}; it must lie between 0 and 1.")
    if preload_n > proof_load_n:
        raise Refusal(
            "The preload of {preload} is above the proof load of {proof}; lower it.",
            preload=Amount(preload_n, "force"),
            proof=Amount(proof_load_n, "force"),
        )
    bolt_n = max(preload_n + joint_constant * load_n, load_n)
    return JointCheck(
        bolt_load_n=bolt_n,
        clamp_n=max(0.0, preload_n - (1 - joint_constant) * load_n),
        proof_factor=proof_load_n / bolt_n,
        overload_factor=min((proof_load_n - preload_n) / (joint_constant * load_n), proof_load_n / load_n),
        separation_factor=preload_n / ((1 - joint_constant) * load_n),
    )


def external_strip_area_mm2(
    *, engaged_mm: float, pitch_mm: float, external_pitch_mm: float, internal_minor_mm: float
) -> float:
    """The area along which the outside thread (rod, gland) shears off, mm².

    A = π (L/P) D1 [P/2 + (d2 − D1)/√3]

    Args:
        engaged_mm: length of engagement L, mm.
        pitch_mm: pitch P, mm.
        external_pitch_mm: pitch diameter d2 of the outside thread, measured or at its least, mm.
        internal_minor_mm: minor diameter D1 of the inside thread, measured or at its greatest, mm.
    Raises:
        Refusal: when a length is not positive or the threads do not overlap.
    Valid: 60° threads; the load is shared evenly, so at most about one diameter of engagement counts.
    Source: asme-b1-1

    >>> external_strip_area_mm2(   # M30, 6g in 6H, handbook table
    ...     engaged_mm=30, pitch_mm=3.5, external_pitch_mm=27.462, internal_minor_mm=26.771
    ... )
    1549.2
    """
    require_positive(
        engaged_mm=engaged_mm, internal_minor_mm=internal_minor_mm, external_pitch_mm=external_pitch_mm
    )
    tooth_mm = _tooth_mm(pitch_mm, external_pitch_mm - internal_minor_mm)
    return math.pi * engaged_mm / pitch_mm * internal_minor_mm * tooth_mm


def internal_strip_area_mm2(
    *, engaged_mm: float, pitch_mm: float, external_major_mm: float, internal_pitch_mm: float
) -> float:
    """The area along which the inside thread (nut, barrel end) shears off, mm².

    A = π (L/P) d [P/2 + (d − D2)/√3]

    Args:
        engaged_mm: length of engagement L, mm.
        pitch_mm: pitch P, mm.
        external_major_mm: outside diameter d of the outside thread, measured or at its least, mm.
        internal_pitch_mm: pitch diameter D2 of the inside thread, measured or at its greatest, mm.
    Raises:
        Refusal: when a length is not positive or the threads do not overlap.
    Valid: as for the outside thread.
    Source: asme-b1-1

    >>> internal_strip_area_mm2(   # M30, 6g in 6H, handbook table
    ...     engaged_mm=30, pitch_mm=3.5, external_major_mm=29.522, internal_pitch_mm=28.007
    ... )
    2086.5
    """
    require_positive(
        engaged_mm=engaged_mm, external_major_mm=external_major_mm, internal_pitch_mm=internal_pitch_mm
    )
    tooth_mm = _tooth_mm(pitch_mm, external_major_mm - internal_pitch_mm)
    return math.pi * engaged_mm / pitch_mm * external_major_mm * tooth_mm


def _tooth_mm(pitch_mm: float, overlap_mm: float) -> float:
    """The thickness of one tooth where it shears."""
    require_positive(pitch_mm=pitch_mm)
    tooth_mm = pitch_mm / 2 + overlap_mm / math.sqrt(3)
    if not 0 < tooth_mm < pitch_mm:
        raise Refusal(
            "A tooth {tooth} thick at pitch {pitch} cannot be; check the diameters.",
            tooth=Amount(tooth_mm, "deviation"),
            pitch=Amount(pitch_mm, "length"),
        )
    return tooth_mm
