"""Whatever moment the power fails, the killer strikes or the disk refuses: what was called saved is there, and whole.

Shown twice: on the writer as it is nothing is ever lost, and every way of writing that is a little worse loses
something that is seen. INSPECT_EXAMPLES=1000 tries fifty times as many states, INSPECT_THOROUGH=1 every sequence of
three things entered.
"""

from __future__ import annotations

import errno
import itertools
import os
import random
import shutil
import sqlite3
import sys
import tempfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from io import BytesIO
from itertools import count
from pathlib import Path

import pytest
from conftest import EXAMPLES
from disk import FOLDER_NAME, Connection, Disk, Recorder, lay_out
from PIL import Image

from inspect_app.bench import bench as bench_module
from inspect_app.bench import issuing
from inspect_app.bench.bench import Bench
from inspect_app.bench.proving import verify
from inspect_app.entries.job import Place
from inspect_app.logbook import durable, marking, photos, store
from inspect_app.logbook.store import Logbook, NotSaved

pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="reads in /proc which file a call is about")

ALL = ("measure", "photograph", "report")
DEEPER = max(1, EXAMPLES // 20)


@pytest.fixture
def memory() -> Iterator[Path]:
    """A folder in memory where there is one: thousands of files are laid out."""
    where = "/dev/shm" if os.access("/dev/shm", os.W_OK) else None
    with tempfile.TemporaryDirectory(dir=where) as folder:
        yield Path(folder)


@dataclass
class Acted:
    """Somebody at work in a folder: what was called saved so far, and which entries came in one step."""

    bench: Bench
    saved: set[str] = field(default_factory=set)
    steps: list[set[str]] = field(default_factory=list)
    shots: Iterator[int] = field(default_factory=count)

    def act(self, what: str) -> None:
        """One thing entered; what was refused is not called saved."""
        try:
            getattr(self, what)()
        finally:
            self.bench._jobs.clear()
            logbook = self.bench.logbook
            known = {e.id for job in logbook.jobs() for e in logbook.entries(job)}
            if new := known - self.saved:
                self.steps.append(new)
        self.saved |= known

    def open(self) -> None:
        self.bench.open_job("J-1", "AB")

    def measure(self) -> None:
        job = self.bench.jobs()[0]
        rod = self.bench.tables.cylinders[job.cylinder].check("rod-diameter")
        assert rod
        at = Place(str(50 + next(self.shots)), "12")
        outcome = self.bench.measure(job, rod, at, "69.95", "AB", "metric", sure=True)
        assert not outcome.remark

    def photograph(self) -> None:
        job, file = self.bench.jobs()[0], BytesIO()
        Image.new("L", (64, 48), 40 * next(self.shots) % 256).save(file, "JPEG")
        self.bench.take_photo(job, job.id, file.getvalue(), "seen", "AB")

    def report(self) -> None:
        job = self.bench.jobs()[0]
        head = self.bench.logbook.head(job.id)
        issuing.issue_drawn(self.bench, job, "AB", head, b"%PDF as drawn" * 200)


def clock() -> Callable[[], datetime]:
    seconds, start = count(), datetime(2026, 3, 2, 8, tzinfo=UTC)
    return lambda: start + timedelta(seconds=next(seconds))


def recorded(top: Path, actions: tuple[str, ...]) -> tuple[Recorder, Acted]:
    """What a writer did while these things were entered in a new folder."""
    recorder = Recorder(top)
    really = store.open_to_write
    with pytest.MonkeyPatch.context() as patch, recorder.recording():
        patch.setattr(store, "open_to_write", lambda *how: Connection(really(*how), recorder))
        acted = Acted(Bench(top / FOLDER_NAME, now=clock(), device="phone"))
        for what in actions:
            acted.act(what)
            recorder.say(set(acted.saved))
        recorder.look()
    return recorder, acted


def lost(state: Path, whole: Path, saved: set[str], acted: Acted) -> str:
    """What a state after a power cut lacks of what it must hold, "" if nothing."""
    file = state / FOLDER_NAME / "logbook.db"
    if not file.is_file():
        return "the log" if saved else ""
    try:
        log = Logbook(file)
    except NotSaved as told:
        return str(told)
    try:
        entries = [e for job in log.jobs() for e in log.entries(job)]
        found = {e.id for e in entries}
        if saved - found:
            return "an entry that was called saved"
        if any(0 < len(step & found) < len(step) for step in acted.steps):
            return "half of a step"
        named = [e.body.get("sha256", "") for e in entries if e.kind in ("photo", "report")]
        named += [e.body["limits_hash"][:12] for e in entries if e.kind == "job"]
        for name in named:
            if other := [f for f in files(whole, name) if not same(f, whole, state)]:
                return f"{other[0].suffixes} that an entry names"
        for folder in ("photos", "reports", "tables"):
            for made in (state / FOLDER_NAME / folder).rglob("*"):
                if made.is_file() and made.suffix != ".part" and not same(made, state, whole):
                    return "the whole of a file that has its name"
        return "".join(b.sentence for b in log.verify())
    finally:
        log.close()


def files(top: Path, name: str) -> list[Path]:
    return [f for f in (top / FOLDER_NAME).rglob(f"*{name}*") if f.suffix != ".part"]


def same(file: Path, here: Path, there: Path) -> bool:
    other = there / file.relative_to(here)
    return other.is_file() and other.read_bytes() == file.read_bytes()


def losses(
    memory: Path, recorder: Recorder, acted: Acted, cuts: int, seed: int = 1
) -> Iterator[tuple[int, str]]:
    """What every state lost: after each event `cuts` of them, on both disks, each with its number."""
    chance, states = random.Random(seed), count()
    for ordered in (False, True):
        disk, saved = Disk(ordered), set[str]()
        for event in recorder.events:
            disk.step(event)
            saved = event.said if event.what == "said" else saved
            for _ in range(cuts):
                state = memory / f"state{next(states)}"
                state.mkdir()
                lay_out(disk.after_a_cut(chance), state)
                yield len(recorder.events), lost(state, recorder.top, saved, acted)
                shutil.rmtree(state)


def test_nothing_that_was_called_saved_is_lost_whenever_the_power_fails(memory: Path) -> None:
    top = memory / "made"
    top.mkdir()
    recorder, acted = recorded(top, ("open", *ALL, "measure"))
    states = list(losses(memory, recorder, acted, DEEPER))
    assert len(states) > 100
    assert {what for _, what in states} == {""}
    acted.bench.close()


@pytest.mark.thorough
def test_nothing_is_lost_in_any_sequence_of_three_things_entered(memory: Path) -> None:
    for number, actions in enumerate(itertools.product(("open", *ALL), repeat=3)):
        top = memory / f"made{number}"
        top.mkdir()
        recorder, acted = recorded(top, ("open", *actions))
        assert {what for _, what in losses(memory, recorder, acted, 3, number)} == {""}, actions
        acted.bench.close()
        shutil.rmtree(top)


# ---- a writer that is a little worse


def unsynced(patch: pytest.MonkeyPatch) -> None:
    class Lax:
        def __getattr__(self, name: str) -> object:
            return (lambda handle: None) if name in ("fsync", "fdatasync") else getattr(os, name)

    patch.setattr(durable, "os", Lax())


def folders_unsynced(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(durable, "sync_folder", lambda folder: None)


def named_before_synced(patch: pytest.MonkeyPatch) -> None:
    def write(file: Path, content: bytes) -> None:
        part = file.with_suffix(".part")
        part.write_bytes(content)
        os.replace(part, file)
        with file.open("rb") as f:
            os.fsync(f.fileno())
        durable.sync_folder(file.parent)

    for module in (photos, issuing, bench_module.KeptTables.keep.__globals__):
        (patch.setitem if isinstance(module, dict) else patch.setattr)(module, "write_file", write)


def written_in_place(patch: pytest.MonkeyPatch) -> None:
    def write(file: Path, content: bytes) -> None:
        file.write_bytes(content)
        with file.open("rb") as f:
            os.fsync(f.fileno())
        durable.sync_folder(file.parent)

    for module in (photos, issuing, bench_module.KeptTables.keep.__globals__):
        (patch.setitem if isinstance(module, dict) else patch.setattr)(module, "write_file", write)


def new_folders_unsynced(patch: pytest.MonkeyPatch) -> None:
    for module in (photos, issuing, bench_module.KeptTables.keep.__globals__):
        make = lambda folder: folder.mkdir(exist_ok=True)  # noqa: E731
        (patch.setitem if isinstance(module, dict) else patch.setattr)(module, "make_folder", make)


def two_commits_for_one_step(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(Logbook, "append_all", lambda log, entries: tuple(log.append(e) for e in tuple(entries)))


def commits_unsynced(patch: pytest.MonkeyPatch) -> None:
    opened = store.open_to_write

    def opening(*how: object) -> object:
        conn = opened(*how)  # type: ignore[arg-type]
        conn.execute("PRAGMA synchronous = NORMAL")
        return conn

    patch.setattr(store, "open_to_write", opening)


def photograph_after_its_entry(patch: pytest.MonkeyPatch) -> None:
    late: list[tuple[object, ...]] = []
    really, named = photos._store, Bench.name_photo
    patch.setattr(photos, "_store", lambda *what: late.append(what))

    def name(bench: Bench, *what: object) -> object:
        job = named(bench, *what)  # type: ignore[arg-type]
        really(*late.pop())  # type: ignore[arg-type]
        return job

    patch.setattr(Bench, "name_photo", name)


def report_after_its_entry(patch: pytest.MonkeyPatch) -> None:
    kept, recorded = issuing._keep, Bench.record

    def issue(bench: Bench, job: object, by: str, head: object, made: bytes) -> None:
        import hashlib

        body = issuing.issued(hashlib.sha256(made).hexdigest(), head.entries, head.hash, head.ends)  # type: ignore[attr-defined]
        recorded(bench, job.id, by, ("report", body))  # type: ignore[attr-defined]
        kept(bench, made)

    patch.setattr(issuing, "issue_drawn", issue)


def marked_before_committed(patch: pytest.MonkeyPatch) -> None:
    ahead = marking.Marking.ahead

    def early(mark: marking.Marking) -> object:
        reached = ahead(mark)
        mark.write_down(reached)
        return reached

    patch.setattr(marking.Marking, "ahead", early)


WORSE: dict[Callable[[pytest.MonkeyPatch], None], tuple[str, ...]] = {
    unsynced: ("photograph",),
    folders_unsynced: ("photograph",),
    named_before_synced: ("report",),
    written_in_place: ("report",),
    new_folders_unsynced: ("photograph",),
    two_commits_for_one_step: ("measure",),
    commits_unsynced: (),
    photograph_after_its_entry: ("photograph",),
    report_after_its_entry: ("report",),
    marked_before_committed: (),
}
"""What is a little worse, and what shows it, after a job was opened."""


@pytest.mark.parametrize("worse", WORSE, ids=lambda worse: worse.__name__)
def test_a_writer_that_is_a_little_worse_loses_something_that_is_seen(
    worse: Callable[[pytest.MonkeyPatch], None], memory: Path
) -> None:
    top = memory / "made"
    top.mkdir()
    with pytest.MonkeyPatch.context() as patch:
        worse(patch)
        recorder, acted = recorded(top, ("open", *WORSE[worse]))
    passes = (losses(memory, recorder, acted, 1, seed) for seed in range(20))
    assert any(what for states in passes for _, what in states)
    acted.bench.close()


# ---- a disk that refuses


@pytest.mark.parametrize("number", [errno.ENOSPC, errno.EIO])
def test_a_disk_that_refuses_any_call_is_told_and_costs_nothing_that_was_saved(
    number: int, memory: Path
) -> None:
    folder = memory / FOLDER_NAME
    acted = Acted(Bench(folder, now=clock(), device="phone"))
    acted.act("open")
    chance, told = random.Random(number), set()

    def refusing(call: Callable[..., object]) -> Callable[..., object]:
        def refuse(*given: object, **more: object) -> object:
            if chance.random() < 0.15:
                raise OSError(number, os.strerror(number))
            return call(*given, **more)

        return refuse

    with pytest.MonkeyPatch.context() as patch:
        for name in ("fsync", "fdatasync", "replace", "mkdir", "fdopen"):
            patch.setattr(os, name, refusing(getattr(os, name)))
        patch.setattr(tempfile, "mkstemp", refusing(tempfile.mkstemp))
        for _ in range(12 * DEEPER):
            for what in ALL:
                try:
                    acted.act(what)
                except NotSaved as refused:
                    told.add(str(refused).partition(":")[0])
    assert {"The photograph was NOT saved", "The report was NOT saved"} <= told
    acted.act("measure")  # and with the disk well again it goes on
    acted.bench.close()
    with sqlite3.connect(folder / "logbook.db") as db:
        assert {i for (i,) in db.execute("SELECT id FROM entries")} == acted.saved
    db.close()
    bench = Bench(folder, reading=True)
    wrong = verify(bench)
    bench.close()
    # what was written before the disk refused its entry, and what could not even be taken away again
    assert [s for s in wrong if "no entry speaks of" not in s and "left by a stop" not in s] == []
