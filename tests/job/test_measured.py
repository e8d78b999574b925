"""What a reading may be wrong by moves its verdict: digits, limit of error, temperature, what readings share.

Limits are those of published fits; uncertainties are worked by hand beside each case, in µm.
"""

from __future__ import annotations

import math
from decimal import Decimal

import pytest

from inspect_app.entries.entry import Entry
from inspect_app.entries.folding import fold
from inspect_app.entries.job import DefectSize, Place, Survey
from inspect_app.job.checks import assess_check
from inspect_app.job.deciding import kinds_that_decide, needed_sentence
from inspect_app.job.findings import Finding
from inspect_app.job.measured import (
    budget_of,
    budget_sentence,
    gauge_of,
    sees,
    size_terms,
    sized,
    temperature_words,
    terms_of,
    warmth_of,
)
from inspect_app.tables import load
from inspect_app.tables.cylinders import Check
from inspect_app.trade.measuring.decision import Verdict
from inspect_app.trade.measuring.uncertainty import linear, u_of

D = Decimal
TABLES = load()
CYLINDER = TABLES.cylinders["double-acting"]
WITHIN, BEYOND, UNCLEAR = Verdict.WITHIN, Verdict.BEYOND, Verdict.UNCLEAR


def check(check_id: str) -> Check:
    found = CYLINDER.check(check_id)
    assert found
    return found


class Log:
    """A log of one job, entry by entry."""

    def __init__(self, **nameplate: str) -> None:
        self.entries: list[Entry] = []
        self.write("job", name="J", cylinder="double-acting", cylinder_hash="", limits_hash="")
        self.write("nameplate", fields={n: {"typed": v, "value": v} for n, v in nameplate.items()})

    def write(self, kind: str, /, **body: object) -> None:
        n = len(self.entries)
        at = f"2026-03-02T08:{n // 60:02}:{n % 60:02}.000Z"
        self.entries.append(Entry(f"{n:04}", "J", "D", at, "AB", kind, body))

    def gauge(self, name: str, error: str, kind: str = "outside-micrometer", **more: str) -> str:
        body = {"share": "0", "step": "0.001", "calibrated_until": "", **more}
        self.write("gauge", gauge=name, kind=kind, name=name, fixed=[["100000", error]], **body)
        return name

    def read(
        self,
        gauge: str,
        value: str,
        place: str = "25 12",
        check_id: str = "rod-diameter",
        step: str = "0.001",
    ) -> None:
        station, clock = place.rsplit(" ", 1)
        self.write(
            "reading", check=check_id, station=station, clock=clock, typed=value, value=value, step=step, gauge=gauge
        )  # fmt: skip

    def survey(self) -> Survey:
        return fold("J", self.entries).as_found

    def verdict(self, check_id: str = "rod-diameter", characteristic: str = "size") -> Verdict | None:
        result = assess_check(check(check_id), CYLINDER, self.survey(), TABLES)
        return next(f.verdict for f in result.findings if f.characteristic == characteristic)


AT_20 = {"part_temperature": "20", "gauge_temperature": "20"}
# 90 f8 is 90 -0.036 -0.090 (ISO 286-2): a rod of 90 is worn out below 89.910


def test_the_last_digit_typed_moves_the_verdict() -> None:
    # to a hundredth 10 / √12 = 2.9 makes U 6, to a tenth 100 / √12 = 28.9 makes U 58; the room is 25
    def verdict(typed: str, step: str) -> Verdict | None:
        log = Log(rod="90", **AT_20)
        log.read(log.gauge("M", "0", repeatability="0"), typed, step=step)
        return log.verdict()

    assert verdict("89.935", "0.001") is WITHIN
    assert verdict("89.935", "0.01") is WITHIN
    assert verdict("89.935", "0.1") is UNCLEAR
    assert verdict("89.8", "0.1") is BEYOND


