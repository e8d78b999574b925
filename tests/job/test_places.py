"""Where a check is measured: which layouts stand in for the checklist's places, and where to go next."""

from __future__ import annotations

import math
from decimal import Decimal
from itertools import pairwise

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from log import Log

from inspect_app.entries.job import Place
from inspect_app.job.places import (
    CLOCKS_FIRST,
    STATIONS_FIRST,
    next_place,
    outside_supports,
    places_of,
    stations_over,
    walked,
    whole_skip,
)
from inspect_app.tables.cylinders import Check, Stations

D = Decimal


def check_of(log: Log, check_id: str) -> Check:
    check = log.tables.cylinders["double-acting"].check(check_id)
    assert check is not None
    return check


def asked(log: Log, check_id: str) -> list[Place]:
    return list(places_of(check_of(log, check_id), log.survey()))


@pytest.mark.parametrize(
    ("check_id", "laid", "besides"),
    [
        # an oval is the same after half a turn: three axes two hours apart, of which 2.5 hours may be left
        ("piston-bore", "12 2 4.5", ""),
        ("piston-bore", "12 2 4.6", "4"),
        ("piston-bore", "6 8 10", ""),
        ("piston-bore", "12 3", "2 4"),
        # a ring is worn on one side: four clocks three hours apart round the whole, of which 3.75 may be left
        ("piston-old-ring", "12 3.75 6 9", ""),
        ("piston-old-ring", "12 3.8 6 9", "3"),
        ("piston-old-ring", "12 3", "6 9"),
        ("piston-old-ring", "12 4 8", "3 6 9"),
        ("piston-old-ring", "1 4 7 10", ""),
    ],
)
def test_clocks_stand_in_for_the_checklists_where_no_wider_gap_is_left(
    check_id: str, laid: str, besides: str
) -> None:
    log = Log()
    log.write("places", check=check_id, stations=[""], clocks=laid.split())
    assert [p.clock for p in asked(log, check_id)] == [*laid.split(), *besides.split()]


@pytest.mark.parametrize(
    ("laid", "besides"),
    [
        # a stroke of 1250 is asked at 25, 325, 625, 925 and 1225: a station stands in within 150, for one only
        ("25 325 625 925 1225", ""),
        ("175 325 625 925 1225", ""),
        ("176 325 625 925 1225", "25"),
        ("25 325 625 925 1075", ""),
        ("25 325 625 925 1074", "1225"),
        ("25 475 925 1225", "625"),
        ("S1 S2 S3 S4 S5", ""),
        ("S1 S2 S3 S4", "1225"),
        ("eye 325 625 925 1225", "25"),
    ],
)
def test_a_station_stands_in_for_one_within_half_a_step(laid: str, besides: str) -> None:
    log = Log(stroke="1250")
    log.lay_out("bore-diameter", laid, "12 2 4")
    stations = list(dict.fromkeys(p.station for p in asked(log, "bore-diameter")))
    assert stations == [*laid.split(), *besides.split()]


def test_stations_are_named_in_words_until_the_length_is_known_and_never_lie_beyond_it() -> None:
    spread = Stations(over="stroke", least=3, every_mm=D(500), inset_mm=D(25))
    assert stations_over(spread, None) == ("S1", "S2", "S3")
    assert stations_over(spread, D(50)) == ("S1", "S2", "S3")
    assert stations_over(spread, D(52)) == ("25", "26", "27")
    # 1000 between the outer ones is two steps of 500, a hair more is three
    assert stations_over(spread, D(1050)) == ("25", "525", "1025")
    assert stations_over(spread, D(1053)) == ("25", "360", "695", "1030")
    assert stations_over(Stations(), D(100)) == ("",)
    assert stations_over(Stations(names=("eye", "nut")), D(100)) == ("eye", "nut")


@pytest.mark.parametrize(
    ("length_mm", "inches"),
    [
        # asked at 25, 190.5 and 356 mm, which is 0.98, 7.5 and 14.02 in
        ("381", "1 8 14"),
        # asked at 0.98, 19.79, 38.60, 57.40, 76.21 and 95.02 in; 500 mm are 19.69 in
        ("2438.4", "1 20 39 57 76 95"),
        # asked at 0.98, 20.47 and 39.96 in: 20 in apart is too far
        ("1040", "1 20.5 40"),
        # asked at 0.98, 20.59, 40.20, 59.80, 79.41 and 99.02 in: only eighths leave every gap at 19.69 in
        ("2540", "1 20.625 40.25 59.75 79.375 99"),
        # asked at 25, 525 and 1025 mm: no eighth is near enough to leave both gaps at 500 mm
        ("1050", "0.9843 20.6693 40.3543"),
    ],
)
def test_stations_of_an_inch_job_lie_at_whole_inches_or_fractions_down_to_eighths(
    length_mm: str, inches: str
) -> None:
    spread = Stations(over="stroke", least=3, every_mm=D(500), inset_mm=D(25))
    found = [D(mm) / D("25.4") for mm in stations_over(spread, D(length_mm), "inch")]
    assert [f"{inch:.4f}".rstrip("0").rstrip(".") for inch in found] == inches.split()


def test_the_stations_of_a_96_in_bore_are_found_on_a_rule() -> None:
    # asked at 0.98, 12.74, 24.49, 36.25, 48, 59.75, 71.51, 83.26 and 95.02 in; 300 mm are 11.81 in
    found = asked(Log(stroke="2438.4", units="inch"), "bore-diameter")
    inches = [D(station) / D("25.4") for station in dict.fromkeys(p.station for p in found)]
    assert inches == [1, D("12.75"), D("24.5"), D("36.25"), 48, D("59.75"), D("71.5"), D("83.25"), 95]


