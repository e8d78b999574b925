"""The calculators: published values through the prompt, every example, every mistake, and the keypad's entry."""

from __future__ import annotations

import inspect
import json
import re
import subprocess
import sys
from collections.abc import Callable, Iterator, Mapping
from decimal import Decimal
from functools import cache
from pathlib import Path
from types import FrameType
from typing import Any

import numpy as np
import pytest
from click.testing import CliRunner
from click.testing import Result as Ran
from hypothesis import given, settings
from hypothesis import strategies as st

from inspect_app import trade
from inspect_app.calculators import CALCULATORS, named, run
from inspect_app.calculators.asking import LONGEST_TEXT
from inspect_app.calculators.measures import MEASURES, is_bare, read_measure, show_measure
from inspect_app.calculators.origin import source_keys, validity
from inspect_app.calculators.printed import answer_lines
from inspect_app.calculators.shape import Calculator
from inspect_app.calculators.typed import Entry, begun
from inspect_app.commands.cli import main
from inspect_app.tables.standards.handbook import shipped_handbook
from inspect_app.trade.measuring.refusal import Refusal, Sentence
from inspect_app.trade.measuring.units import KINDS
from inspect_app.trade.sealing.orings import Gland

ROOT = Path(__file__).parents[2]
HANDBOOK = shipped_handbook()
EVERY = pytest.mark.parametrize("calculator", CALCULATORS, ids=lambda c: c.name)


def typed_at_the_prompt(*words: str) -> Ran:
    """What `inspect-app calc` does with these words."""
    return CliRunner().invoke(main, ["calc", *words])


def results(*words: str) -> dict[str, Any]:
    """The values `inspect-app calc ... --json` gives, by name, in canonical units."""
    ran = typed_at_the_prompt(*words, "--json")
    assert ran.exit_code == 0, ran.stderr
    return {result["name"]: result["value"] for result in json.loads(ran.stdout)["results"]}


# ---- published values ---------------------------------------------------------------------------------

