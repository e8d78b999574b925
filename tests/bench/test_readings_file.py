"""Readings typed off paper: a good file becomes a job like any other, a bad one is refused by file, key and mend."""

from __future__ import annotations

import copy
import json
import tomllib
from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from inspect_app.bench.bench import Bench
from inspect_app.bench.readings_file import bench_for, record_file
from inspect_app.entries.job import WHOLE_CHECK, Job, Place
from inspect_app.job.assess import Whole
from inspect_app.job.findings import Disposition
from inspect_app.report.plain import as_data, as_table
from inspect_app.tables import shipped_folder
from inspect_app.trade.measuring.refusal import Refusal

DEMO = shipped_folder("demo_data")

GOOD = """
job = "P-7"
by = "KM"
date = 2026-03-02
units = "metric"
looked = ["rod-surface"]
cautions = ["lock-out"]

[nameplate]
bore = "100"
rod = "70"
stroke = 600
customer = "Example"

[gauge."outside-micrometer"]
name = "M-07"
uncertainty = "0.004"
step = "0.001"
calibrated_until = "2027-01-31"

[[check]]
id = "rod-diameter"
stations = [25, 300]
clocks = [12, 3]
readings = [["69.95", "-0.045"], ["-", "69,93"]]
skip = "under the clamp"

[[check]]
id = "rod-runout"
skip = "no rollers"

[[check]]
id = "rod-seal-groove-diameter"
nominal = "85"
clocks = [12, 3]
readings = [["85.02", "85.01"]]

[[limit]]
check = "rod-diameter"
characteristic = "size"
lower = "69.94"
drawing = "4711 b"

[[defect]]
check = "rod-surface"
kind = "dent"
zone = "seal-travel"
station = 310
clock = 6
depth = "0.2"

[[decision]]
part = "rod"
disposition = "replace"
reason = "a new rod is cheaper"
"""


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[Bench]:
    bench = Bench(tmp_path / "shop")
    yield bench
    bench.close()


def written(folder: Path, text: str) -> Path:
    """A readings file with this text."""
    file = folder / "p7.toml"
    file.write_text(text, encoding="utf-8")
    return file


def test_a_file_becomes_a_job_with_everything_in_it(bench: Bench, tmp_path: Path) -> None:
    job, doubts = record_file(written(tmp_path, GOOD), bench)
    assert doubts == []
    assert (job.name, job.opened_by, job.as_found.text("stroke"), job.as_found.length("bore")) == (
        "P-7",
        "KM",
        "600 mm",
        100,
    )
    assert {place: r.value for place, r in job.as_found.readings["rod-diameter"].items()} == {
        Place("25", "12"): Decimal("69.95"),
        Place("25", "3"): Decimal("69.955"),
        Place("300", "3"): Decimal("69.93"),
    }
    assert {key: skip.reason for key, skip in job.as_found.skips.items()} == {
        ("rod-diameter", Place("300", "12")): "under the clamp",
        ("rod-runout", WHOLE_CHECK): "no rollers",
    }
    assert [g.name for g in job.as_found.gauges.values() if g.kind == "outside-micrometer"] == ["M-07"]
    assert job.as_found.nominals["rod-seal-groove-diameter"].value == 85
    assert [(x.lower, x.upper, x.source) for x in job.as_found.limits] == [(Decimal("69.94"), None, "4711 b")]
    (dent,) = job.as_found.defects
    assert (dent.kind, dent.place, dent.zone) == ("dent", Place("310", "6"), "seal-travel")
    assert {name: (size.value, size.typed) for name, size in dent.sizes.items()} == {
        "depth": (Decimal("0.2"), "0.2 mm")
    }
    assert (job.as_found.looked, set(job.cautions)) == ({"rod-surface"}, {"lock-out"})
    assert job.as_found.decided["rod"].reason == "a new rod is cheaper"


IN_WORDS = """
[gauge."Ultrasonic thickness gauge"]
uncertainty = "0.1"
step = "0.1"

[[check]]
id = "barrel-wall"
stations = ["under the deepest mark", "Gland end", "middle"]
readings = ["9.8", "10.1", "-"]
skip = "cannot be reached"

[[defect]]
check = "rod-surface"
kind = "Dent"
zone = "seal travel"
felt = "not felt"

[[decision]]
part = "rod"
disposition = "Replace"
reason = "a new rod is cheaper"
"""
IN_IDS = IN_WORDS
for words, of in (
    ("Ultrasonic thickness gauge", "ultrasonic-thickness-gauge"), ("under the deepest mark", "under-the-deepest-mark"),
    ("Gland end", "gland-end"), ("cannot be reached", "not-reached"), ("Dent", "dent"), ("seal travel", "seal-travel"),
    ("not felt", "not-felt"), ("Replace", "replace"),
):  # fmt: skip
    assert IN_WORDS.count(words) == 1
    IN_IDS = IN_IDS.replace(words, of)


