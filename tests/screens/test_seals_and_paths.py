"""The seal list and the ways to repair on a phone: reached from the parts, read, opened, and left by Back."""

from __future__ import annotations

import shutil
import sqlite3
from collections.abc import Iterator
from pathlib import Path

import pymupdf
import pytest
from host import Host
from phone import Phone
from playwright.sync_api import Browser

from inspect_app.bench.bench import Bench
from inspect_app.entries.opening import Nameplate


@pytest.fixture(scope="module")
def host(tmp_path_factory: pytest.TempPathFactory, demo_made: tuple[Path, str]) -> Iterator[Host]:
    folder = tmp_path_factory.mktemp("clerk") / "demo"
    with Host(shutil.copytree(demo_made[0], folder)) as host:
        yield host


@pytest.fixture(scope="module")
def phone(browser: Browser, host: Host) -> Iterator[Phone]:
    phone = Phone(browser, host.url, (360, 740), "/settings")
    phone.type("Your initials", "KM")
    yield phone
    phone.close()


@pytest.fixture(scope="module")
def jobs(host: Host) -> list[str]:
    """The routes of the demo's jobs: half done, to be replaced, to be repaired."""
    with sqlite3.connect(f"file:{host.folder / 'logbook.db'}?mode=ro", uri=True) as log:
        ids = log.execute("SELECT job FROM entries WHERE kind = 'job' ORDER BY seq")
        return [f"/job/{job}" for (job,) in ids]


def opened(phone: Phone, route: str, row: str) -> str:
    """What the screen behind a row of a job's parts says."""
    phone.go(route)
    phone.wait_for("Seal list. ")
    phone.tap(row)
    return phone.wait_for_route(f"{route}/(seals|paths)$")


def test_the_clerk_sees_what_holds_a_seal_back_and_why_it_was_chosen(phone: Phone, jobs: list[str]) -> None:
    good = jobs[2]
    opened(phone, good, "Seal list")
    said = phone.wait_for("7 lines, 5 can be ordered, 2 have an open doubt.")
    assert "Section of the cylinder: bore 125 mm, rod 90 mm, stroke 1500 mm. 1 Wiper, 2 Rod seal" in said
    # rod 90 mm: the size of ISO 5597 that the demo's groove was cut to
    assert "2. Rod seal, gland. Lip seal ISO 5597 rod 90 x 105 x 12.5. AU 85 to 95 A" in said
    # the gap that was measured, against what the demo's file says of the seal's sheet
    assert "0.498 mm" in said
    assert "0.2 mm" in said
    assert "Buffer seal, gland: none" in said
    assert "Stop ring, retaining ring, lock of the nut, cylinder" in said
    assert "Why this one" not in said

    phone.tap("2. Rod seal, gland")
    said = phone.wait_for("Why this one")
    # its groove was read three times, 105.0 mm in the demo's file
    assert "Groove diameter 105.017 mm ± 0.041 mm (3 readings)" in said
    assert "Pressure: 210 bar, the rated pressure." in said
    assert "not yet confirmed" in said
    phone.tap("2. Rod seal, gland")
    phone.wait_until_gone("Why this one")

    phone.tap("Make the PDF")
    phone.wait_for("Open the PDF")
    with pymupdf.open(stream=phone.fetch("Open the PDF"), filetype="pdf") as document:
        paper = " ".join(" ".join(page.get_text() for page in document).split())
    assert "7 lines, 5 can be ordered, 2 have an open doubt." in paper
    phone.tap("Back")
    phone.wait_for_route(f"{good}$")


def test_the_clerk_reads_inches(phone: Phone, jobs: list[str]) -> None:
    phone.go("/settings")
    phone.tap("Inch")
    opened(phone, jobs[2], "Seal list")
    phone.tap("2. Rod seal, gland")
    # 105.017 / 25.4 = 4.1345
    phone.wait_for("Groove diameter 4.1345 in")
    phone.go("/settings")
    phone.tap("Metric")
    phone.wait_for("Text size")


def test_the_customer_sees_the_ways_their_prices_and_what_refuses_the_others(
    phone: Phone, jobs: list[str]
) -> None:
    _, scrap, good = jobs
    opened(phone, good, "Repair or replace")
    said = phone.wait_for("Way 1, offered")
    assert said.index("Repair is possible, and worth a talk") < said.index("Way 1, offered")
    assert "Prices are an invented example: the shop has not set its own rates yet." in said
    assert "Takes 10 days." in said
    phone.tap("Back")
    phone.wait_for_route(f"{good}$")

    opened(phone, scrap, "Repair or replace")
    said = phone.wait_for("Refused 1 of 2")
    assert "A new cylinder: no repair leaves everything within its limits." in said
    assert "against at most 0.25 mm: outside" in said
    assert "Out of reach: hone" in said
    assert "Way 1" not in said


@pytest.mark.thorough
def test_a_stop_offers_no_way(browser: Browser, tmp_path: Path) -> None:
    folder = tmp_path / "shop"
    bench = Bench(folder)
    job = bench.open_job("S-3 unrated", "KM")
    job = bench.enter(job, Nameplate({"bore": "100", "rod": "70", "stroke": "600"}), "KM", "metric").job
    bench.close()
    with Host(folder) as host:
        phone = Phone(browser, host.url, route="/settings")
        phone.type("Your initials", "KM")
        phone.go(f"/job/{job.id}/paths")
        said = phone.wait_for("Stop: nothing is offered, whatever it costs.")
        assert "The rated pressure is not known" in said
        phone.go(f"/job/{job.id}/as-left")
        phone.wait_for("S-3 unrated, as left")
        assert "Seal list" not in phone.says()  # the list is of the cylinder as found
        phone.close()
