"""The least-squares solver, held against numpy."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from inspect_app.trade.form.least_squares import coefficient_weights, least_squares, solve
from inspect_app.trade.measuring.refusal import Refusal


@given(st.integers(2, 5), st.data())
def test_least_squares_agrees_with_numpy(unknowns: int, data: st.DataObject) -> None:
    numbers = st.integers(-1000, 1000).map(lambda n: n / 100)
    rows = data.draw(
        st.lists(st.lists(numbers, min_size=unknowns, max_size=unknowns), min_size=unknowns, max_size=12)
    )
    values = data.draw(st.lists(numbers, min_size=len(rows), max_size=len(rows)))
    assume(np.linalg.cond(np.array(rows)) < 1e3)
    expected = np.linalg.lstsq(np.array(rows), np.array(values), rcond=None)[0]  # numpy
    assert least_squares(rows, values) == pytest.approx(expected.tolist(), rel=1e-6, abs=1e-6)
    inverse = np.linalg.pinv(np.array(rows))  # numpy
    for ours, theirs in zip(coefficient_weights(rows), inverse, strict=True):
        assert ours == pytest.approx(theirs.tolist(), rel=1e-5, abs=1e-6)


def test_equations_that_do_not_settle_their_unknowns_are_refused() -> None:
    with pytest.raises(Refusal, match="further apart"):
        solve([[1, 2], [2, 4]], [1, 2])


def test_a_row_that_begins_with_nothing_is_no_hindrance() -> None:
    # by hand: y = 2, 3x + y = 8
    assert solve([[0, 1], [3, 1]], [2, 8]) == [2, 2]


def test_the_greatest_pivot_is_taken_wherever_it_stands() -> None:
    # by hand: x = 1, y = 2 twice; the last row begins with nothing, or with so little that its digits are lost
    assert solve([[1, 1], [0, 1]], [3, 2]) == [1, 2]
    assert solve([[1, 1], [1e-20, 1]], [3, 2]) == [1, 2]
    assert solve([[-5, 1], [1, 1]], [-3, 3]) == pytest.approx([1, 2])
