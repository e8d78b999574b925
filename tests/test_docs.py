"""The README and DEVELOPERS.md say what is so: their commands are run, their files read, their names looked up."""

from __future__ import annotations

import doctest
import os
import re
import shlex
import shutil
import subprocess
import sys
import textwrap
import tomllib
from pathlib import Path

import click
import pytest
from click.testing import CliRunner

from inspect_app import tables
from inspect_app.bench.bench import Bench
from inspect_app.bench.readings_file import CHECK_KEYS, DEFECT_KEYS, HEADER, bench_for, read_file, record_file
from inspect_app.commands.cli import main
from inspect_app.entries.kinds import KINDS
from inspect_app.entries.opening import Nameplate
from inspect_app.job.headline import WHOLE
from inspect_app.job.judge import limits_for
from inspect_app.job.words import BECOMES
from inspect_app.tables.limits import RULES
from inspect_app.tables.sources import STATUSES
from inspect_app.trade.measuring.decision import Verdict

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
TEST_COMMAND = (
    "python3 -m venv .venv-test && .venv-test/bin/pip install -e '.[test]' && .venv-test/bin/python -m pytest"
)


def fenced(text: str, language: str) -> list[str]:
    """The code blocks of a language, without the indent a list gives them."""
    found = re.findall(rf"^( *)```{language}\n(.*?)^ *```$", text, re.DOTALL | re.MULTILINE)
    return ["".join(line.removeprefix(indent) for line in code.splitlines(True)) for indent, code in found]


CONSOLE = fenced(README, "console")
SHEET = ROOT / "demo_data" / "sheet.toml"


def helped(*words: str) -> str:
    """What --help says."""
    return CliRunner().invoke(main, [*words, "--help"]).stdout


@pytest.fixture
def bench_top(tmp_path: Path) -> Path:
    """A folder as the README has it, with the demo data."""
    (tmp_path / "demo_data").symlink_to(ROOT / "demo_data", target_is_directory=True)
    return tmp_path


def typed(command: str, folder: Path) -> subprocess.CompletedProcess[str]:
    """A command of the README run as it stands there, with a data folder of its own; both streams as one."""
    words = shlex.split(command)
    assert words[0] == "inspect-app"
    return subprocess.run(
        [sys.executable, "-m", "inspect_app", *words[1:]],
        cwd=folder,
        env={**os.environ, "PYTHONPATH": str(ROOT), "XDG_DATA_HOME": str(folder), "PYTHONUTF8": "1"},
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        encoding="utf-8",
        timeout=600,
        check=False,
    )


@pytest.mark.parametrize("block", CONSOLE, ids=[block.splitlines()[0][2:] for block in CONSOLE])
def test_a_command_prints_what_the_readme_shows(block: str, bench_top: Path) -> None:
    shown = re.split(r"^\$ (.*)\n", block, flags=re.MULTILINE)[1:]
    for command, output in zip(shown[::2], shown[1::2], strict=True):
        printed = typed(command, bench_top)
        assert printed.returncode == 0, printed.stdout
        same = doctest.OutputChecker().check_output(output, printed.stdout, doctest.ELLIPSIS)
        assert same, f"$ {command}\n{printed.stdout}"


def test_every_shown_command_shows_more_than_dots() -> None:
    for block in CONSOLE:
        lines = [line for line in block.splitlines() if not line.startswith("$ ")]
        assert any(line.strip(". ") for line in lines), block


def test_the_sheet_to_copy_is_taken_whole_and_without_a_doubt(tmp_path: Path) -> None:
    content, _ = read_file(SHEET)
    bench = bench_for(SHEET, tmp_path / "bench")
    job, doubts = record_file(SHEET, bench)
    assert not doubts
    written = [
        cell
        for check in content["check"]
        for row in check["readings"]
        for cell in ([row] if isinstance(row, str) else row)
    ]
    assert sum(len(at) for at in job.as_found.readings.values()) == len(
        [cell for cell in written if cell != "-"]
    )
    assert (
        len(job.as_found.skips),
        len(job.as_found.defects),
        len(job.as_found.limits),
        len(job.photos),
    ) == (1, 1, 1, 1)
    assert job.as_found.decided["rod"].disposition == "replace"
    assert job.as_found.text("rated_pressure") == "250 bar"


def test_the_shops_limit_of_the_help_is_one_that_beats_the_shipped_one(tmp_path: Path) -> None:
    shown = re.search(r"^( *)\[source\.shop-handbook\]\n(?:\1.*\n|\n)*", helped("limits"), re.MULTILINE)
    assert shown
    (tmp_path / "limits").mkdir()
    (tmp_path / "limits" / "shop.toml").write_text(textwrap.dedent(shown[0]), encoding="utf-8")
    bench = Bench(tmp_path)
    check = bench.tables.cylinders["double-acting"].check("rod-runout")
    assert check is not None
    job = bench.open_job("1", "AB")
    job = bench.enter(job, Nameplate({"support_span": "1000"}), "AB", "metric").job
    limit = limits_for(check, "tir", job.as_found, bench.tables)["reuse"]
    assert (limit.owner, float(limit.upper or 0)) == ("shop", 0.3)


@pytest.mark.parametrize("rule", RULES)
def test_every_kind_of_rule_is_shown_where_the_help_sends_to(rule: str) -> None:
    (file,) = re.findall(r"checklists/limits/[\w.]+", helped("limits"))
    head = "".join(line for line in (ROOT / file).read_text(encoding="utf-8").splitlines() if line[:1] == "#")
    assert f"{rule} =" in head