PUBLISHED = [
    # words, result, value in its canonical unit, tolerance
    pytest.param("fit class=f7 size=63mm", "upper_deviation", -0.030, 0, id="63 f7: ISO 286-2, -30"),
    pytest.param("fit class=f7 size=63mm", "lower_deviation", -0.060, 0, id="63 f7: ISO 286-2, -60"),
    pytest.param("fit class=f7 size=63mm", "least", 62.940, 0, id="63 f7: least 62.940"),
    pytest.param("fit class=H8 size=100mm", "greatest", 100.054, 0, id="100 H8: ISO 286-2, +54"),
    pytest.param("grade size=63mm grade=7", "width", 0.030, 0, id="IT7 at 63: ISO 286-1, 30 µm"),
    pytest.param("clearance size=100mm hole=H8 shaft=f7", "greatest", 0.125, 0, id="100 H8/f7: 36 to 125"),
    pytest.param("bow tir=0.65mm span=1300mm", "tir_per_metre", 0.5, 0, id="repair guide: 0.65 mm in 1300"),
    # an oval of 0.04 with its long axis on the first clock, by hand: +0.02, then cos 120° = -1/2 twice
    pytest.param("ovality diameters=100.02,99.99,99.99", "of_three", 0.04, 1e-9, id="three clocks 60° apart"),
    pytest.param("v-block tir=0.03mm lobes=3 angle=60°", "roundness", 0.010, 1e-9, id="3 lobes in 60°: thrice"),
    pytest.param("budget u=5.8,3.9,6.7", "combined", 9.7, 0.05, id="GUM H.1.3.2: 9.7 nm"),
    # by hand: √2 × 2 µm, the setting cancels; 2 × 3 and √2 × 2 in the sum; 100 / √12 beside 5 / 2 and 2
    pytest.param("together weights=1,-1 shared=0.003mm own=0.002mm", "standard", 0.0028284, 1e-7, id="difference"),
    pytest.param("together weights=1,1 shared=0.003mm own=0.002mm", "standard", 0.0066332, 1e-7, id="sum"),
    pytest.param(
        "gauge error=0.005mm reading=89.9mm scatter=0.002mm digit=0.1mm", "standard", 0.029045, 1e-6,
        id="89.9 is known to a tenth",
    ),
    pytest.param("decision value=79.965mm lower=79.940mm upper=79.970mm uncertainty=0.006mm", "needed", 0.005, 0,
                 id="5 µm from the limit"),
    pytest.param("roughness label=16", "grade_ra", 0.4, 0, id="ISO 1302:1992: 16 µin is 0.4 µm"),
    # womackmachine.com takes pi as 3.14 and rounds the area of the rod end to 21.19 in²
    pytest.param(
        "force bore=6in rod=3in pressure=2500psi", "push", 70_650 * 4.44822 / 3.14 * np.pi, 10, id="womackmachine push"
    ),
    pytest.param(
        "force bore=6in rod=3in pressure=2500psi", "pull", 52_975 * 4.44822 / 3.14 * np.pi, 60, id="womackmachine pull"
    ),
    # an engineers' examination of 2020: 30 kN on a ram of 20 cm are 675 N on a plunger of 3 cm
    pytest.param(
        f"ram plunger=3cm stroke=1m pressure={30_000 / (np.pi / 4 * 200**2)}MPa",
        "push", 675, 1e-3, id="675 N on the plunger",
    ),
    # fluidpowerjournal.com, February 2017: bore 4 in and rod 2 in, 9.42 in², 942 lb at 100 psi
    pytest.param(
        "double-rod bore=4in rod-a=2in rod-b=2in stroke=10in pressure=100psi",
        "towards_b", 942 * 4.44822, 3, id="4 in less 2 in at 100 psi: 942 lb",
    ),
    pytest.param(
        "double-rod bore=4in rod-a=2in rod-b=2in stroke=10in pressure=100psi",
        "oil_b", 94.2 * 16.387064, 1, id="9.42 in² over 10 in",
    ),
    # a builder's example of a telescopic cylinder, with pi as 3.14: 3 in at 3000 psi push 21 195 lb
    pytest.param(
        "telescope outsides=4in,3in bores=4.5in,3.5in strokes=40in,40in pressure=3000psi",
        "stage_2_push", 21_195 * 4.44822 / 3.14 * np.pi, 1, id="telescopic, 3 in: 21 195 lb",
    ),
    # by hand: 0.785398 x 80² = 5026.55 mm², less 56²: 2563.54 mm², at 18 MPa
    pytest.param(
        "telescope outsides=100mm,56mm bores=125mm,80mm strokes=800mm,800mm pressure=18MPa back-by=oil",
        "stage_2_pull", 46_143.7, 0.5, id="back on the ring between",
    ),
    # by hand: 50 kN on 7853.98 mm²
    pytest.param(
        "telescope outsides=125mm,100mm bores=140mm,110mm strokes=900mm,900mm pressure=160bar load=50kN",
        "stage_2_needs", 6.36620, 1e-5, id="50 kN on stage 2",
    ),
    pytest.param(
        "speed bore=100mm rod=70mm flow=40l/min", "return_in", 78_400, 50, id="supplier's data: 78.4 l/min back"
    ),
    pytest.param(
        "thermal-pressure from=0°F to=50°F expansion=0.000828 bulk-modulus=300000psi",
        "rise", 6900 * 0.00689476, 0.01, id="leeimh.com: 50 °F, 6900 psi",
    ),
    pytest.param(
        "leak-from-drop drop=3000psi time=1min oil=1l bulk-modulus=300000psi",
        "leak", 10.0, 1e-6, id="leeimh.com: 3000 psi is 1 % of the oil",
    ),
    pytest.param("pin force=10kN pin=35mm eye=40mm fork=20mm", "shear", 5.196, 2e-3, id="published pin, 5.196 MPa"),
    pytest.param(
        "column rod=150mm inside=140mm length=7200mm mounting=pivot-pivot yield=250MPa safety=1 modulus=200GPa",
        "found_buckling", 228_200, 100, id="Hibbeler example 13.1: 228.2 kN",
    ),
    pytest.param("thread thread=M10 class=8.8", "proof_load", 33_700, 0, id="ISO 898-1: M10 8.8, 33 700 N"),
    pytest.param("thread thread=M16x1.5", "pitch_diameter", 15.026, 5e-4, id="ISO 724: 15.026"),
    pytest.param(
        "nut-factor thread=3/4-16 thread-friction=0.15 face-friction=0.15",
        "nut_factor", 3551 / (25_000 * 0.75), 2e-4, id="Shigley 9e example 8-3 (c): 3551 lbf·in",
    ),
    pytest.param(
        "torque thread=3/4-16 preload=25000lbf nut-factor=0.20",
        "torque", 3750 * 0.1129848, 1e-2, id="Shigley 9e example 8-3 (b): 3750 lbf·in",
    ),
    pytest.param(
        "tightening thread=M16x1.5 preload=87.6kN thread-friction=0.12 face-friction=0.12 face=20mm",
        "torque", 218, 0.5, id="VDI 2230 example: 218 N·m",
    ),
    pytest.param(
        "joint preload=25000lbf load=6000lbf proof-load=31700lbf bolt-stiffness=6.50 part-stiffness=13.8",
        "constant", 0.320, 5e-4, id="Shigley 9e example 8-3: C 0.320",
    ),
    pytest.param("o-ring dash=325", "inside", 37.465, 1e-6, id="AS568-325: 1.475 in"),
    pytest.param("o-ring dash=325", "section", 5.334, 1e-6, id="AS568-325: 0.210 in"),
    pytest.param(
        "drift-number drift=3mm bore=200mm rings=resilient",
        "number", 1.5, 1e-9, id="Hydro Plant Risk Assessment Guide: L D/4t by hand",
    ),
    pytest.param("drops drops=180", "volume", 0.36 * 16.387064, 5e-3, id="180 drops are 0.36 in³"),
    pytest.param(
        "yearly-cost cost=30000 years=12 rate=15% salvage=2000 yearly=16000",
        "yearly_cost", 21_465.46, 0.006, id="replacement assignment: 21 465.46",
    ),
    pytest.param("present-value amounts=16000,14000 rate=15%", "level", 15_070, 1, id="Newnan page 410: 15 070"),
]  # fmt: skip


@pytest.mark.parametrize(("words", "name", "published", "within"), PUBLISHED)
def test_the_prompt_prints_what_is_published(words: str, name: str, published: float, within: float) -> None:
    assert results(*words.split())[name] == pytest.approx(published, abs=within or 1e-12)


def test_the_barrel_s_stress_is_what_lames_two_constants_give() -> None:
    # independent: the two constants from the two surfaces by linear algebra; 100 bore, 10 wall, 25 MPa
    even, uneven = np.linalg.solve([[1, -1 / 100**2], [1, -1 / 120**2]], [-25, 0])
    hoop, radial = even + uneven / 100**2, even - uneven / 100**2
    got = results("barrel", "bore=100mm", "wall=10mm", "pressure=250bar", "yield=450MPa")
    assert got["pressure_hoop"] == pytest.approx(hoop)
    assert got["pressure_von_mises"] == pytest.approx(np.sqrt(hoop**2 - hoop * radial + radial**2))


@pytest.mark.parametrize(
    ("rings", "travel", "stages", "condition"),
    [  # Hydro Plant Risk Assessment Guide, table 28: borders 2 and 10, cast iron 40 and 200, times the stages
        ("resilient", "3.9mm", "1", "good"),
        ("resilient", "4mm", "1", "moderate"),
        ("resilient", "20mm", "1", "severe"),
        ("cast iron", "79mm", "1", "good"),
        ("cast iron", "239mm", "3", "good"),
        ("cast iron", "400mm", "1", "severe"),
    ],
)
def test_a_200_bore_drifting_for_an_hour_is_judged_by_the_guide(
    rings: str, travel: str, stages: str, condition: str
) -> None:
    words = ("drift-number", f"drift={travel}", "bore=200mm", f"rings={rings}", f"stages={stages}")
    assert results(*words)["condition"] == condition


