"""Leakage, holds and drift, held against published rules, simulation and random trials."""

from __future__ import annotations

import math
from decimal import Decimal

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from inspect_app.trade.leakage.drift import (
    DriftBands,
    DriftCondition,
    blocked_ports_lock,
    drift_condition,
    drift_meaning,
    drift_number_by_travel,
    drift_number_by_volume,
)
from inspect_app.trade.leakage.leakage import (
    OIL_DROP_ML,
    Hold,
    drift_from_leak_mm_min,
    drops_allowed,
    drops_ml,
    hold_drop,
    judge_hold,
    leak_from_drift_ml_min,
    leak_from_pressure_drop_ml_min,
    pressure_drop_from_leak_mpa,
)
from inspect_app.trade.measuring.decision import Verdict
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.strength.compressed_oil import locked_pressure_rise_mpa

# ---- pressure drop ------------------------------------------------------------------------------------


def test_a_leak_from_a_closed_volume_is_what_an_integration_of_the_emptying_says():
    # independent: dp/dt = −K Q/V integrated by scipy for 2 l at 1.4 GPa over 5 min, leak found from 10 bar lost
    lost_mpa = 1.0
    leak = leak_from_pressure_drop_ml_min(drop_mpa=lost_mpa, minutes=5, volume_ml=2000, bulk_modulus_mpa=1400)
    run = solve_ivp(lambda _t, p: [-1400 * leak / 2000], (0, 5), [25.0], rtol=1e-10)
    assert 25.0 - run.y[0][-1] == pytest.approx(lost_mpa)
    assert leak == pytest.approx(0.2857, abs=0.0005)  # 2000 × 1 / 1400 / 5 by hand


def test_oil_loses_a_per_cent_of_volume_for_three_thousand_psi():
    # a component supplier's bulk modulus page (read): K 300 000 psi, 3000 psi is 1.0 % of the volume
    psi = 0.006894757293168361
    leak = leak_from_pressure_drop_ml_min(
        drop_mpa=3000 * psi, minutes=1, volume_ml=1000, bulk_modulus_mpa=300_000 * psi
    )
    assert leak == pytest.approx(10.0)


def test_injecting_oil_raises_the_pressure_as_the_supplier_prints():
    # same page (read): 2.3 in³ per 100 in³ is 6900 psi at K 300 000 psi, in any one unit
    assert pressure_drop_from_leak_mpa(
        leak_ml_min=2.3, minutes=1, volume_ml=100, bulk_modulus_mpa=300_000
    ) == pytest.approx(6900)


@given(drop=st.floats(0, 100), minutes=st.floats(0.1, 600), volume=st.floats(1, 1e7), k=st.floats(200, 3000))
def test_pressure_drop_and_leak_go_back_and_forth(drop, minutes, volume, k):
    leak = leak_from_pressure_drop_ml_min(
        drop_mpa=drop, minutes=minutes, volume_ml=volume, bulk_modulus_mpa=k
    )
    assert leak >= 0
    back = pressure_drop_from_leak_mpa(
        leak_ml_min=leak, minutes=minutes, volume_ml=volume, bulk_modulus_mpa=k
    )
    assert back == pytest.approx(drop, rel=1e-9, abs=1e-12)


# ---- drift --------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("drift_mm", "bore_mm", "rod_mm", "expected_ml_min"),
    # by hand: area × travel: π/4 100² = 7854 mm²; π/4 (63² − 36²) = 2099 mm²
    [(1, 100, 0, 7.854), (2, 63, 36, 4.199)],
)
def test_travel_times_area_is_the_oil_that_left(drift_mm, bore_mm, rod_mm, expected_ml_min):
    leak = leak_from_drift_ml_min(drift_mm=drift_mm, minutes=1, bore_mm=bore_mm, rod_mm=rod_mm)
    assert leak == pytest.approx(expected_ml_min, abs=0.001)
    assert drift_from_leak_mm_min(leak_ml_min=leak, bore_mm=bore_mm, rod_mm=rod_mm) == pytest.approx(drift_mm)


