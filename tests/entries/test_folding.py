"""Every kind of entry, folded: what it says stands in the job whole, and what it replaces is kept or gone."""

from __future__ import annotations

import copy
from dataclasses import fields, replace
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inspect_app.entries import measuring
from inspect_app.entries.entry import Entry
from inspect_app.entries.folding import fold, write_up
from inspect_app.entries.gauges import gauge_from
from inspect_app.entries.job import (
    Answer,
    Decided,
    Defect,
    DefectSize,
    DrawingLimit,
    Field,
    Gauge,
    Issued,
    Job,
    Photo,
    Place,
    Reading,
    Skip,
)
from inspect_app.entries.kinds import KINDS, OfPart
from inspect_app.trade.measuring.uncertainty import EXPANDED, LIMIT_OF_ERROR

D = Decimal
JOB = {"name": "J-1", "cylinder": "double-acting", "cylinder_hash": "c1", "limits_hash": "l1"}
READ = {
    "check": "rod-diameter", "station": "25", "clock": "3", "typed": "69.97 mm", "value": "69.97", "step": "0.01",
    "gauge": "G1",
}  # fmt: skip
GAUGE = {
    "gauge": "G1", "kind": "caliper", "name": "C-3", "fixed": [["100", "0.02"], ["200", "0.03"]], "share": "0.01",
    "step": "0.005", "calibrated_until": "2027-03-31",
}  # fmt: skip


def at(n: int) -> str:
    return f"2026-03-02T08:00:{n:02}.000Z"


def entry(n: int, kind: str, body: dict[str, Any], by: str = "AB") -> Entry:
    return Entry(f"e{n}", "J", "D", at(n), by, kind, body)


def folded(*written: tuple[str, dict[str, Any]]) -> Job:
    return fold("J", [entry(n, kind, body) for n, (kind, body) in enumerate(written)])


def test_an_opened_job_says_who_when_and_with_which_tables() -> None:
    job = folded(("job", JOB))
    assert (job.id, job.name, job.cylinder, job.cylinder_hash, job.limits_hash) == (
        "J", "J-1", "double-acting", "c1", "l1",
    )  # fmt: skip
    assert (job.opened_at, job.opened_by, job.last_at, job.entries, job.unknown) == (at(0), "AB", at(0), 1, 0)
    assert job.typed_off == {}
    off = folded(("job", {**JOB, "typed_off": {"file": "a.toml", "date": 20260302}}))
    assert off.typed_off == {"file": "a.toml", "sha256": "", "date": "20260302", "units": ""}


@pytest.mark.parametrize(
    ("body", "units"),
    [
        ({"units": "inch"}, "inch"),
        ({"units": "metric", "typed_off": {"units": "inch"}}, "metric"),
        # an older log: of a readings file, and of a job opened on a phone
        ({"typed_off": {"units": "inch"}}, "inch"),
        ({}, ""),
        ({"units": "cubits"}, ""),
    ],
)
def test_a_job_is_in_the_units_it_was_opened_in(body: dict[str, Any], units: str) -> None:
    job = folded(("job", {**JOB, **body}), ("tables", JOB))
    assert job.units == job.as_found.units == job.survey("as-left").units == units


def test_other_tables_judge_from_there_on_under_the_same_name() -> None:
    body = {"cylinder": "other", "cylinder_hash": "c2", "limits_hash": "l2"}
    job = folded(("job", JOB), ("tables", body))
    assert (job.name, job.cylinder, job.cylinder_hash, job.limits_hash) == ("J-1", "other", "c2", "l2")


def test_a_nameplate_grows_field_by_field_and_an_empty_one_is_taken_back() -> None:
    job = folded(
        ("nameplate", {"fields": {"bore": {"typed": "100", "value": "100"}, "maker": {"typed": "K", "value": ""}}}),
        ("nameplate", {"fields": {"rod": {"typed": "2.5 in", "value": "63.5"}, "maker": {"typed": ""}}}),
    )  # fmt: skip
    assert job.as_found.nameplate == {"bore": Field("100", D(100)), "rod": Field("2.5 in", D("63.5"))}
    assert (job.as_found.length("rod"), job.as_found.length("stroke")) == (D("63.5"), None)
    assert (job.as_found.text("rod"), job.as_found.text("stroke")) == ("2.5 in", "")


