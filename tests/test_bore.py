"""The shape of a bore, held against numpy, exact fractions and bores made by formula."""

from __future__ import annotations

import math
from decimal import Decimal
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inspect_app.trade.bore import (
    Place,
    ballooning_mm,
    bell_mouth_mm,
    seal_mean_mm,
    section_mean_mm,
    size_range,
    survey_bore,
    taper_mm,
    taper_mm_per_100,
    washboard_mm,
)
from inspect_app.trade.refusal import Refusal

# A worn 100 H8 bore: five stations, clocks 12, 1:30, 3 and 4:30.
STATIONS = [50, 250, 450, 650, 850]
CLOCKS = [0, 45, 90, 135]
READ = [
    ["100.058", "100.052", "100.044", "100.050"],
    ["100.049", "100.046", "100.040", "100.043"],
    ["100.041", "100.039", "100.036", "100.037"],
    ["100.038", "100.036", "100.033", "100.035"],
    ["100.047", "100.043", "100.037", "100.041"],
]
GRID = {
    Place(Decimal(z), Decimal(c)): Decimal(d)
    for z, row in zip(STATIONS, READ, strict=True)
    for c, d in zip(CLOCKS, row, strict=True)
}

diameters = st.decimals(min_value="99.5", max_value="101.5", places=3)


def sections(shape: list[float]) -> list[tuple[Decimal, Decimal]]:
    """Sections every 100 mm with these means over 100 mm."""
    return [(Decimal(100 * k), 100 + Decimal(str(round(over, 9)))) for k, over in enumerate(shape)]


@st.composite
def grids(draw: st.DrawFn) -> dict[Place, Decimal | None]:
    """Grids of 1 to 8 stations and 1 to 6 clocks, with any of the places not read."""
    stations = draw(st.lists(st.integers(0, 4000), min_size=1, max_size=8, unique=True))
    clocks = draw(st.integers(1, 6))
    return {
        Place(Decimal(z), Decimal(180 * k) / clocks): draw(st.none() | diameters)
        for z in stations
        for k in range(clocks)
    }


# ---- plain differences


@given(st.lists(diameters, min_size=3, max_size=9), st.randoms(use_true_random=False))
@settings(max_examples=300, deadline=None)
def test_the_differences_of_a_bore_are_exact(means: list[Decimal], shuffled) -> None:  # type: ignore[no-untyped-def]
    # exact rational arithmetic of the standard library
    exact = [Fraction(m) for m in means]
    ends, inner = [exact[0], exact[-1]], exact[1:-1]
    rows = [(Decimal(10 * k), m) for k, m in enumerate(means)]
    shuffled.shuffle(rows)
    assert Fraction(taper_mm(means)) == max(exact) - min(exact)
    assert Fraction(ballooning_mm(rows)) == max(inner) - sum(ends) / 2
    assert float(bell_mouth_mm(rows)) == pytest.approx(float(max(ends) - sum(inner) / len(inner)), abs=1e-12)
    assert Fraction(seal_mean_mm(means)) == (max(exact) + min(exact)) / 2
    assert float(section_mean_mm(means)) == pytest.approx(float(sum(exact) / len(exact)), abs=1e-12)


def test_a_barrel_wide_in_the_middle_balloons_and_has_no_bell_mouth() -> None:
    rows = sections([0.0, 0.05, 0.08, 0.05, 0.0])
    assert ballooning_mm(rows) == Decimal("0.08")  # by hand
    assert bell_mouth_mm(rows) < 0


def test_a_barrel_flared_at_one_end_has_a_bell_mouth_and_does_not_balloon() -> None:
    rows = sections([0.09, 0.0, 0.0, 0.0, 0.01])
    assert bell_mouth_mm(rows) == Decimal("0.09")  # by hand
    assert ballooning_mm(rows) == Decimal("-0.05")  # by hand: 0 - (0.09 + 0.01) / 2


def test_the_size_range_is_the_least_and_the_greatest_place() -> None:
    size = size_range(list(GRID.values()))
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
@settings(max_examples=300, deadline=None)
def test_the_slope_is_numpys(rows: list[tuple[int, Decimal]]) -> None:
    slope = np.polyfit([z for z, _ in rows], [float(d) - 100 for _, d in rows], 1)[0] * 100  # numpy
    ours = taper_mm_per_100([(Decimal(z), d) for z, d in rows])
    assert ours == pytest.approx(slope, rel=1e-6, abs=1e-9)


