"""Roundness and ovality, held against scipy, numpy, circle-fit and published estimators."""

from __future__ import annotations

import math
from decimal import Decimal
from fractions import Fraction

import circle_fit
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import least_squares as scipy_least_squares
from scipy.optimize import linprog

from inspect_app.trade.form.roundness import (
    clock_to_deg,
    deg_to_clock,
    fit_ovality,
    least_squares_circle,
    minimum_zone_circle,
    ovality_mm,
    ovality_of_three_mm,
    places_apart,
    widest_gap_deg,
)
from inspect_app.trade.measuring.refusal import Refusal

TWELVE_UM = [4, 9, 6, -2, -7, -3, 5, 8, 1, -6, -9, -2]
TWELVE = [(30.0 * k, 50 + um / 1000) for k, um in enumerate(TWELVE_UM)]

sizes_mm = st.decimals(min_value=20, max_value=400, places=3)


@st.composite
def spread_readings(draw: st.DrawFn, least: int, turn_deg: float) -> list[tuple[float, float]]:
    """Readings of 50 mm within 0.1 mm at uneven clocks, no gap half as wide or twice as wide as the even one."""
    microns = draw(st.lists(st.integers(-100, 100), min_size=least, max_size=24))
    shifts = draw(st.lists(st.floats(0, 0.45), min_size=len(microns), max_size=len(microns)))
    return [
        ((k + shift) * turn_deg / len(microns), 50 + um / 1000)
        for k, (um, shift) in enumerate(zip(microns, shifts, strict=True))
    ]


def lobed(lobes: int, angle_deg: float, *, radius_mm: float = 50, ront_mm: float = 0.010) -> float:
    return radius_mm + ront_mm / 2 * math.cos(lobes * math.radians(angle_deg))


def diameters(lobes: int) -> list[Decimal]:
    """Two-point diameters every degree of a part with this many lobes and RONt 0.010 mm."""
    return [Decimal(str(round(lobed(lobes, a) + lobed(lobes, a + 180), 9))) for a in range(180)]


# ---- two points


@given(st.lists(sizes_mm, min_size=2, max_size=8))
def test_ovality_is_the_exact_difference_of_what_was_read(readings: list[Decimal]) -> None:
    # exact rational arithmetic of the standard library
    exact = max(map(Fraction, readings)) - min(map(Fraction, readings))
    assert Fraction(ovality_mm(readings)) == exact


@pytest.mark.parametrize("lobes", [3, 5, 7, 9])
def test_a_part_with_odd_lobes_reads_round_in_a_micrometer(lobes: int) -> None:
    # brute force: the part measured every degree
    assert ovality_mm(diameters(lobes)) < Decimal("1e-6")


@pytest.mark.parametrize("lobes", [2, 4, 6, 8])
def test_a_part_with_even_lobes_shows_twice_its_roundness(lobes: int) -> None:
    # brute force: the part measured every degree
    assert float(ovality_mm(diameters(lobes))) == pytest.approx(0.020, abs=3e-5)


@pytest.mark.parametrize(
    ("clocks_deg", "least", "greatest"),
    [
        pytest.param([0, 90], 0.0, 1.0, id="two clocks at 90 degrees can miss it all"),
        pytest.param([0, 60, 120], 0.75, math.sqrt(3) / 2, id="three at 60 degrees"),
        pytest.param([0, 45, 90, 135], math.sqrt(0.5), 1.0, id="four at 45 degrees"),
    ],
)
def test_raw_ovality_reads_low_unless_a_clock_meets_the_axis(
    clocks_deg: list[float], least: float, greatest: float
) -> None:
    # brute force: the oval turned a tenth of a degree at a time under the micrometer; bounds by trigonometry
    shares = []
    for tenth in range(1800):
        oval = [100 + 0.05 * math.cos(2 * math.radians(c - tenth / 10)) for c in clocks_deg]
        shares.append(float(ovality_mm([Decimal(d) for d in oval])) / 0.1)
    assert min(shares) == pytest.approx(least, abs=2e-3)
    assert max(shares) == pytest.approx(greatest, abs=2e-3)


