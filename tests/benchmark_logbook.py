"""What saving a reading and taking in a photograph cost, each against its floor in the same run.

Run it with `python tests/benchmark_logbook.py [FOLDER]`, the folder being on the disk to measure; it is
not a test, and needs Linux for the memory. The floor is what the disk and the
libraries need at the least: one insert into a bare SQLite file of the same durability; one decoding
at the smallest sufficient scale, one encoding, one write and one fsync.
"""

from __future__ import annotations

import os
import sqlite3
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from io import BytesIO
from itertools import count
from pathlib import Path

from PIL import Image

from inspect_app.entries.entry import Entry, body_text, chained, uuid7
from inspect_app.logbook import photos
from inspect_app.logbook.store import COLUMNS, Logbook

JOB = uuid7(1_772_000_000_000, bytes(10))
DEVICE = uuid7(1_771_000_000_000, bytes(10))
ROUNDS, EACH, BEFORE = 12, 100, 2_000


def readings() -> Iterator[Entry]:
    """Readings of one rod, a second apart."""
    for n in count():
        ms = 1_772_000_000_000 + 1000 * n
        at = time.strftime("%Y-%m-%dT%H:%M:%S.000Z", time.gmtime(ms // 1000))
        body = {"check": "rod_diameter", "station": f"{n % 40 * 50}", "clock": "3", "typed": "89.93"}
        body |= {"value": "89.93", "step": "0.01", "gauge": "0198a3c2-77aa-7b1e-9d52-0c5f3e8d21aa"}
        yield Entry(uuid7(ms, os.urandom(10)), JOB, DEVICE, at, "AB", "reading", body)


def bare_log(path: Path) -> sqlite3.Connection:
    """A file as durable as the logbook with the same columns, a key and one index, and nothing else."""
    bare = sqlite3.connect(path, isolation_level=None)
    bare.execute("PRAGMA journal_mode = WAL")
    bare.execute("PRAGMA synchronous = FULL")
    bare.execute(f"CREATE TABLE entries (id TEXT PRIMARY KEY, {', '.join(c + ' TEXT' for c in COLUMNS[1:])})")
    bare.execute("CREATE INDEX by_job ON entries (job)")
    return bare


def timed_us(step: Callable[[], object]) -> float:
    """How long one step takes, in microseconds."""
    start = time.perf_counter_ns()
    step()
    return (time.perf_counter_ns() - start) / 1000


def benchmark_append(folder: Path) -> None:
    """Prints the cost of one saved reading against a bare durable insert of the same row."""
    insert = f"INSERT INTO entries VALUES ({', '.join('?' * len(COLUMNS))})"
    bare, log, entries = bare_log(folder / "bare.db"), Logbook(folder / "log.db", DEVICE), readings()

    def row(entry: Entry) -> tuple[str, ...]:
        body = body_text(entry.body)
        fields = (entry.id, entry.job, entry.device, entry.at, entry.by, entry.kind, body)
        return (*fields, "0" * 64, chained("0" * 64, entry, body))

    bare.execute("BEGIN")
    bare.executemany(insert, [row(next(entries)) for _ in range(BEFORE)])
    bare.execute("COMMIT")
    log.append_all(next(entries) for _ in range(BEFORE))
    floor_us: list[float] = []
    ours_us: list[float] = []
    for _ in range(ROUNDS):
        rows = [row(next(entries)) for _ in range(EACH)]
        floor_us += [timed_us(lambda r=r: bare.execute(insert, r)) for r in rows]
        ours_us += [timed_us(lambda: log.append(next(entries))) for _ in range(EACH)]
    print_ratio("append one reading", floor_us, ours_us, "us")
    opened = time.perf_counter()
    shown = log.entries(JOB)
    print(f"  read a job of {len(shown)} entries: {1000 * (time.perf_counter() - opened):.1f} ms")
    bare.close()
    log.close()


def photograph() -> bytes:
    """Twelve million pixels of turned steel: shading, tool marks and the noise of a small sensor."""
    import numpy as np

    y, x = np.mgrid[0:3000, 0:4000]
    grey = 110 + 60 * np.sin(x / 900) + 25 * np.sin(y / 3) * np.cos(x / 170) + 30 * (x // 97 % 2)
    noise = np.random.default_rng(1).normal(0, 7, (3000, 4000, 3))
    pixels = np.clip(grey[..., None] * (1.0, 0.97, 0.92) + noise, 0, 255).astype("uint8")
    file = BytesIO()
    Image.fromarray(pixels).save(file, "JPEG", quality=88)
    return file.getvalue()


def least_intake(data: bytes, file: Path) -> None:
    """Decode at half scale, encode, write, fsync."""
    image = Image.open(BytesIO(data))
    image.draft("RGB", (1600, 1200))
    image.load()
    jpeg = BytesIO()
    image.save(jpeg, "JPEG", quality=85)
    with file.open("wb") as f:
        f.write(jpeg.getbuffer())
        f.flush()
        os.fsync(f.fileno())


PEAK = """
import sys
from pathlib import Path
from inspect_app.logbook import photos
def most_kb():  # of this process alone; ru_maxrss would count its parent's
    return int(Path("/proc/self/status").read_text().split("VmHWM:")[1].split()[0])
folder, data = Path(sys.argv[1]), Path(sys.argv[2]).read_bytes()
from PIL import Image
Image.new("RGB", (64, 64)).save(folder / "small.jpg")
photos.take_in((folder / "small.jpg").read_bytes(), folder=folder / "peak")
before = most_kb()
photos.take_in(data, folder=folder / "peak")
print((most_kb() - before) / 1024)
"""


def benchmark_photo(folder: Path) -> None:
    """Prints the cost of one photograph taken in, against the least it takes, and its peak memory."""
    data = photograph()
    (folder / "camera.jpg").write_bytes(data)
    floor_ms: list[float] = []
    ours_ms: list[float] = []
    for n in range(15):
        floor_ms.append(timed_us(lambda n=n: least_intake(data, folder / f"{n}.jpg")) / 1000)
        ours_ms.append(timed_us(lambda n=n: photos.take_in(data, folder=folder / f"photos{n}")) / 1000)
    print_ratio(f"take in a photograph of 4000 x 3000, {len(data) / 1e6:.1f} MB", floor_ms, ours_ms, "ms")
    command = [sys.executable, "-c", PEAK, str(folder), str(folder / "camera.jpg")]
    here = {**os.environ, "PYTHONPATH": str(Path(__file__).parent.parent)}
    print(f"  peak memory beyond the file itself: {float(subprocess.check_output(command, env=here)):.1f} MB")


def print_ratio(what: str, floor: list[float], ours: list[float], unit: str) -> None:
    """One block: both at their best, in the middle and at the slow end, and the ratios."""
    print(what)
    for name, times in (("floor", floor), ("ours", ours)):
        slow = sorted(times)[int(len(times) * 0.99)]
        print(
            f"  {name:6} min {min(times):8.1f}  p50 {statistics.median(times):8.1f}  p99 {slow:8.1f} {unit}"
        )
    middle = statistics.median(ours) / statistics.median(floor)
    print(f"  ratio  min {min(ours) / min(floor):8.2f}  p50 {middle:8.2f}")


if __name__ == "__main__":
    with tempfile.TemporaryDirectory(dir=sys.argv[1] if len(sys.argv) > 1 else None) as scratch:
        benchmark_append(Path(scratch))
        benchmark_photo(Path(scratch))