@given(leak=st.floats(0, 1e5), bore=st.floats(10, 800), share=st.floats(0, 0.95), minutes=st.floats(0.1, 600))
def test_drift_and_leak_go_back_and_forth(leak, bore, share, minutes):
    rate = drift_from_leak_mm_min(leak_ml_min=leak, bore_mm=bore, rod_mm=share * bore)
    back = leak_from_drift_ml_min(drift_mm=rate * minutes, minutes=minutes, bore_mm=bore, rod_mm=share * bore)
    assert back == pytest.approx(leak, rel=1e-9, abs=1e-9)


def _settle(load_n, bore_mm, rod_mm, cap_ml, rod_side_ml, k_mpa):
    """Leak across a piston with both ports blocked, integrated in time until nothing flows any more."""
    cap_mm2, rod_mm2 = math.pi / 4 * bore_mm**2, math.pi / 4 * rod_mm**2
    annulus_mm2 = cap_mm2 - rod_mm2
    seal_mm3_s_mpa = 50.0

    def rates(_t, state):
        travel_mm, cap_mpa, rod_side_mpa = state
        cap_mm3, rod_side_mm3 = (
            cap_ml * 1e3 - cap_mm2 * travel_mm,
            rod_side_ml * 1e3 + annulus_mm2 * travel_mm,
        )
        flow = seal_mm3_s_mpa * (cap_mpa - rod_side_mpa)
        # the forces on the piston stay in balance: A dp1 = Aa dp2
        speed = flow * (cap_mm2 / cap_mm3 + annulus_mm2 / rod_side_mm3)
        speed /= cap_mm2**2 / cap_mm3 + annulus_mm2**2 / rod_side_mm3
        return [
            speed,
            k_mpa / cap_mm3 * (cap_mm2 * speed - flow),
            k_mpa / rod_side_mm3 * (flow - annulus_mm2 * speed),
        ]

    run = solve_ivp(rates, (0, 1e5), [0, load_n / cap_mm2, 0], method="LSODA", rtol=1e-8, atol=1e-9)
    return run.y[:, -1]


@pytest.mark.parametrize(
    ("load_n", "bore_mm", "rod_mm", "cap_ml", "rod_side_ml"),
    [(50_000, 100, 56, 4000, 2700), (200_000, 200, 140, 20_000, 9_000), (8_000, 50, 36, 900, 700)],
)
def test_a_loaded_rod_with_a_leaking_piston_locks_at_load_over_rod_area(
    load_n, bore_mm, rod_mm, cap_ml, rod_side_ml
):
    # independent: the leak simulated in time by scipy
    travel_mm, cap_mpa, rod_side_mpa = _settle(load_n, bore_mm, rod_mm, cap_ml, rod_side_ml, 1400)
    lock = blocked_ports_lock(
        load_n=load_n,
        bore_mm=bore_mm,
        rod_mm=rod_mm,
        cap_volume_ml=cap_ml,
        rod_side_volume_ml=rod_side_ml,
        bulk_modulus_mpa=1400,
    )
    assert cap_mpa == pytest.approx(rod_side_mpa, rel=1e-4)
    assert lock.equal_mpa == pytest.approx(cap_mpa, rel=1e-4)
    assert lock.travel_mm == pytest.approx(travel_mm, rel=0.04)  # linear compression, as its docstring says


@given(
    load=st.floats(1e3, 3e6),
    bore=st.floats(25, 500),
    share=st.floats(0.2, 0.9),
    stroke=st.floats(50, 3000),
    k=st.floats(800, 2000),
)
def test_the_locked_piston_always_holds_more_pressure_and_always_sinks_a_little(load, bore, share, stroke, k):
    cap_ml = math.pi / 4 * bore**2 * stroke / 1000
    lock = blocked_ports_lock(
        load_n=load,
        bore_mm=bore,
        rod_mm=share * bore,
        cap_volume_ml=cap_ml,
        rod_side_volume_ml=cap_ml,
        bulk_modulus_mpa=k,
    )
    assert lock.equal_mpa > lock.start_mpa > 0
    assert lock.travel_mm > 0
    # by geometry: the pressures stand as bore area to rod area
    assert lock.equal_mpa / lock.start_mpa == pytest.approx(1 / share**2)