def test_one_diameter_has_no_ovality() -> None:
    with pytest.raises(Refusal, match="1 diameters were given; at least 2"):
        ovality_mm([Decimal(50)])


@pytest.mark.parametrize("wrong", ["NaN", "Infinity", "-50", "0"])
def test_a_diameter_that_is_no_size_is_refused(wrong: str) -> None:
    with pytest.raises(Refusal, match="diameter 2"):
        ovality_mm([Decimal(50), Decimal(wrong)])


# ---- the oval


def test_four_clocks_on_a_true_ellipse_give_both_its_axes() -> None:
    # the ellipse itself, polar form: 2ab / sqrt((b cos)^2 + (a sin)^2), long axis at 20 degrees
    a, b = 50.010, 49.995

    def width(angle_deg: float) -> float:
        t = math.radians(angle_deg - 20)
        return 2 * a * b / math.hypot(b * math.cos(t), a * math.sin(t))

    fit = fit_ovality([(c, width(c)) for c in (0, 45, 90, 135)])
    assert fit.ovality_mm == pytest.approx(2 * (a - b), abs=1e-5)
    assert fit.major_axis_deg == pytest.approx(20, abs=0.05)
    assert fit.mean_mm == pytest.approx(a + b, abs=1e-5)


@given(spread_readings(3, 180))
def test_the_oval_is_the_one_numpy_fits(readings: list[tuple[float, float]]) -> None:
    fit = fit_ovality(readings)
    t = np.radians([a for a, _ in readings])
    rows = np.column_stack([np.ones_like(t), np.cos(2 * t), np.sin(2 * t)])
    d0, ca, sa = np.linalg.lstsq(rows, np.array([d for _, d in readings]), rcond=None)[0]  # numpy
    assert fit.mean_mm == pytest.approx(d0, abs=1e-6)
    assert fit.ovality_mm == pytest.approx(2 * math.hypot(ca, sa), abs=1e-6)
    left = np.abs(rows @ [d0, ca, sa] - [d for _, d in readings])
    assert fit.residual_mm == (None if len(readings) == 3 else pytest.approx(left.max(), abs=1e-6))
    assert 0 <= fit.major_axis_deg <= 180


@given(st.floats(0.005, 0.5), st.floats(0, 179.9), st.floats(0, 360), st.integers(3, 8))
def test_an_oval_is_found_whichever_way_it_lies(
    ovality: float, major_deg: float, start_deg: float, count: int
) -> None:
    clocks = [start_deg + 180 * k / count for k in range(count)]
    fit = fit_ovality([(c, 100 + ovality / 2 * math.cos(2 * math.radians(c - major_deg))) for c in clocks])
    assert fit.ovality_mm == pytest.approx(ovality, abs=1e-9)
    assert math.cos(2 * math.radians(fit.major_axis_deg - major_deg)) == pytest.approx(1, abs=1e-9)


def caliper_mm(angle_deg: float, *, a: float, b: float) -> float:
    """Width of an ellipse between parallel jaws, its long axis at 0°: twice its support function."""
    t = math.radians(angle_deg)
    return 2 * math.hypot(a * math.cos(t), b * math.sin(t))


@given(st.floats(0, 180))
def test_three_diameters_show_a_true_ellipse_whole_wherever_it_lies(major_deg: float) -> None:
    # exact geometry: a micrometer on an ellipse of axes 100.03 and 99.97 reads twice its support function
    read = [caliper_mm(clock - major_deg, a=50.015, b=49.985) for clock in (0, 60, 120)]
    assert ovality_of_three_mm(*read) == pytest.approx(0.06, abs=2e-5)
    assert ovality_of_three_mm(*read) == pytest.approx(
        fit_ovality(list(zip((0, 60, 120), read, strict=True))).ovality_mm
    )
    shown = (max(read) - min(read)) / 0.06  # what greatest less least would have said of it
    assert 0.749 < shown < 0.867


def test_three_equal_diameters_are_no_oval_and_no_size_is_refused() -> None:
    assert ovality_of_three_mm(80.0, 80.0, 80.0) == pytest.approx(0, abs=1e-9)
    for k, name in enumerate(("d0_mm", "d60_mm", "d120_mm")):
        with pytest.raises(Refusal, match=f"^{name.removesuffix('_mm')} is"):
            ovality_of_three_mm(*[0.0 if k == n else 80.0 for n in range(3)])


