"""Roughness, held against calculus, numpy, pint and the published grade table."""

from __future__ import annotations

import math
from decimal import Decimal
from functools import cache
from pathlib import Path

import numpy as np
import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from inspect_app.tables.faults import Reader
from inspect_app.tables.standards.texture import read_ra_steps
from inspect_app.trade.form.texture import (
    cut_off_for,
    grade_by_uin_label,
    grade_of,
    ra_um,
    rq_um,
    rt_um,
    rz_um,
    uin_from_um,
    um_from_uin,
)
from inspect_app.trade.measuring.refusal import Refusal


@cache
def units() -> pint.UnitRegistry[Decimal]:
    """A unit library's own registry, made by whoever asks first."""
    return pint.UnitRegistry(non_int_type=Decimal)


CHECKLISTS = Path(__file__).parents[3] / "checklists"
STEPS = read_ra_steps(Reader(CHECKLISTS))

# N grades of ISO 1302:1992 as three public handbook tables print them: µm and the rounded µin beside it.
GRADES = [
    *[("N1", "0.025", 1), ("N2", "0.05", 2), ("N3", "0.1", 4), ("N4", "0.2", 8), ("N5", "0.4", 16)],
    *[("N6", "0.8", 32), ("N7", "1.6", 63), ("N8", "3.2", 125), ("N9", "6.3", 250), ("N10", "12.5", 500)],
    *[("N11", "25", 1000), ("N12", "50", 2000)],
]

heights = st.lists(st.floats(-20, 20, allow_subnormal=False), min_size=10, max_size=200)


# ---- heights


@pytest.mark.parametrize("amplitude", [0.1, 2.0])
def test_a_sine_has_the_roughness_calculus_gives_it(amplitude: float) -> None:
    # mean |A sin x| = 2A/pi and root mean square A/√2, integrated by scipy over one wave; Rz = Rt = 2A
    wave = [amplitude * math.sin(2 * math.pi * k / 1000) + 7 for k in range(5000)]
    mean, _ = quad(lambda x: amplitude * abs(math.sin(x)) / (2 * math.pi), 0, 2 * math.pi, points=[math.pi])
    square, _ = quad(lambda x: (amplitude * math.sin(x)) ** 2 / (2 * math.pi), 0, 2 * math.pi)
    assert ra_um(wave) == pytest.approx(mean, rel=1e-4)
    assert rq_um(wave) == pytest.approx(math.sqrt(square), rel=1e-9)
    assert rz_um(wave) == pytest.approx(2 * amplitude)
    assert rt_um(wave) == pytest.approx(2 * amplitude)


@given(heights)
def test_the_heights_give_what_numpy_gives(z: list[float]) -> None:
    about = np.array(z) - np.mean(z)
    assert ra_um(z) == pytest.approx(np.mean(np.abs(about)), abs=1e-9)
    assert rq_um(z) == pytest.approx(np.std(z), abs=1e-9)
    assert rt_um(z) == pytest.approx(np.ptp(z), abs=1e-9)
    assert ra_um(z) <= rq_um(z) + 1e-9
    assert rz_um(z) <= rt_um(z) + 1e-9
    assert rz_um(z, sections=1) == pytest.approx(rt_um(z))


def test_rz_is_the_mean_of_the_sections_not_their_greatest() -> None:
    # by hand: five sections of height 1, 2, 3, 4 and 5
    assert rz_um([0, 1, 0, 2, 0, 3, 0, 4, 0, 5]) == pytest.approx(3)


def test_one_scratch_raises_rt_by_its_depth_and_rz_by_a_fifth_of_it() -> None:
    trace = [0.2 * (-1) ** k for k in range(100)]
    scratched = [*trace[:50], -5.2, *trace[51:]]  # by hand: 5 µm deeper than the valleys
    assert rt_um(scratched) - rt_um(trace) == pytest.approx(5)
    assert rz_um(scratched) - rz_um(trace) == pytest.approx(1)


def test_two_heights_are_the_shortest_trace() -> None:
    # by hand: 1 µm above and below their mean
    assert (ra_um([1, 3]), rq_um([1, 3]), rt_um([1, 3]), rz_um([1, 3], sections=1)) == (1, 1, 2, 2)


@pytest.mark.parametrize("judge", [ra_um, rq_um, rt_um, rz_um])
def test_a_trace_too_short_or_not_numbers_is_refused(judge) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(Refusal, match="1 heights were given"):
        judge([0.1])
    with pytest.raises(Refusal, match="height 2"):
        judge([0.1, math.nan, *[0.2] * 10])