@given(
    st.floats(-0.2, 0.2),
    st.floats(-0.2, 0.2),
    st.lists(st.integers(0, 40), min_size=5, max_size=12, unique=True),
)
@settings(max_examples=300, deadline=None)
def test_taper_ballooning_and_bell_mouth_are_no_washboard(
    slope: float, curve: float, places: list[int]
) -> None:
    rows = [
        (Decimal(100 * z), Decimal(str(round(100 + slope * z / 40 + curve * (z / 40) ** 2, 9))))
        for z in places
    ]
    assert washboard_mm(rows) == pytest.approx(0, abs=1e-6)


@given(st.floats(0.001, 0.1), st.floats(-0.2, 0.2), st.floats(-0.2, 0.2), st.integers(5, 15))
@settings(max_examples=300, deadline=None)
def test_waves_are_found_on_a_tapered_ballooned_bore(
    height: float, slope: float, curve: float, count: int
) -> None:
    shape = [slope * k / count + curve * (k / count) ** 2 + height * (k % 2) for k in range(count)]
    assert washboard_mm(sections(shape)) == pytest.approx(height, abs=1e-7)


def test_the_tallest_of_uneven_waves_counts() -> None:
    # by hand: in a long bore waves of 0.002 mm with one of 0.03 mm; a lone ring stands 3/4 of its height
    shape = [0.002 * (k % 2) for k in range(60)]
    shape[30] = 0.03
    assert washboard_mm(sections(shape)) == pytest.approx(0.0225, abs=0.002)


def test_four_sections_show_no_washboard() -> None:
    with pytest.raises(Refusal, match="at least 5"):
        washboard_mm(sections([0, 0.1, 0, 0.1]))


# ---- the grid


def test_the_worn_bore_has_the_trends_numpy_finds() -> None:
    survey = survey_bore(GRID)
    means = np.array(READ, dtype=float).mean(axis=1)  # numpy
    assert [float(s.mean_mm or 0) for s in survey.sections] == pytest.approx(means.tolist())
    assert float(survey.mean_mm or 0) == pytest.approx(means.mean())
    assert float(survey.taper_mm or 0) == pytest.approx(means.max() - means.min())
    assert survey.taper_mm_per_100 == pytest.approx(np.polyfit(STATIONS, means, 1)[0] * 100)


def test_the_worn_bore_is_widest_at_the_gland_on_twelve_and_beyond_h8_only_there() -> None:
    survey = survey_bore(GRID)
    assert survey.greatest_at == (50, 0)
    assert survey.least_at == (650, 90)
    h8_upper = Decimal("100.054")  # ISO 286-2: 100 H8 is 0/+54 µm
    assert [place for place, d in GRID.items() if d > h8_upper] == [survey.greatest_at]
    assert max(s.mean_mm or 0 for s in survey.sections) < h8_upper  # a mean would have hidden it


def test_every_section_has_its_ovality_as_read_and_as_fitted() -> None:
    survey = survey_bore(GRID)
    raw = [max(map(Decimal, row)) - min(map(Decimal, row)) for row in READ]
    assert [s.ovality_mm for s in survey.sections] == raw
    assert survey.worst_ovality_mm == max(raw)
    rows = np.column_stack([np.ones(4), np.cos(2 * np.radians(CLOCKS)), np.sin(2 * np.radians(CLOCKS))])
    for section, row in zip(survey.sections, READ, strict=True):
        _, a, b = np.linalg.lstsq(rows, np.array(row, dtype=float), rcond=None)[0]  # numpy
        assert section.oval is not None
        assert section.oval.ovality_mm == pytest.approx(2 * math.hypot(a, b))


def test_nothing_is_left_unsaid_of_a_full_grid() -> None:
    survey = survey_bore(GRID)
    assert survey.missing == ()
    assert survey.cannot_say == ()


def oval(angle_deg: Decimal, *, mean_mm: float = 100.0) -> Decimal:
    """A bore 0.04 oval, widest towards 2 o'clock."""
    return Decimal(str(round(mean_mm + 0.02 * math.cos(2 * math.radians(float(angle_deg) - 60)), 6)))


