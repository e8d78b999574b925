"""Mass of a cylinder and what the legs of a sling carry, against tables of tube and bar, charts and arithmetic."""

from __future__ import annotations

import math

import pytest

from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.strength.lifting import leg_angle_deg, leg_load_kg, off_centre_loads_kg
from inspect_app.trade.strength.mass import (
    CylinderMass,
    cylinder_mass,
    double_rod_mass,
    steel_mass_kg,
    telescopic_mass,
    tie_rod_cylinder_mass,
)
from inspect_app.trade.strength.moves import Stage

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


def each_of(mass: CylinderMass) -> tuple[float, ...]:
    return (
        mass.tube_kg,
        mass.rod_kg,
        mass.piston_kg,
        mass.gland_kg,
        mass.cap_kg,
        mass.oil_kg,
        mass.tie_rods_kg,
    )


def test_a_tie_rod_cylinder_has_square_ends_and_four_tie_rods() -> None:
    # by hand, tube 115/100, 500 + 180 = 680 long: 2532.91 mm² = 13.52 kg; rod 45: 1590.43 mm² = 8.49 kg; piston
    # 6263.55 x 80 = 3.93 kg. The tie-rods stand (115 + 20)/2 = 67.5 from the middle, 47.73 off it each way in their
    # corner, and 20 from the edge: the blocks are 2 x 67.73 = 135.46 wide, 18349.2 mm². Head (18349.2 - 1590.43)
    # x 100 = 13.16 kg; cap 18349.2 x 50 = 7.20 kg; oil 3.927 l = 3.42 kg; four tie-rods of 314.16 mm² x 700 = 6.91 kg;
    # eight nuts 30 across: (0.86603 x 900 - 314.16) x 18 = 8375 mm³ = 65.7 g each (ISO 4032 M20: 64 g, from memory),
    # 0.53 kg;
    # together 57.15
    mass = tie_rod_cylinder_mass(
        bore_mm=100,
        rod_mm=45,
        stroke_mm=500,
        outside_mm=115,
        tie_rod_mm=20,
        tie_rod_length_mm=700,
        oil_kg_l=0.87,
    )
    assert each_of(mass) == pytest.approx((13.52, 8.49, 3.93, 13.16, 7.20, 3.42, 7.43), abs=0.01)
    assert mass.total_kg == pytest.approx(57.15 * 1.1, abs=0.05)


def test_a_double_rod_cylinder_has_two_rods_two_glands_and_no_cap() -> None:
    # by hand, tube 120/100, 400 + 80 + 2 x 100 = 680 long: 3455.75 mm² = 18.45 kg; rods 70 and 56, 540 long:
    # 3848.45 + 2463.01 mm² = 26.75 kg; piston half and half, 4005.53 + 5390.97 mm² x 40 = 2.95 kg, glands x 100 =
    # 7.38 kg; oil round the thinner rod 5390.97 mm² x 400 = 2.156 l = 1.88 kg; together 57.40
    mass = double_rod_mass(bore_mm=100, rods_mm=(70, 56), stroke_mm=400, outside_mm=120, oil_kg_l=0.87)
    assert each_of(mass) == pytest.approx((18.45, 26.75, 2.95, 7.38, 0, 1.88, 0), abs=0.01)
    assert mass.total_kg == pytest.approx(57.40 * 1.1, abs=0.05)
    turned = double_rod_mass(bore_mm=100, rods_mm=(56, 70), stroke_mm=400, outside_mm=120, oil_kg_l=0.87)
    assert turned.total_kg == pytest.approx(mass.total_kg)


def test_a_telescopic_cylinder_is_weighed_stage_by_stage() -> None:
    # by hand: outer tube 163/140, 900 + 252 = 1152 long: 5473.44 mm² = 49.50 kg; stage 125/110, 1152 long:
    # 2768.53 mm² = 25.04 kg, plunger 100, 900 + 198 = 1098 long: 7853.98 mm² = 67.70 kg; feet 3121.96 mm² x 112 and
    # 1649.34 x 88 = 3.88 kg; glands x 140 and x 110 = 4.86 kg; cap 20867.2 mm² x 70 = 11.47 kg; oil 13.854 + 8.553 l
    # = 19.49 kg; together 181.93
    stages = [Stage(125, 140, 900), Stage(100, 110, 900)]
    mass = telescopic_mass(stages, outside_mm=163, oil_kg_l=0.87)
    assert each_of(mass) == pytest.approx((49.50, 92.73, 3.88, 4.86, 11.47, 19.49, 0), abs=0.01)
    assert mass.total_kg == pytest.approx(181.93 * 1.1, abs=0.05)
    with pytest.raises(Refusal, match="needs its stages"):
        telescopic_mass([], outside_mm=163, oil_kg_l=0.87)


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
