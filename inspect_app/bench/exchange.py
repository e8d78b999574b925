"""One job as one file, out of one data folder and into another; what comes from elsewhere is believed in nothing.

The file is a zip: `manifest.json` names every other file in it with its SHA-256; `entries.jsonl` holds the job's
entries, a JSON object a line, with the links of their chains; `photos/`, `reports/`, `logs/` and `tables/` hold
the files as they lie in a data folder, each under its hash. Files go in before the entries that name them, and the
entries in one step, so that a file which is refused leaves nothing behind, and one that is taken in twice changes
nothing.
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from typing import IO, Any
from zipfile import ZIP_STORED, ZipFile, ZipInfo

from inspect_app.bench.bench import Bench
from inspect_app.entries.entry import SHOP, Entry
from inspect_app.entries.job import Job
from inspect_app.logbook.chains import Row, continuation, named_row
from inspect_app.logbook.durable import make_folders, write_file
from inspect_app.logbook.photos import refuse_unsound
from inspect_app.logbook.store import not_saved
from inspect_app.logbook.taking_over import by_chain
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.wording import counted

FORM = "inspect job 1"
MANIFEST, ENTRIES = "manifest.json", "entries.jsonl"
MOST_FILES, MOST_BYTES, MOST_OF_ONE, MOST_ENTRIES = 5_000, 1_000_000_000, 100_000_000, 200_000
"""A job of a year has some hundred photographs and some thousand entries."""
KNOWN = re.compile(
    r"photos/(?P<two>[0-9a-f]{2})/(?P<photo>(?P=two)[0-9a-f]{62})(\.thumb)?\.jpg"
    r"|reports/(?P<report>[0-9a-f]{64})\.pdf|logs/(?P<log>[0-9a-f]{64})\.csv"
    r"|tables/(?P<tables>[0-9a-f]{12}-[0-9a-f]{12})\.zip"
)
NAMING = ("photo", "report", "test-log", "job", "tables")
"""The kinds of entry that name a file."""
NO_JOB = "{} is no job of this program, or was cut off on the way; send it again. Nothing was taken in."


@dataclass(frozen=True, slots=True)
class Carried:
    """A job's file, read and found whole: the job, its name, its entries, and what lies beside them."""

    job: str
    name: str
    rows: tuple[Row, ...]
    files: Mapping[str, bytes]


def pack_job(bench: Bench, job_id: str, leaving: Collection[str] = ()) -> bytes:
    """Everything that belongs to a job, as one file; the same job gives the same bytes.

    Args:
        bench: the open data folder.
        job_id: the job.
        leaving: the files that whoever it goes to has already.
    """
    rows = bench.logbook.rows(job_id)
    lines = "".join(json.dumps(row._asdict(), ensure_ascii=False) + "\n" for row in sorted(rows))
    named = {
        name: file for name, file in named_by(bench, bench.logbook.entries(job_id)) if name not in leaving
    }
    files = {name: file.read_bytes() for name, file in named.items() if file.is_file()}
    files[ENTRIES] = lines.encode()
    head = bench.logbook.head(job_id)
    manifest = {
        "form": FORM,
        "job": job_id,
        "name": bench.job(job_id).name,
        "entries": head.entries,
        "fingerprint": head.hash,
        "files": {name: hashlib.sha256(content).hexdigest() for name, content in sorted(files.items())},
    }
    packed = BytesIO()
    with ZipFile(packed, "w", ZIP_STORED) as writing:
        writing.writestr(ZipInfo(MANIFEST), json.dumps(manifest, indent=1, ensure_ascii=False))
        for name, content in sorted(files.items()):
            writing.writestr(ZipInfo(name), content)
    return packed.getvalue()