@pytest.mark.parametrize(
    "gland", HANDBOOK.glands, ids=lambda g: f"{g.source} {g.application} {g.section_mm:g}"
)
def test_every_published_gland_is_answered_with_its_own_section(gland: Gland) -> None:
    depth_mm = (gland.depth_least_mm + gland.depth_greatest_mm) / 2
    width_mm = (gland.width_least_mm + gland.width_greatest_mm) / 2
    asked = {"on": "60mm", "depth": f"{depth_mm}mm", "width": f"{width_mm}mm", "service": gland.application}
    got = {r.name: r for r in run("o-ring-for", asked).results}
    assert re.search(
        rf"\b{gland.section_mm:.2f}".rstrip("0").rstrip(".") + r"0* mm", str(got["groove"].value)
    )
    # AS568: the inch sections are 0.070, 0.103, 0.139, 0.210 and 0.275 in; 2.00 to 5.00 mm are metric only
    inch = any(abs(gland.section_mm - s * 25.4) < 0.01 for s in (0.070, 0.103, 0.139, 0.210, 0.275))
    rings = {ring.section_mm for ring in HANDBOOK.orings if f"ring_{ring.dash}" in got}
    if inch:
        assert any(abs(section - gland.section_mm) < 0.01 for section in rings)
    else:
        # on 60 mm, stretched by 0 to 5 %: inside 60 / 1.05 = 57.14 to 60 mm, and never a dash number near it
        said = str(got[f"by_dimensions_{gland.section_mm:.2f}"].value)
        assert f"inside 57.14 to 60.00 mm × section {gland.section_mm:.2f} mm" in said
        assert all(abs(section - gland.section_mm) > 0.1 for section in rings)


@pytest.mark.parametrize(
    ("material", "cured", "on", "verdict", "until"),
    [  # groups of ISO 2230 as two suppliers print them: A 5 + 2, B 7 + 3, C 10 + 5 years; 3/94 is July to September
        ("NBR", "3/94", "2001-06-30", "in date", "2001-07-01"),
        ("NBR", "3/94", "2001-07-01", "inspect", "2001-07-01"),
        ("NBR", "3Q1994", "2004-07-01", "past", "2004-07-01"),
        ("FKM", "1/20", "2029-12-31", "in date", "2030-01-01"),
        ("PTFE+AU", "2/22", "2027-04-01", "inspect", "2027-04-01"),  # the polyurethane decides
    ],
)
def test_a_seal_from_the_shelf_is_judged_by_the_group_of_its_rubber(
    material: str, cured: str, on: str, verdict: str, until: str
) -> None:
    got = results("shelf-life", f"material={material}", f"cured={cured}", f"on={on}")
    assert (got["verdict"], got["until"]) == (verdict, until)


def test_a_bag_without_a_cure_date_is_a_doubt_and_no_pass() -> None:
    assert results("shelf-life", "material=NBR", "on=2026-03-02")["verdict"] == "no date"
    assert results("shelf-life", "material=PTFE", "on=2026-03-02")["verdict"] == "no limit"
    for wrong in (
        "on=March",
        "on=2026-03-02 cured=5/24",
        "on=2026-03-02 material=gum",
        "on=2026-03-02 cured=4/26",
    ):
        assert typed_at_the_prompt("shelf-life", "material=NBR", *wrong.split()).exit_code == 2


@pytest.mark.parametrize("name", ["squeeze", "o-ring-for"])
def test_moving_or_at_rest_is_asked_and_never_assumed(name: str) -> None:
    example = {k: v for k, v in named(name).example.items() if k != "service"}
    with pytest.raises(Refusal, match="service"):
        run(name, example)


def test_a_shallow_groove_is_for_a_ring_at_rest_and_a_deeper_one_for_a_moving_one() -> None:
    # metric gland table, section 5.33: 4.30 deep at rest, 4.70 deep moving, both 7.10 wide
    for depth, service, fits in (
        ("4.30mm", "static", True), ("4.30mm", "reciprocating", False),
        ("4.70mm", "static", False), ("4.70mm", "reciprocating", True),
    ):  # fmt: skip
        got = results("o-ring-for", "on=90mm", f"depth={depth}", "width=7.2mm", f"service={service}")
        assert ("5.33" in str(got["groove"])) is fits


def test_a_drift_number_says_which_area_the_travel_is_taken_over() -> None:
    # bore 200, rod 120, 3 mm in 1 h: cap side 0.3 · 20 / 4 = 1.5; rod side 0.3 · (20² − 12²) / (4 · 20) = 0.96
    # and the oil of the rod side, 0.3 · pi/4 · (20² − 12²) = 60.32 ml, gives the same: 60.32 / (pi · 20) = 0.96
    words = ("drift-number", "bore=200mm", "rings=resilient")
    cap, rod = results(*words, "drift=3mm"), results(*words, "drift=3mm", "rod=120mm")
    assert (cap["number"], rod["number"]) == (pytest.approx(1.5), pytest.approx(0.96))
    assert "whole bore" in str(cap["area"])
    assert "less the rod" in str(rod["area"])
    assert results(*words, "oil=60.319ml")["number"] == pytest.approx(0.96, abs=1e-4)


def test_of_a_plastic_face_both_numbers_are_said_and_its_sheet_decides() -> None:
    # 0.406 mm between: the trade's figure for section 5.33 at 20 MPa is 0.20, a new piston may leave 0.4 to 1.0
    for inner in ("99.95mm", "99.0mm"):
        got = results(
            "seal-gap",
            f"inner={inner}",
            "outer=100mm",
            "pressure=250bar",
            "section=5.33mm",
            "seal=plastic-faced",
        )
        assert "the seal's sheet decides" in str(got["finding"])
        assert "narrow enough" not in str(got["finding"])
        assert got["allowed"] == pytest.approx(0.20)
        assert got["gap"] == pytest.approx(100 - float(inner[:-2]))


