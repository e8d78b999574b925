"""What `trade/` says: a sentence keeps its quantities apart and shows them in the reader's units, and only in those."""

from __future__ import annotations

import ast
import itertools
import re
from collections.abc import Callable
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from spelling import wrongly_written

from inspect_app import trade
from inspect_app.trade.form import bore_survey, rod_axis, straightness, texture
from inspect_app.trade.form.characteristics import CHARACTERISTICS
from inspect_app.trade.form.grid import Grid
from inspect_app.trade.form.making import Supports
from inspect_app.trade.joints import preloaded, torque
from inspect_app.trade.leakage import leakage
from inspect_app.trade.measuring import quantities
from inspect_app.trade.measuring.amounts import Amount, Amounts, argument
from inspect_app.trade.measuring.decision import decide, guard_sentence
from inspect_app.trade.measuring.nameplate_sizes import nameplate_doubts
from inspect_app.trade.measuring.plausible import doubt
from inspect_app.trade.measuring.refusal import Refusal, Sentence, joined
from inspect_app.trade.measuring.required import require_not_negative, require_positive
from inspect_app.trade.measuring.sizes import Size
from inspect_app.trade.sealing import extrusion, extrusion_limits, housings, orings, ring_fit, seal_materials
from inspect_app.trade.strength import barrel, bowed_rod, column, compressed_oil, force, hone_out

METRIC_UNITS = re.compile(r"\d ?(mm|µm|cm|m|MPa|bar|N·m|kN|N|ml|l|°C|mm²|mm/m)\b")
"""A number with a metric unit behind it."""


def refused(call: Callable[[], Any]) -> Sentence:
    with pytest.raises(Refusal) as refusal:
        call()
    return refusal.value.sentence


GAP = extrusion.Gap(0.4, 0.2, 0.4, 0)
CHART = [
    extrusion_limits.ExtrusionLimit("o-ring", 70, 3, 7, None, None, "diametral", 0.25, False, "read", "x")
]
HOLD = {
    "mpa_per_c": 1.1,
    "mpa_per_c_uncertainty": 0.2,
    "gauge_uncertainty_mpa": 0.1,
    "thermometer_uncertainty_c": 0.1,
}
ROW = housings.Housing(
    "ISO 5597", "a housing", "rod", "gland", housings.Allowed(50, -0.04, 0), housings.Allowed(60, 0, 0.07),
    housings.Allowed(6.3, 0, 0.25), 0.3, None, None, "read", "x",
)  # fmt: skip
RUBBER = seal_materials.SealMaterial("NBR", "", -30, 100, None, "", "", "read", "x")
FLUID = seal_materials.Compatibility("NBR", "HM", "ok", 90, False, "the usual rubber", "read", "x")
MATERIALS = seal_materials.SealMaterials({"NBR": RUBBER}, {("NBR", "HM"): FLUID})
STEPS = [texture.RaStep(Decimal("0.4"), "N5", Decimal(16), Decimal("0.8"), Decimal(4), "x")]


def _advice(coldest_c: float, hottest_c: float) -> Sentence:
    return seal_materials.advise(
        material="NBR", fluid="HM", coldest_c=coldest_c, hottest_c=hottest_c, tables=MATERIALS
    ).sentence


def _drop(start_c: float, end_c: float, end_mpa: float) -> Sentence:
    return leakage.hold_drop(leakage.Hold(25.0, end_mpa, start_c, end_c, 5), **HOLD).remark


def _groove(groove: float, width: float) -> Sentence:
    measured = housings.MeasuredGroove(
        "gland", housings.Reading(groove, 0.01), housings.Reading(width, 0.01), housings.Reading(49.98, 0.01)
    )
    return housings.match(measured=measured, housings=[ROW]).sentence


def _gaps(**at: Any) -> dict[str, Any]:
    usual = {"pressure_mpa": 6.0, "section_mm": 5.33, "hardness_shore_a": 70.0, "limits": CHART}
    return usual | at


