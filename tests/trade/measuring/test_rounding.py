"""How a value and its uncertainty are printed together, after the Guide (JCGM 100:2008, 7.2.6, quoted from memory)."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspect_app.trade.measuring.rounding import to_match, uncertainty_text

D = Decimal


@pytest.mark.parametrize(
    ("value", "uncertainty", "printed"),
    [
        # 7.2.6: 10.057 62 with 0.027 is 10.058; 0.010 47 might be rounded up to 0.011, 0.028 05 down to 0.028
        ("10.05762", "0.027", ("10.058", "0.027")),
        ("10.05762", "0.01047", ("10.058", "0.011")),
        ("10.05762", "0.02805", ("10.058", "0.028")),
        # a micrometer that shows thousandths: no digit more than it has, for U of a few of them
        ("89.957", "0.0058", ("89.957", "0.006")),
        # nothing would be left of U at the third decimal
        ("12.0000", "0.00012", ("12.0000", "0.0002")),
        ("360.4", "123.4", ("360", "130")),
    ],
)
def test_uncertainty_has_two_digits_at_most_and_the_value_ends_at_the_same_place(
    value: str, uncertainty: str, printed: tuple[str, str]
) -> None:
    assert to_match(D(value), D(uncertainty), "length", "metric") == (*printed, "mm")


def test_without_uncertainty_a_value_has_the_decimals_of_its_kind() -> None:
    assert to_match(D("89.957"), D(0), "length", "metric") == ("89.957", "", "mm")


def test_the_uncertainty_of_a_temperature_is_a_difference() -> None:
    # 1 K is 1.8 °F, and 20 °C is 68 °F
    assert to_match(D(20), D(1), "temperature", "inch") == ("68.0", "1.8", "°F")


@given(st.decimals("0.0001", "500", places=5), st.sampled_from(["metric", "inch"]))
def test_what_is_printed_never_claims_more_than_is_known(uncertainty: Decimal, system: str) -> None:
    number = D(uncertainty_text(uncertainty, "length", system).split()[0])
    in_unit = uncertainty / (D("25.4") if system == "inch" else 1)
    assert number >= in_unit * D("0.989")
    assert len(number.as_tuple().digits) <= 2 or number == number.to_integral_value()
