"""The files a shop edits: what is wrong in them is refused by file, key, what was found and what is allowed."""

from __future__ import annotations

import ast
import csv
import re
import shutil
import tomllib
from collections.abc import Callable
from decimal import Decimal
from pathlib import Path

import pytest

import inspect_app.trade
from inspect_app.tables import Tables, load, shipped_folder
from inspect_app.tables.faults import TableError
from inspect_app.tables.limits import AtMost, PerLength
from inspect_app.tables.sources import KINDS, STATUSES

Edit = Callable[[str, str, str], None]


@pytest.fixture(scope="module")
def shipped() -> Tables:
    return load()


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return Path(shutil.copytree(shipped_folder(), tmp_path / "checklists"))


@pytest.fixture
def edit(folder: Path) -> Edit:
    """Replace the first occurrence of a text below a file's opening comment, as a hand with an editor would."""

    def change(file: str, old: str, new: str) -> None:
        lines = (folder / file).read_text(encoding="utf-8").splitlines(keepends=True)
        comment = next(n for n, line in enumerate(lines) if not line.startswith("#"))
        body = "".join(lines[comment:])
        assert old in body, f"{file} no longer has {old!r}; mend this test"
        text = "".join(lines[:comment]) + body.replace(old, new, 1)
        (folder / file).write_text(text, encoding="utf-8")

    return change


ROD, BARREL, PINS = "limits/rod.toml", "limits/barrel.toml", "limits/pins.toml"
CYLINDER, GAUGES, CAUTIONS = "cylinders/double_acting.toml", "gauges.toml", "cautions.toml"
SOURCES = "sources/cylinder.toml"
GRADES = "standards/iso286_grades.csv"