def named_by(bench: Bench, entries: Iterable[Entry]) -> Iterator[tuple[str, Path]]:
    """The files that entries name: what each is called in any data folder, and where it lies in this one, if it does.

    Args:
        bench: the open data folder.
        entries: of any jobs.
    """
    for entry in entries:
        sha256, names = str(entry.body.get("sha256")), list[str]()
        if entry.kind == "photo":
            names = [f"photos/{sha256[:2]}/{sha256}{ending}" for ending in (".jpg", ".thumb.jpg")]
        elif entry.kind == "report":
            names = [f"reports/{sha256}.pdf"]
        elif entry.kind == "test-log":
            names = [f"logs/{sha256}.csv"]
        elif entry.kind in ("job", "tables"):
            keys = (str(entry.body.get("cylinder_hash")), str(entry.body.get("limits_hash")))
            names = [f"tables/{keys[0][:12]}-{keys[1][:12]}.zip"]
        yield from ((name, bench.folder / name) for name in names if KNOWN.fullmatch(name))


def read_job(file: IO[bytes], called: str) -> Carried:
    """A job's file, if it is whole and nothing in it is other than it says.

    Args:
        file: open to it.
        called: its name, for the sentences.
    Raises:
        Refusal: it is none, not whole, too large, or names what it may not.
    """
    try:
        with ZipFile(file) as packed:
            _refuse_unseen(packed, called)
            manifest = _manifest(json.loads(packed.read(MANIFEST)), called)
            names = {*packed.namelist()} - {MANIFEST}
            if names != {*manifest["files"]} or ENTRIES not in names:
                raise Refusal(NO_JOB.format(called))
            files = {name: packed.read(name) for name in sorted(names)}
        for name, content in files.items():
            if hashlib.sha256(content).hexdigest() != manifest["files"][name] or not is_named(name, content):
                raise Refusal(f"{called} arrived changed at {name}; send it again. Nothing was taken in.")
        rows = _rows(files.pop(ENTRIES), manifest["job"], called)
    except Refusal:
        raise
    except Exception as e:  # bytes from elsewhere may raise anything, as with photographs
        raise Refusal(NO_JOB.format(called)) from e
    return Carried(manifest["job"], manifest["name"], rows, files)


def _refuse_unseen(packed: ZipFile, called: str) -> None:
    """What can be refused before anything is unpacked."""
    entries = packed.infolist()
    if len(entries) > MOST_FILES or sum(e.file_size for e in entries) > MOST_BYTES:
        raise Refusal(f"{called} is too large for one job. Nothing was taken in.")
    for entry in entries:
        name = entry.filename[:80]
        # nothing is squeezed, so that nothing swells when it is unpacked
        swells = entry.compress_type != ZIP_STORED or entry.file_size != entry.compress_size
        if swells or entry.file_size > MOST_OF_ONE:
            raise Refusal(
                f"{called} holds a file that swells or is too large ({name!r}). Nothing was taken in."
            )
        if entry.filename not in (MANIFEST, ENTRIES) and not KNOWN.fullmatch(entry.filename):
            raise Refusal(f"{called} names a file that belongs to no job ({name!r}). Nothing was taken in.")
    if len({e.filename for e in entries}) != len(entries):
        raise Refusal(f"{called} holds a file twice. Nothing was taken in.")


def _manifest(said: Any, called: str) -> Any:
    if (
        isinstance(said, dict)
        and str(said.get("form", "")).startswith("inspect job ")
        and said["form"] != FORM
    ):
        raise Refusal(
            f"{called} is of a newer version of this program; update this one. Nothing was taken in."
        )
    texts = isinstance(said, dict) and all(isinstance(said.get(key), str) for key in ("form", "job", "name"))
    if not texts or not isinstance(said.get("files"), dict):
        raise Refusal(NO_JOB.format(called))
    return said


