"""Before measuring: what is there, the short look, the gauge that can decide, and a stop overruled."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from at_the_desk import AtTheDesk, day_at_the_desk

from inspect_app.bench.bench import Bench
from inspect_app.entries.job import Job, Place
from inspect_app.entries.looking import Found
from inspect_app.entries.opening import Nameplate


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[Bench]:
    bench = Bench(tmp_path / "shop")
    yield bench
    bench.close()


@pytest.fixture
def job(bench: Bench) -> Job:
    """A job with a nameplate and a cracked rod, and a second bore gauge that is too coarse for its bore."""
    for name, error in (("B-1", "0.006"), ("B-2", "0.050")):
        bench.enter_gauge("bore-gauge", {"name": name, "error": error, "step": "0.001"}, "JB", "metric")
    job = bench.open_job("T-6 asked first", "JB")
    job = bench.enter(job, Nameplate({"bore": "100", "rod": "70", "stroke": "600"}), "JB", "metric").job
    look = bench.tables.cylinders[job.cylinder].check("rod-surface")
    assert look is not None
    found = Found(look, "crack", Place("300", "6"), "seal-travel", sizes={"length": "5"})
    return bench.enter(job, found, "JB", "metric").job


def test_what_is_not_there_is_not_asked_for(bench: Bench, job: Job) -> None:
    async def day(at: AtTheDesk) -> None:
        await at.tap("What is there")
        await at.wait_for("13 left to answer")
        await at.tap("Thread or flange, no eye")
        await at.wait_for("12 left to answer")
        assert bench.job(job.id).as_found.answers["rod-end"].text == "no-eye"
        await at.tap("Undo")
        await at.wait_for("13 left to answer")

    day_at_the_desk(bench, f"/job/{job.id}/parts", day)


def test_the_short_look_stops_at_a_crack(bench: Bench, job: Job) -> None:
    async def day(at: AtTheDesk) -> None:
        await at.tap("Short look first")
        await at.wait_for("STOP: crack on the rod. A qualified person decides")

    day_at_the_desk(bench, f"/job/{job.id}/parts", day)


def test_a_gauge_that_cannot_decide_is_told_before_the_reading(bench: Bench, job: Job) -> None:
    async def day(at: AtTheDesk) -> None:
        await at.wait_for("Place: ")
        await at.key("100.012⏎")
        await at.wait_for("Which gauge was it")
        await at.tap("With B-2")
        await at.wait_for("1 of 15")
        await at.wait_for("to decide this check takes")
        await at.tap("Gauge: B-2")
        await at.tap("B-1")
        await at.wait_for("Place: ")
        await at.key("100.013⏎")
        await at.wait_for("2 of 15")

    day_at_the_desk(bench, f"/job/{job.id}/measure/bore-diameter", day)
    found = bench.job(job.id).as_found
    assert [found.gauges[r.gauge].name for r in found.readings["bore-diameter"].values()] == ["B-2", "B-1"]


def test_a_look_for_cracks_takes_who_how_qualified_and_which_method(bench: Bench, job: Job) -> None:
    async def day(at: AtTheDesk) -> None:
        await at.tap("Looked: nothing found")
        await at.tap("Looked for cracks")
        await at.wait_for("Welds: say who looked for cracks, qualified how")
        await at.type("Who looked for cracks", "N. Holm")
        await at.type("Qualified how", "level 2")
        await at.type("By which method", "yoke")
        await at.tap("Looked for cracks")
        await at.until(lambda: "welds-look" in bench.job(job.id).as_found.looked, "looked")

    day_at_the_desk(bench, f"/job/{job.id}/look/welds-look", day)


def test_a_stop_is_overruled_only_by_an_examination(bench: Bench, job: Job) -> None:
    async def day(at: AtTheDesk) -> None:
        await at.wait_for("STOP: crack on the rod.")
        await at.tap("Decide for the rod")
        await at.tap("Reuse")
        await at.type("Reason, printed in the report", "scratch in the chrome, no crack")
        await at.tap("Save decision")
        await at.wait_for("Say who is qualified")
        await at.type("Examined by, and what qualifies them", "B. Holm, level 2")
        await at.type("How it was examined", "magnetic particles")
        await at.tap("Save decision")
        await at.wait_for("calculated result stop, examined by B. Holm, level 2")

    day_at_the_desk(bench, f"/job/{job.id}/findings", day)


def test_the_short_look_leads_to_its_own_places_and_back(bench: Bench, job: Job) -> None:
    async def day(at: AtTheDesk) -> None:
        await at.tap("Wall thickness")
        said = await at.wait_for("0 of 5")
        assert "Place: middle" in said
        await at.key("10.2⏎")
        await at.wait_for("Short look first")

    day_at_the_desk(bench, f"/job/{job.id}/short-look", day)
    assert [p.station for p in bench.job(job.id).as_found.readings["barrel-wall"]] == ["middle"]