SLIPS = {
    # id: (file, what stood there, what a hand made of it, key of the fault, words the fault must hold)
    "level": (ROD, 'level = "new"', 'level = "neu"', "rod-size-new.level", ["'neu'", "reuse, new, rework"]),
    "beyond": (ROD, 'beyond = "rework"', 'beyond = "scrap"', "rod-size-reuse.beyond", ["'scrap'", "refer"]),
    "source of a limit": (ROD, '"rod-wear"', '"rod-ware"', "rod-size-reuse.source", ["'rod-ware'", "rod-wear"]),
    "check of a limit": (ROD, '"rod-diameter"', '"rod-diametre"', "rod-size-new.check", ["rod-diameter"]),
    "characteristic of a limit": (
        ROD, '"size"', '"runout"', "rod-size-new.characteristic", ["'runout'", "ovality, size, taper"],
    ),
    "limit without its source": (ROD, 'source = "rod-wear"\n', "", "rod-size-reuse.source", ["is missing"]),
    "key nobody knows": (ROD, 'level = "new"', 'level = "new"\nunit = "mm"', "rod-size-new", ["unit"]),
    "rule as text": (ROD, '{ fit = "f7" }', '"f7"', "rod-size-new.rule", ["'f7'", "{ at_most = 0.4 }"]),
    "two rules in one": (
        ROD, '{ fit = "f7" }', '{ fit = "f7", at_most = 1 }', "rod-size-new.rule", ["fit, at_most", "by_size"],
    ),
    "rule nobody knows": (ROD, '{ fit = "f7" }', '{ below = 1 }', "rod-size-new.rule", ["below", "at_least"]),
    "number as text": (ROD, "{ at_most = 0.10 }", '{ at_most = "0,4" }', "rod-kink-gap.rule", ["'0,4'"]),
    "limit that is no number": (ROD, "at_most = 0.10", "at_most = nan", "rod-kink-gap.rule", ["finite"]),
    "letter ISO 286 tables lack": (ROD, 'fit = "f7"', 'fit = "q7"', "rod-size-new.rule", ["'q'", "js"]),
    "grade ISO 286 tables lack": (ROD, 'fit = "f7"', 'fit = "f77"', "rod-size-new.rule", ["IT77", "IT12"]),
    "class in mixed case": (BARREL, 'fit = "H8"', 'fit = "Js8"', "bore-size-new.rule", ["'Js8'"]),
    "side of a fit": (ROD, "upper = 0.02", 'side = "under"', "rod-size-reuse.rule", ["'under'", "lower"]),
    "per metre of what": (
        ROD, 'of = "support_span"', 'of = "span"', "rod-runout-new.rule.of", ["'span'", "support_span"],
    ),
    "range upside down": (ROD, "[0.05, 0.3]", "[0.3, 0.05]", "rod-roughness-new.rule", ["smaller first"]),
    "range of one number": (ROD, "[0.05, 0.3]", "[0.05]", "rod-roughness-new.rule", ["[0.05]"]),
    "sizes that fall": (
        PINS, "[[12, 0.14], [20, 0.16]", "[[20, 0.14], [12, 0.16]",
        "spherical-play-rod-spherical-play.rule", ["must rise"],
    ),
    "fit where nothing is nominal": (
        ROD, "{ at_least = 20 }", '{ fit = "h8" }', "rod-chrome-new.rule", ["nominal", "rod-chrome"],
    ),
    "defect the look has not": (
        ROD, 'defect = "base-metal"', 'defect = "bulge"', "rod-base-metal.defect", ["'bulge'", "blister"],
    ),
    "measure the defect has not": (
        ROD, 'characteristic = "depth"', 'characteristic = "width"',
        "rod-score-depth-score-along.characteristic", ["'width'", "count, depth, felt, length"],
    ),
    "zone the look has not": (
        ROD, 'zone = "seal-travel"', 'zone = "groove"', "rod-score-depth-score-along.zone",
        ["'groove'", "outside-seal-travel, seal-travel, thread-or-shoulder"],
    ),
    "limit twice": (ROD, 'id = "rod-size-new"', 'id = "pins-blocked"', "pins-blocked", [PINS, "rename one"]),
    "heading of a limit misspelt": (ROD, "[[limit]]", "[[limits]]", "limits", ["not read", "limit, source"]),
    "heading with one bracket": (
        CAUTIONS, "[[caution]]", "[caution]", "file", ["not valid TOML"],
    ),
    "not TOML": (CYLINDER, 'title = "Rod"', "title = Rod", "file", ["not valid TOML", "line 65"]),
    "part of a check": (
        CYLINDER, 'id = "rod-surface"\npart = "rod"', 'id = "rod-surface"\npart = "shaft"',
        "check rod-surface.part", ["'shaft'", "rod"],
    ),
    "gauge of a check": (
        CYLINDER, '"outside-micrometer"', '"outside mikrometer"', "check rod-diameter.gauge", ["outside-micrometer"],
    ),
    "gauge that measures something else": (
        CYLINDER, '"outside-micrometer"', '"coating-gauge"', "check rod-diameter.kind", ["thickness"],
    ),
    "check nobody can take": (
        CYLINDER, 'gauge = "outside-micrometer"\n', "", "check rod-diameter", ["gauge, between and look"],
    ),
    "characteristic nobody computes": (
        CYLINDER, '["tir", "bow", ', '["tir", "bowe", ', "check rod-runout.characteristics", ["'bowe'", "bow"],
    ),
    "station called nothing": (
        CYLINDER, 'gland-end = "gland end"\n', "", "check barrel-wall.stations.names", ["'gland-end'", "cap-end"],
    ),
    "zones as a list": (
        CYLINDER, "[zones]\n", "zones = []\n[zones_of_a_rod]\n", "zones", ["a table headed [zones]"],
    ),
    "clearance of one check": (
        CYLINDER, '["bore-diameter", "piston-diameter"]', '["bore-diameter"]',
        "check piston-clearance.between", ["two checks, hole first"],
    ),
    "length stations go over": (
        CYLINDER, 'over = "stroke"', 'over = "travel"', "check rod-diameter.stations.over", ["'travel'", "stroke"],
    ),
    "stations as text": (
        CYLINDER, '{ over = "stroke", least = 3, every_mm = 500 }', '"stroke"',
        "check rod-diameter.stations", ["'stroke'", "a table in braces", "over ="],
    ),
    "no station at all": (CYLINDER, "least = 3", "least = 0", "check rod-runout.stations.least", ["from 1 up"]),
    "clock as text": (CYLINDER, '["12", "2", "4"]', '"12"', "check rod-diameter.clocks", ['["12", "3"]']),
    "yes for true": (CYLINDER, "optional = true", 'optional = "yes"', "part pins.optional", ["write true"]),
    "nominal nobody knows": (CYLINDER, 'nominal = "rod"', 'nominal = "shaft"', "check rod-diameter.nominal", ["pin"]),
    "defect of a look": (CYLINDER, '"score-round", ', '"ding", ', "check rod-surface.look", ["'ding'"]),
    "zone of a look": (
        CYLINDER, 'zones = ["groove"]', 'zones = ["floor"]', "check retaining-groove.zones", ["'floor'", "groove"],
    ),
    "check twice": (CYLINDER, 'id = "rod-runout"', 'id = "rod-diameter"', "check rod-diameter", ["twice"]),
    "measure of a defect": (CYLINDER, '["width", "depth"]', '["area"]', "defect dent.measures", ["'area'", "depth"]),
    "gauge measures nothing known": (
        GAUGES, 'measures = "length"', 'measures = "size"', "outside-micrometer.measures", ["'size'"],
    ),
    "gauge without errors": (GAUGES, "errors = [[300, 0.007]]", "errors = []",
        "three-point-bore-gauge.errors", ["rise"]),
    "gauge with a negative error": (GAUGES, "[[50, 0.004]", "[[50, -0.004]", "outside-micrometer", ["from 0 up"]),
    "gauge with a negative scatter": (
        GAUGES, "repeatability = 0.003", "repeatability = -0.003", "blade-micrometer", ["repeatability", "from 0 up"],
    ),
    "what a gauge states": (
        GAUGES, 'states = "limit of error"', 'states = "tolerance"', "outside-micrometer.states",
        ["'tolerance'", "expanded", "limit of error"],
    ),
    "what a gauge cannot see": (
        GAUGES, 'blind_to = ["ovality", "fitted_ovality"]', 'blind_to = ["oval"]', "three-point-bore-gauge.blind_to",
        ["'oval'", "ovality"],
    ),
    "what a gauge cannot see as text": (
        GAUGES, 'blind_to = ["ovality", "fitted_ovality"]', 'blind_to = "ovality"',
        "three-point-bore-gauge.blind_to", ['["ovality"]'],
    ),
    "gauge without a source": (
        GAUGES, 'source = "din-863"', 'source = "memory"', "outside-micrometer.source", ["'memory'"],
    ),
    "gauge twice": (GAUGES, 'kind = "bore-gauge"', 'kind = "outside-micrometer"', "outside-micrometer", ["twice"]),
    "caution that says nothing": (CAUTIONS, "sentence =", "text =", "local-rules", ["sentence"]),
    "caution twice": (CAUTIONS, 'id = "injection"', 'id = "local-rules"', "local-rules", ["twice"]),
    "status of a source": (
        SOURCES, 'status = "common-practice"', 'status = "sure"', "rod-bar-classes.status", ["'sure'", "from-memory"],
    ),
    "kind of a source": (SOURCES, '"supplier data"', '"hearsay"', "rod-bar-classes.kind", ["'hearsay'", "handbook"]),
    "quantity of a source": (
        SOURCES, "{21 mm}", "{21mm}", "rod-bar-classes.title", ["{21mm}", "write a number", "mm/m"],
    ),
    "brace of a source": (SOURCES, "{21 mm}", "{21 mm", "rod-bar-classes.title", ["brace", "{0.5 mm}"]),
    "source twice": (SOURCES, "[rod-bar-classes]", "[iso-286-2]", "iso-286-2", ["two source files"]),
    "housing nobody knows": (
        "limits/grooves.toml", 'housing = "diameter"', 'housing = "depth"',
        "groove-diameter-new.rule", ["'depth'", "diameter, width"],
    ),
    "housing of what is no groove": (
        ROD, "{ at_most = 0.10 }", '{ housing = "width" }', "rod-kink-gap.rule", ["needs a groove", "rod-kink"],
    ),
    "size after of what has no size": (
        ROD, 'size_after = "rod-diameter"', 'size_after = "rod-runout"',
        "rod-mark-reach-score-along.rule.size_after", ["'rod-runout'"],
    ),
    "question nobody asks": (
        ROD, '{ sizes = ["metric"] }', '{ size = ["metric"] }', "rod-size-new.when", ["'size'", "sizes"],
    ),
    "answer nobody gives": (
        ROD, '{ sizes = ["metric"] }', '{ sizes = ["imperial"] }', "rod-size-new.when.sizes", ["inch, metric"],
    ),
    "groove of a check": (
        CYLINDER, 'groove = "wiper"', 'groove = "scraper"', "check wiper-groove-diameter.groove", ["wiper"],
    ),
    "part a groove is cut in": (
        CYLINDER, 'cut_in = "gland"', 'cut_in = "cap"', "groove rod seal.cut_in", ["gland, piston"],
    ),
    "what a groove seals against": (
        CYLINDER, 'sealed = "rod"', 'sealed = "shaft"', "groove rod seal.sealed", ["'shaft'"],
    ),
    "material nobody knows": (
        CYLINDER, 'ductile_iron = "ductile iron"', 'plastic = "plastic iron"', "question piston-material.answers",
        ["ductile_iron"],
    ),
    "gauge of a measure": (
        CYLINDER, 'gauge = "needle-depth-gauge"', 'gauge = "nail"', "measure depth.gauge", ["'nail'"],
    ),
    "cell of a standard": (GRADES, ",25,", ",2S,", "line", ["'2S'", "number"]),
    "column head of a standard": (GRADES, "it7_um", "it7", "column heads", ["it7_um"]),
}  # fmt: skip


