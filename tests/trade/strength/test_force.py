"""Forces, flows, energies and pins against published examples, and against balance of force and energy."""

from __future__ import annotations

import math
from collections.abc import Callable
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.strength.compressed_oil import (
    ATMOSPHERE_MPA,
    GAS_EXPONENT,
    effective_bulk_modulus_mpa,
    gas_energy_j,
    locked_pressure_rise_mpa,
    oil_energy_j,
    squeezed_gas_l,
    squeezed_oil_l,
)
from inspect_app.trade.strength.force import (
    annulus_area_mm2,
    circle_area_mm2,
    hydraulic_power_kw,
    pull_force_n,
    push_force_n,
    rod_side_pressure_mpa,
    speeds,
    volumes_l,
)
from inspect_app.trade.strength.pins import pin_stress

# exact by definition (NIST SP 811)
INCH_MM = 25.4
PSI_MPA = 0.45359237 * 9.80665 / 25.4**2
LBF_N = 0.45359237 * 9.80665
GALLON_L = 231 * 25.4**3 / 1e6

a_bore = st.floats(25, 600)
a_rod_share = st.floats(0.2, 0.9)
a_pressure = st.floats(0.1, 70)


# womackmachine.com, cylinder calculations: 6 in bore, 3 in rod, 2500 psi. It takes pi as 3.14, hence 0.1 %.
@pytest.mark.parametrize(
    ("got", "printed"),
    [
        pytest.param(circle_area_mm2(6 * INCH_MM) / INCH_MM**2, 28.26, id="cap area, in²"),
        pytest.param(
            annulus_area_mm2(bore_mm=6 * INCH_MM, rod_mm=3 * INCH_MM) / INCH_MM**2, 21.19, id="rod side, in²"
        ),
        pytest.param(
            push_force_n(bore_mm=6 * INCH_MM, rod_mm=3 * INCH_MM, pressure_mpa=2500 * PSI_MPA) / LBF_N,
            70_650,
            id="push, lbf",
        ),
        pytest.param(
            pull_force_n(bore_mm=6 * INCH_MM, rod_mm=3 * INCH_MM, pressure_mpa=2500 * PSI_MPA) / LBF_N,
            52_975,
            id="pull, lbf",
        ),
        pytest.param(
            push_force_n(bore_mm=6 * INCH_MM, rod_mm=0, pressure_mpa=1769.29 * PSI_MPA) / LBF_N,
            50_000,
            id="push at the printed pressure, lbf",
        ),
        pytest.param(
            pull_force_n(bore_mm=6 * INCH_MM, rod_mm=3 * INCH_MM, pressure_mpa=2359.60 * PSI_MPA) / LBF_N,
            50_000,
            id="pull at the printed pressure, lbf",
        ),
        pytest.param(
            speeds(bore_mm=6 * INCH_MM, rod_mm=3 * INCH_MM, flow_l_min=15 * GALLON_L).out_mm_s / INCH_MM,
            231 * 15 / (60 * 28.26),
            id="speed at 15 gal/min by its formula, in/s",
        ),
    ],
)
def test_six_inch_cylinder_as_a_distributor_prints_it(got: float, printed: float) -> None:
    assert got == pytest.approx(printed, rel=1e-3)


def test_six_inch_bore_is_reckoned_with_the_whole_of_pi() -> None:
    # 9 pi square inches; the page's 28.26 is 0.05 % less
    assert circle_area_mm2(6 * INCH_MM) / INCH_MM**2 == pytest.approx(9 * math.pi, rel=1e-12)


def test_hundred_by_seventy_at_two_hundred_bar_and_forty_litres() -> None:
    # data: mechanicalengineeringcourse.com; 2000 pi and the area ratio 100/51 by hand
    moved = speeds(bore_mm=100, rod_mm=70, flow_l_min=40)
    assert push_force_n(bore_mm=100, rod_mm=70, pressure_mpa=20) == pytest.approx(50_000 * math.pi)
    assert pull_force_n(bore_mm=100, rod_mm=70, pressure_mpa=20) == pytest.approx(80_111, abs=1)
    assert moved.out_mm_s == pytest.approx(84.883, abs=5e-4)
    assert moved.return_out_l_min == pytest.approx(float(40 * Fraction(51, 100)))
    assert moved.return_in_l_min == pytest.approx(float(40 * Fraction(100, 51)))
    assert hydraulic_power_kw(pressure_mpa=20, flow_l_min=40) == pytest.approx(
        200 * 40 / 600
    )  # bar l/min/600