def test_a_housing_and_a_seal_are_named() -> None:
    groove = typed_at_the_prompt(
        "housing", "groove-in=gland", "groove=60.04mm", "width=6.42mm", "sealed=49.96mm"
    )
    assert "ISO 5597 rod 50 x 60 x 6.3" in groove.stdout
    # mineral oil swells EPDM: seal-fluid-table, a hard stop
    seals = typed_at_the_prompt("seal-material", "fluid=HM", "coldest=0°C", "hottest=60°C", "material=EPDM")
    assert "EPDM is not for HM" in seals.stdout
    assert "Never fit it" in seals.stdout


# ---- the list, and every example ----------------------------------------------------------------------


def test_without_a_name_every_calculator_is_listed_with_a_line() -> None:
    ran = typed_at_the_prompt()
    assert ran.exit_code == 0
    for calculator in CALCULATORS:
        assert any(
            line.split() and line.split()[0] == calculator.name and calculator.title in line
            for line in ran.stdout.splitlines()
        )
    assert len(json.loads(typed_at_the_prompt("--json").stdout)) == len(CALCULATORS)


def test_the_prompt_works_as_a_program_too() -> None:
    command = [sys.executable, "-m", "inspect_app", "calc", "fit", "class=f7", "size=63mm"]
    done = subprocess.run(command, capture_output=True, text=True, cwd=ROOT, check=False)
    assert (done.returncode, done.stderr) == (0, "")
    assert "62.940 mm" in done.stdout
    assert "ISO 286" in done.stdout
    wrong = subprocess.run(
        [*command[:-1], "size=63psi"], capture_output=True, text=True, cwd=ROOT, check=False
    )
    assert (wrong.returncode, wrong.stdout) == (2, "")
    assert wrong.stderr.count("\n") == 1
    assert "pressure" in wrong.stderr


def test_names_are_told_apart() -> None:
    names = [calculator.name for calculator in CALCULATORS]
    assert len(set(names)) == len(names)
    for calculator in CALCULATORS:
        keys = [key.name for key in calculator.keys]
        assert len(set(keys)) == len(keys), calculator.name


@EVERY
def test_an_example_runs_at_the_prompt_with_source_and_formula(calculator: Calculator) -> None:
    words = [f"{name}={text}" for name, text in calculator.example.items()]
    ran = typed_at_the_prompt(calculator.name, *words)
    assert ran.exit_code == 0, ran.stderr
    assert f"Formula: {calculator.formula}" in ran.stdout
    assert "Source: " in ran.stdout
    said = json.loads(typed_at_the_prompt(calculator.name, *words, "--json").stdout)
    assert said["calculator"] == calculator.name
    assert said["results"]
    for source in said["sources"]:
        assert source["title"]
        assert source["status"]


@EVERY
def test_what_a_calculator_rests_on_is_really_there(calculator: Calculator) -> None:
    assert set(source_keys(calculator.functions)) <= set(HANDBOOK.sources)
    known = {c.id for c in HANDBOOK.cautions} | {c.when for c in HANDBOOK.cautions}
    assert set(calculator.cautions) <= known
    assert all(calculator.key(name) for names in calculator.either for name in names)
    for key in calculator.keys:
        assert key.kind in {*MEASURES, "text", "choice"}
        assert (key.kind == "choice") == bool(key.choices(HANDBOOK)), key.name
        assert len(key.default) <= LONGEST_TEXT


@EVERY
def test_the_phone_s_font_has_every_sign(calculator: Calculator) -> None:
    from inspect_app.screens.pieces.controls import printable

    answer = run(calculator.name, calculator.example)
    told = [calculator.title, calculator.formula, calculator.topic, *(r.title for r in answer.results)]
    told += [word for key in calculator.keys for word in (key.title, key.note, key.default)]
    assert all(printable(words) == words for words in told)


DANGEROUS = {"pressure test": "stored-energy hold leak-from-drop", "torque-reaction": "torque preload tightening",
             "straightening": "straightness", "test-open-port": "intensification force"}  # fmt: skip


@pytest.mark.parametrize(
    ("caution", "name"), [(caution, name) for caution, names in DANGEROUS.items() for name in names.split()]
)
def test_dangerous_work_is_cautioned(caution: str, name: str) -> None:
    sentences = {c.sentence for c in HANDBOOK.cautions if caution in (c.id, c.when)}
    printed = "\n".join(answer_lines(run(name, named(name).example), "metric"))
    assert sentences
    assert all(f"Caution: {sentence}" in printed for sentence in sentences)


def test_a_status_is_said_in_words() -> None:
    printed = typed_at_the_prompt("chance", "value=1mm", "u=0.1mm", "upper=1mm").stdout
    assert "from memory, not yet confirmed" in printed


# ---- metric and inch ----------------------------------------------------------------------------------


def in_the_other_units(calculator: Calculator) -> dict[str, str]:
    """The example with every quantity written in the units of the other system."""
    written = {}
    for name, text in calculator.example.items():
        key = calculator.key(name)
        assert key is not None
        if key.kind not in KINDS or key.many or KINDS[key.kind].metric_unit == KINDS[key.kind].inch_unit:
            written[name] = text
            continue
        read = read_measure(text, measure=key.kind, system="metric")
        other = KINDS[key.kind].shown("inch" if read.typed_unit != KINDS[key.kind].inch_unit else "metric")[0]
        written[name] = f"{other.number(read.value):.24f} {other.name}"
    return written


@EVERY
def test_inch_and_metric_give_the_same(calculator: Calculator) -> None:
    one = run(calculator.name, calculator.example)
    other = run(calculator.name, in_the_other_units(calculator))
    assert [r.name for r in one.results] == [r.name for r in other.results]
    for a, b in zip(one.results, other.results, strict=True):
        if not isinstance(a.value, str | Sentence):
            assert not isinstance(b.value, str | Sentence)
            assert float(b.value) == pytest.approx(float(a.value), rel=1e-9, abs=1e-9), a.name