def test_drift_with_both_ports_blocked_is_no_proof_of_the_piston_seal():
    # hydraulicspneumatics.com 2016-02-23 and three further pages (read): it locks, save double rod and hanging load
    usual = drift_meaning(both_ports_blocked=True, double_rod=False, load_pulls_rod_out=False)
    assert usual.startswith("Drift is not proof of a leaking piston seal")
    for exception in (
        {"double_rod": True, "load_pulls_rod_out": False},
        {"double_rod": False, "load_pulls_rod_out": True},
    ):
        assert drift_meaning(both_ports_blocked=True, **exception).startswith(
            "Drift can come from the piston seal"
        )
    open_port = drift_meaning(both_ports_blocked=False, double_rod=False, load_pulls_rod_out=False)
    assert "passes the piston" in open_port


# ---- drift number -------------------------------------------------------------------------------------

RESILIENT, CAST_IRON = (
    DriftBands(2, 10),
    DriftBands(40, 200),
)  # Hydro Plant Risk Assessment Guide, table 28 (read)


@pytest.mark.parametrize(
    ("drift_mm", "condition"),
    [
        (3, DriftCondition.GOOD),
        (4, DriftCondition.MODERATE),
        (5, DriftCondition.MODERATE),
        (24, DriftCondition.SEVERE),
    ],
)
def test_a_200_bore_is_judged_by_its_hour_of_hanging(drift_mm, condition):
    # by hand: N = L D/4t = 0.3 × 20 / 4 = 1.5 for 3 mm; the border 2 is moderate in the guide's "N >= 2"
    number = drift_number_by_travel(drift_mm=drift_mm, bore_mm=200, hours=1)
    assert drift_condition(drift_number=number, stages=1, bands=RESILIENT) is condition


def test_beside_a_rod_the_same_travel_loses_less_oil():
    # by hand: N = L (D² − d²) / (4 D t) = 0.3 × (20² − 14²) / (4 × 20 × 1) = 0.3 × 204 / 80 = 0.765
    assert drift_number_by_travel(drift_mm=3, bore_mm=200, rod_mm=140, hours=1) == pytest.approx(0.765)


def test_three_cast_iron_stages_may_leak_three_times_as_much():
    # the guide's own example: 3 stages, cast iron, some 120 ml/(cm·h)
    assert drift_condition(drift_number=110, stages=3, bands=CAST_IRON) is DriftCondition.GOOD
    assert drift_condition(drift_number=120, stages=3, bands=CAST_IRON) is DriftCondition.MODERATE
    assert drift_condition(drift_number=110, stages=1, bands=CAST_IRON) is DriftCondition.MODERATE


def test_one_ounce_per_inch_and_hour_is_11_64_as_the_guide_prints():
    # 1 US fluid ounce is 29.5735 ml; D 1 in, t 1 h, and the π of the volume form
    number = drift_number_by_volume(volume_ml=29.5735 * math.pi, bore_mm=25.4, hours=1)
    assert number == pytest.approx(11.64, abs=0.005)


@given(drift=st.floats(0, 500), bore=st.floats(20, 800), hours=st.floats(0.1, 24))
def test_both_forms_of_the_drift_number_describe_one_event(drift, bore, hours):
    volume_ml = leak_from_drift_ml_min(drift_mm=drift, minutes=1, bore_mm=bore, rod_mm=0)
    by_volume = drift_number_by_volume(volume_ml=volume_ml, bore_mm=bore, hours=hours)
    by_travel = drift_number_by_travel(drift_mm=drift, bore_mm=bore, hours=hours)
    assert by_travel == pytest.approx(by_volume, rel=1e-9, abs=1e-12)


# ---- the hold -----------------------------------------------------------------------------------------

SURE = {
    "mpa_per_c": 1.1,
    "mpa_per_c_uncertainty": 0.2,
    "gauge_uncertainty_mpa": 0.1,
    "thermometer_uncertainty_c": 0.1,
}