def test_answers_places_and_nominal_sizes_stand_by_what_they_belong_to() -> None:
    job = folded(
        ("answer", {"question": "q1", "answer": "yes"}),
        ("answer", {"question": "q2", "answer": "no"}),
        ("answer", {"question": "q1", "answer": "steel"}),
        ("places", {"check": "a", "stations": ["25", "50"], "clocks": ["12", "3"]}),
        ("places", {"check": "b", "stations": ["eye"], "clocks": [""]}),
        ("nominal", {"check": "a", "typed": "2 in", "value": "50.8"}),
        ("nominal", {"check": "b", "typed": "", "value": ""}),
    )
    assert job.as_found.answers == {"q1": Answer("steel", "AB", at(2)), "q2": Answer("no", "AB", at(1))}
    assert job.as_found.places == {
        "a": (Place("25", "12"), Place("25", "3"), Place("50", "12"), Place("50", "3")),
        "b": (Place("eye", ""),),
    }
    assert job.as_found.nominals == {"a": Field("2 in", D("50.8")), "b": Field("", None)}


def test_a_limit_off_a_drawing_replaces_the_one_on_the_same_thing_only() -> None:
    body = {"check": "a", "characteristic": "size", "lower": "1", "upper": "", "source": "d1"}
    job = folded(
        ("limit", body),
        ("limit", {**body, "characteristic": "taper"}),
        ("limit", {**body, "check": "b"}),
        ("limit", {**body, "lower": "", "upper": "2.5", "source": "d2"}),
    )
    assert job.as_found.limits == (
        DrawingLimit("a", "taper", D(1), None, "d1", "AB"),
        DrawingLimit("b", "size", D(1), None, "d1", "AB"),
        DrawingLimit("a", "size", None, D("2.5"), "d2", "AB"),
    )


def test_a_gauge_stands_as_it_was_described() -> None:
    errors = ((D(100), D("0.02")), (D(200), D("0.03")))
    least = Gauge(
        "G1", "caliper", "C-3", errors, D("0.01"), D("0.005"), "2027-03-31", EXPANDED, None, None, None
    )
    assert folded(("gauge", GAUGE)).as_found.gauges == {"G1": least}
    more = {"states": LIMIT_OF_ERROR, "repeatability": "0.002", "from": "0", "up_to": "150"}
    whole = Gauge(
        "G1", "caliper", "C-3", errors, D("0.01"), D("0.005"), "2027-03-31", LIMIT_OF_ERROR, D("0.002"), D(0), D(150)
    )  # fmt: skip
    assert folded(("gauge", {**GAUGE, **more})).as_found.gauges == {"G1": whole}
    both = folded(("gauge", GAUGE), ("gauge", {**GAUGE, "gauge": "G2"}))
    assert set(both.as_found.gauges) == {"G1", "G2"}


@pytest.mark.parametrize("odd", [{"fixed": []}, {"states": "a feeling"}])
def test_a_gauge_not_understood_is_none(odd: dict[str, Any]) -> None:
    with pytest.raises(ValueError, match="does not understand"):
        gauge_from({**GAUGE, **odd})
    job = folded(("gauge", {**GAUGE, **odd}))
    assert (job.as_found.gauges, job.unknown) == ({}, 1)


def test_a_reading_stands_whole_and_the_one_before_is_kept_aside() -> None:
    again = {**READ, "typed": "69.96", "value": "69.96"}
    job = folded(("reading", READ), ("reading", {**READ, "clock": "12"}), ("reading", again))
    place = Place("25", "3")
    first = Reading("e0", "rod-diameter", place, D("69.97"), "69.97 mm", "G1", at(0), "AB", D("0.01"))
    third = Reading("e2", "rod-diameter", place, D("69.96"), "69.96", "G1", at(2), "AB", D("0.01"))
    assert job.as_found.readings["rod-diameter"][place] == third
    assert set(job.as_found.readings["rod-diameter"]) == {place, Place("25", "12")}
    assert job.as_found.replaced == (first,)
    older = {k: v for k, v in READ.items() if k != "step"}
    assert folded(("reading", older)).as_found.readings["rod-diameter"][place].step == 0