def test_a_bare_number_is_read_in_the_units_asked_for() -> None:
    assert results("bow", "tir=0.010", "--units", "inch")["bow"] == pytest.approx(
        0.127
    )  # 0.010 in is 0.254 mm
    assert results("bow", "tir=0.010")["bow"] == pytest.approx(0.005)
    inch = typed_at_the_prompt("bow", "tir=0.254mm", "--units", "inch").stdout
    assert "0.0050 in" in inch


@pytest.mark.parametrize(
    ("text", "measure", "system", "canonical"),
    [
        ("40", "pump flow", "metric", 40_000),
        ("4 dm3", "oil volume", "metric", 4000),
        ("244 in3", "oil volume", "inch", 244 * 16.387064),
        ("1.8 °F", "temperature difference", "inch", 1),  # a kelvin is 1.8 °F, wherever it lies
        ("1", "temperature difference", "metric", 1),
        ("5", "minutes", "metric", 300),
        ("32", "height", "inch", 32 * 25.4e-6),
    ],
)
def test_a_handier_unit_changes_no_quantity(text: str, measure: str, system: str, canonical: float) -> None:
    assert float(read_measure(text, measure=measure, system=system).value) == pytest.approx(canonical)


@pytest.mark.parametrize(
    ("value", "measure", "system", "shown"),
    [
        (Decimal("0.022"), "deviation", "metric", ("0.022", "mm")),
        (Decimal("0.0127"), "deviation", "inch", ("0.0005", "in")),
        (Decimal("62.9905"), "length", "metric", ("62.9905", "mm")),  # js of an odd grade ends in half a µm
        (0.5, "slope", "inch", ("0.00600", "in/ft")),  # 0.5 mm in 1000 mm is 0.006 in in 12
        (1e-19, "deviation", "metric", ("0.000", "mm")),
        (-1e-19, "deviation", "metric", ("0.000", "mm")),
        (157_079.6, "force", "metric", ("157.1", "kN")),
        (0.2857142, "flow", "metric", ("0.286", "ml/min")),
    ],
)
def test_figures_are_shown_as_far_as_they_mean_something(
    value: Decimal | float, measure: str, system: str, shown: tuple[str, str]
) -> None:
    assert show_measure(value, measure=measure, system=system) == shown


# ---- lists --------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "diameters",
    [
        "100.012,100.031,100.028,100.009",
        "100.012, 100.031, 100.028, 100.009 mm",
        "100,012;100,031;100,028;100,009",
        "100.012 mm; 100.031 mm; 100.028 mm; 100.009 mm",
        "100012 µm,100031 µm,100028 µm,100009µm",
    ],
)
def test_a_list_is_read_as_it_is_usually_written(diameters: str) -> None:
    assert results("ovality", f"diameters={diameters}")["ovality"] == pytest.approx(0.022)


@pytest.mark.parametrize(
    ("diameters", "says"),
    [
        ("100,012,100,031", "put ; between"),
        ("100.012 mm,100.031,100.028", "behind each or only the last"),
        ("100.012,x", "not a number"),
        (",".join(["100"] * 401), "401 items"),
        ("100.012", "at least 2"),
    ],
)
def test_a_list_that_can_be_read_two_ways_is_asked_about(diameters: str, says: str) -> None:
    ran = typed_at_the_prompt("ovality", f"diameters={diameters}")
    assert ran.exit_code == 2
    assert says in ran.stderr


# ---- mistakes -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ("fitt class=f7 size=63mm", "Did you mean fit?"),
        ("fit", "needs class, size"),
        ("fit size=63mm", "needs class besides size"),
        ("fit class=f7", "inspect-app calc fit class=f7 size=63mm"),
        ("barrel bore=100mm", "outside or wall"),
        ("fit class=f7 sise=63mm", "Did you mean size?"),
        ("fit class=f7 size=63mm size=64mm", "given twice"),
        ("fit class=f7 size=63psi", "is pressure, and length is asked for"),
        ("fit class=f7 size=big", "is not a number"),
        ("fit class=f7 size=nan", "is not a number"),
        ("fit class=f7 size=inf", "is not a number"),
        ("fit class=f7 size=1e3", "size:"),
        ("fit class=f7 size=-63mm", "counted from the nominal"),
        ("fit class=f7 size=0", "not covered"),
        ("fit class=z7 size=63mm", "not covered"),
        ("fit class=f7 size=", "key=value"),
        ("fit f7 63", "key=value"),
        ("barrel bore=100mm wall=10mm outside=120mm pressure=1bar yield=1MPa", "not both"),
        ("barrel bore=100mm outside=90mm pressure=250bar yield=450MPa", "outside is 90 mm over a bore of"),
        ("stored-energy oil=1l pressure=15000bar bulk-modulus=1400MPa", "bulk modulus is 1400 MPa;"),
        ("column rod=50mm length=1m mounting=floating yield=500MPa safety=2", "is not one of pivot-pivot"),
        ("grade size=63mm grade=7.5", "not a whole number"),
        ("joint preload=0N load=1N proof-load=1N bolt-stiffness=1 part-stiffness=1", "greater than 0"),
        ("chance value=1mm u=0mm", "lower limit, an upper limit"),
        ("hone-out bore=99mm wall=10mm yield=300MPa pressure=1bar share=50% proof=2bar", "go together"),
        ("convert value=3600", "no unit"),
        ("convert value=10lb", "kind=force"),
        ("convert value=5gpm", "write US gpm or UK gpm"),
        ("o-ring dash=9999", "not an O-ring size"),
        ("stretch inside=37.465mm on=38.1mm", "section is missing"),
        ("stretch dash=325 section=3mm on=38.1mm", "dash number says the cross-section"),
    ],
)
def test_a_mistake_is_one_sentence_and_exit_code_2(words: str, says: str) -> None:
    ran = typed_at_the_prompt(*words.split())
    assert ran.exit_code == 2
    assert ran.stdout == ""
    assert says in ran.stderr
    assert len(ran.stderr.strip().splitlines()) == 1
    assert "Traceback" not in ran.stderr
    assert "_" not in ran.stderr


