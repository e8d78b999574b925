"""How far one section is from round, from diameters or radii; knows no limits and no part."""

from __future__ import annotations

import cmath
import math
from bisect import bisect
from collections.abc import Sequence
from dataclasses import dataclass, field
from decimal import Decimal

from inspect_app.trade.form.least_squares import coefficient_weights, least_squares, solve
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.required import require_finite, require_positive
from inspect_app.trade.measuring.wording import counted

ROUNDING_MM = 1e-12

# Clocks nearer than an hour, or axes nearer than half of one, count as one place: between them a fit
# would multiply the gauge's error many times over.
CLOCKS_APART_DEG = 30.0
AXES_APART_DEG = 15.0


def require_diameters(diameters_mm: Sequence[Decimal], *, at_least: int) -> None:
    """Refuse diameters that are too few, or any that is not a finite number greater than 0.

    Args:
        diameters_mm: diameters read, mm.
        at_least: how many the computation needs.
    Raises:
        Refusal: says how many were given, or which one is wrong.

    >>> require_diameters([Decimal(50)], at_least=2)
    Traceback (most recent call last):
    inspect_app.trade.measuring.refusal.Refusal: 1 diameters were given; at least 2 are needed.
    """
    if len(diameters_mm) < at_least:
        raise Refusal(f"{len(diameters_mm)} diameters were given; at least {at_least} are needed.")
    for number, diameter_mm in enumerate(diameters_mm, 1):
        require_positive(**{f"diameter_{number}_mm": float(diameter_mm)})


def require_places(places: Sequence[float | Decimal], *, at_least: int, called: str) -> None:
    """Refuse places that are too few, or one given twice.

    Args:
        places: stations or clocks.
        at_least: how many the computation needs.
        called: what one is called, e.g. "station".
    Raises:
        Refusal: says which of the two is wrong.

    >>> require_places([100, 500, 500], at_least=3, called="station")
    Traceback (most recent call last):
    inspect_app.trade.measuring.refusal.Refusal: A station is given twice; give each station once.
    """
    if len(set(places)) < len(places):
        raise Refusal(f"A {called} is given twice; give each {called} once.")
    if len(places) < at_least:
        raise Refusal(
            f"{counted(len(places), f'{called} was', f'{called}s were')} given; at least {at_least} are needed."
        )


def ovality_mm(diameters_mm: Sequence[Decimal]) -> Decimal:
    """Ovality of one section as the trade says it: greatest less least diameter, mm.

    Args:
        diameters_mm: two-point diameters at different clocks of one section, mm.
    Raises:
        Refusal: fewer than 2 diameters.
    Valid: two-point readings; lobes of odd number do not show in them. For a pure ellipse it is twice
        the roundness deviation RONt.
    Source: trade-ovality

    >>> ovality_mm([Decimal("100.012"), Decimal("100.031"), Decimal("100.028"), Decimal("100.009")])
    Decimal('0.022')
    """
    require_diameters(diameters_mm, at_least=2)
    return max(diameters_mm) - min(diameters_mm)


@dataclass(frozen=True, slots=True)
class Caution:
    """A sentence to show beside a result, and the key of the source it rests on."""

    sentence: str
    source: str


TWO_POINT = Caution(
    "Two-point diameters show lobes of even number only: a part with 3, 5 or 7 lobes measures the same all"
    " round. Ovality 0 means that no even lobes were found, not that the part is round; turn it in a"
    " V-block under a dial for a second look.",
    "two-point-even-lobes",
)


def clock_to_deg(hours: Decimal) -> Decimal:
    """Angle clockwise from 12 o'clock of a clock position, degrees.

    Args:
        hours: clock position, 0 to 12, halves and quarters allowed; 12 and 0 are both up.
    Raises:
        Refusal: outside 0 to 12.

    >>> clock_to_deg(Decimal("1.5"))
    Decimal('45.0')
    """
    if not 0 <= float(hours) <= 12:
        raise Refusal(f"Clock {hours} is not on the dial; give 0 to 12.")
    return hours * 30 % 360


