"""Torque targets and tie-rods, held against hand-worked arithmetic, which stands beside each check."""

from __future__ import annotations

import math

import pytest

from inspect_app.trade.joints.targets import (
    computed_target,
    cross_pattern,
    greatest_share,
    held_over_scatter,
    wrench_setting_nm,
)
from inspect_app.trade.joints.tie_rods import tie_rods_clamp, turn_from_snug_deg
from inspect_app.trade.measuring.refusal import Refusal

M42_PROOF_N = (
    600 * 1206.0
)  # M42x3: stress area by hand 0.7854 (42 - 0.9382 x 3)^2 = 1206.0 mm², proof 600 MPa


def test_the_torque_of_a_piston_nut_by_hand():
    # 0.75 x 723.6 kN = 542.7 kN; 0.18 x 542.7 x 42 / 1000 = 4102.8 kN·mm; at K 0.12 2735.2, at 0.20 4558.7
    target = computed_target(
        share=0.75, proof_load_n=M42_PROOF_N, d_mm=42, nut_factors=(0.12, 0.18, 0.20), scatter=0.25
    )
    assert (target.low_nm, target.nominal_nm, target.high_nm) == pytest.approx(
        (2735.2, 4102.8, 4558.7), abs=0.1
    )
    # a quarter either way: 407.0 and 678.4 kN
    assert (target.lowest_n, target.highest_n) == pytest.approx((407_025, 678_375), abs=1)


def test_shigley_example_8_3_held_over_no_scatter():
    # Shigley 9e example 8-3 (read): Fi 25 kip, P 6 kip, C 0.320, At 0.373 in², Sp 85 ksi: σb 72.17 ksi, so the bolt
    # carries 72.17 x 0.373 = 26.92 kip; clamp 25 - 0.68 x 6 = 20.92 kip
    held = held_over_scatter(
        lowest_n=25, highest_n=25, load_n=6, constants=(0.320, 0.320), proof_load_n=85 * 0.373
    )
    assert held.highest_bolt_n == pytest.approx(26.92, abs=0.005)
    assert held.lowest_clamp_n == pytest.approx(20.92, abs=0.005)
    assert held.proof_use == pytest.approx(72.17 / 85, abs=0.001)


def test_three_quarters_of_proof_overshoot_with_thirty_per_cent_scatter_and_three_fifths_do_not():
    # proof 100, load 40, the bolt takes at most 0.4 of it: 0.75 x 1.3 = 97.5 + 16 = 113.5; 0.60 x 1.3 = 78 + 16 = 94
    load = {"load_n": 40, "constants": (0.1, 0.4), "proof_load_n": 100}
    assert held_over_scatter(lowest_n=52.5, highest_n=97.5, **load).proof_use == pytest.approx(1.135)
    assert held_over_scatter(lowest_n=42, highest_n=78, **load).proof_use == pytest.approx(0.94)
    # (100 - 16) / 1.3 = 64.6
    assert greatest_share(**load, scatter=0.3) == pytest.approx(0.646, abs=0.0005)


def test_the_least_share_of_the_bolt_decides_whether_the_parts_part():
    # 42 - (1 - 0.1) x 40 = 6 still clamps; 42 - 0.9 x 50 = -3 parts
    held = {"lowest_n": 42, "highest_n": 78, "constants": (0.1, 0.4), "proof_load_n": 100}
    assert held_over_scatter(load_n=40, **held).lowest_clamp_n == pytest.approx(6)
    assert held_over_scatter(load_n=50, **held).lowest_clamp_n == pytest.approx(-3)


def test_a_load_that_uses_up_proof_leaves_no_share():
    assert greatest_share(load_n=300, constants=(0.4, 0.4), proof_load_n=100, scatter=0.3) == 0


