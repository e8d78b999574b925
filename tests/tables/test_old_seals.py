"""How old seals may look: every sign of the trade's list is there, and a slip in the file is told by its place."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from inspect_app.tables import load, shipped_folder
from inspect_app.tables.faults import TableError
from inspect_app.tables.old_seals import FILE
from inspect_app.trade.sealing.old_seals import EVIDENCE

STATES = load().old_seals

# the trade's signs, each with a word of what it points to; from memory of failure guides
SIGNS = {
    "extruded": "gap", "frayed-static-side": "groove edge", "hard-face": "friction", "hard-and-cracked": "hot",
    "polished": "starved", "egg-shaped": "oval", "worn-on-one-side": "bent", "nibbled": "pulsating", "rolled": "rolled",
    "cut": "dirt", "nicked": "fitted", "burnt": "air", "swollen": "fluid", "flattened": "squeeze",
    "crumbling": "water", "chips": "side load",
}  # fmt: skip


@pytest.mark.parametrize(("sign", "cause"), SIGNS.items())
def test_a_sign_points_to_its_cause_and_says_what_would_confirm_it(sign: str, cause: str) -> None:
    assert cause in STATES[sign].points_to
    assert STATES[sign].confirm


def test_as_new_points_to_nothing_and_every_kind_of_evidence_is_used() -> None:
    assert not STATES["as-new"].points_to
    assert {name for state in STATES.values() for name in state.agrees} == set(EVIDENCE)


@pytest.mark.parametrize(
    ("right", "wrong", "says"),
    [
        ('agrees = ["oval"]', 'agrees = ["round"]', "state egg-shaped.agrees"),
        ('source = "old-seal-signs"', 'source = "my-head"', "state extruded.source"),
        ('id = "polished"', 'id = "extruded"', "stands twice"),
        ('confirm = "the water in the oil"\n', "", "state crumbling"),
        ('title = "as new"', 'look = "as new"', "unknown keys look"),
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
