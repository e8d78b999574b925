"""The list of jobs: says what the entries say, and of how a job stands never what held before the last of them."""

from __future__ import annotations

import shutil
import sqlite3
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from inspect_app.bench import listing
from inspect_app.bench.bench import Bench
from inspect_app.bench.listing import AtTheCustomer, Stands, basis_of, judged, listed
from inspect_app.entries.job import Place
from inspect_app.entries.opening import Nameplate
from inspect_app.job.findings import Disposition
from inspect_app.job.progress import Progress
from inspect_app.job.scope.covering import Stand
from inspect_app.logbook.lines import LINE
from inspect_app.logbook.store import Logbook


class Clock:
    def __init__(self) -> None:
        self.at = datetime(2026, 3, 2, 8, tzinfo=UTC)

    def __call__(self) -> datetime:
        self.at += timedelta(seconds=1)
        return self.at


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def bench(tmp_path: Path, clock: Clock) -> Iterator[Bench]:
    bench = Bench(tmp_path / "shop", now=clock, throw_away=True)
    yield bench
    bench.close()


def named(bench: Bench, name: str, **fields: str) -> str:
    job = bench.open_job(name, "AB")
    return bench.enter(job, Nameplate(fields), "AB", "metric").job.id


def names(bench: Bench, wanted: str = "", most: int = 50) -> list[str]:
    return [row.line.name for row in listed(bench, wanted, most).rows]


def look_up(bench: Bench) -> None:
    """What a screen does beside itself."""
    basis = basis_of(bench)
    unknown = [row.line for row in listed(bench, "", 50).rows if row.stands is None]
    bench.logbook.lines.keep(j for line in unknown if (j := judged(bench, line, basis)))


def stands(bench: Bench, job: str) -> Stands | None:
    return next(row.stands for row in listed(bench, "", 50).rows if row.line.job == job)


def test_jobs_are_found_by_any_part_of_what_they_are_called_by(bench: Bench) -> None:
    named(bench, "J-1", customer="Quarry North", machine="Excavator", serial="AB 12")
    named(bench, "J-2", customer="Quarry South", machine="Loader", serial="ab12")
    assert names(bench) == ["J-2", "J-1"]
    assert names(bench, "QUARRY") == ["J-2", "J-1"]
    assert names(bench, "north exc") == ["J-1"]
    assert names(bench, "j-2 south") == ["J-2"]
    assert names(bench, "j-2 north") == []
    assert names(bench, "%") == names(bench, "_") == []
    assert names(bench, "", most=1) == ["J-2"]
    assert listed(bench, "", 1).count == listed(bench, "", 9).count == 2
    assert len(bench.logbook.lines.of_serial("ab12")) == 2


def test_a_line_follows_what_is_corrected_and_taken_back(bench: Bench) -> None:
    job = named(bench, "J-1", customer="Quarry")
    bench.enter(bench.job(job), Nameplate({"customer": "Harbour"}), "AB", "metric")
    assert names(bench, "quarry") == []
    assert names(bench, "harbour") == ["J-1"]
    bench.undo(bench.job(job), "AB")
    assert names(bench, "quarry") == ["J-1"]
    assert bench.logbook.verify() == []


def test_jobs_that_were_let_go_are_not_opened_for_what_is_to_be_ordered(bench: Bench) -> None:
    ids = [named(bench, name) for name in ("J-1", "J-2", "J-3")]

    def under_way() -> list[str]:
        bench._jobs.clear()
        return [job.name for job in bench.jobs(under_way=True)]

    def release(job: str, did: str) -> None:
        bench.record(job, "AB", ("step", {"step": "release", "did": did, "reason": ""}))

    assert under_way() == ["J-3", "J-2", "J-1"]
    release(ids[1], "started")
    assert under_way() == ["J-2", "J-3", "J-1"]
    release(ids[1], "closed")
    assert under_way() == ["J-3", "J-1"]
    assert not bench.has(ids[1])
    release(ids[0], "closed")
    bench.undo(bench.job(ids[0]), "AB")
    release(ids[1], "opened")
    assert under_way() == ["J-2", "J-1", "J-3"]
    assert bench.logbook.verify() == []


def test_how_a_job_stands_is_never_what_held_before_its_last_entry(bench: Bench) -> None:
    job = named(bench, "J-1", bore="100", rod="63")
    bench._jobs.clear()
    assert stands(bench, job) is None
    look_up(bench)
    before = stands(bench, job)
    assert before is not None
    assert before.progress is not None
    assert not bench.has(job)
    check = bench.tables.cylinders["double-acting"].check("rod-chrome")
    assert check is not None
    bench.measure(bench.job(job), check, Place("25", "12"), "30", "AB", "metric", sure=True)
    after = stands(bench, job)  # in memory: at once
    assert after is not None
    assert after.progress is not None
    assert after.progress.done == before.progress.done + 1
    bench._jobs.clear()
    assert stands(bench, job) is None  # what was kept is of another head
    look_up(bench)
    assert stands(bench, job) == after


