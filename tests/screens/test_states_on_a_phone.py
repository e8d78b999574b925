"""A later state of the cylinder on a phone: its screens say which, and what is entered there is of that state alone."""

from __future__ import annotations

from pathlib import Path

from host import Host
from phone import Phone
from playwright.sync_api import Browser

from inspect_app.bench.bench import Bench
from inspect_app.entries.job import Job
from inspect_app.entries.opening import Nameplate


def job_at(folder: Path, job_id: str) -> Job:
    """The job as the log has it now."""
    bench = Bench(folder)
    job = bench.job(job_id)
    bench.close()
    return job


def test_a_rod_is_measured_as_left_and_stays_as_found(tmp_path: Path, browser: Browser) -> None:
    folder = tmp_path / "shop"
    bench = Bench(folder)
    job = bench.open_job("T-7 two states", "JB")
    job = bench.enter(job, Nameplate({"bore": "100", "rod": "70", "stroke": "600"}), "JB", "metric").job
    bench.close()
    with Host(folder) as host:
        phone = Phone(browser, host.url, route="/settings")
        phone.type("Your initials", "KM")
        phone.go(f"/job/{job.id}/as-left/measure/rod-diameter")
        phone.wait_for("Rod diameter, as left")
        phone.wait_for_match(r"\b0 of \d+")
        phone.key("69.95⏎")
        phone.wait_for_match(r"\b1 of \d+")
        phone.key("69.96⏎")
        phone.wait_for_match(r"\b2 of \d+")
        phone.tap("Undo")
        phone.wait_for_match(r"\b1 of \d+")
        standing = job_at(folder, job.id)
        assert [r.typed for r in standing.survey("as-left").readings["rod-diameter"].values()] == ["69.95 mm"]
        assert standing.as_found.readings == {}

        phone.tap("Back")
        phone.wait_for_route(f"/job/{job.id}/as-left$")
        phone.wait_for("T-7 two states, as left")
        phone.tap("Back")
        phone.wait_for("Repair or replace. ")  # led to only from the cylinder as found
        phone.tap("As left")
        said = phone.wait_for("This is the cylinder as left: after the work.")
        assert "As left. Not measured to the end: rod;" in said
        phone.tap("To the cylinder as found")
        phone.wait_for_route(f"/job/{job.id}$")
        phone.go(f"/job/{job.id}/measure/rod-diameter")
        phone.wait_for("Place: ")  # the list of parts says "0 of 9" too, and has an Undo of its own
        phone.tap("Undo")
        phone.wait_for("not on this screen: reading 69.95 mm")
        phone.close()
