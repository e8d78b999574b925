"""Loggers' files of every sort met: each is written out here by hand, beside the readings it means."""

from __future__ import annotations

import pytest

from inspect_app.trade.leakage.logged import Log, log_of, open_questions, thinned
from inspect_app.trade.leakage.logger_file import logger_file, text_of
from inspect_app.trade.leakage.slope import Point
from inspect_app.trade.measuring.refusal import Refusal


def taken(raw: str | bytes, **chosen: str) -> Log:
    """The log of a file, the answers given with _ for blanks."""
    raw = raw.encode() if isinstance(raw, str) else raw
    return log_of(logger_file(text_of(raw)), {k.replace("_", " "): v for k, v in chosen.items()})


def asked(raw: str) -> dict[str, tuple[str, ...]]:
    return {a.about: a.answers for a in open_questions(logger_file(raw), {})}


def close(log: Log, expected: list[tuple[float, float, float | None]]) -> bool:
    """Minutes, MPa and °C of every reading."""
    found = [(p.minutes, p.mpa, p.celsius) for p in log.points]
    return len(found) == len(expected) and all(
        all(a is b or a == pytest.approx(b, abs=1e-9) for a, b in zip(x, y, strict=True))
        for x, y in zip(found, expected, strict=True)
    )


def test_information_above_the_head_semicolons_and_decimal_commas():
    raw = (
        "Prüfstand 2;;\nSeriennummer;4711;\n\nZeit [s];Druck [bar];Öltemperatur [°C]\n"
        "0;210,5;40,1\n30;210,3;40,1\n60;210,0;40,2\n"
    )
    expected = [(0, 21.05, 40.1), (0.5, 21.03, 40.1), (1, 21.0, 40.2)]
    assert close(taken(raw), expected)
    assert close(taken(raw.encode("cp1252")), expected)
    assert close(taken("\ufeff".encode() + raw.encode()), expected)


def test_utf_16_with_tabs_as_spreadsheets_save_it():
    raw = "Time (min)\tP (psi)\n0\t3000.5\n1\t2999.0\n2\t2998.0\n"
    # 1 psi is 0.006894757 MPa: 3000.5 psi are 20.68772 MPa
    for coding in ("utf-16", "utf-16-le", "utf-16-be"):
        log = taken(raw.encode(coding))
        assert log.points[0].mpa == pytest.approx(20.68772, abs=1e-5)
        assert [p.minutes for p in log.points] == [0, 1, 2]


def test_a_key_block_a_counter_and_date_and_time_in_two_columns():
    raw = (
        "Name,Hold left,\nChannels,2,\nStart,2026-11-27 23:59:00,\n"
        "Record,Date,Time,Pressure bar,Oil temp °C\n"
        "1,27.11.2026,23:59:00,315.0,38.0\n2,27.11.2026,23:59:30,314.9,38.0\n3,28.11.2026,00:00:30,314.8,38.1\n"
    )
    assert close(taken(raw), [(0, 31.5, 38), (0.5, 31.49, 38), (1.5, 31.48, 38.1)])


def test_a_line_of_units_under_the_head_and_a_separator_at_the_end():
    raw = "time;p1;T;\ns;MPa;C;\n0;21.5;40;\n60;21.4;40;\n120;21.4;41;\n"
    assert close(taken(raw), [(0, 21.5, 40), (1, 21.4, 40), (2, 21.4, 41)])


def test_a_line_of_units_may_say_how_day_and_time_are_written():
    for day, clock in (("dd.mm.yyyy", "hh:mm:ss"), ("dd.mm.yy", "HH:MM:SS"), ("", "hh:mm")):
        rows = "".join(f"27.11.2026;23:59:0{n};31{n}\n" for n in range(3))
        file = logger_file(f"Date;Time;Hold\n{day};{clock};bar\n{rows}")
        assert [(c.head, c.unit) for c in file.columns] == [("Date", ""), ("Time", ""), ("Hold", "bar")]
    # no unit, so it is what the columns are called
    file = logger_file(f"Date;Time;Hold\nday;time;bar\n{rows}")
    assert [c.head for c in file.columns] == ["day", "time", "bar"]


