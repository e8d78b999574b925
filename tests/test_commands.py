"""The commands as they are typed: what they print, what they write, and how they end."""

from __future__ import annotations

import hashlib
import json
import os
import re
import shutil
import sqlite3
import subprocess
import sys
import tomllib
from decimal import Decimal
from pathlib import Path
from typing import Any

import pymupdf
import pytest
from click.testing import CliRunner, Result

from inspect_app import __version__
from inspect_app.bench.bench import Bench
from inspect_app.commands.cli import main
from inspect_app.job.steps import steps_of
from inspect_app.tables import load, shipped_folder
from inspect_app.tables.check_kinds import names_of
from inspect_app.tables.sources import sentence_of

ROOT = Path(__file__).parent.parent
DEMO = shipped_folder("demo_data")
REPAIR, REPLACE, HALF = (
    DEMO / name for name in ("linkspan_repair.toml", "shear_replace.toml", "tipper_half_done.toml")
)


INCH_FILE = """
job = "I-1"
by = "KM"
date = 2026-03-02
units = "inch"

[nameplate]
rod = "2.5"
stroke = "40"
support_span = "39"

[answers]
sizes = "inch"
rod-hardened = "not hardened"

[gauge."outside-micrometer"]
name = "M-1, 2-3 in"
uncertainty = "0.0002"
step = "0.0001"

[[check]]
id = "rod-diameter"
stations = [10, 20.5, 30]
clocks = [12, 2, 4]
readings = [["2.4988", "2.4986", "2.4987"], ["2.4987", "2.4986", "2.4987"], ["2.4988", "2.4987", "2.4988"]]

[[check]]
id = "rod-runout"
stations = [1, 20, 39]
readings = ["0.0005", "0.031", "0.001"]
"""

SHOP_LIMIT = """
[[limit]]
id = "own-rod"
check = "rod-diameter"
characteristic = "size"
level = "reuse"
rule = { fit = "f7", side = "lower" }
source = "rod-wear"
beyond = "replace"
"""


@pytest.fixture
def inch_file(tmp_path: Path) -> Path:
    """A sheet written in inches."""
    file = tmp_path / "inch.toml"
    file.write_text(INCH_FILE, encoding="utf-8")
    return file


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    """A shop's data folder with a limit and a gauge of its own."""
    folder = tmp_path / "shop"
    (folder / "limits").mkdir(parents=True)
    (folder / "limits" / "own.toml").write_text(SHOP_LIMIT, encoding="utf-8")
    bench = Bench(folder)
    certificate = {"name": "D-4", "error": "0.05", "share": "0", "step": "0.001", "until": ""}
    bench.enter_gauge("dial-indicator", certificate, "KM", "metric")
    bench.close()
    return folder


def run(*words: object) -> Result:
    """`inspect-app` with these words; stdout and stderr apart."""
    result = CliRunner().invoke(main, [str(word) for word in words])
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    return result


@pytest.fixture
def folder(demo_made: tuple[Path, str], tmp_path: Path) -> Path:
    """A copy of the demo's folder to do harm to."""
    return shutil.copytree(demo_made[0], tmp_path / "demo")


def text_of(pdf: Path) -> str:
    """A PDF's text with every run of blanks as one."""
    with pymupdf.open(pdf) as document:
        return " ".join(" ".join(page.get_text() for page in document).split())


# ---- help


