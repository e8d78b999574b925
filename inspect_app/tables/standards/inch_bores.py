"""Reads the inch bores and the rods met with each from checklists/standards; decides nothing by them."""

from __future__ import annotations

from fractions import Fraction

from inspect_app.tables.faults import Reader
from inspect_app.tables.sources import Source
from inspect_app.tables.standards.cells import WHENCE, positive
from inspect_app.trade.measuring.inch_bores import InchBore

_FILE = "standards/inch_bores.csv"


def load_inch_bores(reader: Reader, sources: dict[str, Source]) -> tuple[InchBore, ...]:
    """The rows of checklists/standards/inch_bores.csv in its order.

    Args:
        reader: the checklists folder being read; faults are noted in it.
        sources: known sources.
    """
    bores = tuple(
        InchBore(float(row["bore_in"]), row["rods_in"], row["status"], row["source"])
        for row in reader.csv(_FILE, WHENCE | {"bore_in": positive, "rods_in": _rods})
    )
    for bore in bores:
        if bore.source not in sources:
            reader.fault(
                _FILE, f"bore {bore.bore_in:g}", f"found source {bore.source!r}; no source has that key."
            )
        if max(_inches(rod) for rod in bore.rods_in) >= bore.bore_in:
            reader.fault(_FILE, f"bore {bore.bore_in:g}", "has a rod as thick as the bore; correct it.")
    return bores


def _rods(cell: str) -> tuple[str, ...]:
    rods = tuple(rod.strip() for rod in cell.split(";"))
    for rod in rods:
        _inches(rod)
    return rods


def _inches(rod: str) -> Fraction:
    """A size like 1 3/4."""
    try:
        return sum((Fraction(piece) for piece in rod.split()), Fraction(0))
    except (ValueError, ZeroDivisionError):
        raise ValueError("write inches like 1 3/4, with ; between them") from None
