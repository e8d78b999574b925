"""The commands as they are typed: what they print, what they write, and how they end."""

from __future__ import annotations

import json
import os
import re
import shutil
import sqlite3
import subprocess
import sys
import tomllib
from pathlib import Path

import pymupdf
import pytest
from click.testing import CliRunner, Result

from inspect_app import __version__
from inspect_app.cli import main
from inspect_app.tables import shipped_folder

ROOT = Path(__file__).parent.parent
DEMO = shipped_folder("demo_data")
REPAIR, REPLACE, HALF = (
    DEMO / name for name in ("linkspan_repair.toml", "shear_replace.toml", "tipper_half_done.toml")
)


def run(*words: object) -> Result:
    """`inspect-app` with these words; stdout and stderr apart."""
    result = CliRunner().invoke(main, [str(word) for word in words])
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    return result


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Result]:
    """The demo's folder, and what was said while it was made."""
    folder = tmp_path_factory.mktemp("commands") / "demo"
    return folder, run("demo", "--no-serve", "--data", folder)


@pytest.fixture
def folder(demo: tuple[Path, Result], tmp_path: Path) -> Path:
    """A copy of the demo's folder to do harm to."""
    return shutil.copytree(demo[0], tmp_path / "demo")


def text_of(pdf: Path) -> str:
    """A PDF's text with every run of blanks as one."""
    with pymupdf.open(pdf) as document:
        return " ".join(" ".join(page.get_text() for page in document).split())


# ---- help


@pytest.mark.parametrize("command", ["", "assess", "calc", "demo", "limits", "take", "verify", "report"])
def test_every_command_says_what_it_does(command: str) -> None:
    result = run(*command.split(), "--help")
    assert result.exit_code == 0
    assert result.stdout.startswith("Usage: ")
    options = re.findall(r"^  -\S*.*?(?=  \S|\n)", result.stdout, re.MULTILINE)
    assert options
    assert "Stored pressure kills" in run("--help").stdout


def test_the_version_is_the_packages() -> None:
    assert run("--version").stdout.strip().endswith(f"version {__version__}")


def test_a_word_that_is_no_command_ends_with_2() -> None:
    result = run("asess", REPAIR)
    assert result.exit_code == 2
    assert "asess" in result.stderr


# ---- assess


@pytest.mark.parametrize(
    ("file", "sentence", "rows"),
    [
        (
            REPAIR,
            "D-01 linkspan, port side: Repair: work on rod, eyes, pins and bushes, and reseal.",
            ["Rod: rework", "Barrel: reuse", r"Chrome thickness +least thickness +12\.0 µm .*beyond limit"],
        ),
        (
            REPLACE,
            "D-02 scrap shear, clamp: Replace the cylinder: barrel cannot be brought back.",
            ["Barrel: replace", r"Bore diameter +size +160\.391 mm +450 mm, 12 o'clock +beyond limit"],
        ),
        (HALF, "D-03 tipper, half done: Not decided yet", ["Rod: not decided", "Rod runout: 1 of 3 places"]),
    ],
)
def test_assess_says_the_whole_first_and_then_every_part(file: Path, sentence: str, rows: list[str]) -> None:
    result = run("assess", file)
    assert result.exit_code == 0
    assert result.stdout.startswith(sentence)
    for row in rows:
        assert re.search(row, result.stdout), row


def test_assess_in_inches_shows_the_same_readings_converted() -> None:
    inch = run("assess", HALF, "--units", "inch").stdout
    assert re.search(r"Rod diameter +size +2\.4973 in +17\.99 in, 3 o'clock +too close to call", inch)
    assert " mm" not in inch


def test_an_unlikely_reading_is_said_beside_the_result() -> None:
    result = run("assess", REPAIR)
    assert result.stderr.startswith(
        "Unlikely, taken as written: check rod-eye-bore, station left face, clock 12"
    )
    assert "Unlikely" not in result.stdout


def test_assess_as_data_holds_every_reading_as_exact_decimals() -> None:
    data = json.loads(run("assess", REPAIR, "--json").stdout)
    assert (data["job"], data["whole"]) == ("D-01 linkspan, port side", "repair")
    rod = next(c for p in data["parts"] for c in p["checks"] if c["check"] == "rod-diameter")
    assert {(r["station"], r["clock"]): (r["value"], r["typed"]) for r in rod["readings"]} == {
        ("25", "12"): ("89.958", "89.958 mm"),
        ("25", "3"): ("89.957", "89.957 mm"),
        ("500", "12"): ("89.951", "89,951 mm"),
        ("500", "3"): ("89.948", "89,948 mm"),
        ("1000", "12"): ("89.949", "89.949 mm"),
        ("1000", "3"): ("89.944", "89.944 mm"),
        ("1475", "12"): ("89.957", "-0.043 mm"),
        ("1475", "3"): ("89.956", "89.956 mm"),
    }
    assert {j["status"] for f in rod["findings"] for j in f["judgements"]} <= {
        "read", "standard-from-memory", "common-practice", "from-memory",
    }  # fmt: skip


