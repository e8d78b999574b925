"""What a shop's log costs when it is large, each figure beside its floor in the same run.

Run it with `python tests/benchmark_size.py [JOBS [ENTRIES]] [FOLDER]`; it is no test. Without numbers: 10 000 jobs
with 2 000 000 entries, and one job more of 20 000 readings, which takes some minutes and 3 GB of disk in FOLDER. The
entries are written by SQL in few transactions, not through the app; each has the link the app would give it, and the
list of jobs is made by the opening, as for a log of an older form. The floors: a bare reading of all rows, a bare
durable insert of the same row, a bare reading of one job's rows. Beside the time stands that of the processor, which
other programs on the machine change less; the ratio is of that, but where the disk is waited for.
"""

from __future__ import annotations

import gc
import os
import resource
import sqlite3
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from hashlib import sha256
from pathlib import Path
from typing import NamedTuple

from inspect_app.bench.bench import Bench
from inspect_app.bench.listing import basis_of, judged, listed
from inspect_app.bench.proving import proven
from inspect_app.entries.entry import body_text, link_over, uuid7
from inspect_app.entries.folding import fold
from inspect_app.logbook.chains import Row
from inspect_app.logbook.lines import JUDGED, LINE
from inspect_app.logbook.mark import Mark, Reach
from inspect_app.logbook.schema import INSERT
from inspect_app.logbook.walking import FIELDS

LARGE = 20_000
"""Readings of the large job."""
UNDER_WAY = 50
"""So many of the other jobs are under way; the cylinders of those before them were let go."""
START_MS = 1_700_000_000_000
GAUGE = {
    "gauge": "g", "kind": "outside-micrometer", "name": "M-1", "fixed": [["100", "0.002"]], "share": "0",
    "step": "0.001", "calibrated_until": "2027-03-31",
}  # fmt: skip


