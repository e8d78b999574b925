"""The short look: it ends a job early or lets it go on, never calls a part fit, and its readings count later."""

from __future__ import annotations

import tomllib

import pytest
from log import SOUND, Log

from inspect_app.job.assess import Whole
from inspect_app.job.findings import Disposition
from inspect_app.job.headline import triage_sentence
from inspect_app.job.triage import Triage, places_first, triage
from inspect_app.tables import shipped_folder

PLATE = {"bore": "100", "rod": "63", "stroke": "1200", "pin": "50", "support_span": "1300"}
CHECKLIST = tomllib.loads((shipped_folder() / "cylinders" / "double_acting.toml").read_text(encoding="utf-8"))
STEPS = sorted((c for c in CHECKLIST["check"] if "triage" in c), key=lambda c: c["triage"])
"""The short look as the checklist's file has it, read without the code that is tested."""
ORDER = [c["id"] for c in STEPS]


def short(log: Log) -> Triage:
    return triage(log.assess())


def following(log: Log) -> str:
    step = short(log).following
    return step.result.check.id if step else ""


def take(log: Log, check_id: str) -> None:
    """What the short look takes of one check, and find it well."""
    places = places_first(log.check(check_id))
    if not places:
        log.write("looked", check=check_id)
    for place in places:
        log.read(check_id, " ".join(place), SOUND[check_id])


def test_its_steps_come_in_the_order_the_checklist_gives_them() -> None:
    assert ORDER[:3] == ["barrel-outside", "welds-look", "rod-surface"]  # what ends a job first comes first
    log = Log(**PLATE)
    assert [s.result.check.id for s in short(log).steps] == ORDER
    for check_id in ORDER:
        assert following(log) == check_id
        take(log, check_id)
    assert following(log) == ""


@pytest.mark.parametrize(("check", "part"), [("welds-look", "welds"), ("rod-surface", "rod")])
def test_a_crack_ends_it_before_anything_is_measured(check: str, part: str) -> None:
    log = Log(**PLATE)
    log.defect(check, "crack", "load-or-pressure-path", length="3")
    look = short(log)
    assert ([p.part.id for p in look.stops], look.following) == ([part], None)
    assert triage_sentence(look).startswith("STOP: crack on the ")


@pytest.mark.parametrize(
    ("bore_mm", "stops"),
    [
        # honing reaches 100.70: common practice, 0.75 mm over nominal less 0.05 mm to clean up
        ("100.30", []),
        ("100.70", []),
        ("100.71", ["barrel"]),
    ],
)
def test_one_reading_beyond_every_rework_of_the_barrel_ends_it(bore_mm: str, stops: list[str]) -> None:
    log = Log(**PLATE)
    log.read("bore-diameter", "600 12", bore_mm)
    look = short(log)
    assert [p.part.id for p in look.stops] == stops
    assert (look.following is None) is bool(stops)
    assert triage_sentence(look).startswith("Stop here: barrel" if stops else "Go on")


def test_a_lost_rod_ends_nothing_because_a_rod_can_be_bought() -> None:
    log = Log(**PLATE)
    log.defect("rod-surface", "kink", "seal-travel")
    assert log.part("rod").disposition is Disposition.REPLACE
    assert (short(log).stops, following(log)) == ((), "barrel-outside")


def test_it_goes_on_once_a_person_has_decided_on_what_stopped_it() -> None:
    log = Log(**PLATE)
    log.defect("rod-surface", "crack", "seal-travel", length="3")
    log.decide("rod", "reuse", examined_by="B. Holm, level 2", examined_how="magnetic particles")
    assert (short(log).stops, following(log)) == ((), "barrel-outside")


def test_it_never_says_fit() -> None:
    log = Log(**PLATE)
    for check_id in ORDER:
        take(log, check_id)
    look = short(log)
    assert triage_sentence(look) == (
        "Go on with the whole inspection: nothing here ends it early, and nothing is proven fit yet."
    )
    assessment = log.assess()
    assert assessment.whole is Whole.OPEN
    assert not {p.disposition for p in assessment.parts} & {Disposition.REUSE, Disposition.REWORK}


def test_what_it_read_counts_in_the_whole_inspection() -> None:
    log = Log(**PLATE)
    before = log.assess().left
    for check_id in ORDER:
        take(log, check_id)
    # every look, three places of runout, three stations of the bore at three clocks, one of the wall
    looks = sum("look" in c for c in STEPS)
    assert before - log.assess().left == looks + 3 + 9 + 1
    assert (log.check("rod-runout").measured, log.check("bore-diameter").measured) == (3, 9)
    assert log.check("rod-surface").complete
    log.read("bore-diameter", "600 12", "100.200")  # H9 ends at 100.087, honing reaches 100.70
    assert log.part("barrel").disposition is Disposition.REWORK


def test_a_step_left_out_with_a_reason_is_not_waited_for() -> None:
    log = Log(**PLATE)
    wall = ORDER.index("barrel-wall")
    for check_id in ORDER[:wall]:
        take(log, check_id)
    assert following(log) == "barrel-wall"
    log.skip("barrel-wall", reason="no ultrasonic gauge in the shop")
    assert following(log) == ORDER[wall + 1]


def test_a_place_left_out_with_a_reason_is_not_waited_for() -> None:
    log = Log(**PLATE)
    bore = ORDER.index("bore-diameter")
    for check_id in ORDER[:bore]:
        take(log, check_id)
    *others, last = places_first(log.check("bore-diameter"))
    for place in others:
        log.read("bore-diameter", " ".join(place), SOUND["bore-diameter"])
    assert following(log) == "bore-diameter"
    log.skip("bore-diameter", " ".join(last), "the port is in the way")
    assert following(log) == ORDER[bore + 1]


def test_it_takes_whole_stations_spread_over_the_part() -> None:
    log = Log(**PLATE)
    # 1200 of stroke asks for 25, 310, 600, 890 and 1175: both ends and the middle of them, at every clock
    want = [(station, clock) for station in ("25", "600", "1175") for clock in ("12", "2", "4")]
    assert [tuple(p) for p in places_first(log.check("bore-diameter"))] == want
    assert [p.station for p in places_first(log.check("barrel-wall"))] == ["middle"]
    runout = [p.station for p in places_first(log.check("rod-runout"))]
    assert (len(runout), runout[0], runout[-1]) == (3, "25", "1275")


def test_the_order_in_which_stations_were_laid_out_does_not_bunch_its_places() -> None:
    log = Log(**PLATE)
    log.lay_out("bore-diameter", "600 25 310 1175 890", "12 2 4")
    assert {p.station for p in places_first(log.check("bore-diameter"))} == {"25", "600", "1175"}


def test_readings_bunched_at_one_end_do_not_finish_a_step() -> None:
    log = Log(**PLATE)
    for station in ("25", "310"):
        for clock in ("12", "2", "4"):
            log.read("bore-diameter", f"{station} {clock}", SOUND["bore-diameter"])
    step = next(s for s in short(log).steps if s.result.check.id == "bore-diameter")
    assert (step.done, step.wanted, step.is_done) == (3, 9, False)
    # what is asked for still: three stations at three clocks
    assert {p.station for p in step.places} == {"25", "600", "1175"}


def test_a_check_whose_places_are_all_wanted_takes_them_all() -> None:
    log = Log(bore="100", rod="63", stroke="600", support_span="400")
    assert len(places_first(log.check("rod-runout"))) == len(log.check("rod-runout").places) == 3
