"""Reads the strengths of tube and rod steels from checklists/standards; decides nothing by them."""

from __future__ import annotations

from collections.abc import Mapping

from inspect_app.tables.faults import Reader
from inspect_app.tables.sources import Source
from inspect_app.tables.standards.cells import WHENCE, number, one_of, positive, text
from inspect_app.trade.strength.barrel import Steel

_FILE = "standards/steels.csv"


def load_steels(reader: Reader, sources: Mapping[str, Source]) -> tuple[Steel, ...]:
    """The steels in checklists/standards/steels.csv, in the file's order.

    Args:
        reader: the checklists folder being read; faults are noted in it.
        sources: known sources.
    """
    columns = WHENCE | {
        "steel": text,
        "form": one_of("tube", "rod"),
        "condition": text,
        "over_mm": number,
        "upto_mm": positive,
        "yield_mpa": positive,
        "tensile_mpa": positive,
        "basis": one_of("least", "typical"),
    }
    steels = tuple(Steel(**row) for row in reader.csv(_FILE, columns))
    for steel in steels:
        row = f"{steel.steel}, {steel.condition}, over {steel.over_mm:g}"
        if not 0 <= steel.over_mm < steel.upto_mm:
            reader.fault(_FILE, row, "over_mm must be 0 or greater and below upto_mm.")
        if steel.tensile_mpa < steel.yield_mpa:
            reader.fault(_FILE, row, "tensile_mpa must not be below yield_mpa.")
        if steel.source not in sources:
            reader.fault(_FILE, row, f"found source {steel.source!r}; no source has that key; add it.")
    return steels