def deg_to_clock(angle_deg: float) -> float:
    """Clock position of an angle clockwise from 12 o'clock, hours greater than 0 and up to 12.

    Args:
        angle_deg: any angle, degrees.
    Raises:
        Refusal: not a finite number.

    >>> deg_to_clock(-90)
    9.0
    """
    require_finite(angle_deg=angle_deg)
    return angle_deg % 360 / 30 or 12.0


def widest_gap_deg(angles_deg: Sequence[float], *, turn_deg: float = 360.0) -> float:
    """Widest arc without a reading, degrees to a millionth.

    Args:
        angles_deg: where readings were taken, degrees.
        turn_deg: after how much the reading repeats: 360, or 180 for two-point diameters.

    >>> widest_gap_deg([0, 90, 180])
    180.0
    """
    places = sorted(angle % turn_deg for angle in angles_deg)
    return round(max(b - a for a, b in zip(places, [*places[1:], places[0] + turn_deg], strict=True)), 6)


def places_apart(angles_deg: Sequence[float], *, apart_deg: float, turn_deg: float = 360.0) -> int:
    """How many places stand at least so far apart, counted on from the widest gap.

    Args:
        angles_deg: where readings were taken, degrees.
        apart_deg: nearer than this, two places count as one, degrees.
        turn_deg: after how much the reading repeats: 360, or 180 for two-point diameters.
    Raises:
        Refusal: an angle to keep apart or a turn that is not greater than 0.

    >>> places_apart([0, 5, 120, 240], apart_deg=30)
    3
    """
    require_positive(apart_deg=apart_deg, turn_deg=turn_deg)
    places = sorted(angle % turn_deg for angle in angles_deg)
    first = max(range(len(places)), key=lambda i: (places[i] - places[i - 1]) % turn_deg)
    count, last = 0, -math.inf
    for place in (*places[first:], *(angle + turn_deg for angle in places[:first])):
        if place - last >= apart_deg - 1e-9:
            count, last = count + 1, place
    return count


@dataclass(frozen=True, slots=True)
class OvalFit:
    """The ellipse through two-point diameters of one section."""

    mean_mm: float
    ovality_mm: float
    major_axis_deg: float  # 0 to 180, clockwise from 12; the axis runs on to the other side
    residual_mm: float | None  # farthest reading from the ellipse; None where the fit leaves none
    mean_weights: tuple[float, ...] = field(default=(), repr=False)  # how far the mean follows each reading
    ovality_weights: tuple[float, ...] = field(default=(), repr=False)  # the same of the ovality


