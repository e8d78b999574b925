"""Unlikely sizes on a nameplate are asked about and usual cylinders are not."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspect_app.trade.measuring.nameplate_sizes import nameplate_doubts
from inspect_app.trade.measuring.plausible import Doubt
from inspect_app.trade.measuring.quantities import read


def plate(
    bore: str | None = None, rod: str | None = None, stroke: str | None = None, pressure: str | None = None
) -> tuple[Doubt, ...]:
    bore_mm, rod_mm, stroke_mm, mpa = (
        None if one is None else Decimal(one) for one in (bore, rod, stroke, pressure)
    )
    return nameplate_doubts(bore_mm=bore_mm, rod_mm=rod_mm, stroke_mm=stroke_mm, pressure_mpa=mpa)


@pytest.mark.parametrize(
    ("bore", "rod", "stroke", "pressure"),
    [  # usual cylinders; bores, rods and pressures from ISO 3320 and ISO 3322 as known from memory
        ("63", "36", "400", "16"),
        ("100", "50", "800", "25"),
        ("125", "90", "1200", "31.5"),
        ("200", "140", "3000", "25"),
        ("320", "220", "6000", "35"),
        ("50.8", "28.575", "304.8", "20.68"),  # 2 in bore, 1 1/8 in rod, 12 in stroke, 3000 psi
        ("101.6", "63.5", "609.6", "20.68"),
    ],
)
def test_usual_cylinders_raise_no_question(bore: str, rod: str, stroke: str, pressure: str) -> None:
    assert plate(bore, rod, stroke, pressure) == ()


@pytest.mark.parametrize(
    ("bore", "rod"),
    [  # every preferred bore (40 and up) and rod of ISO 3320, as known from memory, each in a usual pair
        ("40", "22"), ("40", "28"), ("50", "28"), ("50", "36"), ("63", "45"), ("80", "45"), ("80", "56"),
        ("100", "56"), ("100", "70"), ("125", "70"), ("125", "90"), ("160", "90"), ("160", "110"), ("200", "110"),
        ("25", "12"), ("25", "14"), ("25", "18"), ("32", "16"), ("32", "18"), ("32", "20"), ("25", "8"), ("40", "32"),
    ],
)  # fmt: skip
def test_the_preferred_sizes_raise_no_question(bore: str, rod: str) -> None:
    assert plate(bore, rod) == ()


@pytest.mark.parametrize(
    ("bore", "twin"),
    [("50.8", "50"), ("63.5", "63"), ("76.2", "75"), ("101.6", "100"), ("127", "125"), ("254", "250")],
)
def test_an_inch_bore_alone_is_asked_against_its_metric_twin(bore: str, twin: str) -> None:
    (question,) = plate(bore)
    assert question.meant == Decimal(twin)


@pytest.mark.parametrize(("bore", "twin"), [("76", "76.2"), ("102", "101.6"), ("62.9", "63"), ("51", "50.8")])
def test_a_bore_that_is_neither_is_asked_with_the_nearer_size(bore: str, twin: str) -> None:
    (question,) = plate(bore)
    assert question.meant == Decimal(twin)


def test_a_metric_bore_beside_an_inch_rod_is_asked_about() -> None:
    assert {one.meant for one in plate("50", "25.4")} == {Decimal("50.8"), Decimal(25)}


@pytest.mark.parametrize(
    ("bore", "rod", "meant"),
    [("100", "500", "50"), ("8", "45", "80"), ("100", "2", "50.8"), ("100", "5", "50")],
)
def test_a_rod_that_cannot_go_with_its_bore_is_asked_with_the_likely_slip(
    bore: str, rod: str, meant: str
) -> None:
    assert plate(bore, rod)[0].meant == Decimal(meant)


def test_bore_and_rod_exchanged_are_named() -> None:
    (question,) = plate("50", "80")
    assert "swapped" in question.why
    assert "not smaller" in question.sentence


@pytest.mark.parametrize(
    ("keyed_mpa", "meant_mpa"),
    [
        ("2.5", "25"),  # 25 keyed as bar, the plate says 25 MPa
        ("210", "21"),  # 210 keyed as MPa, the plate says 210 bar
        ("5000", None),  # far beyond any hydraulic plate; 5000 psi = 34.47 MPa
    ],
)
def test_a_pressure_in_the_wrong_unit_is_asked_about(keyed_mpa: str, meant_mpa: str | None) -> None:
    (question,) = plate(pressure=keyed_mpa)
    expected = read("5000 psi", kind="pressure").value if meant_mpa is None else Decimal(meant_mpa)
    meant = question.meant
    assert meant == expected or (meant is None and str(expected * 10) in question.sentence)


def test_psi_keyed_as_bar_is_asked_about() -> None:
    (question,) = plate(pressure="350")  # 3500 on a bar screen: 3500 psi = 241.3 bar, or 350 bar
    assert "241.3 bar" in question.sentence
    assert "350 bar" in question.sentence


def test_a_stroke_in_metres_is_asked_about() -> None:
    (question,) = plate(stroke="0.3")
    assert question.meant == 300


@pytest.mark.parametrize(
    ("bore", "rod", "stroke", "pressure", "is_asked"),
    [
        # rods from 0.23 to 0.90 of the bore: area ratios 1 / (1 - (d/D)²) of 1.06 to 5
        ("100", "25", None, None, False),
        ("100", "22", None, None, True),
        ("100", "90", None, None, False),
        ("100", "95", None, None, True),
        # strokes of 10 mm to 15 m, rated pressures of 3 to 70 MPa
        (None, None, "10", None, False),
        (None, None, "9", None, True),
        (None, None, "15000", None, False),
        (None, None, "15001", None, True),
        (None, None, None, "3", False),
        (None, None, None, "2.9", True),
        (None, None, None, "70", False),
        (None, None, None, "71", True),
        # 69.85 (2 3/4 in) is 2.3 % from 68.3, and 70 farther: neither is a twin within 2 %
        ("68.3", None, None, None, False),
        ("68.6", None, None, None, True),
    ],
)
def test_sizes_are_ordinary_up_to_the_bounds_and_asked_about_beyond(
    bore: str | None, rod: str | None, stroke: str | None, pressure: str | None, is_asked: bool
) -> None:
    assert bool(plate(bore, rod, stroke, pressure)) is is_asked


@pytest.mark.parametrize("bad", ["0", "-5"])
def test_a_size_not_above_zero_is_asked_about_and_breaks_nothing(bad: str) -> None:
    (question,) = plate(bore=bad, rod="50")
    assert "Bore" in question.sentence


@given(st.lists(st.none() | st.decimals("-10", "100000", places=3), min_size=4, max_size=4))
def test_any_nameplate_is_asked_about_or_not_and_nothing_else(sizes: list[Decimal | None]) -> None:
    bore, rod, stroke, pressure = sizes
    questions = nameplate_doubts(bore_mm=bore, rod_mm=rod, stroke_mm=stroke, pressure_mpa=pressure)
    if all(size is None or size > 0 for size in sizes) and bore and rod and rod >= bore:
        assert "not smaller" in questions[0].sentence
