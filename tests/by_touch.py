"""What a thumb does on the steps of a job, for the tests that have a browser: cautions, a logger's file, letting go."""

from __future__ import annotations

import io
from pathlib import Path

import pymupdf
from phone import Phone

from inspect_app.bench.bench import Bench
from inspect_app.entries.job import Job
from inspect_app.entries.opening import Nameplate
from inspect_app.entries.stepping import RecordNoted, StepDone

LOG = "Test stand;3;\nt [min];pressure;T oil [°C]\n" + "".join(
    f"{n};{210 - 0.1 * n:.1f};40.0\n" for n in range(21)
)
PLATE = {"bore": "100 mm", "rod": "56 mm", "stroke": "800 mm", "rated_pressure": "210 bar"}
SET_UP = {"closed-oil": "2 l", "gauge-step": "0.2 bar", "thermometer-step": "0.1", "limit": "table"}


def job_to_test(bench: Bench) -> Job:
    """A job with nothing left but its pressure test and its release."""
    job = bench.open_job("J-80 press", "KM")
    over = (s for s in bench.tables_of(job).steps if s not in ("pressure-test", "release"))
    for typed in (
        Nameplate(PLATE),
        *(RecordNoted("pressure-test", name, text) for name, text in SET_UP.items()),
        *(StepDone(step, "closed", "by hand, on paper") for step in over),
    ):
        outcome = bench.enter(bench.job(job.id), typed, "KM", "metric")
        assert not outcome.remark, str(outcome.remark)
    return job


def confirm(phone: Phone, how_many: int) -> None:
    """Read and confirm the cautions that stand before a step's work, one by one."""
    for confirmed in range(1, how_many + 1):
        phone.tap("Read and understood")
        left = how_many - confirmed
        if left:
            phone.wait_for(f"{left} {'is' if left == 1 else 'are'} not confirmed")
        else:
            phone.wait_until_gone("The cautions come first")


def text_of(pdf: bytes) -> str:
    """The text of a document with every run of blanks as one."""
    with pymupdf.open(stream=io.BytesIO(pdf), filetype="pdf") as document:
        return " ".join(" ".join(page.get_text() for page in document).split())


def take_the_log(phone: Phone, folder: Path) -> None:
    """A logger's file from the phone, asked about once, held against the limit."""
    file = folder / "hold.csv"
    file.write_text(LOG, encoding="utf-8")
    phone.photograph("Choose a file", file)
    phone.wait_for("Unit of pressure?")
    phone.tap("bar")
    phone.tap("Take this log")
    # 2000 ml / 1400 MPa x 0.01 MPa/min = 0.0143 ml/min against the 0.20 of bore 100
    phone.wait_for("hold.csv: 21 readings, taken by")
    phone.wait_for("Result: pass")


def let_it_go(phone: Phone) -> None:
    """Who took it, and how it is closed."""
    phone.type("Taken by", "H. Aalto")
    for answer in ("in every port", "in, and tied", "drained"):
        phone.tap(answer)
