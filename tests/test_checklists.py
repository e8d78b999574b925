"""The shipped checklist covers what the trade measures, and its limits carry the published numbers."""

from __future__ import annotations

from decimal import Decimal
from itertools import pairwise
from pathlib import Path

import pytest

from inspect_app.job.job import Field, Job
from inspect_app.job.judge import LimitInForce, limits_for
from inspect_app.job.places import places_of
from inspect_app.tables import Tables, load, shipped_folder
from inspect_app.tables.cylinders import Cylinder
from inspect_app.trade.fits import limits_of_size

D = Decimal


@pytest.fixture(scope="module")
def tables() -> Tables:
    return load()


@pytest.fixture(scope="module")
def cylinder(tables: Tables) -> Cylinder:
    return tables.cylinders["double-acting"]


def job_of(tables: Tables, **lengths_mm: str) -> Job:
    """A job of which only the nameplate is known; sizes a check asks for are all `ask`."""
    asked = lengths_mm.pop("ask", "")
    nominals = {
        c.id: Field(asked, D(asked))
        for c in tables.cylinders["double-acting"].checks
        if asked and c.nominal == "ask"
    }
    return Job(
        "J",
        cylinder="double-acting",
        nameplate={name: Field(mm, D(mm)) for name, mm in lengths_mm.items()},
        nominals=nominals,
    )


def in_force(tables: Tables, job: Job, check_id: str, characteristic: str, level: str) -> LimitInForce:
    check = tables.cylinders["double-acting"].check(check_id)
    assert check is not None
    return limits_for(check, characteristic, job, tables)[level]


# -- what is measured: one row per row of the trade's own list of checks ----------------------------

MEASURED = [
    # check, part, gauge, at least so many stations on a 1200 mm stroke, clocks, characteristics
    ("rod-diameter", "rod", "outside micrometer", 3, ["12", "3"], "size ovality taper"),
    ("rod-runout", "rod", "dial indicator", 3, [], "tir bow worst_per_metre"),
    ("rod-chrome", "rod", "coating gauge", 3, ["12", "6"], "least mean"),
    ("rod-roughness", "rod", "roughness tester", 3, [], "roughness"),
    (
        "bore-diameter",
        "barrel",
        "bore gauge",
        5,
        ["12", "1.5", "3", "4.5"],
        "size ovality taper ballooning bell_mouth",
    ),
    ("bore-roughness", "barrel", "roughness tester", 3, [], "roughness"),
    ("barrel-wall", "barrel", "ultrasonic thickness gauge", 3, ["12", "3", "6", "9"], "least"),
    ("piston-diameter", "piston", "outside micrometer", 2, ["12", "3"], "size ovality"),
    ("piston-bore", "piston", "telescoping gauge", 1, ["12", "3"], "size ovality"),
    ("gland-bore", "gland", "bore gauge", 2, ["12", "3"], "size ovality"),
    *(
        (f"{groove}-groove-diameter", "grooves", "groove micrometer", 1, ["12", "3"], "size ovality")
        for groove in (
            "rod-seal",
            "buffer",
            "wiper",
            "gland-wear-ring",
            "piston-wear-ring",
            "piston-seal",
            "static",
        )
    ),
    *(
        (f"{groove}-groove-width", "grooves", "gauge blocks", 1, ["12", "6"], "size")
        for groove in (
            "rod-seal",
            "buffer",
            "wiper",
            "gland-wear-ring",
            "piston-wear-ring",
            "piston-seal",
            "static",
        )
    ),
    ("groove-depth", "grooves", "depth micrometer", 6, [], "size"),
    ("groove-radius", "grooves", "radius gauge", 3, [], "size"),
    ("groove-roughness", "grooves", "roughness tester", 3, [], "roughness"),
    ("rod-eye-bore", "pins", "telescoping gauge", 2, ["12", "3"], "size ovality"),
    ("rod-eye-pin", "pins", "outside micrometer", 2, ["12", "3"], "size ovality"),
    ("cap-eye-bore", "pins", "telescoping gauge", 2, ["12", "3"], "size ovality"),
    ("cap-eye-pin", "pins", "outside micrometer", 2, ["12", "3"], "size ovality"),
]


@pytest.mark.parametrize("row", MEASURED, ids=lambda row: row[0])
def test_the_trades_measurements_are_asked_for(tables: Tables, cylinder: Cylinder, row: tuple) -> None:
    check_id, part, gauge, stations, clocks, characteristics = row
    check = cylinder.check(check_id)
    assert check is not None
    assert (check.part, check.gauge, list(check.clocks)) == (part, gauge, clocks)
    assert list(check.characteristics) == characteristics.split()
    job = job_of(tables, stroke="1200")
    assert len({place.station for place in places_of(check, job)}) >= stations