def made(folder: Path, jobs: int, entries: int) -> str:
    """Make the log; the id of the large job."""
    bench = Bench(folder)
    body = bench.logbook.entries(bench.open_job("first", "AB").id)[0].body
    device = bench.logbook.device
    bench.close()
    db = sqlite3.connect(folder / "logbook.db", isolation_level=None)
    db.execute("PRAGMA synchronous = OFF")
    each = max(4, (entries - LARGE) // jobs)
    clock = iter(range(START_MS, START_MS + 10 * (entries + LARGE + 100), 2))
    for first in range(0, jobs, 500):
        db.execute("BEGIN")
        for n in range(first, min(first + 500, jobs)):
            db.executemany(INSERT, job_rows(clock, device, body, n, each, n < jobs - UNDER_WAY))
        db.execute("COMMIT")
    db.execute("BEGIN")
    large = list(job_rows(clock, device, body, jobs, LARGE + 4))
    db.executemany(INSERT, large)
    db.execute("COMMIT")
    for table in (LINE, JUDGED):
        db.execute(f"DROP TABLE {table}")
    Mark(folder / "logbook.mark").begin(Reach().on(db.execute("SELECT seq, hash FROM entries ORDER BY seq")))
    db.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    db.close()
    return large[0].job


def job_rows(
    clock: Iterator[int], device: str, opened: object, n: int, entries: int, let_go: bool = False
) -> Iterator[Row]:
    """One job: opened, its nameplate, a gauge, and readings at places of five checks; its cylinder let go or not."""
    job, previous = uuid7(next(clock), n.to_bytes(10, "big")), ""
    fields = {
        "customer": f"Customer {n % 300}",
        "machine": f"Excavator {n % 977}",
        "serial": f"S-{n // 2:05}",
    }
    bodies: list[tuple[str, object]] = [
        ("job", {**dict(opened), "name": f"J-{n:05}"}),  # type: ignore[call-overload]
        ("nameplate", {"fields": {k: {"typed": v} for k, v in fields.items()} | {
            "rod": {"typed": "63 mm", "value": "63"}, "bore": {"typed": "100 mm", "value": "100"}}}),
        ("gauge", GAUGE),
    ]  # fmt: skip
    checks = ("rod-diameter", "bore-diameter", "rod-chrome", "rod-runout", "rod-roughness")
    for i in range(entries - len(bodies)):
        place = {"station": str(i // 10), "clock": str(1 + i % 10 // 5 * 3)}
        value = {"typed": "62.955 mm", "value": "62.955", "step": "0.001", "gauge": "g"}
        bodies.append(("reading", {"check": checks[i % 5], **place, **value}))
    if let_go:
        bodies[-1] = ("step", {"step": "release", "did": "closed", "reason": ""})
    for i, (kind, body) in enumerate(bodies):
        ms = next(clock)
        at = time.strftime("%Y-%m-%dT%H:%M:%S", time.gmtime(ms // 1000)) + f".{ms % 1000:03}Z"
        text = body_text(body)  # type: ignore[arg-type]
        entry = (uuid7(ms, (n << 32 | i).to_bytes(10, "big")), job, device, at, "AB", kind, text)
        link = link_over(previous, *entry)
        yield Row(*entry, previous, link)
        previous = link


class Took(NamedTuple):
    """How long something took, in milliseconds: by the clock, and of the processor."""

    wall: float
    cpu: float


def ms(step: Callable[[], object]) -> Took:
    """How long one step takes."""
    gc.collect()
    wall, cpu = time.perf_counter(), time.process_time()
    step()
    return Took(1000 * (time.perf_counter() - wall), 1000 * (time.process_time() - cpu))


def middle(times: list[Took]) -> Took:
    """The median of each."""
    return Took(*(statistics.median(of) for of in zip(*times, strict=True)))


def told(what: str, ours: Took, floor: Took | None = None, of: str = "", disk: bool = False) -> None:
    """One line: what it takes, and how many times its floor that is."""
    at = 0 if disk else 1
    ratio = f"{ours[at] / floor[at]:8.2f} times {of} ({floor[at]:.1f} ms)" if floor else ""
    print(f"{what:46}{ours.wall:10.1f} ms, processor {ours.cpu:8.1f} ms{ratio}", flush=True)


def most_mb() -> float:
    """The most memory this process ever had."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def bare_insert(folder: Path, row: Row) -> Took:
    """A durable insert of a row into a file with a key and an index, and nothing else."""
    db = sqlite3.connect(folder / "bare.db", isolation_level=None)
    db.execute("PRAGMA journal_mode = WAL")
    db.execute("PRAGMA synchronous = FULL")
    db.execute(f"CREATE TABLE e (id TEXT PRIMARY KEY, {', '.join(c + ' TEXT' for c in Row._fields[1:])})")
    db.execute("CREATE INDEX by_job ON e (job)")
    times = []
    for n in range(200):
        values = (f"{n}{row.id}", *row[1:])
        times.append(ms(lambda v=values: db.execute(f"INSERT INTO e VALUES ({', '.join('?' * 9)})", v)))
    db.close()
    return middle(times)


def every_row(file: Path) -> int:
    """Read all rows of the log and do nothing with them."""
    db = sqlite3.connect(f"{file.as_uri()}?mode=ro", uri=True)
    count = sum(1 for _ in db.execute("SELECT * FROM entries"))
    db.close()
    return count


def integrity(file: Path) -> None:
    """What SQLite looks at by itself: every page, and that each index has each row."""
    db = sqlite3.connect(f"{file.as_uri()}?mode=ro", uri=True)
    db.execute("PRAGMA integrity_check").fetchall()
    db.close()


def every_row_hashed(file: Path) -> int:
    """Read all rows and hash the bytes that each link is made over, and nothing else: the floor of any proof."""
    db = sqlite3.connect(f"{file.as_uri()}?mode=ro", uri=True)
    together = " || char(31) || ".join(FIELDS)
    rows = db.execute(f"SELECT hash, CAST({together} AS BLOB) FROM entries")
    count = sum(sha256(text).hexdigest() == link for link, text in rows)
    db.close()
    return count


def looked_over(folder: Path) -> None:
    """Verify in a process of its own, whose memory is nobody else's."""
    bench = Bench(folder, reading=True)
    before = most_mb()
    floor = ms(lambda: every_row(folder / "logbook.db"))
    hashing = ms(lambda: every_row_hashed(folder / "logbook.db"))
    after = most_mb()
    looks: list[tuple[str, ...]] = []
    ours = ms(lambda: looks.append(proven(bench).wrong))
    told("verify", ours, floor, "a bare reading of all rows")
    told("  the same", ours, hashing, "a bare reading that hashes each row once")
    told(
        "  SQLite's own look at the file",
        ms(lambda: integrity(folder / "logbook.db")),
        floor,
        "a bare reading",
    )
    print(
        f"  it found {len(looks[0])} wrong; memory {before:.0f} MB before, {after:.0f} then, {most_mb():.0f} after"
    )


def measured(folder: Path, large: str) -> None:
    """Everything but verify, in this process."""
    told("first opening: the list of jobs is made", ms(lambda: Bench(folder).close()))
    empty = Path(folder.parent / "empty")
    Bench(empty).close()
    told("start", ms(lambda: Bench(folder).close()), ms(lambda: Bench(empty).close()), "an empty log")
    bench = Bench(folder)
    print(f"  memory {most_mb():.0f} MB")
    lines = bench.logbook.lines
    count = lines.count()
    rows = ms(lambda: bench.logbook._rows(f"SELECT * FROM {LINE}"))
    basis = basis_of(bench)
    told(
        f"the list of {count} jobs, 50 rows, not judged yet",
        ms(lambda: listed(bench, "", 50)),
        rows,
        "all its rows",
    )
    of = listed(bench, "", 50).rows

    def judge() -> None:
        lines.keep([judgement for row in of if (judgement := judged(bench, row.line, basis))])

    told("  judging those 50, beside the screens", ms(judge))
    told("the same, judged", ms(lambda: listed(bench, "", 50)), rows, "all its rows")
    told("search: one letter", ms(lambda: listed(bench, "e", 50)), rows, "all its rows")
    told(
        "search: three words that one job has",
        ms(lambda: listed(bench, "customer 7 j-00307", 50)),
        rows,
        "all its rows",
    )
    told("the earlier visits of a serial", ms(lambda: lines.of_serial("s-00153")))
    under_way = lines.under_way()
    told(
        f"to order today: the jobs, {len(under_way)} of {count}",
        ms(lambda: bench.jobs(under_way=True)),
        ms(lambda: [fold(job, bench.logbook.entries(job)) for job in under_way]),
        "folding those alone",
    )
    bench._jobs.clear()
    own = f"SELECT * FROM entries WHERE job = '{large}' ORDER BY at, id"
    floor = middle([ms(lambda: bench.logbook._rows(own)) for _ in range(5)])
    opened = [(bench._jobs.clear(), ms(lambda: bench.job(large)))[1] for _ in range(5)]
    told(f"open a job of {LARGE} readings", middle(opened), floor, "a bare reading of its rows")
    check = bench.tables.cylinders["double-acting"].check("rod-diameter")
    assert check is not None
    reading = dict(bench.logbook.entries(large)[-1].body)
    insert = bare_insert(folder.parent, bench.logbook.rows(large)[-1])
    appended = [ms(lambda: bench.record(large, "AB", ("reading", reading))) for _ in range(50)]
    told("one reading more in it", middle(appended), insert, "a bare insert", disk=True)
    small = lines.found("", "", 9)[-1].job
    bench.job(small)
    appended = [ms(lambda: bench.record(small, "AB", ("reading", reading))) for _ in range(50)]
    told("one reading more in a small job", middle(appended), insert, "a bare insert", disk=True)
    told(
        "undo in the large job",
        ms(lambda: bench.undo(bench.job(large), "AB")),
        insert,
        "a bare insert",
        disk=True,
    )
    bench._jobs.clear()
    job = bench.job(large)
    told(
        "undo right after it was opened",
        ms(lambda: bench.undo(job, "AB")),
        floor,
        "a bare reading of its rows",
    )
    for line in lines.found("", "", 1500):
        bench.job(line.job)
    kept = sum(bench.has(line.job) for line in lines.found("", "", count))
    print(f"  1500 jobs opened in turn: {kept} stay in memory; the most this process had {most_mb():.0f} MB")
    bench.close()


if __name__ == "__main__":
    if sys.argv[1:2] == ["--verify"]:
        looked_over(Path(sys.argv[2]))
        sys.exit()
    numbers = [int(a) for a in sys.argv[1:] if a.isdigit()]
    where = next((a for a in sys.argv[1:] if not a.isdigit()), None)
    jobs, entries = [*numbers, *(10_000, 2_000_000)[len(numbers) :]]
    with tempfile.TemporaryDirectory(dir=where) as scratch:
        shop = Path(scratch) / "shop"
        names: list[str] = []
        told(f"making {jobs} jobs, {entries} entries", ms(lambda: names.append(made(shop, jobs, entries))))
        size = (shop / "logbook.db").stat().st_size / 1e6
        print(f"  load {os.getloadavg()[0]:.1f} on {os.cpu_count()} cores; {size:.0f} MB")
        measured(shop, names[0])
        here = {**os.environ, "PYTHONPATH": str(Path(__file__).parent.parent)}
        subprocess.run([sys.executable, __file__, "--verify", str(shop)], env=here, check=True)
        print(f"  load {os.getloadavg()[0]:.1f}")
