"""Torque and the preload it leaves, of nuts and glands; knows no file, no load and no verdict."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum

from inspect_app.trade.joints.threads import Thread, pitch_diameter_mm, stress_area_by_formula_mm2
from inspect_app.trade.measuring.amounts import Amount, argument
from inspect_app.trade.measuring.refusal import Refusal, Sentence
from inspect_app.trade.measuring.required import require_not_negative, require_positive

GREATEST_EXPECTED_NM = 100_000
"""Gland and piston nuts break loose between 50 and some 100 000 N·m; above, a unit is the likelier reason."""
LEAST_EXPECTED_NM = 5
"""Below, bare fingers turn a nut, and nothing broke loose."""

_MM_PER_M = 1000


class FrictionKind(Enum):
    """What a row of the friction table holds."""

    NUT_FACTOR = "K"
    COEFFICIENT = "mu"
    SCATTER = "scatter"
    TIGHTENING_FACTOR = "alpha_a"


@dataclass(frozen=True, slots=True)
class Friction:
    """One published range of friction or scatter; `high` is None where the source leaves it open."""

    key: str
    quantity: FrictionKind
    surface: str
    low: float
    high: float | None
    source: str
    status: str


@dataclass(frozen=True, slots=True)
class PreloadRange:
    """The preload a torque is expected to leave, and what it may be by the scatter of friction."""

    least_n: float
    expected_n: float
    greatest_n: float


@dataclass(frozen=True, slots=True)
class TorqueTarget:
    """The torque to set, and the least and greatest reading that still meets it."""

    least_nm: float
    nominal_nm: float
    greatest_nm: float


def torque_nm(*, preload_n: float, d_mm: float, nut_factor: float) -> float:
    """The torque that brings a nut to a preload, N·m.

    T = K F d

    Args:
        preload_n: preload F, N.
        d_mm: nominal diameter of the thread, mm.
        nut_factor: K for the surface and its oil.
    Raises:
        Refusal: when a value is not positive.
    Valid: usual proportions of nut and thread; K hides all friction, so the preload scatters by a quarter.
    Source: shigley-bolts, shigley-torque-factors

    >>> torque_nm(preload_n=542_700, d_mm=42, nut_factor=0.18)
    4103.
    """
    require_positive(preload_n=preload_n, d_mm=d_mm, nut_factor=nut_factor)
    return nut_factor * preload_n * d_mm / _MM_PER_M


def preload_from_torque(*, torque_nm: float, d_mm: float, nut_factor: float, scatter: float) -> PreloadRange:
    """The preload a torque leaves in the joint, with its scatter.

    F = T / (K d), from F (1 − s) to F (1 + s)

    Args:
        torque_nm: torque applied, N·m.
        d_mm: nominal diameter of the thread, mm.
        nut_factor: K for the surface and its oil.
        scatter: how far the preload may stray either way, as a fraction.
    Raises:
        Refusal: when a value is not positive or the scatter is not below 1.
    Source: shigley-bolts, vdi-2230-tightening

    >>> m12 = preload_from_torque(torque_nm=90, d_mm=12, nut_factor=0.20, scatter=0.28)
    >>> (m12.least_n, m12.expected_n, m12.greatest_n)
    (27000.0, 37500.0, 48000.0)
    """
    require_positive(torque_nm=torque_nm, d_mm=d_mm, nut_factor=nut_factor)
    _require_fraction(scatter=scatter)
    expected_n = torque_nm * _MM_PER_M / (nut_factor * d_mm)
    return PreloadRange(expected_n * (1 - scatter), expected_n, expected_n * (1 + scatter))


def torque_target(*, preload_n: float, d_mm: float, nut_factor: float, tolerance: float) -> TorqueTarget:
    """The torque to set for a preload, with the tolerance the wrench reading may have.

    T = K F d, from T (1 − t) to T (1 + t)

    Args:
        preload_n: preload wanted, N.
        d_mm: nominal diameter of the thread, mm.
        nut_factor: K for the surface and its oil.
        tolerance: allowed deviation of the reading either way, as a fraction.
    Raises:
        Refusal: when a value is not positive or the tolerance is not below 1.
    Source: shigley-bolts

    >>> torque_target(preload_n=100_000, d_mm=30, nut_factor=0.2, tolerance=0.05)
    TorqueTarget(least_nm=570.0, nominal_nm=600.0, greatest_nm=630.0)
    """
    _require_fraction(tolerance=tolerance)
    nominal_nm = torque_nm(preload_n=preload_n, d_mm=d_mm, nut_factor=nut_factor)
    return TorqueTarget(nominal_nm * (1 - tolerance), nominal_nm, nominal_nm * (1 + tolerance))


def torque_question(torque_nm: float) -> Sentence | None:
    """What to ask about a recorded torque, breakaway or reached; None when there is nothing to ask.

    Args:
        torque_nm: torque as recorded, N·m; 0 means found loose.
    Raises:
        Refusal: when it is negative or not a number.

    >>> torque_question(16_270)   # 12 000 lbf·ft
    >>> print(torque_question(0.1))
    Torque 0.1 N·m: fingers turn less than 5 N·m; is the unit right? Write 0 where it was found loose.
    >>> torque_question(120_000).words("inch")
    'Torque 88507.5 lbf·ft: more than 73756.2 lbf·ft is rare; is the unit right?'
    """
    require_not_negative(torque_nm=torque_nm)
    if 0 < torque_nm < LEAST_EXPECTED_NM:
        return Sentence(
            "Torque {torque}: fingers turn less than {least}; is the unit right? Write 0 where it was found loose.",
            {"torque": Amount(torque_nm, "torque"), "least": Amount(LEAST_EXPECTED_NM, "torque")},
        )
    if torque_nm <= GREATEST_EXPECTED_NM:
        return None
    return Sentence(
        "Torque {torque}: more than {most} is rare; is the unit right?",
        {"torque": Amount(torque_nm, "torque"), "most": Amount(GREATEST_EXPECTED_NM, "torque")},
    )


def long_form_nut_factor(
    *, d_mm: float, mean_diameter_mm: float, pitch_mm: float, thread_friction: float, collar_friction: float
) -> float:
    """The nut factor K from the geometry of a 60° thread and the friction in thread and under the nut.

    K = (dm/2d) (tan λ + f sec α)/(1 − f tan λ sec α) + 0.625 fc; tan λ = P/(π dm), α = 30°

    Args:
        d_mm: nominal diameter d, mm.
        mean_diameter_mm: mean of nominal and minor diameter dm, mm; near the pitch diameter.
        pitch_mm: pitch P, mm.
        thread_friction: coefficient in the thread f.
        collar_friction: coefficient under the nut fc.
    Raises:
        Refusal: when a length is not positive, a coefficient negative, or friction so high that it jams.
    Valid: bearing face of about 1.5 d across flats (mean 1.25 d).
    Source: shigley-bolts

    >>> long_form_nut_factor(   # 3/4-16 in inches; × 25 kip × 0.75 in is the 3551 lbf·in of example 8-3
    ...     d_mm=0.75, mean_diameter_mm=0.7093, pitch_mm=1 / 16, thread_friction=0.15, collar_friction=0.15
    ... )
    0.1894
    """
    require_positive(d_mm=d_mm, mean_diameter_mm=mean_diameter_mm, pitch_mm=pitch_mm)
    require_not_negative(thread_friction=thread_friction, collar_friction=collar_friction)
    lead = pitch_mm / (math.pi * mean_diameter_mm)
    flank = thread_friction / math.cos(math.radians(30))
    if flank * lead >= 1:
        raise Refusal(
            f"thread friction is {thread_friction:g}; with this lead the thread cannot be turned at all."
        )
    return mean_diameter_mm / (2 * d_mm) * (lead + flank) / (1 - flank * lead) + 0.625 * collar_friction


def assembly_preload_n(
    *, thread: Thread, yield_mpa: float, thread_friction: float, utilisation: float = 0.9
) -> float:
    """The preload that uses a share of the yield strength while the torque still twists the thread, N.

    F_M = As ν Rp0.2 / √(1 + 3 [1.5 (d2/d0) (P/(π d2) + 1.155 μG)]²), As = π/4 d0²

    Args:
        thread: the thread.
        yield_mpa: least yield strength Rp0.2, MPa.
        thread_friction: coefficient in the thread μG; take the lowest likely, it loads the bolt most.
        utilisation: ν, 0.9 in the guideline.
    Raises:
        Refusal: when a value is not positive, the coefficient negative or the utilisation above 1.
    Source: vdi-2230

    >>> from inspect_app.trade.joints.threads import System
    >>> m16 = Thread("M16x1.5", System.METRIC, 16, 1.5)   # 87.6 kN printed
    >>> assembly_preload_n(thread=m16, yield_mpa=640, thread_friction=0.12) / 1000
    87.7
    """
    require_positive(yield_mpa=yield_mpa, utilisation=utilisation)
    require_not_negative(thread_friction=thread_friction)
    if utilisation > 1:
        raise Refusal(f"utilisation is {utilisation:g}; it must not be above 1.")
    area_mm2 = stress_area_by_formula_mm2(thread)
    d0_mm, d2_mm = math.sqrt(4 * area_mm2 / math.pi), pitch_diameter_mm(thread)
    twist = 1.5 * d2_mm / d0_mm * (thread.pitch_mm / (math.pi * d2_mm) + 1.155 * thread_friction)
    return area_mm2 * utilisation * yield_mpa / math.sqrt(1 + 3 * twist**2)


def tightening_torque_nm(
    *, preload_n: float, thread: Thread, thread_friction: float, bearing_friction: float, bearing_mm: float
) -> float:
    """The torque that brings a nut to a preload, from friction in thread and under the nut, N·m.

    M_A = F (0.16 P + 0.58 d2 μG + D_Km μK/2)

    Args:
        preload_n: preload F, N.
        thread: the thread.
        thread_friction: coefficient in the thread μG.
        bearing_friction: coefficient under the nut μK.
        bearing_mm: mean diameter of the face under the nut D_Km, half of face diameter plus hole, mm.
    Raises:
        Refusal: when preload or face is not positive or a coefficient negative.
    Source: vdi-2230

    >>> from inspect_app.trade.joints.threads import System
    >>> m16 = Thread("M16x1.5", System.METRIC, 16, 1.5)   # 218 N·m printed
    >>> tightening_torque_nm(preload_n=87_600, thread=m16, thread_friction=0.12, bearing_friction=0.12,
    ...                      bearing_mm=(22.49 + 17.5) / 2)
    218.
    """
    require_positive(preload_n=preload_n)
    return preload_n * _lever_mm(thread, thread_friction, bearing_friction, bearing_mm) / _MM_PER_M


def preload_from_tightening_torque_n(
    *, torque_nm: float, thread: Thread, thread_friction: float, bearing_friction: float, bearing_mm: float
) -> float:
    """The preload a torque leaves, from friction in thread and under the nut, N.

    F = M_A / (0.16 P + 0.58 d2 μG + D_Km μK/2)

    Args:
        torque_nm: torque M_A, N·m.
        thread: the thread.
        thread_friction: coefficient in the thread μG.
        bearing_friction: coefficient under the nut μK.
        bearing_mm: mean diameter of the face under the nut D_Km, mm.
    Raises:
        Refusal: when torque or face is not positive or a coefficient negative.
    Source: vdi-2230

    >>> from inspect_app.trade.joints.threads import System
    >>> m16 = Thread("M16x1.5", System.METRIC, 16, 1.5)
    >>> preload_from_tightening_torque_n(   # 87.6 kN printed
    ...     torque_nm=218, thread=m16, thread_friction=0.12, bearing_friction=0.12, bearing_mm=20
    ... ) / 1000
    87.6
    """
    require_positive(torque_nm=torque_nm)
    return torque_nm * _MM_PER_M / _lever_mm(thread, thread_friction, bearing_friction, bearing_mm)


def least_preload_n(*, greatest_n: float, tightening_factor: float) -> float:
    """The least preload to expect when the greatest was aimed at, N.

    F_min = F_max / αA

    Args:
        greatest_n: greatest preload, N.
        tightening_factor: αA of the way of tightening, 1 or more.
    Raises:
        Refusal: when the preload is not positive or the factor below 1.
    Source: vdi-2230-alpha

    >>> least_preload_n(greatest_n=41_900, tightening_factor=1.8)   # 23.3 kN printed
    23278.
    """
    require_positive(greatest_n=greatest_n, tightening_factor=tightening_factor)
    if tightening_factor < 1:
        raise Refusal(f"tightening factor is {tightening_factor:g}; it must be 1 or more.")
    return greatest_n / tightening_factor


def _lever_mm(thread: Thread, thread_friction: float, bearing_friction: float, bearing_mm: float) -> float:
    """Torque over preload."""
    require_not_negative(thread_friction=thread_friction, bearing_friction=bearing_friction)
    require_positive(bearing_mm=bearing_mm)
    in_thread_mm = 0.16 * thread.pitch_mm + 0.58 * pitch_diameter_mm(thread) * thread_friction
    return in_thread_mm + bearing_mm * bearing_friction / 2


def _require_fraction(**values: float) -> None:
    for name, value in values.items():
        if not 0 < value < 1:
            raise Refusal("{given}; it must lie between 0 and 1.", given=argument(name, value))