@pytest.mark.parametrize(
    ("check_id", "hole", "shaft"),
    [
        ("piston-clearance", "bore-diameter", "piston-diameter"),
        ("gland-clearance", "gland-bore", "rod-diameter"),
        ("rod-eye-clearance", "rod-eye-bore", "rod-eye-pin"),
        ("cap-eye-clearance", "cap-eye-bore", "cap-eye-pin"),
    ],
)
def test_clearances_take_the_hole_first(cylinder: Cylinder, check_id: str, hole: str, shaft: str) -> None:
    check = cylinder.check(check_id)
    assert check is not None
    assert check.between == (hole, shaft)


LOOKED_FOR = {
    "rod-surface": "score-along score-round pit dent rust flaking base-metal scuffing crack",
    "bore-surface": "score-along score-round pit rust scuffing washboarding crack",
    "barrel-outside": "bulge dent burr thread-damage crack",
    "piston-look": "scuffing burr thread-damage crack",
    "gland-look": "score-along scuffing thread-damage crack",
    "gland-groove-sides": "edge-broken burr pit crack",
    "piston-groove-sides": "edge-broken burr pit crack",
    "pins-look": "scuffing worn-one-side crack",
    "welds-look": "crack indication undercut",
    "roots-look": "crack indication thread-damage",
}


@pytest.mark.parametrize("check_id", LOOKED_FOR)
def test_the_trades_damage_is_looked_for(cylinder: Cylinder, check_id: str) -> None:
    check = cylinder.check(check_id)
    assert check is not None
    assert set(LOOKED_FOR[check_id].split()) <= set(check.look)


def test_nothing_else_is_asked_for(cylinder: Cylinder) -> None:
    clearances = {c.id for c in cylinder.checks if c.between}
    listed = {row[0] for row in MEASURED} | set(LOOKED_FOR) | clearances | {"rod-hardness"}
    assert {c.id for c in cylinder.checks} == listed


def test_only_the_barrel_takes_the_whole_cylinder_with_it(cylinder: Cylinder) -> None:
    assert [p.id for p in cylinder.parts] == ["rod", "barrel", "piston", "gland", "grooves", "pins", "welds"]
    assert [p.id for p in cylinder.parts if p.body] == ["barrel"]


# -- where, and how much of it --------------------------------------------------------------------


def readings_of(cylinder: Cylinder, job: Job) -> int:
    return sum(len(places_of(c, job)) for c in cylinder.checks if c.gauge)


def test_a_full_inspection_of_a_1200_stroke_is_120_to_170_readings(
    tables: Tables, cylinder: Cylinder
) -> None:
    assert 120 <= readings_of(cylinder, job_of(tables, stroke="1200")) <= 170


def test_what_a_shop_without_the_dearer_gauges_must_read_is_under_100(
    tables: Tables, cylinder: Cylinder
) -> None:
    job = job_of(tables, stroke="1200")
    assert 70 <= sum(len(places_of(c, job)) for c in cylinder.checks if c.gauge and not c.optional) < 100


@pytest.mark.parametrize("stroke_mm", [150, 400, 1200, 3000, 8000])
def test_rod_stations_are_never_more_than_500_apart(
    tables: Tables, cylinder: Cylinder, stroke_mm: int
) -> None:
    for check_id in ("rod-diameter", "rod-runout", "rod-chrome"):
        check = cylinder.check(check_id)
        assert check is not None
        at = sorted({int(p.station) for p in places_of(check, job_of(tables, stroke=str(stroke_mm)))})
        assert len(at) >= 3
        assert max(b - a for a, b in pairwise(at)) <= 500 + 1  # stations are whole mm
        assert at[0] > 0
        assert at[-1] < stroke_mm


def test_the_bore_is_read_at_four_clocks_45_degrees_apart(cylinder: Cylinder) -> None:
    check = cylinder.check("bore-diameter")
    assert check is not None
    degrees = [float(clock) % 12 * 30 for clock in check.clocks]
    assert degrees == [0, 45, 90, 135]


def test_stations_have_names_while_the_stroke_is_not_known(tables: Tables, cylinder: Cylinder) -> None:
    assert readings_of(cylinder, job_of(tables)) > 100


# -- words ----------------------------------------------------------------------------------------


