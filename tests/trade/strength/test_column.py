"""Rods under push against textbook answers, finite elements and the bent column's equation."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from decimal import Decimal
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_bvp
from scipy.linalg import eigh

from inspect_app.tables import shipped_folder
from inspect_app.tables.faults import Reader
from inspect_app.tables.sources import load_sources
from inspect_app.tables.standards.mountings import load_mountings
from inspect_app.trade.form.straightness import bow_from_tir_mm
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.strength.bowed_rod import (
    bow_over_length_mm,
    bow_stress_mpa,
    bow_yield_force_n,
    push_capacity,
    secant_force_n,
    secant_stress_mpa,
)
from inspect_app.trade.strength.column import (
    ColumnSection,
    Mounting,
    Segment,
    buckling,
    equivalent_length_mm,
    euler_force_n,
    round_section,
    stepped_column_force_n,
    transition_slenderness,
)
from inspect_app.trade.strength.force import push_force_n

E_MPA = 210e3

a_rod = st.floats(16, 320)
a_slenderness = st.floats(10, 300)
a_yield = st.floats(275, 900)


def finite_element_force_n(
    segments: Sequence[Segment], elastic: float, held: Sequence[int], per_segment: int = 24
) -> float:
    """Least buckling load by beam elements; `held`: 0 and -2 the ends' places, 1 and -1 their slopes."""
    lengths = [s.length_mm / per_segment for s in segments for _ in range(per_segment)]
    inertias = [s.inertia_mm4 for s in segments for _ in range(per_segment)]
    size = 2 * (len(lengths) + 1)
    stiff, geometric = np.zeros((size, size)), np.zeros((size, size))
    for n, (h, inertia) in enumerate(zip(lengths, inertias, strict=True)):
        at = slice(2 * n, 2 * n + 4)
        stiff[at, at] += (
            elastic
            * inertia
            / h**3
            * np.array(
                [
                    [12, 6 * h, -12, 6 * h],
                    [6 * h, 4 * h * h, -6 * h, 2 * h * h],
                    [-12, -6 * h, 12, -6 * h],
                    [6 * h, 2 * h * h, -6 * h, 4 * h * h],
                ]
            )
        )
        geometric[at, at] += (
            1
            / (30 * h)
            * np.array(
                [
                    [36, 3 * h, -36, 3 * h],
                    [3 * h, 4 * h * h, -3 * h, -h * h],
                    [-36, -3 * h, 36, -3 * h],
                    [3 * h, -h * h, -3 * h, 4 * h * h],
                ]
            )
        )
    free = np.delete(np.arange(size), [index % size for index in held])
    # geometric is positive definite once held: invert the problem so the largest eigenvalue is 1/P
    largest = eigh(
        geometric[np.ix_(free, free)],
        stiff[np.ix_(free, free)],
        eigvals_only=True,
        subset_by_index=[len(free) - 1] * 2,
    )
    return float(1 / largest[0])


PINNED = (0, -2)


def bent_column_stress(
    section: ColumnSection, force: float, length: float, elastic: float, bow: float = 0.0, off: float = 0.0
) -> float:
    """Greatest stress from E I y'' = -P (y + bow sin(pi x / L) + off), y(0) = y(L) = 0 (scipy.solve_bvp)."""

    def away(x: Any, y: Any) -> Any:
        return y + bow * np.sin(np.pi * x / length) + off

    x = np.linspace(0, length, 101)
    solved = solve_bvp(
        lambda x, y: np.vstack([y[1], -force / (elastic * section.inertia_mm4) * away(x, y[0])]),
        lambda a, b: np.array([a[0], b[0]]),
        x,
        np.zeros((2, x.size)),
        tol=1e-8,
    )
    assert solved.success
    moment = force * float(away(length / 2, solved.sol(length / 2)[0]))
    return force / section.area_mm2 + moment * section.extreme_mm / section.inertia_mm4


# --- straight columns, as textbooks print them ---