@given(spread_readings(3, 180), st.integers(0, 2))
def test_the_weights_of_a_fitted_oval_are_how_it_follows_each_reading(
    readings: list[tuple[float, float]], moved: int
) -> None:
    # by differences: one reading moved by a millionth
    fit = fit_ovality(readings)
    if fit.ovality_mm < 0.01:
        return  # next to round the direction turns with every reading
    angle, diameter = readings[moved]
    after = fit_ovality([*readings[:moved], (angle, diameter + 1e-6), *readings[moved + 1 :]])
    assert (after.mean_mm - fit.mean_mm) / 1e-6 == pytest.approx(fit.mean_weights[moved], abs=1e-4)
    assert (after.ovality_mm - fit.ovality_mm) / 1e-6 == pytest.approx(fit.ovality_weights[moved], abs=3e-3)
    assert sum(fit.mean_weights) == pytest.approx(1)
    assert sum(fit.ovality_weights) == pytest.approx(0, abs=1e-9)  # what all readings share cancels


def test_opposite_clocks_are_one_axis() -> None:
    with pytest.raises(Refusal, match="3 axes"):
        fit_ovality([(0, 100.0), (180, 100.0), (90, 100.1)])


def test_axes_bunched_together_are_refused() -> None:
    with pytest.raises(Refusal, match="spread the clocks"):
        fit_ovality([(0, 100.0), (20, 100.0), (40, 100.1)])
    with pytest.raises(Refusal, match="half a clock hour apart"):
        fit_ovality([(0, 100.0), (1, 100.01), (90, 100.0)])


@given(spread_readings(3, 180))
def test_the_oval_never_makes_more_of_a_gauge_error_than_a_few_times(
    readings: list[tuple[float, float]],
) -> None:
    # readings of a true circle with up to 0.1 mm of error each
    assert fit_ovality(readings).ovality_mm < 10 * 0.1


# ---- circles


def test_the_least_squares_circle_is_the_one_circle_fit_and_scipy_find() -> None:
    ours = least_squares_circle(TWELVE)
    t = np.radians([a for a, _ in TWELVE])
    r = np.array([radius for _, radius in TWELVE])
    points = np.column_stack([r * np.cos(t), r * np.sin(t)])
    up, right, radius, _ = circle_fit.least_squares_circle(points)  # circle-fit 0.2.1
    assert (ours.centre_up_mm, ours.centre_right_mm) == pytest.approx((up, right), abs=1e-6)
    assert ours.radius_mm == pytest.approx(radius, abs=1e-6)
    geometric = scipy_least_squares(  # scipy: true distances, no first-order step
        lambda c: np.hypot(points[:, 0] - c[0], points[:, 1] - c[1]) - c[2],
        [0, 0, 50],
        xtol=1e-15,
        ftol=1e-15,
    )
    assert ours.roundness_mm == pytest.approx(geometric.fun.max() - geometric.fun.min(), abs=1e-6)
    assert ours.rms_mm == pytest.approx(math.sqrt(np.mean(geometric.fun**2)), abs=1e-6)


def test_evenly_spaced_radii_follow_the_published_estimators() -> None:
    # R = mean r, a = 2/N sum r cos, b = 2/N sum r sin: encyclopaedia's article on roundness
    ours = least_squares_circle(TWELVE)
    n = len(TWELVE)
    assert ours.radius_mm == pytest.approx(sum(r for _, r in TWELVE) / n)
    assert ours.centre_up_mm == pytest.approx(2 / n * sum(r * math.cos(math.radians(a)) for a, r in TWELVE))
    assert ours.centre_right_mm == pytest.approx(
        2 / n * sum(r * math.sin(math.radians(a)) for a, r in TWELVE)
    )


