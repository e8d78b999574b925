"""A logger's file as text becomes columns: head lines, separator, units; knows no leak, and guesses no meaning."""

from __future__ import annotations

import csv
import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

from inspect_app.trade.leakage.logger_times import is_clock, is_date, is_moment
from inspect_app.trade.measuring.refusal import Refusal

MOST_BYTES = 8_000_000
_SEPARATORS = (";", "\t", ",", "|")
_FEWEST_ROWS = 3
_GAPS = {
    "", "-", "--", "---", "----", "ol", "o.l.", "+ol", "-ol", "overload", "over", "nan", "n/a", "na", "#n/a", "null",
    "none", "inf", "+inf", "-inf", "invalid", "error", "err", "-.-", "--.-", "*", "?",
}  # fmt: skip
"""How loggers say that there was no reading, or one beyond the range."""
NUMBER = re.compile(r"[+-]?(?:\d[\d.,' ]*|[.,]\d+)(?:[eE][+-]?\d{1,2})?")
_PRESSURE = {
    "bar": "bar", "barg": "bar", "bara": "bar", "mbar": "mbar", "mpa": "MPa", "kpa": "kPa", "pa": "Pa", "psi": "psi",
    "psig": "psi", "psia": "psi",
}  # fmt: skip
_TEMPERATURE = {"°c": "°C", "degc": "°C", "℃": "°C", "celsius": "°C", "°f": "°F", "degf": "°F", "℉": "°F"}
_LETTERS = {"c": "°C", "f": "°F"}
"""Units of temperature only where something else says that it is one: F is a force as well."""
_TIME = {"ms": "ms", "s": "s", "sec": "s", "secs": "s", "seconds": "s", "sek": "s", "min": "min", "minutes": "min",
         "h": "h", "hours": "h", "days": "days"}  # fmt: skip
_ELECTRIC = {"v", "mv", "ma", "volt", "volts"}
_TIME_WORDS = ("time", "elapsed", "zeit", "date", "datum", "clock", "uhr", "timestamp")
_PRESSURE_WORDS = ("press", "druck", "pression", "presion")
_TEMPERATURE_WORDS = ("temp", "oil t", "öl")
_COUNTER_WORDS = ("no", "nr", "record", "scan", "sample", "index", "#", "count", "id")
_WORDS = re.compile(r"[^\W\d_]+|[°℃][CF]?|#", re.IGNORECASE)


class ColumnKind(Enum):
    """What a column holds, as far as its head and its cells say."""

    TIME = "time"
    CLOCK = "clock time"
    DATE = "date"
    MOMENT = "date and time"
    PRESSURE = "pressure"
    TEMPERATURE = "temperature"
    ELECTRIC = "volts or milliamperes"
    COUNTER = "record number"
    NUMBER = "number"
    TEXT = "text"


@dataclass(frozen=True, slots=True)
class Column:
    """A column: its head as it stands, what it holds, its unit ("" where none is written), whether absolute."""

    head: str
    kind: ColumnKind
    unit: str
    absolute: bool
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class LoggerFile:
    """The columns of a file with the number of each row's line; how many lines stood above, and below unread."""

    separator: str
    head_lines: int
    lines: tuple[int, ...]
    columns: tuple[Column, ...]
    unread_lines: int


def is_gap(cell: str) -> bool:
    """Whether a cell says that there was no reading.

    Args:
        cell: the cell, trimmed.

    >>> is_gap("OL"), is_gap("---"), is_gap(""), is_gap("0")
    (True, True, True, False)
    """
    return cell.casefold() in _GAPS


