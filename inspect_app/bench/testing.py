"""A logger's file on its way into a job: read, asked about, kept by its hash; and a readings file's [test].

[test]
[[test.reading]]       one reading of the hold by hand
minutes = "2:30"       from the start of the hold; pressure, temperature
[test.log]             or a logger's file beside this one
file = "hold.csv"
as = { "unit of pressure" = "bar" }   what it may be read as, where it says two things; the refusal lists them
hold_from = "18", hold_to = "28"      where in it the hold is, minutes; left out: all of it
What the test records beside these stands in [[step]] with id = "pressure-test".
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from inspect_app.bench.file_blocks import require_keys
from inspect_app.bench.seals_file import Recorder
from inspect_app.entries.job import Job
from inspect_app.entries.testing import HoldRead, LogTaken
from inspect_app.logbook.durable import make_folder, write_file
from inspect_app.logbook.store import not_saved
from inspect_app.trade.leakage.logged import Asked, Log, log_of, open_questions
from inspect_app.trade.leakage.logger_file import LoggerFile, logger_file, text_of
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.wording import either

READING_KEYS, LOG_KEYS = ("minutes", "pressure", "temperature"), ("file", "as", "hold_from", "hold_to")


@dataclass(frozen=True, slots=True)
class Shown:
    """A logger's file before it is taken: what it leaves open, or its readings once nothing is.

    `wrong` is the sentence where it cannot be used as it was read.
    """

    name: str
    raw: bytes
    file: LoggerFile
    asked: tuple[Asked, ...]
    log: Log | None
    wrong: str = ""


def look_into(name: str, raw: bytes, chosen: Mapping[str, str]) -> Shown:
    """A logger's file as it would be taken.

    Args:
        name: what the file is called.
        raw: its bytes.
        chosen: what was answered of what it leaves open.
    Raises:
        Refusal: it is no logger's file that can be read.
    """
    file = logger_file(text_of(raw))
    asked = open_questions(file, chosen)
    if asked:
        return Shown(name, raw, file, asked, None)
    try:
        return Shown(name, raw, file, (), log_of(file, chosen))
    except Refusal as refusal:
        return Shown(name, raw, file, (), None, str(refusal))


def taken(shown: Shown, hold_from: str, hold_to: str) -> LogTaken:
    """The entry of a file that was shown.

    Args:
        shown: the file.
        hold_from: from when the hold is in it, minutes as typed, "" for its beginning.
        hold_to: until when, "" for its end.
    Raises:
        Refusal: something of it is still open, or wrong.
    """
    if shown.log is None:
        raise Refusal(shown.wrong or f"Say first which it is: {shown.asked[0].about}.")
    sha256 = hashlib.sha256(shown.raw).hexdigest()
    log = shown.log
    return LogTaken(shown.name, sha256, log.read_as, log.points, log.gaps + log.same_time, hold_from, hold_to)


def log_file(folder: Path, sha256: str) -> Path:
    """Where a logger's file lies in a data folder.

    Args:
        folder: the data folder.
        sha256: its hash.
    """
    return folder / "logs" / f"{sha256}.csv"


def keep_log(folder: Path, raw: bytes) -> None:
    """Put a logger's file under its hash into the data folder, before an entry names it.

    Args:
        folder: the data folder.
        raw: the file.
    Raises:
        NotSaved: the disk refused.
    """
    kept = log_file(folder, hashlib.sha256(raw).hexdigest())
    try:
        make_folder(kept.parent)
        write_file(kept, raw)
    except OSError as e:
        raise not_saved("The log was", e) from e


def wrong_logs(folder: Path, job: Job) -> list[str]:
    """A sentence for every logger's file of a job that is gone, or is not what it was.

    Args:
        folder: the data folder.
        job: the job.
    """
    wrong = []
    for sha256, logged in job.tested.logs.items():
        file = log_file(folder, sha256)
        if not file.is_file():
            wrong.append(f"{job.name}: the log {logged.name} is gone from the folder logs.")
        elif hashlib.sha256(file.read_bytes()).hexdigest() != sha256:
            wrong.append(f"{job.name}: the log {logged.name} in the folder logs was changed.")
    return wrong


def record_test(path: Path, block: Mapping[str, Any], to: Recorder, folder: Path) -> None:
    """Record what a file says of a pressure test beside its step.

    Args:
        path: the file.
        block: its [test].
        to: who records it.
        folder: the data folder.
    Raises:
        Refusal: a key that is not known, or whatever cannot be entered.
    """
    require_keys(f"{path}: test", block, ("reading", "log"), tables=("log",), lists=("reading",))
    for reading in block.get("reading", ()):
        require_keys(f"{path}: test.reading", reading, READING_KEYS)
        to.enter("test.reading", HoldRead(*(str(reading.get(key, "")) for key in READING_KEYS)))
    if "log" not in block:
        return
    log = block["log"]
    require_keys(f"{path}: test.log", log, LOG_KEYS, tables=("as",))
    file = path.parent / str(log.get("file", ""))
    try:
        raw = file.read_bytes()
    except OSError:
        raise Refusal(f"{path}: test.log: the file {file} cannot be read.") from None
    try:
        shown = look_into(file.name, raw, {k: str(v) for k, v in log.get("as", {}).items()})
    except Refusal as refusal:
        raise Refusal(f"{path}: test.log: {refusal}") from None
    if shown.asked:
        open_ = "; ".join(f"{a.about}: {either(a.answers)}" for a in shown.asked)
        raise Refusal(f"{path}: test.log.as: say which it is. {open_}.")
    entry = taken(shown, str(log.get("hold_from", "")), str(log.get("hold_to", "")))
    keep_log(folder, raw)
    to.enter("test.log", entry)