@pytest.mark.parametrize("slip", SLIPS)
def test_a_slip_of_the_hand_is_named_with_file_key_found_and_allowed(
    folder: Path, edit: Edit, slip: str
) -> None:
    file, old, new, key, words = SLIPS[slip]
    edit(file, old, new)
    with pytest.raises(TableError) as refused:
        load(folder)
    found = [f for f in refused.value.faults if f.key.startswith(key)]
    assert found, f"no fault at {key}: {refused.value}"
    assert any(all(word in f"{f}" for word in words) for f in found), str(refused.value)
    if slip != "source twice":
        assert found[0].file == file


@pytest.mark.parametrize("slip", ["level", "gauge of a check", "not TOML", "source of a limit"])
def test_one_slip_makes_few_faults_not_a_flood(folder: Path, edit: Edit, slip: str) -> None:
    edit(*SLIPS[slip][:3])
    with pytest.raises(TableError) as refused:
        load(folder)
    assert len(refused.value.faults) <= 3, str(refused.value)


def test_every_fault_is_told_at_once(folder: Path, edit: Edit) -> None:
    slips = ["level", "source of a limit", "characteristic of a limit", "gauge measures nothing known",
             "caution twice", "kind of a source"]  # fmt: skip
    edit(BARREL, 'source = "bore-wear"', 'source = "boreware"')
    for slip in slips:
        edit(*SLIPS[slip][:3])
    with pytest.raises(TableError) as refused:
        load(folder)
    told = {f.file for f in refused.value.faults}
    assert {ROD, BARREL, GAUGES, CAUTIONS, SOURCES} <= told
    assert str(refused.value).count("\n") + 1 == len(refused.value.faults)


