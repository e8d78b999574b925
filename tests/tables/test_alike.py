"""A kind of cylinder written as another with changes: what it has not, says otherwise, and has several times."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from log import Log

from inspect_app.entries.job import Answer, Field, Survey
from inspect_app.job.judge import limits_for
from inspect_app.job.nameplate import fields_of, sizes_missing
from inspect_app.job.present import is_asked, parts_of
from inspect_app.tables import load, shipped_folder
from inspect_app.tables.alike import hashes
from inspect_app.tables.faults import TableError
from inspect_app.tables.standards.handbook import shipped_handbook
from inspect_app.trade.measuring.inch_bores import rods_met

TABLES = load()
KINDS = TABLES.cylinders


def answered(kind: str, **answers: str) -> Survey:
    said = {name.replace("_", "-"): Answer(text, "KM", "") for name, text in answers.items()}
    return Survey(cylinder=kind, answers=said)


def asked(survey: Survey) -> set[str]:
    return {c.id for c in KINDS[survey.cylinder].checks if is_asked(c, survey)}


@pytest.mark.parametrize("count", [2, 3, 6])
def test_a_stage_is_there_for_as_many_as_were_counted(count: int) -> None:
    survey = answered("telescopic", stages=str(count))
    surfaces = [c for c in asked(survey) if c.endswith("-surface")]
    # n outsides, n glands, and n − 1 insides of sleeves: the smallest stage is a plunger
    assert len(surfaces) == count
    assert len([c for c in asked(survey) if c.endswith("-gland-bore")]) == count
    assert (
        len(
            [
                c
                for c in asked(survey)
                if c.startswith("stage-") and c.endswith("-bore") and "gland" not in c and "mouth" not in c
            ]
        )
        == count - 1
    )
    parts = [p.id for p in parts_of(KINDS["telescopic"], survey)]
    assert [p for p in parts if p.endswith("-sleeve")] == [f"stage-{n}-sleeve" for n in range(1, count + 1)]


def test_the_nameplate_has_a_size_of_each_stage_that_was_counted() -> None:
    survey = answered("telescopic", stages="2")
    sizes = [f.id for f in sizes_missing(KINDS["telescopic"], survey)]
    assert sizes == [
        "bore",
        "stage-1-outside",
        "stage-1-inside",
        "stage-1-stroke",
        "stage-2-outside",
        "stage-2-stroke",
    ]
    assert "rod" not in [f.id for f in fields_of(KINDS["telescopic"], survey)]
    assert [f.id for f in sizes_missing(KINDS["ram"], answered("ram"))] == ["rod", "stroke"]
    both = [f.id for f in sizes_missing(KINDS["double-rod"], answered("double-rod"))]
    assert both == ["bore", "side-a-rod", "side-b-rod", "stroke"]


def test_a_flange_cylinder_is_not_asked_for_eyes() -> None:
    for kind in ("double-acting", "tie-rod", "ram", "double-rod"):
        bolted = asked(answered(kind, cap_end="flange", rod_end="no-eye", hung_loose="no"))
        assert not [c for c in bolted if "eye" in c or c in ("pins-look", "trunnion-look")], kind
        assert "flange-look" in bolted
        assert {"cap-eye-bore", "pins-look"} <= asked(answered(kind, cap_end="clevis", rod_end="no-eye"))
        assert {"trunnion-look", "trunnion-diameter"} <= asked(
            answered(kind, cap_end="trunnion", rod_end="no-eye")
        )


def test_the_tube_of_a_ram_is_no_seal_face() -> None:
    for kind in ("ram", "telescopic"):
        of_tube = [c for c in KINDS[kind].checks if c.part == "barrel"]
        judged = {
            (x.check, x.characteristic, x.defect) for c in of_tube for x in TABLES.limits_of.get(c.id, ())
        }
        assert not [
            x
            for x in judged
            if x[1] in ("roughness", "ovality") or (x[2].startswith("score") and x[0] != "bore-ends")
        ]
    # and where a piston seal runs it is one
    assert TABLES.limits_of["stage-1-seal-bore"]
    assert not TABLES.limits_of.get("stage-1-bore")


def test_what_stands_several_times_has_the_limits_of_what_it_repeats() -> None:
    check = KINDS["double-rod"].check("side-b-rod-diameter")
    assert check is not None
    survey = Survey(
        cylinder="double-rod", answers={"sizes": Answer("metric", "KM", "")},
        nameplate={"side-b-rod": Field("50", Log(rod="50").survey().length("rod")), "side-a-rod": Field("70", None)},
    )  # fmt: skip
    reuse = limits_for(check, "size", survey, TABLES)["reuse"]
    # ISO 286-2: 50 f8 is -25/-64; 0.02 over nominal at most
    assert (str(reuse.lower), str(reuse.upper)) == ("49.936", "50.02")
    runout = {x.rule.of for x in TABLES.limits_of["stage-3-runout"] if hasattr(x.rule, "of")}
    assert runout == {"stage-3-support_span"}


def test_only_what_changes_moves_the_hash_of_a_kind() -> None:
    files = {"a.toml": b'id = "a"\n', "b.toml": b'like = "a.toml"\n', "c.toml": b'id = "c"\n'}
    before = hashes(files)
    after = hashes({**files, "a.toml": b'id = "a"\ntitle = "A"\n'})
    assert before["a.toml"] != after["a.toml"]
    assert before["b.toml"] != after["b.toml"]  # it is like a, so it says something else now
    assert before["c.toml"] == after["c.toml"]


SLIPS = {
    "like": ('like = "double_acting.toml"', 'like = "double.toml"', "cylinders/double.toml", "file"),
    "circle": ('like = "double_acting.toml"', 'like = "tie_rod.toml"', "tie_rod.toml", "like"),
    "without": ('"retaining-groove", "bore-beside"]', '"retaining-grove", "bore-beside"]', "tie_rod.toml", "without"),
    "what": ('"static ring"]', '"static rim"]', "tie_rod.toml", "repeat head.what"),
    "called": ('called = ["head end", "cap end"]', 'called = ["head end"]', "tie_rod.toml", "repeat head.called"),
    "before": ('before = "grooves"', 'before = "groves"', "tie_rod.toml", "part tie-rods.before"),
    "areas": ('id = "tie-rod"\n', 'id = "tie-rod"\nareas = "bores"\n', "tie_rod.toml", "areas"),
    "key": ('of = ["head", "cap"]', 'off = ["head", "cap"]', "tie_rod.toml", "repeat 1"),
    "question": ('when = { gland-cartridge = ["yes"] }', 'when = { gland-box = ["yes"] }', "tie_rod.toml",
                 "check gland-fasteners.when"),
}  # fmt: skip


@pytest.mark.parametrize("slip", SLIPS)
def test_a_slip_is_told_by_file_and_key(slip: str, tmp_path: Path) -> None:
    old, new, file, key = SLIPS[slip]
    folder = Path(shutil.copytree(shipped_folder(), tmp_path / "checklists"))
    kind = folder / "cylinders" / "tie_rod.toml"
    text = kind.read_text(encoding="utf-8")
    assert old in text
    kind.write_text(text.replace(old, new, 1), encoding="utf-8")
    with pytest.raises(TableError) as told:
        load(folder)
    assert any(f.file.endswith(file) and f.key == key for f in told.value.faults), told.value


def test_a_check_of_another_kind_on_another_cylinder_is_refused(tmp_path: Path) -> None:
    folder = Path(shutil.copytree(shipped_folder(), tmp_path / "checklists"))
    with (folder / "cylinders" / "ram.toml").open("a", encoding="utf-8") as writing:
        writing.write('\n[[check]]\nid = "gland-bore"\nof_kind = "bore-diameter"\n')
    with pytest.raises(TableError, match="check gland-bore: is of another kind than on another cylinder"):
        load(folder)


def test_the_rods_met_with_an_inch_bore_are_told_and_none_is_inferred() -> None:
    bores = shipped_handbook().inch_bores
    met = rods_met(bore_mm=4 * 25.4, bores=bores)
    assert met is not None
    assert "1, 1 3/4, 2 1/2 in (from memory). Measure the rod" in str(met)
    assert rods_met(bore_mm=100, bores=bores) is None
    assert len(bores) == 12
