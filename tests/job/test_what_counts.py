"""What counts as measured and how far a finding reaches: cylinders that were once judged wrong, each as it was met."""

from __future__ import annotations

import random
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from log import Log, do_well, sound

from inspect_app.job.assess import Whole
from inspect_app.job.findings import Disposition
from inspect_app.job.headline import whole_sentence
from inspect_app.job.present import Presence, material_of, presence
from inspect_app.job.words import missing_sentence, part_reasons, reach_sentence
from inspect_app.tables.cylinders import Check
from inspect_app.trade.measuring.decision import Verdict

D = Decimal
WITHIN, BEYOND, UNCLEAR, NOT_MEASURED = Verdict.WITHIN, Verdict.BEYOND, Verdict.UNCLEAR, Verdict.NOT_MEASURED


def check_of(log: Log, check_id: str) -> Check:
    check = log.tables.cylinders["double-acting"].check(check_id)
    assert check is not None
    return check


def clocks_of(log: Log, check_id: str) -> tuple[str, ...]:
    return check_of(log, check_id).clocks


def read_rows(log: Log, check_id: str, rows: dict[str, str], order: list[str] | None = None) -> None:
    """One value a station at every clock of the check, the stations laid out and read in the order given."""
    stations = order or list(rows)
    log.lay_out(check_id, " ".join(stations), " ".join(clocks_of(log, check_id)))
    for station in stations:
        for clock in clocks_of(log, check_id):
            log.read(check_id, f"{station} {clock}", rows[station])


BALLOONED = {"25": "100.020", "400": "100.030", "750": "100.180", "1100": "100.030", "1475": "100.020"}
"""A 100 bore of 1500 stroke, 0.155 wider in the middle than the mean of its ends; 0.10 is the limit for Ø100."""


@given(st.permutations(list(BALLOONED)))
def test_the_order_in_which_stations_are_laid_out_changes_nothing(order: list[str]) -> None:
    straight, mixed = Log(bore="100", stroke="1500"), Log(bore="100", stroke="1500")
    read_rows(straight, "bore-diameter", BALLOONED)
    read_rows(mixed, "bore-diameter", BALLOONED, order)
    told = [
        [
            (f.characteristic, f.value, f.verdict, f.disposition, f.u)
            for f in log.check("bore-diameter").findings
        ]
        for log in (straight, mixed)
    ]
    assert told[0] == told[1]
    assert mixed.finding("bore-diameter", "ballooning").value == D("0.160")
    assert mixed.part("barrel").disposition is Disposition.REPLACE


def test_a_clock_left_out_does_not_make_an_oval_bore_ballooned_or_tapered() -> None:
    log = Log(bore="100", stroke="1500")
    clocks = clocks_of(log, "bore-diameter")
    stations = ("25", "400", "750", "1100", "1475")
    log.lay_out("bore-diameter", " ".join(stations), " ".join(clocks))
    # an ellipse 0.13 oval at every station alike: by the cosine of twice the angle, as two points read it
    oval = dict(zip(clocks, ("100.130", "100.065", "100.000", "100.065"), strict=False))
    for station in stations:
        for clock in clocks:
            if (station, clock) != ("750", clocks[2]):
                log.read("bore-diameter", f"{station} {clock}", oval.get(clock, "100.065"))
    log.skip("bore-diameter", f"750 {clocks[2]}")
    for shape in ("ballooning", "taper", "bell_mouth"):
        value = log.finding("bore-diameter", shape).value
        assert value is None or abs(value) < D("0.002"), shape
    assert log.part("barrel").computed is not Disposition.REPLACE


@pytest.mark.parametrize(
    ("stations", "missing"),
    [
        # a 1500 stroke asks for 25, 315, 605, 895, 1185, 1475: one every 300 mm or closer
        ("750", 5),
        ("25 30 35", 5),
        ("25 315 605", 3),
        ("25 315 605 895 1185 1475", 0),
        ("60 350 570 930 1150 1440", 0),  # each within half a step of one asked for
        ("1475 1185 895 605 315 25 900", 0),
    ],
)
def test_places_that_do_not_span_the_travel_are_not_all_of_them(stations: str, missing: int) -> None:
    log = Log(bore="100", stroke="1500")
    read_rows(log, "bore-diameter", dict.fromkeys(stations.split(), "100.030"))
    result = log.check("bore-diameter")
    assert result.left == missing * len(clocks_of(log, "bore-diameter"))
    assert result.complete is (missing == 0)
    assert log.part("barrel").disposition is Disposition.OPEN