def test_cooling_by_one_degree_takes_eleven_bar_and_is_said_so():
    # fluidpower.pro (read): about 11 bar per °C
    drop = hold_drop(Hold(25.0, 23.9, 31.0, 30.0, 5), **SURE)
    assert drop.leak_mpa == pytest.approx(0, abs=1e-9)
    assert str(drop.remark).startswith("Cooling by 1 °C takes 11 bar: that explains the drop.")


def test_book_values_of_oil_and_steel_give_that_rule_of_thumb():
    # expansion 7e-4 and 12e-6 per °C, K 1.6 GPa (from memory): within a tenth of the read 11 bar per °C
    per_c = locked_pressure_rise_mpa(
        temperature_rise_c=1, expansion_per_c=7e-4, wall_expansion_per_c=12e-6, bulk_modulus_mpa=1600
    )
    assert per_c == pytest.approx(1.1, rel=0.1)


@pytest.mark.parametrize(
    ("hold", "says"),
    [
        (Hold(25.0, 22.0, 31.0, 30.0, 5), "of the drop; the rest is leakage"),
        (Hold(25.0, 25.0, 30.0, 31.0, 5), "Warming by 1 °C adds 11 bar: it hides as much of a leak"),
        (Hold(25.0, 27.0, 30.0, 30.5, 5), "stands higher than the temperature explains"),
    ],
)
def test_temperature_is_named_wherever_it_moves_the_result(hold, says):
    assert says in str(hold_drop(hold, **SURE).remark)


@pytest.mark.parametrize("hold", [Hold(25.0, 24.0, 30.0, 30.0, 5), Hold(25.0, 24.95, 30.0, 29.95, 5)])
def test_an_even_temperature_needs_no_remark(hold):
    assert not hold_drop(hold, **SURE).remark


def test_the_uncertainty_of_the_drop_is_that_of_random_trials():
    # independent: 200 000 random readings and coefficients, each normal with half its expanded uncertainty
    rng = np.random.default_rng(20)
    n = 200_000
    pressures = rng.normal([25.0, 23.5], 0.05, (n, 2))
    temperatures = rng.normal([34.0, 33.0], 0.05, (n, 2))
    per_c = rng.normal(1.1, 0.1, n)
    leaks = pressures[:, 0] - pressures[:, 1] - per_c * (temperatures[:, 0] - temperatures[:, 1])
    drop = hold_drop(Hold(25.0, 23.5, 34.0, 33.0, 5), **SURE)
    assert drop.leak_mpa == pytest.approx(leaks.mean(), abs=0.002)
    assert drop.expanded_uncertainty_mpa == pytest.approx(2 * leaks.std(), rel=0.01)


@pytest.mark.parametrize(
    ("end_mpa", "limit_mpa", "verdict"),
    # leak = 25 − end; U = √2 × 0.1 and √2 × 1.1 × 0.1 together = 0.2102 by hand (ISO 14253-1: guard band U)
    [
        (24.6, "0.7", Verdict.WITHIN),
        (24.6, "0.5", Verdict.UNCLEAR),
        (24.6, "0.3", Verdict.UNCLEAR),
        (24.6, "0.18", Verdict.BEYOND),
        (25.1, "0.2", Verdict.WITHIN),
        (25.1, "0.1", Verdict.UNCLEAR),
    ],
)
def test_a_hold_passes_only_when_gauge_and_thermometer_can_prove_it(end_mpa, limit_mpa, verdict):
    drop = hold_drop(Hold(25.0, end_mpa, 30.0, 30.0, 5), **SURE)
    assert judge_hold(drop, limit_mpa=Decimal(limit_mpa)).verdict is verdict


def test_what_cooling_took_is_not_held_against_the_seal():
    # 1.2 MPa lost, 1.1 of it by 1 °C; 0.1 is left, U = 0.29 by hand with 0.2 MPa/°C on the coefficient
    drop = hold_drop(Hold(25.0, 23.8, 31.0, 30.0, 5), **SURE)
    assert judge_hold(drop, limit_mpa=Decimal("0.5")).verdict is Verdict.WITHIN
    assert judge_hold(drop, limit_mpa=Decimal("0.3")).verdict is Verdict.UNCLEAR


