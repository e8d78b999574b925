"""Areas, stock and masses that prices grow with, worked by hand."""

from __future__ import annotations

import math

import pytest

from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.money.bases import chromed_area_dm2, honed_stock_steps
from inspect_app.trade.strength.mass import handled_mass_kg, steel_mass_kg


def test_a_rod_of_ninety_by_fifteen_hundred_has_42_square_decimetres() -> None:
    # pi x 0.9 dm x 15 dm = 42.41 dm²
    assert chromed_area_dm2(diameter_mm=90, length_mm=1500) == pytest.approx(math.pi * 0.9 * 15)


def test_steel_weighs_490_pounds_a_cubic_foot() -> None:
    # a bar of 1 ft² section and 1 ft: d = sqrt(4/pi) ft; 490 lb = 222.26 kg, printed round
    d_mm = math.sqrt(4 / math.pi) * 304.8
    assert steel_mass_kg(outside_mm=d_mm, length_mm=304.8) == pytest.approx(490 * 0.45359237, rel=2e-3)


def test_a_tube_is_its_bar_less_its_bore() -> None:
    # 152/125 x 1000: pi/4 x (23104 - 15625) x 1000 = 5 874 000 mm³, 46.1 kg
    tube = steel_mass_kg(outside_mm=152, inside_mm=125, length_mm=1000)
    assert tube == pytest.approx(math.pi / 4 * 7479 * 1000 * 7850e-9)
    assert tube == pytest.approx(46.1, abs=0.05)


def test_a_quarter_millimetre_over_a_metre_and_a_half_is_375_steps() -> None:
    assert honed_stock_steps(stock_mm=0.25, length_mm=1500) == pytest.approx(25 * 15)


def test_an_unknown_mass_is_never_nothing() -> None:
    with pytest.raises(Refusal, match="mass is 0 kg"):
        handled_mass_kg(46.1, 0, share_more=0.1)
    with pytest.raises(Refusal, match="No mass"):
        handled_mass_kg(share_more=0.1)