def test_a_clock_that_passes_midnight():
    raw = "Uhrzeit;p bar\n23:59:30;100\n00:00:00;99\n00:00:30;98\n"
    assert [p.minutes for p in taken(raw).points] == [0, 0.5, 1]


def test_date_and_time_in_one_column_with_commas_and_quoted_decimal_commas():
    raw = (
        'Time,Pressure (bar)\n2026-11-27T10:00:00,"210,51"\n'
        '2026-11-27T10:01:00,"210,4"\n2026-11-27T10:02:00,"210,3"\n'
    )
    assert close(taken(raw), [(0, 21.051, None), (1, 21.04, None), (2, 21.03, None)])


def test_gaps_overloads_and_twice_the_same_second_are_counted():
    raw = "t [s];p [bar]\n0;200.5\n1;OL\n2;---\n3;\n3;199.5\n3;199.4\n4;199.0\n5;199.0\n"
    log = taken(raw)
    assert close(log, [(0, 20.05, None), (3 / 60, 19.95, None), (4 / 60, 19.9, None), (5 / 60, 19.9, None)])
    assert (log.gaps, log.same_time) == (3, 1)


def test_absolute_pressure_becomes_that_over_the_room():
    # 1.01325 bar absolute is 0 over the room
    raw = "t [s];p abs [bar]\n0;1.01325\n1;101.01325\n2;101.01325\n"
    assert [p.mpa for p in taken(raw).points] == pytest.approx([0, 10, 10])


def test_one_comma_and_three_digits_may_be_either_and_is_asked():
    raw = "t [s];p [psi]\n0;1,234\n1;1,233\n2;1,232\n"
    assert asked(raw) == {"decimal mark": ("point", "comma")}
    assert taken(raw, decimal_mark="comma").points[0].mpa == pytest.approx(1.234 * 0.006894757)
    assert taken(raw, decimal_mark="point").points[0].mpa == pytest.approx(1234 * 0.006894757, rel=1e-6)
    with pytest.raises(Refusal, match="decimal mark"):
        taken(raw)


@pytest.mark.parametrize("cell", ["0,512", "21,34", "1234,567", "1.234,5"])
def test_one_figure_that_can_only_be_a_decimal_comma_settles_it(cell):
    assert asked(f"t [s];p [psi]\n0;1,234\n1;{cell}\n2;1,232\n") == {}


def test_a_unit_that_is_not_written_is_asked():
    raw = "t [s];Pressure\n0;210\n1;209\n2;209\n"
    assert asked(raw) == {"unit of pressure": ("bar", "psi", "MPa", "kPa", "mbar")}
    assert taken(raw, unit_of_pressure="bar").points[0].mpa == pytest.approx(21)
    assert taken(raw, unit_of_pressure="kPa").points[0].mpa == pytest.approx(0.21)


def test_two_pressures_are_asked_about_and_the_one_named_is_taken():
    raw = "t [s];cap side [bar];rod side [bar]\n0;210;1\n1;209;1\n2;209;2\n"
    assert asked(raw) == {"pressure": ("cap side [bar]", "rod side [bar]")}
    assert taken(raw, pressure="rod side [bar]").points[2].mpa == pytest.approx(0.2)


def test_two_columns_of_one_name_are_told_apart():
    raw = "t [s];p [bar];p [bar]\n0;210;1\n1;209;1\n2;209;2\n"
    assert asked(raw) == {"pressure": ("p [bar], column 2", "p [bar], column 3")}
    assert taken(raw, pressure="p [bar], column 3").points[0].mpa == pytest.approx(0.1)