@pytest.mark.parametrize("file", [GAUGES, CAUTIONS, GRADES, "standards/iso286_deviations.csv"])
def test_a_missing_file_is_asked_for_by_name(folder: Path, file: str) -> None:
    (folder / file).unlink()
    with pytest.raises(TableError) as refused:
        load(folder)
    assert any(f.file == file and "restore it" in f.sentence for f in refused.value.faults)


def test_a_folder_without_a_checklist_is_refused(folder: Path) -> None:
    shutil.rmtree(folder / "cylinders")
    with pytest.raises(TableError, match="holds no checklist"):
        load(folder)


def test_two_checklists_may_not_share_an_id(folder: Path) -> None:
    shutil.copy(folder / CYLINDER, folder / "cylinders/again.toml")
    with pytest.raises(TableError, match="another checklist has"):
        load(folder)


# -- the shop's own limits ------------------------------------------------------------------------

SHOP_RUNOUT = """
[source.our-bench]
title = "Our own rule, agreed with the customer"
where = "workshop order 7"
status = "common-practice"
kind = "shop policy"

[[limit]]
id = "rod-runout-reuse"
check = "rod-runout"
characteristic = "tir"
level = "reuse"
rule = { per_length = 0.3, of = "support_span" }
source = "our-bench"
beyond = "rework"
"""


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    (tmp_path / "limits").mkdir()
    (tmp_path / "limits/ours.toml").write_text(SHOP_RUNOUT, encoding="utf-8")
    return tmp_path / "limits"


def test_the_shops_limit_stands_before_the_shipped_one_and_keeps_its_id(shop: Path) -> None:
    ours, shipped_one, *_ = (x for x in load(shop=shop).limits_of["rod-runout"] if x.level == "reuse")
    assert (ours.owner, ours.rule) == ("shop", PerLength(Decimal("0.3"), "support_span"))
    assert (str(ours.source.title), ours.file) == ("Our own rule, agreed with the customer", "ours.toml")
    assert (shipped_one.owner, shipped_one.file) == ("shipped", ROD)


