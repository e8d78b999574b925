"""Where a check is measured: which layouts stand in for the checklist's places, and where to go next."""

from __future__ import annotations

from decimal import Decimal

import pytest
from log import Log

from inspect_app.entries.job import Place
from inspect_app.job.places import next_place, outside_supports, places_of, stations_over, whole_skip
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
    assert stations_over(spread, D(1053)) == ("25", "359", "694", "1028")
    assert stations_over(Stations(), D(100)) == ("",)
    assert stations_over(Stations(names=("eye", "nut")), D(100)) == ("eye", "nut")


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
