"""What a drifting rod says about its piston seal; knows no limit and no valve."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum

from inspect_app.trade.measuring.required import require_not_negative, require_positive
from inspect_app.trade.strength.force import annulus_area_mm2, circle_area_mm2

_MM3_PER_ML = 1000
_MM_PER_CM = 10


class DriftCondition(Enum):
    """How a piston judged by its drift number stands (source hydroamp-drift)."""

    GOOD = "good"
    MODERATE = "moderate"
    SEVERE = "severe"


@dataclass(frozen=True, slots=True)
class DriftBands:
    """Drift numbers of one kind of ring, ml/(cm·h): good below the first, moderate below the second."""

    good_below: float
    moderate_below: float


@dataclass(frozen=True, slots=True)
class Lock:
    """A loaded piston with a leaking seal, both ports blocked: before and after the pressures equalise."""

    start_mpa: float
    equal_mpa: float
    travel_mm: float


def blocked_ports_lock(
    *,
    load_n: float,
    bore_mm: float,
    rod_mm: float,
    cap_volume_ml: float,
    rod_side_volume_ml: float,
    bulk_modulus_mpa: float,
) -> Lock:
    """Where a piston with a leaking seal comes to rest under a pushing load, both ports blocked.

    before: p1 = F/A; after, equal on both sides: p = F/a (a: rod area);
    travel x = [p (V1 + V2) − p1 V1] / (K a)

    Args:
        load_n: load F that pushes the rod in, N.
        bore_mm: bore, mm.
        rod_mm: rod, mm.
        cap_volume_ml: oil on the cap side with its line V1, ml.
        rod_side_volume_ml: oil on the rod side with its line V2, ml.
        bulk_modulus_mpa: effective bulk modulus K, MPa.
    Raises:
        Refusal: when a value is not positive or the rod as thick as the bore.
    Valid: single rod, load pushing in, no oil lost outside, no air; pressures small against K.
        The equal pressure may exceed what the cylinder is rated for.
    Source: statics, drift-trade, leak-by-decay

    >>> lock = blocked_ports_lock(load_n=50_000, bore_mm=100, rod_mm=56, cap_volume_ml=4000,
    ...                           rod_side_volume_ml=2700, bulk_modulus_mpa=1400)
    >>> lock.start_mpa, lock.equal_mpa
    (6.366, 20.300)
    """
    require_positive(
        load_n=load_n,
        rod_mm=rod_mm,
        cap_volume_ml=cap_volume_ml,
        rod_side_volume_ml=rod_side_volume_ml,
        bulk_modulus_mpa=bulk_modulus_mpa,
    )
    annulus_area_mm2(bore_mm=bore_mm, rod_mm=rod_mm)
    start_mpa, equal_mpa = load_n / circle_area_mm2(bore_mm), load_n / circle_area_mm2(rod_mm)
    oil_ml_mpa = equal_mpa * (cap_volume_ml + rod_side_volume_ml) - start_mpa * cap_volume_ml
    travel_mm = oil_ml_mpa / bulk_modulus_mpa * _MM3_PER_ML / circle_area_mm2(rod_mm)
    return Lock(start_mpa, equal_mpa, travel_mm)


def drift_meaning(*, both_ports_blocked: bool, double_rod: bool, load_pulls_rod_out: bool) -> str:
    """What drift under load says about the piston seal, in a sentence.

    Args:
        both_ports_blocked: whether both ports are closed, as on the machine with its valve centred.
        double_rod: whether a rod passes through both ends.
        load_pulls_rod_out: whether the load hangs on the rod.
    Source: drift-trade

    >>> drift_meaning(both_ports_blocked=True, double_rod=False, load_pulls_rod_out=False)
    'Drift is not proof of a leaking piston seal: ...'
    """
    if not both_ports_blocked:
        return "The open port shows what passes the piston: catch it there; the drift gives the same rate."
    if double_rod or load_pulls_rod_out:
        return (
            "Drift can come from the piston seal here, but also from valve, fittings and rod seal; "
            "open a port and see what passes the piston."
        )
    return (
        "Drift is not proof of a leaking piston seal: with both ports blocked the pressures equalise and "
        "the piston locks; steady sinking means oil leaves by valve, fittings or rod seal. "
        "Open a port and see what passes the piston."
    )


def drift_number_by_travel(*, drift_mm: float, bore_mm: float, hours: float, rod_mm: float = 0.0) -> float:
    """The drift number of a piston under a hanging load, from the rod's travel, ml/(cm·h).

    N = L (D² − d²) / (4 D t), lengths in cm; a chamber without rod has d = 0

    The guide gives L D / (4 t), which takes the whole bore; the oil of a rod-side chamber is less by the rod.

    Args:
        drift_mm: travel L, mm.
        bore_mm: bore D, mm.
        hours: time t, h; the guide holds for 1 h.
        rod_mm: rod d through the chamber that loses the oil, mm; 0 on the cap side.
    Raises:
        Refusal: when the travel is negative, another value not positive, or the rod as thick as the bore.
    Valid: hydraulically isolated piston, load hanging; stages leaking in the same event
        share it, see `drift_condition`.
    Source: hydroamp-drift

    >>> drift_number_by_travel(drift_mm=3, bore_mm=200, hours=1)
    1.5
    """
    require_not_negative(drift_mm=drift_mm)
    require_positive(hours=hours)
    # (D² − d²) / 4 D
    area_over_circumference_mm = annulus_area_mm2(bore_mm=bore_mm, rod_mm=rod_mm) / (math.pi * bore_mm)
    return drift_mm / _MM_PER_CM * area_over_circumference_mm / _MM_PER_CM / hours


def drift_number_by_volume(*, volume_ml: float, bore_mm: float, hours: float) -> float:
    """The drift number of a piston under a hanging load, from the oil that passed it, ml/(cm·h).

    N = V / (π D t), D in cm

    Args:
        volume_ml: oil V, ml.
        bore_mm: bore D, mm.
        hours: time t, h.
    Raises:
        Refusal: when the volume is negative or another value not positive.
    Source: hydroamp-drift

    >>> drift_number_by_volume(volume_ml=94.25, bore_mm=200, hours=1)   # the same event as 3 mm of travel
    1.50
    """
    require_not_negative(volume_ml=volume_ml)
    require_positive(bore_mm=bore_mm, hours=hours)
    return volume_ml / (math.pi * bore_mm / _MM_PER_CM * hours)


def drift_condition(*, drift_number: float, stages: int, bands: DriftBands) -> DriftCondition:
    """The condition of a piston by its drift number; a number on a border belongs to the worse side.

    Args:
        drift_number: N of the whole cylinder, ml/(cm·h).
        stages: stages that leak in the same event, 1 for an ordinary cylinder.
        bands: the borders for one stage with this kind of rings.
    Raises:
        Refusal: when the number is negative or there is no stage.
    Source: hydroamp-drift

    >>> drift_condition(drift_number=1.5, stages=1, bands=DriftBands(2, 10)).value
    'good'
    """
    require_not_negative(drift_number=drift_number)
    require_positive(stages=stages)
    if drift_number < bands.good_below * stages:
        return DriftCondition.GOOD
    return DriftCondition.MODERATE if drift_number < bands.moderate_below * stages else DriftCondition.SEVERE