@given(
    st.decimals(60, 6000, places=1),
    st.integers(2, 7),
    st.integers(100, 2000),
    st.integers(10, 60),
    st.sampled_from(("metric", "inch")),
)
def test_stations_on_marks_are_as_many_as_asked_no_farther_apart_and_near_the_ends(
    length_mm: Decimal, least: int, every_mm: int, inset_mm: int, units: str
) -> None:
    assume(length_mm > 2 * inset_mm + 2 * least)
    spread = Stations(over="stroke", least=least, every_mm=D(every_mm), inset_mm=D(inset_mm))
    at = [D(mm) for mm in stations_over(spread, length_mm, units)]
    span = length_mm - 2 * inset_mm
    assert len(at) == max(least, math.ceil(span / every_mm) + 1)
    on_marks = all(mm % (D("3.175") if units == "inch" else 5) == 0 for mm in at)
    for a, b in pairwise(at):
        assert 0 < b - a <= every_mm + (0 if on_marks else 1)  # off the marks they are whole millimetres
    assert abs(at[0] - inset_mm) <= D(inset_mm) / 2
    assert abs(at[-1] - (length_mm - inset_mm)) <= D(inset_mm) / 2


def test_stations_follow_the_units_the_job_was_opened_in() -> None:
    log = Log(stroke="381")
    assert [p.station for p in asked(log, "rod-diameter")][::3] == ["25", "190", "355"]
    inch = Log(stroke="381", units="inch")
    assert [p.station for p in asked(inch, "rod-diameter")][::3] == ["25.4", "203.2", "355.6"]


def grid(stations: str, clocks: str) -> list[Place]:
    return [Place(s, c) for s in stations.split() for c in clocks.split()]


@pytest.mark.parametrize(
    ("order", "walk"),
    [
        (STATIONS_FIRST, "25-12 25-2 25-4 300-12 300-2 300-4 575-12 575-2 575-4"),
        # along one clock and back along the next: nobody walks the length of a rod for nothing
        (CLOCKS_FIRST, "25-12 300-12 575-12 575-2 300-2 25-2 25-4 300-4 575-4"),
    ],
)
def test_places_are_walked_in_the_order_chosen(order: str, walk: str) -> None:
    places = grid("25 300 575", "12 2 4")
    assert ["-".join(p) for p in walked(places, order)] == walk.split()
    log = Log(stroke="600")
    check, after, found = check_of(log, "rod-diameter"), None, []
    while after := next_place(check, log.survey(), after, order=order):
        found.append("-".join(after))
        log.read("rod-diameter", " ".join(after), "69.95")
    assert found == walk.split()


def test_a_walk_along_the_clocks_goes_on_behind_the_place_measured_last_and_round_what_others_do() -> None:
    log = Log(stroke="600")
    check = check_of(log, "rod-diameter")
    survey = log.survey()
    last = Place("575", "12")
    assert next_place(check, survey, last, order=CLOCKS_FIRST) == Place("575", "2")
    others = frozenset({Place("575", "2"), Place("300", "2")})
    assert next_place(check, survey, last, others, CLOCKS_FIRST) == Place("25", "2")
    assert walked([Place("", "12"), Place("", "3")], CLOCKS_FIRST) == (Place("", "12"), Place("", "3"))
    assert walked([Place("25", ""), Place("300", "")], CLOCKS_FIRST) == (Place("25", ""), Place("300", ""))


def test_the_next_place_is_the_first_open_one_from_here_on_and_then_from_the_start() -> None:
    log = Log(stroke="1250")
    check = check_of(log, "bore-diameter")
    places = asked(log, "bore-diameter")
    assert next_place(check, log.survey()) == places[0]
    log.read("bore-diameter", " ".join(places[1]), "100")
    log.skip("bore-diameter", " ".join(places[2]))
    survey = log.survey()
    assert next_place(check, survey, places[0]) == places[3]
    assert next_place(check, survey, places[-1]) == places[0]
    assert next_place(check, survey, Place("elsewhere", "1")) == places[0]
    # where somebody else is comes last, and only then
    assert next_place(check, survey, places[0], frozenset(places[3:5])) == places[5]
    assert next_place(check, survey, places[0], frozenset(places)) == places[3]
    log.read_all("bore-diameter", "100")
    assert next_place(check, log.survey(), places[0]) is None


def test_only_a_dial_can_lie_beyond_the_supports() -> None:
    log = Log(stroke="1250", support_span="1000")
    runout, bore = check_of(log, "rod-runout"), check_of(log, "bore-diameter")
    assert outside_supports(runout, Place("1000.5", ""), log.survey())
    assert not outside_supports(runout, Place("1000", ""), log.survey())
    assert not outside_supports(runout, Place("S1", ""), log.survey())
    assert not outside_supports(bore, Place("1200", "12"), log.survey())
    assert not outside_supports(runout, Place("1200", ""), Log(stroke="1250").survey())


def test_a_whole_check_left_out_says_why_and_a_single_place_does_not() -> None:
    log = Log(stroke="1250")
    check = check_of(log, "bore-diameter")
    log.skip("bore-diameter", "25 12", "a weld")
    assert whole_skip(check, log.survey()) is None
    log.skip("bore-diameter", reason="no gauge")
    assert whole_skip(check, log.survey()) == "no gauge"