@pytest.mark.parametrize("lost", CLOCKS)
def test_a_section_with_a_clock_missing_takes_its_mean_from_the_oval(lost: int) -> None:
    # simulation: a known oval; the plain mean of three clocks would be off by up to 0.007 mm
    grid: dict[Place, Decimal | None] = {p: oval(p.angle_deg) for p in GRID}
    grid[Place(Decimal(450), Decimal(lost))] = None
    survey = survey_bore(grid)
    assert survey.sections[2].mean_mm == pytest.approx(Decimal(100), abs=Decimal("2e-6"))
    assert survey.taper_mm == pytest.approx(0, abs=Decimal("2e-6"))
    assert survey.missing == ((450, lost),)


def test_a_section_with_two_clocks_missing_has_no_mean_and_says_so() -> None:
    grid = dict(GRID) | {Place(Decimal(450), Decimal(c)): None for c in (0, 90)}
    survey = survey_bore(grid)
    assert survey.sections[2].mean_mm is None
    assert any("At 450 mm 12:00, 3:00 was not read" in sentence for sentence in survey.cannot_say)
    assert survey.ballooning_mm is not None  # both ends and two sections between are known
    assert survey.washboard_mm is None


def test_without_an_end_section_neither_ballooning_nor_bell_mouth_is_said() -> None:
    survey = survey_bore(
        {p: d for p, d in GRID.items() if p.station_mm < 850} | {Place(Decimal(850), Decimal(0)): None}
    )
    assert survey.ballooning_mm is None
    assert survey.bell_mouth_mm is None
    assert any("both end sections" in sentence for sentence in survey.cannot_say)


def test_two_clocks_at_ninety_degrees_are_said_to_hide_an_oval() -> None:
    survey = survey_bore({p: d for p, d in GRID.items() if p.angle_deg in (0, 90)})
    assert survey.taper_mm is not None
    assert any("an oval can hide" in sentence for sentence in survey.cannot_say)


def test_two_sections_at_two_clocks_already_have_taper_and_a_size_for_the_seal() -> None:
    survey = survey_bore(
        {p: d for p, d in GRID.items() if p.station_mm in (50, 850) and p.angle_deg in (0, 90)}
    )
    # by hand: (100.058 + 100.044) / 2 = 100.051 and (100.047 + 100.037) / 2 = 100.042, 800 mm apart
    assert [s.seal_mean_mm for s in survey.sections] == [Decimal("100.051"), Decimal("100.042")]
    assert survey.taper_mm == Decimal("0.009")
    assert survey.taper_mm_per_100 == pytest.approx(-0.009 / 8)
    assert not any("Taper" in sentence for sentence in survey.cannot_say)


def test_one_section_has_no_taper_and_says_so() -> None:
    survey = survey_bore({p: d for p, d in GRID.items() if p.station_mm == 50})
    assert survey.taper_mm is None
    assert "Taper needs the means of 2 sections." in survey.cannot_say


def test_a_grid_with_nothing_read_is_refused() -> None:
    with pytest.raises(Refusal, match="at least 1"):
        survey_bore(dict.fromkeys(GRID))


@given(grids())
@settings(max_examples=300, deadline=None)
def test_any_grid_is_surveyed_without_nonsense(grid: dict[Place, Decimal | None]) -> None:
    read = [d for d in grid.values() if d is not None]
    if not read:
        with pytest.raises(Refusal):
            survey_bore(grid)
        return
    survey = survey_bore(grid)
    assert (survey.size.least_mm, survey.size.greatest_mm) == (min(read), max(read))
    assert grid[survey.least_at] == min(read)
    assert len(survey.missing) + len(read) == len(grid)
    assert bool(survey.missing) <= bool(survey.cannot_say)
    for signed in (survey.taper_mm, survey.worst_ovality_mm, survey.washboard_mm):
        assert signed is None or signed >= 0
    if survey.ballooning_mm is not None and survey.bell_mouth_mm is not None and survey.taper_mm is not None:
        assert max(survey.ballooning_mm, survey.bell_mouth_mm) <= survey.taper_mm
