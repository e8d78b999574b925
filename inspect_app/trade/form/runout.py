"""One turn of a section under the dial, split into bow, ovality and the rest; knows no limits and no other section."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

from inspect_app.trade.form.least_squares import coefficient_weights, least_squares
from inspect_app.trade.form.roundness import (
    CLOCKS_APART_DEG,
    places_apart,
    require_places,
    widest_gap_deg,
)
from inspect_app.trade.measuring.refusal import Refusal, Sentence
from inspect_app.trade.measuring.required import require_finite


@dataclass(frozen=True, slots=True)
class Runout:
    """One turn of a section under the dial, taken apart into bow, ovality and the rest."""

    bow_mm: float  # distance of the section's centre from the axis it turns about
    high_deg: float  # the clock, on the rod, that stands out
    tir_mm: float  # as read: greatest less least
    ovality_mm: float | None  # on diameter; None where the clocks do not separate it
    oval_major_deg: float | None
    residual_mm: float | None  # farthest reading from the fit; None where the fit leaves none
    cannot_say: tuple[Sentence, ...]
    up_weights: tuple[float, ...] = field(default=(), repr=False)  # how far the centre follows each reading
    right_weights: tuple[float, ...] = field(default=(), repr=False)  # upwards (12) and to the right (3)


def _cannot_say(clocks: list[float], *, oval: bool) -> tuple[Sentence, ...]:
    count, sentences = len(clocks), []
    if not oval:
        sentences.append(f"These {count} clocks do not separate ovality from the rest; read at 8 clocks.")
    if widest_gap_deg(clocks) <= round(360 / count, 6):
        sentences.append(f"Lobes {count - 1} or {count + 1} in number, if any, are read as bow.")
    else:
        sentences.append("The clocks are uneven: lobes of the section can be read as bow.")
    return tuple(map(Sentence, sentences))


def runout(readings: Sequence[tuple[float, float]]) -> Runout:
    """Bow, its direction, and ovality from dial readings at clocks of one section, mm.

    reading = c + e cos(t - φ) + (ovality / 4) cos 2(t - ψ), least squares; the last term only with 5 or
    more clocks an hour apart and no gap above 120°

    Args:
        readings: (angle clockwise from 12 of the place on the rod under the dial in degrees, reading mm).
    Raises:
        Refusal: fewer than 3 clocks an hour apart, a clock twice, or more than half the turn not read.
    Valid: the dial away from the supports; the rod turns about its supports without wandering.
    Source: tir-twice-eccentricity, second-harmonic

    >>> turn = runout([(0, 0.00), (90, 0.14), (180, 0.24), (270, 0.10)])
    >>> round(turn.bow_mm, 4), round(turn.high_deg, 1)
    (0.1217, 170.5)
    """
    for angle_deg, reading_mm in readings:
        require_finite(angle_deg=angle_deg, reading_mm=reading_mm)
    clocks = [angle_deg % 360 for angle_deg, _ in readings]
    require_places(clocks, at_least=3, called="clock")
    apart = places_apart(clocks, apart_deg=CLOCKS_APART_DEG)
    if apart < 3 or widest_gap_deg(clocks) > 180:
        raise Refusal("The clocks lie too near each other; spread 4 or more all round the turn.")
    oval = apart >= 5 and widest_gap_deg(clocks) <= 120
    values = [reading_mm for _, reading_mm in readings]
    rows = [[1.0, *_waves(angle_deg, 2 if oval else 1)] for angle_deg, _ in readings]
    fit = least_squares(rows, values)
    left = [
        abs(v - sum(x * f for x, f in zip(row, fit, strict=True)))
        for v, row in zip(values, rows, strict=True)
    ]
    _, up, right, *_ = coefficient_weights(rows)
    return Runout(
        bow_mm=math.hypot(fit[1], fit[2]),
        high_deg=math.degrees(math.atan2(fit[2], fit[1])) % 360,
        tir_mm=max(values) - min(values),
        ovality_mm=4 * math.hypot(fit[3], fit[4]) if oval else None,
        oval_major_deg=math.degrees(math.atan2(fit[4], fit[3])) / 2 % 180 if oval else None,
        residual_mm=max(left) if len(readings) > len(fit) else None,
        cannot_say=_cannot_say(clocks, oval=oval),
        up_weights=tuple(up),
        right_weights=tuple(right),
    )


def _waves(angle_deg: float, harmonics: int) -> list[float]:
    t = math.radians(angle_deg)
    return [wave(n * t) for n in range(1, harmonics + 1) for wave in (math.cos, math.sin)]
