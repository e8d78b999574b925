"""The job, the readings file or the folder that a command is asked for; opened, or a sentence why not."""

from __future__ import annotations

import shutil
import signal
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import TYPE_CHECKING

import click
from platformdirs import user_data_path

from inspect_app.trade.measuring.refusal import Refusal

if TYPE_CHECKING:
    from inspect_app.bench.bench import Bench
    from inspect_app.entries.job import Job


def data_folder() -> Path:
    """Where the log and the photographs lie unless --data says otherwise."""
    return user_data_path("inspect-app", appauthor=False)


def installs_folder() -> Path:
    """Where this computer keeps which data folder is whose; in none of them, so that no copy takes it along."""
    return user_data_path("inspect-app-installs", appauthor=False)


@contextmanager
def kept_or_gone(data: Path | None) -> Iterator[Path]:
    """The folder named, or one that is removed however the program is asked to end."""
    if data:
        yield data
        return
    for name in ("SIGTERM", "SIGHUP"):
        if hasattr(signal, name):
            signal.signal(getattr(signal, name), lambda *_: sys.exit(0))
    folder = Path(tempfile.mkdtemp(prefix="inspect-demo-"))
    try:
        yield folder
    finally:
        shutil.rmtree(folder, ignore_errors=True)


@contextmanager
def job_or_file(wanted: str, data: Path | None, writing: bool = False) -> Iterator[tuple[Bench, Job, str]]:
    """A job of the logbook, only to be read unless said, or of a readings file, and the units it is written in."""
    if Path(wanted).suffix == ".toml":
        with of_file(Path(wanted), data) as (bench, job):
            yield bench, job, job.units
        return
    bench = bench_in(data or data_folder(), writing)
    job = job_named(bench, wanted)
    yield bench, job, job.units or "metric"
    bench.close()


@contextmanager
def of_file(file: Path, data: Path | None) -> Iterator[tuple[Bench, Job]]:
    """The job of a readings file in a folder that is gone afterwards; says every unlikely reading."""
    from inspect_app.bench.readings_file import bench_for, record_file

    with tempfile.TemporaryDirectory() as throw_away:
        bench = bench_for(file, Path(throw_away), shops(data))
        job, doubts = record_file(file, bench)
        say_unlikely(doubts)
        yield bench, job
        bench.close()


def shops(data: Path | None) -> Path:
    """The folder whose limits and gauges judge; a mistyped one would silently be a shop without any."""
    if data and not data.is_dir():
        raise Refusal(f"{data} is not there; give the shop's data folder with --data.")
    return data or data_folder()


def bench_in(folder: Path, writing: bool = False) -> Bench:
    """The bench of a folder that holds a logbook already, only to be read unless said; a mistyped one is not made.

    While another program writes into it, it can only be read, whatever is said.
    """
    from inspect_app.bench.bench import Bench
    from inspect_app.bench.holding import Held

    if not (folder / "logbook.db").is_file():
        raise Refusal(f"{folder} holds no logbook; give the folder of one with --data.")
    if writing:
        with suppress(Held):
            return Bench(folder, installs=installs_folder())
    return Bench(folder, reading=True)


MOST_NAMED = 20
"""So many jobs are told of where none was found, those touched last."""


def job_named(bench: Bench, wanted: str) -> Job:
    """A job by its id or its number."""
    lines = bench.logbook.lines
    named = lines.called(wanted)
    if len(named) != 1:
        known = ", ".join(line.name for line in lines.found("", "", MOST_NAMED)) or "none"
        known += ", ..." if lines.count() > MOST_NAMED else ""
        found = "no job" if not named else f"{len(named)} jobs"
        raise Refusal(f"{found} named {wanted!r} in {bench.folder}; there are: {known}.")
    return bench.job(named[0])


def say_unlikely(doubts: list[str]) -> None:
    for doubt in doubts:
        click.echo(f"Unlikely, taken as written: {doubt}", err=True)
