"""Straightness of rods by total readings and heights, held against scipy, the trade's example and geometry."""

from __future__ import annotations

import math
from decimal import Decimal

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.optimize import linprog

from inspect_app.trade.form.straightness import (
    bow_from_tir_mm,
    sag_mm,
    seen_share,
    straightness_mm,
    survey_tir,
    tir_per_metre,
    worst_bend_per_metre,
)
from inspect_app.trade.measuring.refusal import Refusal

millimetres = st.integers(-400, 400).map(lambda um: um / 1000)


# ---- total readings


def test_a_bent_round_rod_shows_twice_its_bow() -> None:
    # brute force: a circle whose centre lies 0.12 mm off, dial straight above, turned a degree at a time
    off, radius = 0.12, 40.0
    tops = []
    for degree in range(360):
        t = math.radians(degree)
        tops.append(off * math.cos(t) + math.sqrt(radius**2 - (off * math.sin(t)) ** 2))
    tir = Decimal(str(round(max(tops) - min(tops), 6)))
    assert bow_from_tir_mm(tir) == Decimal("0.12")


def test_the_guides_example_of_a_1300_mm_span_is_065_mm() -> None:
    # cylinder repair articles: supports 1300 mm apart, 0.5 mm per metre allows 0.65 mm on the dial
    assert tir_per_metre(tir_mm=Decimal("0.65"), span_mm=Decimal(1300)) == Decimal("0.5")


def test_a_survey_names_the_worst_station_and_its_bow() -> None:
    readings = [
        (Decimal(300), Decimal("0.21")),
        (Decimal(650), Decimal("0.65")),
        (Decimal(1000), Decimal("0.30")),
    ]
    survey = survey_tir(readings, span_mm=Decimal(1300))
    assert (survey.station_mm, survey.tir_mm, survey.bow_mm) == (650, Decimal("0.65"), Decimal("0.325"))
    assert survey.tir_mm_per_m == Decimal("0.5")  # the guide's example, above
    # by hand: 0.65 - (0.21 + 0.30) / 2 = 0.395 over 0.7 m
    assert survey.bend_mm_per_m == pytest.approx(Decimal("0.395") / Decimal("0.7"))


def test_a_survey_of_two_stations_says_nothing_of_local_bends() -> None:
    assert (
        survey_tir([(Decimal(1), Decimal(0)), (Decimal(2), Decimal(0))], span_mm=Decimal(9)).bend_mm_per_m
        is None
    )


@pytest.mark.parametrize("wrong", ["-0.01", "NaN", "Infinity"])
def test_a_total_reading_below_nothing_is_refused(wrong: str) -> None:
    with pytest.raises(Refusal):
        bow_from_tir_mm(Decimal(wrong))
    with pytest.raises(Refusal):
        survey_tir([(Decimal(1), Decimal(wrong))], span_mm=Decimal(1000))
    with pytest.raises(Refusal):
        worst_bend_per_metre(
            [(Decimal(1), Decimal(wrong)), (Decimal(2), Decimal(0)), (Decimal(3), Decimal(0))]
        )


def test_a_station_twice_or_only_two_have_no_local_bend() -> None:
    with pytest.raises(Refusal, match="given twice"):
        worst_bend_per_metre([(Decimal(1), Decimal(0)), (Decimal(1), Decimal(0)), (Decimal(3), Decimal(0))])
    with pytest.raises(Refusal, match="at least 3"):
        worst_bend_per_metre([(Decimal(1), Decimal(0)), (Decimal(2), Decimal(0))])


# ---- a profile


def linprog_strip(profile: list[tuple[float, float]]) -> float:
    """scipy.optimize.linprog: least h with every height within h of a straight line; the strip is 2h."""
    x = np.array([z for z, _ in profile]) / 1000
    y = np.array([h for _, h in profile])
    rows = np.column_stack([np.ones_like(x), x])
    ones = np.ones((len(x), 1))
    found = linprog(
        [0, 0, 1],
        A_ub=np.vstack([np.hstack([rows, -ones]), np.hstack([-rows, -ones])]),
        b_ub=np.concatenate([y, -y]),
        bounds=[(None, None), (None, None), (0, None)],
    )
    return 2 * float(found.fun)