def test_what_the_gauge_states_moves_the_verdict() -> None:
    # ±20 as U at k = 2 has U 20, as a limit of error 2 × 20 / √3 = 23.1; the room is 22; steel 90 mm, ±1 K: 1.2
    def verdict(states: str) -> Verdict | None:
        log = Log(rod="90", **AT_20)
        log.read(log.gauge("M", "0.020", states=states, repeatability="0"), "89.932")
        return log.verdict()

    assert verdict("expanded") is WITHIN
    assert verdict("limit of error") is UNCLEAR


def test_the_scatter_of_single_readings_moves_the_verdict() -> None:
    # U 20 without, 2 × √(10² + 6²) = 23.3 with a scatter of 6; the room is 22
    def verdict(scatter: str) -> Verdict | None:
        log = Log(rod="90", **AT_20)
        log.read(log.gauge("M", "0.020", repeatability=scatter), "89.932")
        return log.verdict()

    assert verdict("0") is WITHIN
    assert verdict("0.006") is UNCLEAR


def test_a_rod_whose_temperature_nobody_noted_is_not_called_so_near_its_limit() -> None:
    # 90 mm steel, ±5 K: 90 × 11.5e-3 × 5 / √3 = 2.99 for rod and for gauge: U 8.5; ±1 K: U 1.7; the room is 5
    def verdict(**noted: str) -> Verdict | None:
        log = Log(rod="90", **noted)
        log.read(log.gauge("M", "0", repeatability="0"), "89.915")
        return log.verdict()

    assert verdict(**AT_20) is WITHIN
    assert verdict() is UNCLEAR


def test_a_warm_rod_that_would_pass_as_read_does_not_pass() -> None:
    # 90 mm steel at 40 °C is 90 × 11.5e-3 × 20 = 20.7 µm large: 89.915 is 89.894 at 20 °C
    log = Log(rod="90", part_temperature="40", gauge_temperature="20")
    log.read(log.gauge("M", "0", repeatability="0"), "89.915")
    assert log.verdict() is BEYOND
    reading = log.survey().readings["rod-diameter"][Place("25", "12")]
    judged = sized(reading, check("rod-diameter"), log.survey(), TABLES)
    assert judged is not None
    assert judged.corrected
    assert judged.value == pytest.approx(D("89.8943"), abs=D("0.00005"))


@pytest.mark.parametrize(
    ("part", "gauge", "expected"),
    [
        (None, None, ((20, 5), (20, 5))),
        ("30", "24", ((30, 1), (24, 1))),
        # of one noted, the other lies between 15 °C and 5 K above it: 15 to 35
        ("30", None, ((30, 1), (25, 10))),
        (None, "10", ((15, 10), (10, 1))),
    ],
)
def test_a_temperature_not_noted_is_taken_as_wide_as_it_may_be(
    part: str | None, gauge: str | None, expected: tuple[tuple[int, int], tuple[int, int]]
) -> None:
    noted = {"part_temperature": part, "gauge_temperature": gauge}
    survey = Log(rod="90", **{name: text for name, text in noted.items() if text}).survey()
    assert tuple((w.at_c, w.within_c) for w in warmth_of(survey)) == expected
    words = temperature_words(survey)
    for (at, within), text in zip(expected, (part, gauge), strict=True):
        assert f"{at} °C ±{within} °C" in words
        assert text is not None or "not noted" in words


def test_only_sizes_take_part_in_temperature() -> None:
    log = Log(rod="90", support_span="1000")
    log.read(log.gauge("dial", "0.016", "dial-indicator"), "0.30", "25 ", "rod-runout")
    reading = log.survey().readings["rod-runout"][Place("25", "")]
    terms = terms_of(reading, check("rod-runout"), log.survey(), TABLES)
    assert terms is not None
    assert {source.partition("|")[0] for source in terms} == {"setting", "scatter", "step"}