def test_a_bad_file_is_one_sentence_on_stderr_and_no_traceback(tmp_path: Path) -> None:
    bad = tmp_path / "bad.toml"
    bad.write_text('[[check]]\nid = "rod-diametre"\n', encoding="utf-8")
    command = [sys.executable, "-m", "inspect_app", "assess", str(bad)]
    ended = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert ended.returncode == 2
    assert ended.stdout == ""
    assert ended.stderr.count("\n") == 1
    assert ended.stderr.startswith(f"{bad}: check: found 'rod-diametre'; allowed are rod-diameter")


@pytest.mark.parametrize(
    "words",
    [
        ("assess", "none.toml"),
        ("assess", "."),
        ("report", "none.toml", "-o", "x.pdf"),
        ("report", "D-01", "-o", "x.pdf", "--data", "none"),
        ("verify", "--data", "none"),
        ("report", str(REPAIR), "-o", "none/x.pdf"),
    ],
)
def test_what_is_not_there_is_one_sentence_and_makes_nothing(
    words: tuple[str, ...], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    result = run(*words)
    assert result.exit_code == 2
    assert result.stderr.splitlines()[-1].endswith(".")
    assert "Traceback" not in result.stderr
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    ("words", "named"),
    [
        (("calc", "gearbox"), "gearbox"),
        (("calc", "fit", "size=63mm"), "fit needs class"),
        (("assess", "--colour"), "--colour"),
    ],
)
def test_what_cannot_be_asked_is_named_and_ends_with_2(words: tuple[str, ...], named: str) -> None:
    result = run(*words)
    assert (result.exit_code, result.stdout) == (2, "")
    assert named in result.stderr


# ---- report


@pytest.mark.parametrize(
    ("file", "words"), [(REPAIR, "Repair: work on rod"), (REPLACE, "Replace the cylinder")]
)
def test_a_readings_file_becomes_a_pdf(file: Path, words: str, tmp_path: Path) -> None:
    made = tmp_path / "report.pdf"
    result = run("report", file, "-o", made)
    assert result.exit_code == 0
    assert result.stdout == f"{made}: {made.stat().st_size} bytes\n"
    assert words in text_of(made)
    again = tmp_path / "again.pdf"
    run("report", file, "-o", again)
    assert again.read_bytes() == made.read_bytes()


def test_a_job_of_the_logbook_is_reported_by_its_number_on_the_page_asked_for(
    folder: Path, tmp_path: Path
) -> None:
    made = tmp_path / "report.pdf"
    result = run(
        "report",
        "D-03 tipper, half done",
        "-o",
        made,
        "--data",
        folder,
        "--units",
        "inch",
        "--page",
        "letter",
    )
    assert result.exit_code == 0
    assert "2.4973" in text_of(made)
    with pymupdf.open(made) as document:
        assert tuple(document[0].rect)[2:] == (612, 792)  # US Letter, 8.5 by 11 inches


def test_a_number_that_no_job_or_several_have_is_refused_with_those_there_are(
    folder: Path, tmp_path: Path
) -> None:
    result = run("report", "D-09", "-o", tmp_path / "x.pdf", "--data", folder)
    assert (result.exit_code, result.stdout) == (2, "")
    assert "no job named 'D-09'" in result.stderr
    assert "D-01 linkspan, port side" in result.stderr
    run("demo", "--no-serve", "--data", folder)
    result = run("report", "D-01 linkspan, port side", "-o", tmp_path / "x.pdf", "--data", folder)
    assert result.exit_code == 2
    assert "2 jobs named" in result.stderr


# ---- limits


def test_limits_lists_every_limit_of_the_files_with_whose_it_is() -> None:
    lines = run("limits").stdout.splitlines()
    written = [
        limit
        for file in shipped_folder().joinpath("limits").glob("*.toml")
        for limit in tomllib.loads(file.read_text(encoding="utf-8")).get("limit", [])
    ]
    assert len(lines) == len(written) + 1
    assert all(re.search(rf"^{re.escape(x['check'])} ", "\n".join(lines), re.MULTILINE) for x in written)
    assert re.search(r"^rod-diameter +size +reuse +f8, lower limit +shipped ", "\n".join(lines), re.MULTILINE)


