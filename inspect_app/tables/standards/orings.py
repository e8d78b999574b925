"""Reads O-ring sizes, glands, bands and extrusion gaps from checklists/housings; knows columns, not use."""

from __future__ import annotations

from inspect_app.tables.faults import Reader
from inspect_app.tables.standards.cells import WHENCE, Columns, maybe, number, one_of, positive, text, yes_no
from inspect_app.trade.sealing.extrusion_limits import ExtrusionLimit
from inspect_app.trade.sealing.orings import Gland, ORing
from inspect_app.trade.sealing.ring_fit import Band

_MM_PER_INCH = 25.4
_SIZES = "housings/as568.csv"
_GLANDS = "housings/iso3601_2_gland.csv"
_BANDS = "housings/oring_bands.csv"
_GAPS = "housings/extrusion_gap.csv"
_ALLOWANCES = "housings/allowances.csv"
_DIMENSIONS = ("inside", "inside_tolerance", "section", "section_tolerance")


def load_orings(reader: Reader) -> tuple[ORing, ...]:
    """Every O-ring size, mm exact from inch; a row whose mm column disagrees is a fault."""
    columns: Columns = {"dash": text, **WHENCE}
    columns |= {f"{name}_{unit}": positive for name in _DIMENSIONS for unit in ("in", "mm")}
    rings: dict[str, ORing] = {}
    for row in reader.csv(_SIZES, columns):
        exact = {f"{name}_mm": row[f"{name}_in"] * _MM_PER_INCH for name in _DIMENSIONS}
        for name, mm in exact.items():
            if abs(mm - row[name]) > 0.0051:
                reader.fault(
                    _SIZES, row["dash"], f"{name} is {mm:.3f} mm from inch; correct one of the columns."
                )
        if row["dash"] in rings:
            reader.fault(_SIZES, row["dash"], "stands there twice; keep one.")
        rings[row["dash"]] = ORing(dash=row["dash"], status=row["status"], source=row["source"], **exact)
    return tuple(rings.values())


def load_glands(reader: Reader) -> tuple[Gland, ...]:
    """Every published O-ring gland; several tables stand side by side."""
    columns: Columns = {
        "application": one_of("static", "reciprocating"),
        "section_mm": positive,
        "depth_least_mm": positive,
        "depth_greatest_mm": positive,
        "backups": lambda cell: int(one_of("0", "1", "2")(cell)),
        "width_least_mm": positive,
        "width_greatest_mm": positive,
        "clearance_greatest_mm": maybe(positive),
        **WHENCE,
        "printed_in": one_of("inch", "metric"),
    }
    return tuple(Gland(*(row[name] for name in columns)) for row in reader.csv(_GLANDS, columns))


def load_bands(reader: Reader) -> tuple[Band, ...]:
    """The bands that judge; the others stand in the file for the reader to compare."""
    columns: Columns = {
        "application": text,
        "quantity": one_of("squeeze", "fill", "stretch", "outside"),
        "section_from_mm": maybe(positive),
        "section_to_mm": maybe(positive),
        "least_percent": number,
        "greatest_percent": number,
        **WHENCE,
    }
    rows = reader.csv(_BANDS, columns | {"judges": yes_no})
    return tuple(Band(*(row[name] for name in columns)) for row in rows if row["judges"])


def load_extrusion_limits(reader: Reader) -> tuple[ExtrusionLimit, ...]:
    """Every cell of the tables of extrusion gaps."""
    columns: Columns = {
        "seal": one_of("o-ring", "plastic-faced"),
        "hardness_shore_a": maybe(positive),
        "pressure_from_mpa": number,
        "pressure_to_mpa": positive,
        "section_from_mm": maybe(positive),
        "section_to_mm": maybe(positive),
        "measure": one_of("diametral", "radial"),
        "greatest_mm": positive,
        "tightens_only": yes_no,
        **WHENCE,
    }
    return tuple(ExtrusionLimit(*(row[name] for name in columns)) for row in reader.csv(_GAPS, columns))


def load_allowances(reader: Reader) -> dict[str, float]:
    """The figures for matching grooves and advising back-up rings, by name, each in the unit beside it."""
    columns: Columns = {"allowance": text, "value": positive, "unit": text, **WHENCE}
    return {row["allowance"]: row["value"] for row in reader.csv(_ALLOWANCES, columns)}
