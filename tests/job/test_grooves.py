"""A groove is held to the housing that its place, diameter and width name together, or to nothing at all."""

from __future__ import annotations

from decimal import Decimal

import pytest
from log import Log, sound

from inspect_app.job.groove import Dimension, groove_limits, housed
from inspect_app.tables import Tables, load
from inspect_app.tables.cylinders import Groove
from inspect_app.tables.limits import HousingTolerance
from inspect_app.trade.measuring.refusal import Refusal

D = Decimal
NEW = {d: HousingTolerance(d, D(0), D(0)) for d in ("diameter", "width")}
WORN = {
    "diameter": HousingTolerance("diameter", D("0.10"), D("0.10")),
    "width": HousingTolerance("width", D("0.15"), D("0.05")),
}


@pytest.fixture(scope="module")
def tables() -> Tables:
    return load()


def groove(tables: Tables, name: str) -> Groove:
    found = tables.cylinders["double-acting"].groove(name)
    assert found is not None
    return found


def read(mm: str) -> Dimension:
    return Dimension(D(mm), typed=False)


def typed(mm: str) -> Dimension:
    return Dimension(D(mm), typed=True)


def test_readings_name_the_housing_too(tables: Tables) -> None:
    # wear ring sheet headed ISO 10766: bore 80, strip 2.5: groove 75 h8 = 0/-46, width 9.7 +0.2/0
    place = groove(tables, "piston wear ring")
    lower, upper, words = groove_limits(place, NEW["diameter"], D(80), read("74.96"), read("9.84"), tables)
    assert (lower, upper) == (D("74.954"), D("75"))
    assert words == "ISO 10766 piston 80 x 75 x 9.7"
    assert groove_limits(place, NEW["width"], D(80), read("74.96"), read("9.84"), tables)[:2] == (
        D("9.7"),
        D("9.9"),
    )


@pytest.mark.parametrize(
    ("name", "sealed", "diameter", "width", "lower", "upper"),
    [
        # a gland's groove wears outward, a piston's inward; here both sides have 0.10 mm
        ("rod seal", "50", "60", "6.3", "59.7", "60.4"),  # ISO 5597: S 5 +0.15/-0.10, twice on diameter
        ("piston wear ring", "80", "75", "9.7", "74.854", "75.10"),  # ISO 10766: 75 h8 = 0/-46
    ],
)
def test_wear_is_allowed_beyond_the_housings_own_tolerance(
    tables: Tables, name: str, sealed: str, diameter: str, width: str, lower: str, upper: str
) -> None:
    found = groove_limits(
        groove(tables, name), WORN["diameter"], D(sealed), typed(diameter), typed(width), tables
    )
    assert found[:2] == (D(lower), D(upper))


def test_wear_goes_outward_in_a_gland_and_inward_on_a_piston(tables: Tables) -> None:
    one_sided = HousingTolerance("diameter", wear=D("0.10"), other=D(0))
    gland = groove_limits(
        groove(tables, "gland wear ring"), one_sided, D(90), typed("95"), typed("15"), tables
    )
    piston = groove_limits(
        groove(tables, "piston wear ring"), one_sided, D(80), typed("75"), typed("9.7"), tables
    )
    # H8 of 95 is +54, h8 of 75 is -46 (ISO 286-2)
    assert gland[:2] == (D("95"), D("95.154"))
    assert piston[:2] == (D("74.854"), D("75"))


def test_a_groove_worn_out_of_its_housing_is_judged_once_somebody_says_which_it_was(tables: Tables) -> None:
    place = groove(tables, "rod seal")
    with pytest.raises(Refusal, match="made to measure"):
        groove_limits(place, WORN["width"], D(50), read("60.04"), read("7.05"), tables)
    lower, upper, words = groove_limits(place, WORN["width"], D(50), typed("60"), typed("6.3"), tables)
    # ISO 5597 (from memory): length +0.25/0; 0.15 mm of wear
    assert (lower, upper) == (D("6.25"), D("6.70"))
    # and the verdict says so of itself, as nobody here has read that table
    assert words == "ISO 5597 rod 50 x 60 x 6.3 (quoted from memory)"


@pytest.mark.parametrize(
    ("sealed", "diameter", "width"),
    [
        ("50.8", "60.8", "6.35"),  # 2 in rod, 0.400 in deep seal, 1/4 in wide
        ("63.5", "78.5", "9.525"),  # 2 1/2 in rod beside 63 x 78 x 9.5
        ("44.45", "55", "6.35"),
    ],
)
def test_an_inch_groove_never_snaps_to_a_metric_housing(
    tables: Tables, sealed: str, diameter: str, width: str
) -> None:
    for as_given in (read, typed):
        with pytest.raises(Refusal, match="made to measure"):
            groove_limits(
                groove(tables, "rod seal"),
                NEW["width"],
                D(sealed),
                as_given(diameter),
                as_given(width),
                tables,
            )