def fit_ovality(readings: Sequence[tuple[float, float]]) -> OvalFit:
    """Ovality and its direction from diameters at any clocks, mm.

    D(t) = D0 + A cos 2t + B sin 2t, least squares; ovality = 2 √(A² + B²); major axis = atan2(B, A) / 2

    Args:
        readings: (angle clockwise from 12 in degrees, diameter mm); 0° and 180° are the same axis.
    Raises:
        Refusal: fewer than 3 axes 15° apart, or more than 120° between neighbouring ones.
    Valid: shapes that are oval; lobes of 4, 6, ... are left in the residual, odd lobes are not seen.
    Source: second-harmonic

    >>> fit_ovality([(0, 100.012), (45, 100.031), (90, 100.028), (135, 100.009)])
    OvalFit(mean_mm=100.0200, ovality_mm=0.0272, major_axis_deg=63.01, residual_mm=0.0)
    """
    for angle_deg, diameter_mm in readings:
        require_finite(angle_deg=angle_deg)
        require_positive(diameter_mm=diameter_mm)
    axes_deg = [angle_deg for angle_deg, _ in readings]
    if not readings or places_apart(axes_deg, apart_deg=AXES_APART_DEG, turn_deg=180) < 3:
        raise Refusal("Ovality and its direction need diameters on 3 axes at least half a clock hour apart.")
    if widest_gap_deg(axes_deg, turn_deg=180) > 120:
        raise Refusal("More than 120° lie between two axes; spread the clocks, e.g. 12, 2 and 4.")
    middle_mm = sum(diameter for _, diameter in readings) / len(readings)
    rows = [[1.0, math.cos(2 * t), math.sin(2 * t)] for t in (math.radians(angle) for angle, _ in readings)]
    offsets = [diameter - middle_mm for _, diameter in readings]
    d0, a, b = least_squares(rows, offsets)
    left = [abs(off - (d0 + a * c + b * s)) for off, (_, c, s) in zip(offsets, rows, strict=True)]
    of_mean, of_a, of_b = coefficient_weights(rows)
    axis = math.atan2(b, a)  # of a section without ovality 0: there every direction weighs alike
    return OvalFit(
        mean_mm=middle_mm + d0,
        ovality_mm=2 * math.hypot(a, b),
        major_axis_deg=math.degrees(axis) / 2 % 180,
        residual_mm=max(left) if len(readings) > 3 else None,
        mean_weights=tuple(of_mean),
        ovality_weights=tuple(
            2 * (math.cos(axis) * wa + math.sin(axis) * wb) for wa, wb in zip(of_a, of_b, strict=True)
        ),
    )


def ovality_of_three_mm(d0_mm: float, d60_mm: float, d120_mm: float) -> float:
    """Ovality of one section from three diameters 60° apart, whole, whichever way the oval lies, mm.

    ovality = (4/3) |D0 + D60 e^(j 120°) + D120 e^(j 240°)|

    The oval is D(t) = D0 + (ovality / 2) cos 2(t - ψ). Its mean falls out of the sum, since the three
    factors add up to nothing; each diameter leaves half of ovality / 2 turned to 2ψ, and the other halves
    cancel: the sum is 3 · (ovality / 4) e^(j 2ψ). Greatest less least of the three shows 75 to 87 % of it.

    Args:
        d0_mm: diameter at one clock, mm.
        d60_mm: two hours further, mm.
        d120_mm: four hours further, mm.
    Raises:
        Refusal: a diameter that is not a number greater than 0.
    Valid: an oval without lobes of 4, 6 and more; three readings leave nothing over to check it by.
    Source: three-diameters

    >>> round(ovality_of_three_mm(100.02, 99.99, 99.99), 9)   # 0.04 oval, its long axis at the first clock
    0.04
    """
    require_positive(d0_mm=d0_mm, d60_mm=d60_mm, d120_mm=d120_mm)
    turn = cmath.rect(1, math.radians(120))
    return 4 / 3 * abs(d0_mm + d60_mm * turn + d120_mm * turn**2)


@dataclass(frozen=True, slots=True)
class CircleFit:
    """A reference circle through one section, and how far the section leaves it (all radial)."""

    radius_mm: float  # of the circle; for the minimum zone, halfway across it
    centre_up_mm: float
    centre_right_mm: float
    roundness_mm: float  # RONt, peak to valley
    peak_mm: float  # RONp
    valley_mm: float  # RONv
    rms_mm: float  # RONq


def _profile(readings: Sequence[tuple[float, float]]) -> tuple[float, list[list[float]], list[float]]:
    """The middle radius, the rows (1, cos, sin) in order of angle, and the radii less the middle one."""
    for angle_deg, radius_mm in readings:
        require_finite(angle_deg=angle_deg)
        require_positive(radius_mm=radius_mm)
    places = sorted((angle_deg % 360, radius_mm) for angle_deg, radius_mm in readings)
    angles_deg = [angle for angle, _ in places]
    require_places(angles_deg, at_least=4, called="clock")
    if places_apart(angles_deg, apart_deg=CLOCKS_APART_DEG) < 4:
        raise Refusal("The clocks lie too near each other; read at least 4 that are an hour apart.")
    if widest_gap_deg(angles_deg) > 180:
        raise Refusal("Half the section was not measured; spread the clocks all round.")
    middle_mm = sum(radius for _, radius in places) / len(places)
    rows = [[1.0, math.cos(t), math.sin(t)] for t in map(math.radians, angles_deg)]
    return middle_mm, rows, [radius - middle_mm for _, radius in places]


