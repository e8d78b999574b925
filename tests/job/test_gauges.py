"""Several gauges of a kind: which one a reading was taken with, its range, its certificate, taken out of use."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest
from log import SHIPPED

from inspect_app.bench.bench import Bench
from inspect_app.bench.outcome import Outcome
from inspect_app.entries.entry import SHOP
from inspect_app.entries.gauges import gauge_from
from inspect_app.entries.job import Gauge, Job, Place
from inspect_app.entries.opening import Nameplate
from inspect_app.job.choosing import gauge_for, range_words, reaches
from inspect_app.tables.cylinders import Check
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.uncertainty import EXPANDED, LIMIT_OF_ERROR

D = Decimal
FIRST, SECOND = Place("25", "12"), Place("25", "3")
MICROMETER = "outside-micrometer"
KINDS = SHIPPED.gauges


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    return Bench(tmp_path / "shop")


def check(bench: Bench, check_id: str = "rod-diameter") -> Check:
    found = bench.tables.cylinders["double-acting"].check(check_id)
    assert found
    return found


def rod_job(bench: Bench, rod: str = "70") -> Job:
    job = bench.open_job("J-1", "AB")
    return bench.enter(job, Nameplate({"bore": "100", "rod": rod, "stroke": "600"}), "AB", "metric").job


def enter(
    bench: Bench, name: str, from_: str = "", up_to: str = "", kind: str = MICROMETER, **more: str
) -> Gauge:
    certificate = {"name": name, "error": "0.004", "step": "0.001", "from": from_, "up_to": up_to, **more}
    bench.enter_gauge(kind, certificate, "AB", "metric")
    return bench.shop.gauges_of(kind)[-1]


def measure(bench: Bench, job: Job, text: str, place: Place = FIRST, **more: object) -> Outcome:
    return bench.measure(job, check(bench), place, text, "AB", "metric", **more)


def read_with(outcome: Outcome, place: Place = FIRST) -> str:
    assert not outcome.remark
    assert outcome.doubt is None
    return outcome.job.as_found.gauges[outcome.job.as_found.readings["rod-diameter"][place].gauge].name


def gauge(name: str, from_: str = "", up_to: str = "", error: str = "0.004") -> Gauge:
    ends = (D(end) if end else None for end in (from_, up_to))
    return Gauge(name, MICROMETER, name, ((D(1000), D(error)),), D(0), D("0.001"), "", EXPANDED, D(0), *ends)


# ---- which gauge


@pytest.mark.parametrize(
    ("size", "last", "chosen", "asked"),
    [
        ("60", "", "50-75", ""),
        ("75", "", "50-75", "Which gauge was it: 50-75 or 75-100?"),
        ("75", "75-100", "75-100", ""),
        ("60", "75-100", "50-75", ""),  # what was used last does not reach
        ("110", "", "75-100", "No outside micrometer of the shop reaches 110.000 mm."),
        ("20", "75-100", "50-75", "No outside micrometer of the shop reaches 20.000 mm."),
    ],
)
def test_the_gauge_whose_range_holds_the_size_is_taken_and_else_it_is_asked(
    size: str, last: str, chosen: str, asked: str
) -> None:
    gauges = [gauge("50-75", "50", "75", "0.005"), gauge("75-100", "75", "100")]
    choice = gauge_for(gauges, D(size), last=last, measures="length", kinds=KINDS, system="metric")
    assert choice.gauge.name == chosen
    assert choice.question.startswith(asked)
    assert bool(choice.question) == bool(asked)


def test_before_any_size_is_known_every_gauge_of_the_kind_fits() -> None:
    gauges = [gauge("50-75", "50", "75"), gauge("75-100", "75", "100")]
    choice = gauge_for(gauges, None, last="", measures="length", kinds=KINDS, system="metric")
    assert "50-75 or 75-100" in choice.question


def test_left_unanswered_the_least_exact_counts() -> None:
    choice = gauge_for(
        [gauge("A"), gauge("B", error="0.01")],
        D(60),
        last="",
        measures="length",
        kinds=KINDS,
        system="metric",
    )
    assert choice.gauge.name == "B"
    assert "it counts as B" in choice.question


@pytest.mark.parametrize(
    ("from_", "up_to", "size", "held"),
    [
        ("50", "75", "50", True),
        ("50", "75", "75", True),
        ("50", "75", "49.999", False),
        ("50", "75", "75.001", False),
        ("", "75", "1", True),
        ("50", "", "999", True),
        ("", "", "999", True),
    ],
)
def test_a_range_holds_its_ends(from_: str, up_to: str, size: str, held: bool) -> None:
    assert reaches(gauge("A", from_, up_to), D(size)) is held


def test_a_range_is_said_in_the_readers_units() -> None:
    assert range_words(gauge("A", "50.8", "76.2"), "length", "inch") == "from 2.0000 in to 3.0000 in"
    assert range_words(gauge("A", "", "75"), "length", "metric") == "to 75.000 mm"
    assert range_words(gauge("A"), "length", "metric") == ""


# ---- at the bench


def test_of_two_micrometers_the_one_that_reaches_the_rod_reads_it(bench: Bench) -> None:
    enter(bench, "M 25-50", "25", "50")
    enter(bench, "M 50-75", "50", "75")
    outcome = measure(bench, rod_job(bench), "69.960")
    assert read_with(outcome) == "M 50-75"
    assert read_with(measure(bench, rod_job(bench, "45"), "44.960")) == "M 25-50"


def test_where_two_reach_the_bench_asks_and_remembers_the_answer_for_the_job(bench: Bench) -> None:
    enter(bench, "M-1", "50", "75")
    enter(bench, "M-2", "50", "75")
    job = rod_job(bench)
    asked = measure(bench, job, "69.960")
    assert asked.doubt is not None
    assert "M-1 or M-2" in asked.doubt.sentence
    assert asked.job is job
    answered = measure(bench, job, "69.960", gauge="M-1")
    assert read_with(answered) == "M-1"
    again = measure(bench, answered.job, "69.962", SECOND)
    assert read_with(again, SECOND) == "M-1"


def test_a_reading_outside_its_gauges_range_is_asked_about_and_never_refused(bench: Bench) -> None:
    enter(bench, "M 25-50", "25", "50")
    job = rod_job(bench)
    asked = measure(bench, job, "69.960", gauge="M 25-50")
    assert asked.doubt is not None
    assert "M 25-50 reads from 25.000 mm to 50.000 mm; 69.960 mm is outside" in asked.doubt.sentence
    assert measure(bench, job, "69.960").doubt is not None  # the only one of the shop, not named
    assert read_with(measure(bench, job, "69.960", sure=True)) == "M 25-50"


def test_an_unlikely_reading_and_a_doubtful_gauge_are_asked_about_at_once(bench: Bench) -> None:
    enter(bench, "M 25-50", "25", "50")
    asked = measure(bench, rod_job(bench), "6996")
    assert asked.doubt is not None
    assert asked.doubt.meant == D("69.96")
    assert "is outside" in asked.doubt.sentence


def test_another_kind_that_reaches_the_size_may_be_named(bench: Bench) -> None:
    enter(bench, "Caliper 3", kind="caliper", error="0.03", states=LIMIT_OF_ERROR)
    job = rod_job(bench)
    assert [g.name for g in bench.shop.gauges_for(check(bench), bench.tables)] == ["", "Caliper 3"]
    outcome = measure(bench, job, "69.96", gauge="Caliper 3")
    assert read_with(outcome) == "Caliper 3"
    assert read_with(measure(bench, outcome.job, "69.96", SECOND), SECOND) == ""  # not named again


@pytest.mark.parametrize(
    ("name", "words"),
    [("M-99", ["'M-99'", "outside micrometer"]), ("coating-gauge", ["coating gauge", "thickness", "length"])],
)
def test_a_gauge_that_is_not_there_or_measures_something_else_is_refused_by_name(
    bench: Bench, name: str, words: list[str]
) -> None:
    outcome = measure(bench, rod_job(bench), "69.96", gauge=name)
    assert all(word in str(outcome.remark) for word in words)


# ---- certificates


def test_a_certificate_says_range_scatter_and_what_its_error_is(bench: Bench) -> None:
    entered = enter(bench, "M-1", "50", "75", states=LIMIT_OF_ERROR, repeatability="0.0015", share="1")
    assert (entered.from_, entered.up_to) == (50, 75)
    assert (entered.states, entered.repeatability, entered.share) == (LIMIT_OF_ERROR, D("0.0015"), D("0.01"))
    again = Bench(bench.folder)
    assert again.shop.gauges_of(MICROMETER) == (entered,)


def test_a_range_is_read_in_inches_too(bench: Bench) -> None:
    certificate = {"name": "M-2", "error": "0.0001", "step": "0.0001", "from": "2", "up_to": "3 in"}
    bench.enter_gauge(MICROMETER, certificate, "AB", "inch")
    entered = bench.shop.gauges_of(MICROMETER)[0]
    assert (entered.from_, entered.up_to) == (D("50.8"), D("76.2"))


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ({"from_": "75", "up_to": "50"}, "from 75 to 50"),
        ({"from_": "50", "up_to": "50"}, "larger"),
        ({"states": "guess"}, "'guess'"),
        ({"repeatability": "-0.001"}, "from 0"),
        ({"repeatability": "often"}, "often"),
    ],
)
def test_a_certificate_that_cannot_be_is_refused(bench: Bench, more: dict[str, str], words: str) -> None:
    with pytest.raises(Refusal, match=words):
        enter(bench, "M-1", **more)
    assert [g.id for g in bench.shop.gauges_of(MICROMETER)] == [f"default {MICROMETER}"]


def test_a_gauge_taken_out_of_use_reads_no_more_and_its_readings_stay(bench: Bench) -> None:
    entered = enter(bench, "M-1", "50", "75")
    job = measure(bench, rod_job(bench), "69.960").job
    bench.retire_gauge(entered.id, "AB")
    assert [g.id for g in bench.shop.gauges_of(MICROMETER)] == [f"default {MICROMETER}"]
    assert bench.job(job.id).as_found.gauges[entered.id] == entered
    assert [g.id for g in Bench(bench.folder).shop.gauges_of(MICROMETER)] == [f"default {MICROMETER}"]


def test_a_new_certificate_takes_the_place_of_the_old_and_leaves_old_readings_alone(bench: Bench) -> None:
    before = enter(bench, "M-1")
    job = measure(bench, rod_job(bench), "69.960").job
    certificate = {"name": "M-1", "error": "0.009", "step": "0.001"}
    bench.enter_gauge(MICROMETER, certificate, "AB", "metric", instead_of=before.id)
    (now,) = bench.shop.gauges_of(MICROMETER)
    assert now.errors[0][1] == D("0.009")
    job = measure(bench, job, "69.962", SECOND).job
    errors = [
        job.as_found.gauges[r.gauge].errors[0][1] for r in job.as_found.readings["rod-diameter"].values()
    ]
    assert errors == [D("0.004"), D("0.009")]


# ---- older logs

OLD = {
    "gauge": "G1", "kind": MICROMETER, "name": "M-07", "fixed": [["100000", "0.005"]], "share": "0",
    "step": "0.001", "calibrated_until": "",
}  # fmt: skip


def test_a_gauge_of_an_older_log_is_read_as_it_was_then() -> None:
    old = gauge_from(OLD)
    assert (old.states, old.repeatability, old.from_, old.up_to) == (EXPANDED, None, None, None)


def test_in_an_older_log_a_new_gauge_took_the_place_of_the_one_before(bench: Bench) -> None:
    bench.record(SHOP, "AB", ("gauge", OLD), ("gauge", {**OLD, "gauge": "G2", "name": "M-08"}))
    assert [g.name for g in bench.shop.gauges_of(MICROMETER)] == ["M-08"]


def test_a_gauge_only_a_newer_version_understands_is_left_alone(bench: Bench) -> None:
    bench.record(SHOP, "AB", ("gauge", {**OLD, "states": "a distribution"}), ("gauge", {**OLD, "fixed": []}))
    assert [g.id for g in bench.shop.gauges_of(MICROMETER)] == [f"default {MICROMETER}"]


def test_readings_taken_with_an_earlier_shipped_default_keep_its_figures(bench: Bench) -> None:
    job = rod_job(bench)
    bench.record(job.id, "AB", ("gauge", {**OLD, "gauge": f"default {MICROMETER}", "name": MICROMETER}))
    job = measure(bench, bench.job(job.id), "69.960").job
    assert len(job.as_found.gauges) == 2
    assert job.as_found.gauges[f"default {MICROMETER}"].errors == ((D(100_000), D("0.005")),)
    read = job.as_found.gauges[job.as_found.readings["rod-diameter"][FIRST].gauge]
    assert read.errors == bench.tables.gauges[MICROMETER].errors
    assert len(measure(bench, job, "69.962", SECOND).job.as_found.gauges) == 2