def test_the_sentence_says_where_nothing_was_read() -> None:
    log = Log(bore="100", stroke="1500")
    read_rows(log, "bore-diameter", dict.fromkeys(("25", "315", "605", "895"), "100.030"))
    assert "(1185 mm; 1475 mm)" in str(missing_sentence(log.check("bore-diameter")))


def test_two_axes_where_more_are_asked_leave_the_others_to_be_read() -> None:
    log = Log(bore="100", stroke="1500")
    asked = clocks_of(log, "bore-diameter")
    log.lay_out("bore-diameter", "25 315 605 895 1185 1475", "12 3")
    places = {p.place.clock for p in log.check("bore-diameter").places}
    assert set(asked) <= places


def test_work_on_a_part_does_not_finish_it_while_a_check_is_missing() -> None:
    whole = sound()
    assert whole.assess().whole is Whole.REPAIR
    log = sound()
    log.read_all("rod-diameter", "62.80")  # worn beyond reuse, within the reach of new chrome
    finished = log.part("rod")
    assert (finished.disposition, finished.unfinished) == (Disposition.REWORK, False)
    assert log.assess().whole is Whole.REPAIR
    again = sound()
    again.entries = [
        e
        for e in again.entries
        if (e.kind, e.body.get("check")) not in (("reading", "rod-runout"), ("looked", "rod-surface"))
    ]
    again.read_all("rod-diameter", "62.80")
    rod = again.part("rod")
    assert (rod.disposition, rod.unfinished) == (Disposition.REWORK, True)
    assert again.assess().whole is Whole.OPEN
    assert "Rework, not finished: rod" in whole_sentence(again.assess())


def test_too_close_to_call_beside_needed_work_does_not_finish_a_part() -> None:
    log = sound()
    log.read_all("rod-diameter", "62.80")
    limit = log.finding("rod-runout", "tir").judgement("reuse")
    assert limit is not None
    upper = limit.limit.upper
    place = log.check("rod-runout").places[1].place
    log.read("rod-runout", " ".join(place), str(upper), u2="0.02")
    assert log.part("rod").unfinished
    log.decide("rod", "rework")
    assert not log.part("rod").unfinished


def test_a_crack_that_a_person_overrules_stands_in_the_headline() -> None:
    log = sound()
    log.defect("rod-surface", "crack", zone="seal-travel", length="5")
    assert whole_sentence(log.assess()).startswith("STOP: crack on the rod.")
    log.decide("rod", "reuse", examined_by="B. Holm, level 2", examined_how="magnetic particles")
    assessment = log.assess()
    assert [p.part.id for p in assessment.overruled] == ["rod"]
    said = whole_sentence(assessment)
    assert "every part is fit" not in said
    assert "rod reuse, calculated result stop, examined by B. Holm, level 2" in said


def test_deciding_for_more_work_than_the_readings_ask_overrules_nothing() -> None:
    log = sound()
    log.decide("rod", "replace")
    assert log.assess().overruled == ()


@pytest.mark.parametrize(
    ("bore", "depth", "reach"),
    [
        # reach 0.75 over nominal with 0.05 kept to clean up: 100.40 leaves (0.70 - 0.40) / 2 = 0.15 a side
        ("100.400", "0.240", BEYOND),
        ("100.400", "0.160", BEYOND),
        ("100.400", "0.140", WITHIN),
        ("100.030", "0.300", WITHIN),  # (0.70 - 0.03) / 2 = 0.335
        ("100.030", "0.340", BEYOND),
    ],
)
def test_a_score_is_honed_out_only_if_the_bore_afterwards_is_within_reach(
    bore: str, depth: str, reach: Verdict
) -> None:
    log = sound()
    log.read_all("bore-diameter", bore)
    log.defect("bore-surface", "score-along", zone="seal-travel", depth=depth, length="100", felt="felt")
    assert log.verdict("bore-surface", "depth", "rework") is reach
    want = Disposition.REPLACE if reach is BEYOND else Disposition.REWORK
    assert log.finding("bore-surface", "depth").disposition is want
    assert "Rework limit: at most" in str(reach_sentence(log.finding("bore-surface", "depth")))


