"""The decision rule against its statement in intervals, JCGM 106 and scipy."""

from __future__ import annotations

from decimal import Decimal
from itertools import product

import pytest
import scipy  # its stats take a second to load: only where one asks for them
from hypothesis import assume, given
from hypothesis import strategies as st

from inspect_app.trade.measuring.decision import (
    Decision,
    Verdict,
    chance_outside,
    conformance_probability,
    decide,
    deciding_uncertainty,
    guard_sentence,
    risk_sentence,
    uncertainty_ratio,
    worst,
)
from inspect_app.trade.measuring.refusal import Refusal


def judged(value: str | None, lower: str | None, upper: str | None, guard: str) -> Decision:
    number = {text: Decimal(text) for text in (value, lower, upper) if text is not None}
    return decide(
        value=number.get(value),
        lower=number.get(lower),
        upper=number.get(upper),
        expanded_uncertainty=Decimal(guard),
    )


# 80 f7 is 79.940 to 79.970 (ISO 286-2); zones by hand from ISO 14253-1 with a guard band of 6 µm
@pytest.mark.parametrize(
    ("value", "verdict"),
    [
        ("79.933", Verdict.BEYOND),
        ("79.934", Verdict.UNCLEAR),
        ("79.940", Verdict.UNCLEAR),
        ("79.945", Verdict.UNCLEAR),
        ("79.946", Verdict.WITHIN),
        ("79.955", Verdict.WITHIN),
        ("79.964", Verdict.WITHIN),
        ("79.965", Verdict.UNCLEAR),
        ("79.976", Verdict.UNCLEAR),
        ("79.9761", Verdict.BEYOND),
        (None, Verdict.NOT_MEASURED),
    ],
)
def test_eighty_f7_rod_is_proven_from_79_946_to_79_964(value: str | None, verdict: Verdict) -> None:
    assert judged(value, "79.940", "79.970", "0.006").verdict is verdict


@pytest.mark.parametrize(
    ("value", "verdict"),
    [
        ("0.018", Verdict.WITHIN),
        ("0.0179", Verdict.UNCLEAR),
        ("0.012", Verdict.UNCLEAR),
        ("0.0119", Verdict.BEYOND),
    ],
)
def test_chrome_with_a_lower_limit_alone_is_guarded_on_that_side(value: str, verdict: Verdict) -> None:
    assert judged(value, "0.015", None, "0.003").verdict is verdict


@pytest.mark.parametrize(
    ("value", "verdict"),
    [
        ("0.49", Verdict.WITHIN),
        ("0.50", Verdict.UNCLEAR),
        ("0.51", Verdict.UNCLEAR),
        ("0.511", Verdict.BEYOND),
    ],
)
def test_runout_with_an_upper_limit_alone_is_guarded_on_that_side(value: str, verdict: Verdict) -> None:
    assert judged(value, None, "0.50", "0.010").verdict is verdict


def test_zones_and_room_stand_in_the_decision() -> None:  # by hand
    rod = judged("79.968", "79.940", "79.970", "0.006")
    assert (rod.accept_lower, rod.accept_upper) == (Decimal("79.946"), Decimal("79.964"))
    assert rod.room == Decimal("0.002")
    assert judged("79.930", "79.940", "79.970", "0.006").room == Decimal("-0.010")


def test_without_a_value_there_is_no_room_and_no_probability() -> None:
    rod = judged(None, "79.940", "79.970", "0.006")
    assert (rod.room, rod.conformance_probability) == (None, None)
    assert rod.accept_upper == Decimal("79.964")


def test_a_gauge_too_coarse_can_reject_but_never_accept() -> None:
    middle = judged("49.9625", "49.950", "49.975", "0.013")
    assert middle.verdict is Verdict.UNCLEAR
    assert not middle.can_be_proven_within
    assert judged("49.936", "49.950", "49.975", "0.013").verdict is Verdict.BEYOND


def test_a_perfect_gauge_leaves_no_doubt() -> None:
    assert judged("79.970", "79.940", "79.970", "0").verdict is Verdict.WITHIN
    assert judged("79.970", "79.940", "79.970", "0").conformance_probability == 1
    assert judged("79.971", "79.940", "79.970", "0").verdict is Verdict.BEYOND
    assert judged("79.971", "79.940", "79.970", "0").conformance_probability == 0


NUMBERS = st.decimals(min_value=-1000, max_value=1000, places=4)
GUARDS = st.decimals(min_value=0, max_value=50, places=4)


@given(
    value=NUMBERS,
    ends=st.tuples(NUMBERS, NUMBERS),
    guard=GUARDS,
    sides=st.sampled_from(["both", "low", "up"]),
)
def test_proven_means_the_whole_interval_of_the_reading_lies_inside_or_outside(
    value: Decimal, ends: tuple[Decimal, Decimal], guard: Decimal, sides: str
) -> None:
    """ISO 14253-1 said the other way round: about the interval value ± U instead of the moved limits."""
    lower = None if sides == "up" else min(ends)
    upper = None if sides == "low" else max(ends)
    found = decide(value=value, lower=lower, upper=upper, expanded_uncertainty=guard)
    floor, ceiling = lower if lower is not None else -9999, upper if upper is not None else 9999
    all_inside = floor <= value - guard and value + guard <= ceiling
    all_outside = value + guard < floor or value - guard > ceiling
    assert (found.verdict is Verdict.WITHIN) == all_inside
    assert (found.verdict is Verdict.BEYOND) == all_outside


