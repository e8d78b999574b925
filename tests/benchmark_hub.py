"""A hub beside the least that PostgreSQL needs for the same: each figure a ratio to a bare COPY of the same run.

python tests/benchmark_hub.py [ENTRIES]; 250 000 if none are said. Commits wait for the disk, as they do in use.
"""

from __future__ import annotations

import hashlib
import random
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from itertools import islice
from pathlib import Path
from typing import Any

from postgres import Cluster, cluster

from inspect_app.bench.bench import Bench
from inspect_app.hub.connecting import connected, make
from inspect_app.hub.pulling import pull
from inspect_app.hub.pushing import push
from inspect_app.hub.relaying import relay
from inspect_app.logbook.chains import Row

READINGS_A_JOB = 200
COLUMNS = ", ".join(Row._fields)


def entries(device: str, many: int, first_job: int = 0) -> Iterator[Row]:
    """Entries as one device makes them, chained job by job: readings, as most entries of a log are."""
    chance, at_ms = random.Random(device), 1_772_000_000_000
    for n in range(many):
        job = f"{device}-job-{first_job + n // READINGS_A_JOB:06}"
        if n % READINGS_A_JOB == 0:
            previous = ""
        at_ms += chance.randrange(1, 60_000)
        at = time.strftime("%Y-%m-%dT%H:%M:%S", time.gmtime(at_ms // 1000)) + f".{at_ms % 1000:03}Z"
        mm = f"{99.9 + chance.random() / 5:.3f}"
        body = (
            f'{{"check":"bore-diameter","clock":"{2 * (n % 3)}","gauge":"g1","station":"{n % 900}","step":"0.001",'
            f'"typed":"{mm} mm","value":"{mm}"}}'
        )
        fields = (f"{device}-{first_job}-{n:09}", job, device, at, "AB", "reading", body)
        entry_id, _, _, _, by, kind, _ = fields
        link = hashlib.sha256(
            "\x1f".join((previous, entry_id, job, device, at, by, kind, body)).encode()
        ).hexdigest()
        yield Row(*fields, previous, link)
        previous = link


def in_steps(rows: Iterator[Row], most: int) -> Iterator[list[Row]]:
    while step := list(islice(rows, most)):
        yield step


def filled(folder: Path, device: str, many: int) -> Bench:
    """A data folder whose log holds so many entries of its own."""
    bench = Bench(folder, device=device, throw_away=True)
    for step in in_steps(entries(device, many), 20_000):
        bench.logbook.put_back(step)
    return bench


def seconds(what: Callable[[], Any]) -> float:
    start = time.perf_counter()
    what()
    return time.perf_counter() - start


def told(what: str, took: float, bare: float, many: int) -> None:
    print(f"  {what:58} {took:8.2f} s {took / bare:7.2f} {many / took:10.0f} entries/s")


def bare_copy(url: str, rows: list[Row]) -> float:
    """The least there is: the same rows into a table with a primary key, in the same steps."""

    def copy() -> None:
        for step in in_steps(iter(rows), 20_000):
            with to.transaction(), to.cursor().copy(f"COPY bare ({COLUMNS}) FROM STDIN".encode()) as copying:
                for row in step:
                    copying.write_row(row)

    with connected(url) as to:
        to.execute(
            f"CREATE TABLE bare ({', '.join(f'{name} text' for name in Row._fields)}, PRIMARY KEY (id))".encode()
        )
        return seconds(copy)


def new_hub(server: Cluster) -> str:
    name = server.database()
    with connected(server.url(name)) as to:
        make(to)
        for login in ("north", "relay"):
            if not to.execute("SELECT FROM pg_roles WHERE rolname = %s", (login,)).fetchall():
                to.execute(f"CREATE ROLE {login} LOGIN".encode())
        to.execute("SELECT hub.let_in('north', 'north', 'Workshop north')")
        to.execute("GRANT hub_relay TO relay")
    return name


def main(many: int, folder: Path) -> None:
    with cluster(durable=True) as server:
        one, other = new_hub(server), new_hub(server)
        shop = filled(folder / "shop", "shop", many)
        rows = [row for _, row in shop.logbook.since(0, many)]
        bare = bare_copy(server.url(one), rows)
        print(f"{many} entries; beside each figure its ratio to the bare COPY")
        told("a bare COPY, in the same steps", bare, bare, many)
        with connected(server.url(one, "north")) as to:
            told("push", seconds(lambda: push(shop, to)), bare, many)
            told("push again: nothing is new", seconds(lambda: push(shop, to)), bare, many)
            shop.logbook.put_back(entries("shop", 200, first_job=900_000))
            told("push of 200 more beside them", seconds(lambda: push(shop, to)), bare, 200)
            # as if the hub knew no mark: all once more, and nothing new
            with connected(server.url(one)) as owner:
                owner.execute("DELETE FROM hub.mark")
            told("push of all once more, without a mark", seconds(lambda: push(shop, to)), bare, many)
            van = Bench(folder / "van", device="van", throw_away=True)
            told("pull into an empty folder", seconds(lambda: pull(van, to)), bare, many)
            told("pull again: nothing is new", seconds(lambda: pull(van, to)), bare, many)
        with connected(server.url(one, "relay")) as a, connected(server.url(other, "relay")) as b:
            told("relay to an empty hub", seconds(lambda: relay(a, b)), bare, many)
            told("relay again: nothing is new", seconds(lambda: relay(a, b)), bare, many)


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as scratch:
        main(int(sys.argv[1]) if len(sys.argv) > 1 else 250_000, Path(scratch))