@pytest.mark.parametrize(
    ("inertia", "length", "elastic", "printed", "rel"),
    [
        # inch, lbf, psi: Mott's compression member 1.25 in round, 54 in, printed 12 169 lbf
        pytest.param(math.pi * 1.25**4 / 64, 54, 30e6, 12_169, 5e-4, id="Mott"),
        pytest.param(math.pi * (75**4 - 70**4) / 4, 7200, 200e3, 228_200, 5e-4, id="Hibbeler 13.1"),
        pytest.param(15.3e6, 4000, 200e3, 1_887_600, 5e-4, id="Hibbeler 13.2, weak axis"),
        pytest.param(math.pi * 50**4 / 64, 2000, 205e3, 5 * 31_040, 5e-4, id="amesweb"),
        pytest.param(math.pi * 500**4 / 64, 20_000, 200e3, 15.14e6, 5e-4, id="ANSYS course"),
        pytest.param(math.pi * 37.48**4 / 64, 1500, 207e3, 4 * 22_000, 1e-3, id="Shigley 4-18, from memory"),
    ],
)
def test_euler_force_as_printed(
    inertia: float, length: float, elastic: float, printed: float, rel: float
) -> None:
    column = ColumnSection(area_mm2=1, inertia_mm4=inertia, extreme_mm=1)
    got = euler_force_n(column, effective_length_mm=length, elastic_mpa=elastic)
    assert got == pytest.approx(printed, rel=rel)


@pytest.mark.parametrize(
    ("held", "factor", "printed_kn"),
    [
        pytest.param(PINNED, 1, 62.2, id="pinned, pinned"),
        pytest.param((0, 1), 2, 15.6, id="fixed, free"),
        pytest.param((0, 1, -2), 0.699, 127, id="fixed, pinned"),
        pytest.param((0, 1, -2, -1), 0.5, 249, id="fixed, fixed"),
    ],
)
def test_gere_tube_40_over_36_with_four_ways_of_holding_it(
    held: Sequence[int], factor: float, printed_kn: float
) -> None:
    # Gere 11.4-2, 1.2 m, E 210 GPa; beside it finite elements
    tube = round_section(outside_mm=40, inside_mm=36)
    got = euler_force_n(tube, effective_length_mm=1200 * factor, elastic_mpa=E_MPA)
    assert got / 1000 == pytest.approx(printed_kn, rel=4e-3)
    assert got == pytest.approx(
        finite_element_force_n([Segment(tube.inertia_mm4, 1200)], E_MPA, held), rel=1e-3
    )


def test_hibbeler_tube_is_stressed_to_100_2_mpa_as_it_buckles() -> None:
    tube = round_section(outside_mm=150, inside_mm=140)
    push = euler_force_n(tube, effective_length_mm=7200, elastic_mpa=200e3)
    assert push / tube.area_mm2 == pytest.approx(100.2, abs=0.05)


def test_mott_member_has_slenderness_173_beyond_the_transition_108() -> None:
    got = buckling(round_section(outside_mm=1.25), effective_length_mm=54, yield_mpa=51e3, elastic_mpa=30e6)
    assert got.rule == "Euler"
    assert got.slenderness == pytest.approx(173, abs=0.5)
    assert got.transition == pytest.approx(108, abs=0.5)


@pytest.mark.parametrize(("diameter_in", "length_in", "rule"), [(1.096, 25, "Johnson"), (1.507, 50, "Euler")])
def test_faires_connecting_link_holds_three_times_ten_kip(
    diameter_in: float, length_in: float, rule: str
) -> None:
    # Faires 334: 10 kip, N 3, yield 48 ksi, E 30e3 ksi; printed diameters 1.096 and 1.507 in
    got = buckling(
        round_section(outside_mm=diameter_in), effective_length_mm=length_in, yield_mpa=48, elastic_mpa=30e3
    )
    assert got.rule == rule
    assert got.force_n == pytest.approx(30, rel=2e-3)


def test_johnson_meets_euler_at_half_the_yield_strength_with_one_tangent() -> None:
    rod = round_section(outside_mm=50)
    at = transition_slenderness(yield_mpa=500, elastic_mpa=E_MPA) * rod.gyration_mm
    forces = [
        buckling(rod, effective_length_mm=at * f, yield_mpa=500, elastic_mpa=E_MPA)
        for f in (0.9999, 1.0001, 0.9998)
    ]
    assert [f.rule for f in forces] == ["Johnson", "Euler", "Johnson"]
    assert forces[0].force_n / rod.area_mm2 == pytest.approx(250, rel=1e-3)
    slope_below = forces[2].force_n - forces[0].force_n
    slope_across = (forces[0].force_n - forces[1].force_n) / 2
    assert slope_below == pytest.approx(slope_across, rel=1e-2)


# --- mountings ---


def _shipped() -> dict[str, Mounting]:
    reader = Reader(shipped_folder())
    mountings = load_mountings(reader, load_sources(reader))
    assert not [fault for fault in reader.faults if "mountings.csv" in fault.file]
    return mountings


