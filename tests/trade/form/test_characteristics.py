"""What a check's readings are made into: the same in any order, honest with gaps, with weights that add up."""

from __future__ import annotations

import itertools
import math
import random
from decimal import Decimal

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inspect_app.trade.form.characteristics import CHARACTERISTICS
from inspect_app.trade.form.grid import Cell, Grid, angle_deg, distance_mm, in_order
from inspect_app.trade.form.making import Made, Measured, Supports, greatest_less_least
from inspect_app.trade.measuring.refusal import Refusal

D = Decimal
COMPUTED = sorted(name for name, how in CHARACTERISTICS.items() if how.compute)
OF_SECTIONS = ("ovality", "fitted_ovality", "taper", "ballooning", "bell_mouth", "wear")
OF_DIAMETERS = (*OF_SECTIONS, "mean")
CLOCKS = ("12", "1.5", "3", "4.5")
STATIONS = ("25", "262", "500", "750", "1175")


def said_by(made: Made) -> tuple[str, ...]:
    """What could not be said, as it is shown to a metric reader."""
    return tuple(map(str, made.cannot_say))


def make(name: str, grid: Grid, supports: Supports | None = None) -> Made:
    """What a characteristic makes of a grid."""
    compute = CHARACTERISTICS[name].compute
    assert compute
    return compute(grid, supports)


def one(name: str, grid: Grid, supports: Supports | None = None) -> Measured:
    """The only value of a characteristic."""
    (measured,) = make(name, grid, supports).measured
    return measured


def bore(shape: list[str], clocks: tuple[str, ...] = ("",), oval: str = "0") -> dict[Cell, Decimal | None]:
    """A bore of 100 mm, wider by `shape` at its stations, oval with its long axis towards 12 o'clock."""
    return {
        (station, clock): 100
        + D(over)
        + D(str(round(float(oval) / 2 * math.cos(2 * math.radians(float(angle_deg(clock)))), 6)))
        for station, over in zip(STATIONS, shape, strict=False)
        for clock in clocks
    }


# ---- order


def test_stations_stand_by_distance_and_words_as_the_checklist_has_them() -> None:
    # by hand; as text "1175" would come before "25"
    assert in_order(["750", "1175", "25", "262.5"]) == ("25", "262.5", "750", "1175")
    assert in_order(["gland end", "middle", "cap end"]) == ("gland end", "middle", "cap end")
    assert in_order(["cap end", "500", "gland end", "25"]) == ("25", "500", "cap end", "gland end")
    assert in_order(["50.0", "50", "-10"]) == ("-10", "50", "50.0")
    assert [distance_mm(s) for s in ("NaN", "Infinity", "", "S1")] == [None] * 4


@given(
    st.dictionaries(
        st.tuples(
            st.sampled_from([*STATIONS, "90", "1400"]), st.sampled_from(["12", "1.5", "3", "4.5", "6"])
        ),
        st.none() | st.integers(0, 200).map(lambda um: 100 + D(um) / 1000),
        min_size=1,
    ),
    st.randoms(use_true_random=False),
)
@settings(max_examples=80)
def test_no_order_of_stations_and_clocks_changes_what_is_measured(
    grid: dict[Cell, Decimal | None], shuffled: random.Random
) -> None:
    cells = list(grid)
    shuffled.shuffle(cells)
    supports = Supports(D(0), D(1300))
    for name in COMPUTED:
        assert make(name, {cell: grid[cell] for cell in cells}, supports) == make(name, grid, supports)


def test_the_same_bore_with_its_middle_listed_last_has_the_same_shape() -> None:
    straight = bore(["0.05", "0.02", "0.02", "0.02", "0.05"])
    last = {cell: straight[cell] for cell in sorted(straight, key=lambda cell: cell[0] == "750")}
    assert list(last)[-1] == ("750", "")
    assert one("ballooning", last).value == D("-0.03")  # by hand: 0.02 less the ends' 0.05
    assert one("bell_mouth", last).value == D("0.03")  # by hand: 0.05 less 0.02


