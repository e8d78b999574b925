"""Two programs do not write into one folder: the second is told which one has it; reading goes on."""

from __future__ import annotations

import os
import platform
import re
import subprocess
import sys
import textwrap
from collections.abc import Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner

from inspect_app.bench.bench import Bench
from inspect_app.bench.holding import Held, hold
from inspect_app.bench.proving import verify
from inspect_app.commands.cli import main

AT_WORK = """
    import sys
    from pathlib import Path
    from inspect_app.bench.bench import Bench
    bench = Bench(Path(sys.argv[1]))
    bench.open_job("J-1", "AB")
    print("at work", flush=True)
    sys.stdin.readline()
"""


@pytest.fixture
def other(tmp_path: Path) -> Iterator[subprocess.Popen[str]]:
    """Another program at work in the folder `shop`."""
    command = [sys.executable, "-c", textwrap.dedent(AT_WORK), str(tmp_path / "shop")]
    here = {**os.environ, "PYTHONPATH": str(Path(__file__).parents[2])}
    pipe = subprocess.PIPE
    with subprocess.Popen(command, stdin=pipe, stdout=pipe, text=True, env=here) as process:
        assert process.stdout
        assert process.stdout.readline() == "at work\n"
        yield process
        process.kill()


def test_the_second_program_is_told_which_one_has_the_folder_and_may_read(
    other: subprocess.Popen[str], tmp_path: Path
) -> None:
    folder = tmp_path / "shop"
    with pytest.raises(Held) as told:
        Bench(folder)
    who = rf"process {other.pid} on {re.escape(platform.node())} since \d{{4}}-\d\d-\d\d \d\d:\d\d \("
    assert re.search(who, str(told.value)), told.value
    assert str(folder) in str(told.value)
    reading = Bench(folder, reading=True)
    assert [job.name for job in reading.jobs()] == ["J-1"]
    assert verify(reading) == []
    reading.close()
    pdf = tmp_path / "J-1.pdf"
    made = CliRunner().invoke(main, ["report", "J-1", "-o", str(pdf), "--data", str(folder)])
    assert made.exit_code == 0, made.output
    assert "Not recorded: the program runs over this folder." in made.stdout
    assert pdf.is_file()
    taken = CliRunner().invoke(main, ["demo", "--no-serve", "--data", str(folder)])
    assert taken.exit_code == 2
    assert f"process {other.pid} on " in taken.stderr
    other.kill()  # however it ends, the folder is free
    other.wait()
    bench = Bench(folder)
    assert [job.name for job in bench.jobs()] == ["J-1"]
    bench.close()
    assert not (folder / "serving").exists()


def test_benches_of_one_program_share_its_folder_until_the_last_is_closed(tmp_path: Path) -> None:
    one, two = Bench(tmp_path / "shop"), Bench(tmp_path / "shop")
    one.close()
    assert (tmp_path / "shop" / "serving").exists()
    two.close()
    assert not (tmp_path / "shop" / "serving").exists()


def test_a_file_left_by_a_program_that_was_killed_keeps_nobody_out(tmp_path: Path) -> None:
    (tmp_path / "serving").write_text("process 1 on elsewhere since yesterday\n\n", encoding="utf-8")
    now = Bench(tmp_path / "other").now
    held = hold(tmp_path, now)
    assert held
    assert f"process {os.getpid()} " in (tmp_path / "serving").read_text(encoding="utf-8")
    held.let_go()
