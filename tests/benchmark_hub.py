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
from dataclasses import dataclass
from itertools import islice
from pathlib import Path
from typing import TYPE_CHECKING

from postgres import Cluster, cluster

from inspect_app.bench.bench import Bench
from inspect_app.hub.asking import answers
from inspect_app.hub.connecting import connected, make
from inspect_app.hub.pulling import pull
from inspect_app.hub.pushing import push
from inspect_app.hub.relaying import relay
from inspect_app.logbook.chains import Row

if TYPE_CHECKING:
    from psycopg import Connection

READINGS_A_JOB = 200
FLEET_JOBS = 10_000
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


@dataclass(frozen=True)
class Took:
    """How long something took: by the clock, and of the processors, here and at the server."""

    clock_s: float
    cpu_s: float


class Measured:
    """Runs things beside the bare COPY of so many entries, and prints what each took.

    Args:
        server: whose processes count as well.
    """

    def __init__(self, server: Cluster) -> None:
        self._server = server
        self._bare: Took | None = None

    def __call__(self, what: str, run: Callable[[], object], many: int) -> None:
        clock, cpu = time.perf_counter(), time.process_time() + self._server.cpu_s()
        run()
        took = Took(time.perf_counter() - clock, time.process_time() + self._server.cpu_s() - cpu)
        bare = self._bare = self._bare or took
        ratios = f"{took.clock_s / bare.clock_s:8.2f} {took.cpu_s / bare.cpu_s:8.2f}"
        print(
            f"  {what:44} {took.clock_s:8.2f} s {took.cpu_s:8.2f} s {ratios} {many / took.clock_s:10.0f} entries/s"
        )


def bare_copy(to: Connection, rows: list[Row]) -> None:
    """The least there is: the same rows into a table with a primary key, in the same steps."""
    columns = ", ".join(f"{name} text" for name in Row._fields)
    to.execute(f"CREATE TABLE bare ({columns}, PRIMARY KEY (id))".encode())
    for step in in_steps(iter(rows), 20_000):
        with to.transaction(), to.cursor().copy(f"COPY bare ({COLUMNS}) FROM STDIN".encode()) as copying:
            for row in step:
                copying.write_row(row)


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


FACTS = {
    "finding": (60, "'check ' || k, 'size', 'shipped', 'source ' || k % 9, "
                    "CASE n * k % 7 WHEN 6 THEN 'outside limit' ELSE 'within limit' END"),
    "wear": (4, "'check ' || k, n % 50, 3, 1 + n % 4000, NULL"),
    "defect": (2, "'check ' || k, 'kind ' || n % 12"),
    "worked": (7, "'step ' || k, n % 30 / 4.0"),
    "delivery": (5, "'place ' || k, date '2026-01-01' + n % 90, date '2026-01-01' + (n + k) % 90"),
}  # fmt: skip
"""Of each table how many rows a judged job leaves there, and what the k-th of the n-th job may say."""


def fill_facts(owner: Connection, jobs: int) -> None:
    """What so many judged jobs leave at the hub."""
    each = f"FROM generate_series(1, {jobs}) n"
    owner.execute(
        f"INSERT INTO hub.judged SELECT 'j' || n, '', '', 'north', 'machine ' || n % 40 {each}".encode()
    )
    for table, (times, row) in FACTS.items():
        every = f"INSERT INTO hub.{table} SELECT 'j' || n, {row} {each}, generate_series(1, {times}) k"
        owner.execute(every.encode())


def main(many: int, folder: Path) -> None:
    with cluster(durable=True) as server:
        one, other, measured = new_hub(server), new_hub(server), Measured(server)
        shop, van = (
            filled(folder / "shop", "shop", many),
            Bench(folder / "van", device="van", throw_away=True),
        )
        rows = [row for _, row in shop.logbook.since(0, many)]
        print(f"{many} entries: by the clock, of the processors, and the ratio of each to the bare COPY's")
        with connected(server.url(one)) as owner, connected(server.url(one, "north")) as to:
            measured("a bare COPY, in the same steps", lambda: bare_copy(owner, rows), many)
            measured("push", lambda: push(shop, to), many)
            measured("push again: nothing is new", lambda: push(shop, to), many)
            shop.logbook.put_back(entries("shop", 200, first_job=900_000))
            measured("push of 200 more beside them", lambda: push(shop, to), 200)
            owner.execute("DELETE FROM hub.mark")
            measured("push of all once more, without a mark", lambda: push(shop, to), many)
            measured("pull into an empty folder", lambda: pull(van, to), many)
            measured("pull again: nothing is new", lambda: pull(van, to), many)
        with connected(server.url(one, "relay")) as a, connected(server.url(other, "relay")) as b:
            measured("relay to an empty hub", lambda: relay(a, b), many)
            measured("relay again: nothing is new", lambda: relay(a, b), many)
        with connected(server.url(one)) as owner:
            fill_facts(owner, FLEET_JOBS)
            print(f"questions over {FLEET_JOBS} judged jobs")
            measured("views made anew", lambda: owner.execute("SELECT hub.refresh()"), FLEET_JOBS)
            measured("all five questions, out of the views", lambda: answers(owner), FLEET_JOBS)


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as scratch:
        main(int(sys.argv[1]) if len(sys.argv) > 1 else 250_000, Path(scratch))