@pytest.mark.parametrize(
    ("value", "unit", "number"),
    [
        ("2 1/2 in", "mm", "63.5"),
        ('2 1/2"', "thou", "2500"),
        ("32 µin", "µm", "0.8128"),  # 32 × 0.0254
        ("3600 psi", "bar", "248.21126"),  # scipy: 3600 × constants.psi / constants.bar
        ("10 gpm US", "l/min", "37.85412"),  # NIST SP 811: 3.785412 l
        ("68 °F", "°C", "20"),
    ],
)
def test_a_quantity_is_told_in_every_unit_of_its_kind(value: str, unit: str, number: str) -> None:
    shown = results("convert", f"value={value}")[unit]
    assert float(shown.split()[0]) == pytest.approx(float(number), rel=1e-7)


def test_every_hint_of_convert_is_one_that_convert_takes() -> None:
    key = named("convert").key("value")
    assert key is not None
    for hint in (
        *key.note.split(", "),
        *re.findall(r"like (.*) or (.*)\.", refused("convert", value="5"))[0],
    ):
        assert run("convert", {"value": hint}).results


def refused(name: str, **typed: str) -> str:
    """The sentence a calculator refuses these with."""
    with pytest.raises(Refusal) as sentence:
        run(name, typed)
    return str(sentence.value)


@pytest.mark.parametrize(
    ("torque", "says"),
    [("0.1 N·m", "is the unit right?"), ("0", "Found loose"), ("300 N·m", "Nothing to ask"),
     ("150 kNm", "is the unit right?")],
)  # fmt: skip
def test_a_breakaway_torque_is_asked_about_where_it_is_none(torque: str, says: str) -> None:
    assert says in results("loosening", f"torque={torque}")["question"]


A_TEXT = st.one_of(
    st.sampled_from(
        ["0", "1", "-1", "100 mm", "250 bar", "0.5", "1/2 in", "nan", "1e9", "%", "5 %", "1,2,3", "yes", "M42x3",
         "99999999999999999999999999999999999", "0.00000000000000000000000000000001", "", " ", "HM", "steel"]
    ),
    st.text(max_size=12),
    st.floats(1e-6, 1e6).map(lambda x: f"{x:.6f}"),
)  # fmt: skip


@given(calculator=st.sampled_from(CALCULATORS), texts=st.lists(A_TEXT, min_size=14, max_size=14))
def test_whatever_is_typed_gives_an_answer_or_a_sentence(calculator: Calculator, texts: list[str]) -> None:
    typed = {key.name: text for key, text in zip(calculator.keys, texts, strict=False) if text}
    for names in calculator.either:
        for name in names[1:]:
            typed.pop(name, None)
    try:
        answer = run(calculator.name, typed)
    except Refusal:
        return
    assert list(answer_lines(answer, "inch"))


A_NUMBER = st.one_of(
    st.sampled_from(["0", "-0", "1", "-1", "0.001", "1000000", "99999999", "0.00000001", "12", "3", "2.5", "1/2"]),
    st.floats(-6, 8).map(lambda power: f"{10**power:.8f}"),
)  # fmt: skip


@cache
def a_text(calculator: str, name: str) -> st.SearchStrategy[str]:
    """Something for one key; made once, as making it takes longer than drawing from it."""
    of = named(calculator)
    key = of.key(name)
    assert key is not None
    texts = [st.just(of.example.get(name, "")), st.just("")]
    if key.kind == "choice":
        texts.append(st.sampled_from(key.choices(HANDBOOK)))
    elif key.kind in MEASURES:
        units = st.sampled_from(["", *(f" {unit.name}" for unit in MEASURES[key.kind].units.values())])
        one = st.tuples(A_NUMBER, units).map("".join)
        texts.append(st.lists(one, min_size=1, max_size=6).map("; ".join) if key.many else one)
    return st.one_of(texts)


@st.composite
def typed_for(draw: st.DrawFn, calculator: Calculator) -> dict[str, str]:
    """Something for some keys: the example's or any number in any unit of the kind, missing, empty, or exchanged."""
    typed = {}
    for key in calculator.keys:
        if draw(st.booleans()) or key.name in calculator.needed():
            typed[key.name] = draw(a_text(calculator.name, key.name))
    for names in calculator.either:
        kept = draw(st.sampled_from(names))
        typed = {name: text for name, text in typed.items() if name == kept or name not in names}
    if len(typed) > 1 and draw(st.integers(0, 4)) == 0:
        one, other = draw(st.permutations(sorted(typed)))[:2]
        typed[one], typed[other] = typed[other], typed[one]
    return typed


@EVERY
@settings(max_examples=10)
@given(data=st.data())
def test_any_quantities_in_any_units_give_values_or_a_sentence(
    data: st.DataObject, calculator: Calculator
) -> None:
    typed = data.draw(typed_for(calculator))
    try:
        answer = run(calculator.name, typed, system=data.draw(st.sampled_from(["metric", "inch"])))
    except Refusal as refusal:
        said = [str(refusal)]
    else:
        said = list(answer_lines(answer, "inch"))
        assert all(isinstance(r.value, str | Sentence) or np.isfinite(float(r.value)) for r in answer.results)
    assert said
    assert all(line and "\n" not in line for line in said)


# ---- everything the trade computes is reachable -------------------------------------------------------

