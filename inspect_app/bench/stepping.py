"""What the steps of a job are held against, and what a readings file says of them.

[[step]]             in the order it was done
id = "receiving"     a step of steps.toml
did = "closed"       started, stopped, closed, skipped or opened; left out where something is recorded only
reason = "..."       for what was skipped, opened again, or closed with something missing
records = { look = "milky", volume = "6.3 l" }, by the ids of steps.toml; nameplate = { mass = "80 kg" }
photos = { "side-1" = "rod_score.jpg" }, beside the file
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Protocol

from inspect_app.bench.file_blocks import require_keys
from inspect_app.bench.seals_file import Recorder
from inspect_app.bench.visits import Folder, history_told
from inspect_app.entries.job import Job
from inspect_app.entries.opening import Nameplate
from inspect_app.entries.stepping import RecordNoted, StepDone
from inspect_app.job.seals.standing import Standing
from inspect_app.job.steps import Facts

KEYS = ("id", "did", "reason", "records", "nameplate", "photos")


class Judging(Folder, Protocol):
    """Whoever judges a job: the bench."""

    def seals(self, job: Job) -> Sequence[Standing]: ...


def facts_of(bench: Judging, job: Job) -> Facts:
    """What the steps of a job are held against.

    Args:
        bench: who judges it.
        job: the job.
    """
    return Facts(
        job,
        bench.tables_of(job),
        assessment=lambda: bench.assess(job),
        parts=lambda: bench.parts_now(job),
        seals=lambda: bench.seals(job),
        earlier=lambda: history_told(bench, job),
    )


def photo_of(step: str, record: str) -> str:
    """What a photograph recorded in a step is said to be of.

    Args:
        step: the step's id.
        record: the record's id.
    """
    return f"step {step}, {record}"


def record_steps(path: str, blocks: Sequence[Mapping[str, Any]], to: Recorder) -> None:
    """Record what a file says of the steps.

    Args:
        path: the file, for the sentences.
        blocks: its [[step]].
        to: who records it.
    Raises:
        Refusal: a key that is not known, or whatever cannot be entered.
    """
    for block in blocks:
        step = str(block.get("id", ""))
        where = f"step {step}"
        require_keys(f"{path}: {where}", block, KEYS, tables=("records", "nameplate", "photos"))
        if plate := block.get("nameplate"):
            to.enter(where, Nameplate({name: str(text) for name, text in plate.items()}))
        for record, text in block.get("records", {}).items():
            to.enter(f"{where}, {record}", RecordNoted(step, record, str(text)))
        for record, name in block.get("photos", {}).items():
            to.photograph(where, photo_of(step, record), str(name))
        if "did" in block:
            to.enter(where, StepDone(step, str(block["did"]), str(block.get("reason", ""))))
