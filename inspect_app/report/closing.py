"""Reassembly and pressure test for the prompt and for other programs: plain lines and data."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from inspect_app.entries.job import Job
from inspect_app.job.assembling import joints_of
from inspect_app.job.testing import whole_test
from inspect_app.report.assembled import torque_words
from inspect_app.report.plain import columns
from inspect_app.report.tested import found_words
from inspect_app.tables import Tables


def closing_table(job: Job, tables: Tables, system: str) -> Iterator[str]:
    """Torques and the pressure test as lines; nothing before either was begun.

    Args:
        job: the job.
        tables: its tables.
        system: "metric" or "inch".
    """
    joints = [j for j in joints_of(job, tables) if j.target]
    if joints:
        yield from ("", "Torques")
        rows = [(j.joint.title, *torque_words(j, system), j.verdict.value) for j in joints]
        yield from (f"    {line}" for line in columns([("joint", "torque", "reached", "verdict"), *rows]))
        yield from (f"  - {s.words(system)}" for j in joints for s in j.says)
    test = whole_test(job, tables)
    if not test.begun:
        return
    yield from ("", f"Pressure test: {test.result.value}")
    yield from (f"  - {s.words(system)}" for s in test.why)
    trials = [
        (t.trial.title, found_words(t, system), t.result.value if t.result else "") for t in test.trials
    ]
    yield from (f"    {line}" for line in columns([("trial", "found", "result"), *trials]))


def closing_data(job: Job, tables: Tables) -> dict[str, Any]:
    """Torques (N·m) and the pressure test (MPa, ml/min) as data.

    Args:
        job: the job.
        tables: its tables.
    """
    test = whole_test(job, tables)
    pressures = test.pressures
    return {
        "torques": [
            {
                "joint": j.joint.id,
                "basis": j.target.basis,
                "least": j.range_nm.least_nm,
                "nominal": j.range_nm.nominal_nm,
                "greatest": j.range_nm.greatest_nm,
                "reached": str(j.reached.torque.value) if j.reached and j.reached.torque else None,
                "verdict": j.verdict.value,
                "says": [str(s) for s in j.says],
            }
            for j in joints_of(job, tables)
            if j.target and j.range_nm
        ],
        "test": {
            "result": test.result.value if test.begun else "",
            "why": [str(s) for s in test.why] if test.begun else [],
            "rated": None if pressures.rated is None else str(pressures.rated),
            "proof": None if pressures.proof is None else str(pressures.proof),
            "log": job.tested.log.sha256 if job.tested.log else "",
            "trials": [
                {
                    "trial": t.trial.id,
                    "done": t.done,
                    "result": t.result.value if t.result else "",
                    "leak": t.leak.ml_min if t.leak else None,
                    "expanded_uncertainty": t.leak.expanded_uncertainty_ml_min if t.leak else None,
                    "limit": None if t.limit is None else str(t.limit),
                    "says": [str(s) for s in t.says],
                }
                for t in test.trials
            ],
        },
    }
