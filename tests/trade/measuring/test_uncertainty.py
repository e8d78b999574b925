"""Uncertainty of readings against the worked examples of the GUM, scipy, numpy and simulation."""

from __future__ import annotations

import math
from decimal import Decimal

import numpy as np
import pytest
import scipy  # its stats take a second to load: only where one asks for them
from hypothesis import given
from hypothesis import strategies as st

from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.uncertainty import (
    LIMIT_OF_ERROR,
    STATES,
    Budget,
    Contribution,
    GaugeError,
    by_weight,
    combined,
    coverage_factor,
    effective_degrees_of_freedom,
    expanded,
    linear,
    of_difference,
    of_extreme_difference,
    of_half,
    of_mean,
    own_u,
    rectangular,
    repeatability,
    resolution_u,
    shared_u,
    standard_uncertainty,
    u_of,
)

# GUM annex H.1, calibration of a 50 mm gauge block, nm. Inputs and results as quoted by public test suites;
# degrees of freedom of the first two lines from memory.
GAUGE_BLOCK = Budget(
    (
        Contribution("standard", 25.0, kind="B", dof=18),
        Contribution("comparison", combined(5.8, 3.9, 6.7), kind="A", dof=25.6),
        Contribution("expansion of the standard", 1.2e-6, sensitivity=0.0),
        Contribution("temperature of the table", 0.41, sensitivity=0.0),
        Contribution("difference in expansion", 0.58e-6, sensitivity=50e6 * 0.1, dof=50),
        Contribution("difference in temperature", 0.029, sensitivity=-50e6 * 11.5e-6, dof=2),
    )
)


def test_gauge_block_of_the_gum_has_32_nanometres() -> None:  # GUM H.1, table H.1
    parts = [line.share_u for line in GAUGE_BLOCK.contributions]
    assert [round(part, 1) for part in parts] == [25.0, 9.7, 0.0, 0.0, 2.9, 16.7]
    assert round(GAUGE_BLOCK.combined) == 32


def test_gauge_block_of_the_gum_has_16_degrees_of_freedom_and_93_nanometres() -> None:  # GUM H.1.6
    # printed 16.7, by way of rounded inputs
    assert GAUGE_BLOCK.degrees_of_freedom == pytest.approx(16.7, abs=0.1)
    assert coverage_factor(dof=GAUGE_BLOCK.degrees_of_freedom, confidence=0.99) == pytest.approx(
        2.92, abs=0.005
    )
    assert GAUGE_BLOCK.expanded(confidence=0.99) == 93


# GUM 4.4.3, table 1: twenty temperatures, mean 100.14, s 1.489, s of the mean 0.333 °C; typed from memory,
# confirmed by its own published mean
TWENTY_TEMPERATURES = [
    96.90, 98.18, 98.25, 98.61, 99.03, 99.49, 99.56, 99.74, 99.89, 100.07,
    100.33, 100.42, 100.68, 100.95, 101.11, 101.20, 101.57, 101.84, 102.36, 102.72,
]  # fmt: skip


def test_twenty_temperatures_of_the_gum_scatter_by_1_489() -> None:
    scatter = repeatability(TWENTY_TEMPERATURES)
    assert sum(TWENTY_TEMPERATURES) / 20 == pytest.approx(100.145, abs=0.0051)
    assert scatter == pytest.approx(1.489, abs=0.0005)
    assert of_mean(random_u=scatter, n=20) == pytest.approx(0.333, abs=0.0005)


# GUM table G.2: Student's t for a fraction p, from memory
@pytest.mark.parametrize(
    ("dof", "confidence", "t"),
    [
        (1, 0.95, 12.71),
        (1, 0.99, 63.66),
        (2, 0.95, 4.30),
        (3, 0.95, 3.18),
        (4, 0.99, 4.60),
        (9, 0.95, 2.26),
        (10, 0.9545, 2.28),
        (20, 0.99, 2.85),
        (50, 0.95, 2.01),
        (math.inf, 0.95, 1.960),
        (math.inf, 0.99, 2.576),
    ],
)
def test_coverage_is_as_in_the_table_of_the_gum(dof: float, confidence: float, t: float) -> None:
    assert coverage_factor(dof=dof, confidence=confidence) == pytest.approx(t, abs=0.0051)