@given(value=NUMBERS, limit=NUMBERS, guard=GUARDS)
def test_a_proof_against_one_limit_is_right_at_least_97_7_times_in_100(
    value: Decimal, limit: Decimal, guard: Decimal
) -> None:
    """JCGM 106 and a normal table: two standard uncertainties inside give 0.97725."""
    found = decide(value=value, lower=None, upper=limit, expanded_uncertainty=guard)
    probability = found.conformance_probability
    assert probability is not None
    if found.verdict is Verdict.WITHIN:
        assert probability >= 0.97724
    elif found.verdict is Verdict.BEYOND:
        assert probability <= 0.02276


# 80 f7 with u = 3 µm; the normal distribution from a printed table
@pytest.mark.parametrize(
    ("value", "probability"),
    [("79.964", 0.97725), ("79.9655", 0.93319), ("79.968", 0.74751), ("79.970", 0.5), ("79.972", 0.25249)],
)
def test_conformance_probability_of_eighty_f7(value: str, probability: float) -> None:
    found = judged(value, "79.940", "79.970", "0.006").conformance_probability
    assert found == pytest.approx(probability, abs=1e-5)


# JCGM 106, 7.3.3: breakdown voltage against one upper limit, pressure against one lower limit; from memory
def test_the_two_examples_of_jcgm_106() -> None:
    assert round(conformance_probability(value=-5.47, u=0.05, upper=-5.40), 2) == 0.92
    assert round(conformance_probability(value=509.7, u=8.6, lower=490), 2) == 0.99


@given(
    value=st.floats(-50, 50),
    u=st.floats(0.01, 10),
    ends=st.tuples(st.floats(-50, 50), st.floats(-50, 50)),
)
def test_conformance_probability_agrees_with_scipy(value: float, u: float, ends: tuple[float, float]) -> None:
    lower, upper = sorted(ends)
    ours = conformance_probability(value=value, u=u, lower=lower, upper=upper)
    reference = scipy.stats.norm(value, u)
    assert ours == pytest.approx(reference.cdf(upper) - reference.cdf(lower), abs=1e-12)
    assert 0 <= ours <= 1


@pytest.mark.parametrize("verdicts", list(product(Verdict, repeat=3)))
def test_the_worst_of_several_is_the_first_of_beyond_unclear_not_measured_within(
    verdicts: tuple[Verdict, ...],
) -> None:
    order = ["outside limit", "too close to limit", "not measured", "within limit"]
    named = {verdict.value for verdict in verdicts}
    assert worst(verdicts).value == next(name for name in order if name in named)


def test_nothing_judged_is_not_measured() -> None:
    assert worst([]) is Verdict.NOT_MEASURED


@pytest.mark.parametrize(
    ("lower", "upper", "guard", "kind", "system", "sentence"),
    [
        ("49.936", "49.975", "0.005", "length", "metric", "surely within from 49.941 mm to 49.97 mm."),
        ("0.015", None, "0.003", "length", "metric", "±0.003 mm (k = 2): surely within from 0.018 mm."),
        (None, "0.5", "0.010", "length", "metric", "±0.01 mm (k = 2): surely within up to 0.49 mm."),
        (None, "0.4", "0.05", "roughness", "metric", "±0.05 µm (k = 2): surely within up to 0.35 µm."),
        ("100", "200", "1E+1", "torque", "metric", "±10 N·m (k = 2): surely within from 110 N·m to 190 N·m."),
        ("25.4", None, "0.254", "length", "inch", "±0.01 in (k = 2): surely within from 1.01 in."),
        ("49.950", "49.975", "0.013", "length", "metric", "no reading of this gauge can prove it; use a better one."),
        (None, "0.01", "0.02", "deviation", "metric", "no reading of this gauge can prove it; use a better one."),
    ],
)  # fmt: skip
def test_the_guard_band_is_said_in_the_readers_units(
    lower: str | None, upper: str | None, guard: str, kind: str, system: str, sentence: str
) -> None:
    said = guard_sentence(judged(None, lower, upper, guard), kind).words(system)
    assert said.startswith("Uncertainty ±")
    assert said.endswith(sentence)


def test_a_zone_of_one_single_value_can_still_be_proven() -> None:
    middle = judged("49.9625", "49.950", "49.975", "0.0125")
    assert middle.verdict is Verdict.WITHIN
    assert middle.can_be_proven_within


# ANSI/NCSL Z540.3: tolerance span over 2 U; 100 f7 is 35 µm wide, 35 / 16.26 by hand
def test_micrometer_of_8_micrometres_on_100_f7_has_a_ratio_of_two() -> None:
    ratio = uncertainty_ratio(lower=Decimal(-71), upper=Decimal(-36), expanded_uncertainty=Decimal("8.13"))
    assert float(ratio) == pytest.approx(2.15, abs=0.005)