def test_no_sections_are_refused() -> None:
    with pytest.raises(Refusal, match="at least 1"):
        rz_um([0.1, 0.2], sections=0)


# ---- grades, labels, cut-off


@pytest.mark.parametrize(("grade", "um", "uin"), GRADES)
def test_the_table_carries_the_published_grades(grade: str, um: str, uin: int) -> None:
    assert grade_of(Decimal(um), steps=STEPS).grade == grade
    assert grade_by_uin_label(Decimal(uin), steps=STEPS).ra_um == Decimal(um)


def test_no_other_grades_stand_in_the_table() -> None:
    assert [step.grade for step in STEPS if step.grade] == [grade for grade, _, _ in GRADES]


@pytest.mark.parametrize(("grade", "um", "uin"), GRADES)
def test_a_label_is_its_microns_rounded(grade: str, um: str, uin: int) -> None:
    # pint 0.25: the exact conversion lies within 2 % of every label
    exact = units().Quantity(Decimal(um), "micrometer").to("microinch").magnitude
    assert uin == pytest.approx(exact, rel=Decimal("0.02"))


def test_a_surface_just_over_a_grade_belongs_to_the_next() -> None:
    assert grade_of(Decimal("0.41"), steps=STEPS).grade == "N6"
    with pytest.raises(Refusal, match="coarser"):
        grade_of(Decimal("50.1"), steps=STEPS)


def test_a_label_that_is_none_is_refused_with_those_that_are() -> None:
    with pytest.raises(Refusal, match="labels are 1, 2, 4, 8, 16"):
        grade_by_uin_label(Decimal(15), steps=STEPS)


@given(st.decimals(min_value=0, max_value=4000, places=2))
def test_a_measured_roughness_converts_as_pint_does(uin: Decimal) -> None:
    assert um_from_uin(uin) == units().Quantity(uin, "microinch").to("micrometer").magnitude
    assert uin_from_um(um_from_uin(uin)) == pytest.approx(uin)


# Default cut-offs by Ra as a public sheet of ISO 21920-3 and a roughness tester's manual print them.
@pytest.mark.parametrize(
    ("ra", "cut_off", "evaluation"),
    [
        *[("0.02", "0.08", "0.4"), ("0.021", "0.25", "1.25"), ("0.1", "0.25", "1.25"), ("0.11", "0.8", "4")],
        *[("0.3", "0.8", "4"), ("2", "0.8", "4"), ("2.1", "2.5", "12.5"), ("10", "2.5", "12.5")],
        *[("10.1", "8", "40"), ("60", "8", "40")],
    ],
)
def test_the_cut_off_goes_by_ra(ra: str, cut_off: str, evaluation: str) -> None:
    step = cut_off_for(Decimal(ra), steps=STEPS)
    assert (step.cut_off_mm, step.evaluation_mm) == (Decimal(cut_off), Decimal(evaluation))


def test_the_evaluation_length_is_five_cut_offs() -> None:
    # ISO 21920-3: five sections by default
    assert all(step.evaluation_mm == 5 * step.cut_off_mm for step in STEPS)


def test_an_empty_table_gives_no_cut_off() -> None:
    with pytest.raises(Refusal, match="empty"):
        cut_off_for(Decimal("0.4"), steps=[])


@pytest.mark.parametrize("judge", [um_from_uin, uin_from_um])
def test_a_roughness_below_nothing_is_refused(judge) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(Refusal, match="negative"):
        judge(Decimal(-1))


@pytest.mark.parametrize(
    ("row", "place"),
    [
        ("rough,N5,16,0.8,4,iso-1302-1992", "ra_um"),
        ("-0.4,N5,16,0.8,4,iso-1302-1992", "ra_um"),
        ("0.4,M5,16,0.8,4,iso-1302-1992", "grade"),
        ("0.4,N5,sixteen,0.8,4,iso-1302-1992", "ra_uin"),
        ("0.4,N5,16,,4,iso-1302-1992", "cut_off_mm"),
        ("0.4,N5,16,0.8,4,", "source"),
    ],
)
def test_a_bad_cell_is_a_fault_by_line_and_column(row: str, place: str, tmp_path: Path) -> None:
    head = "ra_um,grade,ra_uin,cut_off_mm,evaluation_mm,source"
    (tmp_path / "standards").mkdir()
    (tmp_path / "standards/roughness_grades.csv").write_text(f"{head}\n{row}\n", encoding="utf-8")
    reader = Reader(tmp_path)
    assert read_ra_steps(reader) == ()
    assert [fault.key for fault in reader.faults] == [f"line 2, {place}"]
