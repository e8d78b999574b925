"""A data folder as one file, made while it is in use, and put back only when it is proven; knows no entry."""

from __future__ import annotations

import errno
import hashlib
import json
import shutil
import tempfile
import zlib
from collections.abc import Iterator
from pathlib import Path, PurePosixPath
from typing import IO, Any
from zipfile import BadZipFile, ZipFile

from inspect_app.bench.bench import Bench
from inspect_app.bench.holding import WORD, hold
from inspect_app.bench.installed import RESTORED
from inspect_app.bench.installed import WORD as INSTALL
from inspect_app.bench.proving import verify
from inspect_app.bench.sessions import FOLDER
from inspect_app.logbook.durable import (
    make_folder,
    make_folders,
    put_in_place,
    remove_folder,
    sync_folder,
    write_by,
    write_file,
)
from inspect_app.logbook.mark import Mark
from inspect_app.logbook.store import NotSaved, not_saved
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.wording import counted

MANIFEST = "manifest.json"
FORM = "inspect backup 1"
PASSING = (WORD, "uploads", FOLDER)
"""What belongs to the program that runs, and the sessions of phones: a session that was ended must not come back."""


def back_up(bench: Bench, out: Path) -> str:
    """Write everything in a data folder into one file, as it stands at one moment.

    Args:
        bench: the open data folder; it may be in use.
        out: the file to write.
    Returns: what was written, as a sentence.
    Raises:
        Refusal: the file is there already, or would lie in the data folder.
        NotSaved: the disk refused; there is no file then.
    """
    if out.exists():
        raise Refusal(f"{out} is there already; give another name, so that no backup replaces another.")
    if out.resolve().is_relative_to(bench.folder.resolve()):
        raise Refusal(f"{out} lies in the folder it is a backup of; give a place on another disk.")
    with tempfile.TemporaryDirectory() as outside:
        log = Path(outside) / "logbook.db"
        # the log first: whatever it names was on the disk before it
        reach, mark = bench.logbook.copy_to(log), Mark(Path(outside) / "logbook.mark")
        mark.begin(reach, *bench.logbook.told())
        files = {file.name: file for file in (log, mark.file)}
        files |= {name: file for name, file in _beside(bench.folder) if name not in files}
        told = [sentence.replace(str(bench.folder), "") for sentence in verify(bench)]
        try:
            write_by(out, lambda f: _pack(f, files, told))
        except OSError as e:
            raise not_saved("The backup was", e) from e
    return f"{out}: {counted(len(files), 'file', 'files')}, the logbook up to entry {reach.entries}."


def _beside(folder: Path) -> Iterator[tuple[str, Path]]:
    for file in sorted(folder.rglob("*")):
        inside = file.relative_to(folder)
        passing = inside.parts[0] in PASSING or inside.as_posix().startswith("logbook.db-")
        if file.is_file() and file.suffix != ".part" and not passing:
            yield inside.as_posix(), file


def _pack(to: IO[bytes], files: dict[str, Path], told: list[str]) -> None:
    hashes = {}
    with ZipFile(to, "w") as packed:
        for name, file in files.items():
            with file.open("rb") as f, packed.open(name, "w", force_zip64=True) as entry:
                shutil.copyfileobj(f, entry)
            with file.open("rb") as f:
                hashes[name] = hashlib.file_digest(f, "sha256").hexdigest()
        manifest = {"form": FORM, "files": hashes, "told": told}
        packed.writestr(MANIFEST, json.dumps(manifest, indent=1))


def restore(file: Path, folder: Path) -> Iterator[str]:
    """Put a backup in the place of a data folder, which is kept under another name.

    Nothing is replaced before all of the backup was read, and was found to be as it was when it was made.

    Args:
        file: the backup.
        folder: where it goes.
    Returns: what was done, a sentence each.
    Raises:
        Refusal: it is no backup, or not whole; nothing was replaced.
        Held: another program writes into the folder.
        NotSaved: the disk refused.
    """
    folder = folder.resolve()
    made = folder.with_name(f"{folder.name}.restoring")
    try:
        make_folders(folder.parent)
        remove_folder(made)  # of a restore that was stopped
        make_folder(made)
        with ZipFile(file) as packed:
            manifest = _manifest(packed, file)
            _unpack(packed, manifest["files"], made, file)
        wrong = sorted(set(_wrong_in(made)) - set(manifest["told"]))
        if wrong:
            raise Refusal(f"{file} was not restored, and nothing replaced. {' '.join(wrong)}")
        yield from _replace(made, folder)
        for sentence in manifest["told"]:
            yield f"When the backup was made: {sentence}"
    except (BadZipFile, EOFError, KeyError, NotImplementedError, RuntimeError, zlib.error) as e:
        raise Refusal(f"{file} is no whole backup of this program, and nothing was replaced.") from e
    except OSError as e:
        if e.errno == errno.EINVAL:  # what it says of its own inside leads before its beginning
            raise Refusal(f"{file} is no whole backup of this program, and nothing was replaced.") from e
        raise not_saved("The backup was", e) from e
    finally:
        remove_folder(made)


def _manifest(packed: ZipFile, file: Path) -> Any:
    # nothing is squeezed in a backup, so that nothing swells when it is unpacked
    swells = any(entry.compress_type or entry.file_size > entry.compress_size for entry in packed.infolist())
    try:
        manifest = {} if swells else json.loads(packed.read(MANIFEST))
        sound = manifest["form"] == FORM and isinstance(manifest["told"], list)
        names = {name: str(manifest["files"][name]) for name in manifest["files"]}
    except (ValueError, TypeError, KeyError):
        sound, names = False, {}
    if not sound or {*packed.namelist()} != {*names, MANIFEST} or len(packed.namelist()) != len(names) + 1:
        raise Refusal(f"{file} is no whole backup of this program, and nothing was replaced.")
    return manifest


def _unpack(packed: ZipFile, hashes: dict[str, str], to: Path, file: Path) -> None:
    for name, expected in hashes.items():
        inside = PurePosixPath(name)
        if inside.is_absolute() or ".." in inside.parts or "\\" in name or ":" in name:
            raise Refusal(f"{file} names a file outside the folder ({name}); nothing was replaced.")
        make_folders((to / name).parent)
        with packed.open(name) as entry:
            write_by(to / name, lambda f, e=entry: shutil.copyfileobj(e, f))  # type: ignore[misc]
        with (to / name).open("rb") as f:
            if hashlib.file_digest(f, "sha256").hexdigest() != expected:
                raise Refusal(f"{file} is damaged at {name}; take another backup. Nothing was replaced.")


def _wrong_in(made: Path) -> list[str]:
    try:
        bench = Bench(made, reading=True)
    except NotSaved as e:
        return [str(e)]
    try:
        return [sentence.replace(str(made), "") for sentence in verify(bench)]
    finally:
        bench.close()


def _replace(made: Path, folder: Path) -> Iterator[str]:
    bench = Bench(made, reading=True)
    held = hold(folder, bench.now) if folder.exists() else None
    bench.close()
    if held:
        held.let_go()
    numbers = (n for n in range(1, 10_000) if not folder.with_name(f"{folder.name}.before-{n}").exists())
    aside = folder.with_name(f"{folder.name}.before-{next(numbers)}")
    stood = folder.exists()
    write_file(made / INSTALL, RESTORED)
    put_in_place(made, folder, aside)
    sync_folder(folder)
    yield f"{folder}: restored."
    if stood:
        yield f"What stood there before is kept in {aside}."