def text_of(raw: bytes) -> str:
    """The text of a file, whichever way its letters are coded.

    Args:
        raw: its bytes.
    Raises:
        Refusal: it is empty, too large, a spreadsheet's own file, or no text.

    >>> text_of("t;p".encode("utf-16")), text_of(b"\\xef\\xbb\\xbft;p"), text_of("Öl".encode("cp1252"))
    ('t;p', 't;p', 'Öl')
    """
    if not raw.strip():
        raise Refusal("The file is empty.")
    if len(raw) > MOST_BYTES:
        raise Refusal(f"The file has {len(raw) / 1e6:.1f} MB; at most {MOST_BYTES / 1e6:.0f} MB are read.")
    if raw[:4] in (b"PK\x03\x04", b"\xd0\xcf\x11\xe0"):
        raise Refusal("This is a spreadsheet's own file. Save it as CSV, then choose that.")
    coding = "utf-8-sig"
    if raw[:2] in (b"\xff\xfe", b"\xfe\xff"):
        coding = "utf-16"
    elif raw[:200].count(0) > len(raw[:200]) // 3:
        coding = "utf-16-le" if raw[1:2] == b"\0" else "utf-16-be"
    try:
        text = raw.decode(coding)
    except UnicodeDecodeError:
        # what is not UTF-8 comes from an older program; its degree sign and umlauts are all that matters
        text = raw.decode("cp1252", errors="replace")
    if "\0" in text:
        raise Refusal("This is no text file. Export the log as CSV, then choose that.")
    return text


def logger_file(text: str) -> LoggerFile:
    """The columns of a logger's file: separator, head lines and units are found by what stays the same row by row.

    Args:
        text: the whole file.
    Raises:
        Refusal: no table of at least three rows and two columns is in it, or its head does not fit its rows.

    >>> file = logger_file("Logger 7\\nTime [s];p (bar)\\n0;210,5\\n1;210,4\\n2;210,4\\n")
    >>> file.separator, file.head_lines, [(c.kind.value, c.unit) for c in file.columns]
    (';', 2, [('time', 's'), ('pressure', 'bar')])
    """
    lines = text.splitlines()
    found = [(table, mark) for mark in _SEPARATORS if (table := _table(lines, mark))]
    if not found:
        raise Refusal(
            "No table is in the file: a CSV has a time and a pressure in every row, and three rows."
        )
    # the separator whose rows agree most; a comma inside numbers makes fewer rows agree, or more columns
    (start, width, rows), mark = max(found, key=lambda f: (len(f[0][2]), -_SEPARATORS.index(f[1])))
    above = [_cells(line, mark) for line in lines[:start]]
    named = [cells for cells in above if len(cells) > 1]
    if mark == "," and named and len(named[-1]) < width and width % 2 == 0:
        raise Refusal(
            "The head has {heads} columns and the rows have {width}: the numbers have decimal commas and the columns "
            "are parted by commas too. Export it with semicolons.",
            heads=str(len(named[-1])),
            width=str(width),
        )
    heads, units = _heads(above, width)
    numbers = tuple(n for n, _ in rows)
    by_column = list(zip(*(cells for _, cells in rows), strict=True))
    columns = tuple(
        _column(head, unit, cells) for head, unit, cells in zip(heads, units, by_column, strict=True)
    )
    kept = tuple(c for c in columns if any(c.cells))  # a separator at the end makes an empty column
    unread = sum(bool(line.strip()) for line in lines[start:]) - len(rows)
    return LoggerFile(mark, start, numbers, kept, unread)


def _cells(line: str, mark: str) -> tuple[str, ...]:
    (cells,) = csv.reader([line], delimiter=mark) if line else ((),)
    return tuple(cell.strip() for cell in cells)


def _table(lines: Sequence[str], mark: str) -> tuple[int, int, list[tuple[int, tuple[str, ...]]]] | None:
    """Where the rows begin, how many columns they have, and each row with the number of its line."""
    every = [(n, _cells(line, mark)) for n, line in enumerate(lines, 1) if mark in line]
    rows = [(n, cells) for n, cells in every if _is_data(cells)]
    if len(rows) < _FEWEST_ROWS:
        return None
    width, often = Counter(len(cells) for _, cells in rows).most_common(1)[0]
    if often < _FEWEST_ROWS or width < 2:
        return None
    fitting = [(n, cells) for n, cells in rows if len(cells) == width]
    # a line such as "serial no.;4711;" above the head looks like a row: the rows begin under the last line of texts
    texts = [n for n, cells in every if len(cells) == width and any(cells) and not _is_data(cells)]
    head = next((n for n in reversed(texts) if sum(row > n for row, _ in fitting) * 2 >= often), 0)
    fitting = [row for row in fitting if row[0] > head]
    return fitting[0][0] - 1, width, fitting


