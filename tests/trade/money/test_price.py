"""Prices by the one rule of rounding, margins, least charges and the longest chain: sums done by hand."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.money.lead import longest_chain
from inspect_app.trade.money.price import (
    Coin,
    amount_text,
    labour,
    marked_up,
    outside_charge,
    rounded,
    total,
    with_margin,
)

D = Decimal
COIN = Coin("XTS")


def test_tax_is_reckoned_on_the_sum_and_not_line_by_line() -> None:
    # 3 x 7.45 = 22.35; 19 % of it 4.2465 = 4.25. Line by line 1.4155 = 1.42, three times 4.26
    found = total([D("7.45")] * 3, tax=D("0.19"), coin=COIN)
    assert (found.net, found.tax, found.gross) == (D("22.35"), D("4.25"), D("26.60"))
    assert 3 * rounded(D("7.45") * D("0.19"), COIN) == D("4.26")


def test_half_a_coin_goes_up_where_bankers_would_go_to_the_even_one() -> None:
    # 0.125 to 0.13 (to even: 0.12); 2.675 has no exact float, as Decimal it is 2.68
    assert rounded(D("0.125"), COIN) == D("0.13")
    assert rounded(D("2.675"), COIN) == D("2.68")


def test_lines_are_rounded_before_they_are_added() -> None:
    # 3 x 0.335 = 1.005 = 1.01 as a sum, but 3 x 0.34 = 1.02 as lines
    assert total([D("0.335")] * 3, tax=D(0), coin=COIN).net == D("1.02")


def test_chrome_has_a_least_charge() -> None:
    # 380 + 5.90 a dm²: 10 dm² is 439, below the least of 450; 42.41 dm² is 630.22
    assert outside_charge(set_up=D(380), per_unit=D("5.90"), units=D(10), least=D(450)) == D(450)
    dear = outside_charge(set_up=D(380), per_unit=D("5.90"), units=D("42.41"), least=D(450))
    assert rounded(dear, COIN) == D("630.22")


def test_a_margin_of_a_fifth_is_a_quarter_of_the_cost() -> None:
    assert with_margin(D(100), margin=D("0.2")) == marked_up(D(100), markup=D("0.25")) == D(125)
    with pytest.raises(Refusal, match="below 1"):
        with_margin(D(100), margin=D(1))


def test_hours_are_never_negative() -> None:
    assert labour(hours=D("1.5"), rate=D(71)) == D("106.5")
    with pytest.raises(Refusal, match="hours is -1"):
        labour(hours=D(-1), rate=D(71))


@pytest.mark.parametrize(
    ("amount", "coin", "text"),
    [
        ("1234567.891", COIN, "XTS 1 234 567.89"),
        ("1234.5", Coin("XTS", D("0.01"), ",", ".", False), "1.234,50 XTS"),
        ("0.05", COIN, "XTS 0.05"),
        ("999.995", COIN, "XTS 1 000.00"),
        ("-41", Coin("XTS", D(1)), "XTS -41"),
        ("123456.5", Coin("XTS", D(1), thousands_mark=","), "XTS 123,457"),
        ("7.43", Coin("XTS", D("0.05")), "XTS 7.45"),
    ],
)
def test_an_amount_is_written_as_the_shop_writes_it(amount: str, coin: Coin, text: str) -> None:
    assert amount_text(D(amount), coin) == text


@given(st.lists(st.decimals(0, 100_000, places=4), max_size=20), st.decimals(0, 1, places=3))
def test_what_is_printed_adds_up(lines: list[Decimal], tax: Decimal) -> None:
    found = total(lines, tax=tax, coin=COIN)
    assert found.net == sum((rounded(line, COIN) for line in lines), D(0))
    assert found.gross == found.net + found.tax
    assert abs(found.tax - found.net * tax) <= D("0.005")


def test_seals_and_plating_run_side_by_side() -> None:
    # strip 1, then plating 8 beside honing 2; seals 5 from the start; fitted 1: 1 + 8 + 1 = 10, not 17
    days = {"strip": 1, "plate": 8, "hone": 2, "seals": 5, "fit": 1}
    chain = longest_chain(days, {"plate": ["strip"], "hone": ["strip"], "fit": ["plate", "hone", "seals"]})
    assert (chain.days, chain.names) == (10, ("strip", "plate", "fit"))


def test_work_that_waits_for_itself_is_refused() -> None:
    with pytest.raises(Refusal, match="waits for itself"):
        longest_chain({"a": 1, "b": 1}, {"a": ["b"], "b": ["a"]})
