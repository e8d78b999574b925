"""Wear between two visits, against arithmetic worked by hand beside it."""

from __future__ import annotations

from decimal import Decimal

import pytest

from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.wear import Change, change_between, rate_of

D = Decimal


def test_the_uncertainties_of_both_visits_come_together_and_the_rate_shares_them_over_the_time() -> None:
    # 0.3² + 0.4² = 0.5²: U = 0.005 mm; 49.960 - 49.930 = 0.030 mm lost
    worn = change_between(
        earlier=D("49.960"), later=D("49.930"), expanded_earlier=0.003, expanded_later=0.004
    )
    assert (worn.change, worn.expanded, worn.shown) == (D("-0.030"), D("0.005"), True)
    # over 6000 h, by 1000 h: 0.030 / 6 = 0.005 and 0.005 / 6 = 0.000 833
    rate = rate_of(worn, elapsed=6)
    assert rate.change == D("-0.005")
    assert float(rate.expanded) == pytest.approx(0.000833, abs=5e-7)


@pytest.mark.parametrize(
    ("later", "shown"),
    [("100.0129", False), ("100.0130", True), ("99.9871", False), ("99.9870", True)],
)
def test_a_change_that_drowns_in_its_uncertainty_shows_no_wear(later: str, shown: bool) -> None:
    # 5² + 12² = 13²: U = 0.013 mm
    change = change_between(earlier=D("100"), later=D(later), expanded_earlier=0.005, expanded_later=0.012)
    assert change.shown is shown


def test_the_same_size_with_exact_gauges_is_no_wear() -> None:
    assert not change_between(earlier=D(50), later=D(50), expanded_earlier=0, expanded_later=0).shown


def test_no_time_gives_no_rate() -> None:
    with pytest.raises(Refusal, match="greater than 0"):
        rate_of(Change(D("0.1"), D("0.01")), elapsed=0)
