"""Whether a reading is asked about: which earlier readings it is compared with, and where it stands."""

from __future__ import annotations

from decimal import Decimal

import pytest
from log import Log

from inspect_app.entries.job import Place
from inspect_app.job.doubts import reading_doubt
from inspect_app.tables.cylinders import Check
from inspect_app.trade.measuring.plausible import Doubt

D = Decimal
NEW = Place("new", "")


def asked_check(log: Log, check_id: str) -> Check:
    check = log.tables.cylinders["double-acting"].check(check_id)
    assert check is not None
    return check


def asked(log: Log, check_id: str, value: str, place: Place = NEW) -> Doubt | None:
    return reading_doubt(log.survey(), asked_check(log, check_id), place, D(value), "metric")


def read(log: Log, check_id: str, *values: str) -> None:
    for n, value in enumerate(values):
        log.read(check_id, f"{n} ", value)


@pytest.mark.parametrize(
    ("values", "value", "is_asked"),
    [
        # alone beside its neighbours is what lies farther than 10 times their spread, of at least 0.02:
        # the twelfth from the last makes the spread 0.030, and 0.25 is no more than 0.30
        (("69.940", *["69.970"] * 11), "69.720", False),
        # the thirteenth no longer counts: 11 and 12 alike spread by 0.02, and 0.25 is more than 0.20
        (("69.940", *["69.970"] * 12), "69.720", True),
        # nor does a thirteenth widen 0.030, and 0.32 is more than 0.30
        (("69.800", "69.940", *["69.970"] * 11), "69.650", True),
    ],
)
def test_a_size_is_compared_with_the_last_twelve_of_its_check(
    values: tuple[str, ...], value: str, is_asked: bool
) -> None:
    log = Log(rod="70")
    read(log, "rod-diameter", *values)
    assert (asked(log, "rod-diameter", value) is not None) is is_asked


def test_a_reading_is_not_compared_with_the_one_it_replaces() -> None:
    log = Log(rod="70")
    read(log, "rod-diameter", "69.970", "69.970", "69.720")
    # against 69.970 twice 69.700 stands alone; were 69.720 a neighbour their spread would be 0.25
    assert asked(log, "rod-diameter", "69.700", Place("2", "")) is not None
    assert asked(log, "rod-diameter", "69.700", Place("3", "")) is None


@pytest.mark.parametrize(
    ("check_id", "values", "value", "is_asked"),
    [
        (
            "rod-spigot-diameter",
            ("50.12", "50.13"),
            "501.2",
            True,
        ),  # one size without a nominal: the point slipped
        ("rod-spigot-diameter", ("50.12", "50.13"), "50.05", False),
        ("rod-side-cushion-needle", ("6.30", "6.31"), "7.92", False),  # its cone, and the stem behind it
        ("rod-hardness", ("55", "56"), "5.5", True),  # a tenth of its neighbours
        ("rod-hardness", ("55", "56"), "50", False),
        ("rod-chrome", ("30", "31"), "300", True),
        ("rod-chrome", ("30", "31"), "3", False),  # worn away
        ("rod-roughness", ("0.2", "0.2"), "2", False),  # rust
        ("rod-runout", ("0.05", "0.05"), "0.9", False),  # a bend
    ],
)
def test_only_what_is_alike_all_over_a_part_is_compared(
    check_id: str, values: tuple[str, ...], value: str, is_asked: bool
) -> None:
    log = Log(support_span="1000")
    read(log, check_id, *values)
    assert (asked(log, check_id, value) is not None) is is_asked


def test_a_dial_beyond_the_second_support_is_asked_about() -> None:
    log = Log(support_span="1000")
    found = asked(log, "rod-runout", "0.1", Place("1001", ""))
    assert found is not None
    assert found.why == "outside the supports"
    assert found.meant is None
    assert "1000" in found.sentence
    assert asked(log, "rod-runout", "0.1", Place("1000", "")) is None
    assert asked(Log(), "rod-runout", "0.1", Place("1001", "")) is None


def test_a_size_far_from_its_nominal_is_asked_about_in_the_units_in_use() -> None:
    log = Log(rod="70")
    found = reading_doubt(log.survey(), asked_check(log, "rod-diameter"), Place("1", ""), D("6.997"), "inch")
    assert found is not None
    assert found.meant == D("69.97")
    assert " in" in found.sentence
