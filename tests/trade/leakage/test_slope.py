"""Leakage out of readings over time, held against scipy and hand-worked arithmetic."""

from __future__ import annotations

import math
import random
from decimal import Decimal

import pytest
from scipy import stats

from inspect_app.trade.leakage.slope import (
    Leak,
    Point,
    Result,
    Volume,
    after_settling,
    judge_leak,
    leak_from_catch,
    leak_from_readings,
)
from inspect_app.trade.measuring.refusal import Refusal

OIL = Volume(2000, 1400, 7e-4, 0, 0, 0)
SURE = {"pressure_uncertainty_mpa": 0.0, "temperature_uncertainty_c": 0.0}


def test_ten_bar_in_five_minutes_out_of_two_litres():
    # 2000 ml / 1400 MPa x 1 MPa / 5 min = 0.2857 ml/min
    leak = leak_from_readings([Point(t, 21 - 0.2 * t, 40) for t in range(6)], volume=OIL, **SURE)
    assert leak.ml_min == pytest.approx(0.28571, abs=1e-5)
    assert leak.expanded_uncertainty_ml_min == pytest.approx(0, abs=1e-9)


def test_warming_that_hides_a_leak_is_given_back():
    # pressure stands still for ten minutes while the oil warms by 0.1 °C a minute: 2000 x 7e-4 x 0.1 = 0.14 ml/min
    leak = leak_from_readings([Point(t, 21, 40 + 0.1 * t) for t in range(11)], volume=OIL, **SURE)
    assert leak.ml_min == pytest.approx(0.14)
    assert leak.explained_ml_min == pytest.approx(-0.14)


def test_cooling_is_no_leak():
    # 0.7 MPa a degree is 7e-4 x 1400 = 0.98 MPa: 0.05 °C/min explain 0.049 MPa/min
    leak = leak_from_readings(
        [Point(t, 21 - 0.049 * t, 40 - 0.05 * t) for t in range(11)], volume=OIL, **SURE
    )
    assert leak.ml_min == pytest.approx(0, abs=1e-9)
    assert leak.explained_ml_min == pytest.approx(2000 * 7e-4 * 0.05)


def test_slope_and_its_scatter_are_those_of_scipy():
    chance = random.Random(7)
    xs = [0.5 * n for n in range(9)]
    ys = [21 - 0.1 * x + chance.gauss(0, 0.01) for x in xs]
    leak = leak_from_readings([Point(x, y, 40) for x, y in zip(xs, ys, strict=True)], volume=OIL, **SURE)
    line = stats.linregress(xs, ys)
    assert leak.ml_min == pytest.approx(-line.slope * 2000 / 1400)
    # two-sided Student t for 95.45 %, seven degrees of freedom
    k = stats.t.ppf(1 - (1 - 0.9545) / 2, 7)
    assert leak.expanded_uncertainty_ml_min == pytest.approx(k * line.stderr * 2000 / 1400, rel=1e-6)


def test_every_source_of_uncertainty_by_hand():
    # dp/dt -0.2, dT/dt 0.1, 10 min, 2000 ml, 1400 MPa, 7e-4: Q = 0.285714 + 0.14 = 0.425714
    points = [Point(t, 21 - 0.2 * t, 40 + 0.1 * t) for t in range(11)]
    oil = Volume(2000, 1400, 7e-4, 0.05, 0.2, 0.3)
    leak = leak_from_readings(
        points, volume=oil, pressure_uncertainty_mpa=0.05, temperature_uncertainty_c=0.1
    )
    by_pressure = 2000 / 1400 * math.sqrt(2) * 0.05 / 10  # 0.010102
    by_temperature = 2000 * 7e-4 * math.sqrt(2) * 0.1 / 10  # 0.019799
    by_modulus = 0.2 * 0.285714
    by_expansion = 0.3 * 0.14
    by_volume = 0.05 * 0.425714
    expected = math.sqrt(by_pressure**2 + by_temperature**2 + by_modulus**2 + by_expansion**2 + by_volume**2)
    assert leak.expanded_uncertainty_ml_min == pytest.approx(expected, rel=1e-5)


def test_readings_while_hoses_settle_are_left_out():
    points = [Point(0, 25), Point(1, 23), Point(3, 21), Point(4, 20.9), Point(5, 20.8)]
    settled = after_settling(points, settling_minutes=3)
    assert [p.minutes for p in settled] == [3, 4, 5]
    # 0.1 MPa/min x 2000/1400; with the settling in, four times as much
    assert leak_from_readings(settled, volume=OIL, **SURE).ml_min == pytest.approx(0.142857, abs=1e-5)


@pytest.mark.parametrize(
    ("ml_min", "uncertainty", "result"),
    [
        (0.9, 0.3, Result.PASS),  # 0.9 + 0.3 = 1.2, just proven
        (0.9, 0.31, Result.NOT_PROVEN),
        (1.5, 0.3, Result.NOT_PROVEN),  # 1.5 - 0.3 = 1.2
        (1.51, 0.3, Result.FAIL),
        (-0.2, 0.3, Result.PASS),
    ],
)
def test_pass_fail_and_not_proven_against_1_2_ml_a_minute(ml_min, uncertainty, result):
    judged = judge_leak(Leak(ml_min, uncertainty, 0, 10, 10), limit_ml_min=Decimal("1.2"))
    assert judged.result is result


def test_a_hold_without_temperature_proves_nothing():
    leak = leak_from_readings([Point(t, 21) for t in range(6)], volume=OIL, **SURE)
    judged = judge_leak(leak, limit_ml_min=Decimal(1))
    assert judged.result is Result.NOT_PROVEN
    assert "temperature" in str(judged.why)


def test_a_pressure_that_rises_by_itself_proves_nothing():
    judged = judge_leak(Leak(-0.5, 0.3, 0, 10, 10), limit_ml_min=Decimal(1))
    assert judged.result is Result.NOT_PROVEN
    assert "rose" in str(judged.why)


def test_oil_caught_in_a_glass_by_hand():
    # 6 ± 0.5 ml in 4 ± 0.1 min: 1.5 ml/min, √(0.5² + (1.5 x 0.1)²)/4 = 0.5220/4 = 0.1305
    leak = leak_from_catch(ml=6, minutes=4, ml_uncertainty=0.5, minutes_uncertainty=0.1)
    assert leak.ml_min == 1.5
    assert leak.expanded_uncertainty_ml_min == pytest.approx(0.1305, abs=0.0001)


@pytest.mark.parametrize(
    ("points", "says"),
    [
        ([Point(0, 21, 40), Point(1, 21, 40)], "3 readings"),
        ([Point(0, 21, 40)] * 3, "one time"),
    ],
)
def test_too_few_readings_are_refused(points, says):
    with pytest.raises(Refusal, match=says):
        leak_from_readings(points, volume=OIL, **SURE)


def test_time_that_does_not_rise_is_refused():
    with pytest.raises(Refusal, match="time must rise"):
        after_settling([Point(0, 21), Point(2, 21), Point(1, 21)], settling_minutes=0)
