"""How long a reading takes from typed to durable and judged, and an inspection to be assessed: whole, and after it.

`python tests/benchmark_job.py [FOLDER]` prints each beside its floor, measured in the same run.
"""

from __future__ import annotations

import sqlite3
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from decimal import Decimal
from pathlib import Path

from inspect_app import tables as checklists
from inspect_app.bench.bench import Bench
from inspect_app.bench.readings_file import record_file
from inspect_app.entries.job import Place
from inspect_app.entries.opening import Nameplate
from inspect_app.job.assess import assess
from inspect_app.trade.measuring import quantities

READINGS_BEFORE = 2_000
MEASURED = 400
ASSESSED = 60
AIM_RATIO, AIM_ASSESS_MS, AIM_AFTER_MS = 2.0, 10.0, 3.0


def each_ms(times: int, act: Callable[[int], object]) -> list[float]:
    """What each of so many turns takes, ms."""
    taken = []
    for n in range(times):
        started = time.perf_counter()
        act(n)
        taken.append((time.perf_counter() - started) * 1000)
    return taken


def told(name: str, floor: list[float], ours: list[float]) -> None:
    """One line: floor, ours, and their ratio, median and least."""
    f, o = statistics.median(floor), statistics.median(ours)
    print(
        f"{name}: floor p50 {f:.3f} ms, ours p50 {o:.3f} ms, ratio p50 {o / f:.2f}, min {min(ours) / min(floor):.2f}"
    )


def raw_insert(folder: Path, body: str) -> Callable[[int], object]:
    """A bare sqlite3 insert of the same payload, WAL and synchronous FULL."""
    database = sqlite3.connect(folder / "floor.db", isolation_level=None)
    database.execute("PRAGMA journal_mode = WAL")
    database.execute("PRAGMA synchronous = FULL")
    database.execute("CREATE TABLE entries (id TEXT PRIMARY KEY, body TEXT)")
    return lambda n: database.execute("INSERT INTO entries VALUES (?, ?)", (f"{n:036}", body))


def reading_understood() -> None:
    """A reading as text, beside the bare conversion of its digits."""
    turns = 5_000
    floor = each_ms(turns, lambda _: Decimal("63.47"))
    ours = each_ms(turns, lambda _: quantities.read("63.47", kind="length"))
    told("a reading understood", floor, ours)


def reading_typed_durable_judged(folder: Path) -> None:
    """With 2 000 readings in the job already."""
    bench = Bench(folder / "bench")
    check = bench.tables.cylinders["double-acting"].check("bore-diameter")
    assert check is not None
    job = bench.open_job("benchmark", "B")
    job = bench.enter(job, Nameplate({"bore": "100", "rod": "70", "stroke": "1200"}), "B", "metric").job
    for n in range(READINGS_BEFORE):
        place = Place(str(25 + n), "12")
        job = bench.measure(job, check, place, f"100.0{n % 50:02}", "B", "metric", sure=True).job
    kept = [job]

    def measure(n: int) -> None:
        outcome = bench.measure(kept[0], check, Place(str(5_000 + n), "3"), "100.031", "B", "metric")
        assert outcome.judgement is not None
        kept[0] = outcome.job

    floor = raw_insert(folder, "x" * 600)
    floor_ms, ours_ms = [], []
    for n in range(MEASURED):  # in turn, so that whatever disturbs the disk disturbs both
        floor_ms += each_ms(1, lambda _, n=n: floor(n))
        ours_ms += each_ms(1, lambda _, n=n: measure(n))
    told(f"reading typed, durable, judged (aim {AIM_RATIO:g}x)", floor_ms, ours_ms)


def inspection_assessed(folder: Path) -> None:
    """The demo's finished cylinder."""
    bench = Bench(folder / "demo")
    job, _ = record_file(checklists.shipped_folder("demo_data") / "linkspan_repair.toml", bench)
    loaded = bench.tables
    ours = each_ms(ASSESSED, lambda _: assess(job.as_found, loaded))
    readings = sum(len(r) for r in job.as_found.readings.values())
    print(
        f"inspection of {readings} readings assessed (aim {AIM_ASSESS_MS:g} ms): "
        f"p50 {statistics.median(ours):.2f} ms, min {min(ours):.2f} ms"
    )


def assessed_after_a_reading(folder: Path) -> None:
    """What a reading leaves to be judged of the demo's finished cylinder, beside all of it; one check after another."""
    bench = Bench(folder / "demo")
    (kept,) = bench.jobs()
    floor = each_ms(ASSESSED, lambda _: assess(kept.as_found, bench.tables))
    checks = [c for c in bench.tables.cylinders[kept.cylinder].checks if kept.as_found.readings.get(c.id)]
    bench.assess(kept)
    ours = []
    for check in checks:
        place, standing = next(iter(kept.as_found.readings[check.id].items()))
        kept = bench.measure(kept, check, place, standing.typed, "B", "metric", sure=True).job
        ours += each_ms(1, lambda _, job=kept: bench.assess(job))
    told("assessed after one more reading, beside all of it", floor, ours)
    print(f"assessed after one more reading (aim {AIM_AFTER_MS:g} ms): p50 {statistics.median(ours):.2f} ms")


def list_of_jobs(folder: Path) -> None:
    """What a list of jobs says of one, beside assessing it: the second time it is remembered."""
    bench = Bench(folder / "demo")
    (job,) = bench.jobs()
    floor = each_ms(ASSESSED, lambda _: assess(job.as_found, bench.tables))
    told("how a job stands, for a list", floor, each_ms(ASSESSED, lambda _: bench.progress(job)))


def main() -> None:
    """All five, in a folder given or thrown away."""
    reading_understood()
    with tempfile.TemporaryDirectory(dir=sys.argv[1] if len(sys.argv) > 1 else None) as folder:
        reading_typed_durable_judged(Path(folder))
        inspection_assessed(Path(folder))
        assessed_after_a_reading(Path(folder))
        list_of_jobs(Path(folder))


if __name__ == "__main__":
    main()
