"""The commands as a person types them: what they print, how they exit, and one sentence for what cannot be used."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pymupdf
import pytest
from click.testing import CliRunner, Result

from inspect_app.cli import main
from inspect_app.tables import shipped_folder

DEMO = shipped_folder("demo_data")
REPAIR, REPLACE = DEMO / "linkspan_repair.toml", DEMO / "shear_replace.toml"


def run(*words: object) -> Result:
    """A command, as at the prompt."""
    return CliRunner().invoke(main, [str(word) for word in words])


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A data folder with the demo's jobs and reports."""
    kept = tmp_path_factory.mktemp("commands") / "demo"
    assert run("demo", "--no-serve", "--data", kept).exit_code == 0
    return kept


def test_the_demo_cylinders_come_out_as_repair_and_as_replace() -> None:
    assert "Repair: work on rod, eyes, pins and bushes, and reseal." in run("assess", REPAIR).stdout
    assert "Replace the cylinder: barrel cannot be brought back." in run("assess", REPLACE).stdout


def test_an_assessment_is_data_too_with_exact_numbers() -> None:
    told = json.loads(run("assess", REPLACE, "--json").stdout)
    assert told["whole"] == "replace"
    barrel = next(p for p in told["parts"] if p["part"] == "barrel")
    bore = next(c for c in barrel["checks"] if c["check"] == "bore-diameter")
    size = next(f for f in bore["findings"] if f["characteristic"] == "size")
    # the greatest of the paper sheet's readings, at 450 mm and 12 o'clock
    assert (size["value"], size["station"], size["clock"]) == ("160.391", "450", "12")
    assert {j["level"] for j in size["judgements"]} == {"reuse", "new", "rework"}


def test_inches_are_shown_when_asked_for() -> None:
    # 89.944 mm / 25.4
    assert "3.5411 in" in run("assess", REPAIR, "--units", "inch").stdout


def test_a_readings_file_gives_the_same_report_to_the_byte_each_time(tmp_path: Path) -> None:
    made = [tmp_path / name for name in ("one.pdf", "two.pdf")]
    for file in made:
        assert run("report", REPAIR, "-o", file).exit_code == 0
    assert made[0].read_bytes() == made[1].read_bytes()
    with pymupdf.open(made[0]) as document:
        assert "page 1 of" in document[0].get_text()


def test_a_job_s_report_is_found_by_its_number_and_comes_on_letter_paper(
    folder: Path, tmp_path: Path
) -> None:
    out = tmp_path / "letter.pdf"
    done = run("report", "D-02 scrap shear, clamp", "--data", folder, "--page", "letter", "-o", out)
    assert done.exit_code == 0
    with pymupdf.open(out) as document:
        assert (round(document[0].rect.width), round(document[0].rect.height)) == (612, 792)


def test_a_log_in_order_is_said_so_and_a_damaged_photograph_is_found(folder: Path, tmp_path: Path) -> None:
    assert run("check", "--data", folder).exit_code == 0
    report = next((folder / "reports").glob("*.pdf"))
    assert run("check", "--data", folder, "--report", report).exit_code == 0
    forged = tmp_path / "forged.pdf"
    forged.write_bytes(report.read_bytes() + b" ")
    said = run("check", "--data", folder, "--report", forged)
    assert (said.exit_code, "was changed since" in said.stdout) == (1, True)
    photo = next(p for p in (folder / "photos").rglob("*.jpg") if ".thumb" not in p.name)
    whole = photo.read_bytes()
    photo.write_bytes(whole[:-20])
    said = run("check", "--data", folder)
    photo.write_bytes(whole)
    assert said.exit_code == 1
    assert photo.stem[:8] in said.stdout


def test_the_fingerprint_on_a_report_is_known_to_the_log_that_made_it(folder: Path) -> None:
    with pymupdf.open(next((folder / "reports").glob("*.pdf"))) as document:
        foot = document[0].get_text().partition("Fingerprint ")[2].splitlines()[0]
    printed = foot.partition(",")[0]
    assert run("check", "--data", folder, "--fingerprint", printed).exit_code == 0
    assert run("check", "--data", folder, "--fingerprint", "0" * 16).exit_code == 1


def test_every_limit_is_listed_with_its_source_and_how_sure_it_is(tmp_path: Path) -> None:
    told = run("limits", "--data", tmp_path).stdout
    row = next(line for line in told.splitlines() if line.startswith("rod-runout") and "reuse" in line)
    assert "at most 0.5 per metre of support span" in row
    assert "trade guide" in row
    unsure = run("limits", "--sources", "--data", tmp_path).stdout
    assert "not yet confirmed" in unsure
    assert "standards/metric_threads.csv" in unsure


WRONG = {
    "no such file": (["assess", "none.toml"], ["none.toml is not there"]),
    "no job of that name": (
        ["report", "D-99", "-o", "x.pdf", "--data", "empty"],
        ["D-99", "there are: none"],
    ),
    "unknown calculator": (["calc", "gearbox"], ["gearbox"]),
    "half a calculator": (["calc", "fit", "size=63mm"], ["fit needs class"]),
    "unknown option": (["assess", "--colour"], ["--colour"]),
}


@pytest.mark.parametrize(("words", "said"), WRONG.values(), ids=WRONG)
def test_what_cannot_be_used_is_told_on_stderr_and_exits_with_2(
    words: list[str], said: list[str], tmp_path: Path
) -> None:
    ran = subprocess.run(
        [sys.executable, "-m", "inspect_app", *words], cwd=tmp_path, capture_output=True, text=True, timeout=60,
        env={"PYTHONPATH": str(DEMO.parent), "PATH": "", "HOME": str(tmp_path)},
    )  # fmt: skip
    assert ran.returncode == 2, ran.stderr
    assert "Traceback" not in ran.stderr
    assert ran.stdout == ""
    for words_expected in said:
        assert words_expected in ran.stderr


def test_a_bad_shop_limit_is_refused_with_file_key_found_and_allowed(tmp_path: Path) -> None:
    shop = tmp_path / "limits"
    shop.mkdir()
    (shop / "ours.toml").write_text('[[limit]]\nid = "x"\ncheck = "rod-diametre"\ncharacteristic = "size"\n')
    said = run("limits", "--data", tmp_path)
    assert said.exit_code == 2
    assert "ours.toml" in said.stderr
    assert "level" in said.stderr


def test_every_command_has_help_a_mechanic_can_read() -> None:
    told = run("--help").stdout
    for command in ("demo", "assess", "report", "limits", "check", "calc"):
        assert command in told
        assert run(command, "--help").exit_code == 0
    assert "Stored pressure kills" in told
