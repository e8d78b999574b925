"""What a job says of its seals: sizes with uncertainty and clocks, the duty, and which part a ring is cut in."""

from __future__ import annotations

from dataclasses import replace

import pytest

from inspect_app.job.seals.inputs import CylinderState
from inspect_app.job.seals.of_survey import state_of
from inspect_app.job.seals.seal_list import seal_list
from inspect_app.tables.standards.handbook import shipped_handbook
from inspect_app.trade.measuring.refusal import Refusal
from tests.log import STILL, Log

HANDBOOK = shipped_handbook()


def state(log: Log) -> CylinderState:
    return state_of(log.survey(), STILL, HANDBOOK)


def test_a_groove_is_its_mean_with_what_the_gauge_may_be_wrong_by_and_its_clocks() -> None:
    log = Log(bore="100", rod="50")
    for clock, mm in (("12", "60.02"), ("2", "60.06"), ("4", "60.04")):
        log.read("rod-seal-groove-diameter", f" {clock}", mm, u2="0.04")
    log.read("rod-seal-groove-width", " ", "6.42", u2="0.02")
    log.read("rod-diameter", "25 12", "49.96", u2="0.006")
    log.read("rod-diameter", "775 12", "49.94", u2="0.006")
    groove = state(log).groove(("rod-seal", "gland"))
    assert groove.diameter
    assert groove.width
    assert groove.sealed
    # by hand: (60.02 + 60.06 + 60.04) / 3
    assert groove.diameter.value_mm == pytest.approx(60.04)
    assert (groove.diameter.expanded_mm, groove.diameter.readings) == (0.04, 3)
    assert (groove.diameter.size.least_mm, groove.diameter.size.greatest_mm) == (
        pytest.approx(59.98),
        pytest.approx(60.1),
    )
    assert (groove.width.value_mm, groove.width.readings) == (6.42, 1)
    # the rod at its mean, 49.95, and for the gap at its least
    assert groove.sealed.value_mm == pytest.approx(49.95)
    assert groove.sealed.size.least_mm == pytest.approx(49.934)
    assert groove.nominal_mm == 50
    (seal,) = [x for x in seal_list(state(log), HANDBOOK).lines if x.position == "rod-seal"]
    assert str(seal.ring) == "ISO 5597 rod 50 x 60 x 6.3"


@pytest.mark.parametrize(
    ("typed", "throttled"), [("yes", True), ("No", False), ("", None), ("perhaps", None)]
)
def test_whether_the_rod_side_is_throttled_is_a_plain_yes_or_no(typed: str, throttled: bool | None) -> None:
    log = Log(bore="100", rod="50")
    log.write("nameplate", fields={"rod_side_throttled": {"typed": typed, "value": ""}})
    assert state(log).duty.throttled is throttled


def test_of_two_gauges_the_worse_one_counts() -> None:
    log = Log(rod="50")
    log.read("rod-seal-groove-diameter", " 12", "60.02", u2="0.02")
    log.read("rod-seal-groove-diameter", " 2", "60.02", u2="0.08")
    groove = state(log).groove(("rod-seal", "gland"))
    assert groove.diameter
    assert groove.diameter.expanded_mm == 0.08


def test_a_nominal_somebody_typed_is_no_reading() -> None:
    log = Log(rod="50")
    for check, mm in (("rod-seal-groove-diameter", "60"), ("rod-seal-groove-width", "6.3")):
        log.write("nominal", check=check, typed=mm, value=mm)
    (seal,) = [x for x in seal_list(state(log), HANDBOOK).lines if x.position == "rod-seal"]
    assert str(seal.ring) == "ISO 5597 rod 50 x 60 x 6.3"
    assert "typed" in [d.objection.rule for d in seal.open_doubts]


@pytest.mark.parametrize(
    ("groove_mm", "seals_on_mm", "beside_mm"),
    [
        ("64.00", 60.0, 60.03),
        ("56.00", 60.03, 60.0),
    ],  # cut in the piston, sealing on the rod; or the other way round
)
def test_a_joint_s_ring_seals_on_the_part_that_is_farther_from_its_groove(
    groove_mm: str, seals_on_mm: float, beside_mm: float
) -> None:
    log = Log(rod="60")
    log.read("piston-static-groove-diameter", " ", groove_mm)
    log.read("rod-spigot-diameter", " 12", "60.00")
    log.read("piston-bore", " 12", "60.03")
    groove = state(log).groove(("piston-static-ring", "piston"))
    assert groove.sealed
    assert groove.land
    assert (groove.sealed.value_mm, groove.land.value_mm) == (seals_on_mm, beside_mm)


@pytest.mark.parametrize(
    ("typed", "code"),
    [("HM 46", "HM"), ("hfc", "HFC"), ("ISO VG 46, HV", "HV"), ("red oil", ""), ("", ""), ("HM or HFC", "")],
)
def test_a_fluid_is_known_by_its_code_only(typed: str, code: str) -> None:
    log = Log(rod="50")
    log.write("nameplate", fields={"fluid": {"typed": typed, "value": ""}})
    assert state(log).duty.fluid == code


def test_the_bore_swells_by_its_thinnest_wall() -> None:
    log = Log(bore="100", rod="50", rated_pressure="25")
    assert state(log).duty.swell_mm is None
    log.read("barrel-wall", "middle ", "10.2")
    log.read("barrel-wall", "cap end ", "10.0")
    # Lamé, open ends, E 206 000, ν 0.3: 100 · 25 / E · ((120² + 100²) / (120² − 100²) + 0.3) = 0.07 mm
    by_hand = 100 * 25 / 206_000 * ((120**2 + 100**2) / (120**2 - 100**2) + 0.3)
    assert state(log).duty.swell_mm == pytest.approx(by_hand, rel=0.02)


def test_a_slip_on_the_nameplate_or_at_a_check_is_a_doubt_and_not_the_end_of_the_list() -> None:
    log = Log(bore="50", rod="100", rated_pressure="25", outside_diameter="40")
    log.read("rod-seal-groove-diameter", " 12", "0")
    log.read("piston-static-groove-diameter", " ", "64.00")
    log.read("piston-static-groove-width", " ", "3.70")
    log.read("rod-spigot-diameter", " 12", "60.00")
    log.read("piston-bore", " 12", "60.03")
    assert state(log).duty.swell_mm is None
    listing = seal_list(state(log), HANDBOOK)
    (ring,) = [x for x in listing.lines if x.position == "piston-static-ring"]
    # a rod thicker than its bore
    assert "pressure" in [d.objection.rule for d in ring.open_doubts]
    (seal,) = [x for x in listing.lines if x.position == "rod-seal"]
    assert "diameter" in [d.objection.rule for d in seal.open_doubts]


def test_a_checklist_that_measures_no_kind_is_refused() -> None:
    log = Log(rod="50")
    survey = replace(log.survey(), cylinder="jack")
    with pytest.raises(Refusal, match="jack"):
        state_of(survey, STILL, HANDBOOK)
