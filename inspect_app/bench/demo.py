"""Makes the demo jobs out of the readings files in demo_data/, and the report of each finished one."""

from __future__ import annotations

from collections.abc import Iterator

from inspect_app.bench.bench import Bench
from inspect_app.bench.issuing import issue_report, report_file
from inspect_app.bench.readings_file import record_file
from inspect_app.bench.shop import HOUSE
from inspect_app.report.plain import headlines
from inspect_app.tables import shipped_folder

FILES = ("tipper_half_done.toml", "shear_replace.toml", "linkspan_repair.toml")
"""In the order they are recorded: the last stands first in the list of jobs."""

SHOP = {"name": "Example Cylinder Works", "address": "4 Example Quay, Example Town"}
"""Who issues the demo's reports."""


def make_demo(bench: Bench) -> Iterator[str]:
    """Record the demo jobs, write the reports, and say what was made, a line each.

    Args:
        bench: an open data folder.
    """
    for setting, value in SHOP.items():
        bench.set_setting(HOUSE, setting, value, "demo")
    for name in FILES:
        job, _ = record_file(shipped_folder("demo_data") / name, bench)
        assessment = bench.assess(job)
        *before, line = headlines(job, assessment)
        yield from before
        if assessment.left == 0:
            system = "metric" if name != FILES[0] else "inch"
            issued = issue_report(bench, job, "demo", system)
            line += f" Report: {report_file(bench, issued.sha256)}"
        yield line
