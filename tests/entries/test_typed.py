"""What was typed becomes the body of an entry, whole and in mm, or a sentence; by hand with 25.4 mm to the inch."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from log import SHIPPED

from inspect_app.entries import measuring
from inspect_app.entries.deciding import CautionConfirmed, Decision
from inspect_app.entries.entry import Body, Entry
from inspect_app.entries.gauges import body_of, gauge_from, gauge_of
from inspect_app.entries.job import AS_FOUND, WHOLE_CHECK, Examined, Field, Gauge, Job, Place, Survey
from inspect_app.entries.looking import Found, LookedOver, defect, looked
from inspect_app.entries.measuring import Layout, LeftOut, NominalSize, NotFitted, OffDrawing
from inspect_app.entries.opening import AnswerGiven, Nameplate
from inspect_app.entries.picturing import Photographed
from inspect_app.entries.typed import Held, Known, Listed, Typed, Written, station_of
from inspect_app.screens.mechanic.sizes import typed_before
from inspect_app.tables.cylinders import Check
from inspect_app.trade.measuring import quantities
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.uncertainty import EXPANDED, LIMIT_OF_ERROR

D = Decimal
CYLINDER = SHIPPED.cylinders["double-acting"]
NEW = Survey(cylinder="double-acting")
LAID = (Place("25", "12"), Place("25", "3"), Place("50", "12"), Place("50", "3"))
DEPTH_GAUGE = Gauge("G7", "depth gauge", "D-7", ((D(100), D("0.01")),), D(0), D("0.01"), "")

UNLISTED = Listed("", None, (), ())


def check(check_id: str = "rod-diameter") -> Check:
    found = CYLINDER.check(check_id)
    assert found is not None
    return found


def written(
    typed: Typed,
    system: str = "metric",
    survey: Survey = NEW,
    computed: str = "",
    gauge: Gauge | None = None,
    listed: Listed = UNLISTED,
    by: str = "KM",
    held: Held = Held(),  # noqa: B008
    job: Job | None = None,
) -> list[Written]:
    """The entries that something typed makes: places as in LAID, every size taken with `gauge`."""
    known = Known(
        job or Job("J", surveys={AS_FOUND: survey}),
        survey,
        SHIPPED,
        system,
        places=lambda _: LAID,
        at_hand=lambda _: gauge,
        computed=lambda _: computed,
        listed=lambda _: listed,
        held=lambda _: held,
        by=by,
    )
    return typed.written(known)


def body(typed: Typed, system: str = "metric", **known: object) -> Body:
    """The body of the one entry that something typed makes."""
    ((_, body),) = written(typed, system, **known)  # type: ignore[arg-type]
    return body


# -- nameplate and nominal sizes


def test_a_nameplate_is_kept_as_typed_with_its_unit_and_in_mm() -> None:
    plate = Nameplate({"bore": " 4 ", "stroke": "600 mm", "maker": " K&S "})
    assert written(plate, "inch") == [
        (
            "nameplate",
            {
                "fields": {
                    "bore": {"typed": "4 in", "value": "101.6"},
                    "stroke": {"typed": "600 mm", "value": "600"},
                    "maker": {"typed": "K&S", "value": ""},
                }
            },
        )
    ]


def test_only_what_changed_on_a_nameplate_is_written() -> None:
    survey = replace(NEW, nameplate={"bore": Field("100 mm", D(100)), "rod": Field("70 mm", D(70))})
    assert written(Nameplate({"bore": "100 mm", "rod": " 70 mm"}), survey=survey) == []
    changed = body(Nameplate({"bore": "100 mm", "rod": "", "stroke": "500"}), survey=survey)
    assert changed == {
        "fields": {"rod": {"typed": "", "value": ""}, "stroke": {"typed": "500 mm", "value": "500"}}
    }


@pytest.mark.parametrize(
    ("field", "text", "sentence"),
    [
        ("bore", "0", "0 is not a size; it must be greater than 0."),
        ("stroke", "100000", "100000 is longer than any cylinder; it must be below 100000 mm."),
    ],
)
def test_a_nameplate_size_that_cannot_be_is_refused(field: str, text: str, sentence: str) -> None:
    with pytest.raises(Refusal, match=sentence):
        written(Nameplate({field: text}))


def test_a_temperature_below_zero_and_the_longest_cylinder_are_taken() -> None:
    plate = body(Nameplate({"part_temperature": "-5", "stroke": "99999", "bore": "0.5"}))
    assert {name: f["value"] for name, f in plate["fields"].items()} == {
        "part_temperature": "-5",
        "stroke": "99999",
        "bore": "0.5",
    }
    assert plate["fields"]["part_temperature"]["typed"] == "-5 °C"


def test_a_nominal_size_is_kept_as_typed_and_in_mm() -> None:
    asked = check("piston-bore")
    assert body(NominalSize(asked, "2"), "inch") == {"check": "piston-bore", "typed": "2 in", "value": "50.8"}
    assert body(NominalSize(asked, "0.5"))["value"] == "0.5"
    with pytest.raises(Refusal, match=r"^0\.0 is not a nominal size"):
        written(NominalSize(asked, " 0.0 "))


# -- readings, places, what is left out


def test_a_reading_is_kept_as_typed_in_mm_with_its_last_digit_and_its_gauge() -> None:
    gauge = gauge_of(
        {"error": "0.004", "step": "0.001"},
        kind="micrometer",
        measures="length",
        system="metric",
        gauge_id="G1",
    )
    for text, typed in (("2.50 ", "2.50 in"), ('2.50"', '2.50"'), (" 2.50 in", "2.50 in")):
        quantity = quantities.read(text, kind="length", system="inch")
        assert measuring.taken(check(), Place("25", "12"), text, quantity, gauge) == {
            "check": "rod-diameter", "station": "25", "clock": "12", "typed": typed, "value": "63.500",
            "step": "0.254", "gauge": "G1",
        }  # fmt: skip


def test_what_is_left_out_says_why_after_where_the_check_is_measured() -> None:
    laid, skipped = written(LeftOut(check(), Place("25", "3"), " weld "))
    assert laid == ("places", {"check": "rod-diameter", "stations": ["25", "50"], "clocks": ["12", "3"]})
    left_out = {"check": "rod-diameter", "station": "25", "clock": "3", "reason": "weld"}
    assert skipped == ("skip", left_out)
    stands = replace(NEW, places={"rod-diameter": LAID})
    assert written(LeftOut(check(), Place("25", "3"), "weld"), survey=stands) == [("skip", left_out)]
    assert written(LeftOut(check(), WHOLE_CHECK, "weld")) == [
        ("skip", {"check": "rod-diameter", "station": "", "clock": "", "reason": "weld"})
    ]
    with pytest.raises(Refusal, match=r"^Say why it is not measured"):
        written(LeftOut(check(), Place("25", "3"), "  "))


def test_what_is_not_fitted_is_one_entry_for_all_its_checks_but_those_with_something_entered() -> None:
    diameter, width = check("wiper-groove-diameter"), check("wiper-groove-width")
    said = {"station": "", "clock": "", "reason": "not-fitted"}
    assert written(NotFitted((diameter,))) == [("skip", {**said, "check": diameter.id})]
    both = {**said, "check": width.id, "checks": [width.id, diameter.id]}
    assert written(NotFitted((width, diameter))) == [("skip", both)]
    looked_over = replace(NEW, looked=frozenset({diameter.id}))
    assert written(NotFitted((diameter, width)), survey=looked_over) == [
        ("skip", {**said, "check": width.id})
    ]
    with pytest.raises(Refusal, match=r"^It was measured or looked at already, so it is there\.$"):
        written(NotFitted((diameter,)), survey=looked_over)


def layout(stations: list[str], clocks: list[str], system: str = "metric") -> Layout:
    return Layout(check(), [station_of(s, system, {}) for s in stations], clocks)


def test_places_are_kept_in_the_order_given_as_typed_and_in_mm() -> None:
    assert body(layout(["300", "0", "port"], ["12", "0.5", "4.5"])) == {
        "check": "rod-diameter",
        "stations": ["300", "0", "port"],
        "clocks": ["12", "0.5", "4.5"],
        "typed": ["300 mm", "0 mm", "port"],
        "chosen": True,
    }
    assert body(layout(["99999"], [""]))["clocks"] == [""]
    inches = body(layout(["10", "1 in"], ["12"], "inch"))
    assert (inches["stations"], inches["typed"]) == (["254.0", "25.4"], ["10 in", "1 in"])


@pytest.mark.parametrize(
    ("stations", "clocks", "sentence"),
    [
        (["25"], ["0"], "'0' is not a clock position"),
        (["25"], ["", "12.5"], "'12.5' is not a clock position"),
        (["25"], ["noon"], "'noon' is not a clock position"),
        (["25"], ["nan"], "'nan' is not a clock position"),
        (["-1"], ["12"], "'-1' is not a station"),
        (["100000"], ["12"], "'100000' is not a station"),
        (["inf"], ["12"], "'inf' is not a station"),
        (["25", "50", "25"], ["12"], "'25' is given twice"),
        (["25"], ["12", "3", "3"], "'3' is given twice"),
    ],
)
def test_a_place_that_cannot_be_is_refused(stations: list[str], clocks: list[str], sentence: str) -> None:
    with pytest.raises(Refusal, match=sentence):
        written(layout(stations, clocks))


def test_a_station_without_a_unit_is_in_the_systems_and_a_word_stays_a_word() -> None:
    assert station_of(" eye ", "inch", {}) == ("eye", "eye")
    assert station_of("10 mm", "inch", {}) == ("10 mm", "10")


def test_a_named_station_is_kept_by_its_id_and_another_word_is_refused_there() -> None:
    wall = check("barrel-wall")

    def at(*stations: str) -> Layout:
        return Layout(wall, [station_of(s, "metric", wall.stations.names) for s in stations], [""])

    laid = body(at("Gland end", "cap-end", "300"))
    assert laid["stations"] == ["gland-end", "cap-end", "300"]
    assert laid["typed"] == ["Gland end", "cap-end", "300 mm"]
    with pytest.raises(
        Refusal, match="'galnd end' is no station of this check; allowed are under the deepest mark, "
    ):
        written(at("galnd end"))


def test_a_reason_is_kept_by_its_id_or_in_own_words() -> None:
    def why(reason: str) -> object:
        return body(LeftOut(check(), WHOLE_CHECK, reason))["reason"]

    assert why("Cannot be  reached") == why("not-reached") == "not-reached"
    assert why(" under the clamp ") == "under the clamp"


# -- what is there


def test_an_answer_is_one_of_its_questions() -> None:
    question = CYLINDER.questions[0]
    last = list(question.answers)[-1]
    for typed in (last, f" {question.answers[last].upper()} "):
        assert body(AnswerGiven(question.id, typed)) == {"question": question.id, "answer": last}
    with pytest.raises(Refusal, match=f"'whether' is not a question .* allowed are {question.id}, "):
        written(AnswerGiven("whether", last))
    with pytest.raises(
        Refusal, match=r"^'perhaps' is no answer to .* Allowed are " + ", ".join(question.answers.values())
    ):
        written(AnswerGiven(question.id, "perhaps"))


# -- limits off a drawing


def test_a_limit_off_a_drawing_is_kept_in_mm_one_side_or_both() -> None:
    both = body(OffDrawing(check(), "size", "2.45", "2.5", " drawing 12 "), "inch")
    assert both == {
        "check": "rod-diameter", "characteristic": "size", "lower": "62.230", "upper": "63.50",
        "typed": ["2.45 in", "2.5 in"], "source": "drawing 12",
    }  # fmt: skip
    one = body(OffDrawing(check(), "size", " ", "70", "d"))
    assert (one["lower"], one["upper"], one["typed"]) == ("", "70", ["", "70 mm"])
    other = body(OffDrawing(check(), "size", "70", "", "d"))
    assert (other["lower"], other["upper"], other["typed"]) == ("70", "", ["70 mm", ""])
    same = body(OffDrawing(check(), "size", "70", "70.0", "d"))
    assert (same["lower"], same["upper"]) == ("70", "70.0")


@pytest.mark.parametrize(
    ("name", "typed", "source", "sentence"),
    [
        ("size", ("", " "), "d", "Type a lower limit, an upper limit or both"),
        ("size", ("70.1", "70"), "d", "The lower limit 70.1 is above the upper limit 70"),
        ("size", ("70", "70.1"), " ", "Say which drawing"),
        ("clearance", ("70", "70.1"), "d", "'clearance' is not made of this check; allowed are size, "),
    ],
)
def test_a_limit_that_says_nothing_is_refused(
    name: str, typed: tuple[str, str], source: str, sentence: str
) -> None:
    with pytest.raises(Refusal, match=sentence):
        written(OffDrawing(check(), name, *typed, source))


# -- defects


def test_a_defect_is_kept_with_its_place_zone_nail_sizes_and_note() -> None:
    sizes = {"depth": "0.002", "width": " ", "length": "1"}
    found = Found(
        check("rod-surface"), "pit", Place("10", "4.5"), "seal-travel", "felt", " near the eye ", sizes
    )
    gauge, defect = written(found, "inch", gauge=DEPTH_GAUGE)
    assert gauge == ("gauge", body_of(DEPTH_GAUGE))
    assert defect == ("defect", {
        "check": "rod-surface", "defect": "pit", "station": "254.0", "station_typed": "10 in", "clock": "4.5",
        "zone": "seal-travel", "felt": "felt", "note": "near the eye",
        "measures": {
            "depth": {"typed": "0.002 in", "value": "0.0508", "step": "0.0254", "gauge": "G7"},
            "length": {"typed": "1 in", "value": "25.4", "step": "25.4", "gauge": "G7"},
        },
    })  # fmt: skip
    here = replace(NEW, gauges={"G7": DEPTH_GAUGE})
    assert written(found, "inch", survey=here, gauge=DEPTH_GAUGE) == [defect]
    by_eye = body(replace(found, sizes={"length": "1"}), "inch")
    assert by_eye["measures"]["length"]["gauge"] == ""
    nowhere = body(Found(check("rod-surface"), "pit", Place("", "")))
    assert (nowhere["station"], nowhere["station_typed"], nowhere["clock"], nowhere["measures"]) == (
        "",
        "",
        "",
        {},
    )


@pytest.mark.parametrize("system", ["metric", "inch"])
def test_a_defect_opened_to_be_corrected_and_saved_unchanged_says_the_same_again(system: str) -> None:
    """In other units meanwhile, and with another gauge at hand: what was not typed anew keeps its own."""
    sizes, here = {"depth": "60 µm", "length": "0.5 in"}, replace(NEW, gauges={"G7": DEPTH_GAUGE})
    where = Place("12.5", "4")
    first = Found(check("rod-surface"), "pit", where, "seal travel", "felt", "near it", sizes)
    ((_, said),) = written(first, "inch", survey=here, gauge=DEPTH_GAUGE)
    (stands,) = defect(NEW, Entry("e1", "J", "D", "t", "AB", "defect", said), said).defects
    before = typed_before(stands)
    at = Place(before["station"], before["clock"])
    again = Found(
        check("rod-surface"), "pit", at, before["zone"], before["felt"], before["note"], before, stands
    )
    other = replace(DEPTH_GAUGE, id="G8")
    assert written(again, system, survey=here, gauge=other) == [("defect", {**said, "instead_of": "e1"})]
    deeper = replace(again, sizes={**before, "depth": "80 µm"})
    gauge, (_, corrected) = written(deeper, system, survey=here, gauge=other)
    assert gauge[1]["gauge"] == "G8"
    assert [corrected["measures"][m]["gauge"] for m in ("depth", "length")] == ["G8", "G7"]


@pytest.mark.parametrize(
    ("station", "clock", "felt", "sizes", "sentence"),
    [
        ("-3", "", "", {}, "'-3' is not a station"),
        ("3", "13", "", {}, "'13' is not a clock position"),
        ("3", "", "maybe", {}, "'maybe' is not what a fingernail says"),
        ("3", "", "not", {}, "allowed are felt, not felt"),
        ("3", "", "", {"depth": "0"}, "^Depth 0 is not a size"),
        ("3", "", "", {"depth": "-0.1"}, "^Depth -0.1 is not a size"),
    ],
)
def test_a_defect_that_cannot_be_is_refused(
    station: str, clock: str, felt: str, sizes: dict[str, str], sentence: str
) -> None:
    found = Found(check("rod-surface"), "pit", Place(station, clock), felt=felt, sizes=sizes)
    with pytest.raises(Refusal, match=sentence):
        written(found)


def test_kind_and_area_of_a_defect_are_kept_by_their_ids_and_unknown_ones_refused() -> None:
    found = body(Found(check("rod-surface"), "Pit", Place("", ""), "outside seal travel", "Not felt"))
    assert (found["defect"], found["zone"], found["felt"]) == ("pit", "outside-seal-travel", "not-felt")
    with pytest.raises(
        Refusal, match="'weld or toe' is not an area of this check; allowed are seal travel, "
    ):
        written(Found(check("rod-surface"), "pit", Place("", ""), "weld or toe"))
    with pytest.raises(
        Refusal, match="'bulge' is not a defect of this check; allowed are Score, lengthwise; "
    ):
        written(Found(check("rod-surface"), "bulge", Place("", "")))


def test_a_photograph_is_kept_with_both_hashes_its_size_and_of_what_it_is() -> None:
    assert body(Photographed("D1", "aa", "bb", 2048, 1536, "2026-03-02T14:00:00", " the dent ", "cc")) == {
        "of": "D1", "sha256": "aa", "original_sha256": "bb", "width": 2048, "height": 1536,
        "taken_at": "2026-03-02T14:00:00", "caption": "the dent", "thumbnail": "cc", "number": "1",
        "view": "", "kept": False,
    }  # fmt: skip


def test_only_what_is_looked_at_is_looked_over() -> None:
    assert written(LookedOver(check("rod-surface"))) == [("looked", {"check": "rod-surface"})]
    with pytest.raises(Refusal, match="is measured, not looked over"):
        written(LookedOver(check()))


def test_a_look_for_cracks_says_who_qualified_how_and_by_which_method() -> None:
    welds = check("welds-look")
    with pytest.raises(Refusal, match="say who looked for cracks, qualified how, and by which method"):
        written(LookedOver(welds, "N. Holm", "level 2"))
    said = {"who": "N. Holm", "qualified": "level 2", "method": "yoke"}
    (made,) = written(LookedOver(welds, "N. Holm", "level 2", "yoke"))
    assert made == ("looked", {"check": "welds-look", **said})
    survey = looked(NEW, Entry("1", "J", "D", "2026-03-02T08:00:00.000Z", "KM", *made), made[1])
    assert survey.examined["welds-look"] == Examined(**said, by="KM", at="2026-03-02T08:00:00.000Z")
    assert "welds-look" in survey.looked


# -- decisions


def test_a_decision_says_why_and_over_a_stop_who_examined_it_and_how() -> None:
    plain = body(Decision("rod", "reuse", " seen ", "X", "Y"), computed="rework")
    assert plain == {"part": "rod", "disposition": "reuse", "reason": "seen"}
    new = body(Decision("rod", "replace", "seen"), computed="stop")
    assert new == {"part": "rod", "disposition": "replace", "reason": "seen"}
    over = body(Decision("rod", "rework", "seen", " B. Holm ", " penetrant "), computed="stop")
    assert over == {
        "part": "rod", "disposition": "rework", "reason": "seen", "examined_by": "B. Holm",
        "examined_how": "penetrant",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("part", "disposition", "reason", "by", "how", "sentence"),
    [
        ("wheel", "reuse", "seen", "B", "MT", "^'wheel' is not a part; allowed are rod, "),
        ("rod", "stop", "seen", "B", "MT", "^'stop' is not a decision; allowed are reuse, rework, replace"),
        ("rod", "reuse", " ", "B", "MT", "^Say why"),
        ("rod", "reuse", "seen", " ", "MT", "^This part is stopped"),
        ("rod", "rework", "seen", "B", " ", "^This part is stopped"),
    ],
)
def test_a_decision_that_leaves_something_unsaid_is_refused(
    part: str, disposition: str, reason: str, by: str, how: str, sentence: str
) -> None:
    with pytest.raises(Refusal, match=sentence):
        written(Decision(part, disposition, reason, by, how), computed="stop")
    with pytest.raises(Refusal, match="This part is stopped"):
        written(Decision("rod", "reuse", "seen"), computed="stop")


def test_a_caution_confirmed_is_one_there_is() -> None:
    known = SHIPPED.cautions[0].id
    assert written(CautionConfirmed(known)) == [("caution", {"caution": known})]
    with pytest.raises(Refusal, match=f"^'mind the step' is not a caution; allowed are .*{known}"):
        written(CautionConfirmed("mind the step"))


# -- gauges

FULL = {
    "name": " M-07 ", "error": "0.0002", "states": LIMIT_OF_ERROR, "share": "3", "repeatability": "0.0001",
    "step": "0.00005", "from": "0", "up_to": "1", "until": "2027-03-31",
}  # fmt: skip


def test_a_certificate_is_kept_whole_and_in_mm_and_the_log_gives_it_back() -> None:
    made = gauge_of(FULL, kind="micrometer", measures="length", system="inch", gauge_id="G1")
    assert (made.id, made.kind, made.name, made.states) == ("G1", "micrometer", "M-07", LIMIT_OF_ERROR)
    assert made.errors == ((D(100_000), D("0.00508")),)
    assert (made.share, made.repeatability, made.step) == (D("0.03"), D("0.00254"), D("0.00127"))
    assert (made.from_, made.up_to, made.calibrated_until) == (D(0), D("25.4"), "2027-03-31")
    assert dict(made.typed) == {
        "error": "0.0002 in", "share": "3 %", "repeatability": "0.0001 in", "step": "0.00005 in", "from": "0 in",
        "up_to": "1 in",
    }  # fmt: skip
    assert gauge_from(body_of(made)) == made


def test_a_certificate_may_say_error_and_step_alone() -> None:
    least = {"error": "0.004", "step": "0.001"}
    made = gauge_of(least, kind="caliper", measures="length", system="metric", gauge_id="G")
    assert (made.name, made.states, made.calibrated_until) == ("", EXPANDED, "")
    assert (made.share, made.repeatability, made.from_, made.up_to) == (0, None, None, None)
    assert dict(made.typed) == {"error": "0.004 mm", "step": "0.001 mm"}
    body = body_of(made)
    assert (body["repeatability"], body["from"], body["up_to"]) == ("", "", "")
    assert gauge_from(body) == made
    none = gauge_of(
        {"error": "0", "step": "0", "repeatability": "0", "share": "0"},
        kind="go gauge", measures="length", system="metric", gauge_id="G",
    )  # fmt: skip
    assert (none.errors[0][1], none.step, none.repeatability) == (0, 0, 0)


@pytest.mark.parametrize(
    ("what", "text", "sentence"),
    [
        ("error", "100000", "^Uncertainty, repeatability and step are from 0"),
        ("step", "100000", "^Uncertainty, repeatability and step are from 0"),
        ("repeatability", "100000", "^Uncertainty, repeatability and step are from 0"),
        ("share", "100", "per cent is from 0 to below 100"),
        ("share", "-1", "per cent is from 0 to below 100"),
        ("states", "hope", "^'hope' is not what a ± states; allowed are expanded, limit of error"),
        ("until", "20270331", "^'20270331' is not a date"),
        ("until", "soon", "^'soon' is not a date"),
        ("up_to", "0", "^The range runs from 0 to 0; the second must be the larger"),
    ],
)
def test_a_certificate_that_cannot_be_is_refused(what: str, text: str, sentence: str) -> None:
    with pytest.raises(Refusal, match=sentence):
        gauge_of(FULL | {what: text}, kind="m", measures="length", system="metric", gauge_id="G")


def test_a_share_just_below_the_whole_and_the_widest_error_are_taken() -> None:
    made = gauge_of(
        FULL | {"error": "99999", "share": "99"}, kind="m", measures="length", system="metric", gauge_id="G"
    )
    assert (made.errors[0][1], made.share) == (D(99999), D("0.99"))


def test_a_range_may_end_on_one_side_only() -> None:
    for ends, expected in (({"up_to": ""}, (D(0), None)), ({"from": ""}, (None, D(1)))):
        made = gauge_of(FULL | ends, kind="m", measures="length", system="metric", gauge_id="G")
        assert (made.from_, made.up_to) == expected
