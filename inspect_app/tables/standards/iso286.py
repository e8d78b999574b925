"""Reads the fits of ISO 286 from checklists/standards; knows the files' columns and nothing of their use."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal, InvalidOperation
from itertools import pairwise
from typing import Any, TypeVar

from inspect_app.tables.faults import Reader
from inspect_app.trade.form.fits import Iso286, SizeBand

_GRADES = "standards/iso286_grades.csv"
_DEVIATIONS = "standards/iso286_deviations.csv"
_GRADE_COLUMNS = {f"it{grade}_um": grade for grade in range(5, 13)}
_LETTER_COLUMNS = {f"{letter}_um": letter for letter in "defg"}
_Band = tuple[Decimal, Decimal]
_Key = TypeVar("_Key")


def load_iso286(reader: Reader) -> Iso286:
    """The standard's tables; faults are noted on the reader."""
    grades = _rows(reader, _GRADES, _GRADE_COLUMNS)
    deviations = _rows(reader, _DEVIATIONS, _LETTER_COLUMNS)
    for over_mm, upto_mm in grades.keys() ^ deviations.keys():
        reader.fault(
            _DEVIATIONS, f"{over_mm} to {upto_mm}", f"stands in one table only; {_GRADES} needs it too."
        )
    bands = sorted(grades.keys() & deviations.keys())
    for (_, upto_mm), (over_mm, _) in pairwise(bands):
        if upto_mm != over_mm:
            reader.fault(
                _GRADES, f"over {over_mm}", f"does not begin where the band before it ends, {upto_mm}."
            )
    return Iso286(tuple(SizeBand(*band, grades[band], deviations[band]) for band in bands))


def _rows(reader: Reader, file: str, columns: dict[str, _Key]) -> dict[_Band, dict[_Key, Decimal]]:
    turn: dict[str, Callable[[str], Any]] = {
        "over_mm": _number,
        "upto_mm": _number,
        "source": str,
        "status": str,
    }
    turn |= dict.fromkeys(columns, _number)
    return {
        (row["over_mm"], row["upto_mm"]): {key: row[column] for column, key in columns.items()}
        for row in reader.csv(file, turn)
    }


def _number(cell: str) -> Decimal:
    try:
        number = Decimal(cell)
    except InvalidOperation:
        raise ValueError("it must be a number") from None
    if not (number.is_finite() and number > 0):
        raise ValueError("it must be greater than 0")
    return number