@pytest.mark.parametrize(
    ("mounting", "held"),
    [
        ("pivot-pivot", PINNED),
        ("fixed-pivot", (0, 1, -2)),
        ("pivot-fixed", (0, -2, -1)),
        ("fixed-fixed", (0, 1, -2, -1)),
        ("fixed-sway", (0, 1, -1)),
        ("pivot-sway", (0, -1)),
        ("fixed-free", (0, 1)),
    ],
)
def test_ideal_factor_of_each_mounting_is_what_finite_elements_give(
    mounting: str, held: Sequence[int]
) -> None:
    row = _shipped()[mounting]
    force = finite_element_force_n([Segment(1e5, 1000)], E_MPA, held)
    assert row.factor_ideal == pytest.approx(math.pi * math.sqrt(E_MPA * 1e5 / force) / 1000, abs=2e-3)


def test_every_shipped_mounting_is_checked_above_and_its_design_factor_is_as_published() -> None:
    # ANSI/AISC 360 commentary table C-A-7.1, recommended values
    assert {name: row.factor_design for name, row in _shipped().items()} == {
        "fixed-fixed": 0.65,
        "fixed-pivot": 0.8,
        "pivot-fixed": 0.8,
        "fixed-sway": 1.2,
        "pivot-pivot": 1.0,
        "fixed-free": 2.1,
        "pivot-sway": 2.0,
    }


def test_a_free_rod_on_a_flange_counts_more_than_twice_its_length() -> None:
    assert _shipped()["fixed-free"].effective_length_mm(1000) == pytest.approx(2100)


def test_a_spoilt_mounting_row_is_named(tmp_path: Path) -> None:
    (tmp_path / "standards").mkdir()
    head = "mounting,cylinder_end,rod_end,length_taken,factor_ideal,factor_design,source,status\n"
    row = "{},flange,eye,face to pivot,{},{},aisc-c-a-7-1,read\n"
    (tmp_path / "standards" / "mountings.csv").write_text(
        head
        + row.format("a", 0.7, 0.8)
        + row.format("a", 0.7, 0.8)
        + row.format("b", 0.7, 0.6)
        + row.format("c", 0, 1)
    )
    reader = Reader(tmp_path)
    load_mountings(reader, load_sources(Reader(shipped_folder())))
    assert [fault.key for fault in reader.faults] == ["a", "b", "line 5, factor_ideal"]


# --- off the axis, and bowed ---


def test_lecture_tube_three_inches_off_the_axis_is_stressed_to_6_34_ksi() -> None:
    # ecoursesbook 09.3: tube of radii 3 and 2.75 in, effective length 720 in, 5 kip, E 29 000 ksi
    tube = round_section(outside_mm=6, inside_mm=5.5)
    stress = secant_stress_mpa(
        tube, force_n=5, eccentricity_mm=3, effective_length_mm=720, elastic_mpa=29_000
    )
    assert stress == pytest.approx(6.34, abs=0.005)


def test_gere_square_column_is_stressed_to_17_26_ksi_and_not_17_16() -> None:
    # Gere 11.6-1: 2 in square, 36 in, 20 kip 0.75 in off, E 29 000 ksi; a web solution prints
    # 17.16 ksi, and 45.94 in for 18 ksi
    square = ColumnSection(area_mm2=4, inertia_mm4=2**4 / 12, extreme_mm=1)
    stress = secant_stress_mpa(
        square, force_n=20, eccentricity_mm=0.75, effective_length_mm=36, elastic_mpa=29_000
    )
    assert stress == pytest.approx(bent_column_stress(square, 20, 36, 29_000, off=0.75), rel=1e-6)
    assert stress == pytest.approx(17.26, abs=0.005)
    longest = secant_stress_mpa(
        square, force_n=20, eccentricity_mm=0.75, effective_length_mm=46.16, elastic_mpa=29_000
    )
    assert longest == pytest.approx(18.0, abs=0.005)


@pytest.mark.parametrize("bow", [0.25, 1.0, 5.0, 10.0])
def test_bowed_rod_yields_where_the_bent_columns_equation_says(bow: float) -> None:
    rod = round_section(outside_mm=50)
    push = bow_yield_force_n(rod, bow_mm=bow, effective_length_mm=1500, yield_mpa=500, elastic_mpa=E_MPA)
    assert bent_column_stress(rod, push, 1500, E_MPA, bow=bow) == pytest.approx(500, rel=1e-4)


@pytest.mark.parametrize("off", [0.25, 1.0, 5.0])
def test_off_axis_rod_yields_where_the_bent_columns_equation_says(off: float) -> None:
    rod = round_section(outside_mm=50, inside_mm=20)
    push = secant_force_n(
        rod, eccentricity_mm=off, effective_length_mm=1500, yield_mpa=500, elastic_mpa=E_MPA
    )
    assert bent_column_stress(rod, push, 1500, E_MPA, off=off) == pytest.approx(500, rel=1e-4)