def test_hundred_by_fifty_gives_196_kn_out_and_147_in_at_250_bar() -> None:
    # 62 500 pi and three quarters of it, by hand
    assert push_force_n(bore_mm=100, rod_mm=50, pressure_mpa=25) == pytest.approx(62_500 * math.pi)
    assert pull_force_n(bore_mm=100, rod_mm=50, pressure_mpa=25) == pytest.approx(46_875 * math.pi)


def test_back_pressure_and_friction_come_off_the_push() -> None:
    without = push_force_n(bore_mm=100, rod_mm=70, pressure_mpa=20)
    against = push_force_n(bore_mm=100, rod_mm=70, pressure_mpa=20, back_pressure_mpa=1, efficiency=0.9)
    assert against == pytest.approx(0.9 * (without - 4005.53), rel=1e-6)  # 4005.53 mm² of annulus


def test_a_blocked_rod_side_of_a_3_by_2_inch_cylinder_goes_to_3600_psi() -> None:
    # cqh.com.au prints 3500 from rounded forces (14000 lbf over 4 in²); 9/(9 - 4) of 2000 is exact
    reached = rod_side_pressure_mpa(bore_mm=3 * INCH_MM, rod_mm=2 * INCH_MM, cap_pressure_mpa=2000 * PSI_MPA)
    assert reached / PSI_MPA == pytest.approx(float(2000 * Fraction(9, 9 - 4)))
    assert reached / PSI_MPA == pytest.approx(3500, rel=0.03)


def test_a_load_on_the_rod_relieves_a_blocked_rod_side_and_a_pulling_load_adds() -> None:
    free, held, pulled = (
        rod_side_pressure_mpa(bore_mm=100, rod_mm=70, cap_pressure_mpa=16, load_n=load_n)
        for load_n in (0, 50_000, -50_000)
    )
    assert free - held == pytest.approx(50_000 / 4005.53, rel=1e-5)
    assert pulled - free == pytest.approx(50_000 / 4005.53, rel=1e-5)


def test_a_load_greater_than_the_push_is_refused() -> None:
    with pytest.raises(Refusal, match=r"more than the 125\.7 kN"):
        rod_side_pressure_mpa(bore_mm=100, rod_mm=70, cap_pressure_mpa=16, load_n=126_000)


def test_quarter_cubic_metre_of_oil_gives_way_by_0_80_litre() -> None:
    # classic physics textbook example: 0.25 m³, 1.6e7 Pa, 5.0e9 Pa (three times real hydraulic oil)
    assert squeezed_oil_l(volume_l=250, pressure_mpa=16, bulk_modulus_mpa=5000) == pytest.approx(0.80)


def test_three_thousand_psi_squeezes_oil_by_one_per_cent() -> None:
    # leeimh.com: bulk modulus 300 000 psi
    squeezed = squeezed_oil_l(volume_l=1, pressure_mpa=3000 * PSI_MPA, bulk_modulus_mpa=300_000 * PSI_MPA)
    assert squeezed == pytest.approx(0.010)


def test_energy_in_oil_is_the_work_of_pumping_it_up() -> None:
    # independent: integral of p dV, dV = V/K dp
    work_j, _ = quad(lambda p_mpa: p_mpa * 1e6 * 10e-3 / 1600, 0, 25)
    assert oil_energy_j(volume_l=10, pressure_mpa=25, bulk_modulus_mpa=1600) == pytest.approx(work_j)


def test_energy_in_trapped_gas_is_the_work_of_its_expansion() -> None:
    # independent: integral of p dV along p V^1.4, from 0.1 l at 25 MPa absolute down to the room's pressure
    start_mpa, start_l = 25.0, 0.1
    end_l = start_l * (start_mpa / ATMOSPHERE_MPA) ** (1 / GAS_EXPONENT)
    work_j, _ = quad(lambda v: start_mpa * (start_l / v) ** GAS_EXPONENT * 1000, start_l, end_l, limit=200)
    assert gas_energy_j(volume_l=start_l, pressure_mpa=start_mpa - ATMOSPHERE_MPA) == pytest.approx(work_j)


