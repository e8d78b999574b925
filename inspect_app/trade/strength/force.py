"""Force, speed and pressure a cylinder gets from its areas; knows no limits and no steel."""

from __future__ import annotations

import math
from dataclasses import dataclass

from inspect_app.trade.measuring.amounts import Amount, argument
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.required import require_finite, require_not_negative, require_positive

_MM3_PER_L = 1e6


@dataclass(frozen=True, slots=True)
class Volumes:
    """Oil over one full stroke; the tank's level swings by `rod_l`."""

    cap_l: float
    annulus_l: float
    rod_l: float


@dataclass(frozen=True, slots=True)
class Speeds:
    """Rod speeds at one pump flow, and the flow that leaves the other port meanwhile."""

    out_mm_s: float
    in_mm_s: float
    return_out_l_min: float
    return_in_l_min: float


def circle_area_mm2(diameter_mm: float) -> float:
    """Area of a bore, a rod or a plunger, mm².

    A = pi d² / 4

    Args:
        diameter_mm: its diameter, mm.
    Raises:
        Refusal: a diameter not greater than 0.

    >>> circle_area_mm2(100)
    7853.98
    """
    require_positive(diameter_mm=diameter_mm)
    return math.pi * diameter_mm**2 / 4


def annulus_area_mm2(*, bore_mm: float, rod_mm: float) -> float:
    """Area the oil presses on at the rod side, mm².

    A_a = pi (D² - d²) / 4

    Args:
        bore_mm: inside diameter of the barrel D, mm.
        rod_mm: rod diameter d, mm; 0 where no rod passes.
    Raises:
        Refusal: a rod as thick as the bore.

    >>> annulus_area_mm2(bore_mm=100, rod_mm=70)
    4005.53
    """
    require_positive(bore_mm=bore_mm)
    require_not_negative(rod_mm=rod_mm)
    if rod_mm >= bore_mm:
        raise Refusal(
            "{given} in a bore of {bore}; the rod must be thinner than the bore.",
            given=argument("rod_mm", rod_mm),
            bore=Amount(bore_mm, "length"),
        )
    return math.pi * (bore_mm**2 - rod_mm**2) / 4


def push_force_n(
    *,
    bore_mm: float,
    rod_mm: float,
    pressure_mpa: float,
    back_pressure_mpa: float = 0.0,
    efficiency: float = 1.0,
) -> float:
    """Force with which the rod is pushed out, N.

    F = (p1 A - p2 A_a) eta

    Args:
        bore_mm: inside diameter of the barrel, mm; for a ram its plunger, with a rod of 0.
        rod_mm: rod diameter, mm.
        pressure_mpa: pressure at the cap end p1, MPa.
        back_pressure_mpa: pressure left at the rod end p2, MPa.
        efficiency: share of the force that friction leaves, over 0 to 1.
    Raises:
        Refusal: the back pressure holds the rod in, or a value out of range.
    Valid: standing still or moving slowly; no flow losses.
    Source: fluid-power-areas

    >>> push_force_n(bore_mm=100, rod_mm=70, pressure_mpa=20)  # 200 bar on 100 mm, published data
    157079.6
    """
    rod_side_mm2 = annulus_area_mm2(bore_mm=bore_mm, rod_mm=rod_mm)
    driving_n = pressure_mpa * circle_area_mm2(bore_mm)
    return _net_force_n(pressure_mpa, driving_n, back_pressure_mpa, rod_side_mm2, efficiency)


def pull_force_n(
    *,
    bore_mm: float,
    rod_mm: float,
    pressure_mpa: float,
    back_pressure_mpa: float = 0.0,
    efficiency: float = 1.0,
) -> float:
    """Force with which the rod is pulled in, N; of a double-rod cylinder also the force out.

    F = (p1 A_a - p2 A) eta

    Args:
        bore_mm: inside diameter of the barrel, mm.
        rod_mm: rod diameter, mm.
        pressure_mpa: pressure at the rod end p1, MPa.
        back_pressure_mpa: pressure left at the cap end p2, MPa.
        efficiency: share of the force that friction leaves, over 0 to 1.
    Raises:
        Refusal: the back pressure holds the rod out, or a value out of range.
    Valid: standing still or moving slowly; no flow losses.
    Source: fluid-power-areas

    >>> pull_force_n(bore_mm=100, rod_mm=50, pressure_mpa=25)
    147262.2
    """
    driving_n = pressure_mpa * annulus_area_mm2(bore_mm=bore_mm, rod_mm=rod_mm)
    return _net_force_n(pressure_mpa, driving_n, back_pressure_mpa, circle_area_mm2(bore_mm), efficiency)


