"""A later state of the cylinder on the screens: they say which, and what is entered there is of that state alone."""

from __future__ import annotations

import asyncio
import shutil
from pathlib import Path

from at_the_desk import AtTheDesk, ByHand

from inspect_app.bench import scoping
from inspect_app.bench.bench import Bench
from inspect_app.entries.opening import Nameplate


def test_a_rod_is_measured_as_left_and_stays_as_found(tmp_path: Path) -> None:
    bench = Bench(tmp_path / "shop")
    job = bench.open_job("T-7 two states", "KM")
    job = bench.enter(job, Nameplate({"bore": "100", "rod": "70", "stroke": "600"}), "KM", "metric").job

    async def day() -> None:
        at = AtTheDesk(bench, ByHand(), f"/job/{job.id}/as-left/measure/rod-diameter")
        await at.wait_for("Rod diameter, as left")
        await at.key("69.95⏎")
        await at.wait_for("1 of ")
        await at.key("69.96⏎")
        await at.wait_for("2 of ")
        await at.tap("Undo")
        await at.wait_for("1 of ")
        standing = bench.job(job.id)
        assert [r.typed for r in standing.survey("as-left").readings["rod-diameter"].values()] == ["69.95 mm"]
        assert standing.as_found.readings == {}

        await at.tap("Back")
        await at.wait_for("T-7 two states, as left")
        await at.tap("Back")
        await at.wait_for("Repair or replace. ")  # led to only from the cylinder as found
        await at.tap("As left")
        said = await at.wait_for("This is the cylinder as left: after the work.")
        assert "As left. Not measured to the end: rod;" in said
        await at.tap("To the cylinder as found")
        await at.wait_for("Repair or replace. ")
        await at.go(f"/job/{job.id}/measure/rod-diameter")
        await at.wait_for("Place: ")  # the list of parts has an Undo of its own
        await at.tap("Undo")
        await at.wait_for("not on this screen: reading 69.95 mm")

    asyncio.run(day())
    bench.close()


def test_what_was_agreed_to_and_is_not_done_speaks_against_letting_it_go(
    tmp_path: Path, demo_made: tuple[Path, str]
) -> None:
    bench = Bench(shutil.copytree(demo_made[0], tmp_path / "demo"))
    job = next(job for job in bench.jobs() if job.name.startswith("D-01"))
    job, version = scoping.freeze(bench, job, "KM", "metric")
    agreed = scoping.answer(
        bench, job, version, "yes", by="KM", name="B. Holm", how="typed-name", options={"own-1": False}
    )
    assert not agreed.remark

    async def day() -> None:
        at = AtTheDesk(bench, ByHand(), f"/job/{job.id}/as-left")
        said = await at.wait_for("Not to be let go before this is settled, or somebody says why:")
        assert "agreed to and not done; rod not measured since." in said.replace("Rod", "rod")

    asyncio.run(day())
    bench.close()