def test_the_shops_own_limit_is_listed_first_and_a_bad_one_is_refused_by_file(tmp_path: Path) -> None:
    own = tmp_path / "limits" / "own.toml"
    own.parent.mkdir()
    own.write_text(
        '[[limit]]\nid = "own-rod"\ncheck = "rod-diameter"\ncharacteristic = "size"\nlevel = "reuse"\n'
        'rule = { fit = "f7", side = "lower" }\nsource = "rod-wear"\nbeyond = "replace"\n',
        encoding="utf-8",
    )
    assert re.match(
        r"rod-diameter +size +reuse +f7, lower limit +shop ",
        run("limits", "--data", tmp_path).stdout.splitlines()[1],
    )
    own.write_text(own.read_text(encoding="utf-8").replace('"f7"', '"f77"'), encoding="utf-8")
    result = run("limits", "--data", tmp_path)
    assert result.exit_code == 2
    assert "own.toml" in result.stderr


def test_limits_by_source_names_every_source_nobody_has_read() -> None:
    told = run("limits", "--sources").stdout
    unread = [
        source["title"]
        for file in shipped_folder().joinpath("sources").glob("*.toml")
        for source in tomllib.loads(file.read_text(encoding="utf-8")).values()
        if source["status"] != "read" and source["kind"] != "definition"
    ]
    assert len(unread) > 10
    missing = [title for title in unread if title not in told]
    assert missing == []
    assert "standards/metric_threads.csv" in told


# ---- demo and verify


def test_the_demo_makes_three_jobs_and_the_reports_of_the_finished_ones(demo: tuple[Path, Result]) -> None:
    folder, result = demo
    assert result.exit_code == 0
    half, scrap, good = result.stdout.splitlines()
    assert half.startswith("D-03 tipper, half done: Not decided yet")
    assert "Report" not in half
    assert "Replace the cylinder" in scrap
    assert "Repair: work on rod" in good
    reports = {Path(line.split("Report: ")[1]) for line in (scrap, good)}
    assert reports == set(folder.joinpath("reports").glob("*.pdf"))


def test_verify_of_a_folder_in_order_ends_with_0_and_says_what_was_looked_at(folder: Path) -> None:
    result = run("verify", "--data", folder)
    assert result.exit_code == 0
    assert re.search(r"in order\. 3 jobs, \d+ entries, 5 photographs", result.stdout)


def test_verify_of_a_damaged_folder_ends_with_1_and_names_the_damage(folder: Path) -> None:
    photo = next(p for p in folder.joinpath("photos").rglob("*") if p.is_file() and p.stat().st_size > 10_000)
    photo.write_bytes(photo.read_bytes()[:-7])
    raw = sqlite3.connect(folder / "logbook.db")
    raw.execute("DROP TRIGGER entries_stay_as_written")
    raw.execute("UPDATE entries SET by = 'XY' WHERE seq = 20")
    raw.commit()
    raw.close()
    result = run("verify", "--data", folder)
    assert result.exit_code == 1
    assert "was changed after it was written" in result.stdout
    assert "The guard entries_stay_as_written is gone" in result.stdout
    assert photo.stem[:8] in result.stdout


def test_verify_tells_a_report_of_ours_from_any_other(folder: Path, tmp_path: Path) -> None:
    ours = next(folder.joinpath("reports").glob("*.pdf"))
    assert run("verify", "--data", folder, "--report", ours).exit_code == 0
    other = tmp_path / "other.pdf"
    other.write_bytes(ours.read_bytes() + b"\n")
    result = run("verify", "--data", folder, "--report", other)
    assert result.exit_code == 1
    assert "not one that this logbook says was issued" in result.stdout
    assert run("verify", "--data", folder, "--fingerprint", "0123 4567 89ab").exit_code == 1


def test_the_fingerprint_printed_on_a_report_is_found_in_the_log(folder: Path) -> None:
    said = text_of(next(folder.joinpath("reports").glob("*.pdf")))
    printed = re.search(r"[Ff]ingerprint:? ((?:[0-9a-f]{4} ?){3,})", said)
    assert printed, said[-600:]
    assert run("verify", "--data", folder, "--fingerprint", printed.group(1)).exit_code == 0


def test_a_file_that_is_no_logbook_is_said_so(tmp_path: Path) -> None:
    tmp_path.joinpath("logbook.db").write_bytes(b"not a logbook" * 100)
    result = run("verify", "--data", tmp_path)
    assert result.exit_code == 2
    assert "logbook" in result.stderr
    assert "Traceback" not in result.stderr


def test_a_folder_that_may_not_be_written_is_said_so(tmp_path: Path) -> None:
    if os.geteuid() == 0:
        pytest.skip("root may write anywhere")
    tmp_path.chmod(0o500)
    result = run("demo", "--no-serve", "--data", tmp_path / "shop")
    assert result.exit_code == 2
    assert str(tmp_path) in result.stderr