def test_a_reading_lifts_what_was_skipped_at_its_place_and_for_its_whole_check_only() -> None:
    def skip(check: str, station: str, clock: str) -> tuple[str, dict[str, Any]]:
        return "skip", {"check": check, "station": station, "clock": clock, "reason": "weld"}

    skips = [skip("rod-diameter", *at) for at in (("25", "3"), ("", ""), ("50", "3"))]
    skips.append(skip("rod-chrome", "25", "3"))
    before = folded(*skips)
    assert before.as_found.skips["rod-diameter", Place("25", "3")] == Skip(
        "e0", "rod-diameter", Place("25", "3"), "weld", "AB"
    )
    assert len(before.as_found.skips) == 4
    after = folded(*skips, ("reading", READ))
    assert set(after.as_found.skips) == {("rod-diameter", Place("50", "3")), ("rod-chrome", Place("25", "3"))}


def test_one_skip_leaves_out_several_checks_and_a_reading_lifts_its_own_alone() -> None:
    together = {"check": "rod-chrome", "station": "", "clock": "", "reason": "not-fitted"}
    skip = ("skip", {**together, "checks": ["rod-chrome", "rod-diameter"]})
    whole = Place("", "")
    assert folded(skip).as_found.skips == {
        (check, whole): Skip("e0", check, whole, "not-fitted", "AB")
        for check in ("rod-chrome", "rod-diameter")
    }
    assert set(folded(skip, ("reading", READ)).as_found.skips) == {("rod-chrome", whole)}


def test_a_defect_stands_with_its_sizes_and_what_a_nail_said() -> None:
    body = {
        "check": "rod-surface", "defect": "pit", "station": "300", "clock": "6", "zone": "seal-travel",
        "measures": {
            "depth": {"typed": "2 thou", "value": "0.0508", "step": "0.0254", "gauge": "G7"},
            "width": {"typed": 1, "value": "1"},
        },
        "felt": "felt", "note": "near the eye",
    }  # fmt: skip
    sizes = {
        "depth": DefectSize(D("0.0508"), "2 thou", D("0.0254"), "G7"),
        "width": DefectSize(D(1), "1", D(0), ""),
    }
    place = Place("300", "6")
    found = Defect(
        "e0", "rod-surface", "pit", place, "seal-travel", sizes, "felt", "near the eye", at(0), "AB"
    )
    older = {k: v for k, v in body.items() if k != "felt"}
    job = folded(("defect", body), ("defect", older))
    assert job.as_found.defects[0] == found
    assert (len(job.as_found.defects), job.as_found.defects[1].felt) == (2, "")


def test_a_correction_takes_a_defects_place_and_id_and_gives_it_back_when_it_is_taken_back() -> None:
    body = {
        "check": "rod-surface", "defect": "pit", "station": "300", "station_typed": "300 mm", "clock": "6",
        "zone": "seal travel", "measures": {}, "felt": "felt", "note": "near the eye",
    }  # fmt: skip
    mended = ("defect", {**body, "note": "far from it", "instead_of": "e0"})
    twice = ("defect", {**body, "note": "under it", "instead_of": "e0"})
    two = (("defect", body), ("defect", {**body, "station": "500"}))

    def stand(*written: tuple[str, dict[str, Any]]) -> list[tuple[str, str, str]]:
        return [(d.id, d.note, d.at) for d in folded(*written).as_found.defects]

    other = ("e1", "near the eye", at(1))
    assert stand(*two, mended) == [("e0", "far from it", at(2)), other]
    assert stand(*two, mended, twice) == [("e0", "under it", at(3)), other]
    assert stand(*two, mended, twice, ("undo", {"of": "e3"})) == [("e0", "far from it", at(2)), other]
    assert stand(*two, mended, ("undo", {"of": "e2"})) == [("e0", "near the eye", at(0)), other]
    # the first one taken back by another phone: what was corrected stands by itself, its photographs with it
    assert stand(*two, mended, ("undo", {"of": "e0"})) == [other, ("e0", "far from it", at(2))]
    assert folded(*two, mended).as_found.defects[0].station_typed == "300 mm"