def _leaves(rows: list[list[float]], offsets: list[float], circle: Sequence[float]) -> list[float]:
    return [
        off - sum(x * c for x, c in zip(row, circle, strict=True))
        for row, off in zip(rows, offsets, strict=True)
    ]


def _circle_fit(middle_mm: float, circle: Sequence[float], leaves_mm: list[float]) -> CircleFit:
    return CircleFit(
        radius_mm=middle_mm + circle[0],
        centre_up_mm=circle[1],
        centre_right_mm=circle[2],
        roundness_mm=max(leaves_mm) - min(leaves_mm),
        peak_mm=max(leaves_mm),
        valley_mm=-min(leaves_mm),
        rms_mm=math.sqrt(sum(leave**2 for leave in leaves_mm) / len(leaves_mm)),
    )


def least_squares_circle(readings: Sequence[tuple[float, float]]) -> CircleFit:
    """Least-squares reference circle (LSCI) of one section from radii, mm.

    r(t) = R + a cos t + b sin t, least squares; evenly spaced this is R = mean r,
    a = (2/n) Σ r cos t, b = (2/n) Σ r sin t

    Args:
        readings: (angle clockwise from 12 in degrees, radius mm), about a centre near the part's own.
    Raises:
        Refusal: fewer than 4 clocks an hour apart, a clock twice, or half the section not measured.
    Valid: first order: the centre lies off by little against the radius (0.1 mm in 50 mm errs 0.1 µm).
    Source: iso-12181-1

    >>> least_squares_circle([(0, 50.004), (90, 49.998), (180, 50.005), (270, 49.994)]).roundness_mm
    0.0085
    """
    middle_mm, rows, offsets = _profile(readings)
    circle = least_squares(rows, offsets)
    return _circle_fit(middle_mm, circle, _leaves(rows, offsets, circle))


def minimum_zone_circle(readings: Sequence[tuple[float, float]]) -> CircleFit:
    """Minimum zone (MZCI): the two concentric circles nearest each other that hold the section, mm.

    Four places that touch outer, inner, outer, inner in turn settle the zone; a place that sticks out
    takes the seat of its neighbour on the same side, and the zone grows until none does (exchange
    algorithm; exact, since 1, cos t, sin t settle any three places).

    Args:
        readings: (angle clockwise from 12 in degrees, radius mm), about a centre near the part's own.
    Raises:
        Refusal: fewer than 4 clocks an hour apart, a clock twice, or half the section not measured.
    Valid: first order, as `least_squares_circle`; never wider than its RONt.
    Source: iso-12181-1, exchange-algorithm

    >>> minimum_zone_circle([(0, 50.004), (90, 49.998), (180, 50.005), (270, 49.994)]).roundness_mm
    0.0085
    """
    middle_mm, rows, offsets = _profile(readings)
    seats = [k * len(rows) // 4 for k in range(4)]
    half_zone = -1.0
    while True:
        *circle, h = solve(
            [[*rows[i], (-1.0) ** k] for k, i in enumerate(seats)], [offsets[i] for i in seats]
        )
        leaves = _leaves(rows, offsets, circle)
        worst = max(range(len(rows)), key=lambda i: abs(leaves[i]))
        if abs(leaves[worst]) <= abs(h) + ROUNDING_MM or abs(h) <= half_zone:
            return _circle_fit(middle_mm, circle, leaves)
        half_zone = abs(h)
        after = bisect(seats, worst) % 4
        outside = [(h >= 0) == (k % 2 == 0) for k in range(4)]
        seats[after if outside[after] == (leaves[worst] > 0) else after - 1] = worst
        seats.sort()
