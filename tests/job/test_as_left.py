"""As found beside as left: which of the two holds for a part, and what is said of the whole."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

import pytest

from inspect_app.bench.bench import Bench
from inspect_app.bench.readings_file import record_file
from inspect_app.entries.job import AS_LEFT, Decided, Job
from inspect_app.figures.shapes import Circle
from inspect_app.job.as_left import PartNow, now_sentence, parts_now
from inspect_app.job.assess import Assessment
from inspect_app.job.findings import Disposition
from inspect_app.paper.blocks import PAPERS, Figures
from inspect_app.report.as_left import as_left_data, as_left_lines, as_left_sections
from inspect_app.trade.measuring.decision import Verdict

SHEET = """
job = "J-1"
[nameplate]
bore = "100"
rod = "63"
stroke = "800"
rated_pressure = "160 bar"

[[check]]
id = "rod-chrome"
stations = [100, 700]
clocks = [12, 6]
readings = [["25", "24"], ["12", "23"]]
"""
PLATED = """
[[as-left.check]]
id = "rod-chrome"
stations = [100, 700]
clocks = [12, 6]
readings = [["31", "32"], ["30", "31"]]
"""


def recorded(folder: Path, sheet: str) -> tuple[Bench, Job]:
    file = folder / "sheet.toml"
    file.write_text(sheet, encoding="utf-8")
    bench = Bench(folder / "shop")
    return bench, record_file(file, bench)[0]


def made_up(
    bench: Bench, job: Job, found: Mapping[str, Disposition], left: Mapping[str, Disposition]
) -> tuple[PartNow, ...]:
    """The parts with these results; those in `left` were measured again, whatever is not named is fit."""

    def results(named: Mapping[str, Disposition], otherwise: Disposition) -> Assessment:
        base = bench.assess(job)
        parts = (replace(p, computed=named.get(p.part.id, otherwise), questions=()) for p in base.parts)
        return replace(base, parts=tuple(parts))

    now = parts_now(job, results(found, Disposition.REUSE), results(left, Disposition.OPEN))
    return tuple(replace(p, done=p.left.checks[:1] if p.part.id in left else ()) for p in now)


@pytest.fixture
def chromed(tmp_path: Path) -> tuple[Bench, Job]:
    return recorded(tmp_path, SHEET)


def test_a_part_that_was_fit_stands_as_found_and_one_that_needed_work_does_not(
    chromed: tuple[Bench, Job],
) -> None:
    parts = made_up(*chromed, {"rod": Disposition.REWORK, "barrel": Disposition.OPEN}, {})
    assert {p.part.id for p in parts if not p.as_found_still} == {"rod", "barrel"}
    assert now_sentence(parts) == "As left. Not measured to the end: rod; barrel."


def test_a_part_that_was_fit_and_is_measured_again_is_judged_by_that_alone(
    chromed: tuple[Bench, Job],
) -> None:
    parts = made_up(*chromed, {}, {"rod": Disposition.REWORK})
    assert now_sentence(parts) == "As left. Rework: rod."


def test_a_stop_comes_first_whatever_else_is_left(chromed: tuple[Bench, Job]) -> None:
    left = {"rod": Disposition.REFER, "barrel": Disposition.REPLACE, "piston": Disposition.REUSE}
    parts = made_up(*chromed, {"gland": Disposition.REWORK}, left)
    assert now_sentence(parts) == (
        "STOP, as left: rod. Do not use it until a qualified person decides. Replace: barrel. "
        "Not measured to the end: gland."
    )


def test_all_is_within_its_limits_only_when_what_needed_work_is(chromed: tuple[Bench, Job]) -> None:
    bad = {"rod": Disposition.REWORK, "pins": Disposition.REWORK}
    good = dict.fromkeys(bad, Disposition.REUSE)
    assert now_sentence(made_up(*chromed, bad, good)) == "As left. Every part is within its limits."


def test_a_decision_against_the_readings_is_said_of_the_part_as_left(chromed: tuple[Bench, Job]) -> None:
    parts = made_up(*chromed, {}, {"rod": Disposition.REWORK})
    decided = Decided("D-1", "reuse", "light duty", "KM", "2026-11-27T10:00:00Z")
    parts = tuple(replace(p, left=replace(p.left, decided=decided)) if p.done else p for p in parts)
    assert now_sentence(parts) == (
        "As left. Every other part is within its limits. "
        "Decided by a person against the calculated result: rod reuse, calculated result rework."
    )


def test_a_readings_file_holds_what_was_measured_after_the_work(tmp_path: Path) -> None:
    bench, job = recorded(tmp_path, SHEET + PLATED)
    found, left = job.as_found.readings["rod-chrome"], job.survey(AS_LEFT).readings["rod-chrome"]
    assert sorted(r.value for r in found.values()) == [12, 23, 24, 25]
    assert sorted(r.value for r in left.values()) == [30, 31, 31, 32]
    assert job.survey(AS_LEFT).nameplate == job.as_found.nameplate
    touched = [p.part.id for p in bench.parts_now(job) if p.touched]
    assert touched == ["rod"]


def test_the_report_sets_what_was_found_beside_what_is_left(tmp_path: Path) -> None:
    bench, job = recorded(tmp_path, SHEET + PLATED)
    parts = bench.parts_now(job)
    head, rod = as_left_sections(parts, job, "metric", PAPERS["A4"].room)
    assert head.title == "As found and as left"
    (table,) = (b for b in rod.blocks if hasattr(b, "rows"))
    least = next(row for row in table.rows if row[0].under == "Chrome thickness")
    assert [cell.text for cell in least] == ["Minimum thickness", "At least 16 µm", "12.0 µm", "30.0 µm"]
    assert [cell.sign for cell in least[2:]] == [Verdict.BEYOND, Verdict.WITHIN]
    (figure,) = (f for b in rod.blocks if isinstance(b, Figures) for f in b.figures)
    hollow = [c for c in figure.drawing.shapes if isinstance(c, Circle) and not c.filled]
    assert len(hollow) == 4  # each reading as found, behind those as left
    assert figure.title.startswith("As left: Minimum thickness 30.0 µm")
    lines = "\n".join(as_left_lines(parts, "inch"))
    # 12 µm and 30 µm by 25.4 µm a thou
    assert "0.47 thou" in lines
    assert "1.18 thou" in lines
    (rod_data,) = (p for p in as_left_data(parts)["parts"] if p["part"] == "rod")
    assert rod_data["as_left"] == "not-decided"  # its surface and sizes were not measured again


def test_nothing_is_said_of_a_later_state_where_nothing_was_measured(chromed: tuple[Bench, Job]) -> None:
    bench, job = chromed
    parts = bench.parts_now(job)
    assert as_left_sections(parts, job, "metric", PAPERS["A4"].room) == []
    assert list(as_left_lines(parts, "metric")) == []
    assert as_left_data(parts) == {}