def test_how_a_job_stands_is_looked_up_anew_when_what_judges_is_another(bench: Bench, clock: Clock) -> None:
    job = named(bench, "J-1", bore="100", rod="63")
    bench._jobs.clear()
    look_up(bench)
    assert stands(bench, job) is not None
    clock.at += timedelta(days=1)  # an order may be late from today on
    assert stands(bench, job) is None


def test_what_was_judged_while_an_entry_came_in_is_thrown_away(bench: Bench) -> None:
    job = named(bench, "J-1")
    (row,) = listed(bench, "", 9).rows
    bench.enter(bench.job(job), Nameplate({"customer": "Harbour"}), "AB", "metric")
    assert judged(bench, row.line, basis_of(bench)) is None


def test_what_is_kept_beside_a_line_reads_as_what_is_in_memory(
    tmp_path: Path, demo_made: tuple[Path, str]
) -> None:
    bench = Bench(shutil.copytree(demo_made[0], tmp_path / "demo"), throw_away=True)
    assert len(bench.jobs()) > 2
    in_memory = listed(bench, "", 50)
    assert {row.stands is not None and row.stands.since for row in in_memory.rows} == {None, 0}
    bench._jobs.clear()
    look_up(bench)
    assert [row.stands for row in listed(bench, "", 50).rows] == [row.stands for row in in_memory.rows]


def test_an_entry_costs_no_judgement(bench: Bench, monkeypatch: pytest.MonkeyPatch) -> None:
    job = named(bench, "J-1")
    monkeypatch.setattr(Bench, "assess", lambda *_: pytest.fail("judged"))
    bench.record(job, "AB", ("caution", {"caution": "pressure"}))
    assert bench.logbook.lines.found("", "", 9)[0].entries == 2


def test_how_a_job_stands_with_its_customer_is_kept_too() -> None:
    at_the_customer = AtTheCustomer(Stand.CHANGED, True, "2026-03-02T08:00:00.000Z")
    progress = Progress(Disposition.REWORK, "repair", "rod reworked", 3, 9, 6)
    stood = Stands({"rod": "63", "bore": ""}, progress, "", "Strip", False, 2, None, at_the_customer)
    assert listing._read(listing._written(stood)) == stood
    refused = Stands({}, None, "The limits are damaged.", "", False, 0, 4, None)
    assert listing._read(listing._written(refused)) == refused
    assert listing._read('{"of": "another version"}') is None


def test_a_list_that_is_gone_or_of_another_form_is_made_anew_by_opening(tmp_path: Path) -> None:
    bench = Bench(tmp_path / "shop")
    job = named(bench, "J-1", customer="Quarry")
    lines = bench.logbook.lines.found("", "", 9)
    bench.close()
    db = sqlite3.connect(tmp_path / "shop" / "logbook.db")
    db.execute(f"DROP TABLE {LINE}")
    db.execute("CREATE TABLE line_0 (job TEXT)")
    db.commit()
    db.close()
    reading = Bench(tmp_path / "shop", reading=True)  # beside the file, which stays as it is
    assert reading.logbook.lines.found("", "", 9) == lines
    reading.close()
    bench = Bench(tmp_path / "shop")
    assert bench.logbook.lines.found("", "", 9) == lines
    assert bench.logbook._rows("SELECT name FROM sqlite_master WHERE name = 'line_0'") == []
    assert bench.logbook.verify() == []
    assert bench.logbook.lines.called("J-1") == (job,)
    bench.close()


def test_lines_say_the_same_whichever_way_the_entries_came(bench: Bench, tmp_path: Path) -> None:
    job = named(bench, "J-1", customer="Quarry", serial="AB 12")
    bench.enter(bench.job(job), Nameplate({"customer": "Harbour"}), "AB", "metric")
    bench.undo(bench.job(job), "AB")
    rows = bench.logbook.rows(job)
    other = Logbook(tmp_path / "other.db", "other", throw_away=True)
    for row in reversed(rows):
        other.take_over([row])
    assert other.rows(job) == rows
    assert other.lines.found("", "", 9) == bench.logbook.lines.found("", "", 9)
    assert other.verify() == []
    other.close()


def test_a_large_job_is_opened_beside_and_taken_into_memory_with_what_was_judged(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(listing, "SMALL", 1)
    job = named(bench, "J-1", bore="100", rod="63")
    stood = bench.job(job)
    assert listing.opens_at_once(bench, job)  # in memory
    bench._jobs.clear()
    assert not listing.opens_at_once(bench, job)
    beside = listing.opened_beside(bench, job)
    assert not bench.has(job)
    listing.take_from(bench, beside, job)
    assert listing.opens_at_once(bench, job)
    assert bench.job(job) == stood
    monkeypatch.setattr("inspect_app.bench.bench.assess", lambda *_: pytest.fail("judged again"))
    bench.assess(bench.job(job))


def test_a_job_that_went_on_while_it_was_opened_beside_is_not_taken(bench: Bench) -> None:
    job = named(bench, "J-1")
    bench._jobs.clear()
    beside = listing.opened_beside(bench, job)
    bench.enter(bench.job(job), Nameplate({"customer": "Harbour"}), "AB", "metric")
    bench._jobs.clear()
    listing.take_from(bench, beside, job)
    assert not bench.has(job)
    assert bench.job(job).as_found.text("customer") == "Harbour"