def _net_force_n(
    pressure_mpa: float, driving_n: float, back_pressure_mpa: float, back_mm2: float, efficiency: float
) -> float:
    require_not_negative(pressure_mpa=pressure_mpa, back_pressure_mpa=back_pressure_mpa)
    require_positive(efficiency=efficiency)
    if efficiency > 1:
        raise Refusal(f"efficiency is {efficiency:g}; it must not be greater than 1.")
    force_n = driving_n - back_pressure_mpa * back_mm2
    if force_n < 0:
        raise Refusal(
            "{given} against {pressure}; the cylinder cannot move against that, it must be lower.",
            given=argument("back_pressure_mpa", back_pressure_mpa),
            pressure=Amount(pressure_mpa, "pressure"),
        )
    return force_n * efficiency


def volumes_l(*, bore_mm: float, rod_mm: float, stroke_mm: float) -> Volumes:
    """Oil in each end over the full stroke, litres.

    V = A s

    Args:
        bore_mm: inside diameter of the barrel, mm.
        rod_mm: rod diameter, mm.
        stroke_mm: stroke s, mm.
    Raises:
        Refusal: a rod as thick as the bore, or a stroke not greater than 0.

    >>> volumes_l(bore_mm=100, rod_mm=70, stroke_mm=1000)
    Volumes(cap_l=7.854, annulus_l=4.006, rod_l=3.848)
    """
    require_positive(stroke_mm=stroke_mm)
    cap_l = circle_area_mm2(bore_mm) * stroke_mm / _MM3_PER_L
    annulus_l = annulus_area_mm2(bore_mm=bore_mm, rod_mm=rod_mm) * stroke_mm / _MM3_PER_L
    return Volumes(cap_l, annulus_l, cap_l - annulus_l)


def speeds(*, bore_mm: float, rod_mm: float, flow_l_min: float) -> Speeds:
    """Rod speeds at a pump flow, mm/s, and the return flows, l/min.

    v = Q / A; out: Q_return = Q A_a / A; in: Q_return = Q A / A_a, more than the pump gives

    Args:
        bore_mm: inside diameter of the barrel, mm.
        rod_mm: rod diameter, mm.
        flow_l_min: flow into the cylinder Q, l/min.
    Raises:
        Refusal: a rod as thick as the bore, or a negative flow.
    Valid: no leakage past the piston.
    Source: fluid-power-areas

    >>> speeds(bore_mm=100, rod_mm=70, flow_l_min=40)  # published data, 40 l/min
    Speeds(out_mm_s=84.883, in_mm_s=166.44, return_out_l_min=20.400, return_in_l_min=78.431)
    """
    require_not_negative(flow_l_min=flow_l_min)
    cap_mm2 = circle_area_mm2(bore_mm)
    annulus_mm2 = annulus_area_mm2(bore_mm=bore_mm, rod_mm=rod_mm)
    flow_mm3_s = flow_l_min * _MM3_PER_L / 60
    ratio = cap_mm2 / annulus_mm2
    return Speeds(flow_mm3_s / cap_mm2, flow_mm3_s / annulus_mm2, flow_l_min / ratio, flow_l_min * ratio)


def rod_side_pressure_mpa(
    *, bore_mm: float, rod_mm: float, cap_pressure_mpa: float, load_n: float = 0.0
) -> float:
    """Pressure in a blocked rod side while the cap end is under pressure, MPa.

    p2 = (p1 A - F) / A_a

    Args:
        bore_mm: inside diameter of the barrel, mm.
        rod_mm: rod diameter, mm.
        cap_pressure_mpa: pressure at the cap end p1, MPa.
        load_n: load that resists the rod coming out F, N; negative for a load that pulls it out.
    Raises:
        Refusal: the load holds the piston by itself, or a value out of range.
    Valid: rod port closed or strongly throttled; no friction.
    Source: intensification

    >>> rod_side_pressure_mpa(bore_mm=100, rod_mm=70, cap_pressure_mpa=16)
    31.373
    """
    require_not_negative(cap_pressure_mpa=cap_pressure_mpa)
    require_finite(load_n=load_n)
    annulus_mm2 = annulus_area_mm2(bore_mm=bore_mm, rod_mm=rod_mm)
    push_n = cap_pressure_mpa * circle_area_mm2(bore_mm)
    if load_n > push_n:
        raise Refusal(
            "{given}, more than the {push} the cap side pushes; the rod side is then without pressure and the rod is"
            " pushed in.",
            given=argument("load_n", load_n),
            push=Amount(push_n, "force"),
        )
    return (push_n - load_n) / annulus_mm2


def hydraulic_power_kw(*, pressure_mpa: float, flow_l_min: float) -> float:
    """Power carried by a flow under pressure, kW.

    P = p Q

    Args:
        pressure_mpa: pressure, MPa.
        flow_l_min: flow, l/min.
    Raises:
        Refusal: a negative value.

    >>> hydraulic_power_kw(pressure_mpa=20, flow_l_min=40)
    13.333
    """
    require_not_negative(pressure_mpa=pressure_mpa, flow_l_min=flow_l_min)
    return pressure_mpa * flow_l_min / 60