def test_the_setting_cancels_between_readings_of_one_check_and_not_between_checks() -> None:
    # own parts by hand: scatter 2 and step 1 / √12 = 0.29: 2.02 each, √2 times that in the difference
    log = Log(rod="90", **AT_20)
    gauge = log.gauge("M", "0.020", repeatability="0.002")
    log.read(gauge, "89.960")
    log.read(gauge, "89.950", "25 3")
    log.read(gauge, "89.950", "nut side 12", "piston-diameter")
    survey = log.survey()
    first, second = (
        terms_of(r, check("rod-diameter"), survey, TABLES) or {}
        for r in survey.readings["rod-diameter"].values()
    )
    elsewhere = terms_of(
        survey.readings["piston-diameter"][Place("nut side", "12")], check("piston-diameter"), survey, TABLES
    )
    assert u_of(linear([(1, first), (-1, second)])) == pytest.approx(0.00202 * math.sqrt(2), abs=1e-5)
    assert u_of(linear([(1, first), (-1, elsewhere or {})])) > 0.010 * math.sqrt(2)
    # in the mean of both the setting stays whole: √(10² + 2.02² / 2), and ±1 K twice 0.6
    assert u_of(linear([(0.5, first), (0.5, second)])) == pytest.approx(0.01014, abs=0.00002)


def test_what_nobody_told_apart_does_not_cancel() -> None:
    # a kind this version does not know, and no scatter stated: the whole error is each reading's own
    log = Log(rod="90", **AT_20)
    gauge = log.gauge("M", "0.020", kind="laser")
    log.read(gauge, "89.960")
    log.read(gauge, "89.950", "25 3")
    survey = log.survey()
    terms = [
        terms_of(r, check("rod-diameter"), survey, TABLES) or {}
        for r in survey.readings["rod-diameter"].values()
    ]
    assert u_of(linear(zip((1, -1), terms, strict=True))) > 0.010 * math.sqrt(2)


def test_a_certificate_that_says_no_scatter_takes_that_of_its_kind() -> None:
    log = Log(rod="90", **AT_20)
    log.read(log.gauge("M", "0.004"), "89.960")
    reading = log.survey().readings["rod-diameter"][Place("25", "12")]
    gauge = gauge_of(reading, check("rod-diameter"), log.survey(), TABLES)
    assert gauge is not None
    assert gauge.repeatability == TABLES.gauges["outside-micrometer"].repeatability


def test_a_reading_whose_gauge_is_not_in_the_log_is_judged_as_the_shipped_default_and_says_so() -> None:
    log = Log(rod="90", **AT_20)
    log.read("lost", "89.915")
    reading = log.survey().readings["rod-diameter"][Place("25", "12")]
    judged = sized(reading, check("rod-diameter"), log.survey(), TABLES)
    assert judged is not None
    assert "not in the log" in judged.remark
    assert "outside-micrometer" in judged.remark
    # DIN 863, 75 to 100 mm: 5 / √3, scatter 2, step 1 / √12, ±1 K twice 0.6: 3.62; the room of 5 is less than U
    assert u_of(judged.terms) == pytest.approx(0.00362, abs=0.00002)
    assert log.verdict() is UNCLEAR


def test_without_any_known_gauge_there_is_no_judgement() -> None:
    # a log from elsewhere may hold a reading of a check that has no gauge
    log = Log(rod="90", **AT_20)
    log.read("lost", "0.5", check_id="gland-rod-clearance")
    clearance = next(c for c in CYLINDER.checks if c.between)
    reading = log.survey().readings["gland-rod-clearance"][Place("25", "12")]
    assert terms_of(reading, clearance, log.survey(), TABLES) is None
    assert sized(reading, clearance, log.survey(), TABLES) is None


def test_a_three_point_gauge_sees_no_oval() -> None:
    log = Log(bore="100")
    log.read(log.gauge("T", "0.007", "three-point-bore-gauge"), "100.03", check_id="bore-diameter")
    log.read(log.gauge("B", "0.007", "bore-gauge"), "100.03", "25 3", "bore-diameter")
    bore = check("bore-diameter")
    blind, sighted = log.survey().readings["bore-diameter"].values()
    assert not sees(blind, "ovality", bore, log.survey(), TABLES)
    assert sees(blind, "size", bore, log.survey(), TABLES)
    assert sees(sighted, "ovality", bore, log.survey(), TABLES)


