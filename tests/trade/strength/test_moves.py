"""Areas, forces and oil of every kind of cylinder against arithmetic written out beside each, and of its column."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.linalg import eigh_tridiagonal  # type: ignore[import-untyped]

from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.strength.column import euler_force_n, round_section
from inspect_app.trade.strength.moves import (
    Stage,
    oil_held_l,
    piston_move,
    plunger_move,
    stage_moves,
    staged_column_n,
)

THREE = [Stage(125, 140, 900), Stage(100, 110, 900), Stage(70, 80, 900)]


def test_a_ram_is_pushed_by_its_plunger_alone() -> None:
    move = plunger_move(plunger_mm=90, stroke_mm=1500)
    # 90² π/4 = 8100 × 0.785398 = 6361.73 mm²; at 16 MPa 101.79 kN; × 1500 mm = 9.5426 l; nothing pulls it back
    assert move.forces_n(16) == (pytest.approx(101_787.6, rel=1e-6), 0)
    assert (move.out_l, move.back_l) == (pytest.approx(9.54259, rel=1e-5), 0)


def test_four_inches_at_3000_psi() -> None:
    # 4² π/4 = 12.566 in², × 3000 psi = 37 699 lbf; less the rod of 1 3/4 in, 2.405 in²: 10.161 in², 30 483 lbf
    inch_mm, psi_mpa, lbf_n = 25.4, 0.006894757, 4.448222
    move = piston_move(bore_mm=4 * inch_mm, rod_mm=1.75 * inch_mm, stroke_mm=18 * inch_mm)
    out, back = (force / lbf_n for force in move.forces_n(3000 * psi_mpa))
    assert (round(out), round(back)) == (37_699, 30_483)


def test_two_rods_that_are_not_alike_push_unlike() -> None:
    # 100² − 70² = 5100, × π/4 = 4005.53; 100² − 56² = 6864, × π/4 = 5390.97
    move = piston_move(bore_mm=100, rod_mm=56, stroke_mm=400, through_mm=70)
    assert (move.out_mm2, move.back_mm2) == (
        pytest.approx(4005.53, abs=0.01),
        pytest.approx(5390.97, abs=0.01),
    )


def test_single_acting_stages_are_pushed_by_their_outsides() -> None:
    moves = stage_moves(THREE, both_ways=False)
    # 125²: 12 271.85, 100²: 7853.98, 70²: 3848.45 mm²; at 16 MPa 196.35, 125.66, 61.58 kN
    assert [round(m.forces_n(16)[0] / 1000, 2) for m in moves] == [196.35, 125.66, 61.58]
    # 12.27185 + 7.85398 + 3.84845 = 23.97428 mm² a thousand, × 900 mm = 21.5769 l
    assert sum(m.out_l for m in moves) == pytest.approx(21.57685, rel=1e-5)
    assert all(m.back_l == 0 for m in moves)


def test_double_acting_stages_are_pushed_by_the_bore_they_run_in() -> None:
    first, second = stage_moves([Stage(100, 125, 800), Stage(56, 80, 800)], both_ways=True)
    # out: 125² π/4 = 12 271.85, 80² π/4 = 5026.55; back: 125² − 100² = 5625 → 4417.86, 80² − 56² = 3264 → 2563.54
    assert (first.out_mm2, second.out_mm2) == (
        pytest.approx(12271.85, abs=0.01),
        pytest.approx(5026.55, abs=0.01),
    )
    assert (first.back_mm2, second.back_mm2) == (
        pytest.approx(4417.86, abs=0.01),
        pytest.approx(2563.54, abs=0.01),
    )


def test_the_smallest_pressure_starts_the_largest_stage() -> None:
    # p = W / A: the same load needs most on the smallest
    needed = [50_000 / m.out_mm2 for m in stage_moves(THREE, both_ways=False)]
    assert needed == sorted(needed)


@pytest.mark.parametrize(
    "make",
    [
        lambda: Stage(125, 125, 900),
        lambda: stage_moves([], both_ways=True),
        lambda: stage_moves(list(reversed(THREE)), both_ways=False),
        lambda: plunger_move(plunger_mm=90, stroke_mm=0),
    ],
)
def test_stages_that_do_not_fit_are_refused(make: object) -> None:
    with pytest.raises(Refusal):
        make()  # type: ignore[operator]


def test_the_column_lies_between_those_of_its_thinnest_and_its_thickest_part() -> None:
    # Euler, pinned: π² E I / L²; 100/120 barrel 900, rod 50 of 800
    found = staged_column_n([Stage(50, 100, 800)], tube_mm=120, tube_bore_mm=100, closed_mm=900)
    thin, thick = (
        euler_force_n(section, effective_length_mm=1700)
        for section in (round_section(outside_mm=50), round_section(outside_mm=120, inside_mm=100))
    )
    assert thin < found < thick


def test_a_telescope_of_almost_even_stiffness_is_a_plain_column() -> None:
    # a stage so thick-walled that tube and stage have nearly one I: π² E I / L² within 1 %
    # I of 100/84: π/64 (100⁴ − 84⁴) = 2.4648e6; a solid 84: π/64 84⁴ = 2.4440e6 mm⁴
    found = staged_column_n([Stage(84, 84.001, 1000)], tube_mm=100, tube_bore_mm=84, closed_mm=1000)
    plain = math.pi**2 * 206_000 * 2.4544e6 / 2000**2
    assert found == pytest.approx(plain, rel=0.03)


def test_a_column_of_four_sections_buckles_where_a_chain_of_short_pieces_does() -> None:
    # the least eigenvalue of -E I y'' = P y, pinned ends, by differences over 2000 pieces
    stages, tube = THREE, (160.0, 140.0, 1300.0)
    found = staged_column_n(stages, tube_mm=tube[0], tube_bore_mm=tube[1], closed_mm=tube[2])
    sections = [tube, (125, 110, 900), (100, 80, 900), (70, 0, 900)]
    lengths = np.cumsum([length for _, _, length in sections])
    step = lengths[-1] / 2000
    at = np.arange(1, 2000) * step
    inertia = np.array(
        [math.pi / 64 * (sections[i][0] ** 4 - sections[i][1] ** 4) for i in np.searchsorted(lengths, at)]
    )
    stiff = 206_000 * inertia / step**2
    least = eigh_tridiagonal(
        2 * stiff, -np.sqrt(stiff[:-1] * stiff[1:]), select="i", select_range=(0, 0), eigvals_only=True
    )
    assert found == pytest.approx(float(least[0]), rel=2e-3)


def test_oil_stands_round_a_plunger_too() -> None:
    # 105² π/4 = 8659.01 mm² x 1500 mm = 12.98852 l
    # 4 in of a 5 in and of a 4 in tube: (19.635 + 12.566) x 4 = 128.81 in³
    assert oil_held_l([(105, 1500)]) == pytest.approx(12.98852, rel=1e-5)
    assert oil_held_l([(127, 101.6), (101.6, 101.6)]) == pytest.approx(128.805 * 0.016387064, rel=1e-4)
    with pytest.raises(Refusal):
        oil_held_l([])
