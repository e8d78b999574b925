"""A length read off a photograph, against arithmetic worked out beside it."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspect_app.trade.measuring.in_pictures import read_off
from inspect_app.trade.measuring.refusal import Refusal


def test_a_length_is_to_the_known_size_as_their_lengths_in_the_picture() -> None:
    # a rule's 50 mm are 400 px long, a score 310 px: 50 x 310 / 400 = 38.75 mm
    read = read_off(Decimal(50), 400, 310, 3)
    assert read.value_mm == Decimal("38.75")
    # every end 3 px off: the score may be 6 px longer, 6 x 50 / 400 = 0.75 mm, and the rule 6 px shorter, which
    # makes the score 6 / 400 = 1.5 % longer, 0.58125 mm
    assert read.error_mm == Decimal("0.75") + Decimal("0.58125")


def test_a_known_size_measured_by_itself_is_itself() -> None:
    assert read_off(Decimal("25.4"), 733, 733, 0).value_mm == Decimal("25.4")
    assert read_off(Decimal("25.4"), 733, 733, 0).error_mm == 0


@given(st.integers(40, 2000), st.integers(1, 2000), st.integers(0, 4))
def test_no_slip_of_the_touched_points_leads_further_off_than_is_said(
    scale: int, length: int, off: int
) -> None:
    read = read_off(Decimal(50), scale, length, off)
    # the ends touched as badly as they can be, to first order: what is left is of the second
    longest = 50 * (length + 2 * off) / (scale - 2 * off)
    second = (
        50 * (length + 2 * off) * 4 * off**2 / (scale**2 * (scale - 2 * off)) + 50 * 4 * off**2 / scale**2
    )
    assert longest - float(read.value_mm) <= float(read.error_mm) + second + 1e-9
    assert float(read.value_mm) - 50 * (length - 2 * off) / (scale + 2 * off) <= float(read.error_mm) + 1e-9


@pytest.mark.parametrize(("known", "scale"), [(Decimal(0), 400.0), (Decimal(50), 11.0), (Decimal(50), 0.0)])
def test_what_scales_nothing_is_refused(known: Decimal, scale: float) -> None:
    with pytest.raises(Refusal, match="known size"):
        read_off(known, scale, 100, 3)
