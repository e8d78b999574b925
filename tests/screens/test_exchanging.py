"""One job as one file at the screens: given away at one desk, taken in at another, and merged."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from at_the_desk import AtTheDesk, ByHand

from inspect_app.bench.bench import Bench
from inspect_app.bench.proving import verify


@dataclass
class OnThePhone:
    """A file that was picked."""

    name: str
    content: bytes

    async def bring(self, moved: Callable[[float], None]) -> bytes:
        """As it is."""
        return self.content


def test_a_job_goes_to_another_phone_and_twice_is_once(tmp_path: Path) -> None:
    yard, shop, host = Bench(tmp_path / "yard"), Bench(tmp_path / "shop"), ByHand()
    job = yard.open_job("J-7 press", "JB")

    async def days() -> None:
        giving = AtTheDesk(yard, host, f"/job/{job.id}")
        await giving.tap("Pack this job as a file")
        await giving.tap("Hand the file over")
        await giving.until(lambda: bool(host.opened), "the file")
        ((name, packed),) = host.opened
        assert name.endswith(".zip")
        taking = AtTheDesk(shop, host, "/")
        for said in ("J-7 press: 1 entry is new", "J-7 press: 0 entries are new, 1 stood here already"):
            host.ready = [OnThePhone(name, packed)]
            await taking.tap("Take in a job's file")
            await taking.wait_for(said)
        host.ready = [OnThePhone("holiday.zip", b"of the beach")]
        await taking.tap("Take in a job's file")
        await taking.wait_for("holiday.zip is no job of this program, or was cut off on the way")

    asyncio.run(days())
    assert shop.logbook.rows(job.id) == yard.logbook.rows(job.id)
    assert verify(shop) == []
