"""Every pairing that is wrong or in doubt: the figures of the trade, worked by hand, each side of each border."""

from __future__ import annotations

from pathlib import Path

import pytest
from spelling import wrongly_written

from inspect_app.tables.faults import Reader
from inspect_app.tables.standards.orings import load_bands, load_orings
from inspect_app.tables.standards.seal_choice import load_strip_gaps, load_twins
from inspect_app.tables.standards.seal_materials import load_seal_materials
from inspect_app.trade.measuring.refusal import Sentence
from inspect_app.trade.measuring.sizes import Spread
from inspect_app.trade.sealing.extrusion_limits import BackupAdvice
from inspect_app.trade.sealing.housings import Allowed, Housing, Reading
from inspect_app.trade.sealing.mistaken import (
    metric_or_inch,
    missing_width,
    old_ring_differs,
    other_system,
    strip_in_groove,
)
from inspect_app.trade.sealing.orings import ring_by_dash
from inspect_app.trade.sealing.pairings import (
    Objection,
    backup_for_each_side,
    backups_in_groove,
    energiser_section,
    fill_of_groove,
    groove_worn_out,
    lips_on_piston,
    ring_in_gland_groove,
    squeeze_in_groove,
    stretch_on_groove,
    unsuitable_material,
)
from inspect_app.trade.sealing.ring_fit import Band, band_for
from inspect_app.trade.sealing.seal_materials import advise
from inspect_app.trade.sealing.strips import cut_length_mm

READER = Reader(Path(__file__).parents[3] / "checklists")
BANDS = load_bands(READER)
RINGS = load_orings(READER)
MATERIALS = load_seal_materials(READER)


def band(application: str, quantity: str, section_mm: float = 5.33) -> Band:
    return band_for(application=application, quantity=quantity, section_mm=section_mm, bands=BANDS)


def kind(objection: Objection | None) -> str:
    """ "fits", "doubt" or "stop"; what speaks against it says why, and what settles it."""
    if objection:
        assert str(objection.sentence).endswith(".")
        assert isinstance(objection.settles, Sentence)
        assert not wrongly_written(objection.sentence, objection.settles)
    return "fits" if objection is None else "stop" if objection.stop else "doubt"


@pytest.mark.parametrize(
    ("material", "fluid", "hottest_c", "says"),
    [  # seal-fluid-table and seal-material-ranges
        ("EPDM", "HM", 60, "stop"),  # mineral oil swells EPDM
        ("NBR", "HFDR-aryl", 60, "stop"),  # phosphate ester dissolves nitrile
        ("NBR", "HM", 101, "stop"),  # NBR to 100 °C
        ("NBR", "HM", 100, "fits"),
        ("PTFE-bronze", "HFC", 50, "stop"),  # water corrodes the bronze
        ("PA", "HFC", 40, "doubt"),  # polyamide swells in water
        ("AU", "HFC", 40, "doubt"),  # water-glycol breaks polyester polyurethane down
        ("AU", "HFC", 41, "stop"),
        ("EPDM", "HFC", 60, "fits"),
    ],
)
def test_a_material_its_fluid_does_not_bear_stops(
    material: str, fluid: str, hottest_c: float, says: str
) -> None:
    advice = advise(material=material, fluid=fluid, coldest_c=0, hottest_c=hottest_c, tables=MATERIALS)
    assert kind(unsuitable_material(advice=advice)) == says


@pytest.mark.parametrize("fluid", ["HFAE", "HFAS", "HFC"])
@pytest.mark.parametrize(
    ("material", "hottest_c", "says"),
    [  # bronze-filled PTFE, polyamide and polyester polyurethane in a water-based fluid: seal-material-ranges
        ("PTFE-bronze", 20, "stop"),
        ("PA", 20, "doubt"),
        ("AU", 40, "doubt"),
        ("AU", 51, "stop"),  # to 40 °C in water-glycol, to 50 °C in emulsion
        ("POM", 20, "fits"),
        ("PTFE", 20, "fits"),
    ],
)
def test_a_water_based_fluid_stops_bronze_and_warm_polyester_and_doubts_polyamide(
    fluid: str, material: str, hottest_c: float, says: str
) -> None:
    advice = advise(material=material, fluid=fluid, coldest_c=10, hottest_c=hottest_c, tables=MATERIALS)
    assert kind(unsuitable_material(advice=advice)) == says


@pytest.mark.parametrize(
    ("on_mm", "says"),
    [  # AS568-325, inside 37.465 mm: 5 % is 39.338 mm
        (39.33, "fits"),
        (39.35, "doubt"),
        (37.46, "doubt"),  # 0.01 % loose
        (37.47, "fits"),
        (37.465, "fits"),  # as large as the groove
    ],
)
def test_a_ring_on_a_piston_groove_is_stretched_from_0_to_5_percent(on_mm: float, says: str) -> None:
    stretch = 100 * (on_mm - 37.465) / 37.465
    found = stretch_on_groove(stretch_percent=stretch, band=band("piston-groove", "stretch"))
    assert kind(found) == says
    if found:
        assert ("larger" in str(found.settles)) is (on_mm > 38)