def test_dial_of_0_8_on_one_metre_is_0_9_of_bow_on_a_metre_and_a_half() -> None:
    # TIR is twice the bow by definition; an arc of radius R rises L²/8R, worked out here
    bow = float(bow_from_tir_mm(Decimal("0.8")))
    radius = 1000**2 / (8 * 0.4)
    assert bow_over_length_mm(bow_mm=bow, span_mm=1000, length_mm=1500) == pytest.approx(
        radius - math.sqrt(radius**2 - 750**2), rel=1e-4
    )


@given(a_rod, a_slenderness, a_yield, st.floats(0.01, 20), st.floats(1.01, 3))
def test_more_bow_always_costs_push_and_off_axis_costs_a_little_more(
    rod_mm: float, slenderness: float, yield_mpa: float, bow: float, more: float
) -> None:
    rod = round_section(outside_mm=rod_mm)
    case = {"effective_length_mm": slenderness * rod.gyration_mm, "yield_mpa": yield_mpa}
    straight, bowed, worse = (bow_yield_force_n(rod, bow_mm=b, **case) for b in (0.0, bow, more * bow))
    off = secant_force_n(rod, eccentricity_mm=bow, **case)
    euler = euler_force_n(rod, effective_length_mm=case["effective_length_mm"])
    assert 0 < worse < bowed < straight
    assert 0 < off < bowed * (1 + 1e-12)
    assert straight == pytest.approx(min(euler, rod.area_mm2 * yield_mpa))
    stress = bow_stress_mpa(rod, force_n=bowed, bow_mm=bow, effective_length_mm=case["effective_length_mm"])
    assert stress == pytest.approx(yield_mpa, rel=1e-6)


@given(a_rod, a_slenderness, a_yield, st.floats(0, 10), st.floats(1, 5), st.floats(0.9, 0.999))
def test_grinding_a_rod_never_raises_what_it_may_be_given(
    rod_mm: float, slenderness: float, yield_mpa: float, bow: float, safety: float, left: float
) -> None:
    length = slenderness * rod_mm / 4
    found, ground = (
        push_capacity(
            round_section(outside_mm=d),
            effective_length_mm=length,
            yield_mpa=yield_mpa,
            bow_mm=bow,
            safety=safety,
        )
        for d in (rod_mm, left * rod_mm)
    )
    assert 0 < ground.permissible_n < found.permissible_n
    assert found.permissible_n * safety == pytest.approx(min(found.bow_yield_n, found.buckling.force_n))
    assert found.permissible_n * safety <= round_section(outside_mm=rod_mm).area_mm2 * yield_mpa
    push = push_force_n(bore_mm=2 * rod_mm, rod_mm=rod_mm, pressure_mpa=16)
    assert found.utilisation(push) < ground.utilisation(push)
    assert found.utilisation(found.permissible_n) == pytest.approx(1)


@given(a_rod, a_slenderness, a_yield, st.floats(1.001, 2))
def test_a_longer_rod_bears_less_and_never_more_than_euler(
    rod_mm: float, slenderness: float, yield_mpa: float, longer: float
) -> None:
    rod = round_section(outside_mm=rod_mm)
    short, long = (
        buckling(rod, effective_length_mm=slenderness * f * rod.gyration_mm, yield_mpa=yield_mpa)
        for f in (1, longer)
    )
    assert 0 < long.force_n < short.force_n < rod.area_mm2 * yield_mpa
    euler = euler_force_n(rod, effective_length_mm=slenderness * rod.gyration_mm)
    assert short.force_n <= euler * (1 + 1e-12)


def test_a_straight_rod_is_governed_by_its_buckling_rule_and_a_bent_one_by_its_bow() -> None:
    rod = round_section(outside_mm=50)
    governed = [
        push_capacity(rod, effective_length_mm=length, yield_mpa=500, bow_mm=bow, safety=3).governed_by
        for length, bow in ((2500, 0), (800, 0), (2500, 5))
    ]
    assert governed == ["Euler", "Johnson", "bow"]


# --- rod and barrel together ---


@given(a_rod, st.floats(200, 6000), st.floats(1, 100), st.floats(1, 5))
def test_a_column_cut_in_even_lengths_is_one_column(
    rod_mm: float, length: float, other: float, third: float
) -> None:
    rod = round_section(outside_mm=rod_mm)
    whole = length * (1 + other + third)
    cut = stepped_column_force_n([Segment(rod.inertia_mm4, length * f) for f in (1, other, third)])
    assert cut == pytest.approx(euler_force_n(rod, effective_length_mm=whole))


