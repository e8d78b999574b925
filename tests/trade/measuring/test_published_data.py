"""Sums, fits and correlations against published data sets: the GUM's annex H, its Supplement 1, NIST, a circle fit."""

from __future__ import annotations

import math
from collections.abc import Mapping
from decimal import Decimal
from importlib.resources import files

import numpy as np
import pytest

from inspect_app.trade.form.least_squares import least_squares
from inspect_app.trade.measuring.temperature import product_u
from inspect_app.trade.measuring.uncertainty import (
    Budget,
    Contribution,
    Terms,
    combined,
    linear,
    repeatability,
    u_of,
)


def correlation(a: Terms, b: Terms) -> float:
    """Correlation that two values have by what they share."""
    return math.fsum(a[source] * b.get(source, 0.0) for source in a) / (u_of(a) * u_of(b))


# ---- JCGM 100:2008, H.1: end gauge beyond first order


# H.1.7: l·u(δα)·u(θ) = 11.7 nm and l·u(α)·u(δθ) = 1.7 nm make 34 nm of 32; the two terms and 34 from memory,
# 32 and 34 also as a public metrology library prints them. Inputs unrounded: ±1e-6 and ±2e-6 per kelvin and
# ±0.05 K evenly spread, θ -0.1 °C with 0.2 °C and a cycle of ±0.5 °C (arcsine).
LENGTH_NM = 50.000623e6
U_THETA_K = math.hypot(0.2, 0.5 / math.sqrt(2))
U_ALPHA, U_DELTA_ALPHA, U_DELTA_THETA_K = 2e-6 / math.sqrt(3), 1e-6 / math.sqrt(3), 0.05 / math.sqrt(3)


def test_the_end_gauge_of_the_gum_has_34_nanometres_beyond_first_order() -> None:
    of_expansion = LENGTH_NM * product_u(0, U_DELTA_ALPHA, -0.1, U_THETA_K)
    of_temperature = LENGTH_NM * product_u(11.5e-6, U_ALPHA, 0, U_DELTA_THETA_K)
    first_order = combined(25, 9.7, LENGTH_NM * 0.1 * U_DELTA_ALPHA, LENGTH_NM * 11.5e-6 * U_DELTA_THETA_K)
    assert round(first_order) == 32
    assert round(combined(25, 9.7, of_expansion, of_temperature)) == 34
    assert LENGTH_NM * product_u(0, U_DELTA_ALPHA, 0, U_THETA_K) == pytest.approx(11.7, abs=0.05)
    assert LENGTH_NM * product_u(0, U_ALPHA, 0, U_DELTA_THETA_K) == pytest.approx(1.7, abs=0.05)


# ---- JCGM 101:2008, 9.5: the same end gauge by Monte Carlo


def end_gauge_drawn(n: int) -> np.ndarray:
    """Lengths less the nominal, nm, drawn as 9.5.2 to 9.5.3 assign them (table 10, from memory)."""
    rng = np.random.default_rng(101)
    comparison_nm = 215 + 6 * rng.standard_t(24, n) + 4 * rng.standard_t(5, n) + 7 * rng.standard_t(8, n)
    theta_k = rng.normal(-0.1, 0.2, n) + 0.5 * np.sin(rng.uniform(0, 2 * np.pi, n))
    alpha = rng.uniform(9.5e-6, 13.5e-6, n)
    delta_alpha = rng.uniform(-1, 1, n) * rng.uniform(0.9e-6, 1.1e-6, n)
    delta_theta_k = rng.uniform(-1, 1, n) * rng.uniform(0.025, 0.075, n)
    standard_nm = 623 + 25 * rng.standard_t(18, n)
    return standard_nm + comparison_nm - LENGTH_NM * (delta_alpha * theta_k + alpha * delta_theta_k)


