"""Mass of a cylinder and what the legs of a sling carry, against tables of tube and bar, charts and arithmetic."""

from __future__ import annotations

import math

import pytest

from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.strength.lifting import leg_angle_deg, leg_load_kg, off_centre_loads_kg
from inspect_app.trade.strength.mass import cylinder_mass, steel_mass_kg

LB_KG = 0.45359237


@pytest.mark.parametrize(
    ("outside_mm", "inside_mm", "length_mm", "kg"),
    [
        (60.3, 50.3, 1000, 6.82),  # EN 10220, 60.3 x 5, from memory
        (88.9, 80.9, 1000, 8.38),  # EN 10220, 88.9 x 4, from memory
        (20, 0, 1000, 2.47),  # round bar of handbooks, kg/m
        (2.375 * 25.4, 2.067 * 25.4, 304.8, 3.65 * LB_KG),  # ASME B36.10, NPS 2 schedule 40: 3.65 lb/ft
    ],
)
def test_tubes_and_bars_weigh_what_the_tables_say(
    outside_mm: float, inside_mm: float, length_mm: float, kg: float
) -> None:
    found = steel_mass_kg(outside_mm=outside_mm, inside_mm=inside_mm, length_mm=length_mm)
    assert found == pytest.approx(kg, rel=3e-3)


def test_a_cylinder_of_100_by_56_by_800_weighs_69_kilograms() -> None:
    # by hand, tube 120/100: pi/4 x 4400 = 3455.75 mm² x 980 mm = 26.59 kg; rod 2463.01 x 980 = 18.95 kg;
    # piston 5390.97 x 80 = 3.39 kg, gland x 100 = 4.23 kg; cap 11309.73 x 50 = 4.44 kg;
    # oil 6.283 l x 0.87 = 5.47 kg; together 63.06, and a tenth more
    mass = cylinder_mass(bore_mm=100, rod_mm=56, stroke_mm=800, outside_mm=120, oil_kg_l=0.87)
    found = (mass.tube_kg, mass.rod_kg, mass.piston_kg, mass.gland_kg, mass.cap_kg, mass.oil_kg)
    assert found == pytest.approx((26.59, 18.95, 3.39, 4.23, 4.44, 5.47), abs=0.01)
    assert mass.total_kg == pytest.approx(63.06 * 1.1, abs=0.05)


def test_a_cylinder_without_a_wall_is_refused_not_taken_for_light() -> None:
    with pytest.raises(Refusal, match="inside is 100 mm in 100 mm of steel"):
        cylinder_mass(bore_mm=100, rod_mm=56, stroke_mm=800, outside_mm=100, oil_kg_l=0.87)


@pytest.mark.parametrize(("angle", "factor"), [(90, 0.5), (60, 0.577), (45, 0.707), (30, 1.0)])
def test_two_legs_carry_what_the_chart_says(angle: float, factor: float) -> None:
    # sling charts, each of two legs as a share of the mass
    assert leg_load_kg(mass_kg=1000, legs=2, angle_deg=angle) == pytest.approx(1000 * factor, abs=0.5)


def test_of_more_legs_two_are_counted_and_one_carries_all() -> None:
    two, four = (leg_load_kg(mass_kg=800, legs=n, angle_deg=60) for n in (2, 4))
    assert two == four
    assert leg_load_kg(mass_kg=800, legs=1, angle_deg=90) == 800


def test_an_angle_from_the_vertical_is_turned_and_a_flat_leg_refused() -> None:
    assert leg_angle_deg(30, from_vertical=True) == 60
    assert leg_angle_deg(30, from_vertical=False) == 30
    with pytest.raises(Refusal, match=r"29\.9° from the horizontal is too flat; at least 30°"):
        leg_angle_deg(29.9, from_vertical=False)
    with pytest.raises(Refusal, match="29° from the horizontal"):
        leg_angle_deg(61, from_vertical=True)
    with pytest.raises(Refusal, match="between 0° and 90°"):
        leg_angle_deg(120, from_vertical=False)
    with pytest.raises(Refusal, match="too flat"):
        leg_load_kg(mass_kg=1000, legs=2, angle_deg=20)


def test_off_the_middle_the_nearer_leg_carries_more_and_both_balance() -> None:
    # by hand, 300 and 900, hook 700 up: 0.75 m / sin(atan(700/300)) = 0.75 / 0.9191 = 0.816 m;
    # the farther 0.25 / sin(atan(700/900)) = 0.25 / 0.6139 = 0.407 m
    near, far = off_centre_loads_kg(mass_kg=1000, near_mm=300, far_mm=900, hook_mm=700)
    assert (near, far) == pytest.approx((816, 407), abs=0.5)
    # their pulls along the load cancel, and upwards they are the mass
    at = math.atan2(700, 300), math.atan2(700, 900)
    assert near * math.cos(at[0]) == pytest.approx(far * math.cos(at[1]))
    assert near * math.sin(at[0]) + far * math.sin(at[1]) == pytest.approx(1000)
    with pytest.raises(Refusal, match="too flat"):
        off_centre_loads_kg(mass_kg=1000, near_mm=300, far_mm=1300, hook_mm=700)
