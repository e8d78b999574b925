"""The wall after honing, held against stresses worked by hand from Lamé's equations."""

from __future__ import annotations

import math

import pytest

from inspect_app.trade.measuring.carried import Carried
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.strength.hone_out import PressureCase
from inspect_app.trade.strength.wall_left import wall_use_after_honing


def open_ends_mpa(p: float, k: float) -> float:
    """von Mises at the bore, open ends: p sqrt(3 k⁴ + 1)/(k² − 1)."""
    return p * math.sqrt(3 * k**4 + 1) / (k**2 - 1)


def test_half_the_stock_is_gone_from_the_wall() -> None:
    # 125 bore, wall 13.3, honed to 125.5: wall 13.05, outside 151.6; 21 MPa, of 450/1.5 = 300 MPa
    used = wall_use_after_honing(
        bore=Carried(125),
        honed=Carried(125.5),
        wall=Carried(13.3),
        case=PressureCase(21, 1 / 1.5),
        yield_mpa=450,
    )
    assert used.value == pytest.approx(open_ends_mpa(21, 151.6 / 125.5) / 300)


def test_a_tenth_of_a_millimetre_is_nearly_two_per_cent_of_a_wall_of_five() -> None:
    # thin wall r/t = 10: stress about p (r/t + 1), of which only r/t follows the wall: 2 % x 10/11 = 1.8 %
    used = wall_use_after_honing(
        bore=Carried(100), honed=Carried(100), wall=Carried(5, 0.1), case=PressureCase(10, 0.5), yield_mpa=450
    )
    assert used.expanded / used.value == pytest.approx(0.018, abs=0.0002)
    ends = open_ends_mpa(10, 1 + 2 * 4.9 / 100), open_ends_mpa(10, 1 + 2 * 5.1 / 100)
    assert used.expanded == pytest.approx((ends[0] - ends[1]) / 2 / 225)


def test_the_case_with_the_known_stress() -> None:
    # 100/120 at 25 MPa, open ends: 152.679 MPa (handbook sum, checked by integration)
    used = wall_use_after_honing(
        bore=Carried(100), honed=Carried(100), wall=Carried(10), case=PressureCase(25, 1), yield_mpa=152.679
    )
    assert used.value == pytest.approx(1, abs=1e-5)


def test_no_wall_left_is_refused() -> None:
    with pytest.raises(Refusal, match="no wall"):
        wall_use_after_honing(
            bore=Carried(100), honed=Carried(102), wall=Carried(1), case=PressureCase(25, 1), yield_mpa=450
        )