def test_an_extension_in_line_lowers_what_the_wrench_is_set_to():
    # lever 500 and 125 longer: 800 x 500 / 625 = 640
    assert wrench_setting_nm(torque_nm=800, wrench_mm=500, extension_mm=125) == pytest.approx(640)
    assert wrench_setting_nm(torque_nm=800, wrench_mm=500, extension_mm=0) == 800


# ASME PCC-1, the older cross pattern, from memory
@pytest.mark.parametrize(
    ("count", "order"),
    [
        (4, (1, 3, 2, 4)),
        (8, (1, 5, 3, 7, 2, 6, 4, 8)),
        (12, (1, 7, 4, 10, 2, 8, 5, 11, 3, 9, 6, 12)),
    ],
)
def test_the_cross_pattern_is_the_printed_one(count, order):
    assert cross_pattern(count) == order


@pytest.mark.parametrize("count", range(1, 25))
def test_every_screw_of_a_ring_is_tightened_once(count):
    assert sorted(cross_pattern(count)) == list(range(1, count + 1))


def test_the_second_screw_lies_across_from_the_first():
    for count in range(4, 25):
        first, second, *_ = cross_pattern(count)
        assert (second - first) % count in (count // 2, count - count // 2)


def test_four_tie_rods_by_hand():
    # bore 80, tube 95, 24 MPa: 24 x 5026.5 = 120 637 N, 30 159 each; 45 kN each: factor 1.492;
    # wall 0.7854 (95² - 80²) = 2061.7 mm², 4 x 45 000 / 2061.7 = 87.31 MPa
    found = tie_rods_clamp(preload_each_n=45_000, rods=4, bore_mm=80, outside_mm=95, pressure_mpa=24)
    assert found.load_each_n == pytest.approx(30_159, abs=1)
    assert found.separation_factor == pytest.approx(1.492, abs=0.001)
    assert found.tube_mpa == pytest.approx(87.31, abs=0.01)


def test_the_turn_of_a_tie_rod_nut_by_hand():
    # M16x2, 45 kN, 400 long, shank 201.06 mm²: 45 000 x 400 / (201.06 x 206 000) = 0.43459 mm
    # tube 300 long, 2061.7 mm²: 180 000 x 300 / (2061.7 x 206 000) = 0.12715 mm; (0.43459 + 0.12715) / 2 x 360 = 101.1°
    turn = turn_from_snug_deg(
        preload_n=45_000,
        pitch_mm=2,
        rod_length_mm=400,
        rod_area_mm2=math.pi * 64,
        tube_length_mm=300,
        tube_area_mm2=2061.7,
        rods=4,
        elastic_mpa=206_000,
    )
    assert turn == pytest.approx(101.1, abs=0.05)


@pytest.mark.parametrize(
    ("wrong", "says"),
    [
        (
            lambda: computed_target(
                share=1.2, proof_load_n=1, d_mm=1, nut_factors=(0.1, 0.2, 0.3), scatter=0.2
            ),
            "between 0 and 1",
        ),
        (
            lambda: computed_target(
                share=0.7, proof_load_n=1, d_mm=1, nut_factors=(0.3, 0.2, 0.1), scatter=0.2
            ),
            "lowest, expected, highest",
        ),
        (
            lambda: held_over_scatter(
                lowest_n=1, highest_n=1, load_n=1, constants=(0.4, 0.1), proof_load_n=1
            ),
            "rising",
        ),
        (
            lambda: greatest_share(load_n=1, constants=(0.1, 0.4), proof_load_n=1, scatter=30),
            "between 0 and 1",
        ),
        (lambda: cross_pattern(0), "count"),
        (lambda: wrench_setting_nm(torque_nm=1, wrench_mm=0, extension_mm=1), "wrench"),
        (
            lambda: tie_rods_clamp(preload_each_n=1, rods=4, bore_mm=100, outside_mm=90, pressure_mpa=1),
            "bore",
        ),
    ],
)
def test_what_cannot_be_is_refused_in_a_sentence(wrong, says):
    with pytest.raises(Refusal, match=says):
        wrong()
