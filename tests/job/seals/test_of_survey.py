"""What a job says of its seals: sizes with uncertainty and clocks, the duty, and which part a ring is cut in."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from inspect_app.entries.seals import Gauged, Receipt
from inspect_app.job.seals.inputs import (
    Closing,
    CylinderState,
    Duty,
    Energiser,
    Fitted,
    Known,
    SheetFigure,
    Stated,
)
from inspect_app.job.seals.line import SealLine
from inspect_app.job.seals.of_survey import sections_of, state_of, swell_of
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


# --- what people said of the seals

ROD_SEAL = ("rod-seal", "gland")
AT = {"position": "rod-seal", "place": "gland"}


def a_rod_seal() -> Log:
    """A rod seal in a groove of ISO 5597, 50 x 60 x 6.3, on a bent rod."""
    log = Log(bore="100", rod="50", rated_pressure="20", stroke="800", support_span="800")
    log.read("rod-seal-groove-diameter", " 12", "60.02", u2="0.02")
    log.read("rod-seal-groove-width", " ", "6.36", u2="0.02")
    log.read("rod-diameter", "25 12", "49.96", u2="0.006")
    return log


def line_of(log: Log, where: tuple[str, str] = ROD_SEAL) -> SealLine:
    (line,) = [x for x in seal_list(state(log), HANDBOOK).lines if x.where == where]
    return line


def there(log: Log, position: str, place: str, answer: str = "there", **more: object) -> None:
    said = {"count": "", "fitted": "", "material": "", "corner": {}, "lead_in": ""} | more
    log.write("seal", position=position, place=place, answer=answer, **said)


def test_a_doubt_somebody_closed_is_named_with_initials_and_reason_and_open_again_when_it_says_something_else() -> (
    None
):
    log = a_rod_seal()
    (memory,) = [d.objection for d in line_of(log).open_doubts if d.objection.rule == "memory"]
    body = {**AT, "doubt": "memory", "reason": "row read in the standard"}
    log.write("seal-doubt", **body, says="Quoted from memory: something else.")
    assert "memory" in [d.objection.rule for d in line_of(log).open_doubts]
    log.write("seal-doubt", **body, says=str(memory.sentence))
    assert "memory" not in [d.objection.rule for d in line_of(log).open_doubts]
    (closed,) = [d.closed for d in line_of(log).doubts if d.closed]
    assert (closed.by, closed.reason) == ("AB", "row read in the standard")


def test_a_figure_off_the_sheet_is_held_against_what_is_there_and_both_numbers_stand() -> None:
    log = a_rod_seal()
    for figure, value in (("greatest pressure", "20"), ("greatest speed", "30000")):
        log.write("seal-sheet", **AT, figure=figure, typed=value, value=value, sheet="S-4")
    line = line_of(log)
    said = {s.name: str(s.sentence) for s in line.steps}
    # the rod side of 100 / 50: 20 · 100² / (100² − 50²) = 26.7 MPa
    assert said["greatest pressure, the seal's sheet"].endswith(
        "200 bar; the pressure at this seal is 266.7 bar."
    )
    assert said["greatest speed, the seal's sheet"].endswith("0.5 m/s; the rod's speed is not known.")
    beyond = [d.objection.rule for d in line.open_doubts if d.objection.rule.startswith("sheet-")]
    assert beyond == ["sheet-greatest-pressure"]


def test_a_gap_off_the_sheet_settles_the_doubt_that_asks_for_it() -> None:
    log = a_rod_seal()
    log.read("gland-bore", " 12", "50.10")
    assert "sheet" in [d.objection.rule for d in line_of(log).open_doubts]
    log.write("seal-sheet", **AT, figure="greatest gap", typed="0.5 mm", value="0.5", sheet="S-4")
    assert "sheet" not in [d.objection.rule for d in line_of(log).open_doubts]
    assert "Sheet S-4: at most 0.5 mm radial" in " ".join(str(s.sentence) for s in line_of(log).steps)


def test_all_that_is_told_of_a_seal_and_its_duty_stands_in_the_state() -> None:
    log = Log(
        bore="100",
        rod="50",
        rated_pressure="16",
        coldest_start="-20",
        oil_temperature="80",
        rod_speed="30000",
    )
    log.write("nameplate", fields={"fluid": {"typed": "HM 46", "value": ""}})
    log.write("nominal", check="rod-seal-groove-diameter", typed="60", value="60")
    there(
        log, *ROD_SEAL, count="2", fitted="lip seal", material="NBR 70", corner={"typed": "0.3", "value": "0.3"},
        lead_in="20°, 4 mm", lips=["rod side"], behind={"typed": "6.99", "value": "6.99"}, word="fax of 3 March",
    )  # fmt: skip
    log.write(
        "old-seal", **AT, states=["swollen"], section={"typed": "5.5", "value": "5.5"},
        hardness={"typed": "82", "value": "82"}, note="",
    )  # fmt: skip
    for figure, value in (("greatest pressure", "20"), ("greatest gap", "0.5"), ("hottest", "90")):
        log.write("seal-sheet", **AT, figure=figure, typed=value, value=value, sheet="S-4")
    log.write("seal-doubt", **AT, doubt="memory", says="it said so", reason="read in the standard")
    told = state(log)
    groove = told.groove(ROD_SEAL)
    assert (groove.number, groove.corner_mm, groove.lead_in, groove.lips_face) == (
        2,
        0.3,
        "20°, 4 mm",
        ("rod side",),
    )
    assert groove.diameter == Known(60, 0.05, 0)  # typed: half a tenth, and no clock was read
    assert groove.old_section == Known(5.5, 0.05, 1)
    assert told.said[ROD_SEAL] == "there"
    assert told.fitted == {ROD_SEAL: Fitted("lip seal", "NBR 70")}
    assert told.energisers == {ROD_SEAL: Energiser(6.99, "fax of 3 March")}
    assert told.sheets == {ROD_SEAL: SheetFigure(0.5, "S-4")}
    assert told.stated == {ROD_SEAL: (Stated("greatest pressure", 20, "S-4"), Stated("hottest", 90, "S-4"))}
    assert told.closed == {(*ROD_SEAL, "memory", "it said so"): Closing("AB", "read in the standard")}
    old = told.old[ROD_SEAL]
    assert (*(s.id for s in old.states), old.section_mm, old.hardness_shore_a) == ("swollen", 5.5, 82)
    # 30 000 mm/min / 60 000; neither wall nor outside is known, so nothing of a swelling
    assert told.duty == Duty("HM", 16, None, -20, 80, 0.5, None)
    assert (told.kind, told.stages, told.sizes, told.bore_mm, told.rod_mm) == (
        "double-acting",
        0,
        "metric",
        100,
        50,
    )


def test_a_bore_grows_by_the_thinnest_wall_read_and_else_by_the_outside_on_the_nameplate() -> None:
    # thick wall, open ends, 206 000 MPa, 0.3: 16 x 100 / 206 000 x ((120² + 100²) / (120² - 100²) + 0.3) = 0.0454;
    # a wall of 8 mm, 116 outside: 16 x 100 / 206 000 x ((116² + 100²) / (116² - 100²) + 0.3) = 0.0550
    log = Log(bore="100", rod="50", rated_pressure="16", outside_diameter="120")
    assert swell_of(log.survey(), STILL) == pytest.approx(0.0454, rel=0.01)
    log.read("barrel-wall", "300 12", "8.00")
    log.read("barrel-wall", "600 12", "9.00")
    assert swell_of(log.survey(), STILL) == pytest.approx(0.0550, rel=0.01)
    # honed to 101, the outside stays: 16 x 101 / 206 000 x ((116² + 101²) / (116² - 101²) + 0.3) = 0.0594
    assert swell_of(log.survey(), STILL, bore_mm=101) == pytest.approx(0.0594, rel=0.01)
    assert swell_of(Log(bore="100", rod="50", outside_diameter="120").survey(), STILL) is None
    assert swell_of(Log(bore="100", rated_pressure="16", outside_diameter="90").survey(), STILL) is None


def test_an_old_seal_points_and_fits_where_the_rod_is_bent_by_its_readings() -> None:
    log = a_rod_seal()
    log.write("old-seal", **AT, states=["worn-on-one-side", "cut"], section={}, hardness={}, note="")
    assert [(p.state, p.fits) for p in line_of(log).old] == [("worn-on-one-side", False), ("cut", False)]
    for station in ("25", "400", "775"):
        log.read("rod-runout", f"{station} ", "3.0")  # 3 mm over 0.8 m, far beyond 1 mm per metre
    worn, cut = line_of(log).old
    assert worn.fits
    assert str(worn.sentence).endswith("Runout (TIR) 3 mm is outside its limit.")
    assert not cut.fits  # nothing that is measured says anything of dirt
    assert line_of(log).quantity == 1  # it changes nothing of what is ordered


def test_an_old_ring_is_held_against_a_new_one_and_the_material_that_was_fitted() -> None:
    where = ("piston-static-ring", "piston")
    log = Log(bore="100", rod="60")
    log.write("nameplate", fields={"oil_temperature": {"typed": "110 °C", "value": "110"}})
    log.read("piston-static-groove-diameter", " ", "54.36")
    log.read("piston-static-groove-width", " ", "4.80")
    log.read("rod-spigot-diameter", " 12", "60.00")
    log.read("piston-bore", " 12", "60.03")
    ring = line_of(log, where)
    assert ring.housing
    assert ring.housing.ring_section_mm == 3.53
    there(log, *where, fitted="O-ring 53 x 3.5", material="NBR 70")
    log.write(
        "old-seal", position=where[0], place=where[1], states=["flattened", "hard-and-cracked", "swollen"],
        section={"typed": "3.15", "value": "3.15"}, hardness={"typed": "82 Shore A", "value": "82"}, note="",
    )  # fmt: skip
    said = {p.state: (p.fits, str(p.sentence)) for p in line_of(log, where).old}
    # groove to the part it seals on: (60.03 − 54.36) / 2 = 2.835; (3.53 − 3.15) / (3.53 − 2.835) = 55 %
    assert "55 % of its squeeze is kept as set." in said["flattened"][1]
    # NBR stands 100 °C, 82 is beyond 70 ± 5
    assert "The oil reaches 110 °C; NBR stands 100 °C." in said["hard-and-cracked"][1]
    assert "It measures 82 Shore A; new it had 70 ± 5." in said["hard-and-cracked"][1]
    assert not said["swollen"][0]
    assert "As fitted" not in said


def test_how_many_there_are_and_what_no_check_measures_come_from_an_answer() -> None:
    log = a_rod_seal()
    there(log, "gland-wear-ring", "gland", count="3")
    assert line_of(log, ("gland-wear-ring", "gland")).quantity == 3
    assert "number" not in [d.objection.rule for d in line_of(log, ("gland-wear-ring", "gland")).doubts]
    there(log, *ROD_SEAL, corner={"typed": "0.4", "value": "0.4"}, lead_in="20°, 5 long")
    groove = state(log).groove(ROD_SEAL)
    assert (groove.corner_mm, groove.lead_in) == (0.4, "20°, 5 long")


def a_piston_seal(width: str, diameter: str) -> Log:
    """A piston seal's groove in a bore of 100."""
    log = Log(bore="100", rod="50", rated_pressure="20", stroke="800", fluid="HM 46")
    log.read("piston-seal-groove-diameter", " 12", diameter, u2="0.02")
    log.read("piston-seal-groove-width", " ", width, u2="0.02")
    log.read("bore-diameter", "25 12", "100.02", u2="0.006")
    log.read("piston-diameter", " 12", "99.40", u2="0.006")
    return log


