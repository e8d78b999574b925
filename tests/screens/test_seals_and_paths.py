"""The seal list and the ways to repair on the screens: reached from the parts, read, opened, left by Back."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pymupdf
import pytest
from at_the_desk import AtTheDesk, day_at_the_desk

from inspect_app.bench.bench import Bench
from inspect_app.entries.opening import Nameplate


@pytest.fixture(scope="module")
def bench(tmp_path_factory: pytest.TempPathFactory, demo_made: tuple[Path, str]) -> Iterator[Bench]:
    bench = Bench(shutil.copytree(demo_made[0], tmp_path_factory.mktemp("clerk") / "demo"))
    yield bench
    bench.close()


@pytest.fixture(scope="module")
def jobs(bench: Bench) -> list[str]:
    """The routes of the demo's jobs: D-03 half done, D-02 to be replaced, D-01 to be repaired."""
    named = sorted(bench.jobs(), key=lambda job: job.name)[:3]
    return [f"/job/{job.id}" for job in reversed(named)]


def test_the_clerk_sees_what_holds_a_seal_back_and_why_it_was_chosen(bench: Bench, jobs: list[str]) -> None:
    async def day(at: AtTheDesk) -> None:
        await at.tap("Seal list")
        said = await at.wait_for("7 lines, 5 can be ordered, 2 have an open doubt.")
        assert "Section of the cylinder: bore 125 mm, rod 90 mm, stroke 1500 mm. 1 Wiper, 2 Rod seal" in said
        # rod 90 mm: the size of ISO 5597 that the demo's groove was cut to
        assert "2. Rod seal, gland. Lip seal ISO 5597 rod 90 x 105 x 12.5. AU 85 to 95 A" in said
        # the gap that was measured, against what the demo's file says of the seal's sheet
        assert "0.498 mm" in said
        assert "0.2 mm" in said
        assert "Buffer seal, gland: none" in said
        assert "Stop ring, retaining ring, lock of the nut, cylinder" in said
        assert "Why this one" not in said

        await at.tap("2. Rod seal, gland")
        said = await at.wait_for("Why this one")
        # its groove was read three times, 105.0 mm in the demo's file
        assert "Groove diameter 105.017 mm ± 0.041 mm (3 readings)" in said
        assert "Pressure: 210 bar, the rated pressure." in said
        assert "not yet confirmed" in said
        await at.tap("2. Rod seal, gland")
        await at.until(lambda: "Why this one" not in at.says(), "the line shut")

        await at.tap("Make the PDF")
        await at.tap("Open the PDF")
        await at.tap("Back")
        await at.wait_for("What is there")  # the parts, where it came from

    ((_, made),) = day_at_the_desk(bench, f"{jobs[2]}/parts", day)
    with pymupdf.open(stream=made, filetype="pdf") as document:
        paper = " ".join(" ".join(page.get_text() for page in document).split())
    assert "7 lines, 5 can be ordered, 2 have an open doubt." in paper


def test_the_clerk_reads_inches(bench: Bench, jobs: list[str]) -> None:
    async def day(at: AtTheDesk) -> None:
        await at.tap("Inch")
        await at.go(f"{jobs[2]}/seals")
        await at.tap("2. Rod seal, gland")
        # 105.017 / 25.4 = 4.1345
        await at.wait_for("Groove diameter 4.1345 in")
        await at.go("/settings")
        await at.tap("Metric")

    day_at_the_desk(bench, "/settings", day)


def test_the_customer_sees_the_ways_their_prices_and_what_refuses_the_others(
    bench: Bench, jobs: list[str]
) -> None:
    _, scrap, good = jobs

    async def day(at: AtTheDesk) -> None:
        await at.tap("Repair or replace")
        said = await at.wait_for("Way 1, offered")
        assert said.index("Repair is possible, and worth a talk") < said.index("Way 1, offered")
        assert "Prices are an invented example: the shop has not set its own rates yet." in said
        assert "Takes 10 days." in said

        await at.go(f"{scrap}/parts")
        await at.tap("Repair or replace")
        said = await at.wait_for("Refused 1 of 2")
        assert "A new cylinder: no repair leaves everything within its limits." in said
        assert "against at most 0.25 mm: outside" in said
        assert "Out of reach: hone" in said
        assert "Way 1" not in said

    day_at_the_desk(bench, f"{good}/parts", day)


def test_a_line_without_a_price_says_below_it_what_is_missing(bench: Bench) -> None:
    job = next(j for j in bench.jobs() if j.name.startswith("D-07"))
    job = bench.enter(bench.job(job.id), Nameplate({"closed_length": ""}), "KM", "metric").job

    async def day(at: AtTheDesk) -> None:
        said = (await at.wait_for("Way 2, offered")).splitlines()
        line = said.index("Fit new rod (side B)")
        assert said[line + 1 : line + 3] == ["no price yet", "The closed length is not known."]

    day_at_the_desk(bench, f"/job/{job.id}/paths", day)


def test_a_stop_offers_no_way(tmp_path: Path) -> None:
    bench = Bench(tmp_path / "shop")
    job = bench.open_job("S-3 unrated", "KM")
    job = bench.enter(job, Nameplate({"bore": "100", "rod": "70", "stroke": "600"}), "KM", "metric").job

    async def day(at: AtTheDesk) -> None:
        said = await at.wait_for("Stop: nothing is offered, whatever it costs.")
        assert "The rated pressure is not known" in said
        await at.go(f"/job/{job.id}/as-left")
        await at.wait_for("S-3 unrated, as left")
        assert "Seal list" not in at.says()  # the list is of the cylinder as found

    day_at_the_desk(bench, f"/job/{job.id}/paths", day)
    bench.close()