def is_named(name: str, content: bytes) -> bool:
    """Whether a file is what its name says, and can be read without harm; kept limits prove themselves when read.

    Args:
        name: what it is called in a data folder.
        content: what is in it.
    Raises:
        Exception: of any kind, for bytes that are no picture or no zip.
    """
    found = KNOWN.fullmatch(name)
    if found is None:
        return True
    if found["tables"]:
        with ZipFile(BytesIO(content)) as tables:
            return all(
                e.compress_type == ZIP_STORED and e.file_size == e.compress_size for e in tables.infolist()
            )
    if name.startswith("photos/"):
        refuse_unsound(content)
    wanted = found["report"] or found["log"] or found["photo"]
    return name.endswith(".thumb.jpg") or hashlib.sha256(content).hexdigest() == wanted


def _rows(lines: bytes, job: str, called: str) -> tuple[Row, ...]:
    if lines.count(b"\n") > MOST_ENTRIES:
        raise Refusal(f"{called} holds more entries than a job can have. Nothing was taken in.")
    rows = tuple(Row(**json.loads(line)) for line in lines.decode().splitlines())
    if not rows or not all(isinstance(value, str) for row in rows for value in row):
        raise Refusal(NO_JOB.format(called))
    if job == SHOP or any(row.job != job for row in rows):
        raise Refusal(f"{called} holds entries of another job than it says. Nothing was taken in.")
    return rows


def take_in_job(bench: Bench, carried: Carried) -> list[str]:
    """Lay a carried job down here; what stands here already stays.

    Args:
        bench: the open data folder.
        carried: the job's file, read.
    Returns: what came, and of which chains entries are kept aside and why, a sentence each.
    Raises:
        Refusal: none of its entries can stand here; nothing was taken in.
        NotSaved: the disk refused; no entry was taken in.
    """
    bench.allows(None, carried.job, [("job", {})])  # as much somebody's as opening one
    _refuse_if_nothing_can_stand(bench, carried)
    lay_down(bench, carried.files)
    taken = bench.logbook.take_over(carried.rows)
    bench.forget(carried.job)
    known = len(carried.rows) - taken.new
    came = (
        f"{counted(taken.new, 'entry is', 'entries are')} new, {known} stood here already or are kept aside."
    )
    return [f"{carried.name}: {came}", *taken.refused]


def lay_down(bench: Bench, files: Mapping[str, bytes]) -> None:
    """Write files that came from elsewhere to where they lie in this folder.

    Args:
        bench: the open data folder.
        files: by their names, each as `is_named` wants it.
    Raises:
        NotSaved: the disk refused.
    """
    try:
        for name, content in files.items():
            file = bench.folder / name
            # a photograph, report or log was proven by its name: it mends a damaged one; the others stay as they are
            if file.is_file() and (name.endswith(".thumb.jpg") or name.startswith("tables/")):
                continue
            make_folders(file.parent)
            write_file(file, content)
    except OSError as e:
        raise not_saved("The job was", e) from e


def remarks(bench: Bench, job: Job) -> tuple[str, ...]:
    """What whoever works on a job should know of how its entries came here: some kept aside, or of two branches.

    Args:
        bench: the open data folder.
        job: the job.
    """
    return bench.remembered.of(
        job, bench.tables_of(job), "remarks", lambda: tuple(bench.logbook.remarks(job.id))
    )


def _refuse_if_nothing_can_stand(bench: Bench, carried: Carried) -> None:
    """A file of which not one entry stands here or can is none of ours: nothing of it is kept, not even aside."""
    standing: dict[str, list[tuple[str, str, str]]] = {}
    for row in bench.logbook.rows(carried.job):
        standing.setdefault(row.device, []).append((row.id, row.hash, row.at))
    reasons: list[str] = []
    for (_, device), came in by_chain(carried.rows).items():
        found = continuation(standing.get(device, ()), came)
        if len(found.aside) < len(set(came)):
            return
        row, reason = found.aside[0]
        reasons.append(f"{named_row(row)} {reason}.")
    raise Refusal(f"{' '.join(reasons)} Nothing was taken in.")