def test_a_score_waits_for_the_bore_to_be_measured() -> None:
    log = Log(bore="100", stroke="1200")
    log.defect("bore-surface", "score-along", zone="seal-travel", depth="0.10", length="100", felt="felt")
    finding = log.finding("bore-surface", "depth")
    assert finding.disposition is Disposition.OPEN
    assert "not measured yet" in str(reach_sentence(finding))


def test_the_reach_allows_for_what_the_bore_gauge_may_be_wrong_by() -> None:
    log = sound()
    # (0.70 - 0.40) / 2 = 0.150; 0.140 lies 0.010 inside; half of ±0.030 on the bore makes that ±0.015
    log.read_all("bore-diameter", "100.400", u2="0.030")
    log.defect("bore-surface", "score-along", zone="seal-travel", depth="0.140", length="100", felt="felt")
    assert log.verdict("bore-surface", "depth", "rework") is UNCLEAR


def test_a_part_nothing_was_measured_on_is_no_reason_for_a_repair() -> None:
    log = sound()
    pins = [c.id for c in log.tables.cylinders["double-acting"].checks_of("pins") if c.gauge]
    log.entries = [e for e in log.entries if e.kind != "reading" or e.body["check"] not in pins]
    for check_id in pins:
        log.skip(check_id, reason="flange mounted")
    assessment = log.assess()
    assert [p.part.id for p in assessment.unchecked] == ["pins"]
    assert (assessment.whole, assessment.because) == (Whole.REPAIR, ())


def test_a_rod_thicker_than_new_is_asked_about() -> None:
    log = sound()
    log.read_all("rod-diameter", "63.30")
    assert log.verdict("rod-diameter", "size") is BEYOND
    assert log.part("rod").disposition is not Disposition.REUSE


def test_a_pin_larger_than_its_bush_is_never_within() -> None:
    log = sound()
    log.read_all("rod-eye-bore", "50.00")
    log.read_all("rod-eye-pin", "50.05")
    assert log.verdict("rod-eye-clearance", "clearance") is BEYOND


def test_a_sharp_bend_near_an_end_is_not_diluted_by_the_whole_span() -> None:
    log = sound()
    # supports 0 and 1300: 0.72 TIR at 100, little elsewhere
    log.lay_out("rod-runout", "100 600 1175")
    for station, tir in (("100", "0.72"), ("600", "0.20"), ("1175", "0.05")):
        log.read("rod-runout", f"{station} ", tir)
    assert log.part("rod").disposition is not Disposition.REUSE
    bend = log.finding("rod-runout", "worst_per_metre")
    assert bend.verdict is BEYOND


def test_a_depth_of_a_mark_carries_its_gauges_error() -> None:
    log = sound()
    log.defect("bore-surface", "score-along", zone="seal-travel", depth="0.025", length="5", u2="0.020")
    assert log.verdict("bore-surface", "depth") is UNCLEAR


@pytest.mark.parametrize(
    ("felt", "want"),
    [("not-felt", Disposition.REUSE), ("felt", Disposition.REWORK), ("", Disposition.OPEN)],
)
def test_a_mark_nobody_measured_is_judged_by_what_a_fingernail_says(felt: str, want: Disposition) -> None:
    log = sound()
    log.defect("rod-surface", "score-along", zone="seal-travel", felt=felt, length="30")
    part = log.part("rod")
    assert part.disposition in (want, Disposition.REWORK if want is Disposition.OPEN else want)
    # how far rework reaches hangs on a depth that nobody measured
    assert part.unfinished is (felt == "felt") or felt == ""


def test_a_hairline_counts_by_its_length_only_where_a_nail_feels_it() -> None:
    for felt, judged in (("not-felt", False), ("felt", True)):
        log = sound()
        log.defect("rod-surface", "score-along", zone="seal-travel", felt=felt, length="30")
        names = {f.characteristic for f in log.check("rod-surface").findings}
        assert ("length" in names) is judged


# -- what is there ---------------------------------------------------------------------------------


