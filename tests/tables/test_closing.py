"""What is tightened and how a cylinder is tested: a slip in either file is told by its place."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from inspect_app.tables import load, shipped_folder
from inspect_app.tables.faults import TableError

SLIPS = [
    ("assembling.toml", 'on = ["tie-rod"]', 'on = ["tie-rods"]', "joint tie-rods.on"),
    ("assembling.toml", 'parted_by = "gland"', 'parted_by = "glant"', "joint gland-thread.parted_by"),
    (
        "assembling.toml",
        'piston-fixing = ["on-a-spigot"]',
        'piston-fixing = ["spigot"]',
        "joint piston-nut.when",
    ),
    (
        "assembling.toml",
        "bolt_takes_least = 10",
        "bolt_takes_least = 50",
        "bolt_takes_least is not below",
    ),
    ("assembling.toml", '"30", "60"', '"30", "160"', "computed.passes"),
    ("assembling.toml", 'edges = ["no"]', 'edges = ["nope"]', "fitted, edges"),
    ("assembling.toml", "{ mineral = ", "{ minerals = ", "fitted, lubricant"),
    ("pressure_test.toml", 'pressure = "low"', 'pressure = "some"', "trial low.pressure"),
    ("pressure_test.toml", 'records = ["bleed-strokes"]', 'records = ["strokes"]', "trial bleed.records"),
    ("pressure_test.toml", '{ motion = ["jerks"] }', '{ motion = ["jerky"] }', "trial start-up.wrong"),
    ("pressure_test.toml", 'not_for = ["ram"', 'not_for = ["rum"', "trial leak-out.not_for"),
    ("pressure_test.toml", 'kinds = ["ram", "telescopic"]', 'kinds = ["rum"]', "trial bleed.otherwise.kinds"),
    (
        "pressure_test.toml",
        'without = ["cushions-act"]',
        'without = ["cushion"]',
        "trial strokes.otherwise.without",
    ),
    ("assembling.toml", 'of_each = "gland"', 'of_each = "glands"', "joint gland-thread.of_each"),
    ("assembling.toml", 'record = "eye-angle"', 'record = "eye"', "twist.record"),
    ("steps.toml", 'not_for = ["ram"', 'not_for = ["rum"', "record nut-breakaway.not_for"),
    (
        "steps.toml",
        'when = { rod-end = ["eye-with-bush"',
        'when = { rod-end = ["eye"',
        "record eye-angle.when",
    ),
    ("pressure_test.toml", 'rod_at_most = "wet"', 'rod_at_most = "damp"', "figures"),
    ("pressure_test.toml", '"0.03", "0.05"', '"0.05", "0.03"', "limits"),
    ("pressure_test.toml", 'source = "jbt-10205"', 'source = "jbt"', "limits.source"),
]


def test_every_slip_is_told_at_once_by_its_place(tmp_path: Path) -> None:
    folder = tmp_path / "checklists"
    shutil.copytree(shipped_folder(), folder)
    for file, right, wrong, _ in SLIPS:
        text = (folder / file).read_text(encoding="utf-8")
        assert right in text
        (folder / file).write_text(text.replace(right, wrong, 1), encoding="utf-8")
    with pytest.raises(TableError) as told:
        load(folder)
    lines = str(told.value).splitlines()
    for file, _, _, says in SLIPS:
        assert any(line.startswith(file) and says in line for line in lines), says