@given(
    st.lists(st.tuples(st.integers(0, 6000), millimetres), min_size=3, max_size=20, unique_by=lambda p: p[0])
)
def test_the_strip_that_holds_a_profile_is_linprogs(profile: list[tuple[float, float]]) -> None:
    assert straightness_mm(profile) == pytest.approx(linprog_strip(profile), abs=1e-9)


def test_a_profile_with_a_station_twice_is_refused() -> None:
    with pytest.raises(Refusal, match="given twice"):
        straightness_mm([(0, 0.0), (0, 0.1), (1, 0.0)])


# ---- supports and weight


@pytest.mark.parametrize("inset", [0, 60, 120, 240, 500])
def test_inboard_supports_show_the_share_an_arc_and_a_kink_have_there(inset: float) -> None:
    # simulation: height at mid-span over the straight line through the supports, over the same from the ends
    length = 1200.0

    def arc(z: float) -> float:
        radius = 1e7
        return math.sqrt(radius**2 - (z - length / 2) ** 2)

    def kink(z: float) -> float:
        return -abs(z - length / 2) * 0.001

    def seen(axis, z: float) -> float:  # type: ignore[no-untyped-def]
        return float(axis(length / 2) - (axis(z) + axis(length - z)) / 2)

    share = seen_share(inset_mm=inset, length_mm=length)
    assert share.arc == pytest.approx(seen(arc, inset) / seen(arc, 0), abs=1e-5)
    assert share.kink == pytest.approx(seen(kink, inset) / seen(kink, 0))


def test_supports_that_meet_are_refused() -> None:
    with pytest.raises(Refusal, match="meet"):
        seen_share(inset_mm=600, length_mm=1200)


@pytest.mark.parametrize(("diameter", "span"), [(50, 1000), (50, 2000), (80, 2000), (100, 3000)])
def test_the_sag_is_the_work_of_the_weight(diameter: float, span: float) -> None:
    # unit-load method, integrated by scipy: sag = ∫ M(x) m(x) / EI dx over the span
    modulus, density, gravity = 206_000.0, 7850.0, 9.80665
    weight = density * 1e-9 * gravity * math.pi / 4 * diameter**2
    stiffness = modulus * math.pi / 64 * diameter**4
    half, _ = quad(lambda x: weight * x * (span - x) / 2 * (x / 2) / stiffness, 0, span / 2)
    ours = sag_mm(diameter_mm=diameter, span_mm=span, elastic_modulus_mpa=modulus, density_kg_m3=density)
    assert ours == pytest.approx(2 * half)


@pytest.mark.parametrize("name", ["diameter_mm", "span_mm", "elastic_modulus_mpa", "density_kg_m3"])
def test_a_rod_of_nothing_has_no_sag(name: str) -> None:
    rod = {"diameter_mm": 50, "span_mm": 2000, "elastic_modulus_mpa": 206_000, "density_kg_m3": 7850}
    with pytest.raises(Refusal, match=name.split("_")[0]):
        sag_mm(**{**rod, name: 0})


def test_what_is_wrong_with_a_reading_is_named_by_its_station() -> None:
    good = [(Decimal(0), Decimal(0)), (Decimal(500), Decimal("0.1"))]
    with pytest.raises(Refusal, match=r"A station is given twice"):
        worst_bend_per_metre([*good, good[0]])
    with pytest.raises(Refusal, match=r"^2 stations were given"):
        worst_bend_per_metre(good)
    with pytest.raises(Refusal, match=r"^station 3 is nan"):
        worst_bend_per_metre([*good, (Decimal("NaN"), Decimal(0))])
    with pytest.raises(Refusal, match=r"^TIR of station 3 is -0.1 mm"):
        worst_bend_per_metre([*good, (Decimal(900), Decimal("-0.1"))])
