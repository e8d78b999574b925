"""Which limit holds and what it says: its numbers from published tables, its rule in words, or what is missing."""

from __future__ import annotations

from decimal import Decimal

import pytest
from log import Log

from inspect_app.job.judge import LimitInForce, limits_for
from inspect_app.job.readings import judge_reading
from inspect_app.tables.cylinders import Check
from inspect_app.trade.measuring.decision import Verdict

D = Decimal
METRIC = {"sizes": "metric"}
INCH = {"sizes": "inch"}


def check_of(log: Log, check_id: str) -> Check:
    check = log.tables.cylinders["double-acting"].check(check_id)
    assert check is not None
    return check


def limit(log: Log, check_id: str, characteristic: str = "size", level: str = "reuse") -> LimitInForce:
    return limits_for(check_of(log, check_id), characteristic, log.survey(), log.tables)[level]


@pytest.mark.parametrize(
    ("plate", "answers", "check_id", "characteristic", "level", "lower", "upper", "words"),
    [
        # ISO 286-2: 63 f7 -30/-60, f8 -30/-76; 100 H8 +54, H9 +87; IT7 of 63 is 30 µm, IT8 of 63 is 46 µm
        ("rod=63", METRIC, "rod-diameter", "size", "new", "62.940", "62.970", "f7 of 63 mm"),
        (
            "rod=63", METRIC, "rod-diameter", "size", "reuse", "62.924", "63.02",
            "f8 of 63 mm, but up to nominal +0.02 mm",
        ),
        ("rod=63", METRIC, "rod-diameter", "size", "rework", "62.5", "63.25", "nominal -0.5 mm to +0.25 mm"),
        ("rod=63.5", INCH, "rod-diameter", "size", "new", "63.475", "63.5", "nominal -0.025 mm to +0 mm"),
        ("bore=100", METRIC, "bore-diameter", "size", "new", "100", "100.054", "H8 of 100 mm"),
        (
            "bore=100", METRIC, "bore-diameter", "size", "reuse", "99.98", "100.087",
            "H9 of 100 mm, but down to nominal -0.02 mm",
        ),
        (
            "bore=101.6", INCH, "bore-diameter", "size", "new", "101.6", "101.702",
            "to Ø 152.4 mm: nominal +0 mm to +0.102 mm",
        ),
        (
            "bore=101.6", INCH, "bore-diameter", "size", "reuse", "101.58", "101.75",
            "to Ø 152.4 mm: nominal -0.02 mm to +0.15 mm",
        ),
        ("rod=63", METRIC, "rod-diameter", "ovality", "new", None, "0.0150", "at most 0.5 of IT7 of 63 mm"),
        ("rod=63", METRIC, "rod-diameter", "ovality", "reuse", None, "0.046", "at most IT8 of 63 mm"),
        ("bore=100", METRIC, "bore-diameter", "ovality", "reuse", None, "0.05", "to Ø 100 mm: 0.05 mm"),
        ("bore=100.5", METRIC, "bore-diameter", "ovality", "reuse", None, "0.1", "to Ø 1250 mm: 0.1 mm"),
        # 1 % of the pin, 0.3 at least and 1.0 at most
        ("pin=50", {}, "rod-eye-clearance", "clearance", "reuse", "0", "0.50", "0 mm to 1 % of 50 mm, but 0.3 to 1 mm"),
        ("pin=20", {}, "rod-eye-clearance", "clearance", "reuse", "0", "0.3", "0 mm to 1 % of 20 mm, but 0.3 to 1 mm"),
        (
            "pin=200", {}, "rod-eye-clearance", "clearance", "reuse", "0", "1.0",
            "0 mm to 1 % of 200 mm, but 0.3 to 1 mm",
        ),
        # 0.5 mm per metre: 1300 between the supports
        (
            "support_span=1300", {}, "rod-runout", "tir", "reuse", None, "0.65",
            "at most 0.5 mm/m of the support distance",
        ),
        ("rod=63", {}, "rod-roughness", "roughness", "reuse", "0.03", "0.4", ""),
    ],
)  # fmt: skip
def test_a_limit_has_the_numbers_of_its_table_and_says_its_rule(
    plate: str, answers: dict[str, str], check_id: str, characteristic: str, level: str, lower: str | None,
    upper: str, words: str,
) -> None:  # fmt: skip
    name, mm = plate.split("=")
    found = limit(Log(answers=answers, **{name: mm}), check_id, characteristic, level)
    assert (str(found.missing), found.owner, found.level) == ("", "shipped", level)
    assert (found.lower, found.upper) == (D(lower) if lower else None, D(upper))
    assert str(found.rule) == words