@pytest.mark.parametrize("text", [IN_WORDS, IN_IDS])
def test_what_has_an_id_stands_in_the_log_by_it_however_it_was_written(
    bench: Bench, tmp_path: Path, text: str
) -> None:
    job, _ = record_file(written(tmp_path, text), bench)
    bodies = {e.kind: e.body for e in bench.logbook.entries(job.id)}
    assert bodies["places"]["stations"] == ["under-the-deepest-mark", "gland-end", "middle"]
    assert {e.body["station"] for e in bench.logbook.entries(job.id) if e.kind == "reading"} == {
        "under-the-deepest-mark",
        "gland-end",
    }
    assert (bodies["skip"]["station"], bodies["skip"]["reason"]) == ("middle", "not-reached")
    found = bodies["defect"]
    assert (found["defect"], found["zone"], found["felt"]) == ("dent", "seal-travel", "not-felt")
    assert bodies["decision"]["disposition"] == "replace"
    assert (bodies["gauge"]["kind"], bodies["gauge"]["name"]) == ("ultrasonic-thickness-gauge", "")


def test_ids_are_said_in_words(bench: Bench, tmp_path: Path) -> None:
    job, _ = record_file(written(tmp_path, IN_IDS), bench)
    told = "\n".join(as_table(job, bench.assess(job), "metric"))
    assert "under the deepest mark" in told
    for of in ("under-the", "gland-end", "not-reached", "seal-travel", "not-felt", "not-decided"):
        assert of not in told


def test_bare_numbers_follow_the_files_units(bench: Bench, tmp_path: Path) -> None:
    text = 'units = "inch"\n[nameplate]\nrod = "2 1/2"\nbore = "100 mm"\n'
    job, _ = record_file(written(tmp_path, text), bench)
    assert (job.as_found.length("rod"), job.as_found.length("bore")) == (Decimal("63.5"), 100)
    assert job.name == "p7"


def test_an_unlikely_reading_is_taken_as_written_and_said(bench: Bench, tmp_path: Path) -> None:
    job, doubts = record_file(written(tmp_path, GOOD.replace('"69.95"', '"6995"')), bench)
    assert job.as_found.readings["rod-diameter"][Place("25", "12")].value == 6995
    (doubt,) = doubts
    assert "check rod-diameter, station 25, clock 12" in doubt
    assert "69.95 mm" in doubt


def test_the_same_file_is_the_same_job_to_the_last_id(tmp_path: Path) -> None:
    file = written(tmp_path, GOOD)
    jobs = []
    for name in ("one", "two"):
        bench = bench_for(file, tmp_path / name)
        jobs.append((record_file(file, bench)[0], bench.logbook.head(bench.jobs()[0].id)))
        bench.close()
    assert jobs[0] == jobs[1]
    assert jobs[0][0].opened_at.startswith("2026-03-02T12:00")


# What each demo file is to come out as was decided when it was written: its first line says so.
@pytest.mark.parametrize(
    ("name", "whole", "parts", "left"),
    [
        ("linkspan_repair.toml", Whole.REPAIR, {"rod": Disposition.REWORK, "pins": Disposition.REWORK}, 0),
        ("shear_replace.toml", Whole.REPLACE, {"barrel": Disposition.REPLACE}, 0),
        ("tipper_half_done.toml", Whole.OPEN, {"rod": Disposition.OPEN}, None),
    ],
)
def test_the_demo_files_come_out_as_they_say(
    bench: Bench, name: str, whole: Whole, parts: dict[str, Disposition], left: int | None
) -> None:
    job, _ = record_file(DEMO / name, bench)
    assessment = bench.assess(job)
    assert assessment.whole is whole
    dispositions = {p.part.id: p.disposition for p in assessment.parts}
    assert dispositions | parts == dispositions
    assert assessment.left == left if left is not None else assessment.left > 0


def test_every_photograph_of_the_demo_reaches_the_defect_it_shows(bench: Bench) -> None:
    job, _ = record_file(DEMO / "linkspan_repair.toml", bench)
    assert [len(job.photos_of(d.id)) for d in job.as_found.defects] == [1, 1, 1]


# ---- what is refused: (what is wrong, what the sentence must name)