def test_a_shop_may_lean_on_a_shipped_source(shop: Path) -> None:
    text = SHOP_RUNOUT.replace('"our-bench"', '"army-cylinder-inspection"')
    (shop / "ours.toml").write_text(text, encoding="utf-8")
    assert load(shop=shop).limits_of["rod-runout"][0].source.kind == "government manual"


def test_a_slip_in_the_shops_file_is_told_like_any_other(shop: Path) -> None:
    (shop / "ours.toml").write_text(SHOP_RUNOUT.replace('"tir"', '"bend"'), encoding="utf-8")
    with pytest.raises(TableError, match=r"ours.toml: rod-runout-reuse.characteristic: found 'bend'"):
        load(shop=shop)


def test_a_shop_without_limits_of_its_own_has_the_shipped_ones(tmp_path: Path, shipped: Tables) -> None:
    assert load(shop=tmp_path / "nowhere").limits == shipped.limits


def test_one_block_may_stand_for_several_checks_defects_and_zones(shop: Path) -> None:
    (shop / "ours.toml").write_text(
        SHOP_RUNOUT
        + """
[[limit]]
id = "felt"
check = "rod-surface"
characteristic = "felt"
defect = ["pit", "dent"]
zone = ["seal-travel", "outside-seal-travel"]
level = "reuse"
rule = { at_most = 0 }
source = "our-bench"
beyond = "refer"
""",
        encoding="utf-8",
    )
    ours = [x for x in load(shop=shop).limits if x.id.startswith("felt-")]
    assert {(x.defect, x.zone) for x in ours} == {
        (defect, zone) for defect in ("pit", "dent") for zone in ("seal-travel", "outside-seal-travel")
    }
    assert ours[0].id == "felt-pit-seal-travel"


# -- which tables judged a job --------------------------------------------------------------------


def test_the_hash_names_the_content_not_the_place(folder: Path, shipped: Tables) -> None:
    copied = load(folder)
    assert copied.limits_hash == shipped.limits_hash
    assert copied.cylinders["double-acting"].content_hash == shipped.cylinders["double-acting"].content_hash


@pytest.mark.parametrize(
    ("file", "old", "new"),
    [
        (ROD, "at_most = 0.10", "at_most = 0.11"),
        (ROD, "# The chrome itself", "# Of the chrome itself"),
        (GAUGES, "0.005", "0.006"),
        (SOURCES, 'status = "read"', 'status = "from-memory"'),
        (GRADES, ",25,", ",26,"),
    ],
)
def test_any_change_changes_the_hash_of_the_limits(
    folder: Path, edit: Edit, shipped: Tables, file: str, old: str, new: str
) -> None:
    edit(file, old, new)
    changed = load(folder)
    assert changed.limits_hash != shipped.limits_hash
    assert changed.cylinders["double-acting"].content_hash == shipped.cylinders["double-acting"].content_hash


def test_a_changed_checklist_changes_its_own_hash_only(folder: Path, edit: Edit, shipped: Tables) -> None:
    edit(CYLINDER, 'title = "Rod"', 'title = "Piston rod"')
    changed = load(folder)
    assert changed.limits_hash == shipped.limits_hash
    assert changed.cylinders["double-acting"].content_hash != shipped.cylinders["double-acting"].content_hash


def test_the_shops_limits_are_part_of_the_hash(shop: Path, shipped: Tables) -> None:
    first = load(shop=shop).limits_hash
    (shop / "ours.toml").write_text(SHOP_RUNOUT.replace("0.3", "0.4"), encoding="utf-8")
    assert len({shipped.limits_hash, first, load(shop=shop).limits_hash}) == 3


# -- sources --------------------------------------------------------------------------------------


def test_every_limit_and_gauge_says_where_it_is_from(shipped: Tables) -> None:
    for thing in (*shipped.limits, *shipped.gauges.values()):
        source = thing.source
        assert source == shipped.sources[source.key]
        assert source.title
        assert source.where
        assert source.status in STATUSES
        assert source.kind in KINDS


def test_no_limit_for_reuse_pretends_to_be_a_standard(shipped: Tables) -> None:
    # no published standard limits a used cylinder: every limit for re-use is somebody's policy
    pretending = [x.id for x in shipped.limits if x.level != "new" and x.source.kind == "standard"]
    assert pretending == []