def test_every_check_says_why_and_how_in_a_few_words(cylinder: Cylinder) -> None:
    for check in cylinder.checks:
        assert 20 < len(check.why) < 140, check.id
        assert 20 < len(check.how) < 200, check.id
        assert "\n" not in check.why + check.how
        assert check.title[0].isupper()


def test_every_defect_is_told_apart_by_a_helper_and_looked_for_somewhere(cylinder: Cylinder) -> None:
    looked_for = {d for c in cylinder.checks for d in c.look}
    for defect in cylinder.defects:
        assert 20 < len(defect.plain) < 120, defect.id
        assert defect.id in looked_for


def test_what_the_phone_shows_holds_only_signs_its_font_has(tables: Tables) -> None:
    # one sign the toolkit's bundled Roboto lacks makes the client ask for fonts without end
    edited = [p for p in shipped_folder().rglob("*.toml") if p.parent.name != "sources"]
    texts = [(str(p), p.read_text(encoding="utf-8")) for p in edited]
    shown = {x.source for x in tables.limits} | {g.source for g in tables.gauges.values()}
    texts += [(s.key, s.title + s.where + s.note) for s in shown]
    for name, text in texts:
        assert {c for c in text if not (c.isascii() or "\xa1" <= c <= "\xff" or c in "≤≥Δ")} == set(), name


# -- limits ---------------------------------------------------------------------------------------


def test_every_check_is_judged_or_says_that_it_is_information_only(
    tables: Tables, cylinder: Cylinder
) -> None:
    for check in cylinder.checks:
        judged = any(x.level == "reuse" for x in tables.limits_of.get(check.id, ()))
        assert judged != check.why.startswith("Information only"), check.id


A_PERSON_DECIDES = {
    # a dent in the tube's outside and any mark in a thread or shoulder: no limit was found
    ("barrel-outside", "dent", "load or pressure path"),
    ("barrel-outside", "dent", "thread or shoulder"),
    *(
        ("rod-surface", defect, "thread or shoulder")
        for defect in ("score-along", "score-round", "pit", "dent", "rust", "scuffing", "washboarding")
    ),
    # the Army's length rule is for the bore the rod runs in
    ("gland-look", "score-along", "thread or shoulder"),
}


def test_every_defect_has_a_limit_where_it_may_sit(tables: Tables, cylinder: Cylinder) -> None:
    without = set()
    for check in cylinder.checks:
        for kind in check.look:
            for zone in cylinder.zones_of(check):
                defect = cylinder.defect(kind)
                assert defect is not None
                measures = (*defect.measures, "count")
                job = job_of(tables)
                found = [limits_for(check, m, job, tables, kind, zone).get("reuse") for m in measures]
                if not any(found):
                    without.add((check.id, kind, zone))
    assert without == A_PERSON_DECIDES


def test_a_crack_stops_the_job_wherever_it_sits(tables: Tables, cylinder: Cylinder) -> None:
    looks = [c for c in cylinder.checks if "crack" in c.look]
    assert len(looks) == len(LOOKED_FOR)
    for check in looks:
        for zone in cylinder.zones_of(check):
            limit = limits_for(check, "count", job_of(tables), tables, "crack", zone)["reuse"]
            assert (limit.upper, limit.beyond) == (0, "refer")


def test_every_rework_says_which_operation_cures_it(tables: Tables) -> None:
    assert [x.id for x in tables.limits if x.beyond == "rework" and not x.cure] == []