BAD = {
    "not TOML": ("job = P-7", "", ["TOML", "line 2"]),
    "unknown key": ('by = "KM"', 'byy = "KM"', ["byy", "allowed are job"]),
    "units": ('units = "metric"', 'units = "cm"', ["units", "'cm'", "metric, inch"]),
    "cylinder": ('by = "KM"', 'cylinder = "rotary"', ["cylinder", "'rotary'", "double-acting"]),
    "nameplate is a list": ("[nameplate]", "[[nameplate]]", ["nameplate", "a table"]),
    "nameplate key": ("stroke = 600", "strok = 600", ["nameplate", "strok", "stroke"]),
    "nameplate value": ('bore = "100"', 'bore = "wide"', ["nameplate", "wide"]),
    "size of nothing": ('bore = "100"', 'bore = "0"', ["nameplate", "greater than 0"]),
    "gauge kind": ('[gauge."outside-micrometer"]', '[gauge."ruler"]', ["gauge 'ruler'", "outside micrometer"]),
    "gauge key": ("uncertainty =", "error =", ["gauge 'outside-micrometer'", "error", "uncertainty"]),
    "gauge uncertainty": ('uncertainty = "0.004"', 'uncertainty = ""', ["gauge 'outside-micrometer'"]),
    "gauge date": ('"2027-01-31"', '"31.1.2027"', ["31.1.2027", "year-month-day"]),
    "check id": ('id = "rod-runout"', 'id = "rod-runnout"', ["check", "'rod-runnout'", "rod-runout"]),
    "check key": ('skip = "no rollers"', 'reason = "no rollers"', ["check", "reason", "skip"]),
    "check is a table": ("[[check]]\nid = \"rod-runout\"", "[check_]\nid = \"rod-runout\"", ["check_"]),
    "too few rows": ("stations = [25, 300]", "stations = [25]", ["rod-diameter", "2 rows", "1 station."]),
    "too many clocks": ("clocks = [12, 3]\nreadings = [[\"69", "clocks = [12]\nreadings = [[\"69",
                        ["rod-diameter", "station 25", "2 readings", "1 clock."]),
    "a clock": ("clocks = [12, 3]\nreadings = [[\"69", "clocks = [12, 13]\nreadings = [[\"69", ["'13'", "clock"]),
    "a place twice": ("stations = [25, 300]", "stations = [25, 25]", ["rod-diameter", "'25'", "twice"]),
    "stations no list": ("stations = [25, 300]", "stations = 25", ["check", "stations", "25", "a list"]),
    "a reading": ('"69,93"', '"69.9x"', ["rod-diameter, station 300, clock 3", "69.9x"]),
    "a reading of nothing": ('"69,93"', '"0"', ["rod-diameter, station 300, clock 3", "greater than 0"]),
    "readings of a look": ('id = "rod-diameter"', 'id = "bore-surface"', ["bore-surface", "allowed are"]),
    "a computed check": ('id = "rod-diameter"', 'id = "piston-clearance"', ["piston-clearance", "allowed are"]),
    "no reason": ('skip = "no rollers"', 'skip = " "', ["rod-runout", "why"]),
    "looked at a size": ('looked = ["rod-surface"]', 'looked = ["rod-runout"]', ["looked", "'rod-runout'"]),
    "looked at nothing": ('looked = ["rod-surface"]', "looked = true", ["looked", "True", "a list"]),
    "caution": ('cautions = ["lock-out"]', 'cautions = ["helmet"]', ["cautions", "'helmet'", "lock-out"]),
    "limits exchanged": ('lower = "69.94"', 'lower = "69.94"\nupper = "69"', ["limit", "69.94", "above"]),
    "limit without drawing": ('drawing = "4711 b"', "", ["limit", "which drawing"]),
    "limit of another": ('characteristic = "size"', 'characteristic = "bow"', ["limit", "'bow'", "size"]),
    "defect kind": ('kind = "dent"', 'kind = "ding"', ["defect ding of rod-surface", "Dent; "]),
    "defect clock": ("clock = 6", 'clock = "noon"', ["defect dent of rod-surface", "'noon'", "clock"]),
    "defect size": ('depth = "0.2"', 'depth = "deep"', ["defect dent of rod-surface", "deep"]),
    "photograph": ('depth = "0.2"', 'photos = ["none.jpg"]', ["defect dent", "none.jpg", "cannot be read"]),
    "no photograph": ('depth = "0.2"', 'photos = ["p7.toml"]', ["defect dent", "p7.toml"]),
    "zone": ('zone = "seal-travel"', 'zone = "rim"', ["dent", "'rim'", "an area of this check", "seal travel"]),
    "part": ('part = "rod"', 'part = "stick"', ["decision", "'stick'", "rod"]),
    "disposition": ('disposition = "replace"', 'disposition = "weld"', ["decision", "'weld'", "reuse, rework"]),
    "state key": ("[[decision]]", '[as-left]\nby = "KM"\n[[decision]]', ["as-left", "by", "allowed are nameplate"]),
    "state check": ("[[decision]]", '[[as-left.check]]\nid = "rods"\n[[decision]]', ["'rods'", "rod-diameter"]),
    "no why": ('reason = "a new rod is cheaper"', "", ["decision", "why"]),
}  # fmt: skip
"""By name: what to replace in the good file, by what, and what the sentence must name; "" replaces all of it."""