def test_the_data_folder_holds_what_the_readme_lists(demo_made: tuple[Path, str]) -> None:
    section = README.partition("## Where your data lies")[2].partition("## ")[0]
    listed = set(re.findall(r"`([\w.]+(?:\.db|\.mark|/))`", section))
    there = {p.name + "/" * p.is_dir() for p in demo_made[0].iterdir()}
    once_needed = {"limits/", "links/", "serving"}
    assert there - {"logbook.db-wal", "logbook.db-shm"} == listed - once_needed


@pytest.mark.parametrize(
    ("command", "code"),
    [
        ("inspect-app limits", 0),
        ("inspect-app verify --data kept --fingerprint 0123456789abcdef", 1),
        ("inspect-app assess not_there.toml", 2),
    ],
)
def test_exit_codes_are_as_listed(
    bench_top: Path, demo_made: tuple[Path, str], command: str, code: int
) -> None:
    assert re.search(rf"\b{code}\s+(done|what was given)", helped())
    if "kept" in command:
        shutil.copytree(demo_made[0], bench_top / "kept")
    done = typed(command, bench_top)
    assert done.returncode == code, done.stdout
    assert "Traceback" not in done.stdout
    assert code == 0 or len(done.stdout.strip().splitlines()) == 1


def commands() -> list[tuple[str, click.Command]]:
    """Every command, the bare one first."""
    assert isinstance(main, click.Group)
    return [("inspect-app", main), *((f"inspect-app {name}", c) for name, c in main.commands.items())]


@pytest.mark.parametrize(("name", "command"), commands(), ids=[name for name, _ in commands()])
def test_every_command_is_in_the_readme_and_has_help(name: str, command: click.Command) -> None:
    assert f"`{name}" in README
    assert command.help
    for option in (p for p in command.params if isinstance(p, click.Option)):
        assert option.help or option.name in ("port", "page"), f"{name} {option.name} has no help"


@pytest.mark.parametrize("key", [*HEADER, *CHECK_KEYS, *DEFECT_KEYS])
def test_every_key_of_a_readings_file_is_shown_in_the_sheet_to_copy(key: str) -> None:
    if key != "width":  # measured like length and depth
        assert re.search(rf"^\[*{key}( =|\]|\.)", SHEET.read_text(encoding="utf-8"), re.MULTILINE), key


@pytest.mark.parametrize("word", [v.value for v in Verdict] + list(BECOMES.values()))
def test_every_verdict_and_disposition_is_explained(word: str) -> None:
    assert f"| **{word}** |" in README


@pytest.mark.parametrize("word", [*WHOLE.values(), *(status.split(",")[0] for status in STATUSES.values())])
def test_what_a_report_says_is_explained(word: str) -> None:
    plain = re.sub(r"\s+", " ", README).replace("repaired", "repair").replace("replaced", "replace")
    assert word.removesuffix(" quoted from memory") in plain


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_of_entry_is_explained_to_developers(kind: str) -> None:
    assert f"\n| `{kind}` |" in DEVELOPERS


@pytest.mark.parametrize(
    "path", sorted((ROOT / "inspect_app" / "screens").rglob("*.py")), ids=lambda p: p.name
)
def test_every_screen_is_named_to_developers(path: Path) -> None:
    assert path.name == "__init__.py" or f"`{path.name}`" in DEVELOPERS


@pytest.mark.parametrize("text", [README, DEVELOPERS], ids=["README.md", "DEVELOPERS.md"])
def test_every_file_a_document_points_to_is_there(text: str) -> None:
    pointed = re.findall(r"\]\(([^)#]+)\)", text)
    pointed += re.findall(r"`((?:inspect_app|tests|checklists|demo_data)/[\w./]*\w/?)`", text)
    pointed += re.findall(r"\b(tests/[\w/]+\.py)\b", text)
    pointed += [
        next((str(p) for p in ROOT.glob(f"tests/**/{name}")), name)
        for name in re.findall(r"`(test_\w+\.py)`", text)
    ]
    assert pointed
    assert not [p for p in pointed if not (ROOT / p).exists()]


def test_every_package_is_listed_with_its_licence() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    needed = [*project["dependencies"], *project["optional-dependencies"]["test"]]
    table = DEVELOPERS.partition("| dependency | for | licence |")[2].partition("\n\n")[0]
    rows = [row.strip("| ").split(" | ") for row in table.splitlines()[2:]]
    assert all(len(row) == 3 and row[2] for row in rows)
    listed = {name for row in rows for name in re.findall(r"[\w-]+", row[0])}
    assert {re.split(r"[<>=[]", name)[0] for name in needed} <= listed


def test_the_readme_opens_with_the_job_in_one_paragraph() -> None:
    title, paragraph, after = README.split("\n\n")[:3]
    assert title.startswith("# ")
    assert len(paragraph.split()) < 120
    assert after.startswith("## ")


def test_two_commands_set_everything_up_each_in_an_environment_of_its_own() -> None:
    run, test = [block.strip() for block in fenced(README, "sh") if "install" in block]
    assert run == "python3 -m venv .venv && .venv/bin/pip install . && .venv/bin/inspect-app demo"
    assert test == TEST_COMMAND


def test_ci_runs_the_readmes_test_command_word_for_word() -> None:
    script = ROOT / ".ci" / "run"
    assert f"\n{TEST_COMMAND}\n" in script.read_text(encoding="utf-8")
    assert os.access(script, os.X_OK)


def test_everything_ships_with_the_package() -> None:
    assert tables.shipped_folder().is_dir()
    assert (tables.shipped_folder("demo_data") / "linkspan_repair.toml").is_file()