def test_a_stretch_of_just_the_most_is_within_it() -> None:
    most = band("piston-groove", "stretch")
    assert most.greatest_percent == 5
    assert stretch_on_groove(stretch_percent=5.0, band=most) is None


@pytest.mark.parametrize(
    ("groove_mm", "rod_mm", "rules"),
    [  # AS568-222: inside 37.694, section 3.531 mm, so its outside is 44.756 mm
        (44.2, 38.1, []),  # outside 1.26 % over the floor, inside 1.08 % under the rod
        (44.80, 38.1, ["ring-outside"]),  # outside 0.1 % under the floor: it hangs loose
        (43.40, 38.1, ["ring-outside"]),  # 3.12 % over: it buckles
        (44.2, 38.5, ["ring-inside"]),  # 2.14 % under the rod
    ],
)
def test_a_ring_in_a_gland_groove_is_held_by_its_outside(
    groove_mm: float, rod_mm: float, rules: list[str]
) -> None:
    found = ring_in_gland_groove(
        ring=ring_by_dash(dash="222", rings=RINGS), groove_mm=groove_mm, rod_mm=rod_mm,
        outside=band("gland-groove", "outside"), inside=band("gland-groove", "stretch"),
    )  # fmt: skip
    assert [o.rule for o in found] == rules
    assert not any(o.stop for o in found)


@pytest.mark.parametrize(
    ("squeeze", "application", "says"),
    [  # handbook: at most 30 % static, 16 % reciprocating; guide: at least 15 and 10 %
        (Spread(15.0, 12.0, 18.0), "static", "fits"),
        (Spread(14.9, 12.0, 18.0), "static", "doubt"),
        (Spread(30.1, 28.0, 33.0), "static", "doubt"),
        (Spread(16.1, 12.0, 20.0), "reciprocating", "doubt"),
        (Spread(16.0, 12.0, 20.0), "reciprocating", "fits"),
        (Spread(12.0, 0.0, 20.0), "reciprocating", "stop"),  # nothing left at the worst
        (Spread(12.0, 0.1, 20.0), "reciprocating", "fits"),
    ],
)
def test_a_ring_without_squeeze_stops_and_outside_the_band_is_a_doubt(
    squeeze: Spread, application: str, says: str
) -> None:
    assert kind(squeeze_in_groove(squeeze_percent=squeeze, band=band(application, "squeeze"))) == says


@pytest.mark.parametrize(
    ("fill", "says"),
    [  # guide: at most 85 %
        (Spread(85.0, 80.0, 99.9), "fits"),
        (Spread(85.1, 80.0, 99.9), "doubt"),
        (Spread(80.0, 75.0, 100.0), "stop"),
    ],
)
def test_a_brimful_groove_stops(fill: Spread, says: str) -> None:
    assert kind(fill_of_groove(fill_percent=fill, band=band("static", "fill"))) == says


@pytest.mark.parametrize(
    ("needed", "room", "says"), [(0, 0, "fits"), (1, 1, "fits"), (1, 0, "doubt"), (2, 1, "doubt")]
)
def test_a_groove_without_room_for_its_back_up_rings_is_a_doubt(needed: int, room: int, says: str) -> None:
    found = backups_in_groove(advice=BackupAdvice(needed, "somewhere", ("The gap is too wide.",)), room=room)
    assert kind(found) == says
    if found and room == 0:
        assert "takes none" in str(found.sentence)


@pytest.mark.parametrize(
    ("backups", "both", "says"),
    [(1, True, "doubt"), (2, True, "fits"), (1, False, "fits"), (0, True, "fits")],
)
def test_pressure_from_both_sides_asks_for_two_back_up_rings(backups: int, both: bool, says: str) -> None:
    assert kind(backup_for_each_side(backups=backups, from_both_sides=both)) == says  # MIL-G-5514G 3.4


@pytest.mark.parametrize(
    ("section_mm", "word", "says"),
    [(5.334, False, "fits"), (5.33, False, "fits"), (6.99, False, "stop"), (6.99, True, "fits")],
)
def test_another_section_behind_a_plastic_face_needs_the_suppliers_word(
    section_mm: float, word: bool, says: str
) -> None:
    # trade geometry: a housing 6.3 wide has an O-ring of 5.33 mm
    assert kind(energiser_section(section_mm=section_mm, housing_mm=5.33, suppliers_word=word)) == says


@pytest.mark.parametrize(
    ("lips", "both", "says"),
    [
        (("rod side", "cap side"), True, "fits"),  # heel to heel
        (("cap side", "rod side"), True, "stop"),  # facing each other
        (("rod side", "rod side"), True, "stop"),
        (("cap side",), True, "doubt"),
        (("cap side",), False, "fits"),
    ],
)
def test_two_lips_of_a_piston_sit_heel_to_heel(lips: tuple[str, ...], both: bool, says: str) -> None:
    assert kind(lips_on_piston(lips_face=lips, from_both_sides=both)) == says