@given(spread_readings(4, 360))
def test_the_circle_through_uneven_clocks_is_numpys(readings: list[tuple[float, float]]) -> None:
    # with uneven clocks the circle's radius is not the mean of the radii, so its sign and size both count
    ours = least_squares_circle(readings)
    t = np.radians([a for a, _ in readings])
    rows = np.column_stack([np.ones_like(t), np.cos(t), np.sin(t)])
    r = np.array([radius for _, radius in readings])
    fit = np.linalg.lstsq(rows, r, rcond=None)[0]  # numpy
    assert (ours.radius_mm, ours.centre_up_mm, ours.centre_right_mm) == pytest.approx(fit.tolist(), abs=1e-6)
    left = r - rows @ fit
    assert (ours.peak_mm, ours.valley_mm) == pytest.approx((left.max(), -left.min()), abs=1e-6)
    assert ours.rms_mm == pytest.approx(math.sqrt(np.mean(left**2)), abs=1e-6)


def test_half_a_circle_off_centre_has_the_radius_it_was_given() -> None:
    # by geometry: a true circle of 50 mm, 0.02 off towards 12, read over one half only; the mean radius is 50.011
    readings = [(a, 50 + 0.02 * math.cos(math.radians(a))) for a in (270, 300, 330, 0, 30, 60, 90)]
    for fit in (least_squares_circle, minimum_zone_circle):
        assert fit(readings).radius_mm == pytest.approx(50, abs=1e-9)
        assert fit(readings).centre_up_mm == pytest.approx(0.02, abs=1e-9)


def linprog_zone_mm(readings: list[tuple[float, float]]) -> float:
    """scipy.optimize.linprog: least h with every radius within h of a first-order circle; the zone is 2h."""
    t = np.radians([a for a, _ in readings])
    rows = np.column_stack([np.ones_like(t), np.cos(t), np.sin(t)])
    offsets = np.array([r for _, r in readings]) - 50
    ones = np.ones((len(t), 1))
    found = linprog(
        [0, 0, 0, 1],
        A_ub=np.vstack([np.hstack([rows, -ones]), np.hstack([-rows, -ones])]),
        b_ub=np.concatenate([offsets, -offsets]),
        bounds=[(None, None)] * 3 + [(0, None)],
    )
    return 2 * float(found.fun)


def test_the_minimum_zone_of_twelve_radii_is_linprogs() -> None:
    assert minimum_zone_circle(TWELVE).roundness_mm == pytest.approx(linprog_zone_mm(TWELVE), abs=1e-9)


@given(spread_readings(4, 360))
def test_the_minimum_zone_is_linprogs_and_never_wider_than_least_squares(
    readings: list[tuple[float, float]],
) -> None:
    zone = minimum_zone_circle(readings)
    assert zone.roundness_mm == pytest.approx(linprog_zone_mm(readings), abs=1e-8)
    assert zone.roundness_mm <= least_squares_circle(readings).roundness_mm + 1e-9
    assert zone.peak_mm == pytest.approx(zone.valley_mm, abs=1e-9)  # the zone touches on both sides


@pytest.mark.parametrize("lobes", [2, 3, 5, 6])
def test_a_lobed_part_off_centre_has_the_roundness_it_was_given(lobes: int) -> None:
    # brute force: a part of RONt 0.010 mm turned 0.02 mm off its centre, read every 5 degrees
    readings = [(a, lobed(lobes, a) + 0.02 * math.cos(math.radians(a - 70))) for a in range(0, 360, 5)]
    assert least_squares_circle(readings).roundness_mm == pytest.approx(0.010, abs=1e-4)
    assert minimum_zone_circle(readings).roundness_mm == pytest.approx(0.010, abs=1e-4)


def test_an_ellipse_has_half_its_ovality_as_roundness() -> None:
    readings = [(a, lobed(2, a)) for a in range(0, 360, 15)]
    halves = Decimal(str(minimum_zone_circle(readings).roundness_mm))
    assert float(ovality_mm(diameters(2)) / 2) == pytest.approx(float(halves), abs=1e-6)


@pytest.mark.parametrize("fit", [least_squares_circle, minimum_zone_circle])
def test_three_radii_or_half_a_section_give_no_roundness(fit) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(Refusal, match="at least 4"):
        fit([(0, 50.0), (120, 50.0), (240, 50.0)])
    with pytest.raises(Refusal, match="given twice"):
        fit([(0, 50.0), (120, 50.0), (240, 50.0), (0, 50.0), (300, 50.0)])
    with pytest.raises(Refusal, match="all round"):
        fit([(0, 50.0), (50, 50.0), (100, 50.0), (150, 50.0)])
    with pytest.raises(Refusal, match="too near each other"):
        fit([(0, 50.0), (5, 50.0), (120, 50.0), (240, 50.0)])


