"""Reads how materials expand from checklists/standards; knows the file's columns, not their use."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal, InvalidOperation
from typing import Any

from inspect_app.tables.faults import Reader
from inspect_app.trade.measuring.temperature import Expansion

_EXPANSION = "standards/expansion.csv"


def load_expansion(reader: Reader) -> dict[str, Expansion]:
    """Every material's expansion by its key, e.g. ``steel``; faults are noted on the reader."""
    columns: dict[str, Callable[[str], Any]] = {
        "material": str,
        "name": str,
        "expansion_um_per_m_k": _number,
        "half_width_um_per_m_k": _number,
        "source": str,
        "status": str,
    }
    materials: dict[str, Expansion] = {}
    for row in reader.csv(_EXPANSION, columns):
        if row["material"] in materials:
            reader.fault(_EXPANSION, row["material"], "stands there twice; keep one.")
        materials[row["material"]] = Expansion(
            row["name"], row["expansion_um_per_m_k"], row["half_width_um_per_m_k"]
        )
    return materials


def _number(cell: str) -> Decimal:
    try:
        number = Decimal(cell)
    except InvalidOperation:
        raise ValueError("it must be a number") from None
    if not (number.is_finite() and number >= 0):
        raise ValueError("it must not be negative")
    return number
