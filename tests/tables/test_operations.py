"""What a shop can do, as data: every name stands somewhere, every cure cures, every refusal is a sentence."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from inspect_app.tables import Tables, load, shipped_folder
from inspect_app.tables.faults import TableError


@pytest.fixture(scope="module")
def shipped() -> Tables:
    return load()


FILE = "operations.toml"
SLIPS = {
    # what stood there, what a hand made of it, key of the fault, words the fault must hold
    "part": ('parts = ["rod"]', 'parts = ["shaft"]', "operation straighten.parts", "'shaft'"),
    "check": ("rod-roughness = [", "rod-rough = [", "operation polish-rod.cures", "'rod-rough'"),
    "what it cures": ('["roughness"]', '["shine"]', "operation polish-rod.cures.rod-roughness", "'shine'"),
    "order": ('after = ["straighten", ', 'after = ["bend", ', "operation polish-rod.after", "'bend'"),
    "circle": (
        'hazards = ["straightening"]', 'hazards = ["straightening"]\nafter = ["polish-rod"]',
        "operation polish-rod.after", "after itself",
    ),
    "computed": ('computes = ["chrome"]', 'computes = ["colour"]', "operation polish-rod.computes", "'colour'"),
    "basis": ('basis = "handled mass"', 'basis = "moon"', "operation straighten.basis", "'moon'"),
    "hazard": ('hazards = ["straightening"]', 'hazards = ["dragons"]', "operation straighten.hazards", "dragons"),
    "source": ('source = "plating-order"', 'source = "hearsay"', "operation rechrome.source", "'hearsay'"),
    "reach nobody limits": (
        'reach = { rod-runout = ["tir",', 'reach = { rod-runout = ["bow",', "operation straighten.reach", "bow",
    ),
    "key nobody knows": ('id = "hone"', 'id = "hone"\ncolour = 1', "operation hone", "colour"),
    "figure": ("value = 0.05", "value = -1", "figure hone.stock.value", "above 0"),
    "nonsense": (
        'together = ["hone", "new-barrel"]', 'together = ["hone", "x"]', "nonsense hone-and-new-barrel", "'x'",
    ),
}  # fmt: skip


@pytest.mark.parametrize(("old", "new", "key", "words"), SLIPS.values(), ids=SLIPS)
def test_a_slip_is_refused_by_key_and_says_what_is_allowed(
    tmp_path: Path, old: str, new: str, key: str, words: str
) -> None:
    folder = Path(shutil.copytree(shipped_folder(), tmp_path / "checklists"))
    text = (folder / FILE).read_text(encoding="utf-8")
    assert old in text
    (folder / FILE).write_text(text.replace(old, new, 1), encoding="utf-8")
    with pytest.raises(TableError) as refused:
        load(folder)
    found = [f for f in refused.value.faults if (f.file, f.key) == (FILE, key)]
    assert found, refused.value
    assert words in found[0].sentence


def test_a_cure_that_is_no_operation_is_refused_in_the_limits_file(tmp_path: Path) -> None:
    (tmp_path / "shop.toml").write_text(
        '[[limit]]\nid = "ours"\ncheck = "rod-runout"\ncharacteristic = "tir"\nlevel = "reuse"\n'
        'rule = { at_most = 0.2 }\nsource = "tir-per-metre"\nbeyond = "rework"\ncure = "straihgten"\n',
        encoding="utf-8",
    )
    with pytest.raises(TableError, match=r"shop\.toml: ours\.cure: .*straighten"):
        load(shop=tmp_path)


def test_a_limit_whose_cure_does_not_cure_it_is_refused(tmp_path: Path) -> None:
    (tmp_path / "shop.toml").write_text(
        '[[limit]]\nid = "ours"\ncheck = "rod-kink"\ncharacteristic = "gap"\nlevel = "reuse"\n'
        'rule = { at_most = 0.2 }\nsource = "rod-kink"\nbeyond = "rework"\ncure = "hone"\n',
        encoding="utf-8",
    )
    with pytest.raises(TableError, match=r"ours\.cure: is hone, which does not cure gap of rod-kink"):
        load(shop=tmp_path)


def test_the_operations_of_the_trade_are_all_there(shipped: Tables) -> None:
    # the list of a rebuilder, item by item
    wanted = {"reseal", "polish-rod", "straighten", "rechrome", "new-rod", "hone", "new-piston", "resleeve"}
    wanted |= {"new-barrel", "sleeve-gland", "new-gland", "rebuild-groove", "new-bush-and-pin", "new-bearing"}
    wanted |= {"chase-thread"}
    assert wanted <= set(shipped.operations.by_id)


@pytest.mark.parametrize(
    ("first", "then"),
    [
        # pressed, then relieved and stripped, plated last; welded before honed; the piston follows its bore
        ("straighten", "rechrome"), ("weld-repair", "rechrome"), ("weld-repair", "hone"), ("new-port", "hone"),
        ("hone", "new-piston"), ("rechrome", "sleeve-gland"), ("new-piston", "reseal"),
    ],
)  # fmt: skip
def test_the_order_is_that_of_the_trade(shipped: Tables, first: str, then: str) -> None:
    assert first in shipped.operations.by_id[then].after


def test_plating_is_baked_within_four_hours_and_the_app_names_no_length(shipped: Tables) -> None:
    # bake chart after ASTM B850: started within 4 h; length by strength, the plater's
    steps = shipped.operations.by_id["rechrome"].steps
    assert steps.index("plate") + 1 == next(n for n, s in enumerate(steps) if "bake" in s)
    assert "within 4 h after plating" in " ".join(steps)
    assert not [f for f in shipped.operations.figures if "bake" in f.name]


def test_every_part_can_be_renewed_or_is_mended_in_place(shipped: Tables) -> None:
    renewed = {part for o in shipped.operations.by_id.values() if not o.at for part in o.renews}
    assert renewed == {"rod", "barrel", "piston", "gland", "tie-rods", "sleeve"}
    parts = {p.id for c in shipped.cylinders.values() for p in c.parts if p.repeats}
    assert {part for o in shipped.operations.by_id.values() if o.at for part in o.renews} == parts


def test_dangerous_work_names_its_caution_and_who_may_do_it(shipped: Tables) -> None:
    for operation in shipped.operations.by_id.values():
        if "weld" in operation.steps:
            assert "welding-pressure-parts" in operation.hazards, operation.id
            assert "qualified" in operation.licence, operation.id
    assert "chromium" in shipped.operations.by_id["rechrome"].hazards


def test_every_refusal_is_a_sentence(shipped: Tables) -> None:
    for nonsense in shipped.operations.nonsense:
        assert nonsense.sentence[0].isupper()
        assert nonsense.sentence.endswith(".")
