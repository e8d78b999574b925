"""Before measuring, on a phone: what is there, the short look, the gauge that can decide, and a stop overruled."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from host import Host
from phone import Phone
from playwright.sync_api import Browser

from inspect_app.bench.bench import Bench
from inspect_app.entries.job import Job, Place
from inspect_app.entries.looking import Found
from inspect_app.entries.opening import Nameplate


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("asked") / "shop"


@pytest.fixture(scope="module")
def job(folder: Path) -> Job:
    """A job with a nameplate and a cracked rod, and a second bore gauge that is too coarse for its bore."""
    bench = Bench(folder)
    for name, error in (("B-1", "0.006"), ("B-2", "0.050")):
        bench.enter_gauge("bore-gauge", {"name": name, "error": error, "step": "0.001"}, "JB", "metric")
    job = bench.open_job("T-6 asked first", "JB")
    job = bench.enter(job, Nameplate({"bore": "100", "rod": "70", "stroke": "600"}), "JB", "metric").job
    look = bench.tables.cylinders[job.cylinder].check("rod-surface")
    assert look is not None
    found = Found(look, "crack", Place("300", "6"), "seal-travel", sizes={"length": "5"})
    job = bench.enter(job, found, "JB", "metric").job
    bench.close()
    return job


@pytest.fixture(scope="module")
def host(folder: Path, job: Job) -> Iterator[Host]:
    with Host(folder) as host:
        yield host


@pytest.fixture(scope="module")
def phone(browser: Browser, host: Host) -> Iterator[Phone]:
    """One phone for all: a tab that loads the client anew costs more than a test."""
    phone = Phone(browser, host.url, route="/settings")
    phone.type("Your initials", "KM")
    yield phone
    phone.close()


def test_what_is_not_there_is_not_asked_for(phone: Phone, host: Host, job: Job) -> None:
    phone.go(f"/job/{job.id}")
    phone.tap("What is there")
    phone.wait_for("13 left to answer")
    phone.tap("No eye")  # at the rod's end, the first of two questions with that answer
    phone.wait_for("12 left to answer")
    bench_job = answered(host, job)
    assert bench_job.as_found.answers["rod-end"].text == "no eye"
    phone.tap("Undo")
    phone.wait_for("13 left to answer")


def answered(host: Host, job: Job) -> Job:
    """The job as the log has it now."""
    bench = Bench(host.folder)
    standing = bench.job(job.id)
    bench.close()
    return standing


def test_the_short_look_stops_at_a_crack(phone: Phone, host: Host, job: Job) -> None:
    phone.go(f"/job/{job.id}")
    phone.tap("Short look first")
    phone.wait_for("STOP: crack on the rod. A qualified person decides")


def test_a_gauge_that_cannot_decide_is_told_before_the_reading(phone: Phone, host: Host, job: Job) -> None:
    phone.go(f"/job/{job.id}/measure/bore-diameter")
    phone.wait_for("Place: ")
    phone.key("100.012⏎")
    phone.wait_for("Which gauge was it")
    phone.tap("With B-2")
    phone.wait_for("1 of 15")
    phone.wait_for("to decide this check takes")
    phone.tap("Gauge: B-2")
    phone.tap("B-1")
    phone.key("100.013⏎")
    phone.wait_for("2 of 15")
    standing = answered(host, job)
    names = [
        standing.as_found.gauges[r.gauge].name for r in standing.as_found.readings["bore-diameter"].values()
    ]
    assert names == ["B-2", "B-1"]


def test_a_stop_is_overruled_only_by_an_examination(phone: Phone, host: Host, job: Job) -> None:
    phone.go(f"/job/{job.id}/findings")
    phone.wait_for("STOP: crack on the rod.")
    phone.tap("Decide for the rod")
    phone.tap("Reuse")
    phone.type("Reason, printed in the report", "scratch in the chrome, no crack")
    phone.tap("Save decision")
    phone.wait_for("Say who is qualified")
    phone.type("Examined by, and what qualifies them", "B. Holm, level 2")
    phone.type("How it was examined", "magnetic particles")
    phone.tap("Save decision")
    phone.wait_for("calculated result stop, examined by B. Holm, level 2")


def test_the_short_look_leads_to_its_own_places_and_back(phone: Phone, host: Host, job: Job) -> None:
    phone.go(f"/job/{job.id}/short-look")
    phone.tap("Wall thickness")
    phone.wait_for("0 of 5")
    assert "middle" in phone.lit()
    phone.key("10.2⏎")
    phone.wait_for("Short look first")
    standing = answered(host, job)
    assert [p.station for p in standing.as_found.readings["barrel-wall"]] == ["middle"]