# ---- gaps


def oval_bore(skipped: list[Cell]) -> dict[Cell, Decimal | None]:
    """A bore 0.18 oval all along and straight, with places not read."""
    return bore(["0"] * 5, CLOCKS, oval="0.18") | dict.fromkeys(skipped)


@pytest.mark.parametrize("skipped", [[c] for c in itertools.product(STATIONS, CLOCKS)], ids=str)
def test_a_skipped_clock_makes_neither_taper_nor_ballooning_of_an_oval(skipped: list[Cell]) -> None:
    # simulation: every section has the same mean; plain means of the three clocks left would differ by 0.03
    grid = oval_bore(skipped)
    for name in ("taper", "ballooning", "bell_mouth"):
        assert one(name, grid).value == pytest.approx(0, abs=D("2e-6"))


@pytest.mark.parametrize("station", STATIONS)
def test_a_section_read_at_one_clock_of_two_has_no_mean(station: str) -> None:
    # the bore is 0.18 oval: 12 reads 100.09 and 3 reads 99.91 everywhere, and nothing is tapered or swollen
    grid = bore(["0"] * 5, ("12", "3"), oval="0.18") | {(station, "3"): None}
    assert one("taper", grid).value == 0
    said = make("ballooning", grid)
    if station in (STATIONS[0], STATIONS[-1]):
        assert said.measured == ()
        assert any("needs both end sections" in s for s in said_by(said))
    else:
        assert said.measured[0].value == 0
    assert f"{station} mm was not read at 3 o'clock, so it takes no part in the ballooning." in said_by(said)


def test_a_taper_without_an_end_says_from_where_to_where_it_is() -> None:
    grid = bore(["0.08", "0.06", "0.04", "0.02", "0"], ("12", "3")) | {
        ("25", "12"): None,
        ("1175", "3"): None,
    }
    made = make("taper", grid)
    assert made.measured[0].value == D("0.04")  # by hand: 0.06 less 0.02
    assert "The taper is only that from 262 mm to 750 mm." in said_by(made)
    alone = make("taper", {("25", ""): D(100), ("262", ""): None})
    assert alone.measured == ()
    assert said_by(alone) == (
        "262 mm was not read, so it takes no part in the taper.",
        "The taper needs 2 sections with every clock read.",
    )


def test_an_end_not_read_at_all_leaves_ballooning_unsaid() -> None:
    for station in (STATIONS[0], STATIONS[-1]):
        grid = bore(["0.01", "0.05", "0.05", "0.05", "0.01"]) | {(station, ""): None}
        assert make("ballooning", grid).measured == make("bell_mouth", grid).measured == ()


def test_clocks_not_read_are_named_round_the_dial() -> None:
    grid = bore(["0", "0"], CLOCKS) | {("25", c): None for c in ("3", "1.5", "12")}
    assert said_by(make("taper", grid))[0].startswith("25 mm was not read at 12, 1:30, 3 o'clock,")


@pytest.mark.parametrize("name", ["taper", "ballooning", "bell_mouth"])
def test_a_bore_read_everywhere_leaves_nothing_unsaid(name: str) -> None:
    assert make(name, bore(["0.01", "0.05", "0.02", "0", "0.03"], CLOCKS)).cannot_say == ()


@pytest.mark.parametrize(("name", "called"), [("ballooning", "ballooning"), ("bell_mouth", "bell mouth")])
def test_what_cannot_be_said_is_called_by_its_name(name: str, called: str) -> None:
    assert said_by(make(name, bore(["0", "0.03"]))) == (
        f"The {called} needs both end sections and one between them, with every clock read.",
    )


def test_two_sections_have_a_taper_and_no_middle() -> None:
    two = bore(["0", "0.03"])
    assert (one("taper", two).value, one("taper", two).station) == (D("0.03"), "")
    for name in ("ballooning", "bell_mouth"):
        assert make(name, two).measured == ()


