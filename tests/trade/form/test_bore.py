"""The shape of a bore from section means, held against numpy, exact fractions and bores made by formula."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspect_app.trade.form.bore import (
    ballooning_mm,
    bell_mouth_mm,
    seal_mean_mm,
    section_mean_mm,
    size_range,
    taper_mm,
    taper_mm_per_100,
    washboard_mm,
)
from inspect_app.trade.measuring.refusal import Refusal

diameters = st.decimals(min_value="99.5", max_value="101.5", places=3)


def sections(shape: list[float]) -> list[tuple[Decimal, Decimal]]:
    """Sections every 100 mm with these means over 100 mm."""
    return [(Decimal(100 * k), 100 + Decimal(str(round(over, 9)))) for k, over in enumerate(shape)]


# ---- plain differences


@given(st.lists(diameters, min_size=3, max_size=9), st.randoms(use_true_random=False))
def test_the_differences_of_a_bore_are_exact(means: list[Decimal], shuffled) -> None:  # type: ignore[no-untyped-def]
    # exact rational arithmetic of the standard library
    exact = [Fraction(m) for m in means]
    ends, inner = [exact[0], exact[-1]], exact[1:-1]
    rows = [(Decimal(10 * k), m) for k, m in enumerate(means)]
    shuffled.shuffle(rows)
    assert Fraction(taper_mm(rows)) == abs(exact[0] - exact[-1])
    assert Fraction(ballooning_mm(rows)) == max(inner) - sum(ends) / 2
    assert float(bell_mouth_mm(rows)) == pytest.approx(float(max(ends) - sum(inner) / len(inner)), abs=1e-12)
    assert Fraction(seal_mean_mm(means)) == (max(exact) + min(exact)) / 2
    assert float(section_mean_mm(means)) == pytest.approx(float(sum(exact) / len(exact)), abs=1e-12)


def test_a_barrel_wide_in_the_middle_balloons_and_has_no_bell_mouth_and_no_taper() -> None:
    rows = sections([0.0, 0.05, 0.08, 0.05, 0.0])
    assert taper_mm(rows) == 0  # both ends alike
    assert ballooning_mm(rows) == Decimal("0.08")  # by hand
    assert bell_mouth_mm(rows) < 0


def test_a_barrel_flared_at_one_end_has_a_bell_mouth_and_does_not_balloon() -> None:
    rows = sections([0.09, 0.0, 0.0, 0.0, 0.01])
    assert bell_mouth_mm(rows) == Decimal("0.09")  # by hand
    assert ballooning_mm(rows) == Decimal("-0.05")  # by hand: 0 - (0.09 + 0.01) / 2


def test_a_bore_that_narrows_evenly_is_tapered_by_what_it_loses_from_end_to_end() -> None:
    # by hand: 0.02 a section over four steps, in either direction
    shape = [0.08, 0.06, 0.04, 0.02, 0.0]
    assert taper_mm(sections(shape)) == taper_mm(sections(shape[::-1])) == Decimal("0.08")
    assert ballooning_mm(sections(shape)) == Decimal("0.02")  # 0.06 less the ends' 0.04: no more than a step
    with pytest.raises(Refusal, match="at least 2"):
        taper_mm(sections([0.0]))


def test_the_size_range_is_the_least_and_the_greatest_place() -> None:
    size = size_range([Decimal(d) for d in ("100.058", "100.044", "100.033", "100.047")])
    assert (size.least_mm, size.greatest_mm) == (Decimal("100.033"), Decimal("100.058"))


@pytest.mark.parametrize("judge", [ballooning_mm, bell_mouth_mm])
def test_two_sections_or_one_station_twice_have_no_middle(judge) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(Refusal, match="at least 3"):
        judge(sections([0.0, 0.1]))
    with pytest.raises(Refusal, match="given twice"):
        judge([*sections([0.0, 0.1, 0.0]), (Decimal(100), Decimal(100))])


def test_a_mean_that_is_no_size_is_refused() -> None:
    with pytest.raises(Refusal, match="diameter 2"):
        ballooning_mm([(Decimal(0), Decimal(80)), (Decimal(1), Decimal("NaN")), (Decimal(2), Decimal(80))])
    with pytest.raises(Refusal, match="station 1"):
        ballooning_mm([(Decimal("NaN"), Decimal(80)), (Decimal(1), Decimal(80)), (Decimal(2), Decimal(80))])


# ---- trends


@given(
    st.lists(st.tuples(st.integers(0, 4000), diameters), min_size=2, max_size=10, unique_by=lambda s: s[0])
)
def test_the_slope_is_numpys(rows: list[tuple[int, Decimal]]) -> None:
    slope = np.polyfit([z for z, _ in rows], [float(d) - 100 for _, d in rows], 1)[0] * 100  # numpy
    ours = taper_mm_per_100([(Decimal(z), d) for z, d in rows])
    assert ours == pytest.approx(slope, rel=1e-6, abs=1e-9)


@given(
    st.floats(-0.2, 0.2),
    st.floats(-0.2, 0.2),
    st.lists(st.integers(0, 40), min_size=5, max_size=12, unique=True),
)
def test_taper_ballooning_and_bell_mouth_are_no_washboard(
    slope: float, curve: float, places: list[int]
) -> None:
    rows = [
        (Decimal(100 * z), Decimal(str(round(100 + slope * z / 40 + curve * (z / 40) ** 2, 9))))
        for z in places
    ]
    assert washboard_mm(rows) == pytest.approx(0, abs=1e-6)


@given(st.floats(0.001, 0.1), st.floats(-0.2, 0.2), st.floats(-0.2, 0.2), st.integers(5, 15))
def test_waves_are_found_on_a_tapered_ballooned_bore(
    height: float, slope: float, curve: float, count: int
) -> None:
    shape = [slope * k / count + curve * (k / count) ** 2 + height * (k % 2) for k in range(count)]
    assert washboard_mm(sections(shape)) == pytest.approx(height, abs=1e-7)


def test_the_tallest_of_uneven_waves_counts() -> None:
    # by hand: the ring stands 0.030 - 0.002 = 0.028 mm off the line through its neighbours, the section before it
    # 0.002 - (0 + 0.030) / 2 = -0.013 mm; half of 0.041 mm. A parabola is as far off at every section: it drops out
    shape = [0.002 * (k % 2) for k in range(60)]
    shape[30] = 0.03
    assert washboard_mm(sections(shape)) == pytest.approx(0.0205, abs=1e-9)


def test_four_sections_show_no_washboard() -> None:
    with pytest.raises(Refusal, match="at least 5"):
        washboard_mm(sections([0, 0.1, 0, 0.1]))


def test_one_diameter_is_its_own_least_and_greatest() -> None:
    only = size_range([Decimal("100.04")])
    assert (only.least_mm, only.greatest_mm) == (Decimal("100.04"), Decimal("100.04"))
