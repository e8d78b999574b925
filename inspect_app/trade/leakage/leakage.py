"""Leakage out of pressure drop, rod travel and drops; knows no limit and no gauge by name."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from decimal import Decimal

from inspect_app.trade.measuring.amounts import Amount
from inspect_app.trade.measuring.decision import Decision, decide
from inspect_app.trade.measuring.refusal import UNSAID, Refusal, Sentence
from inspect_app.trade.measuring.required import require_finite, require_not_negative, require_positive
from inspect_app.trade.strength.force import annulus_area_mm2

OIL_DROP_ML = 0.0328
"""One drop of hydraulic oil, 0.002 in³ (source oil-drop); others are up to three times that."""

_MM3_PER_ML = 1000


@dataclass(frozen=True, slots=True)
class Hold:
    """A pressure hold as read: gauge and thermometer at start and end."""

    start_mpa: float
    end_mpa: float
    start_c: float
    end_c: float
    minutes: float


@dataclass(frozen=True, slots=True)
class HoldDrop:
    """What fell in a hold: as seen, the part that cooling explains (negative: warming hid it), and the rest.

    `expanded_uncertainty_mpa` (k = 2) belongs to `leak_mpa`, which goes to the decision rule with the limit.
    """

    seen_mpa: float
    cooling_mpa: float
    leak_mpa: float
    expanded_uncertainty_mpa: float
    remark: Sentence = UNSAID


def leak_from_pressure_drop_ml_min(
    *, drop_mpa: float, minutes: float, volume_ml: float, bulk_modulus_mpa: float
) -> float:
    """The oil that left a closed volume, from its fall of pressure, ml/min.

    Q = (V/K) Δp/Δt

    Args:
        drop_mpa: fall of pressure Δp due to leakage, MPa.
        minutes: time Δt, min.
        volume_ml: oil under pressure V, ml.
        bulk_modulus_mpa: effective bulk modulus K of oil, barrel and air, MPa; known to some 20 %.
    Raises:
        Refusal: when the drop is negative or another value not positive.
    Valid: volume closed, no air, temperature constant or corrected for; drop small against K.
    Source: leak-by-decay

    >>> leak_from_pressure_drop_ml_min(drop_mpa=1, minutes=5, volume_ml=2000, bulk_modulus_mpa=1400)
    0.2857
    """
    require_not_negative(drop_mpa=drop_mpa)
    require_positive(minutes=minutes, volume_ml=volume_ml, bulk_modulus_mpa=bulk_modulus_mpa)
    return volume_ml * drop_mpa / bulk_modulus_mpa / minutes


def pressure_drop_from_leak_mpa(
    *, leak_ml_min: float, minutes: float, volume_ml: float, bulk_modulus_mpa: float
) -> float:
    """The fall of pressure a leak causes in a closed volume, MPa.

    Δp = K Q Δt / V

    Args:
        leak_ml_min: leakage Q, ml/min.
        minutes: time Δt, min.
        volume_ml: oil under pressure V, ml.
        bulk_modulus_mpa: effective bulk modulus K, MPa.
    Raises:
        Refusal: when the leakage is negative or another value not positive.
    Valid: leakage constant, so only while the drop is small against the pressure.
    Source: leak-by-decay

    >>> pressure_drop_from_leak_mpa(leak_ml_min=0.2857, minutes=5, volume_ml=2000, bulk_modulus_mpa=1400)
    1.00
    """
    require_not_negative(leak_ml_min=leak_ml_min)
    require_positive(minutes=minutes, volume_ml=volume_ml, bulk_modulus_mpa=bulk_modulus_mpa)
    return bulk_modulus_mpa * leak_ml_min * minutes / volume_ml


def leak_from_drift_ml_min(*, drift_mm: float, minutes: float, bore_mm: float, rod_mm: float) -> float:
    """The oil that left a chamber whose other side is open to tank, from the travel of the rod, ml/min.

    Q = A v

    Args:
        drift_mm: travel of the rod, mm.
        minutes: time, min.
        bore_mm: bore, mm.
        rod_mm: rod, mm, where oil leaves the rod side; 0 where it leaves the cap side.
    Raises:
        Refusal: when the drift is negative, the time not positive, or the rod as thick as the bore.
    Valid: one port blocked, the other open; with both blocked see `drift.drift_meaning`.
    Source: leak-by-drift

    >>> leak_from_drift_ml_min(drift_mm=1, minutes=1, bore_mm=100, rod_mm=0)
    7.854
    """
    require_not_negative(drift_mm=drift_mm)
    require_positive(minutes=minutes)
    return annulus_area_mm2(bore_mm=bore_mm, rod_mm=rod_mm) * drift_mm / minutes / _MM3_PER_ML


def drift_from_leak_mm_min(*, leak_ml_min: float, bore_mm: float, rod_mm: float) -> float:
    """How fast the rod drifts when a chamber loses oil, mm/min.

    v = Q / A

    Args:
        leak_ml_min: leakage, ml/min.
        bore_mm: bore, mm.
        rod_mm: rod, mm, where oil leaves the rod side; 0 where it leaves the cap side.
    Raises:
        Refusal: when the leakage is negative or the rod as thick as the bore.
    Valid: one port blocked, the other open.
    Source: leak-by-drift

    >>> drift_from_leak_mm_min(leak_ml_min=50, bore_mm=100, rod_mm=0)
    6.366
    """
    require_not_negative(leak_ml_min=leak_ml_min)
    return leak_ml_min * _MM3_PER_ML / annulus_area_mm2(bore_mm=bore_mm, rod_mm=rod_mm)


def hold_drop(
    hold: Hold,
    *,
    mpa_per_c: float,
    mpa_per_c_uncertainty: float,
    gauge_uncertainty_mpa: float,
    thermometer_uncertainty_c: float,
) -> HoldDrop:
    """The fall of pressure in a hold, freed of what the change of temperature explains.

    leak = (p1 − p2) − c (T1 − T2); U² = 2 Up² + (c √2 UT)² + (Uc (T1 − T2))²

    Args:
        hold: the readings.
        mpa_per_c: pressure change per degree c, MPa/°C, see `compression.locked_pressure_rise_mpa`.
        mpa_per_c_uncertainty: expanded uncertainty (k = 2) of c; a fifth of c where K is a book value.
        gauge_uncertainty_mpa: expanded uncertainty (k = 2) of one pressure reading, MPa.
        thermometer_uncertainty_c: expanded uncertainty (k = 2) of one temperature reading, °C.
    Raises:
        Refusal: when a pressure, an uncertainty or c is negative, or the time not positive.
    Valid: the two readings are taken as independent, which is on the safe side.
    Source: trapped-oil, gum

    >>> cooled = hold_drop(
    ...     Hold(start_mpa=25.0, end_mpa=23.9, start_c=31.0, end_c=30.0, minutes=5),
    ...     mpa_per_c=1.1,
    ...     mpa_per_c_uncertainty=0.2,
    ...     gauge_uncertainty_mpa=0.1,
    ...     thermometer_uncertainty_c=0.1,
    ... )
    >>> print(cooled.remark)
    Cooling by 1 °C takes 11 bar: that explains the drop. Wait for an even temperature and hold again.
    """
    require_not_negative(start_mpa=hold.start_mpa, end_mpa=hold.end_mpa, mpa_per_c=mpa_per_c)
    require_not_negative(
        gauge_uncertainty_mpa=gauge_uncertainty_mpa,
        thermometer_uncertainty_c=thermometer_uncertainty_c,
        mpa_per_c_uncertainty=mpa_per_c_uncertainty,
    )
    require_finite(start_c=hold.start_c, end_c=hold.end_c)
    require_positive(minutes=hold.minutes)
    cooling_c, noise_mpa = hold.start_c - hold.end_c, math.sqrt(2) * gauge_uncertainty_mpa
    seen_mpa, cooling_mpa = hold.start_mpa - hold.end_mpa, mpa_per_c * cooling_c
    uncertainty_mpa = math.hypot(
        noise_mpa,
        math.sqrt(2) * mpa_per_c * thermometer_uncertainty_c,
        mpa_per_c_uncertainty * cooling_c,
    )
    drop = HoldDrop(seen_mpa, cooling_mpa, seen_mpa - cooling_mpa, uncertainty_mpa)
    return replace(drop, remark=_hold_remark(drop, abs(cooling_c), noise_mpa))


def judge_hold(drop: HoldDrop, *, limit_mpa: Decimal) -> Decision:
    """What a hold proves about the greatest drop allowed, by the one decision rule.

    Args:
        drop: the drop with its uncertainty.
        limit_mpa: greatest drop allowed over the time of the hold, MPa.
    Raises:
        Refusal: when the pressure stands higher than the temperature explains: such a hold proves nothing.
    Source: iso-14253-1

    >>> quiet = HoldDrop(0.10, 0.0, 0.10, 0.04)
    >>> judge_hold(quiet, limit_mpa=Decimal("0.2")).verdict.value
    'within limit'
    """
    if drop.leak_mpa < -drop.expanded_uncertainty_mpa:
        raise Refusal("This hold proves nothing. {remark}", remark=drop.remark)
    return decide(
        value=Decimal(f"{drop.leak_mpa:.4f}"),
        lower=None,
        upper=limit_mpa,
        expanded_uncertainty=Decimal(f"{drop.expanded_uncertainty_mpa:.4f}"),
    )


def _hold_remark(drop: HoldDrop, change_c: float, noise_mpa: float) -> Sentence:
    change = {
        "change": Amount(change_c, "temperature difference"),
        "pressure": Amount(abs(drop.cooling_mpa), "pressure"),
    }
    if drop.leak_mpa < -drop.expanded_uncertainty_mpa:
        return Sentence(
            "The pressure stands higher than the temperature explains; check gauge, thermometer and valve."
        )
    if abs(drop.cooling_mpa) <= noise_mpa:
        return UNSAID
    if drop.cooling_mpa < 0:
        return Sentence("Warming by {change} adds {pressure}: it hides as much of a leak.", change)
    if drop.leak_mpa > drop.expanded_uncertainty_mpa:
        return Sentence("Cooling by {change} takes {pressure} of the drop; the rest is leakage.", change)
    if drop.seen_mpa > noise_mpa:
        return Sentence(
            "Cooling by {change} takes {pressure}: that explains the drop. Wait for an even temperature and"
            " hold again.",
            change,
        )
    return UNSAID


def drops_allowed(*, packings: int, cycles: int, cycles_per_drop: int) -> int:
    """The drops a set of dynamic seals may lose over some cycles, whole drops.

    packings × cycles / cycles per drop, rounded down

    Args:
        packings: dynamic packings under pressure.
        cycles: full cycles run.
        cycles_per_drop: cycles in which one packing may lose one drop.
    Raises:
        Refusal: when packings or cycles are negative or cycles per drop not positive.
    Source: mil-prf-5503

    >>> drops_allowed(packings=3, cycles=50, cycles_per_drop=25)
    6
    """
    require_not_negative(packings=packings, cycles=cycles)
    require_positive(cycles_per_drop=cycles_per_drop)
    return packings * cycles // cycles_per_drop


def drops_ml(*, drops: float, drop_ml: float = OIL_DROP_ML) -> float:
    """The volume of counted drops, ml; divide a volume by `OIL_DROP_ML` for the way back.

    Args:
        drops: drops counted.
        drop_ml: volume of one drop, ml.
    Raises:
        Refusal: when the count is negative or the drop not positive.
    Valid: an estimate; drops of oil differ by a factor of two and more.
    Source: oil-drop

    >>> drops_ml(drops=180)   # 180 drops are 0.36 in³ in the source
    5.90
    """
    require_not_negative(drops=drops)
    require_positive(drop_ml=drop_ml)
    return drops * drop_ml