SPOTS = [
    # check, characteristic, level, lower, upper, and where the number stands outside this project
    ("bore-diameter", "size", "new", "100", "100.054", "ISO 286-2: 100 H8 = 0/+54"),
    ("bore-diameter", "size", "reuse", "100", "100.087", "ISO 286-2: 100 H9 = 0/+87"),
    ("bore-diameter", "size", "rework", "99.75", "100.70", "common practice: 0.75 over, 0.05 to clean up"),
    ("bore-diameter", "ovality", "new", None, "0.027", "design handbook: half of IT8, 100 H8 gives 27 um"),
    ("bore-diameter", "ovality", "reuse", None, "0.05", "starting value to 100 mm bore"),
    ("bore-diameter", "ballooning", "reuse", None, "0.10", "starting value to 100 mm bore"),
    ("rod-diameter", "size", "new", "62.940", "62.970", "ISO 286-2: 63 f7 = -30/-60"),
    ("rod-diameter", "size", "reuse", "62.924", None, "ISO 286-2: 63 f8 = -30/-76"),
    ("rod-diameter", "size", "rework", "62.5", "63", "common practice: 0.25 mm of chrome a side"),
    ("rod-diameter", "ovality", "new", None, "0.015", "bar suppliers: half of IT7, 30 um over 50 to 80"),
    ("rod-diameter", "ovality", "reuse", None, "0.046", "ISO 286-1: IT8 over 50 to 80 is 46 um"),
    ("rod-runout", "tir", "reuse", None, "0.65", "trade guide's worked example: 1.3 m gives 0.65 mm"),
    ("rod-runout", "tir", "rework", None, "1.3", "trade guide: 1 mm per metre"),
    ("rod-runout", "tir", "new", None, "0.26", "bar supplier: 0.2 mm per metre"),
    ("rod-chrome", "least", "reuse", "16", None, "trade guide: 0.016 mm (0.0006 in)"),
    ("rod-chrome", "least", "new", "20", None, "bar suppliers: 20 um at least"),
    ("rod-roughness", "roughness", "new", "0.05", "0.3", "seal maker's handbook: Ra 0.05 to 0.3"),
    ("rod-roughness", "roughness", "reuse", None, "0.4", "upper end of what suppliers print"),
    ("bore-roughness", "roughness", "new", "0.05", "0.3", "seal maker's handbook: Ra 0.05 to 0.3"),
    ("groove-roughness", "roughness", "reuse", None, "1.6", "seal maker's handbook: groove base Ra 1.6"),
    ("piston-clearance", "clearance", "reuse", "0.2", "1.0", "common practice 1.0; sheet: 0.1 mm a side"),
    ("rod-eye-clearance", "clearance", "reuse", None, "1.0", "starting value to 50 mm pin"),
    ("piston-wear-ring-groove-diameter", "size", "new", "74.954", "75", "wear ring sheet: 75 h8 = 0/-46"),
    ("piston-wear-ring-groove-width", "size", "new", "75", "75.2", "wear ring sheet: width +0.2/0"),
    ("wiper-groove-diameter", "size", "new", "75", "75.190", "ISO 286-2: 75 H11 = 0/+190"),
    ("rod-seal-groove-diameter", "size", "reuse", "74.90", "75.10", "groove wear: depth 0.05 mm"),
    ("rod-seal-groove-width", "size", "reuse", "74.90", "75.35", "housing 0.2 and wear 0.15 mm"),
]


@pytest.mark.parametrize("spot", SPOTS, ids=lambda s: f"{s[0]} {s[1]} {s[2]}: {s[5]}")
def test_a_100_63_cylinder_is_judged_by_the_published_numbers(tables: Tables, spot: tuple) -> None:
    check_id, characteristic, level, lower, upper, _ = spot
    job = job_of(tables, bore="100", rod="63", stroke="1200", pin="50", support_span="1300", ask="75")
    limit = in_force(tables, job, check_id, characteristic, level)
    assert limit.missing == ""
    assert (limit.lower, limit.upper) == (lower and D(lower), upper and D(upper))


@pytest.mark.parametrize(
    ("pin", "play"), [("50", "1.0"), ("50.01", "1.5"), ("80", "1.5"), ("80.01", "2.0"), ("200", "2.0")]
)
def test_play_grows_with_the_pin(tables: Tables, pin: str, play: str) -> None:
    # starting values of the checklist: to 50, to 80 and above
    assert in_force(tables, job_of(tables, pin=pin), "cap-eye-clearance", "clearance", "reuse").upper == D(
        play
    )


@pytest.mark.parametrize("size", ["25", "40", "50", "63", "100", "125", "160", "200", "250", "320", "500"])
def test_reuse_is_never_tighter_than_new_and_rework_reaches_further(
    tables: Tables, cylinder: Cylinder, size: str
) -> None:
    job = job_of(tables, bore=size, rod=size, stroke="1200", pin=size, support_span="1000", ask=size)
    pairs = 0
    for check in cylinder.checks:
        for characteristic in check.characteristics:
            by_level = limits_for(check, characteristic, job, tables)
            for inner, outer in (("new", "reuse"), ("reuse", "rework")):
                if inner in by_level and outer in by_level:
                    pairs += 1
                    assert holds(by_level[outer], by_level[inner]), (check.id, characteristic, inner)
    assert pairs >= 20


def holds(outer: LimitInForce, inner: LimitInForce) -> bool:
    """Whether everything the inner limit lets pass on a side the outer one has also passes there."""
    low = outer.lower is None or inner.lower is None or outer.lower <= inner.lower
    high = outer.upper is None or inner.upper is None or outer.upper >= inner.upper
    return low and high