def test_a_bell_mouth_of_three_sections_is_the_wider_end_less_the_middle() -> None:
    # by hand: ends 0.07 and 0.01, middle 0.02
    for shape in (["0.07", "0.02", "0.01"], ["0.01", "0.02", "0.07"]):
        measured = one("bell_mouth", bore(shape))
        assert measured.value == D("0.05")
        assert measured.station == ("25" if shape[0] == "0.07" else "500")


def test_a_section_known_by_a_word_among_distances_stays_out_of_the_shape() -> None:
    grid = {("500", ""): D("80.00"), ("25", ""): D("80.01"), ("at the score", ""): D("80.50")}
    made = make("taper", grid)
    assert made.measured[0].value == D("0.01")
    assert said_by(made) == ("at the score is no distance, so it takes no part in the taper.",)
    assert (one("mean", grid).value, one("mean", grid).station) == (D("80.17"), "")  # by hand


def test_sections_known_by_words_alone_stand_in_the_order_given() -> None:
    grid = {("gland end", ""): D("80.01"), ("middle", ""): D("80.06"), ("cap end", ""): D("80.03")}
    assert (one("taper", grid).value, one("ballooning", grid).value) == (D("0.02"), D("0.04"))
    assert one("ballooning", grid).station == "middle"


def test_a_clock_that_is_none_or_twice_is_refused() -> None:
    with pytest.raises(Refusal, match="not a clock"):
        make("ovality", {("25", "top"): D(80)})
    with pytest.raises(Refusal, match=r"^A clock is given twice"):
        make("ovality", {("25", "12"): D(80), ("25", "0"): D(80)})
    with pytest.raises(Refusal, match="given twice"):
        make("taper", {("25", ""): D(80), ("25.0", ""): D(80)})


@pytest.mark.parametrize("name", COMPUTED)
def test_nothing_read_is_nothing_made(name: str) -> None:
    unread: Grid = dict.fromkeys(itertools.product(STATIONS, CLOCKS))
    assert make(name, unread).measured == ()


@pytest.mark.parametrize("name", [name for name in COMPUTED if name not in OF_SECTIONS])
def test_no_places_at_all_make_nothing(name: str) -> None:
    assert make(name, {}).measured == ()


@pytest.mark.parametrize("name", OF_SECTIONS)
def test_a_section_without_a_clock_is_refused(name: str) -> None:
    with pytest.raises(Refusal, match="at least 1"):
        make(name, {})


# ---- wear


def pin(left: str, right: str, unworn: str) -> dict[Cell, Decimal | None]:
    """A pin read at two clocks of three sections; - is not read."""
    sections = {"left half": left, "right half": right, "unworn end": unworn}
    return {
        (station, clock): None if read == "-" else D(read)
        for station, reads in sections.items()
        for clock, read in zip(("12", "3"), reads.split(), strict=True)
    }


def test_wear_is_the_widest_section_less_the_narrowest_by_their_means() -> None:
    worn = one("wear", pin("49.70 49.74", "49.90 49.90", "49.98 49.96"))
    # by hand: (49.98 + 49.96) / 2 less (49.70 + 49.74) / 2
    assert worn.value == D("0.25")
    assert worn.weights == {
        ("unworn end", "12"): 0.5, ("unworn end", "3"): 0.5, ("left half", "12"): -0.5, ("left half", "3"): -0.5,
    }  # fmt: skip


def test_wear_of_nothing_still_weighs_two_sections() -> None:
    # both read 49.90 to what their gauge is good for: the difference is 0, and in doubt by both
    worn = one("wear", pin("- -", "49.90 49.90", "49.88 49.92"))
    assert worn.value == 0
    assert sorted(worn.weights.values()) == [-0.5, -0.5, 0.5, 0.5]


