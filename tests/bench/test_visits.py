"""A cylinder that was here before is known by its serial, and what wore since is told where it is proven."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from at_the_desk import AtTheDesk, day_at_the_desk

from inspect_app.bench import visits
from inspect_app.bench.bench import Bench
from inspect_app.bench.issuing import report_pdf
from inspect_app.bench.visits import history_told
from inspect_app.entries.deciding import Decision
from inspect_app.entries.job import AS_FOUND, AS_LEFT, Job, Place
from inspect_app.entries.opening import Nameplate
from inspect_app.entries.stepping import RecordNoted
from inspect_app.job.history import hours_run

AT_20 = {"part_temperature": "20", "gauge_temperature": "20"}
PLATE = {"bore": "100", "rod": "70", "stroke": "600", "complaint": "leaks at the rod"}
PLACE, OTHER = Place("25", "12"), Place("25", "2")


@dataclass
class Clock:
    """A clock that a test sets."""

    at: datetime = field(default_factory=lambda: datetime(2024, 3, 1, 8, tzinfo=UTC))

    def __call__(self) -> datetime:
        return self.at


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def bench(tmp_path: Path, clock: Clock) -> Iterator[Bench]:
    bench = Bench(tmp_path, now=clock, throw_away=True)
    # ± 0.003 mm as a certificate states it, and no scatter of its own
    certificate = {
        "name": "M-1",
        "error": "0.003",
        "step": "0.001",
        "states": "expanded",
        "repeatability": "0.0001",
    }
    bench.enter_gauge("outside-micrometer", certificate, "KM", "metric")
    yield bench
    bench.close()


def visit(
    bench: Bench,
    name: str,
    serial: str,
    rod: Mapping[Place, str] | None = None,
    hours: str = "",
    survey: str = AS_FOUND,
    plate: Mapping[str, str] = AT_20,
) -> Job:
    job = bench.open_job(name, "KM")
    job = bench.enter(job, Nameplate({**PLATE, **plate, "serial": serial}), "KM", "metric").job
    job = bench.enter(job, RecordNoted("receiving", "hours", hours), "KM", "metric").job
    return measured(bench, job, rod or {}, survey)


def measured(bench: Bench, job: Job, rod: Mapping[Place, str], survey: str, of: str = "rod-diameter") -> Job:
    check = bench.tables.cylinders[job.cylinder].check(of)
    assert check
    for place, text in rod.items():
        outcome = bench.measure(job, check, place, text, "KM", "metric", sure=True, survey=survey)
        assert not outcome.remark, str(outcome.remark)
        job = outcome.job
    return job


def told(bench: Bench, job: Job, system: str = "metric") -> list[str]:
    return [s.words(system) for s in history_told(bench, bench.job(job.id))]


def test_earlier_visits_are_told_by_serial_the_last_first_and_no_later_or_other_one(
    bench: Bench, clock: Clock
) -> None:
    first = visit(bench, "J-1", "AB 12", hours="4100")
    clock.at += timedelta(days=200)
    visit(bench, "J-2", "another")
    second = visit(bench, "J-3", "ab12")
    clock.at += timedelta(days=200)
    visit(bench, "J-4", "")
    now = visit(bench, "J-5", " AB12")
    last, before = told(bench, now)
    assert last.startswith("Here before: 2024-09-17, J-3")
    assert before.startswith(
        "Here before: 2024-03-01, J-1, hours run 4100, complaint: leaks at the rod. Found: not decided"
    )
    assert [s[:33] for s in told(bench, second)] == ["Here before: 2024-03-01, J-1, hou"]
    assert told(bench, first) == []
    assert now.id in [line.job for line in bench.logbook.lines.found("ab12", "", 9)]


def test_a_serial_that_was_corrected_is_no_visit_any_more(bench: Bench, clock: Clock) -> None:
    first = visit(bench, "J-1", "AB12")
    clock.at += timedelta(days=10)
    now = visit(bench, "J-2", "AB12")
    assert len(told(bench, now)) == 1
    bench.enter(bench.job(first.id), Nameplate({"serial": "AB13"}), "KM", "metric")
    assert told(bench, now) == []


def test_wear_is_told_as_left_against_as_found_with_its_uncertainty_by_hours(
    bench: Bench, clock: Clock
) -> None:
    first = visit(bench, "J-1", "A-1", {PLACE: "69.920", OTHER: "69.920"}, "4100 h")
    # ground and plated: what holds from here on is the size it was left with
    measured(bench, first, {PLACE: "69.962", OTHER: "69.960"}, AS_LEFT)
    clock.at += timedelta(days=400)
    now = visit(bench, "J-2", "A-1", {PLACE: "69.932", OTHER: "69.959"}, "7100")
    (_, worn) = told(bench, now)
    # 69.962 - 69.932 = 0.030 mm in 7100 - 4100 = 3000 h, so 0.010 mm in each 1000. U of either is at least that of the
    # gauge, 0.003 mm, and of 1 °C at 70 mm of steel, 2 x 70 x 11.5e-6 x 1/sqrt(3) = 0.00093 mm for part and gauge each:
    # sqrt(2) x sqrt(0.003² + 2 x 0.00093²) = 0.0046 mm, and by 1000 h 0.0046 / 3 = 0.0015 mm
    assert worn.startswith("Rod diameter, 25 mm, 12 o'clock: 69.932 ± 0.00")
    assert (
        ", smaller by 0.030 ± 0.005 mm than it went out, in 3000 hours run: 0.010 ± 0.002 mm for each 1000 of them"
        in worn
    )
    assert worn.endswith("A change shows at 1 of the 2 places read at both visits.")
    (_, inch) = told(bench, now, "inch")
    assert "smaller by 0.0012 ± 0.0002 in" in inch  # 0.030 / 25.4 = 0.00118


def test_without_hours_it_is_by_month_and_what_drowns_is_no_wear(bench: Bench, clock: Clock) -> None:
    for serial in ("A-1", "A-2"):
        measured(bench, visit(bench, f"J {serial}", serial), {PLACE: "69.962"}, AS_LEFT)
    clock.at += timedelta(days=365)
    # 365 / 30.4375 = 12.0 months; 0.036 mm / 12 = 0.003 mm a month; U is 0.0046 mm as above, / 12 = 0.0004 mm
    worn = visit(bench, "J-3", "A-1", {PLACE: "69.926"}, "800")
    assert "in 12.0 months: 0.0030 ± 0.0004 mm a month" in told(bench, worn)[1]
    same = visit(bench, "J-4", "A-2", {PLACE: "69.959"})
    assert told(bench, same)[1:] == ["Rod diameter: no wear shown at the 1 place read at both visits."]


def test_sizes_without_wear_are_told_together(bench: Bench, clock: Clock) -> None:
    spot = Place("", "12")
    first = measured(bench, visit(bench, "J-1", "A-1"), {PLACE: "69.962"}, AS_LEFT)
    measured(bench, first, {spot: "49.980"}, AS_LEFT, "rod-spigot-diameter")
    clock.at += timedelta(days=365)
    now = measured(
        bench,
        visit(bench, "J-2", "A-1", {PLACE: "69.961"}),
        {spot: "49.980"},
        AS_FOUND,
        "rod-spigot-diameter",
    )
    titles = {c.id: c.title for c in bench.tables.cylinders[now.cylinder].checks}
    (_, together) = told(bench, now)
    assert together.startswith("No wear shown where these were read at both visits: rod diameter; ")
    assert titles["rod-spigot-diameter"][1:] in together


def test_a_part_counts_as_it_went_out_so_found_only_where_it_was_fit_and_untouched(
    bench: Bench, clock: Clock
) -> None:
    unfit = visit(bench, "J-1", "A-1", {PLACE: "69.962"})
    fit = visit(bench, "J-2", "A-2", {PLACE: "69.962"})
    bench.enter(fit, Decision("rod", "reuse", "looks good"), "KM", "metric")
    clock.at += timedelta(days=100)
    assert len(told(bench, visit(bench, "J-3", "A-1", {PLACE: "69.910"}))) == 1
    assert (
        "69.910 ± 0.004 mm now, smaller by 0.052"
        in told(bench, visit(bench, "J-4", "A-2", {PLACE: "69.910"}))[1]
    )
    # another place than the one read then
    measured(bench, unfit, {PLACE: "69.962"}, AS_LEFT)
    elsewhere = visit(bench, "J-5", "A-1", {Place("313", "12"): "69.930"})
    assert [s[:11] for s in told(bench, elsewhere)] == ["Here before"] * 2


def test_no_wear_is_told_where_a_temperature_was_not_noted_or_another_size_is_fitted(
    bench: Bench, clock: Clock
) -> None:
    cold = visit(bench, "J-1", "A-1", plate={"part_temperature": "20"})
    thinner = visit(bench, "J-2", "A-2", plate={**AT_20, "rod": "63"})
    for job in (cold, thinner):
        measured(bench, job, {PLACE: "69.962"}, AS_LEFT)
    clock.at += timedelta(days=100)
    said = told(bench, visit(bench, "J-3", "A-1", {PLACE: "69.930"}))[1:]
    assert said == ["No wear is told: the temperatures of parts and gauges have to be noted at both visits."]
    assert told(bench, visit(bench, "J-4", "A-2", {PLACE: "69.930"}))[1:] == []


@pytest.mark.parametrize(
    ("typed", "hours"),
    [
        ("6300", 6300),
        ("6300 h", 6300),
        ("6300,5 hrs", 6300.5),
        ("6,300", None),
        ("some 6000", None),
        ("", None),
    ],
)
def test_hours_are_a_plain_number_or_none(bench: Bench, typed: str, hours: float | None) -> None:
    assert hours_run(visit(bench, "J-1", "A-1", hours=typed)) == hours


def test_no_job_is_folded_for_it_but_those_of_the_serial_and_nothing_is_computed_twice(
    bench: Bench, clock: Clock, monkeypatch: pytest.MonkeyPatch
) -> None:
    for n in range(3):
        visit(bench, f"J-{n}", "A-1" if n == 1 else f"B-{n}")
    clock.at += timedelta(days=30)
    now = visit(bench, "J-9", "A-1")
    again = Bench(bench.folder, now=clock, throw_away=True)
    asked: list[str] = []
    real, computed = again.job, []
    monkeypatch.setattr(again, "job", lambda name: (asked.append(name), real(name))[1])
    told_once = visits.history_of
    monkeypatch.setattr(visits, "history_of", lambda *a: (computed.append(a), told_once(*a))[1])
    job = real(now.id)
    assert history_told(again, job) == history_told(again, job) != ()
    assert [real(name).name for name in asked] == ["J-1", "J-1"]
    assert len(computed) == 1
    again.close()


def test_receiving_shows_it_and_the_report_says_it(bench: Bench, clock: Clock) -> None:
    import pymupdf

    visit(bench, "J-1", "A-1")
    clock.at += timedelta(days=30)
    now = visit(bench, "J-2", "A-1")

    async def day(at: AtTheDesk) -> None:
        await at.wait_for("Here before: 2024-03-01, J-1, complaint: leaks at the rod.")

    day_at_the_desk(bench, f"/job/{now.id}/step/receiving", day)
    with pymupdf.open(stream=report_pdf(bench, bench.job(now.id), "metric")) as pdf:
        text = " ".join(" ".join(page.get_text() for page in pdf).split())
    assert "Earlier visits" in text
    assert "Here before: 2024-03-01, J-1" in text
