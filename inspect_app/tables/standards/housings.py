"""Reads the standard seal and wear-ring housings from checklists/housings; knows columns, not their use."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from inspect_app.tables.faults import Reader
from inspect_app.tables.standards.cells import WHENCE, Columns, maybe, number, one_of, positive, text
from inspect_app.trade.sealing.housings import Allowed, Housing

FILES = (
    "housings/iso5597_rod.csv",
    "housings/iso5597_piston.csv",
    "housings/iso6547_piston.csv",
    "housings/iso7425_1_piston.csv",
    "housings/iso7425_2_rod.csv",
    "housings/iso6195_wiper.csv",
    "housings/iso10766_wear_ring.csv",
)
_COLUMNS: Columns = {
    "standard": text,
    "designation": text,
    "kind": one_of("rod", "piston", "wiper", "wear-ring", "static"),
    "groove_in": one_of("piston", "gland"),
    "radius_mm": maybe(positive),
    "ring_section_mm": maybe(positive),
    "greatest_gap_mm": maybe(positive),
    **WHENCE,
}
_DIMENSIONS = ("sealed", "groove", "width")


def load_housings(reader: Reader, files: tuple[str, ...] = FILES) -> tuple[Housing, ...]:
    """Every housing of the files, in their order; faults are noted on the reader."""
    columns = dict(_COLUMNS)
    for name in _DIMENSIONS:
        columns |= {f"{name}_mm": positive, f"{name}_lower_mm": number, f"{name}_upper_mm": number}
    housings: dict[str, Housing] = {}
    for file in files:
        for row in reader.csv(file, columns):
            housing = _housing(row)
            name = str(housing.designation)
            if name in housings:
                reader.fault(file, name, "stands there twice; keep one.")
            elif sentence := _nonsense(housing):
                reader.fault(file, name, sentence)
            else:
                housings[name] = housing
    return tuple(housings.values())


def _housing(row: Mapping[str, Any]) -> Housing:
    dimensions: dict[str, Any] = {
        name: Allowed(row[f"{name}_mm"], row[f"{name}_lower_mm"], row[f"{name}_upper_mm"])
        for name in _DIMENSIONS
    }
    return Housing(**{name: row[name] for name in _COLUMNS} | dimensions)


def _nonsense(housing: Housing) -> str:
    for name in _DIMENSIONS:
        allowed: Allowed = getattr(housing, name)
        if allowed.lower_mm > allowed.upper_mm:
            return f"{name} has its lower deviation above its upper; change them round."
    outward = housing.groove.nominal_mm > housing.sealed.nominal_mm
    if outward != (housing.groove_in == "gland"):
        return "the groove lies on the wrong side of the sealed surface; correct groove_in or a diameter."
    return ""