def test_two_housings_that_fit_are_named_and_none_is_chosen(tables: Tables) -> None:
    # 4.00 deep and 6.65 wide: the metric tables give it to section 5.00, and nothing else comes near
    five = groove_limits(
        groove(tables, "static ring"), NEW["width"], D(100), read("92"), read("6.65"), tables
    )
    assert "section 5 mm" in str(five[2])
    # 1.97 deep and 3.56 wide lies between 2.50 (1.90 to 1.95, 3.30 to 3.55) and 2.62 (2.00, 3.50 to 3.85)
    with pytest.raises(Refusal, match=r"2.5 mm, .*2.62 mm: type the nominal sizes"):
        groove_limits(
            groove(tables, "static ring"), NEW["width"], D(100), read("96.06"), read("3.56"), tables
        )


@pytest.mark.parametrize(
    ("sealed", "diameter", "width", "words"),
    [
        (None, "60", "6.3", "the rod diameter is not known"),
        ("50", None, "6.3", "diameter and width"),
        ("50", "60", None, "diameter and width"),
    ],
)
def test_what_is_missing_to_name_a_housing_is_said(
    tables: Tables, sealed: str | None, diameter: str | None, width: str | None, words: str
) -> None:
    with pytest.raises(Refusal, match=words):
        groove_limits(
            groove(tables, "rod seal"),
            NEW["width"],
            D(sealed) if sealed else None,
            read(diameter) if diameter else None,
            read(width) if width else None,
            tables,
        )


@pytest.mark.parametrize(
    ("sealed", "diameter", "width", "named"),
    [
        # figures off a drawing are rounded: 0.05 mm beside the nominal of 80 x 75 x 9.7 is still that housing
        ("80", "75.05", "9.7", True),
        ("80", "74.94", "9.7", False),
        ("80", "75", "9.65", True),
        ("80", "75", "9.76", False),
        ("80.05", "75", "9.7", True),
        ("79.94", "75", "9.7", False),
    ],
)
def test_a_typed_size_names_a_housing_within_what_rounding_does(
    tables: Tables, sealed: str, diameter: str, width: str, named: bool
) -> None:
    place = groove(tables, "piston wear ring")
    if not named:
        with pytest.raises(Refusal, match="made to measure"):
            groove_limits(place, NEW["width"], D(sealed), typed(diameter), typed(width), tables)
    else:
        # wear ring sheet headed ISO 10766: width 9.7 +0.2/0
        found = groove_limits(place, NEW["width"], D(sealed), typed(diameter), typed(width), tables)
        assert found[:2] == (D("9.7"), D("9.9"))


@pytest.mark.parametrize(
    ("diameter", "named"), [("91.86", True), ("91.84", False), ("92.04", True), ("92.06", False)]
)
def test_a_typed_o_ring_groove_is_named_within_what_rounding_does_to_its_diameter(
    tables: Tables, diameter: str, named: bool
) -> None:
    # metric gland table: section 5.00, 4.00 to 4.05 deep and 6.60 to 6.85 wide. 0.05 mm on diameter is 0.025 deep:
    # (100 - 91.86) / 2 = 4.07 and (100 - 92.04) / 2 = 3.98 are 0.02 beyond, 4.08 and 3.97 are 0.03 beyond
    place = groove(tables, "static ring")
    if named:
        _, _, words = groove_limits(place, NEW["width"], D(100), typed(diameter), typed("6.65"), tables)
        assert "section 5 mm" in str(words)
    else:
        with pytest.raises(Refusal, match="made to measure"):
            groove_limits(place, NEW["width"], D(100), typed(diameter), typed("6.65"), tables)


def test_the_housing_of_a_groove_is_named_with_both_checks_that_measure_it(tables: Tables) -> None:
    # wear ring sheet headed ISO 10766: bore 100, strip 2.5: groove 95 h8 = 0/-54, width 9.7 +0.2/0
    place = groove(tables, "piston wear ring")
    found = housed(place, sound().survey(), tables)
    assert found is not None
    assert (found.diameter_check.id, found.width_check.id) == (
        "piston-wear-ring-groove-diameter",
        "piston-wear-ring-groove-width",
    )
    assert (found.sealed, str(found.name)) == (100, "ISO 10766 piston 100 x 95 x 9.7")
    assert (found.diameter, found.diameter_limits) == (95, (D("94.946"), D("95")))
    assert (found.width, found.width_limits) == (D("9.7"), (D("9.7"), D("9.9")))


def test_a_groove_that_was_not_measured_or_is_none_of_the_standard_has_no_housing(tables: Tables) -> None:
    place = groove(tables, "piston wear ring")
    assert housed(place, Log(bore="100", rod="63").survey(), tables) is None
    half = Log(bore="100", rod="63")
    half.write("nominal", check="piston-wear-ring-groove-diameter", typed="95", value="95")
    assert housed(place, half.survey(), tables) is None
    half.write("nominal", check="piston-wear-ring-groove-width", typed="4.2", value="4.2")
    assert housed(place, half.survey(), tables) is None
