"""What a V-block shows of lobes, held against a published formula and parts turned by geometry."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspect_app.trade.form.v_block import (
    LEAST_FACTOR,
    choose_v,
    roundness_from_v_block_mm,
    v_block_factor,
)
from inspect_app.trade.measuring.refusal import Refusal


def turned_in_v(lobes: int, included_deg: float, setting: str) -> float:
    """TIR over RONt of a lobed part turned on the two flat faces of a V, by geometry alone.

    The part's distance to its tangent in direction u is h(u) = R + a cos(n (u - turn)). Both faces stay
    touched, which places the centre; the dial rides on the bisector, above (summit) or below (rider).
    """
    a, flank = (
        0.001,
        math.radians(90 - included_deg / 2),
    )  # each face's normal leans this far from straight down
    left, right = math.radians(270) - flank, math.radians(270) + flank
    readings = []
    for tenth in range(3600):
        turn = math.radians(tenth / 10)

        def h(u: float, turn: float = turn) -> float:
            return 50 + a * math.cos(lobes * (u - turn))

        matrix = [[math.cos(left), math.sin(left)], [math.cos(right), math.sin(right)]]
        centre = np.linalg.solve(matrix, [-h(left), -h(right)])  # numpy
        height = centre[1]
        readings.append(height + h(math.pi / 2) if setting == "summit" else height - h(3 * math.pi / 2))
    return (max(readings) - min(readings)) / (2 * a)


@pytest.mark.parametrize("setting", ["summit", "rider"])
@pytest.mark.parametrize("included_deg", [60, 90, 108, 120])
@pytest.mark.parametrize("lobes", [2, 3, 5, 7])
def test_a_lobed_part_turned_in_a_v_shows_the_factor(lobes: int, included_deg: float, setting: str) -> None:
    expected = turned_in_v(lobes, included_deg, setting)
    assert v_block_factor(lobes=lobes, included_deg=included_deg, setting=setting) == pytest.approx(
        expected, abs=1e-3
    )  # type: ignore[arg-type]


# The formula of the abstract, J. JSPE 43 (514) 1167, worked by hand at angles whose cosine is exact:
# 60 degrees: 1 + 2 cos(120 n); 90: 1 + sqrt(2) cos(135 n); 120: 1 + (2 / sqrt(3)) cos(150 n)
@pytest.mark.parametrize(
    ("lobes", "included_deg", "factor"),
    [
        *[(2, 60, 0), (3, 60, 3), (4, 60, 0), (5, 60, 0), (6, 60, 3)],
        *[(2, 90, 1), (3, 90, 2), (5, 90, 2), (7, 90, 0), (9, 90, 0)],
        *[(3, 120, 1), (5, 120, 2), (7, 120, 2), (9, 120, 1), (2, 120, 1 + 1 / math.sqrt(3))],
    ],
)
def test_summit_factors_follow_the_published_formula(lobes: int, included_deg: float, factor: float) -> None:
    assert v_block_factor(lobes=lobes, included_deg=included_deg) == pytest.approx(factor, abs=1e-12)


@pytest.mark.parametrize("lobes", [2, 3, 4])
def test_sixty_degrees_or_a_flat_show_two_three_and_four_lobes(lobes: int) -> None:
    # the abstract: a double method with 60 and 180 degrees has f other than 0 for n = 2, 3 and 4
    flat = v_block_factor(lobes=lobes, included_deg=179.999999)
    assert max(flat, v_block_factor(lobes=lobes, included_deg=60)) > 1


def test_a_three_lobed_reading_in_ninety_degrees_is_halved() -> None:
    assert roundness_from_v_block_mm(0.020, lobes=3, included_deg=90) == pytest.approx(
        0.010
    )  # factor 2, above


def test_a_v_that_is_blind_to_the_lobes_is_refused() -> None:
    with pytest.raises(Refusal, match="hardly shows 7 lobes"):
        roundness_from_v_block_mm(0.0, lobes=7, included_deg=90)
    with pytest.raises(Refusal, match="turn it in two"):
        choose_v([2, 3, 4, 5, 7], included_deg=[60])


@given(
    st.sets(st.integers(2, 12), min_size=1, max_size=4),
    st.sets(st.sampled_from([60, 72, 90, 108, 120]), min_size=1),
)
def test_no_other_v_at_hand_shows_the_suspected_lobes_better(lobes: set[int], angles: set[int]) -> None:
    every = [
        min(v_block_factor(lobes=n, included_deg=a, setting=s) for n in lobes)  # type: ignore[arg-type]
        for a in angles
        for s in ("summit", "rider")
    ]
    try:
        best = choose_v(sorted(lobes), included_deg=sorted(angles))
    except Refusal:
        assert max(every) < LEAST_FACTOR
    else:
        assert best.least_factor == max(every)


@pytest.mark.parametrize("included_deg", [0, 180, -60, 240])
def test_a_v_that_is_no_v_is_refused(included_deg: float) -> None:
    with pytest.raises(Refusal, match="between 0 and 180"):
        v_block_factor(lobes=3, included_deg=included_deg)


def test_one_lobe_is_no_form_error() -> None:
    with pytest.raises(Refusal, match="2 or more"):
        v_block_factor(lobes=1, included_deg=90)


def test_the_dial_stands_opposite_the_v_unless_it_is_said_to_stand_inside() -> None:
    # the abstract's formula and its rider twin, by hand at 60 degrees: 3 lobes show 3 and |-1 - 2| = 3; 2 lobes
    # show 1 + 2 cos 240° = 0 opposite and 1 - 2 cos 240° = 2 inside
    assert roundness_from_v_block_mm(0.03, lobes=3, included_deg=60) == pytest.approx(0.01)
    assert roundness_from_v_block_mm(0.03, lobes=2, included_deg=60, setting="rider") == pytest.approx(0.015)
    with pytest.raises(Refusal, match="dial at the summit"):
        roundness_from_v_block_mm(0.03, lobes=2, included_deg=60)


def test_lobes_shown_at_less_than_a_third_are_not_reckoned_back() -> None:
    # two lobes opposite the V by hand: K = 1 - cos a / sin(a/2), 0.367 at 69° and 0.330 at 68°
    assert roundness_from_v_block_mm(0.0367, lobes=2, included_deg=69) == pytest.approx(0.1, abs=0.0002)
    with pytest.raises(Refusal, match=r"0\.33 of their height"):
        roundness_from_v_block_mm(0.033, lobes=2, included_deg=68)


def test_two_lobes_in_sixty_degrees_are_seen_from_inside_the_v() -> None:
    choice = choose_v([2], included_deg=[60])
    assert (choice.included_deg, choice.setting) == (60, "rider")
    assert choice.least_factor == pytest.approx(2)  # by hand, above


def test_a_choice_needs_lobes_and_a_v() -> None:
    for lobes, angles in (([], [60.0]), ([3], [])):
        with pytest.raises(Refusal, match="at least one"):
            choose_v(lobes, included_deg=angles)
