"""Which leading digits stand at a place: from the nominal, the limit and the readings before, and when none do."""

from __future__ import annotations

from decimal import Decimal

from log import Log

from inspect_app.entries.job import Place
from inspect_app.job.leading import leading_for
from inspect_app.trade.measuring.leading import Leading

NEW = Place("new", "12")


def read(log: Log, check: str, typed: str) -> Log:
    """Readings in inches, or with "mm" behind in millimetres, as somebody typed them."""
    gauge = log.gauge("0")
    for n, text in enumerate(typed.split()):
        number, unit = (text[:-2], Decimal(1)) if text.endswith("mm") else (text, Decimal("25.4"))
        step = Decimal(1).scaleb(int(Decimal(number).as_tuple().exponent)) * unit
        body = {"check": check, "station": str(n), "clock": "12", "typed": text, "gauge": gauge}
        log.write("reading", **body, value=str(Decimal(number) * unit), step=str(step))
    return log


def inch_bore(typed: str) -> Log:
    return read(Log(answers={"sizes": "inch"}, bore="203.2", stroke="2000"), "bore-diameter", typed)


def standing(log: Log, check_id: str = "bore-diameter", system: str = "inch") -> Leading | None:
    check = log.tables.cylinders["double-acting"].check(check_id)
    assert check is not None
    return leading_for(log.survey(), check, NEW, log.tables, system)


def digits(log: Log, check_id: str = "bore-diameter", system: str = "inch") -> str:
    found = standing(log, check_id, system)
    return found.digits + "_" * found.left if found else ""


def test_an_8_in_bore_is_typed_with_its_last_two_digits_from_the_second_reading_on() -> None:
    # inch tube of 8 in may be reused from 0.02 mm below to 0.20 mm above: 7.9992 to 8.0079, 0.0087 apart
    assert digits(inch_bore("")) == ""
    assert digits(inch_bore("8.0042")) == "8.00__"
    assert digits(inch_bore("8.0042 8.0031 8.0038")) == "8.00__"
    found = standing(inch_bore("8.0042"))
    assert found
    assert (found.least, found.most) == ("00", "79")


def test_the_farther_the_readings_lie_apart_the_more_digits_are_typed() -> None:
    # 0.0040 apart: 7.9970 to 8.0090 are likely, more than 0.01 apart
    assert digits(inch_bore("8.0010 8.0040")) == "8.00__"  # 7.9980 to 8.0079
    assert digits(inch_bore("8.0010 8.0050")) == "8.0___"
    assert digits(inch_bore("8.0042 8.0142")) == "8.0___"
    assert digits(inch_bore("8.0003 7.9999")) == ""  # they share no digit


def test_nothing_stands_where_the_nominal_or_the_limit_is_not_known_or_a_reading_is_hard_to_believe() -> None:
    assert digits(read(Log(stroke="2000"), "bore-diameter", "8.0042 8.0031")) == ""
    # a drawing that limits it on one side only leaves the other to the readings: one alone knows no spread
    half = Log(bore="203.2", stroke="2000")
    half.drawing("bore-diameter", "size", lower="203.18")
    assert digits(read(half, "bore-diameter", "8.0042")) == ""
    assert digits(read(half, "bore-diameter", "8.0042 8.0031")) == "8.00__"
    # 0.12 in off an 8 in bore is more than the 0.1 in that are ordinary there: 1 % of it and 0.5 mm
    assert digits(inch_bore("8.1242 8.1231")) == ""


def test_it_is_typed_to_the_finest_digit_typed_before_in_these_units() -> None:
    assert digits(inch_bore("8.004 8.0031")) == "8.00__"
    assert digits(inch_bore("8.004 8.003")) == "8.0__"
    assert digits(inch_bore("203.307mm 203.309mm")) == ""
    assert digits(inch_bore("203.307mm 203.309mm"), system="metric") == "203.___"
    assert digits(inch_bore("203.307mm 8.0042")) == "8.00__"


def test_only_of_one_size_digits_stand() -> None:
    # a bend differs from place to place, and chrome wears
    assert digits(read(Log(stroke="2000"), "rod-runout", "0.0021 0.0022")) == ""
    assert digits(read(Log(stroke="2000"), "rod-chrome", "30mm 31mm"), "rod-chrome", "metric") == ""


def test_a_reading_that_is_taken_again_counts_among_its_neighbours_no_more() -> None:
    log = inch_bore("8.0142 8.0042 8.0041")
    check = log.tables.cylinders["double-acting"].check("bore-diameter")
    assert check is not None
    again = leading_for(log.survey(), check, Place("0", "12"), log.tables, "inch")
    assert again
    assert (again.digits, digits(log)) == ("8.00", "8.0___")