def test_of_equal_readings_the_same_two_count_whichever_was_read_first() -> None:
    read = {("25", "6"): D("100.014"), ("262", "3"): D("100"), ("262", "12"): D("100")}
    turned = dict(reversed(read.items()))
    assert greatest_less_least(read) == greatest_less_least(turned)
    assert sorted(greatest_less_least(read).values()) == [-1, 1]
    assert one("difference", read).weights == one("difference", turned).weights
    # two rods read alike differ by 0, in doubt by both readings
    alike = one("difference", {("rod 1", ""): D("612.0"), ("rod 2", ""): D("612.0")})
    assert (alike.value, sorted(alike.weights.values())) == (0, [-1, 1])


def test_wear_is_not_made_of_a_section_with_a_clock_left_out() -> None:
    made = make("wear", pin("49.70 -", "49.90 49.90", "49.98 49.96"))
    (worn,) = made.measured
    assert worn.value == D("0.07")  # by hand: 49.97 less 49.90
    assert said_by(made) == ("left half was not read at 3 o'clock, so it takes no part in the wear.",)


def test_wear_needs_two_sections() -> None:
    made = make("wear", pin("- -", "49.90 49.90", "- -"))
    assert made.measured == ()
    assert "Wear needs a worn and an unworn section, with every clock read." in said_by(made)


# ---- ovality


def test_ovality_belongs_to_each_section_read_at_two_clocks_or_more() -> None:
    grid: Grid = {
        ("25", "12"): D("50.012"),
        ("25", "3"): D("50.030"),
        ("500", "12"): D("50.010"),
        ("500", "3"): None,
    }
    made = make("ovality", grid)
    assert [(m.station, m.value) for m in made.measured] == [("25", D("0.018"))]
    assert said_by(made) == ()
    later = make("ovality", {("5", "12"): D(50), ("5", "3"): None, **grid})
    assert [m.station for m in later.measured] == ["25"]  # a station read once hides none behind it
    third = make("ovality", {**grid, ("25", "6"): None})
    assert said_by(third) == ("25 mm was not read at 6 o'clock: it may be more oval than read.",)


def test_four_clocks_show_a_fitted_oval_whole_and_two_say_that_it_can_hide() -> None:
    # an oval of 0.08 with its axis between the clocks, by trigonometry: greatest less least sees cos 45° of it
    turned = {
        ("25", clock): D(
            str(round(100 + 0.04 * math.cos(2 * math.radians(float(angle_deg(clock)) - 22.5)), 6))
        )
        for clock in CLOCKS
    }
    assert one("fitted_ovality", turned).value == pytest.approx(D("0.08"), abs=D("2e-6"))
    assert (one("fitted_ovality", turned).station, one("ovality", turned).station) == ("25", "25")
    assert float(one("ovality", turned).value) == pytest.approx(0.08 * math.cos(math.radians(45)), abs=2e-6)
    two = make("fitted_ovality", {("25", "12"): D(100), ("25", "3"): D(100)})
    assert two.measured == ()
    assert said_by(two)[0].startswith("At 25 mm an oval can hide")
    assert said_by(make("fitted_ovality", {("", "12"): D(100)}))[0].startswith("An oval can hide")


# ---- weights


@pytest.mark.parametrize(
    ("name", "shape", "expected"),
    [
        ("taper", ["0.05", "0.00", "0.01"], {"25": 0.5, "500": -0.5}),
        ("taper", ["0.01", "0.00", "0.05"], {"25": -0.5, "500": 0.5}),
        ("ballooning", ["0.01", "0.05", "0.02"], {"262": 0.5, "25": -0.25, "500": -0.25}),
        ("bell_mouth", ["0.01", "0.00", "0.05"], {"500": 0.5, "262": -0.5}),
        ("bell_mouth", ["0.05", "0.00", "0.01", "0.02"], {"25": 0.5, "262": -0.25, "500": -0.25}),
        ("mean", ["0.05", "0.00"], {"25": 0.25, "262": 0.25}),
    ],
)
def test_each_reading_weighs_what_the_formula_gives_it(
    name: str, shape: list[str], expected: dict[str, float]
) -> None:
    # by hand: two clocks a section, so a section mean gives each half
    weights = one(name, bore(shape, ("12", "3"))).weights
    assert weights == {(s, c): w for s, w in expected.items() for c in ("12", "3")}