SAID: dict[str, Callable[[], Sentence]] = {
    "not positive": lambda: refused(lambda: require_positive(bore_mm=-3)),
    "negative pressure": lambda: refused(lambda: require_not_negative(pressure_mpa=-1)),
    "negative stress": lambda: refused(lambda: require_positive(yield_mpa=-1)),
    "negative force": lambda: refused(lambda: require_positive(load_n=-1)),
    "negative torque": lambda: refused(lambda: require_not_negative(torque_nm=-1)),
    "negative flow": lambda: refused(lambda: require_not_negative(leak_ml_min=-1)),
    "negative reading": lambda: refused(lambda: straightness.worst_bend_per_metre(
        [(Decimal(0), Decimal(0)), (Decimal(5), Decimal(-1)), (Decimal(9), Decimal(0))])),
    "size outside its limits": lambda: refused(lambda: Size(5, 6, 7)),
    "typed below 0": lambda: refused(lambda: quantities.read("-3 thou", kind="thickness", system="inch")),
    "supports meet": lambda: refused(lambda: straightness.seen_share(inset_mm=500, length_mm=1000)),
    "coarser than the table": lambda: refused(lambda: texture.grade_of(Decimal(100), steps=STEPS)),
    "supports at one place": lambda: refused(lambda: rod_axis.from_supports([], supports_mm=(5, 5))),
    "preload above proof": lambda: refused(lambda: preloaded.joint_check(
        preload_n=20_000, load_n=1, joint_constant=0.2, proof_load_n=10_000)),
    "torque too small": lambda: torque.torque_question(0.1) or Sentence(""),
    "torque too large": lambda: torque.torque_question(200_000) or Sentence(""),
    "tube without wall": lambda: refused(lambda: barrel.require_tube(bore_mm=100, outside_mm=90)),
    "buckling": lambda: refused(lambda: bowed_rod.bow_stress_mpa(
        column.round_section(outside_mm=20), force_n=90_000, bow_mm=1, effective_length_mm=5000)),
    "tube of a rod": lambda: refused(lambda: column.round_section(outside_mm=50, inside_mm=60)),
    "oil harder than oil": lambda: refused(
        lambda: compressed_oil.squeezed_oil_l(volume_l=1, pressure_mpa=1500, bulk_modulus_mpa=1400)),
    "rod thicker than bore": lambda: refused(lambda: force.annulus_area_mm2(bore_mm=50, rod_mm=60)),
    "honed smaller": lambda: refused(lambda: hone_out.worst_section(bore_mm=100, outside_mm=120, ovality_mm=0, honed_mm=99)),  # noqa: E501
    "honed through": lambda: refused(lambda: hone_out.worst_section(bore_mm=100, outside_mm=120, ovality_mm=0, honed_mm=130)),  # noqa: E501
    "gap too wide": lambda: extrusion_limits.judge_gap(gap=GAP, seal="o-ring", **_gaps()).sentence,
    "pressure above the gaps": lambda: refused(
        lambda: extrusion_limits.judge_gap(gap=GAP, seal="o-ring", **_gaps(pressure_mpa=50))),
    "no gaps for the section": lambda: refused(
        lambda: extrusion_limits.judge_gap(gap=GAP, seal="none", **_gaps())),
    "back-up by pressure": lambda: joined(extrusion_limits.backup_rings(
        gap=GAP, from_both_sides=False, consider_above_mpa=5, **_gaps(pressure_mpa=50)).reasons, " "),
    "ring worn away": lambda: refused(lambda: extrusion.piston_gap(
        bore=Size(100, 100, 100), land=Size(99, 99, 99), ring_groove=Size(95, 95, 95),
        ring_thickness=Size(2.5, 2.45, 2.55), ring_wear_mm=3)),
    "made to measure": lambda: _groove(62, 9),
    "worn groove": lambda: housings.rank(measured=housings.MeasuredGroove(
        "gland", housings.Reading(60.03, 0.01), housings.Reading(6.7, 0.01, 0.2)), housings=[ROW])[0].sentence,
    "no such section": lambda: refused(lambda: orings.nearest_rings(
        on_mm=38, section_mm=4, least_stretch_percent=0, greatest_stretch_percent=5,
        rings=[orings.ORing("325", 37.465, 0.381, 5.334, 0.127, "read", "x")])),
    "no such groove": lambda: orings.match_gland(
        depth_mm=4.7, width_mm=7.2, glands=[], depth_allowance_mm=0, width_allowance_mm=0).sentence,
    "no band": lambda: refused(
        lambda: ring_fit.band_for(application="static", quantity="fill", section_mm=3.53, bands=[])),
    "too hot": lambda: _advice(0, 120),
    "too hot there": lambda: _advice(0, 95),
    "too cold": lambda: _advice(-40, 60),
    "hot and cold swapped": lambda: refused(lambda: _advice(60, 0)),
    "cooling": lambda: _drop(31, 30, 23.9),
    "warming": lambda: _drop(30, 31, 25.0),
    "leaking": lambda: _drop(31, 30, 20.0),
    "guard band": lambda: guard_sentence(
        decide(value=None, lower=Decimal(49), upper=Decimal(50), expanded_uncertainty=Decimal("0.01")), "length"),
}  # fmt: skip