@pytest.mark.parametrize(
    "command", ["", "assess", "calc", "demo", "limits", "paths", "take", "verify", "report"]
)
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
            "D-01 linkspan, port side: Repair. Rework: rod; pins and eyes. New seals.",
            [
                "Rod: rework",
                "Barrel: reuse",
                r"Chrome thickness +minimum thickness +12\.0 µm .*outside limit",
            ],
        ),
        (
            REPLACE,
            "D-02 scrap shear, clamp: Replace the cylinder: barrel cannot be repaired.",
            ["Barrel: replace", r"Bore diameter +size +160\.391 mm +450 mm, 12 o'clock +outside limit"],
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


def test_a_file_is_judged_by_the_shops_own_limits_and_gauges(inch_file: Path, shop: Path) -> None:
    def said(*words: object) -> tuple[dict[str, Any], dict[str, Any]]:
        data = json.loads(run("assess", inch_file, "--json", *words).stdout)
        rod, runout = (
            next(c for p in data["parts"] for c in p["checks"] if c["check"] == check)
            for check in ("rod-diameter", "rod-runout")
        )
        return rod["findings"][0]["judgements"][0], runout["findings"][0]["judgements"][0]

    rod, runout = said("--data", shop)
    shipped_rod, shipped_runout = said()
    assert (rod["whose"], shipped_rod["whose"]) == ("shop", "shipped")
    # the dial of the shop is good to 0.05 mm: its U alone is that much. The shipped one (gauges.toml) to 0.016 mm with
    # a scatter of 0.006 mm; typed to 0.001 in, evenly spread: 2 × √(0.008² + 0.006² + 0.0254² / 12) is 0.0248 mm
    u, shipped_u = (float(x["expanded_uncertainty"]) for x in (runout, shipped_runout))
    assert u >= 0.05
    assert shipped_u == pytest.approx(0.025, abs=0.0005)


def test_a_file_in_inches_is_shown_in_inches_and_its_stations_are_inches(inch_file: Path) -> None:
    said = run("assess", inch_file)
    assert said.stderr == ""
    assert re.search(r"Rod diameter +size +2\.4986 in +10 in, 2 o'clock", said.stdout)
    assert " mm" not in said.stdout
    assert " mm" in run("assess", inch_file, "--units", "metric").stdout
    data = json.loads(run("assess", inch_file, "--json").stdout)
    rod = next(c for p in data["parts"] for c in p["checks"] if c["check"] == "rod-diameter")
    # 25.4 × 10, 20.5, 30
    assert [float(r["station"]) for r in rod["readings"]] == [254] * 3 + [520.7] * 3 + [762] * 3


def test_assess_in_inches_shows_the_same_readings_converted() -> None:
    inch = run("assess", HALF, "--units", "inch").stdout
    assert re.search(r"Rod diameter +size +2\.4973 in +18 in, \d o'clock +(within|too close)", inch)
    assert " mm" not in inch


def test_a_true_runout_is_no_unlikely_reading(inch_file: Path) -> None:
    assert "Unlikely" not in run("assess", inch_file).stderr


def test_a_check_that_only_informs_is_information_where_it_was_measured() -> None:
    data = json.loads(run("assess", REPAIR, "--json").stdout)
    checks = {c["check"]: c for p in data["parts"] for c in p["checks"]}
    informs = checks["piston-diameter"]
    assert informs["verdict"] == "information"
    assert {r["verdict"] for r in informs["readings"]} == {"information"}
    half = json.loads(run("assess", HALF, "--json").stdout)
    unmeasured = [c for p in half["parts"] for c in p["checks"] if not c["measured"] and not c["findings"]]
    assert unmeasured
    assert {c["verdict"] for c in unmeasured} == {"not measured"}


def test_paths_offers_what_holds_with_its_price_and_says_that_prices_are_invented(tmp_path: Path) -> None:
    done = run("paths", str(REPAIR), "--data", str(tmp_path))
    assert done.exit_code == 0, done.output
    said = done.stdout
    assert "Path 1: strip, grind and re-chrome" in said
    assert "Path 2: fit new rod" in said
    assert "Prices are an invented example" in said
    assert "hexavalent chromium" in said
    assert "tax is reckoned once" in said


def test_paths_of_the_scrapped_cylinder_say_at_which_figure_each_is_refused(tmp_path: Path) -> None:
    said = run("paths", str(REPLACE), "--data", str(tmp_path)).stdout
    assert "Path 1" not in said
    assert "Out of reach: hone" in said
    assert re.search(r"against at most [\d.]+ mm: outside", said)


def test_paths_by_the_shops_own_rates_say_nothing_of_an_example(tmp_path: Path) -> None:
    text = (shipped_folder() / "rates.toml").read_text(encoding="utf-8")
    ours = text.replace("\ninvented_example = true", "\ninvented_example = false").replace('"XTS"', '"CHF"')
    (tmp_path / "rates.toml").write_text(ours, encoding="utf-8")
    said = run("paths", str(REPAIR), "--data", str(tmp_path)).stdout
    assert "invented" not in said
    assert "CHF" in said
    (tmp_path / "rates.toml").write_text("invented_example = 1\n", encoding="utf-8")
    bad = run("paths", str(REPAIR), "--data", str(tmp_path))
    assert bad.exit_code == 2
    assert "rates.toml: shop: is missing" in bad.stderr


def test_paths_as_data_add_up(tmp_path: Path) -> None:
    said = json.loads(run("paths", str(REPAIR), "--json", "--data", str(tmp_path)).stdout)
    assert "invented example" in said["notice"]
    offered = [p for p in said["paths"] if p["standing"] == "offered"]
    assert {tuple(p["operations"]) for p in offered} == {
        ("rechrome", "reseal", "new-bush-and-pin"),
        ("new-rod", "reseal", "new-bush-and-pin"),
    }
    for path in offered:
        net = sum(Decimal(line["amount"]) for line in path["lines"])
        assert net == Decimal(path["net"])
        assert Decimal(path["net"]) + Decimal(path["tax"]) == Decimal(path["gross"])
        assert all(o["verdict"] == "within limit" and o["source"] for o in path["outcomes"])


def test_paths_of_a_job_in_the_logbook_are_those_of_its_file(demo_made: tuple[Path, str]) -> None:
    by_job = run("paths", "D-01 linkspan, port side", "--data", str(demo_made[0])).stdout
    assert by_job == run("paths", str(REPAIR), "--data", str(demo_made[0])).stdout


def test_an_unlikely_reading_is_said_beside_the_result(inch_file: Path) -> None:
    inch_file.write_text(INCH_FILE.replace('"2.4987", "2.4988"]]', '"2.4987", "24.988"]]'), encoding="utf-8")
    result = run("assess", inch_file)
    assert "key it again" not in result.stderr.lower()
    assert result.stderr.startswith("Unlikely, taken as written: check rod-diameter, station 762.0, clock 4")
    assert "2.4988 in" in result.stderr
    assert "24.988" in result.stdout
    assert "Unlikely" not in result.stdout


def test_assess_as_data_holds_every_reading_as_exact_decimals() -> None:
    data = json.loads(run("assess", REPAIR, "--json").stdout)
    assert (data["job"], data["whole"]) == ("D-01 linkspan, port side", "repair")
    rod = next(c for p in data["parts"] for c in p["checks"] if c["check"] == "rod-diameter")
    assert {(r["station"], r["clock"]): (r["value"], r["typed"]) for r in rod["readings"]} == {
        ("25", "12"): ("89.958", "89.958 mm"),
        ("25", "2"): ("89.957", "89.957 mm"),
        ("25", "4"): ("89.957", "89.957 mm"),
        ("508", "12"): ("89.951", "89,951 mm"),
        ("508", "2"): ("89.948", "89,948 mm"),
        ("508", "4"): ("89.950", "89,950 mm"),
        ("992", "12"): ("89.949", "89.949 mm"),
        ("992", "2"): ("89.944", "89.944 mm"),
        ("992", "4"): ("89.947", "89.947 mm"),
        ("1475", "12"): ("89.957", "-0.043 mm"),
        ("1475", "2"): ("89.956", "89.956 mm"),
        ("1475", "4"): ("89.957", "89.957 mm"),
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
    assert ended.stderr.startswith(f"{bad}: check: found 'rod-diametre'; allowed are rod-surface, rod-ends")


@pytest.mark.parametrize(
    "words",
    [
        ("assess", "none.toml"),
        ("assess", "."),
        ("report", "none.toml", "-o", "x.pdf"),
        ("assess", str(REPAIR), "--data", "none"),
        ("limits", "--data", "none"),
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
    ("file", "words"), [(REPAIR, "Repair. Rework: rod"), (REPLACE, "Replace the cylinder")]
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
    run("take", REPAIR, "--data", folder, "--again")
    result = run("report", "D-01 linkspan, port side", "-o", tmp_path / "x.pdf", "--data", folder)
    assert result.exit_code == 2
    assert "2 jobs named" in result.stderr


# ---- limits


def written_limits() -> list[dict[str, Any]]:
    """Every limit of the shipped files, as TOML has it."""
    return [
        limit
        for file in shipped_folder().joinpath("limits").glob("*.toml")
        for limit in tomllib.loads(file.read_text(encoding="utf-8")).get("limit", [])
    ]


def limits_listed(text: str) -> dict[str, str]:
    """What the listing says below each check, by the check's id, with every run of blanks as one."""
    found = re.findall(r"^\S.* \(([\w-]+)\)\n((?:  .*\n)+)", text, re.MULTILINE)
    return {check: " ".join(lines.split()) for check, lines in found}


def test_the_seals_of_a_readings_file_and_of_a_job_are_the_same_list(folder: Path) -> None:
    # bore 125 of the demo: trade geometry 125 − 15.5 = 109.5, 6.3 wide; wear ring sheet: 125 − 5 = 120, 25 wide
    said = run("seals", str(REPAIR))
    assert said.exit_code == 0, said.output
    assert "ISO 7425-1 piston 125 x 109.5 x 6.3" in said.stdout
    assert "ISO 10766 piston 125 x 120 x 25, read in the published text (wear-ring-sheet)" in said.stdout
    assert "at 210 bar at most 0.2 mm: the seal's sheet decides." in said.stdout
    of_job = run("seals", "D-01 linkspan, port side", "--data", str(folder))
    assert of_job.stdout == said.stdout


METRIC_UNITS = re.compile(r"\d ?(mm|µm|MPa|bar|m/s|kN|kg)\b")
"""A number with a metric unit behind it."""


def test_two_seal_lists_stand_side_by_side_while_a_path_is_open() -> None:
    said = run("seals", str(REPAIR), "--after", "1").stdout
    assert "6 of 7 places may be ordered while the path is open" in said
    # a rod chromed back to its size changes nothing of what is ordered
    assert "2. Rod seal, gland: the same in both" in said
    assert "5. Piston seal, piston: the same in both, not yet" in said
    data = json.loads(
        run("seals", str(REPAIR), "--after", "new-rod+reseal+new-bush-and-pin", "--json").stdout
    )
    assert [p["position"] for p in data["places"] if not p["same"]] == ["piston-static-ring"]
    wrong = run("seals", str(REPAIR), "--after", "hone")
    assert wrong.exit_code == 2
    assert "offered are 1: rechrome+reseal+new-bush-and-pin" in wrong.stderr
    assert run("seals", str(REPAIR), "--after", "1", "-o", "seals.csv").exit_code == 2


def test_seals_and_paths_are_shown_in_the_readers_units(tmp_path: Path) -> None:
    data = ("--data", str(tmp_path))
    for command in ("seals", "paths"):
        metric, inch = (
            run(command, str(REPAIR), "--units", units, *data).stdout for units in ("metric", "inch")
        )
        assert METRIC_UNITS.search(metric)
        assert not METRIC_UNITS.search(inch), METRIC_UNITS.search(inch)
    # 210 bar / 6894.757 Pa = 3046 psi; the standard's name stays as the standard writes it
    seals = run("seals", str(REPAIR), "--units", "inch", *data).stdout
    assert "3046 psi, the rated pressure" in seals
    assert "ISO 5597 rod 90 x 105 x 12.5" in seals


def test_the_scope_is_shown_in_plain_words_as_data_and_on_paper(tmp_path: Path) -> None:
    data = ("--data", str(tmp_path))
    said = run("scope", str(REPAIR), *data)
    assert said.exit_code == 0, said.output
    # the sum of the lines of `paths`, 2147.16, and 19 % of it
    assert "We can repair it from XTS 2 555.12 with tax, 10 days." in said.stdout
    assert "If it stays: It keeps leaking" in said.stdout
    assert "It was not shown to the customer yet." in said.stdout
    assert "Prices are an invented example" in said.stdout
    inch = run("scope", str(REPAIR), "--units", "inch", *data).stdout
    assert not METRIC_UNITS.search(inch), METRIC_UNITS.search(inch)

    as_data = json.loads(run("scope", str(REPAIR), "--json", "--path", "2", *data).stdout)
    assert as_data["scope"]["lines"][0]["line"] == "new-rod"
    # 2452.96 and 19 % of it, 466.0624
    assert as_data["without_options"] == {"net": "2452.96", "tax": "466.06", "gross": "2919.02"}
    assert (as_data["standing"], as_data["versions"], as_data["answers"]) == ("not shown yet", [], [])

    paper = tmp_path / "scope.pdf"
    said = run("scope", str(REPAIR), "-o", str(paper), "--page", "letter", *data)
    assert said.stdout == f"{paper} is written: a draft that was not shown.\n"
    document = pymupdf.open(paper)
    assert (document.page_count, document[0].rect.height) == (2, 792)
    wrong = run("scope", str(REPAIR), "--path", "9", *data)
    assert (wrong.exit_code, wrong.stderr.startswith("'9' is no path of D-01")) == (2, True)


def test_a_scope_that_advises_a_new_cylinder_or_is_not_proven_says_so(tmp_path: Path) -> None:
    data = ("--data", str(tmp_path))
    said = run("scope", str(REPLACE), *data).stdout
    assert "We advise a new cylinder." in said
    assert "It holds until" not in said  # nothing is offered
    open_ = run("scope", str(HALF), *data)
    assert open_.exit_code == 2
    assert open_.stderr.startswith("No repair is proven yet, so nothing can be proposed: ")


def test_seals_are_written_for_a_spreadsheet_a_message_and_paper(tmp_path: Path) -> None:
    table, message = tmp_path / "seals.csv", tmp_path / "seals.txt"
    assert run("seals", str(REPAIR), "-o", str(table), "--decimal-comma").exit_code == 0
    assert run("seals", str(REPAIR), "-o", str(message)).exit_code == 0
    assert table.read_bytes().startswith(b"\xef\xbb\xbfjob;state;")
    assert message.read_text(encoding="utf-8").startswith("D-01 linkspan, port side: seal list")
    data = json.loads(run("seals", str(REPAIR), "--json").stdout)
    assert len(data["lines"]) == 7
    wrong = run("seals", str(REPAIR), "-o", str(tmp_path / "seals.doc"))
    assert wrong.exit_code == 2
    assert ".csv, .txt or .pdf" in wrong.stderr
    paper = tmp_path / "seals.pdf"
    assert run("seals", str(REPAIR), "-o", str(paper)).exit_code == 0
    assert paper.read_bytes().startswith(b"%PDF-")


def test_limits_lists_the_checks_of_every_limit_with_rule_whose_and_source() -> None:
    told = run("limits").stdout
    checks = {c.id: c for cylinder in load().cylinders.values() for c in cylinder.checks}
    listed = set(limits_listed(told))
    called = {name for check in listed for name in names_of(checks[check], checks)}
    named = (limit["check"] for limit in written_limits())
    assert {name for of in named for name in (of if isinstance(of, list) else [of])} <= called
    # of several alike one says it for all
    assert not {c for c in listed if checks[c].repeats in listed}
    (rod,) = re.findall(r"size reuse f8.*? shipped \[(\d+)\]", limits_listed(told)["rod-diameter"])
    assert f"\n[{rod}] " in told


@pytest.mark.parametrize("columns", [80, 120])
@pytest.mark.parametrize("words", [(), ("--sources",), ("--units", "inch")])
def test_limits_fit_the_terminal(
    words: tuple[str, ...], columns: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", str(columns))
    assert max(map(len, run("limits", *words).stdout.splitlines())) <= columns


def test_limits_are_asked_for_by_part_or_by_check() -> None:
    assert set(limits_listed(run("limits", "--check", "rod-runout").stdout)) == {"rod-runout"}
    pins = set(limits_listed(run("limits", "--part", "pins").stdout))
    assert "rod-eye-clearance" in pins
    assert not any(check.startswith("bore") for check in pins)
    wrong = run("limits", "--part", "stick")
    assert (wrong.exit_code, wrong.stdout) == (2, "")
    assert "'stick'; allowed are rod, barrel" in wrong.stderr


def test_limits_in_inches_are_the_same_lengths() -> None:
    metric, inch = (limits_listed(run("limits", *w).stdout) for w in ((), ("--units", "inch")))
    assert set(metric) == set(inch)
    pattern = r"tir (\w+) at most ([\d.]+) (?:mm/m|in/ft) of support span"
    for level, value in re.findall(pattern, metric["rod-runout"]):
        shown = dict(re.findall(pattern, inch["rod-runout"]))[level]
        assert float(shown) == pytest.approx(
            float(value) * 0.012, abs=1e-6
        )  # 1 mm in 1 m is 0.012 in in 1 ft
    assert " mm" not in " ".join(inch.values())


def test_the_shops_own_limit_is_listed_as_the_shops_and_a_bad_one_is_refused_by_file(shop: Path) -> None:
    assert (
        "size reuse f7, lower limit only shop"
        in limits_listed(run("limits", "--data", shop).stdout)["rod-diameter"]
    )
    own = shop / "limits" / "own.toml"
    own.write_text(own.read_text(encoding="utf-8").replace('"f7"', '"f77"'), encoding="utf-8")
    result = run("limits", "--data", shop)
    assert result.exit_code == 2
    assert "own.toml" in result.stderr


def test_limits_by_source_names_every_source_nobody_has_read() -> None:
    told = run("limits", "--sources").stdout
    unread = [
        str(sentence_of(source["title"]))
        for file in shipped_folder().joinpath("sources").glob("*.toml")
        for source in tomllib.loads(file.read_text(encoding="utf-8")).values()
        if source["status"] != "read" and source["kind"] != "definition"
    ]
    assert len(unread) > 10
    told = " ".join(told.split())
    missing = [title for title in unread if title not in told]
    assert missing == []
    assert "standards/metric_threads.csv" in told


# ---- take


def test_a_file_is_taken_into_the_logbook_as_a_job_like_any_other(inch_file: Path, shop: Path) -> None:
    taken = run("take", inch_file, "--data", shop)
    assert taken.exit_code == 0
    assert taken.stdout.startswith("I-1: Not decided yet: ")
    bench = Bench(shop)
    (job,) = bench.jobs()
    assert (job.name, job.opened_by) == ("I-1", "KM")
    assert (job.typed_off["file"], job.typed_off["date"]) == ("inch.toml", "2026-03-02")
    assert job.typed_off["sha256"] == hashlib.sha256(inch_file.read_bytes()).hexdigest()
    assert not job.opened_at.startswith("2026-03-02")  # entered now, whenever it was measured
    assert {e.device for e in bench.logbook.entries(job.id)} == {bench.logbook.device}
    gauges = {
        job.as_found.gauges[r.gauge].name for check in job.as_found.readings.values() for r in check.values()
    }
    assert gauges == {"M-1, 2-3 in", "D-4"}  # the file's own, and the shop's where it names none
    assert "M-1, 2-3 in" not in {gauge.name for gauge in bench.shop.gauges()}
    bench.close()
    assert run("verify", "--data", shop).exit_code == 0
    assert run("report", "I-1", "-o", shop / "r.pdf", "--data", shop).exit_code == 0
    said = text_of(shop / "r.pdf")
    assert "2.4986" in said
    assert "inch.toml, 2026-03-02" in said


def test_the_same_file_is_not_taken_twice_unless_one_says_so(inch_file: Path, shop: Path) -> None:
    run("take", inch_file, "--data", shop)
    before = shop.joinpath("logbook.db").read_bytes()
    again = run("take", inch_file, "--data", shop)
    assert (again.exit_code, again.stdout) == (2, "")
    assert "in the logbook already, as I-1 since " in again.stderr
    assert shop.joinpath("logbook.db").read_bytes() == before
    meant = run("take", inch_file, "--again", "--data", shop)
    assert meant.exit_code == 0
    assert "There are 2 jobs of this name now" in meant.stdout
    inch_file.write_text(inch_file.read_text(encoding="utf-8") + "\n# mended\n", encoding="utf-8")
    assert run("take", inch_file, "--data", shop).exit_code == 0


def test_a_file_with_a_mistake_leaves_nothing_in_the_log(inch_file: Path, shop: Path) -> None:
    entries = run("verify", "--data", shop).stdout
    text = inch_file.read_text(encoding="utf-8")
    inch_file.write_text(text.replace('"0.001"]', '"wide"]'), encoding="utf-8")
    refused = run("take", inch_file, "--data", shop)
    assert (refused.exit_code, refused.stdout) == (2, "")
    assert "wide" in refused.stderr
    assert run("verify", "--data", shop).stdout == entries
    assert run("take", "none.toml", "--data", shop.parent / "new").exit_code == 2
    assert not (shop.parent / "new").exists()


# ---- demo and verify


def test_an_option_before_a_command_is_the_commands(folder: Path, tmp_path: Path) -> None:
    assert "9 jobs" in run("--data", folder, "verify").stdout
    assert run("--data", tmp_path / "none", "verify").exit_code == 2
    assert "9 jobs" in run("--data", tmp_path / "none", "verify", "--data", folder).stdout
    run("--data", tmp_path / "made", "take", HALF)
    assert "1 job," in run("verify", "--data", tmp_path / "made").stdout


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--lan", "verify"), "verify has no --lan"),
        (("--data", "x", "calc"), "calc has no --data"),
        (("--port", "9000", "limits"), "limits has no --port"),
    ],
)
def test_an_option_that_a_command_does_not_have_is_refused(words: tuple[str, ...], says: str) -> None:
    result = run(*words)
    assert (result.exit_code, result.stdout) == (2, "")
    assert says in result.stderr


def test_a_demo_that_nobody_would_see_is_refused() -> None:
    result = run("demo", "--no-serve")
    assert (result.exit_code, result.stdout) == (2, "")
    assert "--data" in result.stderr


@pytest.mark.parametrize(
    ("words", "encoding"),
    [
        (("assess", str(HALF)), "cp437"),
        (("limits",), "koi8-r"),
        *((("calc", "fit", "class=f7", "size=63mm"), encoding) for encoding in ("cp1252", "cp437", "koi8-r")),
    ],
)
def test_a_console_that_lacks_a_sign_gets_letters_and_no_traceback(
    words: tuple[str, ...], encoding: str
) -> None:
    command = [sys.executable, "-m", "inspect_app", *words]
    environment = {**os.environ, "PYTHONIOENCODING": encoding, "PYTHONUTF8": "0"}
    ended = subprocess.run(command, cwd=ROOT, env=environment, capture_output=True, check=False)
    assert ended.returncode == 0, ended.stderr
    said = ended.stdout.decode(encoding)
    assert "?m" not in said
    if words[0] == "calc":
        assert ("-30.0 um" if encoding == "koi8-r" else "-30.0 µm") in said


def test_data_is_whole_on_a_console_that_lacks_a_sign() -> None:
    command = [sys.executable, "-m", "inspect_app", "calc", "fit", "class=f7", "size=63mm", "--json"]
    environment = {**os.environ, "PYTHONIOENCODING": "koi8-r", "PYTHONUTF8": "0"}
    ended = subprocess.run(command, cwd=ROOT, env=environment, capture_output=True, check=True)
    assert "µm" in str(json.loads(ended.stdout.decode("koi8-r")))


def test_the_demo_makes_a_job_of_each_kind_and_three_of_the_usual_one(demo_made: tuple[Path, str]) -> None:
    folder, said = demo_made
    *released, half, scrap, good = said.splitlines()
    assert half.startswith("D-03 tipper, half done: Not decided yet")
    assert "Report" not in half
    assert "Replace the cylinder" in scrap
    assert "Repair. Rework: rod" in good
    reports = {Path(line.split("Report: ")[1]) for line in (*released, scrap, good)}
    assert reports == set(folder.joinpath("reports").glob("*.pdf"))
    bench = Bench(folder, reading=True)
    over = {
        j.cylinder for j in bench.jobs() if all(s.over for s in steps_of(j.steps, bench.tables_of(j).steps))
    }
    assert over == {*bench.tables.cylinders}
    bench.close()


def test_verify_of_a_folder_in_order_ends_with_0_and_says_what_was_looked_at(folder: Path) -> None:
    result = run("verify", "--data", folder)
    assert result.exit_code == 0
    assert re.search(r"in order\. 9 jobs, \d+ entries, 5 photographs", result.stdout)


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
    assert run("verify", "--data", folder, "--fingerprint", "0123 4567 89ab cdef").exit_code == 1
    assert run("verify", "--data", folder, "--fingerprint", "2").exit_code == 2


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


def test_a_report_made_at_the_prompt_in_other_units_is_known_again(folder: Path, tmp_path: Path) -> None:
    made = tmp_path / "inch.pdf"
    assert (
        run("report", "D-02 scrap shear, clamp", "-o", made, "--data", folder, "--units", "inch").exit_code
        == 0
    )
    told = run("verify", "--data", folder, "--report", made)
    assert told.exit_code == 0, told.output
    assert "This PDF: job D-02 scrap shear, clamp, report 2 of 2." in told.stdout
    assert "Replace the cylinder" in told.stdout
    assert "No later report was issued." in told.stdout