@pytest.mark.parametrize("confidence", [0.5, 0.6827, 0.90, 0.95, 0.9545, 0.99, 0.9973])
def test_coverage_agrees_with_scipy(confidence: float) -> None:
    dofs = [*range(1, 60), 99, 100, 500, 999, 10_000]
    ours = [coverage_factor(dof=dof, confidence=confidence) for dof in dofs]
    assert ours == pytest.approx(list(scipy.stats.t.ppf((1 + confidence) / 2, dofs)), rel=1e-9)


def test_degrees_of_freedom_are_cut_down_never_rounded_up() -> None:  # GUM G.4.1, note 1
    assert coverage_factor(dof=16.99) == pytest.approx(scipy.stats.t.ppf(0.975, 16), rel=1e-9)
    assert coverage_factor(dof=1e9) == pytest.approx(scipy.stats.norm.ppf(0.975), rel=1e-9)


def test_coverage_without_a_degree_of_freedom_is_refused() -> None:
    for dof in (0, 0.99, math.nan):
        with pytest.raises(Refusal, match=r"at least 1 degree"):
            coverage_factor(dof=dof)
    with pytest.raises(Refusal, match=r"between 0 and 1"):
        coverage_factor(dof=5, confidence=95)


def test_reading_in_steps_leaves_the_scatter_of_rounding() -> None:
    """Simulation with numpy: true values spread evenly, each read to the nearest 10 µm."""
    true_um = np.random.default_rng(1).uniform(0, 10_000, 200_000)
    read_um = np.round(true_um / 10) * 10
    assert resolution_u(10) == pytest.approx(float(np.std(read_um - true_um)), rel=0.005)


def test_a_half_width_leaves_the_scatter_of_an_even_spread() -> None:
    assert rectangular(6) == pytest.approx(scipy.stats.uniform(-6, 12).std(), rel=1e-12)


# by hand: 0.005 / 2 = 0.0025 and 0.001 / √12 = 0.000289; root of the squares 0.002517
def test_micrometer_of_5_micrometres_reading_in_thousandths() -> None:
    micrometer = GaugeError(fixed=Decimal("0.005"), step=Decimal("0.001"))
    assert standard_uncertainty(Decimal("49.962"), micrometer) == pytest.approx(0.002517, abs=1e-6)


# by hand: (2 + 3 % of 40) / 2 = 1.6 µm; a magnet gauge reading in whole µm adds 0.289
def test_coating_gauge_of_2_micrometres_and_3_percent() -> None:
    gauge = GaugeError(fixed=Decimal(2), share=Decimal("0.03"), step=Decimal(1))
    assert standard_uncertainty(Decimal(40), gauge) == pytest.approx(1.626, abs=0.0005)
    assert standard_uncertainty(Decimal(-40), gauge) == standard_uncertainty(Decimal(40), gauge)


# by hand: a maker's limit of error of 6 µm read as rectangular is 6 / √3 = 3.464
def test_a_limit_of_error_takes_root_three_as_its_coverage() -> None:
    maker = GaugeError(fixed=Decimal(6), coverage=Decimal(3).sqrt())
    assert standard_uncertainty(Decimal(100), maker) == pytest.approx(3.464, abs=0.0005)


@pytest.mark.parametrize("field", ["fixed", "share", "step", "repeatability"])
def test_a_negative_gauge_error_is_refused(field: str) -> None:
    with pytest.raises(Refusal, match=f"{field} is -1"):
        GaugeError(**{"fixed": Decimal(0), field: Decimal(-1)})


def test_a_gauge_without_coverage_is_refused() -> None:
    with pytest.raises(Refusal, match=r"coverage is 0"):
        GaugeError(fixed=Decimal(1), coverage=Decimal(0))


