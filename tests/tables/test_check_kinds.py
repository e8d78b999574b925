"""A repeated part's checks have the limits and cures of their kind, and a slip in a kind is told."""

from __future__ import annotations

import re
import shutil
from decimal import Decimal
from pathlib import Path

import pytest
from log import Log

from inspect_app.job.judge import Mark, limits_for
from inspect_app.job.words import source_words
from inspect_app.tables import Tables, load, shipped_folder
from inspect_app.tables.cylinders import Check
from inspect_app.tables.faults import Fault, TableError

D = Decimal
CHECKLIST, ROD = "cylinders/double_acting.toml", "limits/rod.toml"
PART = """
[[part]]
id = "rod-3"
title = "Rod of stage 3"
figure = "rod"
"""
OWN = """
[[limit]]
id = "stage-3"
check = "rod-3-diameter"
characteristic = "size"
level = "reuse"
rule = { within = [39.9, 40.1] }
source = "rod-wear"
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Checklists of a cylinder with a second rod: its size and its surface are of the first one's kind."""
    copy = shutil.copytree(shipped_folder(), tmp_path / "checklists")
    text = (copy / CHECKLIST).read_text(encoding="utf-8")
    repeated = [PART]
    for check_id in ("rod-diameter", "rod-surface"):
        found = re.search(rf'\[\[check\]\]\nid = "{check_id}"\n(.*?)(?=\n\[\[)', text, re.DOTALL)
        assert found
        block = re.sub(r"(?m)^(triage|minutes|nominal) = .*\n", "", f"{found[0]}\n")
        block = re.sub(r"(?m)^stations = .*$", 'stations = { names = ["gland-end", "middle"] }', block)
        block = block.replace('part = "rod"', 'part = "rod-3"').replace(
            'title = "Rod', 'title = "Stage 3 rod'
        )
        name = check_id.replace("rod-", "rod-3-")
        block = block.replace(f'id = "{check_id}"', f'id = "{name}"\nof_kind = "{check_id}"')
        repeated.append(block + ('nominal = "ask"\n' if "gauge" in block else ""))
    add(copy, CHECKLIST, "\n".join(repeated))
    return copy


def add(folder: Path, file: str, text: str) -> None:
    with (folder / file).open("a", encoding="utf-8") as writing:
        writing.write(text)


def faults_of(folder: Path, shop: Path | None = None) -> tuple[Fault, ...]:
    with pytest.raises(TableError) as refused:
        load(folder, shop)
    return refused.value.faults


def check_of(tables: Tables, check_id: str) -> Check:
    check = tables.cylinders["double-acting"].check(check_id)
    assert check is not None
    return check


def test_a_repeated_part_is_judged_by_the_limits_of_its_kind(folder: Path) -> None:
    tables = load(folder)
    log = Log(tables, rod="63")
    log.write("nominal", check="rod-3-diameter", typed="40", value="40")
    levels = limits_for(check_of(tables, "rod-3-diameter"), "size", log.survey(), tables)
    # ISO 286-2: 40 f8 is -25/-64, 40 f7 -25/-50; up to 0.02 over nominal, and 0.5 under to 0.25 over by rework
    assert {name: (x.lower, x.upper) for name, x in levels.items()} == {
        "reuse": (D("39.936"), D("40.02")),
        "new": (D("39.950"), D("39.975")),
        "rework": (D("39.5"), D("40.25")),
    }
    first = limits_for(check_of(tables, "rod-diameter"), "size", log.survey(), tables)
    assert first["reuse"].lower == D("62.924")


def test_how_deep_a_mark_may_be_follows_from_the_size_of_the_same_part(folder: Path) -> None:
    tables = load(folder)
    log = Log(tables, rod="63")
    log.write("nominal", check="rod-3-diameter", typed="40", value="40")
    log.read_all("rod-3-diameter", "39.95")
    surface = check_of(tables, "rod-3-surface")
    mark = Mark("score-along", "seal travel")
    reach = limits_for(surface, "depth", log.survey(), tables, mark)["rework"]
    # 39.95 - 39.5 - 0.05 to clean up leaves 0.40 on diameter, 0.20 deep
    assert reach.upper == D("0.20")
    assert "stage 3 rod diameter" in source_words(reach, "metric")
    # the other rod is not measured, and only it is asked for
    there = limits_for(check_of(tables, "rod-surface"), "depth", log.survey(), tables, mark)["rework"]
    assert "rod diameter is not measured yet" in str(there.missing)


def test_what_cures_a_kind_cures_each_check_of_it(folder: Path) -> None:
    rechrome = load(folder).operations.by_id["rechrome"]
    for check_id in ("rod-diameter", "rod-3-diameter"):
        assert rechrome.does_cure(check_id, "size")
        assert rechrome.is_held_by(check_id, "size")
    assert load(folder).operations.by_id["rebuild-groove"].does_cure("wiper-groove-width", "size")


def test_a_kind_that_no_limit_is_written_for_is_told_with_the_nearest(folder: Path) -> None:
    file = folder / CHECKLIST
    text = file.read_text(encoding="utf-8")
    file.write_text(text.replace('of_kind = "rod-diameter"', 'of_kind = "rod-diametre"'), encoding="utf-8")
    (fault,) = [f for f in faults_of(folder) if "of_kind" in f.key]
    assert (fault.file, fault.key) == (CHECKLIST, "check rod-3-diameter.of_kind")
    assert "'rod-diametre'" in fault.sentence
    assert "rod-diameter" in fault.sentence.partition("most alike")[2]


def test_a_limit_of_a_kind_that_no_check_has_is_told(folder: Path) -> None:
    add(folder, ROD, OWN.replace("rod-3-diameter", "groove-diametre"))
    (fault,) = faults_of(folder)
    assert (fault.file, fault.key) == (ROD, "stage-3.check")
    assert "groove-diameter" in fault.sentence.partition("most alike")[2]


def test_a_limit_of_its_own_beside_that_of_its_kind_contradicts_it(folder: Path, tmp_path: Path) -> None:
    add(folder, ROD, OWN)
    (fault,) = faults_of(folder)
    assert (fault.file, fault.key) == (ROD, "stage-3")
    for word in ("rod-3-diameter", "rod-size-reuse", ROD, "keep one"):
        assert word in fault.sentence


def test_the_shops_limit_for_one_check_comes_before_the_shipped_one_of_its_kind(
    folder: Path, tmp_path: Path
) -> None:
    shop = tmp_path / "limits"
    shop.mkdir()
    (shop / "ours.toml").write_text(OWN, encoding="utf-8")
    tables = load(folder, shop)
    log = Log(tables, rod="63")
    found = limits_for(check_of(tables, "rod-3-diameter"), "size", log.survey(), tables)["reuse"]
    assert (found.lower, found.upper, found.owner) == (D("39.9"), D("40.1"), "shop")
    # twice by the shop is once too often
    (shop / "more.toml").write_text(OWN.replace('"stage-3"', '"again"'), encoding="utf-8")
    (fault,) = faults_of(folder, shop)
    assert (fault.file, fault.key) == ("ours.toml", "stage-3")
    # on different answers both may stand
    for file, answer in (("ours.toml", "metric"), ("more.toml", "inch")):
        text = (shop / file).read_text(encoding="utf-8")
        (shop / file).write_text(f'{text}when = {{ sizes = ["{answer}"] }}\n', encoding="utf-8")
    assert load(folder, shop)
