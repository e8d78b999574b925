"""The steps of a job: the twelve the trade has, in its order, and a slip in the file is told by its place."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from inspect_app.job.steps import REQUIREMENTS as RECKONED
from inspect_app.tables import load, shipped_folder
from inspect_app.tables.faults import TableError
from inspect_app.tables.steps import FILE, REQUIREMENTS

STEPS = load().steps


def test_the_steps_are_those_of_the_trade_in_its_order() -> None:
    titles = [s.title for s in STEPS.values()]
    assert titles == [
        "Receiving", "Make safe and drain", "Teardown", "Clean", "Measure", "Decide", "Scope", "Seals", "Rework",
        "Reassembly", "Pressure test", "Release",
    ]  # fmt: skip


def test_every_requirement_is_reckoned_and_asked_for() -> None:
    assert set(REQUIREMENTS) == set(RECKONED)
    asked = {name for s in STEPS.values() for name in (*s.before_closing, *s.refused_while)}
    assert asked == set(REQUIREMENTS)


def test_what_the_customer_agreed_to_refuses_the_release_and_no_reason_overrules_it() -> None:
    assert "approved" in STEPS["release"].refused_while


@pytest.mark.parametrize(
    ("right", "wrong", "says"),
    [
        ('["tag", "owner", "mass"]', '["tag", "owner", "weight"]', "step receiving.before_closing.*'weight'"),
        ('refused_while = ["approved"]', 'refused_while = ["aproved"]', "step release.refused_while"),
        ('["lifting-gear"]', '["lifting"]', "step receiving.cautions.*'lifting'"),
        (
            '"outside_diameter", "mass"]',
            '"outside_diameter", "weight"]',
            "step receiving.nameplate.*'weight'",
        ),
        ('id = "clean"\n', 'id = "measure"\n', "step measure: stands twice"),
        ('id = "reassembly"', 'id = "together"', "step reassembly: is missing"),
        ('kind = "torque"', 'kind = "moment"', "record breakaway.kind.*'moment'"),
        ('source = "breakaway-torque"', 'source = "my-head"', "record breakaway.source.*'my-head'"),
        ('needs = "laboratory"', 'needs = "lab"', "record iso-4406.needs.*'lab'"),
        ("at_most = 100000", "at_most = 5", "record breakaway: has a lower bound above"),
        (
            'options = { in = "in, and tied", out = "out, and guarded" }',
            "",
            "record rod-in.options: is missing",
        ),
        ('options = { in = "in, and tied"', "options = { in = 1", "record rod-in.options: found"),
        ('title = "Taken by"', 'name = "Taken by"', "record taken-by: has unknown keys name"),
    ],
)
def test_a_slip_in_the_file_is_told_by_its_place(tmp_path: Path, right: str, wrong: str, says: str) -> None:
    folder = shutil.copytree(shipped_folder(), tmp_path / "checklists")
    file = folder / FILE
    text = file.read_text(encoding="utf-8")
    assert right in text
    file.write_text(text.replace(right, wrong, 1), encoding="utf-8")
    with pytest.raises(TableError, match=says):
        load(folder)