def test_a_groove_worn_beyond_its_allowance_is_reworked_or_made_to_measure() -> None:
    # wear ring sheet: width 9.7 +0.2; common practice: 0.15 mm of wear, so to 10.05 mm
    ring = Housing("ISO 10766", "80 x 75 x 9.7", "wear-ring", "piston", Allowed(80, 0, 0.074), Allowed(75, -0.046, 0),
                   Allowed(9.7, 0, 0.2), 0.2, 2.5, 0.9, "read", "wear-ring-sheet")  # fmt: skip
    for width_mm, says in ((10.04, "fits"), (10.06, "doubt")):
        worn = groove_worn_out(width=Reading(width_mm, 0.01), housing=ring, allowance_mm=0.15)
        assert kind(worn) == says


def test_a_diameter_without_a_width_names_no_housing() -> None:
    assert kind(missing_width(width_known=False)) == "doubt"
    assert missing_width(width_known=True) is None


@pytest.mark.parametrize(
    ("value_mm", "u_mm", "of", "says"),
    [
        (3.54, 0.03, "section", "doubt"),  # 3.53 and 3.55
        (5.32, 0.03, "section", "doubt"),  # 5.33 and 5.30
        (6.99, 0.02, "section", "doubt"),  # 6.99 and 7.00
        (2.62, 0.03, "section", "fits"),
        (50.0, 0.02, "diameter", "fits"),  # 50.8 lies 0.8 mm away: a micrometer tells them apart
        (50.4, 0.5, "diameter", "doubt"),  # a rule does not
        (44.7, 0.5, "diameter", "doubt"),
        (3.54, 0.03, "diameter", "fits"),
    ],
)
def test_metric_and_inch_twins_are_asked_about(value_mm: float, u_mm: float, of: str, says: str) -> None:
    assert kind(metric_or_inch(value_mm=value_mm, u_mm=u_mm, of=of, twins=load_twins(READER))) == says


@pytest.mark.parametrize(
    ("value_mm", "sizes", "says"),
    [
        (50.80, "metric", "doubt"),  # 2 in
        (50.84, "metric", "doubt"),
        (50.00, "metric", "fits"),
        (50.00, "inch", "doubt"),
        (50.80, "inch", "fits"),
        (44.45, "metric", "doubt"),  # 1 3/4 in
        (45.00, "inch", "doubt"),
        (56.00, "metric", "fits"),  # no size of the other's lies near
    ],
)
def test_a_size_of_the_other_system_is_asked_about(value_mm: float, sizes: str, says: str) -> None:
    twins = load_twins(READER)
    found = other_system(value_mm=value_mm, u_mm=0.05, of="diameter", sizes=sizes, twins=twins)
    assert kind(found) == says


@pytest.mark.parametrize(
    ("old_mm", "says"),
    [
        (5.05, "fits"),
        (5.60, "fits"),
        (3.42, "doubt"),
        (6.7, "doubt"),
    ],  # set by 5 %, swollen by 5 %, another ring
)
def test_an_old_ring_of_another_section_is_a_doubt(old_mm: float, says: str) -> None:
    sections = (1.78, 2.62, 3.53, 5.33, 6.99)
    found = old_ring_differs(old_section_mm=old_mm, section_mm=5.33, sections_mm=sections)
    assert kind(found) == says
    # in the inch system rings are listed to thousandths: 5.33 / 25.4 = 0.2098, called 0.210
    assert found is None or "asks for 0.210 in" in found.sentence.words("inch")


@pytest.mark.parametrize(
    ("changes", "rules"),
    [  # bore 100, groove 95: 2.50 mm of space for a strip of 2.5
        ({}, []),
        ({"space_mm": 2.49}, ["strip-thick"]),
        ({"width_mm": 15.0}, ["strip-wide"]),
        ({"metal_gap_mm": 0.09}, ["strip-thin"]),  # housing design sheet: more than 0.1 mm
        ({"metal_gap_mm": None}, []),
    ],
)
def test_a_strip_too_thick_too_wide_or_too_thin_stops(changes: dict[str, float], rules: list[str]) -> None:
    strip = {
        "thickness_mm": 2.5,
        "width_mm": 9.7,
        "space_mm": 2.5,
        "groove_width_mm": 9.8,
        "metal_gap_mm": 0.2,
    }
    found = strip_in_groove(**{**strip, **changes}, least_metal_gap_mm=0.1)
    assert [o.rule for o in found] == rules
    assert all(o.stop for o in found)


def test_a_strip_is_cut_to_the_middle_of_its_thickness() -> None:
    # by hand: pi · (100 − 2.5) = 306.31; pi · (90 + 2.5) = 290.60; less the gap the sheet asks for
    assert cut_length_mm(surface_mm=100, thickness_mm=2.5, end_gap_mm=0, on_rod=False) == pytest.approx(
        306.31, abs=0.01
    )
    assert cut_length_mm(surface_mm=90, thickness_mm=2.5, end_gap_mm=4, on_rod=True) == pytest.approx(
        286.60, abs=0.01
    )
    sheet = {(g.thickness_mm, g.width_mm): (g.least_mm, g.greatest_mm) for g in load_strip_gaps(READER)}
    assert sheet[2.5, 9.7] == (2, 9)
