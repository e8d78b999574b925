"""Money of repair against new, held against a worked example, brute force and random trials."""

from __future__ import annotations

from decimal import Decimal

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.money.economy import (
    Leaning,
    ShareBands,
    Way,
    annual_cost_of,
    break_even_failure_chance,
    compare,
    expected_failure_cost,
    leaning,
    money,
    repair_share,
    waiting_cost,
)
from inspect_app.trade.money.time_value import present_value

# ---- worked examples ----------------------------------------------------------------------------------


def test_the_meter_is_repaired():
    # a worked repair-or-replace meter (read, justaaa 159486): new 30 + 6, 12 years; repair 18 + 6, 8 years; 5 %
    found = compare([Way("new", cost=36, years=12), Way("repair", cost=24, years=8)], rate=0.05)
    assert [name for name, _ in found.annual_costs] == ["repair", "new"]
    assert [cost for _, cost in found.annual_costs] == pytest.approx([3.713324, 4.061715], abs=2e-6)
    assert found.saving == pytest.approx(4.061715 - 3.713324, abs=3e-6)


# ---- ways of different lives --------------------------------------------------------------------------

rates = st.one_of(st.just(0.0), st.floats(0.001, 0.4))


@given(
    repair=st.floats(100, 1e5),
    new=st.floats(100, 1e5),
    rate=rates,
    a=st.sampled_from([2, 3, 4, 6]),
    b=st.just(12),
)
def test_the_cheaper_annual_cost_is_cheaper_over_a_common_span(repair, new, rate, a, b):
    # brute force: buy again at the end of each life until both end in the same year
    def bought_again(price, years):
        return present_value([price if year % years == 0 else 0 for year in range(b)], rate=rate)

    found = compare([Way("repair", repair, a), Way("new", new, b)], rate=rate)
    totals = {"repair": bought_again(repair, a), "new": bought_again(new, b)}
    (cheaper, low), (dearer, high) = found.annual_costs
    assert totals[cheaper] <= totals[dearer] * (1 + 1e-9)
    assert high / low == pytest.approx(totals[dearer] / totals[cheaper])
    assert found.saving >= 0


# ---- risk ---------------------------------------------------------------------------------------------

REPAIR = Way("repair", cost=1400, years=3, failures=(0.25,), failure_cost=3000)
NEW = Way("new", cost=4200, years=8)


def test_a_risky_repair_loses_against_new():
    # by hand with (A/P, 8 %, 3) 0.38803 and (A/P, 8 %, 8) 0.17401 of the tables: (1400 + 750/1.08) × and 4200 ×
    found = compare([REPAIR, NEW], rate=0.08)
    assert found.annual_costs[0][0] == "new"
    assert dict(found.annual_costs) == pytest.approx(
        {"new": 4200 * 0.17401, "repair": (1400 + 750 / 1.08) * 0.38803}, rel=5e-5
    )


def test_the_expected_failures_are_the_average_of_random_lives():
    # independent: 400 000 simulated repairs, each year failing or not by its own chance
    rng = np.random.default_rng(8)
    chances = np.array([0.05, 0.10, 0.30])
    fails = rng.random((400_000, 3)) < chances
    paid = (fails * 3000 / 1.08 ** np.arange(1, 4)).sum(axis=1)
    found = expected_failure_cost(failures=chances.tolist(), failure_cost=3000, rate=0.08)
    assert found == pytest.approx(paid.mean(), abs=4 * paid.std() / 400_000**0.5)


@given(
    repair=st.floats(100, 1e4),
    new=st.floats(100, 1e5),
    failure=st.floats(100, 1e5),
    rate=rates,
    years=st.integers(1, 10),
    new_years=st.integers(1, 25),
)
def test_at_the_break_even_chance_both_ways_cost_the_same(repair, new, failure, rate, years, new_years):
    bare = Way("repair", repair, years, failure_cost=failure)
    fresh = Way("new", new, new_years)
    chance = break_even_failure_chance(repair=bare, new=fresh, rate=rate)
    if not 0 <= chance <= 1:
        # then no chance can change which way is cheaper
        sure = annual_cost_of(bare, rate=rate) - annual_cost_of(fresh, rate=rate)
        doomed = Way("repair", repair, years, failures=(1.0,), failure_cost=failure)
        lost = annual_cost_of(doomed, rate=rate) - annual_cost_of(fresh, rate=rate)
        assert sure > 0 if chance < 0 else lost < 0
        return
    risky = Way("repair", repair, years, failures=(chance,), failure_cost=failure)
    assert annual_cost_of(risky, rate=rate) == pytest.approx(annual_cost_of(fresh, rate=rate))


# ---- share and waiting --------------------------------------------------------------------------------

BANDS = ShareBands(
    repair_upto=0.5, replace_above=0.7
)  # the shop's example bands: 50 % read, 70 % common practice


@pytest.mark.parametrize(
    ("repair", "new", "leans"),
    [
        (300, 550, Leaning.DISCUSS),  # an owner's case (read, agweb.com): 300 and 450 against 550
        (450, 550, Leaning.REPLACE),
        (250, 500, Leaning.REPAIR),
        (350, 500, Leaning.DISCUSS),
        (0, 500, Leaning.REPAIR),
    ],
)
def test_the_share_leans_by_the_shop_s_bands(repair, new, leans):
    assert leaning(repair_share(repair_cost=repair, new_cost=new), BANDS) is leans


def test_waiting_is_charged_to_whoever_is_slower():
    # by hand: 35 days × 800
    assert waiting_cost(repair_days=10, new_days=45, cost_per_day=800).on_new == 28_000
    assert waiting_cost(repair_days=45, new_days=10, cost_per_day=800).on_repair == 28_000
    even = waiting_cost(repair_days=10, new_days=10, cost_per_day=800)
    assert (even.on_repair, even.on_new) == (0, 0)


@pytest.mark.parametrize(
    ("amount", "shown"),
    # commercial rounding, half a cent away from zero
    [(0.125, "0.13"), (2.675, "2.68"), (-0.005, "-0.01"), (1e6, "1000000.00"), (0, "0.00")],
)
def test_money_is_rounded_once_and_half_up(amount, shown):
    assert money(amount) == Decimal(shown)


# ---- refusals -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("call", "why"),
    [
        (lambda: repair_share(repair_cost=1, new_cost=0), "new cost is 0"),
        (lambda: leaning(0.5, ShareBands(0.7, 0.5)), "swapped"),
        (lambda: expected_failure_cost(failures=[1.5], failure_cost=1, rate=0.1), "from 0 to 1"),
        (lambda: annual_cost_of(Way("r", 1, 1, failures=(0.1, 0.1)), rate=0.1), "it serves 1"),
        (lambda: compare([NEW], rate=0.1), "at least two"),
        (lambda: break_even_failure_chance(repair=NEW, new=NEW, rate=0.1), "failure cost is 0"),
        (lambda: money(float("inf")), "amount is inf"),
    ],
)
def test_what_cannot_be_is_refused_with_a_sentence(call, why):
    with pytest.raises(Refusal, match=why):
        call()
