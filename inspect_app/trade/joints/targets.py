"""What a joint is tightened to, and whether it holds over the scatter; knows no file, no tool and no part by name."""

from __future__ import annotations

from dataclasses import dataclass

from inspect_app.trade.joints.torque import torque_nm
from inspect_app.trade.measuring.amounts import argument
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.required import require_not_negative, require_positive


@dataclass(frozen=True, slots=True)
class ComputedTarget:
    """A target computed from a share of proof: the torque over the range of K, the preload over the scatter."""

    low_nm: float
    nominal_nm: float
    high_nm: float
    lowest_n: float
    preload_n: float
    highest_n: float


@dataclass(frozen=True, slots=True)
class Held:
    """One bolt of a joint under its load: the most it carries, and the least that still clamps the parts.

    `proof_use` is the greatest bolt load over the proof load: above 1 it overshoots. `lowest_clamp_n` below 0 means
    that the parts may part.
    """

    highest_bolt_n: float
    lowest_clamp_n: float
    proof_use: float


def computed_target(
    *,
    share: float,
    proof_load_n: float,
    d_mm: float,
    nut_factors: tuple[float, float, float],
    scatter: float,
) -> ComputedTarget:
    """The torque for a share of proof, and what preload it may leave.

    F = s Fp; T = K F d; F from F (1 − a) to F (1 + a)

    Args:
        share: share s of the proof load aimed at, as a fraction; 0.75 for a joint that is opened again.
        proof_load_n: proof load Fp of the thread, N.
        d_mm: nominal diameter d of the thread, mm.
        nut_factors: K at its lowest, as expected and at its highest for the surface and its oil.
        scatter: a, how far the preload may stray either way by the way of tightening, as a fraction.
    Raises:
        Refusal: when a value is not positive, a fraction not below 1, or the factors not in rising order.
    Valid: K is for thread and face lubricated alike; a dry K on an oiled thread overloads by dry over oiled.
    Source: shigley-bolts, shigley-torque-factors, vdi-2230-tightening

    >>> target = computed_target(   # M42x3, proof 600 MPa x 1206.0 mm²
    ...     share=0.75, proof_load_n=723_600, d_mm=42, nut_factors=(0.12, 0.18, 0.20), scatter=0.25
    ... )
    >>> round(target.low_nm), round(target.nominal_nm), round(target.high_nm)
    (2735, 4103, 4559)
    """
    _require_fraction(share=share, scatter=scatter)
    low, expected, high = nut_factors
    if not low <= expected <= high:
        raise Refusal(f"nut factors are {low:g}, {expected:g}, {high:g}; give lowest, expected, highest.")
    preload_n = share * proof_load_n
    at = {"preload_n": preload_n, "d_mm": d_mm}
    return ComputedTarget(
        torque_nm(**at, nut_factor=low),
        torque_nm(**at, nut_factor=expected),
        torque_nm(**at, nut_factor=high),
        preload_n * (1 - scatter),
        preload_n,
        preload_n * (1 + scatter),
    )


def held_over_scatter(
    *,
    lowest_n: float,
    highest_n: float,
    load_n: float,
    constants: tuple[float, float],
    proof_load_n: float,
) -> Held:
    """Whether a bolt stays below proof and the parts stay together, over all its preload may be.

    bolt F_high + C_high P; clamp F_low − (1 − C_low) P

    Args:
        lowest_n: lowest preload of one bolt, N.
        highest_n: its highest preload, N.
        load_n: load P that parts the joint at the proof test, on one bolt, N.
        constants: least and greatest share C of the load the bolt may take; the same twice where it is known.
        proof_load_n: proof load of the thread, N.
    Raises:
        Refusal: when a force is negative, the proof load not positive, or a share not between 0 and 1 or not rising.
    Source: shigley-bolts

    >>> held = held_over_scatter(   # 75 % of proof 100, scatter a third, load 20, the bolt takes 0.3
    ...     lowest_n=50, highest_n=100, load_n=20, constants=(0.3, 0.3), proof_load_n=100
    ... )
    >>> held.highest_bolt_n, held.lowest_clamp_n
    (106.0, 36.0)
    """
    require_not_negative(lowest_n=lowest_n, highest_n=highest_n, load_n=load_n)
    require_positive(proof_load_n=proof_load_n)
    low, high = _shares(constants)
    bolt_n = max(highest_n + high * load_n, load_n)
    return Held(bolt_n, lowest_n - (1 - low) * load_n, bolt_n / proof_load_n)


