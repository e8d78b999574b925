"""The least-squares solver, held against numpy."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from inspect_app.trade.least_squares import least_squares


@given(st.integers(2, 5), st.data())
@settings(max_examples=200, deadline=None)
def test_least_squares_agrees_with_numpy(unknowns: int, data: st.DataObject) -> None:
    numbers = st.floats(-10, 10, allow_subnormal=False)
    rows = data.draw(
        st.lists(st.lists(numbers, min_size=unknowns, max_size=unknowns), min_size=unknowns, max_size=12)
    )
    values = data.draw(st.lists(numbers, min_size=len(rows), max_size=len(rows)))
    assume(np.linalg.cond(np.array(rows)) < 1e3)
    expected = np.linalg.lstsq(np.array(rows), np.array(values), rcond=None)[0]  # numpy
    assert least_squares(rows, values) == pytest.approx(expected.tolist(), rel=1e-6, abs=1e-6)
