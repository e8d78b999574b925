"""The doors by which text and files come in, and how to spoil what is brought to them.

A door reads bytes and answers: it takes them, or refuses them in words. Anything else that it raises is a fault.
`test_hostile.py` spoils samples at random in every run; `python tests/fuzz.py DOOR` looks for longer, guided by
which lines of the program are reached.
"""

from __future__ import annotations

import re
import shutil
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cache
from io import BytesIO
from pathlib import Path

from inspect_app import tables
from inspect_app.bench.bench import Bench
from inspect_app.bench.exchange import pack_job, read_job, take_in_job
from inspect_app.bench.readings_file import bench_for, record_file
from inspect_app.bench.testing import look_into
from inspect_app.tables.faults import TableError
from inspect_app.tables.rates import load_rates
from inspect_app.trade.measuring import quantities
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.units import KINDS

SHEET = tables.shipped_folder("demo_data") / "sheet.toml"

ODD = (
    b"", b"-1", b"0", b"nan", b"-inf", b"1e400", b"1e-400", b"9" * 400, b"true", b'""', b'" "', b'"nan"', b'"1e999999"',
    b'"\\u0000"', b'"\\u202e"', b"[]", b"[[]]", b"{}", b"{ a = [] }", b"[{}]", b"9999-12-31", b"0001-01-01",
    b"1979-05-27T07:32:00Z", b'"12 in mm"', b'"1/0"', b'"-0"', b"[nan]", b'["", 3, {}]', b'"../../x"', b"\xff\xfe",
    b"'",
)  # fmt: skip
"""What nobody means by a value, as TOML and as bytes."""


@dataclass(frozen=True)
class Door:
    """What comes in by it, sound; what reads it; and what a refusal names."""

    samples: Callable[[], tuple[bytes, ...]]
    read: Callable[[bytes], object]
    names: str = ""

    def answer(self, raw: bytes) -> str:
        """The words it refuses with, "" where it takes what is brought; a fault of ours comes through."""
        try:
            self.read(raw)
        except (Refusal, TableError) as refused:
            return str(refused)
        return ""


@contextmanager
def _throw_away() -> Iterator[Path]:
    folder = Path(tempfile.mkdtemp(prefix="inspect-hostile-"))
    try:
        yield folder
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def _quantity(raw: bytes) -> None:
    kind, _, text = raw.decode("utf-8", "replace").partition("|")
    read = quantities.read(text, kind=kind if kind in KINDS else "length", system="inch")
    assert read.value.is_finite(), text


def _readings_file(raw: bytes) -> None:
    with _throw_away() as folder:
        file = folder / "sheet.toml"
        file.write_bytes(raw)
        (folder / "photos").symlink_to(SHEET.parent / "photos", target_is_directory=True)
        bench = bench_for(file, folder / "bench")
        record_file(file, bench)
        bench.close()


def _limits(raw: bytes) -> None:
    with _throw_away() as folder:
        (folder / "shop.toml").write_bytes(raw)
        tables.load(shop=folder)


def _checklists(raw: bytes) -> None:
    """The first line names the file."""
    name, _, content = raw.partition(b"\n")
    with _throw_away() as folder:
        shutil.copytree(tables.shipped_folder(), folder / "checklists")
        file = folder / "checklists" / name.removeprefix(b"# ").decode("ascii", "ignore").strip("/\0 .")
        (file if file.is_file() else folder / "checklists" / "limits" / "odd.toml").write_bytes(content)
        tables.load(folder / "checklists")


def _prices(raw: bytes) -> None:
    with _throw_away() as folder:
        (folder / "rates.toml").write_bytes(raw)
        load_rates(tables.shipped_folder(), folder, tables.load().operations)


def _job_file(raw: bytes) -> None:
    with _throw_away() as folder:
        bench = Bench(folder)
        try:
            take_in_job(bench, read_job(BytesIO(raw), "it"))
        except Refusal:
            assert not bench.logbook.jobs(), "half of it was taken in"
            raise
        finally:
            bench.close()


def _logger(raw: bytes) -> None:
    shown = look_into("hold.csv", raw, {})
    look_into("hold.csv", raw, {asked.about: asked.answers[0] for asked in shown.asked})


@cache
def _packed() -> tuple[bytes, ...]:
    with _throw_away() as folder:
        bench = bench_for(SHEET, folder)
        job, _ = record_file(SHEET, bench)
        packed = pack_job(bench, job.id)
        bench.close()
    return (packed,)


def _shipped(*patterns: str) -> tuple[bytes, ...]:
    top = tables.shipped_folder()
    files = [file for pattern in patterns for file in sorted(top.glob(pattern))]
    return tuple(b"# " + str(file.relative_to(top)).encode() + b"\n" + file.read_bytes() for file in files)


SHOPS_LIMIT = b"""[source.shop-handbook]
title = "Our shop handbook"
where = "page 12"
status = "read"
kind = "shop policy"

[[limit]]
id = "our-rod-runout"
check = "rod-runout"
characteristic = "tir"
level = "reuse"
rule = { per_length = 0.3, of = "support_span" }
source = "shop-handbook"
beyond = "rework"
cure = "straighten"
"""
LOGGED = (
    b"Hold\r\nTime;Pressure (bar);Oil (\xb0C)\r\n10:00:00;250,4;41,2\r\n10:00:30;249,9;41,1\r\n10:01:00;249,5;41,1\r\n",
    b"elapsed s,p MPa\n0,25.1\n30,25.0\n60,25.0\n90,24.9\n",
)

DOORS = {
    "quantity": Door(
        lambda: (
            b"length|63.47 mm",
            b"length|2 1/2 in",
            b"torque|450 lbf\xc2\xb7ft",
            b"pressure|3600 psi",
            b"mass|1,5 t",
        ),
        _quantity,
    ),
    "readings-file": Door(lambda: (SHEET.read_bytes(),), _readings_file, "sheet.toml"),
    "limits": Door(lambda: (SHOPS_LIMIT,), _limits, "shop.toml"),
    "checklists": Door(
        lambda: _shipped("*.toml", "cylinders/*.toml", "limits/*.toml", "sources/*.toml"), _checklists
    ),
    "prices": Door(lambda: ((tables.shipped_folder() / "rates.toml").read_bytes(),), _prices, "rates.toml"),
    "job-file": Door(_packed, _job_file),
    "logger": Door(lambda: LOGGED, _logger),
}


def spoiled(sample: bytes, edits: list[tuple[int, int, int]]) -> bytes:
    """A sample with some of it exchanged.

    Args:
        sample: sound bytes.
        edits: for each change which kind, where, and with what; any numbers.
    """
    for how, where, what in edits:
        odd = ODD[what % len(ODD)]
        values = list(re.finditer(rb"(?<== ).*$|(?<=[;,|]).*?(?=[;,\r\n])", sample, re.MULTILINE))
        at = where % (len(sample) + 1)
        if how % 4 == 0 and values:
            found = values[where % len(values)]
            sample = sample[: found.start()] + odd + sample[found.end() :]
        elif how % 4 == 1:
            sample = sample[:at] + odd + sample[at:]
        elif how % 4 == 2:
            sample = sample[:at] + sample[at + 1 + what % 200 :]
        else:
            sample = sample[:at] + bytes([what % 256]) + sample[at + 1 :]
    return sample