def greatest_share(
    *, load_n: float, constants: tuple[float, float], proof_load_n: float, scatter: float
) -> float:
    """The greatest share of proof whose scatter does not overshoot proof once the load is on; 0 where none does.

    s = (1 − C P/Fp)/(1 + a)

    Args:
        load_n: load P on one bolt at the proof test, N.
        constants: as in `held_over_scatter`.
        proof_load_n: proof load Fp, N.
        scatter: a, how far the preload may stray, as a fraction.
    Raises:
        Refusal: as `held_over_scatter`, and where the scatter is not a fraction.
    Source: shigley-bolts

    >>> greatest_share(load_n=20, constants=(0.3, 0.3), proof_load_n=100, scatter=0.3)   # 0.94 / 1.3
    0.723
    """
    require_not_negative(load_n=load_n)
    require_positive(proof_load_n=proof_load_n)
    _require_fraction(scatter=scatter)
    _, high = _shares(constants)
    return max(0.0, (1 - high * load_n / proof_load_n) / (1 + scatter))


def wrench_setting_nm(*, torque_nm: float, wrench_mm: float, extension_mm: float) -> float:
    """What a wrench is set to when an adapter in line makes it longer, N·m.

    M = T L/(L + E)

    Args:
        torque_nm: torque wanted at the nut T, N·m.
        wrench_mm: wrench from the middle of its drive to the middle of the grip L, mm.
        extension_mm: adapter from the drive to the nut, in line with the wrench E, mm; 0 at a right angle to it.
    Raises:
        Refusal: when torque or wrench is not positive or the adapter negative.
    Source: statics

    >>> wrench_setting_nm(torque_nm=600, wrench_mm=500, extension_mm=100)   # 600 x 5/6
    500.0
    """
    require_positive(torque_nm=torque_nm, wrench_mm=wrench_mm)
    require_not_negative(extension_mm=extension_mm)
    return torque_nm * wrench_mm / (wrench_mm + extension_mm)


def cross_pattern(count: int) -> tuple[int, ...]:
    """The order in which the screws of a ring are tightened: across, then a quarter on; numbered round from 1.

    Args:
        count: how many there are.
    Raises:
        Refusal: when there are none.
    Source: cross-pattern

    >>> cross_pattern(4), cross_pattern(8)
    ((1, 3, 2, 4), (1, 5, 3, 7, 2, 6, 4, 8))
    >>> cross_pattern(6), cross_pattern(5)
    ((1, 4, 2, 5, 3, 6), (1, 3, 5, 2, 4))
    """
    require_positive(count=count)
    if count % 4 == 0:
        offsets, first = (0, count // 2, count // 4, 3 * count // 4), count // 4
        return tuple(n + offset + 1 for n in range(first) for offset in offsets)
    if count % 2 == 0:
        return tuple(n + offset + 1 for n in range(count // 2) for offset in (0, count // 2))
    # an odd ring has nothing straight across: nearly half way round each time reaches all of them
    across = max(1, count // 2)
    return tuple(n * across % count + 1 for n in range(count))


def _shares(constants: tuple[float, float]) -> tuple[float, float]:
    low, high = constants
    if not 0 < low <= high < 1:
        raise Refusal(
            f"the bolt's share of the load is {low:g} to {high:g}; it lies between 0 and 1, rising."
        )
    return low, high


def _require_fraction(**values: float) -> None:
    for name, value in values.items():
        if not 0 < value < 1:
            raise Refusal("{given}; it must lie between 0 and 1.", given=argument(name, value))
