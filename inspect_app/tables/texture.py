"""Reads the steps of Ra (N grades and default cut-offs); knows no limits."""

from __future__ import annotations

from decimal import Decimal

from inspect_app.tables.faults import Reader
from inspect_app.trade.texture import RaStep

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


def read_ra_steps(reader: Reader) -> tuple[RaStep, ...]:
    """The steps of Ra in the order of the file; faults are noted in the reader."""
    rows = reader.csv(
        FILE,
        {
            "ra_um": _positive,
            "grade": str,
            "ra_uin": _positive_or_empty,
            "cut_off_mm": _positive,
            "evaluation_mm": _positive,
            "source": str,
        },
    )
    return tuple(RaStep(**row) for row in rows)
