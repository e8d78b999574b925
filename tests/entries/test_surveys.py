"""States of the cylinder: each holds what was said of it alone, and a later one is judged as found says unless told."""

from __future__ import annotations

from decimal import Decimal

from log import Log

from inspect_app.entries.entry import Entry
from inspect_app.entries.job import AS_FOUND, Survey
from inspect_app.entries.kinds import KINDS, OfSurvey, said_of
from inspect_app.job.assess import assess
from inspect_app.job.findings import Disposition
from inspect_app.job.judge import limits_for, nominal_of
from inspect_app.job.places import places_of
from inspect_app.tables.cylinders import Check

D = Decimal
LEFT = "as-left"


def check(log: Log, check_id: str) -> Check:
    found = log.tables.cylinders["double-acting"].check(check_id)
    assert found is not None
    return found


def worn_bore() -> Log:
    """A bore read wide, scored and decided on, laid out at two stations."""
    log = Log(bore="100", rod="63", stroke="1200")
    log.lay_out("bore-diameter", "100 1100", "12 2 4")
    log.read("bore-diameter", "100 12", "100.31")
    log.defect("bore-surface", "score", "seal-travel", length="40")
    log.skip("bore-roughness")
    log.write("looked", check="bore-surface")
    log.decide("barrel", "rework")
    log.drawing("bore-diameter", "ovality", upper="0.03")
    log.drawing("bore-diameter", "taper", upper="0.05")
    return log


def test_what_was_read_found_and_decided_says_nothing_of_a_later_state() -> None:
    job = worn_bore().job()
    left = job.survey(LEFT)
    assert (left.name, left.readings, left.defects, left.skips, left.looked, left.decided, left.places) == (
        LEFT, {}, (), {}, frozenset(), {}, {},
    )  # fmt: skip
    assert len(job.as_found.readings["bore-diameter"]) == 1
    assert job.surveys.keys() == {AS_FOUND}


def test_a_later_state_is_judged_by_what_is_known_of_the_cylinder_as_found() -> None:
    job = worn_bore().job()
    found, left = job.as_found, job.survey(LEFT)
    assert (left.cylinder, left.nameplate, left.answers) == ("double-acting", found.nameplate, found.answers)
    assert (left.nominals, left.limits, left.gauges) == (found.nominals, found.limits, found.gauges)


def test_a_honed_bore_has_a_nominal_size_of_its_own_and_is_judged_by_it() -> None:
    log = worn_bore()
    log.write("nameplate", fields={"bore": {"typed": "100.5", "value": "100.5"}}, survey=LEFT)
    gauge = log.gauge("0.002")
    body = {"check": "bore-diameter", "typed": "100.52", "value": "100.52", "step": "0", "gauge": gauge}
    for place in places_of(check(log, "bore-diameter"), log.job().survey(LEFT)):
        log.write("reading", **body, **place._asdict(), survey=LEFT)
    job, bore = log.job(), check(log, "bore-diameter")
    assert (nominal_of(bore, job.as_found), nominal_of(bore, job.survey(LEFT))) == (D(100), D("100.5"))
    # 100.52 is far beyond any limit on a bore of 100 and 20 um above the nominal of the honed one, within H8 and H9
    upper = limits_for(bore, "size", job.survey(LEFT), log.tables)["reuse"].upper
    assert upper is not None
    assert D("100.52") < upper < D("100.7")
    (size,) = [
        f
        for p in assess(job.survey(LEFT), log.tables).parts
        for c in p.checks
        for f in c.findings
        if (c.check.id, f.characteristic) == ("bore-diameter", "size")
    ]
    assert size.disposition is Disposition.REUSE
    assert [r.value for r in job.as_found.readings["bore-diameter"].values()] == [D("100.31")]


def test_of_nominals_answers_gauges_and_drawing_limits_the_later_word_holds_for_the_later_state() -> None:
    log = worn_bore()
    log.write("nominal", check="piston-bore", typed="50", value="50")
    log.write("nominal", check="piston-bore", typed="51", value="51", survey=LEFT)
    log.write("nominal", check="gland-new-ring", typed="3", value="3", survey=LEFT)
    log.write("answer", question="rod-end", answer="no-eye", survey=LEFT)
    drawn = {"check": "bore-diameter", "characteristic": "ovality", "lower": "", "source": "d2"}
    log.write("limit", **drawn, upper="0.02", survey=LEFT)
    job = log.job()
    found, left = job.as_found, job.survey(LEFT)
    assert {k: f.typed for k, f in left.nominals.items()} == {"piston-bore": "51", "gland-new-ring": "3"}
    assert {k: f.typed for k, f in found.nominals.items()} == {"piston-bore": "50"}
    assert (left.answers["rod-end"].text, found.answers["rod-end"].text != "no-eye") == ("no-eye", True)
    assert [(x.characteristic, x.upper) for x in left.limits] == [
        ("taper", D("0.05")),
        ("ovality", D("0.02")),
    ]
    assert [(x.characteristic, x.upper) for x in found.limits] == [
        ("ovality", D("0.03")),
        ("taper", D("0.05")),
    ]


def test_an_entry_names_a_later_state_and_only_where_its_kind_knows_states() -> None:
    reading, photo = ("reading", {"check": "a"}), ("photo", {"of": "a"})
    assert said_of(AS_FOUND, reading) == reading
    assert said_of(LEFT, reading) == ("reading", {"check": "a", "survey": LEFT})
    assert said_of(LEFT, photo) == photo
    of_survey = {name for name, kind in KINDS.items() if isinstance(kind.step, OfSurvey)}
    assert of_survey == {
        "nameplate", "answer", "places", "nominal", "limit", "gauge", "reading", "skip", "defect", "looked", "decision",
        "seal", "old-seal", "seal-sheet", "seal-doubt",
    }  # fmt: skip


def test_a_state_this_version_does_not_know_is_kept_by_its_name() -> None:
    log = worn_bore()
    log.write("looked", check="bore-surface", survey="after-test")
    assert log.job().surveys["after-test"] == Survey("after-test", looked=frozenset({"bore-surface"}))
    assert log.job().unknown == 0


def test_a_reading_taken_back_is_gone_from_its_own_state_only() -> None:
    log = worn_bore()
    body = {"check": "bore-diameter", "station": "100", "clock": "12", "typed": "100.5", "value": "100.5"}
    left = log.write("reading", **body, step="0", gauge="G", survey=LEFT)
    assert log.job().survey(LEFT).readings["bore-diameter"]
    log.undo(left)
    job = log.job()
    assert (job.survey(LEFT).readings, len(job.as_found.readings["bore-diameter"])) == ({}, 1)
    assert isinstance(log.entries[-1], Entry)