def _is_data(cells: Sequence[str]) -> bool:
    """Whether a row has readings: two or more figures or times, and at most one text beside them."""
    figures = sum(_is_figure(cell) for cell in cells)
    texts = sum(not _is_figure(cell) and not is_gap(cell) for cell in cells)
    return figures >= 1 and figures + sum(is_gap(c) for c in cells) >= 2 and texts <= 1


def _is_figure(cell: str) -> bool:
    return bool(NUMBER.fullmatch(cell)) or is_clock(cell) or is_date(cell) or is_moment(cell)


def _heads(above: Sequence[Sequence[str]], width: int) -> tuple[list[str], list[str]]:
    """What each column is called and the line of units under that, out of the lines above the rows."""
    fitting = [list(cells) for cells in above if len(cells) == width and any(cells)]
    units = [""] * width
    if len(fitting) > 1 and all(not cell or _is_unit(cell) for cell in fitting[-1]):
        units = fitting.pop()
    heads = fitting[-1] if fitting else [""] * width
    return [head or f"column {n}" for n, head in enumerate(_told_apart(heads), 1)], units


def _told_apart(heads: Sequence[str]) -> list[str]:
    """Heads of which no two are the same: a person has to choose one by it."""
    often = Counter(heads)
    return [f"{head}, column {n}" if head and often[head] > 1 else head for n, head in enumerate(heads, 1)]


def _is_unit(cell: str) -> bool:
    known = {*_PRESSURE, *_TEMPERATURE, *_LETTERS, *_TIME, *_ELECTRIC, "hh", "mm", "ss", "dd", "yyyy", "yy"}
    words = [w.casefold() for w in _WORDS.findall(cell)]
    return bool(words) and all(word in known for word in words)


def _column(head: str, unit: str, cells: Sequence[str]) -> Column:
    words = [w.casefold() for w in _WORDS.findall(f"{head} {unit}")]
    written = f"{head} {unit}".casefold()
    absolute = "abs" in words or "absolute" in words or "bara" in words or "psia" in words
    if unit.casefold() in _LETTERS or any(word in written for word in _TEMPERATURE_WORDS):
        words = [_LETTERS.get(word, word).casefold() for word in words]
    kind, named = _kind(head.casefold(), written, words, [c for c in cells if not is_gap(c)])
    return Column(head, kind, named, absolute, tuple(cells))


def _kind(head: str, written: str, words: Sequence[str], readings: Sequence[str]) -> tuple[ColumnKind, str]:
    for kind, fits in (
        (ColumnKind.MOMENT, is_moment),
        (ColumnKind.CLOCK, is_clock),
        (ColumnKind.DATE, is_date),
    ):
        if readings and all(fits(cell) for cell in readings):
            return kind, ""
    if not readings or not all(NUMBER.fullmatch(cell) for cell in readings):
        return ColumnKind.TEXT, ""
    last = {name: unit for table in (_PRESSURE, _TEMPERATURE, _TIME) for name, unit in table.items()}
    unit = next((last[w] for w in reversed(words) if w in last), "")
    is_time = any(word in head for word in _TIME_WORDS) or unit in _TIME.values() or head.strip() == "t"
    if any(word in words for word in _ELECTRIC) and unit not in _PRESSURE.values():
        return ColumnKind.ELECTRIC, ""
    if unit in _PRESSURE.values() or any(word in written for word in _PRESSURE_WORDS):
        return ColumnKind.PRESSURE, unit if unit in _PRESSURE.values() else ""
    if is_time and unit not in _TEMPERATURE.values():
        return ColumnKind.TIME, unit
    if unit in _TEMPERATURE.values() or any(word in written for word in _TEMPERATURE_WORDS):
        return ColumnKind.TEMPERATURE, unit if unit in _TEMPERATURE.values() else ""
    if words and words[0] in _COUNTER_WORDS:
        return ColumnKind.COUNTER, ""
    return ColumnKind.NUMBER, ""