@pytest.mark.parametrize("name", SAID)
def test_an_inch_reader_is_shown_no_metric_unit(name: str) -> None:
    sentence = SAID[name]()
    assert METRIC_UNITS.search(sentence.words("metric")), sentence
    assert not METRIC_UNITS.search(sentence.words("inch")), sentence.words("inch")
    assert "{" not in sentence.words("inch")


BORE: Grid = {
    (station, clock): None if (station, clock) in (("262", "3"), ("750", "12")) else Decimal(100)
    for station in ("25", "262", "500", "750", "1175")
    for clock in ("12", "3")
}
DIALS: Grid = {(station, ""): Decimal("0.1") for station in ("100", "700", "9000", "S2")}
LONE: Grid = {("100", "12"): Decimal(100), ("100", "3"): None, ("700", ""): None, ("S2", "9"): None}


@pytest.mark.parametrize("name", [name for name, how in CHARACTERISTICS.items() if how.compute])
def test_what_readings_leave_unsaid_names_stations_in_the_readers_units(name: str) -> None:
    compute = CHARACTERISTICS[name].compute
    assert compute is not None
    for grid in (BORE, DIALS, LONE):
        try:
            said = compute(grid, Supports(Decimal(0), Decimal(1500))).cannot_say
        except Refusal as refusal:
            said = (refusal.sentence,)
        for sentence in said:
            assert not METRIC_UNITS.search(sentence.words("inch")), sentence.words("inch")
        assert not wrongly_written(said)


SHOWS_A_METRIC_SIZE = {"nameplate_sizes.py"}
"""Asks which of two sizes it is, the metric or the inch one, and so has to name the metric one."""


INSPECT_APP = Path(str(trade.__file__)).parent.parent
PATHS = ("paths", "cures", "planned", "planned_survey", "afterwards", "pricing", "quantities")
SPEAK_THE_READERS_UNITS = [
    *(INSPECT_APP / "trade").rglob("*.py"),
    *(INSPECT_APP / "job" / "seals").glob("*.py"),
    *(INSPECT_APP / "job" / f"{name}.py" for name in PATHS),
    *(INSPECT_APP / "report" / f"{name}.py" for name in ("seal_lines", "path_list")),
]


def test_no_sentence_is_built_with_a_metric_unit_behind_a_number() -> None:
    """Where one of these prints a number with its unit at once, nobody can say it in inches any more."""
    unit = re.compile(r" ?(mm|µm|MPa|bar|m/s|N·m|kN|N|ml|°C)\b")
    built = [
        f"{file.name}:{text.lineno}"
        for file in SPEAK_THE_READERS_UNITS
        if file.name not in SHOWS_A_METRIC_SIZE
        for text in ast.walk(ast.parse(file.read_text()))
        if isinstance(text, ast.JoinedStr)
        for number, behind in itertools.pairwise(text.values)
        if isinstance(number, ast.FormattedValue)
        and isinstance(behind, ast.Constant)
        and unit.match(str(behind.value))
    ]
    assert not built


def test_a_bore_not_wholly_read_says_so_in_inches_to_who_reads_inches() -> None:
    place = bore_survey.Place
    grid = {
        place(Decimal(station), Decimal(angle)): None if (station, angle) == (508, 90) else Decimal(100)
        for station in (254, 508, 762)
        for angle in (0, 90)
    }
    unsaid = bore_survey.survey_bore(grid).cannot_say
    assert not wrongly_written(unsaid)
    said = [sentence.words("inch") for sentence in unsaid]
    assert any(sentence.startswith("20 in: 3:00 was not read") for sentence in said)
    assert not any(METRIC_UNITS.search(sentence) for sentence in said)


@pytest.mark.parametrize(
    ("value", "nominal", "kind"),
    [
        ("6347", "63", "length"),
        ("63.9", "63", "length"),
        ("250", "60", "hardness"),
        ("90", "20", "thickness"),
    ],
)
def test_a_question_about_a_reading_is_in_the_readers_units(value: str, nominal: str, kind: str) -> None:
    question = doubt(
        Decimal(value), nominal=Decimal(nominal), tolerance_span_mm=None, kind=kind, system="inch"
    )
    assert question is None or not METRIC_UNITS.search(question.sentence), question


