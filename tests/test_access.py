"""The command that lists the devices paired with a folder and ends their sessions, while it is served too."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from inspect_app.bench.backing_up import back_up, restore
from inspect_app.bench.bench import Bench
from inspect_app.bench.people import enter_person
from inspect_app.bench.sessions import Sessions
from inspect_app.commands.cli import main


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A data folder that nobody serves just now."""
    bench = Bench(tmp_path / "shop")
    enter_person(bench, {"name": "Anna Berg", "initials": "AB", "role": "clerk"}, "")
    bench.close()
    return tmp_path / "shop"


def run(folder: Path, *options: str) -> Result:
    return CliRunner().invoke(main, ["sessions", "--data", str(folder), *options])


def now() -> datetime:
    return datetime.now(UTC)


def test_the_paired_devices_are_listed_and_one_or_all_are_ended(folder: Path) -> None:
    assert "No device is paired" in run(folder).output
    held = Sessions(folder, now)
    names = [
        held.begin("ab", device, "192.0.2.7").partition(".")[0] for device in ("Android", "iPhone", "iPad")
    ]
    told = run(folder).output
    assert told.count("\n") == told.count(", in the hand of Anna Berg\n") == 3
    for name, device in zip(names, ("Android", "iPhone", "iPad"), strict=True):
        assert f"{name}  {device} at 192.0.2.7, paired {now().astimezone():%Y-%m-%d}" in told
    assert run(folder, "--end", names[0]).output == "1 session ended.\n"
    assert [known.id for known in held.every()] != names
    wrong = run(folder, "--end", names[0])
    assert wrong.exit_code == 2
    assert f"There is no session {names[0]}; there are: " in wrong.output
    assert run(folder, "--end", "all").output == "2 sessions ended.\n"
    assert held.every() == []
    assert run(folder, "--end", "all").output == "0 sessions ended.\n"


def test_no_backup_brings_back_a_session_that_was_ended(folder: Path, tmp_path: Path) -> None:
    held = Sessions(folder, now)
    token = held.begin("", "Android", "192.0.2.7")
    bench = Bench(folder)
    back_up(bench, tmp_path / "all.zip")
    bench.close()
    held.end(token.partition(".")[0])
    assert list(restore(tmp_path / "all.zip", folder))
    assert held.every() == []