VARIANTS: list[tuple[str, dict[str, str]]] = [
    ("o-ring-for", {"on": "92mm", "depth": "4.02mm", "width": "6.7mm", "service": "static"}),
    ("ovality", {"diameters": "100.02,99.99,99.99"}),
    ("roughness", {"label": "16"}),
    ("guided-gap", {"groove-in": "gland", "sealed": "49.96mm", "land": "50.7mm", "ring-groove": "55.037mm",
                    "ring": "2.475mm"}),
    ("seal-material", {"coldest": "0°C", "hottest": "60°C", "material": "NBR", "fluid": "HM"}),
    ("drift-number", {"oil": "94.25ml", "bore": "200mm", "rings": "resilient"}),
    ("tightening", {"thread": "M16x1.5", "torque": "218N·m", "thread-friction": "0.12", "face-friction": "0.12",
                    "face": "20mm"}),
    ("torque", {"thread": "M30", "preload": "100kN", "surface": "lubricated"}),
    ("preload", {"thread": "M30", "torque": "600N·m", "surface": "zinc plated",
                 "way": "torque wrench, friction estimated"}),
    ("hone-out", {"bore": "99mm", "wall": "10.5mm", "yield": "450MPa", "pressure": "250bar", "share": "50%",
                  "proof": "375bar", "proof-share": "66%", "least-wall": "10mm", "honed": "99.5mm"}),
]  # fmt: skip
"""Runs beside the examples, for the other of two ways."""

UNREACHED = {
    **dict.fromkeys(
        ("pointer", "growth_percent", "hardness_change", "compression_set_percent"),
        "what an old seal points to, made on the seal list of what was seen and measured of it",
    ),
    "inch_groove_diameters_mm": "proposes what may be the nominal size of a groove, beside its standard housings",
    "read_off": "a length in a photograph, marked on it with two touches",
    "doubt": "asks about a reading as it is typed; it computes nothing one would look up",
    "nameplate_doubts": "asks about a nameplate as it is typed",
    "scale_slips": "a slip of the thumb, for the question above",
    "digit_slips": "a slip of the thumb, for the question above",
    "part_slips": "a slip of the thumb, for the question above",
    "deviation_slips": "a slip of the thumb, for the question above",
    **dict.fromkeys(
        (
            "ovality",
            "fitted_ovality",
            "taper",
            "ballooning",
            "bell_mouth",
            "wear",
            "turn",
            "bow",
            "worst_bend",
        ),
        "made of the readings of a check, place by place, by the modules that calculators call themselves",
    ),
    **dict.fromkeys(("to_match", "uncertainty_text"), "how a number is printed"),
    **dict.fromkeys(("sensible", "unit_typed", "is_of", "both_ways"), "how what was typed is shown"),
    "difference": "made of the readings of a check by the modules that calculators call themselves",
    **dict.fromkeys(
        (
            "other_system",
            "stretch_on_groove",
            "ring_in_gland_groove",
            "squeeze_in_groove",
            "fill_of_groove",
            "backups_in_groove",
            "backup_for_each_side",
            "energiser_section",
            "lips_on_piston",
            "groove_worn_out",
            "missing_width",
            "metric_or_inch",
            "old_ring_differs",
            "section_that_came",
            "strip_in_groove",
            "fluid_code",
            "first_suitable",
        ),
        "said of a line of the seal list, where ring, groove and fluid are known together",
    ),
    **dict.fromkeys(
        (
            "carry",
            "chrome_polished_um",
            "chromed_area_dm2",
            "clean_up_bore_mm",
            "ground_rod_mm",
            "honed_stock_steps",
            "new_piston_room",
            "outside_charge",
            "wall_use_after_honing",
        ),
        "a step of a path, where the cylinder as measured and the shop's rates are known together",
    ),
    **dict.fromkeys(
        (
            "computed_target",
            "held_over_scatter",
            "greatest_share",
        ),
        "said of a joint at reassembly, where its thread, load and way of tightening are known together",
    ),
    **dict.fromkeys(
        ("leak_from_readings", "leak_from_catch", "judge_leak"),
        "made of the readings of a pressure test, many or of a file, against the limit chosen for it",
    ),
    "show": "shows a quantity on screen and paper; calculators show theirs with as many figures as they have",
    "show_text": "as show",
}
"""Functions of the trade with a source that no calculator reaches, and why not."""


def trade_functions() -> Iterator[Callable[..., Any]]:
    """Every public function of trade/ that names a source."""
    here = Path(str(trade.__file__)).parent
    for path in sorted(here.glob("*/*.py")):
        module = __import__(f"inspect_app.trade.{path.parent.name}.{path.stem}", fromlist=["*"])
        for name, function in vars(module).items():
            ours = inspect.isfunction(function) and function.__module__ == module.__name__
            if ours and not name.startswith("_") and source_keys([function]):
                yield function


def called_by(name: str, typed: Mapping[str, str]) -> set[Any]:
    """The code objects that run when a calculator runs."""
    seen: set[Any] = set()

    def note(frame: FrameType, event: str, _: Any) -> None:
        if event == "call":
            seen.add(frame.f_code)

    before = sys.getprofile()
    sys.setprofile(note)
    try:
        run(name, typed)
    finally:
        sys.setprofile(before)
    return seen


@pytest.fixture(scope="module")
def calls() -> dict[str, set[Any]]:
    """By calculator, what its example and its variants call."""
    found = {c.name: called_by(c.name, c.example) for c in CALCULATORS}
    for name, typed in VARIANTS:
        found[name] |= called_by(name, typed)
    return found


def test_every_computation_of_the_trade_is_reached_by_a_calculator(calls: dict[str, set[Any]]) -> None:
    reached = set().union(*calls.values())
    missing = {f.__name__ for f in trade_functions() if f.__code__ not in reached}
    assert missing == set(UNREACHED)


def test_sources_and_validity_are_said_also_where_python_throws_docstrings_away() -> None:
    code = (
        "from inspect_app.calculators import CALCULATORS as every; "
        "from inspect_app.calculators.origin import source_keys, validity; "
        "print([(c.name, source_keys(c.functions), validity(c.functions)) for c in every])"
    )
    command = [sys.executable, "-OO", "-c", code]
    said = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, encoding="utf-8", check=True)
    assert said.stdout.strip() == str(
        [(c.name, source_keys(c.functions), validity(c.functions)) for c in CALCULATORS]
    )


