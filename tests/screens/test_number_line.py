"""The number line: what keys make of it behind leading digits, and that a number typed in full is never mixed."""

from __future__ import annotations

from decimal import Decimal
from functools import reduce

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspect_app.screens.pieces.keypad import Line, pressed
from inspect_app.trade.measuring.leading import Leading, leading_digits

INCH = leading_digits(Decimal("7.9992"), Decimal("8.0079"), [Decimal("8.0042")], 4)
METRIC = leading_digits(Decimal("99.98"), Decimal("100.45"), [Decimal("100.04")], 3)
assert INCH
assert METRIC
STANDING = {"in": INCH, "mm": METRIC}  # "8.00" before 00 to 79; "100." before 000 to 450


def after(keys: str, leading: Leading | None = INCH) -> Line:
    return reduce(Line.press, keys, Line(leading))


@pytest.mark.parametrize(
    ("keys", "stands", "text"),
    [
        ("", "8.00", ""),
        ("4", "8.00", "8.004"),
        ("42", "8.00", "8.0042"),
        ("42⌫⌫", "8.00", ""),
        # deleting into them removes them, and an emptied line has them again
        ("⌫", "", ""),
        ("⌫⌫", "", ""),
        ("⌫42", "", "42"),
        ("⌫8.0042", "", "8.0042"),
        ("⌫8⌫", "8.00", ""),
        # a number of its own: with a point, a sign, a blank, a slash
        ("8.0042", "", "8.0042"),
        (".5", "", ".5"),
        ("±", "", "+"),
        ("±.0012", "", "+.0012"),
        ("±±±", "8.00", ""),
        ("8 1/4", "", "8 1/4"),
        # a digit that cannot follow, and one too many
        ("8", "", "8"),
        ("95", "", "95"),
        ("7", "8.00", "8.007"),
        ("423", "", "423"),
        ("80042", "", "80042"),
        # a slip taken back leaves what stood before it
        ("9⌫4", "8.00", "8.004"),
        ("4⌫", "8.00", ""),
        ("423⌫", "8.00", "8.0042"),
    ],
)
def test_the_line_after_these_keys(keys: str, stands: str, text: str) -> None:
    line = after(keys)
    assert (line.stands, line.text) == (stands, text)


@pytest.mark.parametrize(
    ("keys", "unit", "behind"),
    [
        ("42", "in", ""),
        ("4", "in", "8.004"),  # one is missing
        ("95", "in", "8.0095"),  # not likely behind them, and not likely alone
        ("9", "in", "8.009"),
        ("423", "in", ""),  # too many: it is what was typed
        ("8.0042", "in", ""),
        ("⌫42", "in", ""),
        ("100", "mm", "100.100"),  # whole, or behind: both are likely
        ("044", "mm", ""),
        ("04", "mm", "100.04"),
    ],
)
def test_what_could_be_two_numbers_is_asked_about(keys: str, unit: str, behind: str) -> None:
    assert after(keys, STANDING[unit]).behind == behind


@pytest.mark.parametrize(
    ("keys", "behind"),
    [
        ("12", ""),
        ("1", "0.01"),  # one is missing
        ("121", "0.0121"),  # a digit more than before: .0121, .121 or 121
        ("0121", "0.00121"),
        (".121", ""),
        ("⌫121", ""),
    ],
)
def test_behind_noughts_a_number_with_more_digits_is_asked_about(keys: str, behind: str) -> None:
    assert after(keys, Leading("0.0", 2, "00", "99")).behind == behind


@given(
    st.sampled_from([*STANDING.values(), None]),
    st.one_of(
        st.decimals(0, 300, places=4).map(str),
        st.decimals(0, 300, places=2).map(lambda d: f"{d:f}".lstrip("0")),
        st.integers(0, 99999).map(str),
        st.sampled_from(["8 1/4", "2 1/2", "±.003", "±±.01", "7.9998", "100.1", "8,0042"]),
    ),
    st.lists(st.sampled_from("0123456789.±"), max_size=4),
)
def test_a_number_typed_in_full_stands_as_typed_or_is_asked_about(
    leading: Leading | None, number: str, slips: list[str]
) -> None:
    line = reduce(Line.press, [key for slip in slips for key in (slip, "⌫")], Line(leading))
    line = reduce(Line.press, number, line)
    alone = reduce(pressed, number, "")
    if leading and alone.isdigit() and len(alone) == leading.left and not line.behind and not line.whole:
        # digits alone, so many as were left and likely: these are the last ones, nobody types a size so
        assert line.text == leading.digits + alone
        assert alone != leading.digits.partition(".")[0]
    else:
        assert line.text == alone or line.behind


@given(st.sampled_from(list(STANDING.values())), st.lists(st.sampled_from("0123456789.±⌫ /"), max_size=12))
def test_nothing_but_keys_and_the_digits_that_stand_is_ever_entered(
    leading: Leading, keys: list[str]
) -> None:
    line = reduce(Line.press, keys, Line(leading))
    assert line.text in ("", line.typed, leading.digits + line.typed)
    assert bool(line.text) is bool(line.typed)
    assert not (line.stands and line.left == 0 and not line.typed)