def test_ovality_weighs_the_greatest_and_the_least_reading_and_no_other() -> None:
    grid = {("25", "12"): D("50.01"), ("25", "1.5"): D("50.03"), ("25", "3"): D("50.00")}
    assert one("ovality", grid).weights == {("25", "1.5"): 1, ("25", "3"): -1}
    round_one = {("25", "12"): D(50), ("25", "3"): D(50)}
    assert sorted(one("ovality", round_one).weights.values()) == [-1, 1]


@given(
    st.dictionaries(
        st.tuples(st.sampled_from(STATIONS), st.sampled_from([*CLOCKS, "6", "9"])),
        st.none() | st.integers(0, 200).map(lambda um: 100 + D(um) / 1000),
        min_size=6,
    ),
    st.sampled_from(OF_DIAMETERS),
)
def test_a_value_is_the_sum_of_its_weights_times_what_was_read(
    grid: dict[Cell, Decimal | None], name: str
) -> None:
    for measured in make(name, grid).measured:
        total = sum(w * float((grid[cell] or 0) - 100) for cell, w in measured.weights.items())
        offset = 100 if name == "mean" else 0
        assert float(measured.value) - offset == pytest.approx(total, abs=3e-6)
        # what all readings of one gauge share cancels in a difference and stays in a mean
        assert sum(measured.weights.values()) == pytest.approx(1 if name == "mean" else 0, abs=1e-9)


# ---- a rod under the dial

SPAN = Supports(D(0), D(1500))


def tirs(**at: str) -> dict[Cell, Decimal | None]:
    """Total readings by station, written z100="0.72"."""
    return {(station[1:], ""): D(tir) for station, tir in at.items()}


def test_the_bow_is_half_of_the_greatest_total_reading() -> None:
    measured = one("bow", tirs(z300="0.21", z650="0.65", z1000="0.30"))
    assert (measured.value, measured.station, measured.weights) == (D("0.325"), "650", {("650", ""): 0.5})


def test_a_sharp_bend_near_an_end_is_seen_from_the_support() -> None:
    # 0.72 at 100 mm from a support, nothing from 700 on: within 0.5 mm/m over the span, 0.72 over 0.7 m at the bend
    rod = tirs(z100="0.72", z700="0", z1300="0")
    measured = one("worst_per_metre", rod, SPAN)
    assert (measured.value, measured.station) == (D("1.029"), "100")
    without = one("worst_per_metre", rod)  # where the supports stand is not known: the end station is no bend
    assert without.value < D("0.6")


def test_the_local_bend_is_the_dials_reading_off_its_neighbours_per_metre() -> None:
    # by hand: 0.65 - (0.21 + 0.30) / 2 = 0.395 over 0.7 m; weights 1 / 0.7 and half of it on either side
    measured = one("worst_per_metre", tirs(z300="0.21", z650="0.65", z1000="0.30"))
    assert (measured.value, measured.station) == (D("0.564"), "650")
    assert measured.weights == pytest.approx(
        {("650", ""): 1 / 0.7, ("300", ""): -0.5 / 0.7, ("1000", ""): -0.5 / 0.7}
    )
    # uneven: 0.4 - (0.1 * 600 + 0.2 * 200) / 800 = 0.275 over 0.8 m
    uneven = one("worst_per_metre", tirs(z100="0.1", z300="0.4", z900="0.2"))
    assert uneven.value == D("0.344")
    assert uneven.weights == pytest.approx({("300", ""): 1.25, ("100", ""): -0.9375, ("900", ""): -0.3125})


