"""What others enter is drawn where it is to be seen, and nowhere else."""

from __future__ import annotations

import asyncio
from pathlib import Path

from at_the_desk import AtTheDesk, ByHand

from inspect_app.bench.bench import Bench
from inspect_app.entries.job import AS_FOUND, WHOLE_CHECK, Job
from inspect_app.entries.measuring import LeftOut
from inspect_app.entries.opening import Nameplate
from inspect_app.entries.typed import Typed
from inspect_app.job.places import places_of
from inspect_app.screens.floor import SOON_S, Floor
from inspect_app.tables.cylinders import Check


def opened(bench: Bench) -> Job:
    job = bench.open_job("T-1", "JB")
    return bench.enter(job, Nameplate({"bore": "100", "rod": "70", "stroke": "600"}), "JB", "metric").job


class Other:
    """Somebody else who enters in the same job."""

    def __init__(self, bench: Bench, job: Job, phone: AtTheDesk) -> None:
        self.bench, self.job, self.phone = bench, job, phone

    def check(self, check_id: str) -> Check:
        check = self.bench.tables.cylinders["double-acting"].check(check_id)
        assert check is not None
        return check

    async def _drawn(self) -> bool:
        """Whether the phone was drawn anew for what was just entered."""
        before = self.phone.desk.standing.version
        self.phone.desk.follow_soon(0)
        await asyncio.sleep(SOON_S / 5)
        return self.phone.desk.standing.version > before

    async def reads(self, check_id: str, text: str) -> bool:
        check = self.check(check_id)
        place = places_of(check, self.job.as_found)[-1]
        self.job = self.bench.measure(self.job, check, place, text, "LB", "metric", sure=True).job
        return await self._drawn()

    async def enters(self, typed: Typed) -> bool:
        self.job = self.bench.enter(self.job, typed, "LB", "metric", AS_FOUND).job
        return await self._drawn()


def test_a_place_being_measured_is_drawn_anew_only_for_what_it_is_measured_by(tmp_path: Path) -> None:
    bench = Bench(tmp_path)
    job = opened(bench)

    async def day() -> None:
        phone = AtTheDesk(bench, ByHand(), f"/job/{job.id}/measure/rod-diameter", Floor())
        other = Other(bench, job, phone)
        await phone.wait_for("0 of ")
        assert not await other.reads("bore-diameter", "100.01")
        assert await other.reads("rod-diameter", "69.95")
        await phone.wait_for("1 of ")
        assert await other.enters(Nameplate({"stroke": "900"}))
        assert not await other.reads("rod-roughness", "0.2")
        assert await other.enters(LeftOut(other.check("rod-diameter"), WHOLE_CHECK, "no access"))
        await phone.go(f"/job/{job.id}/parts")
        await phone.wait_for("Short look first")
        assert await other.reads("bore-diameter", "100.02")

    asyncio.run(day())


def test_what_was_not_drawn_counts_as_soon_as_something_is_left_out(tmp_path: Path) -> None:
    bench = Bench(tmp_path)
    job = opened(bench)

    async def day() -> None:
        phone = AtTheDesk(bench, ByHand(), f"/job/{job.id}/measure/buffer-groove-diameter", Floor())
        other = Other(bench, job, phone)
        await phone.tap("Not known: measure without")
        await phone.wait_for("0 of ")
        assert not await other.reads("wiper-groove-width", "6.3")
        await phone.tap("Skip")
        await phone.tap("Not fitted: grooves, 18 checks")
        await phone.until(lambda: bool(bench.job(job.id).as_found.skips), "what is not fitted")

    asyncio.run(day())
    # the wiper's groove was measured meanwhile, so it is there
    left_out = {check for check, _ in bench.job(job.id).as_found.skips}
    assert "buffer-groove-width" in left_out
    assert "wiper-groove-width" not in left_out
