"""Reads the drift numbers that part good pistons from worn ones; knows the file's columns, not their use."""

from __future__ import annotations

from inspect_app.tables.faults import Reader
from inspect_app.tables.standards.cells import WHENCE, Columns, positive, text
from inspect_app.trade.leakage.drift import DriftBands

_FILE = "standards/drift_bands.csv"


def load_drift_bands(reader: Reader) -> dict[str, DriftBands]:
    """The bands by kind of ring; faults are noted on the reader.

    Args:
        reader: the checklists folder being read.
    """
    good, moderate = "good_below_ml_per_cm_h", "moderate_below_ml_per_cm_h"
    columns: Columns = {"rings": text, good: positive, moderate: positive, **WHENCE}
    bands: dict[str, DriftBands] = {}
    for row in reader.csv(_FILE, columns):
        if row[good] >= row[moderate]:
            reader.fault(_FILE, row["rings"], "the first border must be below the second; swap them.")
        bands[row["rings"]] = DriftBands(row[good], row[moderate])
    return bands