def test_a_nameplate_is_asked_about_in_inches_and_names_the_metric_twin() -> None:
    """The one place where an inch reader is shown millimetres: which of two sizes, metric or inch, it is."""
    asked = nameplate_doubts(
        bore_mm=Decimal("50.8"),
        rod_mm=Decimal(90),
        stroke_mm=Decimal(99999),
        pressure_mpa=Decimal(3000),
        system="inch",
    )
    assert len(asked) == 5
    assert [question for question in asked if METRIC_UNITS.search(question.sentence)] == [
        question for question in asked if question.why == "metric or inch size"
    ]


def test_amounts_have_the_digits_they_deserve() -> None:
    # 1 in = 25.4 mm, 1 psi = 6894.757 Pa, 1 lbf = 4.448222 N, 9/5 + 32: all from the definitions of the units
    assert Amount(85.0, "length").words("metric") == "85 mm"
    assert Amount(12.7, "length").words("inch") == "0.5 in"
    assert Amount(Decimal("0.0254"), "length").words("inch") == "0.001 in"
    assert Amount(25.0, "pressure").words("inch") == "3626 psi"
    assert Amount(1000, "force").words("inch") == "225 lbf"
    assert Amount(100, "temperature").words("inch") == "212 °F"
    assert Amount(10, "temperature difference").words("inch") == "18 °F"
    assert Amount(0, "length").words("metric") == "0 mm"
    # as many figures as were given, one more where the first did not come out larger; NIST SP 811, B.7.1, asks
    # for one more only where it came out smaller: 1 mm/m would be 0.01 in/ft
    assert Amount(Decimal("0.02"), "length").words("inch") == "0.0008 in"  # 0.000787
    assert Amount(Decimal("-0.025"), "length").words("inch") == "-0.00098 in"  # 0.000984
    assert Amount(Decimal("0.01"), "length").words("inch") == "0.0004 in"  # 0.000394
    assert Amount(Decimal("0.03"), "length").words("inch") == "0.0012 in"  # 0.00118: 1 is less than 3
    assert Amount(Decimal("0.0127"), "length").words("inch") == "0.0005 in"
    assert Amount(Decimal("0.2"), "roughness").words("inch") == "8 µin"  # 7.87
    assert Amount(Decimal("0.4"), "roughness").words("inch") == "16 µin"  # 15.7
    assert Amount(1, "slope").words("inch") == "0.012 in/ft"
    assert Amount(0.0012345, "length").words("inch") == "0.0000486 in"  # reckoned: three figures at most
    assert Amount(float("nan"), "length").words("inch") == "nan"


def test_several_amounts_name_their_unit_once() -> None:
    # AS568-214 in inch: 0.984 inside, 0.139 section
    assert Amounts((24.9936, 3.5306), "length").words("inch") == "0.984 × 0.139 in"
    assert Amounts((-20, 100), "temperature", " to ").words("inch") == "-4 to 212 °F"
    # 1 m/s = 60 / 0.3048 = 196.85 ft/min
    assert Amount(60_000, "running speed").words("inch") == "197 ft/min"
    assert Amount(30_000, "running speed").words("metric") == "0.5 m/s"


def test_sentences_that_say_the_same_count_as_one() -> None:
    same = [Sentence("{bore} wide", {"bore": Amount(80.0, "length")}) for _ in range(2)]
    other = Sentence("{bore} wide", {"bore": Amount(81.0, "length")})
    assert list(dict.fromkeys([*same, other])) == [same[0], other]


def test_an_argument_is_named_without_its_unit() -> None:
    assert argument("ring_wear_mm", 25.4).words("inch") == "ring wear is 1 in"
    assert argument("flow_l_min", 1).words("metric") == "flow is 1000 ml/min"
    assert argument("expansion_per_c", -1).words("inch") == "expansion per c is -1"
    assert argument("nut_factor", 0).words("inch") == "nut factor is 0"


def test_a_brace_somebody_typed_is_no_name() -> None:
    typed = "{bore}"
    assert refused(lambda: quantities.read(typed, kind="length")).words("inch").startswith('"{bore}"')
    assert Sentence("{typed} is longer.", {"typed": typed}).words("metric") == "{bore} is longer."