@EVERY
def test_a_calculator_names_the_functions_it_calls(
    calculator: Calculator, calls: dict[str, set[Any]]
) -> None:
    for function in calculator.functions:
        assert function.__code__ in calls[calculator.name], function.__name__


# ---- the keypad's entry -------------------------------------------------------------------------------


def pressed(entry: Entry, keys: str, system: str = "metric") -> Entry:
    """The entry after several keys of the keypad."""
    for key in keys:
        entry = entry.press(key, system)
    return entry


def test_the_keypad_goes_from_key_to_key_until_nothing_is_missing() -> None:
    entry = pressed(begun(named("least-wall")), "100⏎375⏎450⏎")
    assert entry.active == "share"
    assert len(entry.missing()) == 1
    assert entry.answer("metric", HANDBOOK) == (None, "")
    entry = pressed(entry, "66")
    answer, refusal = entry.answer("metric", HANDBOOK)
    assert refusal == ""
    # the same as typed at the prompt
    assert answer is not None
    typed = {"bore": "100mm", "pressure": "375bar", "yield": "450MPa", "share": "66%"}
    assert answer.results == run("least-wall", typed).results


def test_a_barrel_s_stress_is_told_without_its_steel_and_its_yield_with_it() -> None:
    tube = {"bore": "100mm", "outside": "120mm", "pressure": "25MPa"}
    # 100/120 mm at 25 MPa, open ends: 152.679 MPa by Lamé and von Mises, integrated apart in test_barrel.py
    without = {r.name: r.value for r in run("barrel", tube).results}
    assert float(without["pressure_von_mises"]) == pytest.approx(152.679, abs=0.001)
    assert "first_yield" not in without
    assert "first_yield" in {r.name for r in run("barrel", {**tube, "yield": "450MPa"}).results}


def test_the_wall_takes_the_outside_diameter_away() -> None:
    entry = pressed(begun(named("barrel")), "100⏎120⏎").turned_to("wall")
    entry = pressed(entry, "10")
    assert entry.typed["wall"] == "10"
    assert "outside" not in entry.typed


def test_what_was_typed_in_inches_stays_inches() -> None:
    entry = pressed(begun(named("bow")), "0.010", system="inch")
    answer, _ = entry.answer("metric", HANDBOOK)
    assert answer is not None
    assert float(answer.results[0].value) == pytest.approx(0.127)  # half of 0.010 in in mm
    assert entry.unit(entry.calculator.keys[0], "metric") == "in"
    assert entry.switched("tir", "metric").unit(entry.calculator.keys[0], "metric") == "mm"


def test_a_list_grows_by_enter_and_ends_by_another() -> None:
    entry = pressed(begun(named("ovality")), "100.012⏎100.031⏎100.0")
    assert entry.item("diameters") == ("100.012; 100.031", "100.0")
    entry = pressed(entry, "⌫⌫⌫⌫⌫")
    assert entry.item("diameters") == ("100.012; 100.031", "")
    entry = pressed(entry, "⌫")
    assert entry.item("diameters") == ("100.012", "100.031")
    answer, _ = entry.answer("metric", HANDBOOK)
    assert answer is not None
    assert float(answer.results[0].value) == pytest.approx(0.019)
    assert pressed(entry, "⏎⏎").active == ""


def test_a_number_in_the_making_is_not_complained_about() -> None:
    for typed in ("0.", "-", "2 1/"):
        entry = pressed(begun(named("bow")), typed, system="inch")
        assert entry.answer("inch", HANDBOOK) == (None, "")
    assert begun(named("bow")).press("Shift Left", "metric").typed == {"tir": ""}


def test_a_refusal_on_the_screen_names_the_field_as_the_screen_does() -> None:
    entry = begun(named("grade")).write("size", "63", "metric").write("grade", "7.5", "metric")
    answer, refusal = entry.answer("metric", HANDBOOK)
    assert answer is None
    assert refusal.startswith("Number of the grade: ")


def test_leaving_a_line_does_not_override_where_the_thumb_went() -> None:
    entry = begun(named("fit")).turned_to("size")
    assert entry.finish("class", "f7", "metric").active == "size"
    assert begun(named("fit")).finish("class", "f7", "metric").active == "size"


@EVERY
def test_a_calculator_is_drawn_empty_and_full_in_both_systems(calculator: Calculator) -> None:
    pytest.importorskip("flet")
    from flet.components.component import Renderer

    from inspect_app.calculators.answer import cautions_of
    from inspect_app.screens import calculating
    from inspect_app.screens.pieces.look import LIGHT, SUN

    full = begun(calculator)
    for name, text in calculator.example.items():
        full = full.write(name, text, "metric")
    for look, system, entry in ((LIGHT, "metric", begun(calculator)), (SUN, "inch", full)):
        answer, refusal = entry.answer(system, HANDBOOK)
        assert refusal == ""
        assert (answer is not None) == (entry is full)
        assert calculating.outcome(look, entry, answer, refusal, system)
        if answer and calculating.main_of(answer):
            assert calculating.standing(look, answer, refusal, system)
        assert calculating.grounds(look, calculator, answer, cautions_of(calculator, HANDBOOK), system)
        for key in calculator.keys:
            assert calculating.key_row(look, entry, key, system, lambda name: None)
            turned = entry.turned_to(key.name)
            if turned.numeric:
                with Renderer().with_context():
                    assert calculating.number_entry(look, turned, key, system, print, print, "1 mm")
            else:
                assert calculating.word_entry(look, turned, key, key.choices(HANDBOOK), print, print)


def test_a_number_with_a_unit_is_not_bare() -> None:
    assert is_bare("2 1/2")
    assert is_bare("-0,03")
    assert not any(map(is_bare, ("2.5 in", '2.5"', "5 %", "20 °C", "100 mm2", "½ in")))