def test_a_budget_is_said_in_words_with_the_heaviest_first() -> None:
    log = Log(rod="90")
    log.read(log.gauge("M-07", "0.004", repeatability="0.002"), "89.9", step="0.1")
    survey = log.survey()
    terms = terms_of(
        survey.readings["rod-diameter"][Place("25", "12")], check("rod-diameter"), survey, TABLES
    )
    assert terms is not None
    names = [line.name for line in budget_of(terms, survey, TABLES)]
    assert names[0] == "last digit typed"
    assert set(names[1:3]) == {"temperature of the rod", "temperature of the gauge on the rod"}
    assert "setting and calibration of M-07" in names
    # by hand: 100 / √12 = 28.9 beside 4.2 of temperature and 2.8 of the gauge: 97 % of the variance
    said = budget_sentence(terms, "length", survey, TABLES, "metric")
    # 2 × √861 = 58.7 µm, rounded up to two digits; shown with one decimal more than a size
    assert said.startswith("U ±0.0590 mm (k = 2)")
    assert "by weight: last digit typed 97 %" in said
    # either temperature 2.99² / 861 = 1.04 %; setting and scatter 2² / 861 = 0.46 %, below what is worth a word
    assert "temperature of the rod 1 %" in said
    assert "setting" not in said
    assert "scatter" not in said


def finding(log: Log, check_id: str = "rod-diameter", characteristic: str = "size") -> Finding:
    result = assess_check(check(check_id), CYLINDER, log.survey(), TABLES)
    return next(f for f in result.findings if f.characteristic == characteristic)


def test_which_gauge_decides_is_said_by_judging_the_same_readings_as_if_it_had_read_them() -> None:
    # 89.920 against 89.910: a caliper (U 40) cannot call it, a micrometer (U 7.2) can; blade U 10.3, tape 50
    log = Log(rod="90", **AT_20)
    log.read(log.gauge("C", "0.03", "caliper", states="limit of error", step="0.01"), "89.92", step="0.01")
    found = finding(log)
    assert found.verdict is UNCLEAR
    assert kinds_that_decide(found, check("rod-diameter"), log.survey(), TABLES) == ("outside micrometer",)
    said = needed_sentence(found, check("rod-diameter"), log.survey(), TABLES, "metric")
    assert said == "To decide it the uncertainty must be below ±0.0100 mm. Good enough: outside micrometer."


def test_a_gauge_that_would_prove_it_beyond_decides_as_well() -> None:
    # 89.900 against 89.910: the caliper's 40 is more than 10, the micrometer's 7.2 is less
    log = Log(rod="90", **AT_20)
    log.read(log.gauge("C", "0.03", "caliper", states="limit of error", step="0.01"), "89.90", step="0.01")
    found = finding(log)
    assert found.verdict is UNCLEAR
    assert kinds_that_decide(found, check("rod-diameter"), log.survey(), TABLES) == ("outside micrometer",)


def test_of_a_clearance_the_reading_that_holds_it_back_is_the_one_to_take_again() -> None:
    # 50.25 - 50.00 = 0.25 of 0.29 at most: the bore's ± 0.1 has U 2 x 0.1 / √3 = 0.115, the pin's no more than 0.002,
    # so no better reading of the pin can decide within the 0.04 there are
    log = Log(pin="50", **AT_20)
    log.write(
        "limit",
        check="rod-eye-clearance",
        characteristic="clearance",
        lower="",
        upper="0.29",
        source="drawing",
    )
    coarse = log.gauge("T", "0.1", "telescoping-gauge", states="limit of error", step="0.01")
    log.read(coarse, "50.25", "gland end 12", "rod-eye-bore", step="0.01")
    log.read(log.gauge("M", "0.002"), "50.000", "gland end 12", "rod-eye-pin")
    found = finding(log, "rod-eye-clearance", "clearance")
    assert found.verdict is UNCLEAR
    better = kinds_that_decide(found, check("rod-eye-clearance"), log.survey(), TABLES)
    assert better
    assert all(kind.endswith(" for rod eye: bush bore") for kind in better)


