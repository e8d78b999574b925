"""Reads the steps of Ra (N grades and default cut-offs); knows no limits."""

from __future__ import annotations

from decimal import Decimal

from inspect_app.tables.faults import Reader
from inspect_app.trade.form.texture import RaStep

FILE = "standards/roughness_grades.csv"


def _positive(cell: str) -> Decimal:
    try:
        value = Decimal(cell)
    except ArithmeticError:
        raise ValueError("give a number with a decimal point") from None
    if not value.is_finite() or value <= 0:
        raise ValueError("give a number greater than 0")
    return value


def _positive_or_empty(cell: str) -> Decimal | None:
    return _positive(cell) if cell else None


def _grade(cell: str) -> str:
    if cell and not (cell.startswith("N") and cell[1:].isdigit()):
        raise ValueError("write N and a number, or leave it empty")
    return cell


def _source(cell: str) -> str:
    if not cell:
        raise ValueError("name a key of checklists/sources")
    return cell


def read_ra_steps(reader: Reader) -> tuple[RaStep, ...]:
    """The steps of Ra in the order of the file.

    Args:
        reader: the checklists folder being read; faults are noted in it.
    """
    rows = reader.csv(
        FILE,
        {
            "ra_um": _positive,
            "grade": _grade,
            "ra_uin": _positive_or_empty,
            "cut_off_mm": _positive,
            "evaluation_mm": _positive,
            "source": _source,
        },
    )
    return tuple(RaStep(**row) for row in rows)