def test_a_column_of_temperature_may_be_another_than_the_oils():
    raw = "t [s];p [bar];T oil [°C];T room [°C]\n0;210;40;20\n1;209;40;20\n2;209;41;20\n"
    assert asked(raw) == {"oil temperature": ("T oil [°C]", "T room [°C]", "not logged")}
    assert taken(raw, oil_temperature="T oil [°C]").points[2].celsius == pytest.approx(41)
    assert taken(raw, oil_temperature="not logged").points[2].celsius is None


def test_two_parts_of_a_clock_may_be_minutes_and_seconds():
    raw = "time;p bar\n05:30;210\n05:31;209\n05:32;209\n"
    assert asked(raw) == {"clock": ("hours and minutes", "minutes and seconds")}
    assert [p.minutes for p in taken(raw, clock="hours and minutes").points] == [0, 1, 2]
    assert [p.minutes for p in taken(raw, clock="minutes and seconds").points] == pytest.approx(
        [0, 1 / 60, 2 / 60]
    )


def test_the_order_of_a_date_is_asked_only_where_it_matters():
    same_day = "t;p bar\n3/4/2026 10:00:00;210\n3/4/2026 10:01:00;209\n3/4/2026 10:02:00;209\n"
    assert asked(same_day) == {}
    two_days = same_day.replace("3/4/2026 10:02:00", "4/4/2026 10:02:00")
    assert asked(two_days) == {"order of the date": ("day, month, year", "month, day, year")}


def test_fahrenheit_is_turned():
    # 104 °F is 40 °C
    raw = "t [s];p [psi];oil temp [°F]\n0;3000;104\n1;3000;104\n2;3000;104\n"
    assert taken(raw).points[0].celsius == pytest.approx(40)


def test_a_force_in_capital_f_is_no_temperature():
    raw = "t [s];p [bar];F\n0;210;104\n1;209;104\n2;209;104\n"
    assert taken(raw).points[0].celsius is None


def test_what_was_taken_for_what_is_told():
    log = taken("t [s];p [bar];T oil [°C]\n0;210;40\n1;209;40\n2;209;41\n")
    assert log.read_as["pressure"] == "p [bar]"
    assert log.read_as["unit of pressure"] == "bar"
    assert log.read_as["oil temperature"] == "T oil [°C]"


@pytest.mark.parametrize(
    ("raw", "says"),
    [
        (b"", "empty"),
        (b"PK\x03\x04rest", "spreadsheet"),
        (b"\x01\x00\x02\x00ab\x00\x01xyz", "text file"),
        (b"hello\nworld\n", "No table"),
        (b"t [s];p [bar]\n0;210\n1;209\n", "No table"),
        (b"t [s];p [bar]\n5;210\n4;209\n6;209\n", "Line 3 is earlier"),
        (b"t [s];p [mA]\n0;4.1\n1;4.2\n2;4.2\n", "milliamperes"),
        (b"date;t [s]\n1.2.2026;1\n1.2.2026;2\n1.2.2026;3\n", "No column is a pressure"),
        (b"t [s];p [bar]\n0;21.5\n1;21,5\n2;21,4\n", "mixed"),
        (b"t,p bar\n0,0,210,5\n1,0,209,5\n2,0,209,0\n", "decimal commas"),
        (b"t [s];p [bar]\n0;OL\n1;OL\n2;210\n3;209\n", "2 readings could be used"),
    ],
)
def test_a_file_that_cannot_be_used_is_refused_in_a_sentence(raw, says):
    with pytest.raises(Refusal, match=says):
        taken(raw)


def test_thinned_for_a_picture_no_dip_is_lost():
    points = [Point(n / 60, 21 - (5 if n == 777 else 0), 40) for n in range(5000)]
    shown = thinned(points, 200)
    assert len(shown) <= 200
    assert min(p.mpa for p in shown) == 16
    assert (shown[0], shown[-1]) == (points[0], points[-1])
