"""Times as loggers write them: elapsed, of the clock, with a date before or beside; knows no file and no pressure."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import date
from enum import Enum

MINUTES_OF = {"ms": 1 / 60_000, "s": 1 / 60, "min": 1.0, "h": 60.0, "days": 1440.0}
"""Minutes in each unit an elapsed time may be in."""

_DAY_MIN = 1440.0
_CLOCK = r"(?P<first>\d{1,3}):(?P<second>\d{2})(?::(?P<third>\d{2}))?(?:[.,](?P<part>\d{1,6}))? ?(?P<half>[AaPp][Mm])?"
_DATE = r"(?P<a>\d{1,4})(?P<mark>[-./])(?P<b>\d{1,2})(?P=mark)(?P<c>\d{1,4})"
_CLOCK_ONLY, _DATE_ONLY = re.compile(_CLOCK), re.compile(_DATE)
_BOTH = re.compile(rf"{_DATE}[T ,]+{_CLOCK}(?:Z|[+-]\d{{2}}:?\d{{2}})?")


class Order(Enum):
    """In which order a date has its parts."""

    YEAR_FIRST = "year, month, day"
    DAY_FIRST = "day, month, year"
    MONTH_FIRST = "month, day, year"


class TwoParts(Enum):
    """What 05:30 says."""

    HOURS = "hours and minutes"
    MINUTES = "minutes and seconds"


def is_clock(cell: str) -> bool:
    """Whether a cell is a time with colons, without a date.

    Args:
        cell: the cell.

    >>> is_clock("12:00:03.5"), is_clock("1:02:03 PM"), is_clock("2026-11-27 12:00:03"), is_clock("12")
    (True, True, False, False)
    """
    return _CLOCK_ONLY.fullmatch(cell) is not None


def is_date(cell: str) -> bool:
    """Whether a cell is a date alone.

    Args:
        cell: the cell.

    >>> is_date("27.11.2026"), is_date("2026-11-27"), is_date("1.5")
    (True, True, False)
    """
    return _DATE_ONLY.fullmatch(cell) is not None


def is_moment(cell: str) -> bool:
    """Whether a cell is a date and a time.

    Args:
        cell: the cell.

    >>> is_moment("27.11.2026 16:17:02"), is_moment("2026-11-27T16:17:02Z"), is_moment("16:17:02")
    (True, True, False)
    """
    return _BOTH.fullmatch(cell) is not None


def two_parts(cells: Sequence[str]) -> bool:
    """Whether times with colons have two parts only, so that they may be hours and minutes or minutes and seconds.

    Args:
        cells: the times.

    >>> two_parts(["05:30", "05:31"]), two_parts(["05:30:00"]), two_parts(["05:30.5"])
    (True, False, False)
    """
    found = [m for cell in cells if (m := _CLOCK_ONLY.fullmatch(cell))]
    # a part of a second, or more than a day's hours, is no clock
    return bool(found) and all(
        m["third"] is None and m["part"] is None and not m["half"] and int(m["first"]) < 24 for m in found
    )


def clock_minutes(cell: str, parts: TwoParts) -> float:
    """A time with colons in minutes.

    Args:
        cell: the time.
        parts: what it says where it has two parts.
    Raises:
        ValueError: it is no time.

    >>> clock_minutes("1:30:30", TwoParts.HOURS), clock_minutes("1:30 PM", TwoParts.HOURS)
    (90.5, 810.0)
    >>> clock_minutes("05:30", TwoParts.MINUTES), clock_minutes("05:30.6", TwoParts.HOURS)
    (5.5, 5.51)
    """
    found = _CLOCK_ONLY.fullmatch(cell)
    if found is None:
        raise ValueError(cell)
    return _minutes_of(found, parts)


def date_orders(cells: Sequence[str]) -> tuple[Order, ...]:
    """The orders in which every date of a column is one.

    Args:
        cells: dates, or dates with a time.

    >>> [order.name for order in date_orders(["27.11.2026"])], [o.name for o in date_orders(["3/4/2026"])]
    (['DAY_FIRST'], ['DAY_FIRST', 'MONTH_FIRST'])
    """
    found = [_BOTH.fullmatch(cell) or _DATE_ONLY.fullmatch(cell) for cell in dict.fromkeys(cells)]
    return tuple(o for o in Order if found and all(m and _day_number(m, o) is not None for m in found))


def moment_minutes(cell: str, order: Order) -> float:
    """A date, or a date with a time, in minutes since the beginning of the calendar.

    Args:
        cell: as it stands.
        order: the order of the date's parts.
    Raises:
        ValueError: it is neither.

    >>> moment_minutes("02.01.2026 00:01:30", Order.DAY_FIRST) - moment_minutes("1.1.2026", Order.DAY_FIRST)
    1441.5
    """
    both = _BOTH.fullmatch(cell)
    found = both or _DATE_ONLY.fullmatch(cell)
    day = _day_number(found, order) if found else None
    if day is None:
        raise ValueError(cell)
    return day * _DAY_MIN + (_minutes_of(both, TwoParts.HOURS) if both else 0.0)


def over_midnight(minutes: Sequence[float]) -> tuple[float, ...]:
    """Times of a clock that start anew at midnight, carried on into the next day.

    Args:
        minutes: minutes of the day in the order of the rows.

    >>> over_midnight([1438.0, 1439.0, 0.0, 1.0])
    (1438.0, 1439.0, 1440.0, 1441.0)
    """
    carried, days = [], 0.0
    for n, now in enumerate(minutes):
        # a clock falls back by nearly a day at midnight; by less it was set, which is said to the person
        if n and minutes[n - 1] - now > _DAY_MIN / 2:
            days += _DAY_MIN
        carried.append(now + days)
    return tuple(carried)


def _minutes_of(found: re.Match[str], parts: TwoParts) -> float:
    first, second = int(found["first"]), int(found["second"])
    seconds = float(f"0.{found['part']}") if found["part"] else 0.0
    if found["third"] is None and (parts is TwoParts.MINUTES or found["part"]):
        return first + (second + seconds) / 60
    if found["half"]:
        first = first % 12 + (12 if found["half"].casefold() == "pm" else 0)
    return first * 60 + second + (int(found["third"] or 0) + seconds) / 60


def _day_number(found: re.Match[str], order: Order) -> int | None:
    a, b, c = found["a"], found["b"], found["c"]
    year, month, day = {
        Order.YEAR_FIRST: (a, b, c),
        Order.DAY_FIRST: (c, b, a),
        Order.MONTH_FIRST: (c, a, b),
    }[order]
    if len(year) not in (2, 4) or (order is Order.YEAR_FIRST and len(year) != 4) or len(day) > 2:
        return None
    try:
        return date(int(year) + (2000 if len(year) == 2 else 0), int(month), int(day)).toordinal()
    except ValueError:
        return None
