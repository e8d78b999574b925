"""Tie-rods: what they must hold together, and how far a nut is turned for it; knows no file and no verdict."""

from __future__ import annotations

from dataclasses import dataclass

from inspect_app.trade.measuring.required import require_positive
from inspect_app.trade.strength.force import annulus_area_mm2, circle_area_mm2

_TURN_DEG = 360


@dataclass(frozen=True, slots=True)
class Clamped:
    """Tie-rods against pressure: load on one rod, preload over what parts them, and the stress in the tube's wall."""

    load_each_n: float
    separation_factor: float
    tube_mpa: float


def tie_rods_clamp(
    *, preload_each_n: float, rods: int, bore_mm: float, outside_mm: float, pressure_mpa: float
) -> Clamped:
    """What tie-rods of equal tension hold at a pressure, and how hard they press the tube.

    P = p π/4 D² / N; factor F/P; tube N F / [π/4 (Do² − D²)]

    Args:
        preload_each_n: preload F of each rod, N; the lowest for separation, the highest for the tube.
        rods: how many there are N.
        bore_mm: bore D, mm; where the heads seal outside the tube, that diameter.
        outside_mm: outside diameter of the tube Do, mm.
        pressure_mpa: pressure p at its highest, MPa; that of the proof test.
    Raises:
        Refusal: when a value is not positive or the bore not inside the tube.
    Valid: all rods alike; that the tube gives back some of the preload under pressure is left out, on the safe side.
    Source: statics

    >>> four = tie_rods_clamp(preload_each_n=60_000, rods=4, bore_mm=100, outside_mm=115, pressure_mpa=24)
    >>> four.load_each_n, four.separation_factor, four.tube_mpa
    (47124., 1.273, 94.7)
    """
    require_positive(
        preload_each_n=preload_each_n,
        rods=rods,
        bore_mm=bore_mm,
        outside_mm=outside_mm,
        pressure_mpa=pressure_mpa,
    )
    load_n = pressure_mpa * circle_area_mm2(bore_mm) / rods
    wall_mm2 = annulus_area_mm2(bore_mm=outside_mm, rod_mm=bore_mm)
    return Clamped(load_n, preload_each_n / load_n, rods * preload_each_n / wall_mm2)


def turn_from_snug_deg(
    *,
    preload_n: float,
    pitch_mm: float,
    rod_length_mm: float,
    rod_area_mm2: float,
    tube_length_mm: float,
    tube_area_mm2: float,
    rods: int,
    elastic_mpa: float,
) -> float:
    """How far the nut of a tie-rod is turned from snug for a preload, degrees.

    θ = 360/P (F L/(A E) + N F Lt/(At E))

    Args:
        preload_n: preload F of each rod, N.
        pitch_mm: pitch P of its thread, mm; 25.4 over the threads per inch.
        rod_length_mm: length of rod between the nuts L, mm.
        rod_area_mm2: section of the rod A, mm²; its shank where that is most of it.
        tube_length_mm: length of the tube Lt, mm.
        tube_area_mm2: section of the tube's wall At, mm².
        rods: how many rods press the tube N.
        elastic_mpa: elastic modulus E of rod and tube, MPa.
    Raises:
        Refusal: when a value is not positive.
    Valid: rods and tube of steel; heads and threads give a little more, so the real preload is lower.
    Source: statics, steel-elastic

    >>> turn_from_snug_deg(preload_n=60_000, pitch_mm=2, rod_length_mm=600, rod_area_mm2=245, tube_length_mm=500,
    ...                    tube_area_mm2=2533, rods=4, elastic_mpa=206_000)   # 0.7133 + 0.2300 mm
    169.8
    """
    require_positive(
        preload_n=preload_n,
        pitch_mm=pitch_mm,
        rod_length_mm=rod_length_mm,
        rod_area_mm2=rod_area_mm2,
        tube_length_mm=tube_length_mm,
        tube_area_mm2=tube_area_mm2,
        rods=rods,
        elastic_mpa=elastic_mpa,
    )
    stretch_mm = preload_n * rod_length_mm / (rod_area_mm2 * elastic_mpa)
    shortening_mm = rods * preload_n * tube_length_mm / (tube_area_mm2 * elastic_mpa)
    return _TURN_DEG / pitch_mm * (stretch_mm + shortening_mm)