def test_the_linear_interval_of_the_end_gauge_agrees_with_its_monte_carlo() -> None:
    # table 11: Monte Carlo 838 nm, u 36 nm, shortest 99 % interval 745 to 932; linear 838, 32, 745 to 931
    drawn = end_gauge_drawn(400_000)
    assert float(np.mean(drawn)) == pytest.approx(838, abs=0.5)
    assert float(np.std(drawn)) == pytest.approx(36, abs=0.5)
    budget = Budget(
        (
            Contribution("standard", 25, dof=18),
            Contribution("comparison", 9.7, dof=25.6),
            Contribution("expansion", LENGTH_NM * 0.1 * U_DELTA_ALPHA, dof=50),
            Contribution("temperature", LENGTH_NM * 11.5e-6 * U_DELTA_THETA_K, dof=2),
        )
    )
    half = float(budget.expanded(0.99))
    assert (838 - half, 838 + half) == (745, 931)
    inside = float(np.mean(abs(drawn - 838) <= half))
    assert inside == pytest.approx(0.99, abs=0.002)


# ---- JCGM 100:2008, H.2: three values of the same five measurements

# Table H.2, V in volt, I in milliampere, phase in radian, as two public test suites carry it
H2 = {
    "V": [5.007, 4.994, 5.005, 4.990, 4.999],
    "I": [19.663, 19.639, 19.640, 19.685, 19.678],
    "phase": [1.0456, 1.0438, 1.0468, 1.0428, 1.0433],
}


def of_means(sets: Mapping[str, list[float]]) -> dict[str, Terms]:
    """Each mean's uncertainty, one source a set of simultaneous readings: what was read together varies together."""
    terms = {}
    for name, values in sets.items():
        n, mean = len(values), math.fsum(values) / len(values)
        terms[name] = {f"set {k}": (x - mean) / math.sqrt(n * (n - 1)) for k, x in enumerate(values)}
    return terms


def test_what_was_read_together_is_correlated_as_in_the_gum() -> None:  # table H.2, u from memory
    v, i, phase = of_means(H2).values()
    assert (round(u_of(v), 4), round(u_of(i), 4), round(u_of(phase), 5)) == (0.0032, 0.0095, 0.00075)
    assert round(correlation(v, i), 2) == -0.36
    assert round(correlation(v, phase), 2) == 0.86
    assert round(correlation(i, phase), 2) == -0.65


def test_resistance_reactance_and_impedance_come_out_as_in_the_gum() -> None:
    # table H.3 and H.4: R 127.732(71), X 219.847(295), Z 254.260(236) ohm; correlations -0.588, -0.485, 0.993
    v, i, phase = (math.fsum(values) / 5 for values in H2.values())
    terms = of_means(H2)
    i_ampere = i / 1000
    z, cos, sin = v / i_ampere, math.cos(phase), math.sin(phase)
    weights = {
        "R": (z * cos / v, -z * cos / i, -z * sin),
        "X": (z * sin / v, -z * sin / i, z * cos),
        "Z": (z / v, -z / i, 0.0),
    }
    made = {name: linear(zip(w, terms.values(), strict=True)) for name, w in weights.items()}
    assert (round(z * cos, 3), round(z * sin, 3), round(z, 3)) == (127.732, 219.847, 254.260)
    assert [u_of(made[name]) for name in "RXZ"] == pytest.approx([0.071, 0.295, 0.236], abs=0.001)
    assert round(correlation(made["R"], made["X"]), 3) == -0.588
    assert round(correlation(made["R"], made["Z"]), 3) == -0.485
    assert round(correlation(made["X"], made["Z"]), 3) == 0.993


# ---- JCGM 100:2008, H.3: calibration line of a thermometer

# Table H.6, as two public test suites carry it
READ_C = [21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511]
CORRECTION_C = [-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160]


def line_weights(rows: list[list[float]]) -> list[list[float]]:
    """How far each coefficient of a least-squares fit follows each reading."""
    n = len(rows)
    return [least_squares(rows, [float(k == j) for k in range(n)]) for j in range(n)]


def fitted(x: list[float], y: list[float]) -> tuple[list[float], float, list[Terms]]:
    """Line through points: coefficients, residual standard deviation, and each coefficient's terms."""
    rows = [[1.0, value] for value in x]
    coefficients = least_squares(rows, y)
    left = [b - coefficients[0] - coefficients[1] * a for a, b in zip(x, y, strict=True)]
    s = math.sqrt(math.fsum(r * r for r in left) / (len(x) - 2))
    weights = line_weights(rows)
    terms = [
        linear((w[k], {f"reading {j}": s}) for j, w in enumerate(weights)) for k in range(len(coefficients))
    ]
    return coefficients, s, terms


