"""A logger's file becomes readings of a hold; where its figures may be read in two ways it asks, and never guesses."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from inspect_app.trade.leakage.logger_file import Column, ColumnKind, LoggerFile, is_gap
from inspect_app.trade.leakage.logger_times import (
    MINUTES_OF,
    Order,
    TwoParts,
    clock_minutes,
    date_orders,
    moment_minutes,
    over_midnight,
    two_parts,
)
from inspect_app.trade.leakage.slope import Point
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.units import KINDS, unit_key
from inspect_app.trade.measuring.wording import either
from inspect_app.trade.strength.compressed_oil import ATMOSPHERE_MPA

DECIMAL, TIME, TIME_UNIT, CLOCK, DATE = "decimal mark", "time", "unit of time", "clock", "order of the date"
PRESSURE, PRESSURE_UNIT = "pressure", "unit of pressure"
TEMPERATURE, TEMPERATURE_UNIT, NO_TEMPERATURE = "oil temperature", "unit of temperature", "not logged"
POINT, COMMA = "point", "comma"
PRESSURE_UNITS, TEMPERATURE_UNITS = ("bar", "psi", "MPa", "kPa", "mbar"), ("°C", "°F")
MOST_POINTS = 20_000
_MARKS = {POINT: ".", COMMA: ","}
_PER_MPA = {"Pa": 1e-6, "mbar": 1e-4}
_TIMES = (ColumnKind.TIME, ColumnKind.MOMENT, ColumnKind.CLOCK)
_GROUPED = {
    POINT: re.compile(r"[+-]?[1-9]\d{0,2}(,\d{3})+(\.\d*)?"),
    COMMA: re.compile(r"[+-]?[1-9]\d{0,2}(\.\d{3})+(,\d*)?"),
}
_PLAIN = {
    POINT: re.compile(r"[+-]?\d*\.?\d+(?:[eE][+-]?\d+)?"),
    COMMA: re.compile(r"[+-]?\d*,?\d+(?:[eE][+-]?\d+)?"),
}

Chosen = Mapping[str, str]
"""What a person said where a file may be read in two ways: what was asked, and the answer."""


@dataclass(frozen=True, slots=True)
class Asked:
    """What a file leaves open: what is asked, the answers, and a cell of the file where it shows ("" for none)."""

    about: str
    answers: tuple[str, ...]
    example: str = ""


@dataclass(frozen=True, slots=True)
class Log:
    """A file as it was understood: its readings from minute 0 on, everything that was taken for what, what was left.

    `read_as` says for each thing what it was taken for, whether it was asked or stood in the file.
    """

    points: tuple[Point, ...]
    read_as: Mapping[str, str]
    gaps: int
    same_time: int


def open_questions(file: LoggerFile, chosen: Chosen) -> tuple[Asked, ...]:
    """What must be asked before a file can be taken; nothing where it can be read in one way only.

    Args:
        file: the file.
        chosen: what was answered already.
    Raises:
        Refusal: no column can be a time or a pressure, or a figure is none with either decimal mark.

    >>> from inspect_app.trade.leakage.logger_file import logger_file
    >>> file = logger_file("t [s];p [psi]\\n0;1,234\\n1;1,233\\n2;1,232\\n")
    >>> [(asked.about, asked.answers, asked.example) for asked in open_questions(file, {})]
    [('decimal mark', ('point', 'comma'), '1,234')]
    >>> open_questions(file, {"decimal mark": "comma"})
    ()
    """
    time, pressure = _times(file), _pressures(file)
    found = [
        Asked(TIME, tuple(c.head for c in time)),
        Asked(PRESSURE, tuple(c.head for c in pressure)),
        Asked(TEMPERATURE, _temperature_answers(file)),
    ]
    if column := _taken(time, chosen.get(TIME)):
        found += _about_time(file, column)
    if column := _taken(pressure, chosen.get(PRESSURE)):
        found.append(Asked(PRESSURE_UNIT, (column.unit,) if column.unit else PRESSURE_UNITS))
    warm = [c for c in file.columns if c.kind is ColumnKind.TEMPERATURE]
    if column := _taken(warm, chosen.get(TEMPERATURE)):
        found.append(Asked(TEMPERATURE_UNIT, (column.unit,) if column.unit else TEMPERATURE_UNITS))
    found.append(_about_marks(file, [*time, *pressure, *warm]))
    return tuple(a for a in found if len(a.answers) > 1 and chosen.get(a.about) not in a.answers)


def log_of(file: LoggerFile, chosen: Chosen) -> Log:
    """The readings of a file.

    Args:
        file: the file.
        chosen: the answers to its open questions.
    Raises:
        Refusal: something is still open, time falls (with the line), too few readings or too many.

    >>> from inspect_app.trade.leakage.logger_file import logger_file
    >>> file = logger_file("Zeit\\tDruck bar\\n12:00:00\\t210,5\\n12:00:30\\tOL\\n12:01:00\\t209,5\\n12:02:00\\t209\\n")
    >>> log = log_of(file, {})
    >>> [p.minutes for p in log.points], log.gaps
    ([0.0, 1.0, 2.0], 1)
    >>> log.points[0].mpa
    21.05
    """
    if still := open_questions(file, chosen):
        raise Refusal(f"Say first which it is: {still[0].about} ({either(still[0].answers)}).")
    read_as = _read_as(file, chosen)
    mark = read_as[DECIMAL]
    pressure = _named(file, read_as[PRESSURE])
    mpa = _in_canonical(pressure, mark, "pressure", read_as[PRESSURE_UNIT], pressure.absolute)
    celsius: Sequence[float | None] = [None] * len(mpa)
    if read_as[TEMPERATURE] != NO_TEMPERATURE:
        column = _named(file, read_as[TEMPERATURE])
        celsius = _in_canonical(column, mark, "temperature", read_as[TEMPERATURE_UNIT], absolute=False)
    minutes = _minutes(file, _named(file, read_as[TIME]), read_as)
    points, same_time, first, before = [], 0, None, None
    for line, t, p, c in zip(file.lines, minutes, mpa, celsius, strict=True):
        if t is None or p is None:
            continue
        if before is not None and t < before:
            raise Refusal(f"Line {line} is earlier than the reading above it; time must rise.")
        if t == before:
            same_time += 1
            continue
        first, before = t if first is None else first, t
        points.append(Point(t - first, p, c))
    if not 3 <= len(points) <= MOST_POINTS:
        raise Refusal(f"{len(points)} readings could be used; a log has 3 to {MOST_POINTS}.")
    return Log(tuple(points), read_as, len(file.lines) - len(points) - same_time, same_time)


# ---- what each thing may be


def _times(file: LoggerFile) -> list[Column]:
    """The column of time: a date with its time, else elapsed, else a clock; two of one sort are asked about."""
    for kind in (ColumnKind.TIME, ColumnKind.MOMENT, ColumnKind.CLOCK):
        if found := [c for c in file.columns if c.kind is kind]:
            return found
    # without any head the first column that only rises can be the time; what its unit is will be asked
    bare = [c for c in file.columns if c.kind is ColumnKind.NUMBER]
    if len(bare) > 1:
        return bare[:1]
    raise Refusal("No column is a time; head it with its unit, for example time [s].")


def _pressures(file: LoggerFile) -> list[Column]:
    if found := [c for c in file.columns if c.kind is ColumnKind.PRESSURE]:
        return found
    times = _times(file)
    if found := [c for c in file.columns if c.kind is ColumnKind.NUMBER and c not in times]:
        return found
    if any(c.kind is ColumnKind.ELECTRIC for c in file.columns):
        raise Refusal(
            "The log is in volts or milliamperes. Set the logger to show a pressure, and export again."
        )
    raise Refusal("No column is a pressure; head it with its unit, for example p [bar].")


def _temperature_answers(file: LoggerFile) -> tuple[str, ...]:
    heads = tuple(c.head for c in file.columns if c.kind is ColumnKind.TEMPERATURE)
    return heads if len(heads) == 1 else (*heads, NO_TEMPERATURE)


def _about_time(file: LoggerFile, column: Column) -> list[Asked]:
    cells = [c for c in column.cells if not is_gap(c)]
    if column.kind is ColumnKind.CLOCK:
        found = [
            Asked(
                CLOCK,
                tuple(p.value for p in TwoParts) if two_parts(cells) else (TwoParts.HOURS.value,),
                cells[0],
            )
        ]
        dates = [c for c in file.columns if c.kind is ColumnKind.DATE]
        return [*found, _about_dates(dates[0].cells)] if dates else found
    if column.kind is ColumnKind.MOMENT:
        return [_about_dates(cells)]
    return [Asked(TIME_UNIT, (column.unit,) if column.unit else tuple(MINUTES_OF), cells[0])]


def _about_dates(cells: Sequence[str]) -> Asked:
    orders = date_orders([c for c in cells if not is_gap(c)])
    if not orders:
        raise Refusal(f"The date {cells[0]!r} is none; write 2026-11-27 or 27.11.2026.")
    # on one day it makes no difference to the time between two readings
    days = {re.split(r"[T ,]", c)[0] for c in cells if not is_gap(c)}
    return Asked(DATE, tuple(o.value for o in (orders if len(days) > 1 else orders[:1])), cells[0])


def _about_marks(file: LoggerFile, columns: Sequence[Column]) -> Asked:
    """With which decimal marks every figure is one: both, where each has three digits behind its only mark."""
    cells = [
        c for column in columns if column.kind not in (ColumnKind.CLOCK, ColumnKind.MOMENT, ColumnKind.DATE)
        for c in column.cells if not is_gap(c)
    ]  # fmt: skip
    marked = [c for c in cells if "." in c or "," in c]
    if not marked:
        return Asked(DECIMAL, (POINT,))
    if file.separator == "," and not any("," in c for c in cells):
        return Asked(DECIMAL, (POINT,))
    allowed = tuple(mark for mark in _MARKS if all(_number(c, mark) is not None for c in cells))
    if not allowed:
        raise Refusal(f"The figures have points and commas mixed, as in {marked[0]!r}; export them alike.")
    return Asked(DECIMAL, allowed, marked[0])


def _number(cell: str, mark: str) -> float | None:
    bare = cell.replace(" ", "").replace("'", "")
    if _PLAIN[mark].fullmatch(bare):
        return float(bare.replace(_MARKS[mark], "."))
    if _GROUPED[mark].fullmatch(bare):
        other = _MARKS[COMMA if mark == POINT else POINT]
        return float(bare.replace(other, "").replace(_MARKS[mark], "."))
    return None


# ---- what each thing is taken for


def _read_as(file: LoggerFile, chosen: Chosen) -> dict[str, str]:
    """What every thing was taken for, asked or not."""
    read_as: dict[str, str] = {}
    times, pressures = _times(file), _pressures(file)
    time = _taken(times, chosen.get(TIME)) or times[0]
    pressure = _taken(pressures, chosen.get(PRESSURE)) or pressures[0]
    warm = [c for c in file.columns if c.kind is ColumnKind.TEMPERATURE]
    oil = _taken(warm, chosen.get(TEMPERATURE))
    asked = [*_about_time(file, time), _about_marks(file, [*times, *pressures, *warm])]
    asked.append(Asked(PRESSURE_UNIT, (pressure.unit,)))
    if oil:
        asked.append(Asked(TEMPERATURE_UNIT, (oil.unit,)))
    for about in asked:
        read_as[about.about] = (
            about.answers[0] if len(about.answers) == 1 and about.answers[0] else chosen[about.about]
        )
    return {
        **read_as,
        TIME: time.head,
        PRESSURE: pressure.head,
        TEMPERATURE: oil.head if oil else NO_TEMPERATURE,
    }


def _taken(columns: Sequence[Column], head: str | None) -> Column | None:
    """The only column there is, or the one that was named."""
    if len(columns) == 1:
        return columns[0]
    return next((c for c in columns if c.head == head), None)


def _named(file: LoggerFile, head: str) -> Column:
    return next(c for c in file.columns if c.head == head)


def _in_canonical(column: Column, mark: str, kind: str, unit: str, absolute: bool) -> list[float | None]:
    shift = ATMOSPHERE_MPA if absolute else 0.0
    if unit in _PER_MPA:
        times, zero = _PER_MPA[unit], 0.0
    else:
        row = KINDS[kind].units[unit_key(unit)]
        times, zero = float(row.times / row.per), float(row.zero)
    figures = (None if is_gap(cell) else _number(cell, mark) for cell in column.cells)
    return [None if figure is None else (figure - zero) * times - shift for figure in figures]


def _minutes(file: LoggerFile, column: Column, read_as: Mapping[str, str]) -> list[float | None]:
    if column.kind is ColumnKind.MOMENT:
        order = Order(read_as[DATE])
        return [None if is_gap(c) else moment_minutes(c, order) for c in column.cells]
    if column.kind is not ColumnKind.CLOCK:
        per = MINUTES_OF[read_as[TIME_UNIT]]
        figures = [None if is_gap(c) else _number(c, read_as[DECIMAL]) for c in column.cells]
        return [None if f is None else f * per for f in figures]
    parts = TwoParts(read_as[CLOCK])
    clock = [None if is_gap(c) else clock_minutes(c, parts) for c in column.cells]
    dates = [c for c in file.columns if c.kind is ColumnKind.DATE]
    if dates:
        order = Order(read_as[DATE])
        days = [None if is_gap(d) else moment_minutes(d, order) for d in dates[0].cells]
        return [None if t is None or d is None else t + d for t, d in zip(clock, days, strict=True)]
    carried = iter(over_midnight([t for t in clock if t is not None]))
    return [None if t is None else next(carried) for t in clock]


def thinned(points: Sequence[Point], most: int) -> tuple[Point, ...]:
    """Points for a picture: of each stretch the lowest and the highest pressure, so that no dip is lost.

    Args:
        points: the readings.
        most: how many are drawn at most.

    >>> log = [Point(n, 20 - (n == 500)) for n in range(1000)]
    >>> shown = thinned(log, 40)
    >>> len(shown) <= 40, min(p.mpa for p in shown)
    (True, 19)
    """
    if len(points) <= most:
        return tuple(points)
    stretches = max(1, (most - 2) // 2)
    size = len(points) / stretches
    kept = {0, len(points) - 1}
    for n in range(stretches):
        stretch = range(round(n * size), min(len(points), round((n + 1) * size)))
        kept |= {min(stretch, key=lambda i: points[i].mpa), max(stretch, key=lambda i: points[i].mpa)}
    return tuple(points[i] for i in sorted(kept))