def test_a_question_nobody_answered_keeps_its_part_open_and_says_so() -> None:
    log = sound()
    question = log.tables.cylinders["double-acting"].questions[0]
    log.entries = [e for e in log.entries if e.body.get("question") != question.id]
    part = log.part(question.part)
    assert part.disposition is Disposition.OPEN
    assert f"Not answered yet: {question.ask}" in map(str, part_reasons(part))


def test_a_check_of_what_is_not_there_is_not_asked_and_keeps_nothing_open() -> None:
    cylinder = sound().tables.cylinders["double-acting"]
    spared = 0
    for question in cylinder.questions:
        for answer in question.answers:
            log = sound(answers={question.id: answer})
            for part in log.assess().parts:
                assert part.left == 0, (question.id, answer)
                spared += sum(question.id in c.when for c in part.absent)
                for check in part.absent:
                    assert presence(check.when, log.survey()) is Presence.ABSENT
    assert spared > 0


def test_a_reading_says_that_the_thing_is_there_whatever_was_answered() -> None:
    cylinder = sound().tables.cylinders["double-acting"]
    check = next(c for c in cylinder.checks if c.when and c.gauge)
    question, answers = next(iter(check.when.items()))
    other = next(a for q in cylinder.questions if q.id == question for a in q.answers if a not in answers)
    log = sound(answers={question: other})
    assert check in [c for p in log.assess().parts for c in p.absent]
    do_well(log, check)
    assert check not in [c for p in log.assess().parts for c in p.absent]


def test_every_order_of_the_entries_folds_to_the_same_answer() -> None:
    log = sound()
    question = log.tables.cylinders["double-acting"].questions[0]
    log.answer(question.id, list(question.answers)[-1])
    shuffled = list(log.entries)
    random.Random(7).shuffle(shuffled)
    log.entries = shuffled
    assert log.survey().answers[question.id].text == list(question.answers)[-1]


def test_a_gauge_that_is_blind_to_an_oval_proves_none_absent() -> None:
    # three points 120° apart: an ellipse moves none of them against the others
    log = sound()
    log.read_all("bore-diameter", "100.030")
    assert log.verdict("bore-diameter", "ovality") is WITHIN
    log.write(
        "gauge", gauge="T", kind="three-point-bore-gauge", name="T-1", fixed=[["300", "0"]], share="0",
        step="0", calibrated_until="",
    )  # fmt: skip
    for place in log.check("bore-diameter").places:
        log.write(
            "reading", check="bore-diameter", station=place.place.station, clock=place.place.clock,
            typed="100.030", value="100.030", step="0", gauge="T",
        )  # fmt: skip
    oval = log.finding("bore-diameter", "ovality")
    assert (oval.value, oval.verdict) == (None, NOT_MEASURED)
    assert "cannot see ovality" in " ".join(map(str, oval.cannot_say))
    assert log.part("barrel").disposition is Disposition.OPEN


@pytest.mark.parametrize(("depth", "judged"), [("0.001", False), ("0.030", True)])
def test_a_mark_measured_with_a_gauge_nobody_named_counts_by_the_default_of_its_kind(
    depth: str, judged: bool
) -> None:
    # 0.025 may stay: 0.001 is proven within it, 0.030 is not; then the length counts as well
    log = sound()
    sizes = {name: {"typed": mm, "value": mm} for name, mm in (("depth", depth), ("length", "30"))}
    body = {"check": "rod-surface", "defect": "score-along", "station": "300", "clock": "6"}
    log.write("defect", **body, zone="seal-travel", note="", measures=sizes)
    names = {f.characteristic for f in log.check("rod-surface").findings}
    assert ("length" in names) is judged


def test_what_a_part_is_made_of_is_as_answered_and_else_as_the_checklist_says() -> None:
    cylinder = sound().tables.cylinders["double-acting"]
    gland = next(p for p in cylinder.parts if p.id == "gland")
    rod = next(p for p in cylinder.parts if p.id == "rod")
    survey = Log(answers={"gland-material": "ductile_iron", "piston-material": "aluminium"}).survey()
    assert material_of(gland, survey) == "ductile_iron"
    assert material_of(rod, survey) == "steel"
    silent = Log()
    silent.entries = [e for e in silent.entries if e.kind != "answer"]
    assert material_of(gland, silent.survey()) == "steel"
