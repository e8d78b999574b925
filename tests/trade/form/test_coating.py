"""Coating thickness, held against the standard library's statistics and a public excerpt of ASTM B499."""

from __future__ import annotations

import statistics
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspect_app.trade.form.coating import least_um, mean_um, repeats_um
from inspect_app.trade.measuring.refusal import Refusal

thicknesses = st.lists(st.decimals(min_value=0, max_value=500, places=1), min_size=3, max_size=20)


@given(thicknesses)
def test_least_and_mean_are_the_statistics_modules(readings: list[Decimal]) -> None:
    assert least_um(readings) == sorted(readings)[0]
    assert mean_um(readings) == pytest.approx(statistics.mean(readings))
    assert least_um(readings) <= mean_um(readings)


# ASTM B499-96, repeat rule as a public excerpt gives it: reject the set when any two readings differ by more
# than 5 % of the mean or 2 µm, whichever is greater; worked by hand.
@pytest.mark.parametrize(
    ("readings", "agree"),
    [
        pytest.param([24, 25, 26], True, id="2 µm apart where 2 µm are allowed"),
        pytest.param([23, 25, 26], False, id="3 µm apart where 2 µm are allowed"),
        pytest.param([60, 62, 64], False, id="4 µm apart where 3.1 µm are allowed"),
        pytest.param([98, 100, 103], True, id="5 µm apart where 5.02 µm are allowed"),
    ],
)
def test_repeats_are_kept_or_taken_again(readings: list[int], agree: bool) -> None:
    assert repeats_um([Decimal(reading) for reading in readings]).agree is agree


@given(thicknesses)
def test_repeats_agree_exactly_when_every_pair_does(readings: list[Decimal]) -> None:
    # the rule pair by pair, with the standard library's mean
    allowed = max(statistics.mean(readings) / 20, Decimal(2))
    repeats = repeats_um(readings)
    assert repeats.agree == all(abs(a - b) <= allowed for a in readings for b in readings)


def test_two_repeats_are_too_few() -> None:
    with pytest.raises(Refusal, match="at least 3"):
        repeats_um([Decimal(25), Decimal(25)])


@pytest.mark.parametrize("judge", [least_um, mean_um])
def test_no_thickness_or_one_below_nothing_is_refused(judge) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(Refusal, match="at least 1"):
        judge([])
    with pytest.raises(Refusal, match="thickness 2"):
        judge([Decimal(25), Decimal(-1)])


def test_repeats_show_their_mean_their_scatter_and_what_is_allowed() -> None:
    # by hand, ASTM B499's greater of 5 % and 2 µm: mean 100, 98 to 103, 5 % of 100; mean 25, 2 µm
    wide = repeats_um([Decimal(98), Decimal(99), Decimal(103)])
    assert (wide.mean_um, wide.scatter_um, wide.allowed_um) == (100, 5, 5)
    thin = repeats_um([Decimal(24), Decimal(25), Decimal(26)])
    assert (thin.mean_um, thin.scatter_um, thin.allowed_um) == (25, 2, 2)