def test_how_the_lips_of_a_piston_face_is_said_and_lips_that_face_each_other_stop() -> None:
    # ISO 5597: 100 x 85 x 9.5, a lip's; and a groove of no standard, for a lip made to measure
    for width, diameter in (("9.6", "84.95"), ("11.2", "83.1")):
        for faced, stop in ((["rod side", "cap side"], False), (["cap side", "rod side"], True),
                            (["rod side", "rod side"], True)):  # fmt: skip
            log = a_piston_seal(width, diameter)
            there(log, "piston-seal", "piston", lips=faced)
            line = line_of(log, ("piston-seal", "piston"))
            assert line.seal == "lip seal"
            assert [d.objection.stop for d in line.open_doubts if d.objection.rule == "lips"] == [True] * stop
            assert line.quantity == 2


def test_another_ring_behind_a_face_stops_until_its_supplier_gave_his_word() -> None:
    # ISO 7425-1 (from memory): 100 x 84.5 x 6.3 has a ring of 5.33; one of 6.99 is wanted
    for word, stops in (("", True), ("fax of 3 March, for bore 100.02", False)):
        log = a_piston_seal("6.36", "84.46")
        there(log, "piston-seal", "piston", behind={"typed": "6.99 mm", "value": "6.99"}, word=word)
        line = line_of(log, ("piston-seal", "piston"))
        assert line.seal == "plastic-faced seal"
        assert ("energiser" in [d.objection.rule for d in line.open_doubts]) is stops
        assert "× 6.99 mm" in str(line.ring)


