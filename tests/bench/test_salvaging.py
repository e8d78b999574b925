"""What a damaged folder still holds comes into a new one as it was written; what does not is counted."""

from __future__ import annotations

import shutil
import sqlite3
from datetime import UTC, datetime, timedelta
from itertools import count
from pathlib import Path

import pytest
from click.testing import CliRunner
from conftest import EXAMPLES

from inspect_app.bench.bench import Bench
from inspect_app.bench.proving import verify
from inspect_app.bench.salvaging import salvaged
from inspect_app.commands.cli import main
from inspect_app.entries.deciding import Decision
from inspect_app.logbook.chains import Row
from inspect_app.trade.measuring.refusal import Refusal

DECISIONS = 60
LONG = "\N{BULLET}" * 2_000
"""Longer than a page of the file, so that SQLite spreads it over several."""


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """A folder with a job of many entries, closed; and as a kill leaves it, all in the log of commits."""
    root, seconds = tmp_path_factory.mktemp("folders"), count()
    start = datetime(2026, 3, 2, 8, tzinfo=UTC)
    bench = Bench(root / "shop", now=lambda: start + timedelta(seconds=next(seconds)))
    job = bench.open_job("J-1", "AB")
    for n in range(DECISIONS):
        why = LONG if n in (7, 40) else f"seen {n} " * 20
        job = bench.enter(job, Decision("rod", "reuse", why), "AB", "metric").job
    shutil.copytree(root / "shop", root / "killed")
    bench.close()
    return {"shop": root / "shop", "killed": root / "killed"}


def rows_of(folder: Path) -> tuple[Row, ...]:
    bench = Bench(folder, reading=True)
    rows = tuple(row for job in bench.logbook.jobs() for row in bench.logbook.rows(job))
    bench.close()
    return rows


def pages_of(file: Path) -> int:
    return file.stat().st_size // 4096


def zeroed(file: Path, page: int, size: int = 4096) -> None:
    with file.open("r+b") as f:
        f.seek(page * size)
        f.write(bytes(size))


@pytest.mark.parametrize("how", ["shop", "killed"])
def test_of_a_sound_folder_everything_comes_over_and_is_in_order(
    how: str, made: dict[str, Path], tmp_path: Path
) -> None:
    told = list(salvaged(made[how], tmp_path / "new"))
    assert told == [f"{tmp_path / 'new'}: {DECISIONS + 1} entries brought over, each as it was written."]
    assert rows_of(tmp_path / "new") == rows_of(made[how])


def test_any_zeroed_page_costs_no_more_than_what_stood_on_it(made: dict[str, Path], tmp_path: Path) -> None:
    whole = rows_of(made["shop"])
    broken = 0
    for page in range(1, pages_of(made["shop"] / "logbook.db"), 1 if EXAMPLES > 20 else 3):
        folder, new = tmp_path / f"old{page}", tmp_path / f"new{page}"
        shutil.copytree(made["shop"], folder)
        zeroed(folder / "logbook.db", page)
        told = list(salvaged(folder, new))
        came = rows_of(new)
        assert set(came) <= set(whole)
        lost = len(whole) - len(came)
        assert lost <= 25  # as many short rows as a page holds
        # one whose rest stood on the page is found by its shape, and is not as it was written
        said = (f"Missing: {lost} entr" in "\n".join(told), any("kept in damaged-entries" in s for s in told))
        assert said in ([(True, False), (False, True)] if lost else [(False, False)]), told
        assert (
            any("has lost the entry before it" in s for s in told) or lost == 0 or came == whole[: len(came)]
        )
        broken += lost > 0
    assert broken > 1


def test_frames_after_a_torn_one_come_over_too(made: dict[str, Path], tmp_path: Path) -> None:
    folder = Path(shutil.copytree(made["killed"], tmp_path / "old"))
    commits = folder / "logbook.db-wal"
    content = bytearray(commits.read_bytes())
    torn = len(content) // (24 + 4096) // 2
    content[32 + (24 + 4096) * torn + 24] ^= 1  # SQLite reads nothing from here on
    commits.write_bytes(content)
    assert len(rows_of(folder)) < DECISIONS
    list(salvaged(folder, tmp_path / "new"))
    assert rows_of(tmp_path / "new") == rows_of(made["shop"])


def test_an_entry_that_was_changed_is_kept_aside(made: dict[str, Path], tmp_path: Path) -> None:
    folder = Path(shutil.copytree(made["shop"], tmp_path / "old"))
    with sqlite3.connect(folder / "logbook.db") as db:
        db.execute("DROP TRIGGER entries_stay_as_written")
        db.execute("UPDATE entries SET by = 'XY' WHERE seq = 5")
    db.close()
    told = list(salvaged(folder, tmp_path / "new"))
    assert "Damaged, not brought over but kept in damaged-entries.jsonl: 1 entry." in told
    assert '"by": "XY"' in (tmp_path / "new" / "damaged-entries.jsonl").read_text(encoding="utf-8")
    assert len(rows_of(tmp_path / "new")) == DECISIONS


def test_the_new_folder_goes_on_as_another_device(made: dict[str, Path], tmp_path: Path) -> None:
    list(salvaged(made["shop"], tmp_path / "new"))
    bench, old = Bench(tmp_path / "new"), Bench(made["shop"], reading=True)
    assert bench.logbook.device != old.logbook.device
    bench.enter(bench.jobs()[0], Decision("rod", "replace", "after all"), "AB", "metric")
    assert verify(bench) == []
    bench.close()
    old.close()


def test_what_cannot_be_done_is_refused_and_nothing_made(made: dict[str, Path], tmp_path: Path) -> None:
    new = tmp_path / "new"
    with pytest.raises(Refusal, match="is not there"):
        list(salvaged(tmp_path / "nowhere", new))
    (tmp_path / "none").mkdir()
    (tmp_path / "none" / "logbook.db").write_bytes(b"SQLite format 3\0" + bytes(range(256)) * 100)
    with pytest.raises(Refusal, match="No entry can be read"):
        list(salvaged(tmp_path / "none", new))
    assert not new.exists()
    with pytest.raises(Refusal, match="holds something already"):
        list(salvaged(made["shop"], made["killed"]))
    done = CliRunner().invoke(main, ["salvage", str(made["shop"]), str(new)])
    assert done.exit_code == 0
    assert "61 entries brought over" in done.stdout
