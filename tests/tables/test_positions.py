"""Which seals a kind of cylinder has: the trade's own list, and every slip in the file told by its place."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from inspect_app.job.present import answers_without, checks_beside
from inspect_app.tables import load, shipped_folder
from inspect_app.tables.faults import TableError
from inspect_app.tables.positions import FILE
from inspect_app.tables.standards.handbook import read_handbook, shipped_handbook

POSITIONS = shipped_handbook().positions
HOW = {"must": "M", "may": "m", "cannot": "-"}

# The trade's list, kind by kind, from memory and common practice: M must, m may, - cannot have.
# In order: double-acting, double-rod, ram, telescopic, telescopic double-acting, tie-rod.
TRADE = {
    "wiper": "MMMMMM",
    "rod-seal": "MMMMMM",
    "buffer-seal": "mmmmmm",
    "gland-wear-ring": "MMMMMM",
    "gland-static-ring": "MMMMMM",
    "piston-seal": "MM--MM",  # a ram's bore is no seal surface; nor that of a single-acting telescopic
    "piston-wear-ring": "MMmMMM",  # of a ram the foot guide, of a telescopic that of each stage
    "piston-static-ring": "MM---M",
    "cushion-seal": "mm---m",
    "cushion-screw-ring": "mm---m",
    "plug-ring": "mmmmmm",
    "retainer": "mmMMMm",  # the stop ring of a ram and of each stage
}


@pytest.mark.parametrize("position", TRADE)
def test_a_kind_of_cylinder_has_the_seals_the_trade_gives_it(position: str) -> None:
    kinds = ("double-acting", "double-rod", "ram", "telescopic", "telescopic-double-acting", "tie-rod")
    said = [{n.need for n in POSITIONS.needs_of(kind) if n.position == position} for kind in kinds]
    assert "".join(HOW[need] for (need,) in said) == TRADE[position]


def test_the_file_has_the_trades_positions_and_no_other() -> None:
    assert set(POSITIONS.positions) == set(TRADE)


@pytest.mark.parametrize(
    ("kind", "group", "places"),
    [
        ("double-rod", "gland", ("gland A", "gland B")),
        (
            "tie-rod",
            "joint",
            ("head end of the tube", "cap end of the tube"),
        ),  # the tube is open at both ends
        ("telescopic", "gland", ("gland of stage {stage}",)),
    ],
)
def test_a_position_is_an_instance_and_not_a_count(kind: str, group: str, places: tuple[str, ...]) -> None:
    assert POSITIONS.kinds[kind].places[group] == places


def test_every_groove_of_the_checklist_is_one_position() -> None:
    cylinder = load().cylinders["double-acting"]
    measured = POSITIONS.measured_on("double-acting")
    assert sorted(m.groove for m in measured) == sorted(g.id for g in cylinder.grooves)
    for m in measured:
        of_groove = {c.id for c in cylinder.checks if c.groove == m.groove}
        assert {m.diameter, m.width} == of_groove


def test_a_groove_may_be_missing_where_its_seal_hangs_on_an_answer_and_there_alone() -> None:
    cylinder = load().cylinders["double-acting"]
    need = {n.position: n for n in POSITIONS.needs_of("double-acting")}
    for m in POSITIONS.measured_on("double-acting"):
        for check in (c for c in cylinder.checks if c.groove == m.groove):
            there = {q: tuple(answers) for q, answers in check.when.items()}
            assert there == {q: tuple(answers) for q, answers in need[m.position].there.items()}, check.id
            assert bool(answers_without(check, cylinder)) == bool(there)
            assert checks_beside(check, cylinder)[0] == check
            assert {c.id for c in checks_beside(check, cylinder)} == {m.diameter, m.width}


SLIPS = {
    # id: (what stood there, what a hand made of it, key of the fault, words it must hold); structure, read by itself
    "need": ('need = "must"', 'need = "shall"', "need wiper.need", "must"),
    "group of places": ('at = "gland"', 'at = "glands"', "need wiper.at", "gland"),
    "kind twice": ('id = "double-rod"', 'id = "double-acting"', "kind double-acting", "twice"),
    "kind nobody needs": ('id = "ram"', 'id = "plunger"', "need wiper.kinds", "plunger"),
    "seal": ('seal = "wiper"', 'seal = "scraper"', "position wiper.seal", "wiper"),
    "surface": ('on = "rod"', 'on = "shaft"', "position wiper.on", "bore"),
    "side": ('pressed = "rod side"', 'pressed = "front"', "position rod-seal.pressed", "cap side"),
    "usual": ('usual = ["1"]', 'usual = ["one"]', "position rod-seal.usual", '["1", "3"]'),
    "source": ('source = "seal-positions"', 'source = "hearsay"', "position wiper.source", "hearsay"),
    "position without need": (
        'position = "wiper"\nneed', 'position = "rod-seal"\nneed', "position wiper", "not said to be needed",
    ),
    "said twice": ('position = "wiper"\nneed', 'position = "rod-seal"\nneed', "need rod-seal", "stands twice"),
    "key": ('moves = true', 'moving = true', "position wiper", "moving"),
    "heading": ("[[position]]", "[[positions]]", "positions", "not read"),
}  # fmt: skip
NAMES = {
    # the same of names that stand in a checklist
    "checklist": (
        'checklist = "double-acting"', 'checklist = "double"', "kind double-acting.checklist", "double-acting",
    ),
    "groove": ('groove = "wiper"', 'groove = "scraper"', "measured wiper.groove", "wiper"),
    "check": ('width = "wiper-groove-width"', 'width = "wiper-width"', "measured wiper.width", "wiper-groove-width"),
    "nameplate": ('nominal = "rod"', 'nominal = "shaft"', "measured wiper.nominal", "rod"),
    "question": (
        'gland-guide = ["metal-bush"]', 'guide = ["metal-bush"]', "need gland-wear-ring.instead", "gland-guide",
    ),
    "answer": ('["metal-bush"]', '["bush"]', "need gland-wear-ring.instead.gland-guide", "metal-bush"),
}  # fmt: skip


def edited(tmp_path: Path, old: str, new: str) -> Path:
    folder = Path(shutil.copytree(shipped_folder(), tmp_path / "checklists"))
    lines = (folder / FILE).read_text(encoding="utf-8").splitlines(keepends=True)
    first = next(n for n, line in enumerate(lines) if not line.startswith("#"))
    body = "".join(lines[first:])
    assert old in body, f"{FILE} no longer has {old!r}; mend this test"
    (folder / FILE).write_text("".join(lines[:first]) + body.replace(old, new, 1), encoding="utf-8")
    return folder


@pytest.mark.parametrize("slip", SLIPS)
def test_a_slip_is_told_by_its_place_and_what_would_be_right(slip: str, tmp_path: Path) -> None:
    old, new, key, words = SLIPS[slip]
    with pytest.raises(TableError) as told:
        read_handbook(edited(tmp_path, old, new))
    assert any(f.file == FILE and f.key == key and words in f.sentence for f in told.value.faults), told.value


@pytest.mark.parametrize("slip", NAMES)
def test_a_name_no_checklist_has_is_told_where_checklists_are_read(slip: str, tmp_path: Path) -> None:
    old, new, key, words = NAMES[slip]
    with pytest.raises(TableError) as told:
        load(edited(tmp_path, old, new))
    assert any(f.file == FILE and f.key == key and words in f.sentence for f in told.value.faults), told.value


@pytest.mark.parametrize(
    ("file", "old", "new", "words"),
    [
        ("seal_uses.csv", "O-ring,ring,NBR,70", "O-ring,ring,Buna,70", "add it there"),
        ("seal_uses.csv", "O-ring,ring,NBR,70", "O-ring,ring,NBR,soft", "number"),
        ("shelf_life.csv", "NBR,B,7", "NBR,B,0", "greater than 0"),
        ("shelf_life.csv", "HNBR,B,7,3", "NBR,B,7,3", "twice"),
        ("twins.csv", "section,3.55", "thickness,3.55", "section or diameter"),
        ("strip_end_gap.csv", "2.5,9.7,2,9", "2.5,9.7,9,2", "change them round"),
    ],
)
def test_a_slip_in_the_tables_of_choice_is_told(
    file: str, old: str, new: str, words: str, tmp_path: Path
) -> None:
    folder = Path(shutil.copytree(shipped_folder(), tmp_path / "checklists"))
    path = folder / "housings" / file
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")
    with pytest.raises(TableError) as told:
        read_handbook(folder)
    assert any(f.file == f"housings/{file}" and words in f.sentence for f in told.value.faults), told.value
