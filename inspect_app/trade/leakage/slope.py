"""Leakage out of readings over time: a straight line through a hold; knows no file, no limit by name and no gauge."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import Enum
from itertools import pairwise

from inspect_app.trade.measuring.amounts import Amount
from inspect_app.trade.measuring.decision import Verdict, decide
from inspect_app.trade.measuring.refusal import Refusal, Sentence
from inspect_app.trade.measuring.required import require_not_negative, require_positive
from inspect_app.trade.measuring.uncertainty import coverage_factor

_COVERAGE = 2.0
_FEWEST = 3
"""Two readings make a line through both, and say nothing of how far off it may be."""


@dataclass(frozen=True, slots=True)
class Point:
    """One reading of a hold: minutes from its start, pressure, and oil temperature where it was read."""

    minutes: float
    mpa: float
    celsius: float | None = None


@dataclass(frozen=True, slots=True)
class Volume:
    """The closed oil: its volume with lines and hoses, ml; its bulk modulus with barrel and air, MPa; the share it
    grows by for each °C; each with how far it may be off (k = 2), as a fraction."""

    ml: float
    modulus_mpa: float
    expansion_per_c: float
    ml_share: float
    modulus_share: float
    expansion_share: float


@dataclass(frozen=True, slots=True)
class Leak:
    """Leakage with its uncertainty (k = 2), ml/min; `used` readings over `minutes`.

    `explained_ml_min` is what cooling made look like leakage (negative: warming hid it). `blind` says that no
    temperature was read, so that U leaves it out and proves nothing.
    """

    ml_min: float
    expanded_uncertainty_ml_min: float
    explained_ml_min: float
    used: int
    minutes: float
    blind: bool = False


class Result(Enum):
    """What a test shows of its limit."""

    PASS = "pass"
    FAIL = "fail"
    NOT_PROVEN = "not proven"


@dataclass(frozen=True, slots=True)
class Judged:
    """A result and, where it is not the plain one, why."""

    result: Result
    why: Sentence | None = None


_OF_VERDICT = {
    Verdict.WITHIN: Result.PASS,
    Verdict.BEYOND: Result.FAIL,
    Verdict.UNCLEAR: Result.NOT_PROVEN,
    Verdict.NOT_MEASURED: Result.NOT_PROVEN,
}


def after_settling(points: Sequence[Point], *, settling_minutes: float) -> tuple[Point, ...]:
    """The readings of a hold once hoses, seals and oil have settled.

    Args:
        points: all readings in the order of time.
        settling_minutes: how long after the first one is left out, min.
    Raises:
        Refusal: when time does not rise from reading to reading, or the settling is negative.

    >>> [p.minutes for p in after_settling([Point(0, 20), Point(2, 19), Point(4, 18.9)], settling_minutes=2)]
    [2, 4]
    """
    require_not_negative(settling_minutes=settling_minutes)
    for before, after in pairwise(points):
        if not after.minutes > before.minutes:
            raise Refusal(f"After {before.minutes:g} min comes {after.minutes:g} min; time must rise.")
    start = points[0].minutes + settling_minutes if points else 0.0
    return tuple(p for p in points if p.minutes >= start)


def leak_from_readings(
    points: Sequence[Point],
    *,
    volume: Volume,
    pressure_uncertainty_mpa: float,
    temperature_uncertainty_c: float,
) -> Leak:
    """Leakage of a closed volume out of readings over time, the temperature counted.

    Q = −V/K dp/dt + V β dT/dt, slopes by least squares; U² = (V/K)² [(k s/√Sxx)² + 2 (Up/t)² + 2 (β K UT/t)²]
    + (U_K V/K dp/dt)² + (U_β V β dT/dt)² + (U_V Q)²

    Args:
        points: the readings after settling, in the order of time; temperature at all of them or at none.
        volume: the closed oil.
        pressure_uncertainty_mpa: expanded uncertainty (k = 2) Up of one reading against another of the same gauge,
            MPa: its last digit and repeatability; an error it has all the time drops out of a slope.
        temperature_uncertainty_c: the same of the thermometer in the oil UT, °C.
    Raises:
        Refusal: with fewer than three readings, all at one time, or a figure out of range.
    Valid: the volume stays shut; hoses make K lower, and taken too high it makes the leakage look smaller.
    Source: leak-by-decay, trapped-oil, least-squares, gum

    >>> points = [Point(t, 21 - 0.2 * t, 40.0) for t in range(6)]   # 1 MPa in 5 min
    >>> oil = Volume(2000, 1400, 7e-4, 0.05, 0.2, 0.2)
    >>> leak = leak_from_readings(points, volume=oil, pressure_uncertainty_mpa=0, temperature_uncertainty_c=0)
    >>> leak.ml_min
    0.2857
    """
    _require_readings(points, volume)
    require_not_negative(
        pressure_uncertainty_mpa=pressure_uncertainty_mpa, temperature_uncertainty_c=temperature_uncertainty_c
    )
    minutes = [p.minutes for p in points]
    span = minutes[-1] - minutes[0]
    temperatures = [p.celsius for p in points if p.celsius is not None]
    blind = len(temperatures) < len(points)
    # what warming would add is taken off each reading first, so that a bend in it is no scatter
    of_degree = volume.expansion_per_c * volume.modulus_mpa
    warmed = [0.0] * len(points) if blind else [of_degree * (t - temperatures[0]) for t in temperatures]
    slope, scatter = _line(minutes, [p.mpa - w for p, w in zip(points, warmed, strict=True)])
    warming, _ = _line(minutes, warmed)
    per_mpa = volume.ml / volume.modulus_mpa
    leak, seen = -slope * per_mpa, (slope + warming) * per_mpa
    read = math.sqrt(2) * math.hypot(pressure_uncertainty_mpa, of_degree * temperature_uncertainty_c) / span
    uncertainty = math.hypot(
        per_mpa * scatter,
        per_mpa * read,
        seen * volume.modulus_share,
        per_mpa * warming * volume.expansion_share,
        leak * volume.ml_share,
    )
    return Leak(leak, uncertainty, -warming * per_mpa, len(points), span, blind)


def leak_from_catch(
    *, ml: float, minutes: float, ml_uncertainty: float, minutes_uncertainty: float = 0.0
) -> Leak:
    """Leakage caught at an open port over a time.

    Q = V/t; U² = (U_V/t)² + (Q U_t/t)²

    Args:
        ml: oil caught V, ml; 0 where none came.
        minutes: time t, min.
        ml_uncertainty: expanded uncertainty (k = 2) of the volume, ml; of a drop where none came.
        minutes_uncertainty: expanded uncertainty of the time, min.
    Raises:
        Refusal: when volume or an uncertainty is negative or the time not positive.
    Source: leak-by-drift, gum

    >>> caught = leak_from_catch(ml=4.5, minutes=5, ml_uncertainty=0.5)
    >>> caught.ml_min, caught.expanded_uncertainty_ml_min
    (0.9, 0.1)
    """
    require_not_negative(ml=ml, ml_uncertainty=ml_uncertainty, minutes_uncertainty=minutes_uncertainty)
    require_positive(minutes=minutes)
    leak = ml / minutes
    uncertainty = math.hypot(ml_uncertainty, leak * minutes_uncertainty) / minutes
    return Leak(leak, uncertainty, 0.0, 1, minutes)


def judge_leak(leak: Leak, *, limit_ml_min: Decimal) -> Judged:
    """Pass, fail or not proven, by the one decision rule.

    Args:
        leak: the leakage with its uncertainty.
        limit_ml_min: greatest leakage allowed, ml/min.
    Raises:
        Refusal: when the limit is not a usable number.
    Source: iso-14253-1

    >>> judge_leak(Leak(0.9, 0.5, 0.0, 20, 8), limit_ml_min=Decimal("1.2")).result.value
    'not proven'
    >>> judge_leak(Leak(0.9, 0.2, 0.0, 20, 8), limit_ml_min=Decimal("1.2")).result.value
    'pass'
    """
    if leak.blind:
        return Judged(
            Result.NOT_PROVEN,
            Sentence(
                "The oil's temperature was not read. A change of {change} hides or makes a fall of pressure.",
                {"change": Amount(0.1, "temperature difference")},
            ),
        )
    if leak.ml_min < -leak.expanded_uncertainty_ml_min:
        return Judged(
            Result.NOT_PROVEN,
            Sentence(
                "The pressure rose more than the temperature explains; check gauge, thermometer and valve."
            ),
        )
    verdict = decide(
        value=Decimal(f"{leak.ml_min:.6f}"),
        lower=None,
        upper=limit_ml_min,
        expanded_uncertainty=Decimal(f"{leak.expanded_uncertainty_ml_min:.6f}"),
    ).verdict
    why = (
        Sentence("The uncertainty covers the limit: measure for longer, or with finer steps.")
        if verdict is Verdict.UNCLEAR
        else None
    )
    return Judged(_OF_VERDICT[verdict], why)


def _line(xs: Sequence[float], ys: Sequence[float]) -> tuple[float, float]:
    """The slope of the line of least squares, and its expanded uncertainty from the scatter about it."""
    n = len(xs)
    x_mean, y_mean = math.fsum(xs) / n, math.fsum(ys) / n
    sxx = math.fsum((x - x_mean) ** 2 for x in xs)
    slope = math.fsum((x - x_mean) * (y - y_mean) for x, y in zip(xs, ys, strict=True)) / sxx
    left = math.fsum((y - y_mean - slope * (x - x_mean)) ** 2 for x, y in zip(xs, ys, strict=True))
    k = max(_COVERAGE, coverage_factor(dof=n - 2, confidence=0.9545))
    return slope, k * math.sqrt(left / (n - 2) / sxx)


def _require_readings(points: Sequence[Point], volume: Volume) -> None:
    if len(points) < _FEWEST:
        raise Refusal(f"A leak needs {_FEWEST} readings after settling; given: {len(points)}.")
    if points[0].minutes >= points[-1].minutes:
        raise Refusal("All readings are at one time; a leak needs time between them.")
    require_positive(volume_ml=volume.ml, modulus_mpa=volume.modulus_mpa)
    require_not_negative(
        volume_share=volume.ml_share,
        modulus_share=volume.modulus_share,
        expansion_share=volume.expansion_share,
        expansion=volume.expansion_per_c,
    )
