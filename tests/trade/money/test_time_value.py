"""Amounts of different years, held against worked textbook examples and accounts simulated year by year."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.money.time_value import (
    annual_cost,
    capital_recovery_factor,
    level_annual,
    present_value,
)

# ---- worked examples ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("yearly", "rate", "printed"),
    [
        # a replacement assignment (read, coursehero 6853153): defender's cumulative EUAC
        ([21_460], 0.15, 21_460.00),
        ([21_460, 25_775], 0.15, 23_466.98),
        ([21_460, 25_775, 30_665], 0.15, 25_539.84),
        # Newnan, Engineering Economic Analysis, page 410 (read), printed to the unit
        ([16_000, 14_000], 0.15, 15_070),
        ([16_000, 14_000, 13_500], 0.15, 14_618),
        ([16_000, 14_000, 13_500, 15_300], 0.15, 14_754),
        ([16_000, 14_000, 13_500, 15_300, 17_500], 0.15, 15_162),
    ],
)
def test_uneven_years_are_levelled_as_printed(yearly, rate, printed):
    tolerance = 0.006 if printed % 1 or len(yearly) == 1 else 1.0
    assert level_annual(yearly, rate=rate) == pytest.approx(printed, abs=tolerance)


def test_the_challenger_just_loses():
    # same assignment (read): 30 000, 12 years, 2 000 left, 16 000 a year, 15 %: 21 465.46, against 21 460
    challenger = annual_cost(cost=30_000, salvage=2_000, yearly_cost=16_000, rate=0.15, years=12)
    assert challenger == pytest.approx(21_465.46, abs=0.006)
    assert challenger > 21_460


@pytest.mark.parametrize(
    ("rate", "annual"),
    # White, Principles of Engineering Economic Analysis, example 11.9 (read): 889.06 at a rate typed as 16.67 %;
    # one sixth is another rate: 876.43 follows from the account simulated below
    [(0.1667, 889.06), (1 / 6, 876.43)],
)
def test_the_rate_is_taken_literally(rate, annual):
    found = annual_cost(cost=450_000, salvage=200_000, yearly_cost=-110_000, rate=rate, years=5)
    assert found == pytest.approx(annual, abs=0.006)
    assert _account_after(450_000, found + 110_000, rate, 5) == pytest.approx(200_000)


def test_the_filter_press_is_replaced():
    # White, example 11.10 (read): −428.56 with five-digit tables, 0.29832 and 0.14832
    found = annual_cost(cost=27_000, salvage=10_000, yearly_cost=-7_000, rate=0.15, years=5)
    assert found == pytest.approx(-428.56, abs=0.1)
    assert capital_recovery_factor(rate=0.15, years=5) == pytest.approx(0.29832, abs=5e-6)


def test_unequal_lives_of_the_filter_press_come_out_as_printed():
    # White, example 11.3 (read): 8 532.30 a year keeping and replacing after 5 years, 8 615.20 with new now; tables
    # of five digits
    kept = [7_000, 8_000, 9_000, 10_000, 11_000 + 29_000, 0, 1_000, 2_000, 3_000, 4_000 - 15_000]
    new = [1_000 * year for year in range(10)]
    new[-1] -= 3_000
    assert level_annual(kept, rate=0.15) == pytest.approx(8_532.30, rel=1e-4)
    now = annual_cost(cost=27_000, salvage=0, yearly_cost=0, rate=0.15, years=10)
    assert now + level_annual(new, rate=0.15) == pytest.approx(8_615.20, rel=1e-4)


def test_newnan_s_two_years_are_exact_where_the_book_rounds():
    # Newnan, problem 13-32 (read): 3000 then 3150 at 10 %; the book's 3070.41 is table rounding, exact is 3071.43
    assert level_annual([3000, 3150], rate=0.10) == pytest.approx(3000 + 150 / 2.1)


@pytest.mark.parametrize(
    ("rate", "years", "tabulated"),
    # (A/P, i, n) as the examples above and any textbook's tables print them; 15 % read, the others from memory
    [(0.15, 5, 0.29832), (0.15, 10, 0.19925), (0.10, 10, 0.16275), (0.08, 20, 0.10185), (0.0, 8, 0.125)],
)
def test_capital_recovery_is_as_tabulated(rate, years, tabulated):
    assert capital_recovery_factor(rate=rate, years=years) == pytest.approx(tabulated, abs=6e-6)


# ---- accounts simulated year by year ------------------------------------------------------------------


def _account_after(debt, payment, rate, years):
    """What is still owed on a debt paid off evenly, year by year."""
    for _ in range(years):
        debt = debt * (1 + rate) - payment
    return debt


rates = st.one_of(st.just(0.0), st.floats(0.001, 0.4))


@given(
    cost=st.floats(0, 1e6),
    left=st.floats(0, 1),
    yearly=st.floats(-1e4, 1e5),
    rate=rates,
    years=st.integers(1, 30),
)
def test_paying_the_annual_cost_leaves_just_the_salvage_owed(cost, left, yearly, rate, years):
    annual = annual_cost(cost=cost, salvage=left * cost, yearly_cost=yearly, rate=rate, years=years)
    owed = _account_after(cost, annual - yearly, rate, years)
    assert owed == pytest.approx(left * cost, abs=1e-6 * (1 + cost) * (1 + rate) ** years)


@given(amounts=st.lists(st.floats(-1e6, 1e6), max_size=30), rate=rates)
def test_the_present_value_put_in_an_account_pays_every_amount(amounts, rate):
    balance = present_value(amounts, rate=rate)
    for amount in amounts:
        balance = (balance - amount) * (1 + rate)
    assert balance == pytest.approx(0, abs=1e-7 * 1e6 * (1 + rate) ** len(amounts))


# ---- refusals -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("call", "why"),
    [
        (lambda: capital_recovery_factor(rate=8, years=5), "0.08 for 8 %"),
        (lambda: capital_recovery_factor(rate=-0.01, years=5), "negative"),
        (lambda: capital_recovery_factor(rate=0.08, years=0), "years is 0"),
        (lambda: level_annual([], rate=0.08), "years is 0"),
        (lambda: present_value([float("nan")], rate=0.08), "amount is nan"),
    ],
)
def test_what_cannot_be_is_refused_with_a_sentence(call, why):
    with pytest.raises(Refusal, match=why):
        call()