# by hand: 0.1 / √12 = 0.0289 beside 0.004 / 2; the gauge's own thousandths no longer matter
def test_a_reading_written_to_a_tenth_is_not_known_to_thousandths() -> None:
    micrometer = GaugeError(fixed=Decimal("0.004"), step=Decimal("0.001"))
    assert standard_uncertainty(Decimal("89.9"), micrometer, Decimal("0.1")) == pytest.approx(
        0.02894, abs=1e-5
    )
    assert standard_uncertainty(Decimal("89.9"), micrometer, Decimal("0.0001")) == standard_uncertainty(
        Decimal("89.9"), micrometer
    )
    assert own_u(micrometer, Decimal("0.1")) == pytest.approx(0.02887, abs=1e-5)


# a budget worked by hand, µm: limit of error 6, step 1, scatter 2, temperature 0.664 make u 4.065 and U 8.13
def test_limit_of_error_scatter_and_step_make_the_hand_worked_budget() -> None:
    maker = GaugeError(
        fixed=Decimal(6), step=Decimal(1), coverage=STATES[LIMIT_OF_ERROR], repeatability=Decimal(2)
    )
    u = combined(standard_uncertainty(Decimal(100), maker), 0.664)
    assert u == pytest.approx(4.065, abs=0.0005)
    assert 2 * u == pytest.approx(8.13, abs=0.005)


def test_what_a_gauge_states_is_divided_by_two_or_by_root_three() -> None:  # GUM 4.3.3 and 4.3.7
    as_u, as_limit = (GaugeError(fixed=Decimal(6), coverage=c) for c in STATES.values())
    assert shared_u(Decimal(1), as_u) == 3
    assert shared_u(Decimal(1), as_limit) == pytest.approx(scipy.stats.uniform(-6, 12).std(), rel=1e-12)


def reading(scatter: str) -> dict[str, float]:
    """A reading of one gauge: setting error shared, scatter its own."""
    return {"setting": 0.003, scatter: 0.002}


def test_what_two_readings_share_cancels_in_the_difference_and_adds_in_the_sum() -> None:
    """Simulation with numpy: one setting error for both, a scatter of each."""
    rng = np.random.default_rng(5)
    setting, first, second = (rng.normal(0, s, 400_000) for s in (0.003, 0.002, 0.002))
    terms = reading("scatter 1"), reading("scatter 2")
    difference, total = (u_of(linear(zip(w, terms, strict=True))) for w in ((1, -1), (1, 1)))
    assert difference == pytest.approx(float(np.std(first - second)), rel=0.01)
    assert total == pytest.approx(float(np.std(2 * setting + first + second)), rel=0.01)
    assert difference == pytest.approx(0.002 * math.sqrt(2))
    assert total == pytest.approx(math.hypot(0.006, 0.002 * math.sqrt(2)))


@given(
    st.lists(
        st.tuples(
            st.floats(-3, 3),
            st.dictionaries(st.sampled_from("abcd"), st.floats(-2, 2), max_size=4),
        ),
        max_size=6,
    )
)
def test_linear_propagation_is_that_of_the_covariance_matrix(
    parts: list[tuple[float, dict[str, float]]],
) -> None:
    """GUM equation 13 with numpy: u² = w C wᵀ, the covariance being what values share."""
    loads = np.array([[terms.get(source, 0.0) for source in "abcd"] for _, terms in parts]).reshape(-1, 4)
    weights = np.array([weight for weight, _ in parts])
    variance = float(weights @ loads @ loads.T @ weights)
    assert u_of(linear(parts)) == pytest.approx(math.sqrt(max(variance, 0.0)), abs=1e-9)


def test_a_budget_names_the_heaviest_first_and_its_shares_make_the_whole() -> None:
    lines = by_weight(
        {"setting|A": 3.0, "scatter|1": -2.0, "scatter|2": 2.0, "nothing": 0.0}, lambda s: s[:7]
    )
    assert [(line.name, line.u, round(line.share, 3)) for line in lines] == [
        ("setting", 3.0, 0.529),  # 9 of 17
        ("scatter", math.sqrt(8), 0.471),
    ]
    assert sum(line.share for line in lines) == pytest.approx(1)