def test_a_hold_whose_pressure_rose_without_reason_proves_nothing():
    drop = hold_drop(Hold(25.0, 26.0, 30.0, 30.0, 5), **SURE)
    with pytest.raises(Refusal, match="proves nothing"):
        judge_hold(drop, limit_mpa=Decimal("0.5"))


@given(
    start=st.floats(0, 70),
    end=st.floats(0, 70),
    start_c=st.floats(-10, 90),
    change_c=st.floats(-5, 5),
    per_c=st.floats(0.3, 1.5),
    gauge=st.floats(0.005, 2),
)
def test_any_plausible_hold_adds_up(start, end, start_c, change_c, per_c, gauge):
    drop = hold_drop(
        Hold(start, end, start_c, start_c + change_c, 5),
        mpa_per_c=per_c,
        mpa_per_c_uncertainty=0.2 * per_c,
        gauge_uncertainty_mpa=gauge,
        thermometer_uncertainty_c=0.2,
    )
    assert drop.seen_mpa == pytest.approx(drop.cooling_mpa + drop.leak_mpa)
    assert drop.expanded_uncertainty_mpa >= math.sqrt(2) * gauge
    if "explains the drop" in str(drop.remark):
        assert drop.seen_mpa > 0
        assert drop.cooling_mpa > 0
        assert drop.leak_mpa <= drop.expanded_uncertainty_mpa


# ---- drops --------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("packings", "cycles", "drops"),
    # MIL-PRF-5503G (read): not more than one drop per packing per 25 cycles
    [(3, 50, 6), (1, 25, 1), (1, 24, 0), (2, 30, 2), (0, 100, 0)],
)
def test_one_drop_per_packing_per_25_cycles(packings, cycles, drops):
    assert drops_allowed(packings=packings, cycles=cycles, cycles_per_drop=25) == drops


def test_a_year_of_three_drops_a_minute_is_nine_gallons():
    # hydraulicspneumatics.com (read): 3 drops/min, 24 h, 250 days: 9.348 US gallons of 3785.41 ml
    assert drops_ml(drops=3 * 60 * 24 * 250) / 3785.41 == pytest.approx(9.348, rel=0.002)


def test_falling_drops_of_a_lubricator_are_as_big():
    # sloanlubrication.com (read): 14 115 drops to the pint of 473.176 ml
    assert pytest.approx(473.176 / 14_115, rel=0.03) == OIL_DROP_ML


# ---- refusals -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("call", "why"),
    [
        (
            lambda: leak_from_pressure_drop_ml_min(
                drop_mpa=-1, minutes=5, volume_ml=1, bulk_modulus_mpa=1400
            ),
            "drop is -10 bar",
        ),
        (lambda: leak_from_drift_ml_min(drift_mm=1, minutes=0, bore_mm=100, rod_mm=0), "minutes is 0"),
        (lambda: leak_from_drift_ml_min(drift_mm=1, minutes=1, bore_mm=100, rod_mm=100), "rod"),
        (lambda: drops_allowed(packings=1, cycles=1, cycles_per_drop=0), "cycles per drop"),
        (lambda: drift_number_by_travel(drift_mm=1, bore_mm=200, hours=0), "hours is 0"),
        (
            lambda: drift_number_by_travel(drift_mm=1, bore_mm=200, hours=1, rod_mm=200),
            "thinner than the bore",
        ),
        (lambda: drift_condition(drift_number=1, stages=0, bands=RESILIENT), "stages is 0"),
        (lambda: hold_drop(Hold(25, 24, math.nan, 30, 5), **SURE), "start is nan"),
        (lambda: hold_drop(Hold(25, 24, 30, 30, 0), **SURE), "minutes is 0"),
    ],
)
def test_what_cannot_be_is_refused_with_a_sentence(call, why):
    with pytest.raises(Refusal, match=why):
        call()
