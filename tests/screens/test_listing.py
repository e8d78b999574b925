"""The list of jobs and a large job on their screens: nothing long while a screen waits; what came two ways is said."""

from __future__ import annotations

import asyncio
import threading
from pathlib import Path

import pytest
from at_the_desk import AtTheDesk, ByHand

from inspect_app.bench import listing
from inspect_app.bench.bench import Bench
from inspect_app.entries.entry import Entry
from inspect_app.entries.opening import Nameplate
from inspect_app.logbook.store import Logbook
from inspect_app.screens import app


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    bench = Bench(tmp_path / "shop", throw_away=True, device="host")
    for n in range(3):
        job = bench.open_job(f"J-{n}", "AB")
        bench.enter(job, Nameplate({"customer": f"Quarry {n}"}), "AB", "metric")
    bench._jobs.clear()
    return bench


def test_the_list_says_at_once_what_is_known_and_how_jobs_stand_when_it_was_looked_up(bench: Bench) -> None:
    async def day() -> None:
        at = AtTheDesk(bench, ByHand(), "/")
        await at.wait_for("Quarry 2")
        await at.wait_for("not decided")
        await at.until(lambda: "being looked up" not in at.says(), "every row")

    asyncio.run(day())
    assert not any(bench.has(line.job) for line in bench.logbook.lines.found("", "", 9))
    assert all(row.stands for row in listing.listed(bench, "", 9).rows)


def test_a_large_job_is_opened_beside_the_screens(bench: Bench, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(listing, "SMALL", 1)
    job = bench.logbook.lines.called("J-1")[0]

    seen, opened_beside = threading.Event(), listing.opened_beside

    def slowly(of: Bench, job_id: str) -> Bench:
        assert seen.wait(60)
        return opened_beside(of, job_id)

    monkeypatch.setattr(app, "opened_beside", slowly)

    async def day() -> None:
        at = AtTheDesk(bench, ByHand(), "/")
        await at.go(f"/job/{job}")
        await at.wait_for("Opening the job")
        seen.set()
        await at.wait_for("Receiving")

    asyncio.run(day())
    assert bench.has(job)


def test_a_jobs_screen_names_an_entry_kept_aside_and_a_fork(bench: Bench, tmp_path: Path) -> None:
    job = bench.logbook.lines.called("J-1")[0]
    first, second = bench.logbook.rows(job)
    copied = Logbook(tmp_path / "copied.db", "host", throw_away=True)
    copied.take_over([first])
    copied.append(
        Entry(
            "of-the-copy", job, "host", "9998-03-02T08:00:00.000Z", "XY", "caution", {"caution": "pressure"}
        )
    )
    forked = copied.rows(job)[-1]
    bad = forked._replace(id="bad", by="ZZ", hash="0" * 64)
    bench.logbook.take_over([forked, bad])
    bench.forget(job)

    async def day() -> None:
        at = AtTheDesk(bench, ByHand(), f"/job/{job}")
        await at.wait_for("Two copies of the data folder of device host were both written to")
        await at.wait_for("(entry bad) was changed after it was written")

    asyncio.run(day())
    assert second in bench.logbook.rows(job)