@pytest.mark.parametrize("fit", [least_squares_circle, minimum_zone_circle])
def test_half_a_turn_without_a_reading_is_just_enough(fit) -> None:  # type: ignore[no-untyped-def]
    # a true circle 0.01 mm off towards 12, read at 12, 2, 4 and 6 only
    readings = [(a, 50 + 0.01 * math.cos(math.radians(a))) for a in (0, 60, 120, 180)]
    assert fit(readings).roundness_mm == pytest.approx(0, abs=1e-9)
    assert fit(readings).centre_up_mm == pytest.approx(0.01)


# ---- how far apart

CIRCLES = pytest.mark.parametrize("fit", [least_squares_circle, minimum_zone_circle])


@CIRCLES
def test_clocks_an_hour_apart_are_four_and_a_minute_less_are_three(fit) -> None:  # type: ignore[no-untyped-def]
    # an hour of the dial is 30 degrees
    assert fit([(a, 50.0) for a in (0, 30, 150, 270)]).roundness_mm == pytest.approx(0, abs=1e-9)
    with pytest.raises(Refusal, match="an hour apart"):
        fit([(a, 50.0) for a in (0, 29.5, 150, 270)])


def test_axes_half_an_hour_apart_are_two_and_a_minute_less_are_one() -> None:
    # half an hour of the dial is 15 degrees
    assert fit_ovality([(a, 50.0) for a in (0, 15, 90)]).ovality_mm == pytest.approx(0, abs=1e-9)
    with pytest.raises(Refusal, match="half a clock hour"):
        fit_ovality([(a, 50.0) for a in (0, 14.5, 90)])


def test_axes_may_leave_a_third_of_the_turn_open_and_no_more() -> None:
    assert fit_ovality([(a, 50.0) for a in (0, 30, 60)]).ovality_mm == pytest.approx(0, abs=1e-9)  # 120 open
    with pytest.raises(Refusal, match="120"):
        fit_ovality([(a, 50.0) for a in (0, 29, 59)])


@pytest.mark.parametrize(
    ("angles", "apart", "turn", "count"),
    [
        ([0, 5, 120, 240], 30, 360, 3),
        ([350, 10, 30], 30, 360, 2),  # across 12: 350 to 10 is 20 degrees; from the widest gap on, 350 and 30
        ([0, 90, 180, 270], 30, 360, 4),
        ([0, 180, 90], 15, 180, 2),
        ([7], 30, 360, 1),
        ([0, 20, 40, 60], 30, 360, 2),
    ],
)
def test_places_apart_are_counted_round_the_turn(
    angles: list[float], apart: float, turn: float, count: int
) -> None:
    # by hand, on a dial
    assert places_apart(angles, apart_deg=apart, turn_deg=turn) == count


@pytest.mark.parametrize(
    ("angles", "turn", "gap"),
    [
        ([0, 90, 180], 360, 180),
        ([10, 350], 360, 340),
        ([10, 170], 180, 160),
        ([45], 180, 180),
        ([0, 450], 360, 270),
    ],
)
def test_the_widest_gap_runs_across_twelve(angles: list[float], turn: float, gap: float) -> None:
    # by hand, on a dial
    assert widest_gap_deg(angles, turn_deg=turn) == gap


# ---- clocks


@pytest.mark.parametrize(
    ("clock", "angle_deg"), [("12", 0), ("3", 90), ("4.5", 135), ("6", 180), ("9", 270), ("0", 0)]
)
def test_the_clock_runs_round_from_twelve(clock: str, angle_deg: int) -> None:
    assert clock_to_deg(Decimal(clock)) == angle_deg
    assert deg_to_clock(angle_deg) == (float(clock) or 12)


def test_thirteen_is_not_on_the_dial() -> None:
    with pytest.raises(Refusal, match="not on the dial"):
        clock_to_deg(Decimal(13))
