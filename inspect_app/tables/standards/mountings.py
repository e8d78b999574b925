"""Reads how a cylinder's ends are held from checklists/standards; decides nothing by it."""

from __future__ import annotations

from collections.abc import Mapping

from inspect_app.tables.faults import Reader
from inspect_app.tables.sources import Source
from inspect_app.tables.standards.cells import WHENCE, positive, text
from inspect_app.trade.strength.column import Mounting

_FILE = "standards/mountings.csv"


def load_mountings(reader: Reader, sources: Mapping[str, Source]) -> dict[str, Mounting]:
    """The mountings in checklists/standards/mountings.csv by name.

    Args:
        reader: the checklists folder being read; faults are noted in it.
        sources: known sources.
    """
    columns = WHENCE | {
        "mounting": text,
        "cylinder_end": text,
        "rod_end": text,
        "length_taken": text,
        "factor_ideal": positive,
        "factor_design": positive,
    }
    mountings: dict[str, Mounting] = {}
    for row in reader.csv(_FILE, columns):
        mounting = Mounting(**row)
        if mounting.mounting in mountings:
            reader.fault(_FILE, mounting.mounting, "stands twice; keep one.")
        if mounting.factor_design < mounting.factor_ideal:
            reader.fault(_FILE, mounting.mounting, "factor_design must not be below factor_ideal; raise it.")
        if mounting.source not in sources:
            reader.fault(
                _FILE, mounting.mounting, f"found source {mounting.source!r}; no source has that key; add it."
            )
        mountings[mounting.mounting] = mounting
    return mountings
