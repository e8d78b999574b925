"""How long a touch takes with one phone and with twenty: `python tests/benchmark_phones.py [PHONES …]`.

Phones without a screen speak the websocket of the stock client to the real program, four to a job on four checks,
at a thumb's pace. Printed: half and 95 of 100 touches are answered within so long; readings that are in the log.
`memory 20 60 60` prints what the program has in memory with so many at the keypad, after they left, and after their
screens were let go, which here is soon.
"""

from __future__ import annotations

import asyncio
import itertools
import os
import random
import sqlite3
import statistics
import sys
import tempfile
import time
from pathlib import Path
from typing import Any

import msgpack
from host import Host
from websockets.asyncio.client import connect

from inspect_app.bench.bench import Bench
from inspect_app.entries.opening import Nameplate

CHECKS = (
    ("rod-diameter", "69.95"),
    ("bore-diameter", "100.0"),
    ("rod-roughness", "0.2"),
    ("rod-chrome", "25"),
)
READINGS = 3
KEY_PAUSE_S, LOOK_PAUSE_S = (0.25, 0.6), (2.0, 4.0)
REGISTER, EVENT, INVOKE, CRASHED = 1, 3, 5, 6
"""Kinds of message of the client's protocol."""


class Phone:
    """One connection; finds what it touches by the identifier the accessibility tree has."""

    def __init__(self, port: int, route: str, client: str) -> None:
        self.port, self.route, self.client = port, route, client
        self._newest: dict[str, int] = {}
        self._at: dict[int, str] = {}
        self._answered = asyncio.Event()
        self.frames = 0

    async def open(self) -> None:
        url = f"127.0.0.1:{self.port}"
        self._socket = await connect(
            f"ws://{url}/ws", max_size=None, origin=f"http://{url}", compression=None
        )
        self._reading = asyncio.create_task(self._read())
        page = {"route": self.route, "width": 390, "height": 844, "platform": "android", "web": True}
        page |= dict.fromkeys(("pwa", "debug", "wasm", "test", "multi_view", "pyodide"), False)
        await self._send(REGISTER, {"session_id": "", "page_name": "", "page": page})

    async def _send(self, action: int, body: dict[str, Any]) -> None:
        await self._socket.send(b"\0" + msgpack.packb([action, body]))

    async def _read(self) -> None:
        async for raw in self._socket:
            assert isinstance(raw, bytes)
            action, body = msgpack.unpackb(raw[1:], strict_map_key=False)
            if action == INVOKE:
                result = self.client if body["name"] == "get" else True
                back = {"control_id": body["control_id"], "call_id": body["call_id"], "error": None}
                await self._send(INVOKE, back | {"result": result})
            elif action == CRASHED:
                raise RuntimeError(f"the session crashed: {body}")
            else:
                self._scan(body)
                self.frames += 1
                self._answered.set()

    def _scan(self, found: Any) -> None:
        if isinstance(found, dict):
            if isinstance(found.get("_i"), int) and "identifier" in found and found.get("visible", True):
                self._newest[found["identifier"]] = found["_i"]
            for value in found.values():
                self._scan(value)
        elif isinstance(found, list | tuple):
            for value in found:
                self._scan(value)

    async def wait_for(self, name: str) -> None:
        while name not in self._newest:
            self._answered.clear()
            await asyncio.wait_for(self._answered.wait(), 60)

    async def touch(self, name: str) -> float:
        """Touch and wait for the next picture; seconds."""
        before, started = self.frames, time.perf_counter()
        await self._send(EVENT, {"target": self._newest[name], "name": "tap", "data": None})
        while self.frames == before:
            self._answered.clear()
            await asyncio.wait_for(self._answered.wait(), 60)
        return time.perf_counter() - started

    async def close(self) -> None:
        self._reading.cancel()
        await self._socket.close()


async def measure(port: int, job: str, number: int, keys: list[float], enters: list[float]) -> None:
    """One person at one check: types, enters, looks where to measure next."""
    check, stem = CHECKS[number % len(CHECKS)]
    phone = Phone(port, f"/job/{job}/measure/{check}", f"bench-{number:02d}")
    await phone.open()
    await phone.wait_for("key enter")
    await asyncio.sleep(random.random() * 3)
    for reading in range(READINGS):
        for key in f"{stem}{number % 4}{reading}":
            keys.append(await phone.touch("key point" if key == "." else f"key {key}"))
            await asyncio.sleep(random.uniform(*KEY_PAUSE_S))
        enters.append(await phone.touch("key enter"))
        await asyncio.sleep(random.uniform(*LOOK_PAUSE_S))
    await phone.close()


