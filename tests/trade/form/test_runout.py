"""One turn under the dial, held against numpy and sections turned by geometry."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspect_app.trade.form.runout import runout
from inspect_app.trade.measuring.refusal import Refusal

EIGHT = [0.00, 0.05, 0.14, 0.22, 0.24, 0.19, 0.10, 0.02]  # mm, every 45 degrees


def test_eight_clocks_split_into_the_harmonics_numpy_finds() -> None:
    ours = runout([(45 * k, reading) for k, reading in enumerate(EIGHT)])
    spectrum = np.fft.rfft(EIGHT) / 8  # numpy
    assert ours.bow_mm == pytest.approx(2 * abs(spectrum[1]))
    assert ours.high_deg == pytest.approx(math.degrees(-np.angle(spectrum[1])) % 360)
    assert ours.ovality_mm == pytest.approx(8 * abs(spectrum[2]))
    assert ours.tir_mm == 0.24
    five = np.zeros(5, complex)
    five[:3] = spectrum[:3]
    assert ours.residual_mm == pytest.approx(np.abs(EIGHT - np.fft.irfft(five, 8) * 8).max())


def test_an_oval_section_off_its_axis_gives_up_both_bow_and_ovality() -> None:
    # the ellipse itself, centre 0.15 mm off towards 2 o'clock, long axis at 100 degrees: dial on the ray
    a, b, off, high, major = 40.010, 39.990, 0.15, math.radians(60), math.radians(100)

    def radius(angle_deg: float) -> float:
        t = math.radians(angle_deg)
        dx, dy = math.cos(t - major), math.sin(t - major)
        cx, cy = off * math.cos(high - major), off * math.sin(high - major)
        p, q, r = (
            (dx / a) ** 2 + (dy / b) ** 2,
            dx * cx / a**2 + dy * cy / b**2,
            (cx / a) ** 2 + (cy / b) ** 2 - 1,
        )
        return (q + math.sqrt(q * q - p * r)) / p

    turn = runout([(45 * k, radius(45 * k)) for k in range(8)])
    assert turn.bow_mm == pytest.approx(0.15, abs=2e-4)
    assert turn.high_deg == pytest.approx(60, abs=0.2)
    assert turn.ovality_mm == pytest.approx(2 * (a - b), abs=6e-4)  # the offset itself looks oval by e²/R
    assert turn.oval_major_deg == pytest.approx(100, abs=2)


@given(st.floats(0, 0.5), st.floats(0, 360), st.floats(0, 0.2), st.floats(0, 180), st.integers(5, 12))
def test_bow_and_ovality_come_apart_with_five_clocks_or_more(
    bow: float, high: float, ovality: float, major: float, clocks: int
) -> None:
    def dial(a: float) -> float:
        return (
            1 + bow * math.cos(math.radians(a - high)) + ovality / 4 * math.cos(2 * math.radians(a - major))
        )

    turn = runout([(360 * k / clocks, dial(360 * k / clocks)) for k in range(clocks)])
    assert turn.bow_mm == pytest.approx(bow, abs=1e-9)
    assert turn.ovality_mm == pytest.approx(ovality, abs=1e-9)


def test_four_clocks_leave_an_oval_out_of_the_bow_but_do_not_tell_it() -> None:
    # by hand: a reading's opposite carries the same oval, so (r0 - r180) / 2 is free of it
    turn = runout(
        [
            (a, 0.1 * math.cos(math.radians(a - 30)) + 0.05 * math.cos(2 * math.radians(a)))
            for a in (0, 90, 180, 270)
        ]
    )
    assert turn.bow_mm == pytest.approx(0.1)
    assert turn.ovality_mm is None
    assert str(turn.cannot_say[0]).startswith("These 4 clocks do not separate ovality")


@pytest.mark.parametrize("clocks", [3, 4, 5, 6, 8, 16])
def test_the_lobes_said_to_pass_as_bow_do_and_no_others(clocks: int) -> None:
    # brute force: a straight part with one lobe count at a time, read at that many clocks
    said = runout([(360 * k / clocks, 0.0) for k in range(clocks)]).cannot_say[-1].words("metric")
    for lobes in range(2, clocks + 2):
        turn = runout(
            [(360 * k / clocks, 0.01 * math.cos(lobes * 2 * math.pi * k / clocks)) for k in range(clocks)]
        )
        assert (turn.bow_mm > 0.005) == (str(lobes) in said.split())


def test_uneven_clocks_are_said_to_mix_lobes_with_bow() -> None:
    assert "uneven" in runout([(0, 0.0), (90, 0.1), (200, 0.1)]).cannot_say[-1].words("metric")


def test_clocks_bunched_together_do_not_separate_an_oval() -> None:
    assert runout([(clock, 0.1) for clock in (0, 5, 10, 120, 240)]).ovality_mm is None


@pytest.mark.parametrize("clocks", [[0, 180], [0, 120, 120], [0, 20, 40], [0, 60, 120], [0, 5, 180]])
def test_too_few_or_bunched_clocks_give_no_bow(clocks: list[float]) -> None:
    with pytest.raises(Refusal):
        runout([(clock, 0.1) for clock in clocks])


def test_a_whole_turn_on_is_the_same_clock() -> None:
    with pytest.raises(Refusal, match="clock"):
        runout([(0, 0.0), (90, 0.1), (180, 0.2), (360, 0.0)])
    backwards, forwards = (runout([(0, 0.0), (90, 0.1), (180, 0.2), (last, 0.1)]) for last in (-90, 270))
    assert (backwards.bow_mm, backwards.tir_mm) == pytest.approx((forwards.bow_mm, forwards.tir_mm))