def test_a_place_without_a_groove_goes_by_what_was_fitted() -> None:
    log = a_rod_seal()
    where = ("plug-ring", "cylinder")
    assert where in [(a.position.id, a.place) for a in seal_list(state(log), HANDBOOK).unsaid]
    there(log, *where, count="2", fitted="O-ring 14 x 2", material="NBR 90")
    line = line_of(log, where)
    assert (str(line.ring), line.made[0].material, line.quantity) == ("O-ring 14 x 2", "NBR 90", 2)
    (doubt,) = line.open_doubts
    assert "O-ring 14 x 2, NBR 90: no groove confirms it" in str(doubt.objection.sentence)
    log.write("seal-doubt", position=where[0], place=where[1], doubt="by-the-old-one",
              says=str(doubt.objection.sentence), reason="held in the port")  # fmt: skip
    assert line_of(log, where).orderable


def test_there_is_none_and_a_bush_take_a_line_off_the_list() -> None:
    log = Log(answers={"buffer-seal": "yes"}, bore="100", rod="50")
    assert line_of(log, ("buffer-seal", "gland"))
    there(log, "buffer-seal", "gland", "none")
    there(log, "gland-wear-ring", "gland", "metal bush")
    settled = {(s.position.id, s.place): s.words for s in seal_list(state(log), HANDBOOK).settled}
    assert (settled["buffer-seal", "gland"], settled["gland-wear-ring", "gland"]) == ("none", "metal bush")


def test_the_section_of_a_ring_that_came_is_as_sure_as_the_caliper() -> None:
    size = Gauged("5.30", Decimal("5.30"), Decimal("0.01"), "")
    came = Receipt("r1", "o1", 1, "1/26", "", "", "KM", "2026-03-02", size)
    uncounted = replace(came, id="r2", section=None)
    found = sections_of((came, uncounted), Log().survey(), STILL)
    # DIN 862: limit of error 0.02 mm, of which 1/sqrt(3) = 0.0115; repeats within 0.010; half a step 0.005 / sqrt(3)
    # = 0.0029. The root of the sum of squares is 0.01555, twice that 0.0311, rounded up
    assert found.keys() == {"r1"}
    assert found["r1"].value_mm == 5.30
    assert found["r1"].expanded_mm == 0.032
