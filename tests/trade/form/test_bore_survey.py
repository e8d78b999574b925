"""A grid of bore diameters with gaps, held against numpy and a bore made by formula."""

from __future__ import annotations

import math
from decimal import Decimal

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspect_app.trade.form.bore_survey import Place, survey_bore, survey_section
from inspect_app.trade.measuring.refusal import Refusal

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


def test_the_worn_bore_has_the_trends_numpy_finds() -> None:
    survey = survey_bore(GRID)
    means = np.array(READ, dtype=float).mean(axis=1)  # numpy
    assert [float(s.mean_mm or 0) for s in survey.sections] == pytest.approx(means.tolist())
    assert float(survey.mean_mm or 0) == pytest.approx(means.mean())
    assert float(survey.taper_mm or 0) == pytest.approx(abs(means[0] - means[-1]))
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


def test_the_mean_of_a_section_is_the_weighted_sum_of_what_was_read() -> None:
    # numpy: with a clock missing the first row of the pseudo-inverse of the oval's equations
    grid: dict[Place, Decimal | None] = dict(GRID) | {Place(Decimal(450), Decimal(45)): None}
    whole, short = survey_bore(grid).sections[0], survey_bore(grid).sections[2]
    assert whole.mean_weights == (0.25,) * 4
    t = np.radians([0, 90, 135])
    rows = np.column_stack([np.ones(3), np.cos(2 * t), np.sin(2 * t)])
    assert short.mean_weights == pytest.approx(np.linalg.pinv(rows)[0].tolist())
    read = [100.041, 100.036, 100.037]
    assert float(short.mean_mm or 0) == pytest.approx(np.dot(short.mean_weights, read), abs=1e-6)


def test_a_section_with_two_clocks_missing_has_no_mean_and_says_so() -> None:
    grid = dict(GRID) | {Place(Decimal(450), Decimal(c)): None for c in (0, 90)}
    survey = survey_bore(grid)
    assert survey.sections[2].mean_mm is None
    assert any("450 mm: 12:00, 3:00 was not read" in sentence for sentence in map(str, survey.cannot_say))
    assert survey.ballooning_mm is not None  # both ends and two sections between are known
    assert survey.washboard_mm is None


def test_without_an_end_section_neither_ballooning_nor_bell_mouth_is_said() -> None:
    survey = survey_bore(
        {p: d for p, d in GRID.items() if p.station_mm < 850} | {Place(Decimal(850), Decimal(0)): None}
    )
    assert survey.ballooning_mm is None
    assert survey.bell_mouth_mm is None
    assert any("both end sections" in sentence for sentence in map(str, survey.cannot_say))


def test_two_clocks_at_ninety_degrees_are_said_to_hide_an_oval() -> None:
    survey = survey_bore({p: d for p, d in GRID.items() if p.angle_deg in (0, 90)})
    assert survey.taper_mm is not None
    assert any("an oval can hide" in sentence for sentence in map(str, survey.cannot_say))


def test_two_sections_at_two_clocks_already_have_taper_and_a_size_for_the_seal() -> None:
    survey = survey_bore(
        {p: d for p, d in GRID.items() if p.station_mm in (50, 850) and p.angle_deg in (0, 90)}
    )
    # by hand: (100.058 + 100.044) / 2 = 100.051 and (100.047 + 100.037) / 2 = 100.042, 800 mm apart
    assert [s.seal_mean_mm for s in survey.sections] == [Decimal("100.051"), Decimal("100.042")]
    assert survey.taper_mm == Decimal("0.009")
    assert survey.taper_mm_per_100 == pytest.approx(-0.009 / 8)
    assert not any("Taper" in sentence for sentence in map(str, survey.cannot_say))


def test_one_section_has_no_taper_and_says_so() -> None:
    survey = survey_bore({p: d for p, d in GRID.items() if p.station_mm == 50})
    assert survey.taper_mm is None
    assert "Taper needs the means of 2 sections." in map(str, survey.cannot_say)


def test_a_grid_with_nothing_read_is_refused() -> None:
    with pytest.raises(Refusal, match="at least 1"):
        survey_bore(dict.fromkeys(GRID))


@given(grids())
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
    means = [s.mean_mm for s in survey.sections if s.mean_mm is not None]
    for figure in (survey.taper_mm, survey.ballooning_mm, survey.bell_mouth_mm):
        assert figure is None or figure <= max(means) - min(means)


def test_a_section_with_clocks_missing_keeps_its_sizes() -> None:
    alone = survey_section(Decimal(50), {Decimal(0): Decimal("100.04")}, of=4)
    assert alone.size is not None
    assert (alone.size.least_mm, alone.size.greatest_mm) == (Decimal("100.04"), Decimal("100.04"))
    assert (alone.ovality_mm, alone.mean_mm) == (None, None)
    two = survey_section(Decimal(50), {Decimal(0): Decimal("100.04"), Decimal(90): Decimal("99.96")}, of=4)
    assert two.size is not None
    assert (two.size.least_mm, two.size.greatest_mm) == (Decimal("99.96"), Decimal("100.04"))
    assert (two.ovality_mm, two.mean_mm) == (Decimal("0.08"), None)