def test_the_thermometer_of_the_gum_is_corrected_at_30_degrees() -> None:
    # H.3.3 and H.3.4: y1 -0.1712(29), y2 0.00218(67), r -0.930, s 0.0035; at 30 °C -0.1494 with u 0.0041
    (y1, y2), s, (of_y1, of_y2) = fitted([t - 20 for t in READ_C], CORRECTION_C)
    assert (round(y1, 4), round(y2, 5), round(s, 4)) == (-0.1712, 0.00218, 0.0035)
    assert (round(u_of(of_y1), 4), round(u_of(of_y2), 5)) == (0.0029, 0.00067)
    assert round(correlation(of_y1, of_y2), 3) == -0.930
    assert round(y1 + 10 * y2, 4) == -0.1494
    assert round(u_of(linear([(1, of_y1), (10, of_y2)])), 4) == 0.0041


# ---- NIST StRD, certified values; the files come with scipy


def nist(name: str) -> tuple[list[str], list[list[Decimal]]]:
    """Head and data rows of a file of NIST's Statistical Reference Datasets."""
    lines = files("scipy.stats.tests.data").joinpath(name).read_text("utf-8").splitlines()
    return lines[:60], [[Decimal(cell) for cell in line.split()] for line in lines[60:] if line.strip()]


def test_a_line_through_norris_is_the_certified_one() -> None:
    _, rows = nist("nist_linregress/Norris.dat")
    (b0, b1), s, (of_b0, of_b1) = fitted([float(x) for _, x in rows], [float(y) for y, _ in rows])
    assert len(rows) == 36
    assert b0 == pytest.approx(-0.262323073774029, rel=1e-9)
    assert b1 == pytest.approx(1.00211681802045, rel=1e-12)
    assert s == pytest.approx(0.884796396144373, rel=1e-10)
    assert u_of(of_b0) == pytest.approx(0.232818234301152, rel=1e-9)
    assert u_of(of_b1) == pytest.approx(0.429796848199937e-3, rel=1e-9)


ANOVA = (
    "SiRstv", "SmLs01", "SmLs02", "SmLs03", "AtmWtAg", "SmLs04", "SmLs05", "SmLs06", "SmLs07", "SmLs08", "SmLs09",
)  # fmt: skip


@pytest.mark.parametrize("name", ANOVA)
def test_scatter_within_treatments_is_the_certified_one(name: str) -> None:
    head, rows = nist(f"nist_anova/{name}.dat")
    certified = next(float(line.split()[-1]) for line in head if "Standard Deviation" in line)
    groups: dict[Decimal, list[Decimal]] = {}
    for treatment, response in rows:
        groups.setdefault(treatment, []).append(response)
    within = math.fsum((len(g) - 1) * repeatability(g) ** 2 for g in groups.values())
    dof = sum(len(g) - 1 for g in groups.values())
    assert math.sqrt(within / dof) == pytest.approx(certified, rel=1e-12)


# ---- Gander, Golub and Strebel, Least-squares fitting of circles and ellipses, BIT 34 (1994) 558: six points,
# geometric fit centre 4.7398, 2.9835, radius 4.7142

SIX_POINTS = [(1, 7), (2, 6), (5, 8), (7, 7), (9, 5), (3, 7)]


def test_a_circle_through_six_points_is_the_published_geometric_fit() -> None:
    x, y, radius = 5.0, 3.0, 0.0
    for _ in range(200):  # the first-order fit, taken again about each new centre
        angles = [math.atan2(b - y, a - x) for a, b in SIX_POINTS]
        radii = [math.hypot(a - x, b - y) for a, b in SIX_POINTS]
        radius, dx, dy = least_squares([[1, math.cos(t), math.sin(t)] for t in angles], radii)
        x, y = x + dx, y + dy
    assert (round(x, 4), round(y, 4), round(radius, 4)) == (4.7398, 2.9835, 4.7142)