def test_a_look_lifts_that_its_check_was_left_out() -> None:
    left_out = {"station": "", "clock": "", "reason": "no light"}
    job = folded(
        ("skip", {"check": "bore-surface", **left_out}),
        ("skip", {"check": "rod-surface", **left_out}),
        ("looked", {"check": "bore-surface"}),
        ("looked", {"check": "barrel-outside"}),
    )
    assert job.as_found.looked == {"bore-surface", "barrel-outside"}
    assert set(job.as_found.skips) == {("rod-surface", Place("", ""))}


def test_a_photograph_stands_with_both_its_hashes_and_what_it_shows() -> None:
    body = {
        "sha256": "s", "original_sha256": "o", "width": "2048", "height": 1536, "taken_at": "t", "of": "e7",
        "caption": "pit",
    }  # fmt: skip
    job = folded(("photo", body), ("photo", {**body, "of": "job"}))
    assert job.photos[0] == Photo("e0", "s", "o", 2048, 1536, "t", "e7", "pit", "1", at(0), "AB")
    assert len(job.photos) == 2
    assert [p.id for p in job.photos_of("job")] == ["e1"]


def test_a_decision_stands_with_who_examined_the_part_and_how() -> None:
    body = {"part": "rod", "disposition": "reuse", "reason": "seen"}
    over = {**body, "part": "barrel", "examined_by": "B. Holm", "examined_how": "penetrant"}
    job = folded(("decision", {**body, "disposition": "replace"}), ("decision", body), ("decision", over))
    assert job.as_found.decided == {
        "rod": Decided("e1", "reuse", "seen", "AB", at(1), "", ""),
        "barrel": Decided("e2", "reuse", "seen", "AB", at(2), "B. Holm", "penetrant"),
    }


def test_cautions_and_reports_stand_whatever_is_entered_after_them() -> None:
    report = ("report", {"entries": "3", "head": "h", "sha256": "s", "ends": {"D": "link"}})
    job = folded(("caution", {"caution": "press"}), ("caution", {"caution": "gas"}), report)
    assert job.cautions == {"press": "AB", "gas": "AB"}
    assert job.reports == (Issued(3, "h", "s", at(2), "AB", {"D": "link"}),)
    later = folded(report, report, ("caution", {"caution": "press"}))
    assert [r.at for r in later.reports] == [at(0), at(1)]
    undone = folded(report, ("undo", {"of": "e9"}))
    assert len(undone.reports) == 1


def test_what_is_not_understood_is_counted_and_changes_nothing_else() -> None:
    job = folded(("job", JOB), ("scan", {}), ("reading", {"check": "a"}), ("reading", {**READ, "value": "?"}))
    assert (job.unknown, job.entries, job.as_found.readings, job.last_at) == (3, 4, {}, at(3))
    earlier = write_up(job, Entry("x", "J", "D", at(1), "AB", "caution", {"caution": "press"}))
    assert (earlier.last_at, earlier.entries, earlier.unknown) == (at(3), 5, 3)


@pytest.mark.parametrize(
    ("kind", "odd"),
    [
        ("nameplate", {"fields": ["bore"]}),
        ("defect", {**READ, "defect": "pit", "zone": "", "note": "", "measures": ["depth"]}),
        ("gauge", {**GAUGE, "typed": 3}),
        ("places", {"check": "a", "stations": 3, "clocks": [""]}),
        ("job", {"name": "J"}),
    ],
)
def test_a_body_of_another_shape_is_counted_and_never_stops_the_reader(
    kind: str, odd: dict[str, Any]
) -> None:
    job = folded(("caution", {"caution": "press"}), (kind, odd))
    assert (job.unknown, job.surveys, job.cautions) == (1, {}, {"press": "AB"})


def test_a_kind_that_knows_one_part_of_the_job_names_one_there_is() -> None:
    parts = {kind.step.name for kind in KINDS.values() if isinstance(kind.step, OfPart)}
    assert parts
    assert parts <= {f.name for f in fields(Job)}