WEB = re.compile(
    r"https?:|www\.|github|repositor|\b[\w-]+\.(com|org|net|edu|gov|mil|info|pro|eu|uk|au|us|de|fi|it|pl|pt|se|ru|cn)\b",
    re.IGNORECASE,
)


def test_a_source_is_cited_as_a_bibliography_would_without_a_web_host_or_a_repository(
    shipped: Tables,
) -> None:
    assert WEB.search("read at example-seals.com, table 3")
    assert not WEB.search("section 3.1, e.g. H8; ISO 286-2. It is")
    named = [k for k, s in shipped.sources.items() if WEB.search(f"{s.title} {s.where} {s.note}")]
    assert named == []


def test_no_sellers_page_is_the_ground_of_a_limit(shipped: Tables) -> None:
    # what only suppliers say is common practice, and says so
    for limit in shipped.limits:
        if limit.source.kind in ("supplier data", "trade guide") and limit.source.status == "read":
            assert limit.source.key == "tir-per-metre", limit.id
            assert "B. Casey" in limit.source.title.template
        if limit.source.kind == "shop policy":
            assert limit.source.status == "common-practice", limit.id


def test_a_figure_read_is_used_only_for_the_thing_it_was_said_of(shipped: Tables) -> None:
    # the manual speaks of scratches, base metal and the piston's groove; a scratch is not a pit
    said = {"score-along", "score-round", "base-metal", "edge-broken"}
    for limit in shipped.limits:
        if limit.source.key == "army-cylinder-inspection":
            assert limit.defect in said, limit.id
            assert limit.check != "gland-groove-sides"
        if limit.source.key == "score-depth":
            assert limit.defect.startswith("score"), limit.id


@pytest.mark.parametrize(
    "key", ["iso-898-1", "sae-j429", "iso-286-2", "en-10305-1-strength", "din-862", "din-863"]
)
def test_a_standard_seen_in_somebodys_copy_is_not_called_read(shipped: Tables, key: str) -> None:
    source = shipped.sources[key]
    assert source.status == "reprint"
    assert not source.confirmed
    assert "reprint" in STATUSES[source.status]


def test_every_source_of_the_checklist_is_used(shipped: Tables) -> None:
    written = tomllib.loads((shipped_folder() / SOURCES).read_text(encoding="utf-8"))
    used = {x.source.key for x in shipped.limits} | {g.source.key for g in shipped.gauges.values()}
    assert set(written) - used == set()


def docstring_sources() -> list[tuple[str, str]]:
    """(function, key) for every key after `Source:` in the docstrings of the trade."""
    found = []
    for path in sorted(Path(inspect_app.trade.__file__).parent.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.FunctionDef | ast.ClassDef):
                lines = (line.strip() for line in (ast.get_docstring(node) or "").splitlines())
                keys = (line.removeprefix("Source:") for line in lines if line.startswith("Source:"))
                found += [(f"{path.stem}.{node.name}", k.strip()) for line in keys for k in line.split(",")]
    return found


def test_every_source_named_in_the_trade_is_written_down(shipped: Tables) -> None:
    named = docstring_sources()
    assert len(named) > 50
    unknown = [(where, key) for where, key in named if key != "none" and key not in shipped.sources]
    assert unknown == []


def test_every_source_named_in_a_table_is_written_down(shipped: Tables) -> None:
    unknown = []
    for path in sorted(shipped_folder().rglob("*.csv")):
        lines = [line for line in path.read_text(encoding="utf-8").splitlines() if not line.startswith("#")]
        for row in csv.DictReader(lines):
            if "source" in row and row["source"] not in shipped.sources:
                unknown.append((path.name, row["source"]))
    assert unknown == []


def test_no_row_of_a_table_is_surer_than_the_source_it_names(shipped: Tables) -> None:
    surer = []
    for path in sorted(shipped_folder().rglob("*.csv")):
        lines = [line for line in path.read_text(encoding="utf-8").splitlines() if not line.startswith("#")]
        for row in csv.DictReader(lines):
            if row.get("status") == "read" and not shipped.sources[row["source"]].confirmed:
                surer.append((path.name, row["source"]))
    assert surer == []


def test_a_rule_keeps_the_digits_that_were_written(shipped: Tables) -> None:
    kink = next(x for x in shipped.limits if x.id == "rod-kink-gap")
    assert kink.rule == AtMost(Decimal("0.10"))
