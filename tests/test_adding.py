"""The table "Adding something" of DEVELOPERS.md, tried: a few lines add a thing, and whoever forgets half is told."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

import pytest
from log import Log

from inspect_app.bench.bench import Bench
from inspect_app.entries.entry import Body, Entry
from inspect_app.entries.job import Survey
from inspect_app.entries.kinds import KINDS, Kind, OfSurvey
from inspect_app.entries.typed import Known, Written
from inspect_app.tables import load, shipped_folder
from inspect_app.tables.faults import Fault, TableError
from inspect_app.trade.measuring.decision import Verdict

CHECK = """
[[check]]
id = "wrench-flats"
part = "rod"
title = "Wrench flats"
why = "A wrench slips off worn flats. Information only until the shop says how far they may wear."
how = "Across the flats, square to them."
gauge = "outside-micrometer"
characteristics = ["size"]
"""
LIMIT = """
[[limit]]
id = "wrench-flats-reuse"
check = "wrench-flats"
characteristic = "size"
level = "reuse"
rule = { at_least = 40 }
source = "rod-wear"
beyond = "rework"
cure = "file-flats"
"""
OPERATION = """
[[operation]]
id = "file-flats"
title = "file the wrench flats true"
parts = ["rod"]
needs = ["Enough of the flats is left."]
cures = { wrench-flats = ["size"] }
leaves = ["flats that hold a wrench"]
computes = []
basis = "each"
source = "rework-practice"
"""

Add = Callable[..., None]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return Path(shutil.copytree(shipped_folder(), tmp_path / "checklists"))


@pytest.fixture
def add(folder: Path) -> Add:
    """Write blocks at the end of the files they belong in."""
    files = {CHECK: "cylinders/double_acting.toml", LIMIT: "limits/rod.toml", OPERATION: "operations.toml"}

    def append(*blocks: str) -> None:
        for block in blocks:
            with (folder / files[block]).open("a", encoding="utf-8") as file:
                file.write(block)

    return append


def faults(folder: Path) -> list[Fault]:
    with pytest.raises(TableError) as refused:
        load(folder)
    return list(refused.value.faults)


def test_a_check_its_limit_and_what_cures_it_are_three_blocks_of_data(folder: Path, add: Add) -> None:
    add(CHECK, LIMIT, OPERATION)
    log = Log(load(folder), bore="100", rod="63", stroke="1200")
    assert log.check("wrench-flats").expected == 1
    log.read("wrench-flats", "", "39.5", u2="0.1")
    assert log.verdict("wrench-flats", "size") is Verdict.BEYOND
    assert log.part("rod").disposition.value == "rework"


def test_a_check_without_a_limit_informs_and_judges_nothing(folder: Path, add: Add) -> None:
    add(CHECK)
    log = Log(load(folder))
    log.read("wrench-flats", "", "39.5")
    assert log.finding("wrench-flats", "size").judgement("reuse") is None


@pytest.mark.parametrize(
    ("blocks", "file", "key", "word"),
    [
        ((LIMIT, OPERATION), "limits/rod.toml", "wrench-flats-reuse.check", "'wrench-flats'"),
        ((CHECK, LIMIT), "limits/rod.toml", "wrench-flats-reuse.cure", "'file-flats'"),
        ((OPERATION,), "operations.toml", "operation file-flats.cures", "'wrench-flats'"),
    ],
    ids=[
        "a limit without its check",
        "a cure that is no operation",
        "an operation on a check that is not there",
    ],
)
def test_half_of_it_is_refused_by_file_and_key(
    folder: Path, add: Add, blocks: tuple[str, ...], file: str, key: str, word: str
) -> None:
    add(*blocks)
    assert [f for f in faults(folder) if (f.file, f.key) == (file, key) and word in f.sentence]


@dataclass(frozen=True, slots=True)
class OilSeen:
    """What the oil looked like: a kind of entry that the program does not have."""

    look: str

    def written(self, known: Known) -> list[Written]:
        return [("oil", {"look": self.look})]


def _oil(survey: Survey, entry: Entry, body: Body) -> Survey:
    return replace(survey, answers={**survey.answers, "oil": body["look"]})


def test_a_kind_of_entry_is_a_typed_value_a_step_and_a_row(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    bench = Bench(tmp_path / "shop")
    job = bench.open_job("A-1", "JB")
    assert "'oil' is not known here" in str(bench.enter(job, OilSeen("milky"), "JB", "metric").remark)
    monkeypatch.setitem(KINDS, "oil", Kind(("look", "smell"), OfSurvey(_oil)))
    assert "lacks smell" in str(bench.enter(job, OilSeen("milky"), "JB", "metric").remark)
    monkeypatch.setitem(KINDS, "oil", Kind(("look",), OfSurvey(_oil)))
    outcome = bench.enter(job, OilSeen("milky"), "JB", "metric", survey="as-left")
    assert outcome.job.survey("as-left").answers["oil"] == "milky"
    bench.close()
    assert Bench(tmp_path / "shop").job(job.id) == outcome.job