@pytest.mark.parametrize(
    ("check_id", "characteristic", "missing"),
    [
        ("rod-runout", "tir", "the support distance is not known yet"),
        ("rod-diameter", "size", "the nominal size is not known yet"),
        ("bore-diameter", "ovality", "the nominal size is not known yet"),
        ("rod-eye-clearance", "clearance", "the nominal size is not known yet"),
        ("rod-seal-groove-width", "size", "the rod diameter is not known yet"),
        ("piston-seal-groove-width", "size", "the bore is not known yet"),
        ("static-groove-width", "size", "the land its ring seals against is not known yet"),
    ],
)
def test_a_limit_without_its_size_says_which_is_missing(
    check_id: str, characteristic: str, missing: str
) -> None:
    log = Log()
    found = limit(log, check_id, characteristic)
    assert (found.lower, found.upper, str(found.missing)) == (None, None, missing)
    assert found.source.key


def test_a_size_beyond_a_table_says_where_the_table_ends() -> None:
    found = limit(Log(answers=INCH, bore="1251"), "bore-diameter")
    assert str(found.missing) == "the table ends at 1250 mm and the nominal is 1251 mm"
    assert (found.lower, found.upper) == (None, None)


def test_a_limit_that_hangs_on_an_answer_says_which_question_to_answer() -> None:
    log = Log(bore="100", rod="63")
    log.entries = [e for e in log.entries if e.body.get("question") != "sizes"]
    found = limit(log, "bore-diameter")
    assert (found.lower, found.upper) == (None, None)
    assert str(found.missing) == "first answer under What is there: Metric or inch"
    # what does not hang on it has its numbers
    assert limit(log, "rod-diameter").upper == D("63.02")


# -- grooves: housings of ISO 5597, rod 63 x 78 x 12.5: length +0.25/0, depth 7.5 +0.20/-0.10 (from memory)


def test_a_groove_is_named_by_diameter_and_width_together_read_or_typed() -> None:
    log = Log(rod="63")
    words = "diameter and width name the housing together: measure both, or type their nominals"
    log.read("rod-seal-groove-diameter", " 12", "78.02")
    assert limit(log, "rod-seal-groove-diameter").missing.words("metric") == words
    log.read("rod-seal-groove-width", " ", "12.60")
    for name in ("diameter", "width"):
        assert limit(log, f"rod-seal-groove-{name}").missing.words("metric") == ""
    width = limit(log, "rod-seal-groove-width", level="new")
    assert (width.lower, width.upper) == (D("12.5"), D("12.75"))
    diameter = limit(log, "rod-seal-groove-diameter", level="new")
    assert (diameter.lower, diameter.upper) == (D("77.8"), D("78.4"))
    assert str(diameter.rule).startswith("ISO 5597 rod 63 x 78 x 12.5")


def test_readings_of_a_groove_count_by_their_mean_and_a_typed_size_before_them() -> None:
    log = Log(rod="63")
    for clock, mm in (("12", "77.99"), ("2", "78.02"), ("4", "78.05")):
        log.read("rod-seal-groove-diameter", f" {clock}", mm)
    log.read("rod-seal-groove-width", " ", "30")
    assert "Ø 78.02 mm x 30 mm on 63 mm" in limit(log, "rod-seal-groove-diameter").missing.words("metric")
    log.write("nominal", check="rod-seal-groove-width", typed="12.5", value="12.5")
    assert limit(log, "rod-seal-groove-width", level="new").upper == D("12.75")


# -- single readings


def test_every_reading_is_judged_by_itself_the_moment_it_stands() -> None:
    # 63 f8 with up to +0.02: 62.924 to 63.02
    log = Log(rod="63")
    for clock, mm in (("12", "62.930"), ("2", "62.910"), ("4", "63.030")):
        log.read("rod-diameter", f"25 {clock}", mm)
    places = {p.place.clock: p for p in log.check("rod-diameter").places if p.place.station == "25"}
    assert [places[c].verdict for c in ("12", "2", "4")] == [Verdict.WITHIN, Verdict.BEYOND, Verdict.BEYOND]
    reading = places["2"].reading
    assert reading is not None
    judged = judge_reading(check_of(log, "rod-diameter"), reading, log.survey(), log.tables)
    assert judged is not None
    assert (judged.verdict, judged.limit.level) == (Verdict.BEYOND, "reuse")
    other = [p for p in log.check("rod-diameter").places if p.reading is None]
    assert {p.verdict for p in other} == {Verdict.NOT_MEASURED}


def test_a_single_reading_too_near_its_limit_is_too_close_to_call() -> None:
    log = Log(rod="63")
    log.read("rod-diameter", "25 12", "62.930", u2="0.010")
    assert [p.verdict for p in log.check("rod-diameter").places if p.reading] == [Verdict.UNCLEAR]


def test_where_single_readings_have_no_limit_there_is_no_verdict_on_one() -> None:
    log = Log()
    log.read("barrel-wall", "gland end 12", "10")
    (place,) = (p for p in log.check("barrel-wall").places if p.reading)
    assert place.judgement is None
    assert place.reading is not None
    assert judge_reading(check_of(log, "barrel-wall"), place.reading, log.survey(), log.tables) is None
