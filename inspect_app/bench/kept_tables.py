"""Keeps a copy of the tables every job was opened with, so that an old report can be made again word for word.

A copy is one file, a zip under the hashes of what is in it, whole on the disk before it has its name. What is in
it is hashed again when it judges for the first time and whenever the folder is verified: a copy that is not what
its name says is told by the jobs it was kept for, and never judges.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterable, Mapping
from io import BytesIO
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TypeVar
from zipfile import ZipFile, ZipInfo

from inspect_app import tables as checklists
from inspect_app.entries.job import Job
from inspect_app.logbook.durable import make_folder, write_file
from inspect_app.logbook.store import not_saved
from inspect_app.tables import Tables
from inspect_app.tables.alike import hashes
from inspect_app.tables.consequences import Consequences, load_consequences
from inspect_app.tables.faults import TableError
from inspect_app.tables.operations import Operations
from inspect_app.tables.rates import Rates, load_rates, rates_file
from inspect_app.tables.standards.handbook import Handbook, read_handbook
from inspect_app.trade.measuring.refusal import Refusal

Read = TypeVar("Read")
Key = tuple[str, str]
"""The hash of a cylinder's checklist, and that of everything else which judges."""


class KeptTables:
    """Today's tables, and the copies kept in a data folder by the hashes of their content.

    Args:
        folder: the data folder.
        shipped: the checklists folder of today.
    Raises:
        TableError: today's tables cannot be used.
    """

    def __init__(self, folder: Path, shipped: Path | None = None) -> None:
        self._kept_in = folder / "tables"
        self._shipped = shipped or checklists.shipped_folder()
        self._shop = folder / "limits"
        alone = shipped is None and not self._shop.is_dir()
        self.today = checklists.load_shipped() if alone else checklists.load(self._shipped, self._shop)
        self._loaded: dict[Key, Tables] = {}
        self._handbooks: dict[Key, Handbook] = {}
        self._proven: set[Key] = set()
        self._told: Consequences | None = None
        self._rates: dict[Path, tuple[bytes, Operations, Rates]] = {}

    def of(self, job: Job) -> Tables:
        """The tables that judge a job: today's, or the kept copy of those it was opened with.

        Raises:
            Refusal: when that copy is missing or damaged, or this version cannot read it.
        """
        key = _key(job)
        if key == self.hashes_today(job.cylinder):
            return self.today
        if key not in self._loaded:
            self._loaded[key] = self._read(
                job, lambda laid_out: checklists.load(laid_out / "checklists", laid_out / "limits")
            )
        return self._loaded[key]

    def handbook_of(self, job: Job) -> Handbook:
        """What is looked up for a job, such as housings and gaps: read from the files that judge it.

        Raises:
            Refusal: as `of`.
        """
        key = _key(job)
        if key not in self._handbooks:
            if _holds(checklists.contents(self._shipped, self._shop), key):
                self._handbooks[key] = read_handbook(self._shipped)
            else:
                self._handbooks[key] = self._read(
                    job, lambda laid_out: read_handbook(laid_out / "checklists")
                )
        return self._handbooks[key]

    def told(self) -> Consequences:
        """What a customer is told, in today's words: they judge nothing, and are kept with what was shown.

        Raises:
            TableError: the words cannot be used.
        """
        if self._told is None:
            cylinders, operations = self.today.cylinders.values(), self.today.operations
            self._told = load_consequences(self._shipped, cylinders, operations)
        return self._told

    def rates(self, shop: Path | None, operations: Operations) -> Rates:
        """What the shop charges. The file may change while the program runs: what it says now, the very one as long
        as it says the same.

        Args:
            shop: the data folder whose rates are taken; None takes the shipped example.
            operations: the operations that need a price.
        Raises:
            TableError: the rates cannot be used.
        """
        file = rates_file(self._shipped, shop)
        says = file.read_bytes() if file.is_file() else b""
        kept = self._rates.get(file)
        if kept is None or kept[0] != says or kept[1] is not operations:
            kept = says, operations, load_rates(self._shipped, shop, operations)
            self._rates[file] = kept
        return kept[2]

    def rates_now(self) -> str:
        """The hash of what the shop's rates say now, and of what the customer is told."""
        files = (rates_file(self._shipped, self._shop.parent), self._shipped / "consequences.toml")
        said = b"".join(hashlib.sha256(f.read_bytes()).digest() for f in files if f.is_file())
        return hashlib.sha256(said).hexdigest()

    def hashes_today(self, cylinder: str) -> Key:
        """The hashes of today's checklist of a cylinder and of today's limits; "" for a checklist that is gone."""
        chosen = self.today.cylinders.get(cylinder)
        return (chosen.content_hash if chosen else "", self.today.limits_hash)

    def keep(self, cylinder: str) -> dict[str, str]:
        """Keep a copy of today's tables; the body that names them in the log.

        Raises:
            Refusal: the files changed since they were read; what is kept must be what judges.
            NotSaved: the disk refused.
        """
        key = self.hashes_today(cylinder)
        file = self._file_of(key)
        if key not in self._proven or not file.is_file():
            if self._wrong_with(key, ""):
                files = checklists.contents(self._shipped, self._shop)
                if not _holds(files, key):
                    raise Refusal(
                        f"The limits in {self._shop} or {self._shipped} were changed while the program runs. "
                        "Stop it and start it again, then do it again."
                    )
                _store(file, _packed(files))
            self._proven.add(key)
        return {"cylinder": cylinder, "cylinder_hash": key[0], "limits_hash": key[1]}

    def wrong_with(self, jobs: Iterable[Job]) -> list[str]:
        """What is wrong with the copies kept for these jobs, a sentence for each copy."""
        whose: dict[Key, list[str]] = {}
        for job in jobs:
            whose.setdefault(_key(job), []).append(f"job {job.name}")
        found = [self._wrong_with(key, ", ".join(names)) for key, names in whose.items()]
        return [sentence for sentence in found if sentence]

    def _wrong_with(self, key: Key, whose: str) -> str:
        """Why a kept copy may not judge, as a sentence that names the jobs it was kept for, "" if it may."""
        file = self._file_of(key)
        if not file.is_file():
            return (
                f"The limits kept for {whose} are missing; bring {file.name} into {self._kept_in} "
                "from the device that opened it, or from a backup."
            )
        packed = file.read_bytes()
        try:
            if _holds(_unpacked(packed), key):
                return ""
        except Exception:  # a zip with any bit turned may raise anything
            pass
        return f"The limits kept for {whose} are damaged and judge nothing; restore {file} from a backup."

    def _read(self, job: Job, read: Callable[[Path], Read]) -> Read:
        """What is read from the copy kept for a job, laid out as files."""
        key, whose = _key(job), f"job {job.name}"
        if wrong := self._wrong_with(key, whose):
            raise Refusal(wrong)
        try:
            with (
                TemporaryDirectory() as laid_out
            ):  # outside the data folder, and no longer than reading takes
                with ZipFile(self._file_of(key)) as packed:
                    packed.extractall(laid_out)
                return read(Path(laid_out))
        except TableError as fault:
            raise Refusal(
                f"The limits kept for {whose} are whole, but this version of the program cannot read them; "
                f"use the one that opened it. ({fault})"
            ) from fault

    def _file_of(self, key: Key) -> Path:
        return self._kept_in / ("-".join(h[:12] for h in key) + ".zip")


def _key(job: Job) -> Key:
    return (job.cylinder_hash, job.limits_hash)


def _holds(files: Mapping[str, bytes], key: Key) -> bool:
    """Whether files are those of two hashes; of the checklists of cylinders the first names only one."""
    start = checklists.CYLINDERS
    cylinders = {name.removeprefix(start): files[name] for name in files if name.startswith(start)}
    return key[0] in hashes(cylinders).values() and checklists.content_hash(files) == key[1]


def _packed(files: Mapping[str, bytes]) -> bytes:
    """Files as one; not squeezed, so that the same files are the same bytes on every machine."""
    packed = BytesIO()
    with ZipFile(packed, "w") as writing:
        for name, content in files.items():
            writing.writestr(ZipInfo(name), content)
    return packed.getvalue()


def _unpacked(packed: bytes) -> dict[str, bytes]:
    with ZipFile(BytesIO(packed)) as reading:
        return {name: reading.read(name) for name in reading.namelist()}


def _store(file: Path, packed: bytes) -> None:
    try:
        make_folder(file.parent)
        write_file(file, packed)
    except OSError as e:
        raise not_saved("The limits of this job were", e) from e