def jobs_for(folder: Path, phones: int) -> list[str]:
    """A job for every four phones, and initials for each of them."""
    bench, jobs = Bench(folder), []
    for number in range(-(-phones // len(CHECKS))):
        job = bench.open_job(f"T-{number}", "JB")
        sizes = {"bore": "100", "rod": "70", "stroke": "600"}
        jobs.append(bench.enter(job, Nameplate(sizes), "JB", "metric").job.id)
    for number in range(phones):
        bench.set_setting(f"bench-{number:02d}", "initials", "JB", "JB")
    bench.close()
    return jobs


def run(phones: int) -> None:
    """Measure with so many phones and print what came of it."""
    keys: list[float] = []
    enters: list[float] = []
    with tempfile.TemporaryDirectory() as throw_away:
        folder = Path(throw_away) / "shop"
        jobs = jobs_for(folder, phones)
        with Host(folder) as host:

            async def all_of_them() -> None:
                each = zip(range(phones), itertools.cycle(j for j in jobs for _ in CHECKS))
                await asyncio.gather(*(measure(host.port, job, n, keys, enters) for n, job in each))

            asyncio.run(all_of_them())
        with sqlite3.connect(folder / "logbook.db") as log:
            (kept,) = log.execute("SELECT count(*) FROM entries WHERE kind = 'reading'").fetchone()
    told = ", ".join(f"{name} {_within(times)}" for name, times in (("key", keys), ("enter", enters)))
    load = os.getloadavg()[0]
    print(
        f"{phones} phones: {told}; {kept} of {len(enters)} readings in the log; load of the machine {load:.1f}"
    )


LET_GO_S = 5
"""How soon a screen whose phone is away is let go while memory is measured; the toolkit looks every ten seconds."""


def memory(waves: list[int]) -> None:
    """Print what the program has in memory while one wave of phones after the other comes and goes."""
    os.environ["FLET_SESSION_TIMEOUT"] = str(LET_GO_S)
    with tempfile.TemporaryDirectory() as throw_away:
        folder = Path(throw_away) / "shop"
        jobs = jobs_for(folder, max(waves))
        with Host(folder) as host:
            nobody = _resident_mb(host)
            print(f"nobody: {nobody:.0f} MB", flush=True)
            for phones in waves:
                here, left = asyncio.run(_visit(host, jobs, phones))
                time.sleep(LET_GO_S + 15)
                gone = _resident_mb(host)
                each = (here - nobody) / phones
                print(
                    f"{phones} phones: {here:.0f} MB, at most {each:.1f} MB each; {left:.0f} MB when they left, "
                    f"{gone:.0f} MB when their screens were let go",
                    flush=True,
                )


async def _visit(host: Host, jobs: list[str], count: int) -> tuple[float, float]:
    each = zip(range(count), itertools.cycle(j for j in jobs for _ in CHECKS))
    phones = [
        Phone(host.port, f"/job/{job}/measure/{CHECKS[n % len(CHECKS)][0]}", f"bench-{n:02d}")
        for n, job in each
    ]
    for phone in phones:
        await phone.open()
        await phone.wait_for("key enter")
    here = _resident_mb(host)
    for phone in phones:
        await phone.close()
    await asyncio.sleep(3)
    return here, _resident_mb(host)


def _resident_mb(host: Host) -> float:
    pages = int(Path(f"/proc/{host._process.pid}/statm").read_text().split()[1])
    return pages * os.sysconf("SC_PAGE_SIZE") / 1e6


def _within(times: list[float]) -> str:
    twentieths = statistics.quantiles(times, n=20)
    return f"p50 {1000 * statistics.median(times):.0f} ms p95 {1000 * twentieths[-1]:.0f} ms"


if __name__ == "__main__":
    if sys.argv[1:2] == ["memory"]:
        memory([int(count) for count in sys.argv[2:]] or [20, 60, 60])
        sys.exit()
    for count in map(int, sys.argv[1:] or ("1", "20")):
        run(count)
