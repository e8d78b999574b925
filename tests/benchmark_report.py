"""Times a report of 20 pages with 40 photographs against reading and writing the photographs' bytes.

Run: python tests/benchmark_report.py [rounds]
"""

from __future__ import annotations

import resource
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from random import Random

import pymupdf
from jobs_for_reports import HEAD, worn_cylinder
from PIL import Image

from inspect_app import tables as checklists
from inspect_app.entries.job import Job, Photo
from inspect_app.job.assess import assess
from inspect_app.logbook.photos import path, take_in
from inspect_app.paper.blocks import Report
from inspect_app.paper.pdf import pdf
from inspect_app.report.content import content

PHOTOS, AIM, AIM_SIZE = 40, 4.0, 1.02


def photographs(folder: Path) -> list[Photo]:
    """Forty photographs of 2000 x 1500, as kept of a 12-megapixel camera; noise on shapes compresses like real."""
    from io import BytesIO

    stored = []
    for n in range(PHOTOS):
        small = Image.frombytes("RGB", (40, 30), Random(n).randbytes(40 * 30 * 3))
        image = Image.blend(
            small.resize((2000, 1500)), Image.effect_noise((2000, 1500), 60).convert("RGB"), 0.07
        )
        file = BytesIO()
        image.save(file, "JPEG", quality=92)
        kept = take_in(file.getvalue(), folder=folder)
        stored.append(
            Photo(
                str(n),
                kept.sha256,
                "",
                2000,
                1500,
                "2026-03-02T09:10:00",
                "",
                f"Photograph {n}",
                str(n + 1),
                "",
                "KM",
            )
        )
    return stored


def with_photos(job: Job, photos: list[Photo]) -> Job:
    """The job with its photographs at a defect, a check and the job itself."""
    of = [job.as_found.defects[0].id, "bore-diameter", "01f0-job"]
    return replace(job, photos=tuple(replace(p, of=of[n % 3]) for n, p in enumerate(photos)))


def best(action: Callable[[], object], rounds: int) -> tuple[float, float]:
    """Least and median time, ms."""
    times = []
    for _ in range(rounds):
        start = time.perf_counter()
        action()
        times.append((time.perf_counter() - start) * 1000)
    return min(times), sorted(times)[len(times) // 2]


def main(rounds: int) -> None:
    """Print the times, the ratios and what was aimed at."""
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place) / "photos"
        photos = photographs(folder)
        files = [path(p.sha256, folder) for p in photos]
        photo_bytes = sum(f.stat().st_size for f in files)
        tables = checklists.load()
        job = with_photos(worn_cylinder(tables), photos)
        out = Path(place) / "out"

        def floor() -> None:
            out.write_bytes(b"".join(f.read_bytes() for f in files))

        def say() -> Report:
            cylinder = tables.cylinders[job.cylinder]
            return content(job, assess(job.as_found, tables), tables, cylinder, "metric", head=HEAD)

        def draw(said: Report) -> None:
            out.write_bytes(pdf(said, lambda sha256: path(sha256, folder)))

        def report() -> None:
            draw(say())

        before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
        floor()
        report()
        made = out.read_bytes()
        report()
        same = made == out.read_bytes()
        pages = len(pymupdf.open(stream=made))
        said = say()
        floor_ms, report_ms = best(floor, rounds), best(report, rounds)
        draw_ms = best(lambda: draw(said), rounds)
        rose = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before
    print(
        f"{pages} pages, {PHOTOS} photographs of {photo_bytes / 1e6:.1f} MB, {rounds} rounds (least / median)"
    )
    print(f"read and write the photographs   {floor_ms[0]:6.1f} / {floor_ms[1]:6.1f} ms")
    for what, ms in (("draw the report", draw_ms), ("assess, say and draw it", report_ms)):
        ratios = f"{ms[0] / floor_ms[0]:.2f} / {ms[1] / floor_ms[1]:.2f}"
        print(f"{what:32} {ms[0]:6.1f} / {ms[1]:6.1f} ms, {ratios} times that (aim {AIM})")
    print(f"file {len(made) / photo_bytes:.4f} of the photographs' bytes (aim {AIM_SIZE})")
    print(f"memory rose by {rose / 1024:.0f} MB; same bytes twice: {'yes' if same else 'NO'}")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 9)
