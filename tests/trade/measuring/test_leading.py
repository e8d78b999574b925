"""Leading digits stand only where the last ones tell every likely reading from every other."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from inspect_app.trade.measuring.leading import Leading, leading_digits
from inspect_app.trade.measuring.refusal import Refusal

D = Decimal


def standing(low: str, high: str, before: str, decimals: int) -> Leading | None:
    return leading_digits(D(low), D(high), [D(one) for one in before.split()], decimals)


@pytest.mark.parametrize(
    ("low", "high", "before", "decimals", "digits", "ends"),
    [
        # an 8 in bore that may be 0.0008 under and 0.0079 over: 0.0087 wide, less than the 0.01 of "8.00"
        ("7.9992", "8.0079", "8.0042 8.0031", 4, "8.00", "00 79"),
        # 0.0099 wide still, 0.0100 no more: 8.0092 would end as 7.9992 does
        ("7.9992", "8.0091", "8.0042", 4, "8.00", "00 91"),
        ("7.9992", "8.0092", "8.0042", 4, "8.0", "000 092"),
        # the readings themselves differ in what would stand
        ("7.9992", "8.0079", "8.0042 7.9995", 4, None, ""),
        ("69.924", "70.020", "69.950 69.941", 3, "69.9", "24 99"),
        ("69.924", "70.020", "69.950 70.011", 3, None, ""),
        # two digits are typed at least, and none stand without the point
        ("63.470", "63.472", "63.471", 3, "63.4", "70 72"),
        ("63.47", "63.48", "63.47", 2, "63.", "47 48"),
        ("63.4", "63.6", "63.5", 1, None, ""),
        ("99.98", "100.05", "100.01", 2, "100.", "00 05"),
        # what is likely to a finer digit than is typed is rounded outwards
        ("63.4706", "63.4714", "63.471", 3, "63.4", "70 72"),
        ("0.0982", "0.1013", "0.0991 0.0998", 4, "0.09", "82 99"),
    ],
)
def test_digits_stand_as_long_as_two_last_ones_fit_one_likely_reading_only(
    low: str, high: str, before: str, decimals: int, digits: str | None, ends: str
) -> None:
    found = standing(low, high, before, decimals)
    assert (found.digits if found else None) == digits
    if found and digits:
        assert f"{found.least} {found.most}" == ends
        assert len(digits.partition(".")[2]) + found.left == decimals


@st.composite
def likely(draw: st.DrawFn) -> tuple[int, int, list[int], int]:
    """Ends and readings as whole numbers of the last digit typed, and how many decimals it is."""
    decimals = draw(st.integers(2, 5))
    low = draw(st.integers(1, 30 * 10**decimals))
    high = low + draw(st.integers(0, 3 * 10 ** draw(st.integers(1, decimals))))
    readings = st.one_of(st.integers(low, high), st.sampled_from((low, high)))
    return low, high, draw(st.lists(readings, min_size=1, max_size=5)), decimals


@given(likely(), st.data())
def test_the_last_digits_of_a_likely_reading_never_make_another_one(
    drawn: tuple[int, int, list[int], int], data: st.DataObject
) -> None:
    low, high, before, decimals = drawn
    unit = D(1).scaleb(-decimals)
    found = leading_digits(low * unit, high * unit, [n * unit for n in before], decimals)
    assume(found)
    assert found
    # whoever reads this off the gauge and types its last digits only …
    true = data.draw(st.integers(low, high))
    last = f"{true:0{found.left}d}"[-found.left :]
    if found.takes(last):
        assert D(found.digits + last) == true * unit  # … has entered it
    else:
        assert not f"{true * unit:f}".startswith(found.digits)  # … or is asked
    for reading in before:
        assert f"{reading * unit:f}".startswith(found.digits)
        assert found.takes(f"{reading:0{found.left}d}"[-found.left :])


@given(likely(), st.text("0123456789", max_size=6))
def test_a_digit_is_taken_exactly_where_a_likely_reading_goes_on_with_it(
    drawn: tuple[int, int, list[int], int], typed: str
) -> None:
    low, high, before, decimals = drawn
    unit = D(1).scaleb(-decimals)
    found = leading_digits(low * unit, high * unit, [n * unit for n in before], decimals)
    assume(found)
    assert found
    begun = found.digits.replace(".", "") + typed
    rest = 10 ** max(0, found.left - len(typed))
    numbers = range(int(begun) * rest, (int(begun) + 1) * rest)
    goes_on = len(typed) <= found.left and max(low, numbers[0]) <= min(high, numbers[-1])
    assert found.takes(typed) is goes_on


def test_what_is_no_digit_is_not_taken() -> None:
    found = standing("8.0000", "8.0079", "8.0042", 4)
    assert found
    for typed in (".", "+", "4.", " 4", "²", "٣"):
        assert not found.takes(typed), typed


@pytest.mark.parametrize(
    ("low", "high", "before"),
    [("0", "8", "7"), ("-1", "8", "7"), ("7", "8", "9"), ("7", "8", "6"), ("8", "7", "7.5"), ("7", "8", "")],
)
def test_what_cannot_be_a_size_is_refused(low: str, high: str, before: str) -> None:
    with pytest.raises(Refusal):
        standing(low, high, before, 4)