def bad_text(name: str) -> str:
    """The good file with one thing wrong."""
    good, bad, _ = BAD[name]
    if name == "not TOML":
        return f"\n{good}\n"
    assert good in GOOD
    return GOOD.replace(good, bad, 1)


@pytest.mark.parametrize("name", BAD)
def test_a_bad_file_is_refused_by_file_key_what_was_found_and_what_is_allowed(
    bench: Bench, tmp_path: Path, name: str
) -> None:
    file = written(tmp_path, bad_text(name))
    with pytest.raises(Refusal) as refused:
        record_file(file, bench)
    sentence = str(refused.value)
    assert sentence.startswith(str(file))
    assert sentence.endswith(".")
    assert "\n" not in sentence
    for words in BAD[name][2]:
        assert words in sentence


@pytest.mark.parametrize("day", ['"2026-03-02"', "2", "[2026]"])
def test_a_date_in_quotes_is_refused_with_the_way_to_write_it(tmp_path: Path, day: str) -> None:
    file = written(tmp_path, GOOD.replace("2026-03-02", day))
    with pytest.raises(Refusal, match=r"date: found .* write it like 2026-03-02"):
        bench_for(file, tmp_path / "shop")


def test_a_file_that_is_not_there_is_said_so(bench: Bench, tmp_path: Path) -> None:
    with pytest.raises(Refusal, match=r"none\.toml is not there"):
        record_file(tmp_path / "none.toml", bench)
    tmp_path.joinpath("latin.toml").write_bytes('job = "Größe"'.encode("latin-1"))
    with pytest.raises(Refusal, match=r"latin\.toml is not valid TOML"):
        record_file(tmp_path / "latin.toml", bench)


# ---- whatever else a hand may write


def toml_text(value: Any) -> str:
    """A value as TOML, tables inline."""
    match value:
        case bool():
            return str(value).lower()
        case str():
            return json.dumps(value)
        case list():
            return f"[{', '.join(map(toml_text, value))}]"
        case dict():
            return f"{{{', '.join(f'{json.dumps(k)} = {toml_text(v)}' for k, v in value.items())}}}"
        case date():
            return value.isoformat()
    return repr(value)


def spots(value: Any, so_far: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """The way to everything inside."""
    inside = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, inner in inside:
        yield (*so_far, key)
        yield from spots(inner, (*so_far, key))


CONTENT = tomllib.loads(GOOD)
ODD = [
    0,
    5,
    -1,
    1.5,
    True,
    "",
    "x",
    "nan",
    "inf",
    "1e400",
    "12",
    "²",
    [],
    {},
    [[]],
    ["x"],
    [1, [2]],
    {"a": 1},
]
ODD += [date(2026, 1, 1), "\0", "-", "+", "9" * 30, float("nan"), float("inf")]


def judged(job: Job, bench: Bench) -> None:
    """All that is said of a job, in both units."""
    assessment = bench.assess(job)
    for system in ("metric", "inch"):
        assert list(as_table(job, assessment, system))
    assert json.dumps(as_data(job, assessment))


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(spot=st.sampled_from(list(spots(CONTENT))), odd=st.sampled_from(ODD))
def test_anything_in_the_place_of_anything_is_judged_or_refused_in_one_sentence(
    bench: Bench, tmp_path: Path, spot: tuple[Any, ...], odd: Any
) -> None:
    content = copy.deepcopy(CONTENT)
    inner: Any = content
    for key in spot[:-1]:
        inner = inner[key]
    inner[spot[-1]] = odd
    text = "\n".join(f"{key} = {toml_text(value)}" for key, value in content.items())
    file = written(tmp_path, text)
    sentence = ""
    try:
        judged(record_file(file, bench)[0], bench)
    except Refusal as refused:
        sentence = str(refused)
    assert sentence.startswith(str(file)) or sentence == ""
    assert "\n" not in sentence