def test_unusable_limits_are_refused_in_words() -> None:
    with pytest.raises(Refusal, match=r"There is no limit"):
        judged("50", None, None, "0.005")
    with pytest.raises(Refusal, match=r"above the upper limit 49"):
        judged("50", "51", "49", "0.005")
    with pytest.raises(Refusal, match=r"must not be negative"):
        judged("50", "49", "51", "-0.005")
    with pytest.raises(Refusal, match=r"finite"):
        judged("NaN", "49", "51", "0.005")
    with pytest.raises(Refusal, match=r"greater than 0"):
        uncertainty_ratio(lower=Decimal(0), upper=Decimal(1), expanded_uncertainty=Decimal(0))


@given(value=NUMBERS, ends=st.tuples(NUMBERS, NUMBERS), guard=GUARDS)
def test_a_better_gauge_never_takes_a_proof_back(
    value: Decimal, ends: tuple[Decimal, Decimal], guard: Decimal
) -> None:
    assume(guard > 0)
    coarse = decide(value=value, lower=min(ends), upper=max(ends), expanded_uncertainty=guard)
    fine = decide(value=value, lower=min(ends), upper=max(ends), expanded_uncertainty=guard / 2)
    assert coarse.verdict in (fine.verdict, Verdict.UNCLEAR)


# JCGM 106 7.3.3, the numbers from memory: -5.47 V, u 0.05, upper -5.40: conforms with 0.92; 509.7 kPa, u 8.6,
# lower 490: with 0.99
@pytest.mark.parametrize(
    ("value", "lower", "upper", "guard", "outside"),
    [
        ("-5.47", None, "-5.40", "0.10", 0.08),
        ("509.7", "490", None, "17.2", 0.01),
    ],
)
def test_the_chance_of_a_wrong_acceptance_is_what_conformance_leaves(
    value: str, lower: str | None, upper: str | None, guard: str, outside: float
) -> None:
    assert chance_outside(judged(value, lower, upper, guard)) == pytest.approx(outside, abs=0.005)


@given(
    value=st.decimals(-5, 5, places=3), upper=st.decimals(0, 3, places=3), guard=st.decimals(1, 4, places=2)
)
def test_the_chance_outside_two_limits_agrees_with_scipy(
    value: Decimal, upper: Decimal, guard: Decimal
) -> None:
    decision = decide(value=value, lower=Decimal(-1), upper=upper, expanded_uncertainty=guard)
    true = scipy.stats.norm(float(value), float(guard) / 2)
    expected = true.cdf(-1) + true.sf(float(upper))
    assert chance_outside(decision) == pytest.approx(expected, rel=1e-9)


def test_a_small_chance_is_not_lost_to_rounding() -> None:
    found = chance_outside(judged("0", None, "9", "2"))  # nine standard uncertainties inside
    assert found == pytest.approx(float(scipy.stats.norm.sf(9)), rel=1e-9)


def test_a_chance_without_uncertainty_is_sure() -> None:
    assert chance_outside(judged("79.95", "79.94", "79.97", "0")) == 0
    assert chance_outside(judged("79.98", "79.94", "79.97", "0")) == 1
    assert chance_outside(judged(None, "79.94", "79.97", "0.006")) is None


# by hand from tables of the normal distribution: 2 u inside is 2.3 %, 3.3 u beyond is less than 0.1 %
@pytest.mark.parametrize(
    ("value", "sentence"),
    [
        ("79.964", "Accepting it is wrong with a chance of 2.3 %."),
        ("79.955", "Accepting it is wrong with a chance of less than 0.1 %."),
        ("79.970", "the chance that it is in truth outside its limit is 50 %."),
        ("79.9765", "The chance that it is in truth within its limit is 1.5 %."),
        ("79.990", "The chance that it is in truth within its limit is less than 0.1 %."),
        (None, ""),
    ],
)
def test_the_risk_is_said_in_words(value: str | None, sentence: str) -> None:
    said = risk_sentence(judged(value, "79.940", "79.970", "0.006"))
    assert said.endswith(sentence) if sentence else said == ""


@given(value=st.decimals(-5, 5, places=3), upper=st.decimals(0, 3, places=3))
def test_with_the_deciding_uncertainty_a_value_is_called_and_with_any_more_it_is_not(
    value: Decimal, upper: Decimal
) -> None:
    needed = deciding_uncertainty(value=value, lower=Decimal(-1), upper=upper)
    assume(needed > 0)
    tiny = Decimal("0.0000001")

    def verdict(guard: Decimal) -> Verdict:
        return decide(value=value, lower=Decimal(-1), upper=upper, expanded_uncertainty=guard).verdict

    assert verdict(needed - tiny) is not Verdict.UNCLEAR
    assert verdict(needed + tiny) is Verdict.UNCLEAR


def test_on_the_limit_itself_no_gauge_decides() -> None:
    assert deciding_uncertainty(value=Decimal(3), lower=None, upper=Decimal(3)) == 0
    with pytest.raises(Refusal, match="no limit"):
        deciding_uncertainty(value=Decimal(3), lower=None, upper=None)