def test_taken_back_entries_count_in_the_log_and_nowhere_else() -> None:
    job = folded(
        ("reading", READ), ("undo", {"of": "e0"}), ("caution", {"caution": "press"}), ("undo", {"of": "e1"})
    )
    # the undo is undone: the reading stands again
    assert (len(job.as_found.readings["rod-diameter"]), job.entries, job.last_at) == (1, 4, at(3))
    gone = folded(("reading", READ), ("undo", {"of": "e0"}))
    assert (gone.as_found.readings, gone.entries, gone.last_at, gone.unknown) == ({}, 2, at(1), 0)


def test_entries_of_one_instant_are_taken_by_their_ids() -> None:
    first = Entry("a", "J", "D", at(0), "AB", "answer", {"question": "q", "answer": "yes"})
    second = Entry("b", "J", "D", at(0), "CD", "answer", {"question": "q", "answer": "no"})
    for order in ((first, second), (second, first)):
        assert fold("J", order).as_found.answers == {"q": Answer("no", "CD", at(0))}


# ---- many at once

READINGS = st.builds(
    lambda check, station, survey, value: {
        **READ,
        "check": check,
        "station": station,
        **survey,
        "value": value,
    },
    st.sampled_from(["rod-diameter", "bore-diameter"]),
    st.sampled_from(["25", "50", "75"]),
    st.sampled_from([{}, {"survey": "as-left"}]),
    st.sampled_from(["69.97", "69.96", "69.95", "no number"]),
)
SKIPS = st.builds(
    lambda station: {
        "check": "rod-diameter",
        "station": station,
        "clock": "3" if station else "",
        "reason": "worn",
    },
    st.sampled_from(["25", "50", ""]),
)
OTHERS: list[tuple[str, dict[str, Any]]] = [
    ("reading", {**READ, "check": ["not", "a", "check"]}), ("reading", {**READ, "station": {}}),
    ("reading", {"check": "rod-diameter"}), ("looked", {"check": "rod-diameter"}), ("job", JOB), ("tables", JOB),
    ("nameplate", {"fields": {"rod": {"typed": "70 mm", "value": "70"}}}), ("thermogram", {}), ("gauge", GAUGE),
    ("nameplate", {"fields": {}, "survey": "as-left"}), ("nameplate", {}),
]  # fmt: skip
MANY = st.lists(
    st.tuples(st.just("reading"), READINGS)
    | st.tuples(st.just("skip"), SKIPS)
    | st.sampled_from(OTHERS)
    | st.tuples(st.just("undo"), st.builds(lambda n: {"of": f"e{n}"}, st.integers(0, 40))),
    max_size=40,
)


@settings(max_examples=10 * settings.default.max_examples)
@given(written=MANY)
def test_entries_folded_at_once_give_what_they_give_one_by_one(
    written: list[tuple[str, dict[str, Any]]],
) -> None:
    entries = [entry(n, kind, body) for n, (kind, body) in enumerate(written)]
    undone = set()
    for e in reversed(entries):
        if e.kind == "undo" and e.id not in undone:
            undone.add(e.body["of"])
    job = Job("J")
    for e in entries:
        left_out = e.kind == "undo" or e.id in undone
        job = replace(job, entries=job.entries + 1, last_at=e.at) if left_out else write_up(job, e)
    assert fold("J", entries) == job


def test_going_on_from_a_job_leaves_the_job_as_it_was() -> None:
    first = folded(("job", JOB), ("reading", READ), ("skip", {**READ, "reason": "worn", "station": "50"}))
    as_it_was = copy.deepcopy(first)
    again = write_up(first, entry(7, "reading", {**READ, "value": "69.90", "typed": "69.90"}))
    write_up(again, entry(8, "reading", {**READ, "station": "50"}))
    assert first == as_it_was
    assert [r.value for r in again.as_found.replaced] == [D("69.97")]


def test_a_survey_is_made_once_for_all_its_readings(monkeypatch: pytest.MonkeyPatch) -> None:
    # counted, not timed: what is copied for each reading grows with how many stand already
    made = []
    monkeypatch.setattr(measuring, "replace", lambda *a, **k: made.append(a) or replace(*a, **k))
    folded(("job", JOB), *(("reading", {**READ, "station": str(n)}) for n in range(200)))
    assert len(made) < 5