@pytest.mark.parametrize(("mm", "needed"), [("89.955", "0.0150"), ("89.930", "0.0200"), ("89.990", "0.0200")])
def test_the_nearer_of_both_limits_says_how_certain_it_would_have_to_be(mm: str, needed: str) -> None:
    # between 89.910 and 89.970: 0.015 from the upper, 0.020 from the lower, 0.020 beyond the upper; a caliper has 0.04
    log = Log(rod="90", **AT_20)
    log.write(
        "limit", check="rod-diameter", characteristic="size", lower="89.910", upper="89.970", source="drawing"
    )
    log.read(log.gauge("C", "0.03", "caliper", states="limit of error", step="0.01"), mm, step="0.01")
    said = needed_sentence(finding(log), check("rod-diameter"), log.survey(), TABLES, "metric")
    assert said.startswith(f"To decide it the uncertainty must be below ±{needed} mm. ")


def test_where_no_gauge_decides_that_is_said_too() -> None:
    log = Log(rod="90", **AT_20)
    log.read(log.gauge("M", "0.004"), "89.912")
    said = needed_sentence(finding(log), check("rod-diameter"), log.survey(), TABLES, "metric")
    assert said.endswith("No kind of gauge listed here is that good.")
    on_it = Log(rod="90", **AT_20)
    on_it.read(on_it.gauge("M", "0.004"), "89.910")
    said = needed_sentence(finding(on_it), check("rod-diameter"), on_it.survey(), TABLES, "metric")
    assert said == "It lies on the limit itself: no gauge can decide it."


def test_what_is_called_already_needs_no_other_gauge() -> None:
    log = Log(rod="90", **AT_20)
    log.read(log.gauge("M", "0.004"), "89.960")
    assert needed_sentence(finding(log), check("rod-diameter"), log.survey(), TABLES, "metric") == ""


def test_what_has_no_limit_or_no_value_needs_no_other_gauge() -> None:
    log = Log(rod="90", stroke="1200", **AT_20)
    log.read(log.gauge("U", "0.1", "ultrasonic wall gauge"), "10.2", "gland end 12", "barrel-wall")
    wall = finding(log, "barrel-wall", "least")
    assert wall.verdict is None
    assert needed_sentence(wall, check("barrel-wall"), log.survey(), TABLES, "metric") == ""
    unread = finding(log)
    assert needed_sentence(unread, check("rod-diameter"), log.survey(), TABLES, "metric") == ""


def test_a_size_of_a_defect_has_its_gauges_doubt_or_its_kinds_and_with_neither_none() -> None:
    log = Log(rod="90")
    job_gauge = log.gauge("D", "0.010", "depth gauge", step="0.001", repeatability="0.002")
    survey = log.survey()
    # by hand: 10 / 2, scatter 2 and step 1 / √12 = 0.29: √(25 + 4 + 0.083) = 5.39
    known = size_terms(DefectSize(D("0.05"), "0.05", D(0), job_gauge), "", "d1 depth", survey, TABLES)
    assert known is not None
    assert u_of(known) == pytest.approx(0.00539, abs=0.00001)
    # to a hundredth typed 10 / √12 = 2.89: √(25 + 4 + 8.33) = 6.11
    coarse = size_terms(DefectSize(D("0.05"), "0.05", D("0.01"), job_gauge), "", "d1 depth", survey, TABLES)
    assert coarse is not None
    assert u_of(coarse) == pytest.approx(0.00611, abs=0.00001)
    assert size_terms(DefectSize(D("0.05"), "0.05", D(0), "lost"), "caliper", "d1 depth", survey, TABLES)
    assert size_terms(DefectSize(D("0.05"), "0.05", D(0), "lost"), "", "d1 depth", survey, TABLES) is None


def test_a_reading_without_any_known_gauge_is_not_taken_for_blind() -> None:
    log = Log(rod="90")
    log.read("lost", "0.5", check_id="gland-clearance")
    clearance = next(c for c in CYLINDER.checks if c.between)
    (reading,) = log.survey().readings["gland-clearance"].values()
    assert sees(reading, "clearance", clearance, log.survey(), TABLES)


def test_no_gauge_decides_what_nobody_read() -> None:
    log = Log(rod="90", **AT_20)
    assert kinds_that_decide(finding(log), check("rod-diameter"), log.survey(), TABLES) == ()
