"""Makes the demo jobs out of the readings files in demo_data/, and the report of each finished one."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator, Sequence
from datetime import UTC
from io import BytesIO
from pathlib import Path

from inspect_app.bench.bench import Bench
from inspect_app.bench.exchange import pack_job, read_job, take_in_job
from inspect_app.bench.issuing import issue_report, report_file
from inspect_app.bench.readings_file import noon_of, record_file
from inspect_app.bench.shop import HOUSE
from inspect_app.entries.job import Job
from inspect_app.report.plain import headlines
from inspect_app.tables import shipped_folder

KINDS = ("double_acting", "tie_rod", "ram", "telescopic", "double_rod", "telescopic_double_acting")
"""One job of each kind of cylinder, carried from receiving to release; by their days."""

FILES = ("tipper_half_done", "shear_replace", "linkspan_repair")
"""In the order they are recorded: the last stands first in the list of jobs, before those of KINDS."""

SHOP = {"name": "Example Cylinder Works", "address": "4 Example Quay, Example Town"}
"""Who issues the demo's reports."""


def make_demo(bench: Bench) -> Iterator[str]:
    """Record the demo jobs, write the reports, and say what was made, a line each.

    Args:
        bench: an open data folder.
    """
    for setting, value in SHOP.items():
        bench.set_setting(HOUSE, setting, value, "demo")
    folder = shipped_folder("demo_data")
    for job in _carried([folder / f"{name}.toml" for name in KINDS], bench):
        yield from _told(bench, job)
    for name in FILES:
        job, _ = record_file(folder / f"{name}.toml", bench)
        yield from _told(bench, job)


def _carried(paths: Sequence[Path], bench: Bench) -> Iterator[Job]:
    """Jobs recorded on the days of their files in a folder of their own, and each taken over in one step.

    Recorded here, each would wait for the disk some three hundred times.
    """
    with tempfile.TemporaryDirectory() as own:
        days = [noon_of(paths[0])]
        recording = Bench(Path(own), now=lambda: days[-1], throw_away=True, zone=UTC)
        for path in paths:
            days.append(noon_of(path))
            job, _ = record_file(path, recording)
            take_in_job(bench, read_job(BytesIO(pack_job(recording, job.id)), path.name))
            yield bench.job(job.id)
        recording.close()


def _told(bench: Bench, job: Job) -> Iterator[str]:
    """What is said of a job, its report made where it is finished."""
    assessment = bench.assess(job)
    *before, line = headlines(job, assessment)
    yield from before
    if assessment.left == 0:
        issued = issue_report(bench, job, "demo", job.units)
        line += f" Report: {report_file(bench, issued.sha256)}"
    yield line
