"""A phone alone hands jobs to the shop: one touch, once paired, by the shop's own door; its page is the test's own."""

from __future__ import annotations

import asyncio
import json
from dataclasses import dataclass, field
from pathlib import Path
from types import SimpleNamespace
from typing import Any, cast

import pytest
from at_the_desk import AtTheDesk, ByHand

from inspect_app.alone.shop import ShopInReach, address_of
from inspect_app.bench.bench import Bench
from inspect_app.bench.proving import verify
from inspect_app.entries.deciding import Decision
from inspect_app.entries.opening import Nameplate
from inspect_app.screens.mechanic.undoing import came_back
from inspect_app.serve.phones_alone import SAID
from inspect_app.trade.measuring.refusal import Refusal
from tests.serve.test_phones_alone import Shop, shop

__all__ = ["shop"]

WHERE = "https://192.0.2.10:8710"


@dataclass
class Page:
    """What `alone/web/page.js` does for Python, at a door in the test's hand; out of reach while there is none."""

    shop: Shop | None
    told: SimpleNamespace = field(default_factory=SimpleNamespace)
    token: str = ""

    async def _asked(self, what: str, body: bytes) -> Any:
        if self.shop is None:
            return SimpleNamespace(status=0)
        answer = await asyncio.to_thread(self.shop.ask, what, body, authorization=self.token)
        content = answer.body.encode("latin-1")
        return SimpleNamespace(
            status=answer.status,
            said=answer.headers.get(SAID, ""),
            bytes=SimpleNamespace(to_bytes=lambda: content),
        )

    async def pair(self, address: str, code: str) -> Any:
        """Is let in, and keeps that."""
        answer = await self._asked("pair", json.dumps({"code": code}).encode())
        if answer.status == 200:
            self.token = f"Bearer {json.loads(answer.bytes.to_bytes())['token']}"
            self.told.shop = address
        return answer

    async def send(self, packed: bytes) -> Any:
        """Hands one over."""
        return await self._asked("job", packed)


def test_asked_once_then_one_touch_sends_a_job_and_brings_back_what_the_shop_entered(
    shop: Shop, tmp_path: Path
) -> None:
    phone, page = Bench(tmp_path / "phone", device="A"), Page(shop)
    host, job = ByHand(in_reach=ShopInReach(cast(Any, page))), phone.open_job("J-7", "JB")

    async def day() -> None:
        desk = AtTheDesk(phone, host, f"/job/{job.id}")
        await desk.tap("Send this job to the shop")  # not paired yet: it is asked
        await desk.wait_for("Not paired yet.")
        await desk.type("The shop's address", "192.0.2.10:8710/pair")
        await desk.type("Code", shop.gate.pairing.offer_to("").code)
        await desk.tap("Pair with the shop")
        await desk.wait_for(f"Paired with {WHERE}.")
        await desk.go(f"/job/{job.id}")
        await desk.tap("Send this job to the shop")
        await desk.wait_for("At the shop: J-7: 1 entry is new")
        seen = Decision("rod", "replace", "seen at the shop")
        shop.bench.enter(shop.bench.job(job.id), seen, "AB", "metric")
        for said in (
            "On this phone: J-7: 1 entry is new, 1 stood here",
            "On this phone: J-7: 0 entries are new",
        ):
            await desk.tap("Send this job to the shop")
            await desk.wait_for(said)
        shop.gate.sessions.end(shop.gate.sessions.every()[0].id)
        await desk.tap("Send this job to the shop")
        await desk.wait_for("This phone is not paired with the shop, or not any more.")
        page.shop = None
        await desk.tap("Send this job to the shop")
        await desk.wait_for(f"The shop's program was not reached at {WHERE}.")

    asyncio.run(day())
    assert phone.logbook.rows(job.id) == shop.bench.logbook.rows(job.id)
    assert verify(phone) == verify(shop.bench) == []


def test_a_host_that_is_no_phone_alone_offers_no_shop(tmp_path: Path) -> None:
    bench = Bench(tmp_path / "shop")
    job = bench.open_job("J-7", "JB").id

    async def day() -> None:
        desk = AtTheDesk(bench, ByHand(), f"/job/{job}")
        assert "Send this job" not in await desk.wait_for("Pack this job as a file")
        await desk.go("/shop")
        await desk.wait_for("There is no such screen.")

    asyncio.run(day())


@pytest.mark.parametrize(
    ("typed", "address"),
    [
        ("192.168.1.7:8710", "https://192.168.1.7:8710"),
        ("  https://Shop.example/settings ", "https://shop.example"),
        ("https://[fd00::1]:8710/", "https://[fd00::1]:8710"),
    ],
)
def test_an_address_is_asked_for_by_https_and_without_a_path(typed: str, address: str) -> None:
    assert address_of(typed) == address


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("http://192.168.1.7:8710", "a browser lets it send nothing there"),
        ("", "Type the address"),
        ("ftp://shop", "Type the address"),
        ("https://a@shop", "Type the address"),
        ("the shop", "Type the address"),
        ("https://[1", "Type the address"),
    ],
)
def test_what_cannot_be_reached_is_refused_before_it_is_tried(typed: str, says: str) -> None:
    page = Page(None)
    with pytest.raises(Refusal, match=says):
        asyncio.run(ShopInReach(cast(Any, page)).pair(typed, "123456"))


def test_a_phone_alone_speaks_of_no_connection_and_promises_no_cameras_files(tmp_path: Path) -> None:
    bench = Bench(tmp_path / "phone")
    job = bench.open_job("J-7", "KM")

    async def day() -> None:
        host = ByHand(in_reach=ShopInReach(cast(Any, Page(None))))
        desk = AtTheDesk(bench, host, f"/job/{job.id}")
        await desk.wait_for("Pack this job as a file")
        desk.desk.enter(job, job.as_found, Nameplate({"bore": "100", "rod": "70", "stroke": "600"}))
        came_back(desk.desk)
        assert "connection" not in await desk.wait_for("Saved last with this phone")
        await desk.go("/settings")
        assert "Keep them" not in await desk.wait_for("never the camera's own file")

    asyncio.run(day())