# GUM 7.2.6: at most two digits, and rather up than down
@pytest.mark.parametrize(
    ("u", "printed"),
    [
        (0.0025, "0.005"),
        (0.00251, "0.0051"),
        (4.065, "8.2"),
        (0.05, "0.1"),
        (0.15, "0.3"),
        (49.6, "100"),
        (50.1, "110"),
        (6.25e-5, "0.00013"),
        (0, "0"),
    ],
)
def test_expanded_uncertainty_is_rounded_up_to_two_digits(u: float, printed: str) -> None:
    assert str(expanded(u)) == printed


def test_a_last_binary_digit_does_not_round_up() -> None:
    assert 3 * 0.1 > 0.3  # why it matters
    assert expanded(0.1, coverage=3) == Decimal("0.3")


@given(us=st.lists(st.floats(1e-6, 1e3), min_size=1, max_size=5), coverage=st.floats(1, 4))
def test_expanded_uncertainty_is_never_less_than_it_was_and_at_most_a_tenth_more(
    us: list[float], coverage: float
) -> None:
    exact = coverage * float(np.linalg.norm(us))
    rounded = expanded(*us, coverage=coverage)
    assert exact * (1 - 1e-11) <= float(rounded) <= exact * 1.1 + 1e-12
    assert len(rounded.normalize().as_tuple().digits) <= 2


def test_simulated_ovality_scatters_no_more_than_said() -> None:
    """Simulation with numpy: greatest less least of two true sizes read with errors of their own."""
    reading = np.random.default_rng(2).normal([[100.054], [100.000]], 0.004, (2, 200_000))
    scatter = float(np.std(reading[0] - reading[1]))
    assert of_extreme_difference(0.004) == pytest.approx(scatter, rel=0.01)
    assert of_difference(0.004, 0.004) == pytest.approx(scatter, rel=0.01)
    assert of_half(of_difference(0.004, 0.004)) == pytest.approx(scatter / 2, rel=0.01)


def test_simulated_mean_of_nine_keeps_what_all_readings_share() -> None:
    """Simulation with numpy: one setting error per nine readings, and a scatter of each."""
    rng = np.random.default_rng(3)
    means = (rng.normal(0, 3, (100_000, 1)) + rng.normal(0, 6, (100_000, 9))).mean(axis=1)
    assert of_mean(random_u=6, n=9, systematic_u=3) == pytest.approx(float(np.std(means)), rel=0.01)


@given(st.lists(st.decimals(49, 51, places=3), min_size=2, max_size=12))
def test_repeatability_agrees_with_numpy(readings: list[Decimal]) -> None:
    reference = float(np.std([float(r) for r in readings], ddof=1))
    assert repeatability(readings) == pytest.approx(reference, rel=1e-6, abs=1e-12)


def test_one_reading_tells_no_repeatability() -> None:
    with pytest.raises(Refusal, match=r"at least 2 readings.*given 1"):
        repeatability([Decimal("50.002")])


def test_no_reading_has_no_mean() -> None:
    with pytest.raises(Refusal, match=r"greater than 0"):
        of_mean(random_u=1, n=0)


LINES = st.builds(
    Contribution,
    st.just("line"),
    st.floats(1e-3, 10),
    sensitivity=st.floats(0.1, 3) | st.floats(-3, -0.1),
    dof=st.integers(1, 100) | st.just(math.inf),
)


@given(st.lists(LINES, min_size=1, max_size=6))
def test_degrees_of_freedom_lie_between_the_least_line_and_their_sum(lines: list[Contribution]) -> None:
    """GUM G.4.1: the Welch-Satterthwaite result never exceeds the sum of its terms' degrees of freedom."""
    dof = effective_degrees_of_freedom(lines)
    assert min(line.dof for line in lines) * (1 - 1e-9) <= dof <= sum(line.dof for line in lines) * (1 + 1e-9)


@given(st.lists(LINES, min_size=1, max_size=6))
def test_a_budget_is_no_smaller_than_its_largest_line(lines: list[Contribution]) -> None:
    budget = Budget(tuple(lines))
    shares = [abs(line.sensitivity) * line.u for line in lines]
    assert max(shares) * (1 - 1e-9) <= budget.combined <= sum(shares) * (1 + 1e-9)
    assert float(budget.expanded()) > budget.combined