def test_a_bubble_of_one_per_cent_under_pressure_outweighs_all_the_oil() -> None:
    oil_j = oil_energy_j(volume_l=10, pressure_mpa=25, bulk_modulus_mpa=1600)
    assert gas_energy_j(volume_l=0.1, pressure_mpa=25) > 2.5 * oil_j


def test_air_left_in_shrinks_as_boyle_says() -> None:
    # p V is the same before and under 25 MPa
    under_l = squeezed_gas_l(free_l=2, pressure_mpa=25)
    assert under_l * (25 + ATMOSPHERE_MPA) == pytest.approx(2 * ATMOSPHERE_MPA)


def test_locked_oil_warmed_by_50_fahrenheit_gains_6900_psi() -> None:
    # leeimh.com worked example: K 3.0e5 psi, 4.6e-4 per °F, rigid walls
    rise = locked_pressure_rise_mpa(
        temperature_rise_c=50 / 1.8, expansion_per_c=4.6e-4 * 1.8, bulk_modulus_mpa=3.0e5 * PSI_MPA
    )
    assert rise / PSI_MPA == pytest.approx(6900)


def test_locked_oil_gains_about_11_bar_a_degree() -> None:
    # fluidpower.pro rule of thumb, 11 bar/°C; oil 7e-4 per °C and 1600 MPa from memory
    rise = locked_pressure_rise_mpa(temperature_rise_c=1, expansion_per_c=7e-4, bulk_modulus_mpa=1600)
    assert rise * 10 == pytest.approx(11, rel=0.05)


def test_a_barrel_that_grows_as_the_oil_does_gains_no_pressure() -> None:
    # a volume grows by three times the linear expansion of its walls
    rise = locked_pressure_rise_mpa(
        temperature_rise_c=30, expansion_per_c=36e-6, wall_expansion_per_c=12e-6, bulk_modulus_mpa=1600
    )
    assert rise == pytest.approx(0, abs=1e-9)


def test_oil_and_barrel_yield_one_after_the_other() -> None:
    # springs in series: the change of volume at 1 MPa is the sum of both
    together = effective_bulk_modulus_mpa(oil_bulk_modulus_mpa=1600, dilation_per_mpa=5e-5)
    assert 1 / together == pytest.approx(1 / 1600 + 5e-5)


def test_single_shear_of_a_35_mm_pin_and_bearing_on_a_40_mm_plate() -> None:
    # calculator.academy: 5 kN, 5.196 MPa in single shear (so 10 kN in double), 3.571 MPa on the plate
    assert pin_stress(force_n=10_000, pin_mm=35, eye_mm=40, fork_mm=20).shear_mpa == pytest.approx(
        5.196, abs=2e-3
    )
    assert pin_stress(force_n=5_000, pin_mm=35, eye_mm=40, fork_mm=20).eye_bearing_mpa == pytest.approx(
        3.571, abs=5e-4
    )


def test_a_pin_bends_as_a_beam_with_the_load_in_the_middle() -> None:
    # independent: moment by integrating the shear force F/2 to the middle; section modulus by integration
    force_n, pin_mm, span_mm = 200_000.0, 60.0, 50 + 25 + 2 * 1.0
    moment, _ = quad(lambda _: force_n / 2, 0, span_mm / 2)
    radius = pin_mm / 2
    inertia, _ = quad(lambda y: 2 * y**2 * math.sqrt(radius**2 - y**2), -radius, radius)
    stress = pin_stress(force_n=force_n, pin_mm=pin_mm, eye_mm=50, fork_mm=25, gap_mm=1)
    assert stress.bending_mpa == pytest.approx(moment * radius / inertia, rel=1e-6)
    assert stress.fork_bearing_mpa == pytest.approx(stress.eye_bearing_mpa)  # two cheeks of half the width