@pytest.mark.parametrize("size", ["25", "63", "100", "160", "250", "500"])
def test_a_new_iso_10766_groove_is_never_called_worn(tables: Tables, size: str) -> None:
    # h8, and the width +0.2/0, as read in a wear ring sheet headed ISO 10766
    h8 = limits_of_size(nominal_mm=D(size), fit_class="h8", tables=tables.iso286)
    job = job_of(tables, ask=size)
    floor = in_force(tables, job, "piston-wear-ring-groove-diameter", "size", "reuse")
    width = in_force(tables, job, "piston-wear-ring-groove-width", "size", "reuse")
    assert floor.lower is not None
    assert width.upper is not None
    assert floor.lower <= h8.lower_mm
    assert width.upper >= D(size) + D("0.2")


def test_a_limit_says_what_the_nameplate_lacks_instead_of_guessing(tables: Tables) -> None:
    empty = job_of(tables)
    assert "support" in in_force(tables, empty, "rod-runout", "tir", "reuse").missing
    assert "nominal" in in_force(tables, empty, "bore-diameter", "size", "reuse").missing


# -- gauges and cautions --------------------------------------------------------------------------


def test_every_gauge_is_good_enough_for_what_it_is_asked(tables: Tables, cylinder: Cylinder) -> None:
    """On a 100/63 cylinder each check's gauge can prove at least the middle of its reuse limits."""
    job = job_of(tables, bore="100", rod="63", stroke="1200", pin="50", support_span="1300", ask="75")
    for check in cylinder.checks:
        limit = limits_for(check, "size", job, tables).get("reuse")
        if check.gauge and limit and limit.lower is not None and limit.upper is not None:
            gauge = tables.gauges[check.gauge]
            error = next(e for up_to, e in gauge.errors if limit.upper <= up_to)
            assert limit.lower + error < limit.upper - error, check.id


def test_readings_beyond_a_gauges_last_row_do_not_happen_on_the_bench(
    tables: Tables, cylinder: Cylinder
) -> None:
    # the largest bores of ISO 3320 are 500 mm
    for check in cylinder.checks:
        if check.gauge and check.nominal in ("bore", "rod"):
            assert tables.gauges[check.gauge].errors[-1][0] >= 500, check.id


@pytest.mark.parametrize(
    ("when", "words"),
    [
        ("always", "local codes"),
        ("always", "surgical emergency"),
        ("before opening", "lock and tag"),
        ("before opening", "block the load"),
        ("before opening", "both ends"),
        ("while draining", "behind a guard"),
        ("drawing the gland and piston", "never push a gland or a piston out with compressed air"),
        ("drawing the gland and piston", "never heat a closed cylinder"),
        ("drawing the gland and piston", "under spring"),
        ("drawing the gland and piston", "clamp the barrel"),
        ("lifting", "crane must carry it with their attachments"),
        ("machining and plating", "hexavalent chromium"),
        ("welding", "qualified welder"),
        ("pressure test", "bleed all air"),
        ("pressure test", "in line with rod"),
        ("pressure test", "in steps"),
        ("pressure test", "energy figure"),
    ],
)
def test_the_trades_dangers_are_said_before_the_work(tables: Tables, when: str, words: str) -> None:
    assert any(c.when == when and words in c.sentence.lower() for c in tables.cautions)


@pytest.mark.parametrize(
    "rule", ["29 CFR 1910.147", "29 CFR 1910.1026", "29 CFR 1910.242(b)", "ISO 4413", "ISO 10100"]
)
def test_the_rules_behind_the_cautions_are_named(tables: Tables, rule: str) -> None:
    assert any(rule in c.reference for c in tables.cautions)


def test_a_caution_is_one_or_two_sentences(tables: Tables) -> None:
    for caution in tables.cautions:
        assert caution.sentence.endswith(".")
        assert len(caution.sentence) < 220, caution.id


def test_every_file_a_shop_edits_opens_by_saying_how() -> None:
    shipped = shipped_folder()
    files: list[Path] = [
        *shipped.glob("*.toml"),
        *shipped.glob("limits/*.toml"),
        *shipped.glob("cylinders/*"),
    ]
    for path in files:
        lines = path.read_text(encoding="utf-8").splitlines()
        opening = next(n for n, line in enumerate(lines) if not line.startswith("#"))
        assert 5 <= opening <= 14, path.name
