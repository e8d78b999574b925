"""Which leading digits stand at a place: from the nominal, the limit and the readings before, and when none do."""

from __future__ import annotations

from decimal import Decimal

from log import Log

from inspect_app.entries.job import Place
from inspect_app.job.leading import leading_for
from inspect_app.trade.measuring.leading import Leading

NEW = Place("new", "12")


def read(log: Log, check: str, typed: str, kind: str = "any") -> Log:
    """Readings in inches, or with "mm" behind in millimetres, as somebody typed them."""
    gauge = log.gauge("0", kind=kind)
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


def test_nothing_stands_where_a_reading_is_hard_to_believe() -> None:
    # 0.12 in off an 8 in bore is more than the 0.1 in that are ordinary there: 1 % of it and 0.5 mm
    assert digits(inch_bore("8.1242 8.1231")) == ""


def test_one_reading_alone_knows_no_spread_so_what_is_half_a_millimetre_off_is_likely_too() -> None:
    # a drawing that limits it on one side only leaves the other to the readings; 0.5 mm are 0.0197 in
    half = Log(bore="203.2", stroke="2000")
    half.drawing("bore-diameter", "size", lower="203.18")
    assert digits(read(half, "bore-diameter", "8.0042")) == "8.0___"  # 7.9845 to 8.0239
    assert digits(read(half, "bore-diameter", "8.0042 8.0031")) == "8.00__"


def test_a_size_without_a_nominal_is_led_by_its_readings_alone() -> None:
    # the seat of the piston at three clocks of one place
    def seat(typed: str) -> str:
        return digits(read(Log(stroke="2000"), "rod-spigot-diameter", typed), "rod-spigot-diameter")

    assert seat("") == ""
    assert seat("3.9893") == "3.9___"  # 3.9696 to 4.0090
    assert seat("3.9893 3.9891") == "3.98__"
    assert digits(read(Log(stroke="2000"), "bore-diameter", "8.0042 8.0031")) == "8.00__"


def test_a_groove_is_led_from_its_first_reading_on_by_the_nominal_typed_for_it() -> None:
    def groove(check: str, nominal_in: str, typed_before: str = "5.625") -> Leading | None:
        log = read(Log(stroke="2000"), "rod-seal-groove-diameter", typed_before, kind="inside-groove-gauge")
        read(log, "rod-seal-groove-width", ".502", kind="gauge-blocks")
        log.write("nominal", check=check, typed=nominal_in, value=str(Decimal(nominal_in) * Decimal("25.4")))
        return standing(log, check)

    # 5.5 in and half a millimetre, 0.0197 in, either way: 5.4803 to 5.5197, those below 5.5 to be typed whole
    found = groove("wiper-groove-diameter", "5.5")
    assert found
    assert (found.digits, found.left, found.least, found.most) == ("5.5", 2, "00", "20")
    found = groove("wiper-groove-width", ".25")  # 0.2303 to 0.2697
    assert found
    assert (found.digits, found.left, found.least, found.most) == ("0.2", 2, "30", "70")
    # a nominal touched by mistake, an eighth beside: what the gauge shows is not likely behind it
    wrong = groove("wiper-groove-diameter", "5.625")
    assert wrong
    assert not wrong.takes("00")
    # nobody has typed an inch with this kind of gauge yet
    assert groove("wiper-groove-diameter", "5.5", "142.875mm") is None


def test_before_the_first_reading_a_nameplate_alone_leads_nothing() -> None:
    # a rod may have been ground under size; where the limit has two ends what is near its middle is likely
    log = read(Log(answers={"sizes": "inch"}, bore="203.2", rod="127", stroke="2000"), "rod-spigot-diameter",
               "3.9893", kind="outside-micrometer")  # fmt: skip
    assert digits(log, "piston-diameter") == ""
    # f8 of 5 in: 4.9958 to 5.0008 may be reused, the middle is 4.9983: 4.9786 to 5.0180
    found = standing(log, "rod-diameter")
    assert found
    assert (found.digits, found.left, found.least[:2]) == ("4.9", 3, "78")


def test_it_is_typed_to_the_finest_digit_typed_before_in_these_units() -> None:
    assert digits(inch_bore("8.004 8.0031")) == "8.00__"
    assert digits(inch_bore("8.004 8.003")) == "8.0__"
    assert digits(inch_bore("203.307mm 203.309mm")) == ""
    assert digits(inch_bore("203.307mm 203.309mm"), system="metric") == "203.___"
    assert digits(inch_bore("203.307mm 8.0042")) == "8.00__"


def test_where_places_differ_only_noughts_stand_before_what_was_read_so_far() -> None:
    def stands(check: str, typed: str, system: str = "inch") -> str:
        return digits(read(Log(stroke="2000"), check, typed), check, system)

    assert stands("rod-runout", "") == ""
    assert stands("rod-runout", "0.012") == "0.0__"
    assert stands("rod-runout", "0.0021 0.0123") == "0.0___"
    assert stands("rod-runout", "0.012 0.121") == "0.___"
    assert stands("rod-runout", "1.012 0.121") == ""
    assert stands("rod-runout", "0.05mm 0.12mm", "metric") == "0.__"
    assert stands("piston-old-ring", ".0965") == "0.0___"
    assert stands("barrel-wall", ".625") == "0.___"
    # every reading down to nothing is typed behind them, and none that is longer
    found = standing(read(Log(stroke="2000"), "piston-old-ring", ".0965"), "piston-old-ring")
    assert found
    assert (found.least, found.most) == ("000", "999")
    # chrome is told in whole thou or µm: no nought stands before those
    assert stands("rod-chrome", "30mm 31mm", "metric") == ""


def test_a_nominal_that_no_reading_is_near_to_is_not_likely() -> None:
    # a piston of 7.9520 in an 8 in bore is 1.2 mm smaller than it; one of 7.9900 is 0.25 mm smaller
    def piston(typed: str) -> str:
        log = read(Log(answers={"sizes": "inch"}, bore="203.2", stroke="2000"), "piston-diameter", typed)
        return digits(log, "piston-diameter")

    assert piston("7.9520 7.9523") == "7.95__"
    assert piston("7.9900 7.9903") == "7.9___"


def test_a_reading_that_is_taken_again_counts_among_its_neighbours_no_more() -> None:
    log = inch_bore("8.0142 8.0042 8.0041")
    check = log.tables.cylinders["double-acting"].check("bore-diameter")
    assert check is not None
    again = leading_for(log.survey(), check, Place("0", "12"), log.tables, "inch")
    assert again
    assert (again.digits, digits(log)) == ("8.00", "8.0___")