def test_a_hollow_between_two_high_readings_is_a_bend_too() -> None:
    # by hand: 0 - 0.3 over 1 m; more at the middle makes it less
    measured = one("worst_per_metre", tirs(z0="0.3", z500="0", z1000="0.3"))
    assert measured.value == D("0.300")
    assert measured.weights[("500", "")] == pytest.approx(-1)


@pytest.mark.parametrize(("outside", "inside"), [("1600", "1500"), ("-50", "0")])
def test_a_station_outside_the_supports_is_asked_about(outside: str, inside: str) -> None:
    rod = tirs(z500="0.1", z1000="0.1")
    made = make("worst_per_metre", {**rod, (outside, ""): D("0.9")}, SPAN)
    assert any(s.startswith(f"{outside} mm lies outside the supports") for s in said_by(made))
    assert made.measured == make("worst_per_metre", rod, SPAN).measured
    assert make("worst_per_metre", {**rod, (inside, ""): D("0.9")}, SPAN).cannot_say == ()
    assert Supports(D(1500), D(0)).outside(D(1501))


def test_one_station_between_two_supports_is_enough_and_two_without_them_are_not() -> None:
    assert one("worst_per_metre", tirs(z750="0.6"), SPAN).value == D("0.400")  # by hand: 0.6 over 1.5 m
    made = make("worst_per_metre", tirs(z100="0.6", z900="0.1"))
    assert made.measured == ()
    assert said_by(made) == ("The local bend needs 3 stations known by distance; a support counts as one.",)


def test_stations_known_by_words_have_a_bow_and_no_bend() -> None:
    rod: Grid = {("S1", ""): D("0.1"), ("S2", ""): D("0.4"), ("S3", ""): D("0.1")}
    assert one("bow", rod).value == D("0.2")
    made = make("worst_per_metre", rod, SPAN)
    assert made.measured == ()
    assert "S1 is no distance, so it takes no part in the local bend." in said_by(made)


def test_a_station_read_twice_over_or_below_nothing_is_refused() -> None:
    with pytest.raises(Refusal, match="given twice"):
        make("worst_per_metre", {("500", ""): D("0.1"), ("500.0", ""): D("0.1"), ("900", ""): D(0)}, SPAN)
    with pytest.raises(Refusal, match="negative"):
        make("bow", tirs(z500="-0.1"))


def turned(
    centres: dict[str, complex], clocks: tuple[str, ...] = ("12", "3", "6", "9")
) -> dict[Cell, Decimal | None]:
    """The dial over round sections off their axis: reading = the centre's part towards the clock under it."""

    def dial(centre: complex, clock: str) -> Decimal:
        t = math.radians(float(angle_deg(clock)))
        return D(str(round(centre.real * math.cos(t) + centre.imag * math.sin(t), 9)))

    return {(station, clock): dial(centre, clock) for station, centre in centres.items() for clock in clocks}


def test_four_clocks_give_the_bow_whole_wherever_its_high_side_lies() -> None:
    # simulation: a section 0.2 mm off its axis towards half past one, between the clocks; by trigonometry the
    # dial's greatest less least sees cos 45° of the 0.4 mm of a whole turn
    rod = turned({"500": 0.2 * np.exp(1j * np.radians(45))})
    assert float(one("bow", rod).value) == pytest.approx(0.2, abs=1e-6)
    assert float(one("turn", rod).value) == pytest.approx(0.4 * math.cos(math.radians(45)), abs=1e-6)
    assert (one("bow", rod).station, one("turn", rod).station) == ("500", "500")
    weights = one("bow", rod).weights
    # by hand: half of the cosine between the high side and each clock
    assert weights == pytest.approx({("500", c): math.cos(math.radians(45 - a)) / 2 for c, a in
                                     (("12", 0), ("3", 90), ("6", 180), ("9", 270))})  # fmt: skip