@given(a_bore, a_rod_share, a_pressure, st.floats(1, 500))
def test_power_in_is_power_out_both_ways(bore: float, share: float, pressure: float, flow: float) -> None:
    rod = bore * share
    moved = speeds(bore_mm=bore, rod_mm=rod, flow_l_min=flow)
    power_w = 1000 * hydraulic_power_kw(pressure_mpa=pressure, flow_l_min=flow)
    push = push_force_n(bore_mm=bore, rod_mm=rod, pressure_mpa=pressure)
    pull = pull_force_n(bore_mm=bore, rod_mm=rod, pressure_mpa=pressure)
    assert push * moved.out_mm_s / 1000 == pytest.approx(power_w)
    assert pull * moved.in_mm_s / 1000 == pytest.approx(power_w)
    assert 0 < pull < push
    assert moved.return_out_l_min < flow < moved.return_in_l_min


@given(a_bore, a_rod_share, a_pressure, st.floats(-1, 1))
def test_forces_on_the_piston_balance_when_the_rod_side_is_blocked(
    bore: float, share: float, pressure: float, load_share: float
) -> None:
    rod = bore * share
    push = push_force_n(bore_mm=bore, rod_mm=rod, pressure_mpa=pressure)
    reached = rod_side_pressure_mpa(
        bore_mm=bore, rod_mm=rod, cap_pressure_mpa=pressure, load_n=load_share * push
    )
    holding = pull_force_n(bore_mm=bore, rod_mm=rod, pressure_mpa=reached)
    assert holding + load_share * push == pytest.approx(push, abs=1e-9 * push)
    if load_share <= 0:
        assert reached > pressure


@given(a_bore, a_rod_share, st.floats(10, 8000))
def test_the_tank_swings_by_the_rod(bore: float, share: float, stroke: float) -> None:
    filled = volumes_l(bore_mm=bore, rod_mm=bore * share, stroke_mm=stroke)
    assert filled.rod_l == pytest.approx(math.pi / 4 * (bore * share) ** 2 * stroke / 1e6)
    assert 0 < filled.annulus_l < filled.cap_l


@given(st.floats(0.1, 500), a_pressure, st.floats(1000, 2500), st.floats(1.01, 2))
def test_energy_grows_with_the_square_in_oil_and_less_steeply_in_gas(
    volume: float, pressure: float, bulk: float, more: float
) -> None:
    oil, more_oil = (
        oil_energy_j(volume_l=volume, pressure_mpa=p, bulk_modulus_mpa=bulk)
        for p in (pressure, more * pressure)
    )
    gas, more_gas = (gas_energy_j(volume_l=volume, pressure_mpa=p) for p in (pressure, more * pressure))
    assert more_oil / oil == pytest.approx(more**2)
    assert 0 < gas < more_gas
    assert gas > oil


@pytest.mark.parametrize(
    "refused",
    [
        pytest.param(lambda: annulus_area_mm2(bore_mm=100, rod_mm=100), id="rod as thick as the bore"),
        pytest.param(lambda: push_force_n(bore_mm=100, rod_mm=70, pressure_mpa=-1), id="negative pressure"),
        pytest.param(
            lambda: push_force_n(bore_mm=100, rod_mm=70, pressure_mpa=10, efficiency=1.1),
            id="efficiency over 1",
        ),
        pytest.param(
            lambda: push_force_n(bore_mm=100, rod_mm=70, pressure_mpa=10, back_pressure_mpa=30),
            id="held in by back pressure",
        ),
        pytest.param(lambda: circle_area_mm2(math.nan), id="no number"),
        pytest.param(
            lambda: oil_energy_j(volume_l=1, pressure_mpa=25, bulk_modulus_mpa=1.6), id="bulk modulus in GPa"
        ),
        pytest.param(lambda: gas_energy_j(volume_l=-1, pressure_mpa=25), id="negative volume"),
        pytest.param(
            lambda: pin_stress(force_n=1e5, pin_mm=0, eye_mm=50, fork_mm=25), id="pin without diameter"
        ),
    ],
)
def test_nonsense_is_refused(refused: Callable[[], object]) -> None:
    with pytest.raises(Refusal):
        refused()