@settings(max_examples=60)
@given(
    st.lists(st.tuples(st.floats(0, 3), st.floats(0.02, 1)), min_size=1, max_size=4),
    st.floats(1e4, 1e6),
)
def test_stepped_column_buckles_where_finite_elements_do(
    steps: list[tuple[float, float]], inertia: float
) -> None:
    # each segment up to a thousand times stiffer: the bounds then hold several roots of the determinant
    segments = [Segment(inertia * 10**power, 1000 * share) for power, share in steps]
    got = stepped_column_force_n(segments, elastic_mpa=E_MPA)
    assert got == pytest.approx(finite_element_force_n(segments, E_MPA, PINNED), rel=1e-3)


def test_the_least_root_is_taken_where_the_determinant_has_many() -> None:
    rod, barrel = Segment(1e5, 1500), Segment(1e8, 300)
    got = stepped_column_force_n([rod, barrel], elastic_mpa=E_MPA)
    pushes = np.linspace(got * 1e-4, got * 40, 400_001)
    k1, k2 = (np.sqrt(pushes / (E_MPA * s.inertia_mm4)) for s in (rod, barrel))
    a, b = k1 * rod.length_mm, k2 * barrel.length_mm
    determinant = k2 * np.sin(a) * np.cos(b) + k1 * np.cos(a) * np.sin(b)
    roots = pushes[:-1][np.sign(determinant[:-1]) != np.sign(determinant[1:])]
    assert len(roots) > 3
    assert roots[0] == pytest.approx(got, rel=1e-3)


@given(a_rod, st.floats(1.2, 2.5), st.floats(0.03, 0.3), st.floats(200, 6000), st.floats(0.2, 1.5))
def test_rod_and_barrel_together_bear_more_than_the_rod_alone_over_the_whole_length(
    rod_mm: float, ratio: float, wall: float, rod_length: float, barrel_share: float
) -> None:
    rod = round_section(outside_mm=rod_mm)
    bore = rod_mm * ratio
    barrel = round_section(outside_mm=bore * (1 + wall), inside_mm=bore)
    lengths = rod_length, rod_length * barrel_share
    both = stepped_column_force_n(
        [Segment(rod.inertia_mm4, lengths[0]), Segment(barrel.inertia_mm4, lengths[1])]
    )
    turned = stepped_column_force_n(
        [Segment(barrel.inertia_mm4, lengths[1]), Segment(rod.inertia_mm4, lengths[0])]
    )
    assert both == pytest.approx(turned)
    alone = [euler_force_n(s, effective_length_mm=sum(lengths)) for s in (rod, barrel)]
    assert min(alone) * (1 - 1e-9) <= both <= max(alone) * (1 + 1e-9)
    if rod.inertia_mm4 < barrel.inertia_mm4:
        assert equivalent_length_mm(rod, force_n=both) < sum(lengths) * (1 + 1e-9)


@pytest.mark.parametrize(
    ("refused", "says"),
    [
        (lambda: round_section(outside_mm=50, inside_mm=50), "must be smaller"),
        (lambda: round_section(outside_mm=-5), "greater than 0"),
        (lambda: euler_force_n(round_section(outside_mm=50), effective_length_mm=0), "greater than 0"),
        (lambda: stepped_column_force_n([]), "at least one"),
        (lambda: Segment(0, 100), "greater than 0"),
        (
            lambda: bow_stress_mpa(
                round_section(outside_mm=50),
                force_n=3e5,
                bow_mm=0,
                effective_length_mm=1500,
                elastic_mpa=E_MPA,
            ),
            "buckles at 282.6 kN",
        ),
        (
            lambda: secant_stress_mpa(
                round_section(outside_mm=50), force_n=1e6, eccentricity_mm=1, effective_length_mm=1500
            ),
            "must be less",
        ),
        (
            lambda: push_capacity(
                round_section(outside_mm=50), effective_length_mm=1500, yield_mpa=500, bow_mm=1, safety=0.5
            ),
            "at least 1",
        ),
        (lambda: bow_over_length_mm(bow_mm=-1, span_mm=1000, length_mm=1000), "not be negative"),
        (lambda: bow_over_length_mm(bow_mm=1, span_mm=math.inf, length_mm=1000), "finite"),
    ],
)
def test_nonsense_is_refused_in_a_sentence(refused: Callable[[], object], says: str) -> None:
    with pytest.raises(Refusal, match=says):
        refused()