def test_a_turn_weighs_its_greatest_and_its_least_reading() -> None:
    dial = {("500", c): D(r) for c, r in (("12", "0.03"), ("3", "0.21"), ("6", "0.14"), ("9", "-0.02"))}
    turned_once = one("turn", {**dial, ("900", ""): D("0.9")})
    assert (turned_once.value, turned_once.station) == (D("0.23"), "500")  # by hand
    assert turned_once.weights == {("500", "3"): 1, ("500", "9"): -1}
    more = make("turn", {**dial, ("700", "12"): D(0), ("700", "6"): D("0.1")})
    assert (len(more.measured), len(more.cannot_say)) == (1, 1)


def test_a_total_reading_is_no_turn_and_three_clocks_are_too_few() -> None:
    assert make("turn", tirs(z500="0.3")) == Made()
    few: Grid = {("500", "12"): D(0), ("500", "4"): D("0.1"), ("500", "8"): D("0.1")}
    made = make("bow", few)
    assert made.measured == ()
    assert said_by(made) == ("500 mm: 3 clocks were given; at least 4 are needed.",)


def test_clocks_show_an_s_bend_that_total_readings_would_take_for_a_bow() -> None:
    # a rod bent 0.2 one way at 500 and 0.2 the other way at 1000: the dial shows 0.4 at both
    s_bend = {"500": 0.2 + 0j, "1000": -0.2 + 0j}
    by_hand = (0.2 + 0.1) * 2 / 1.0  # off the line from the support (0) to -0.2, doubled, over 1 m
    assert float(one("worst_per_metre", turned(s_bend), SPAN).value) == pytest.approx(by_hand)
    assert one("worst_per_metre", tirs(z500="0.4", z1000="0.4"), SPAN).value == D("0.200")


def test_an_overhang_read_at_its_clocks_takes_part() -> None:
    # straight between the supports at 0 and 1000, bent away beyond them from the last support on
    rod = turned({"500": 0j, "1200": 0.3j})
    measured = one("worst_per_metre", rod, Supports(D(0), D(1000)))
    # by hand: at the support, between 500 and 1200: 0 - 0.3 * 500 / 700, doubled, over 0.7 m
    assert float(measured.value) == pytest.approx(0.3 * 500 / 700 * 2 / 0.7, abs=5e-4)
    assert measured.station == ""


@given(
    st.lists(
        st.tuples(st.integers(1, 29), st.floats(-0.5, 0.5), st.floats(-0.5, 0.5)),
        min_size=3,
        max_size=6,
        unique_by=lambda s: s[0],
    ),
    st.sampled_from(["bow", "worst_per_metre"]),
)
@settings(max_examples=40)
def test_the_weights_of_bow_and_bend_are_how_they_follow_each_reading(
    axis: list[tuple[int, float, float]], name: str
) -> None:
    # by differences: each reading moved by a hundredth of a millimetre, the value by weight times as much
    grid = turned({str(50 * z): complex(x, y) for z, x, y in axis})
    measured = one(name, grid, SPAN)
    size = float(measured.value)
    if size < 0.05:
        return  # next to straight the direction turns with every reading
    for cell in grid:
        up, down = (one(name, grid | {cell: (grid[cell] or D(0)) + D(d)}, SPAN) for d in ("0.001", "-0.001"))
        if up.station != measured.station or down.station != measured.station:
            continue  # another station has become the worst
        slope = float(up.value - down.value) / 0.002
        assert slope == pytest.approx(measured.weights.get(cell, 0.0), abs=0.6 if name != "bow" else 0.02)


@pytest.mark.parametrize(
    ("name", "readings", "kind"),
    [
        ("size", "length", "length"),  # as read
        ("tir", "deviation", "deviation"),
        ("taper", "length", "deviation"),  # made of lengths, and small
        ("ovality", "length", "deviation"),
        ("mean", "thickness", "thickness"),
        ("worst_per_metre", "deviation", "slope"),  # of a kind of its own
    ],
)
def test_what_is_made_of_lengths_is_a_small_length(name: str, readings: str, kind: str) -> None:
    assert CHARACTERISTICS[name].kind_from(readings) == kind
