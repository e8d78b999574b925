"""Reads what seals are made of, how long they lie, and what is mistaken for what, from checklists/housings."""

from __future__ import annotations

from inspect_app.tables.faults import Reader
from inspect_app.tables.standards.cells import WHENCE, Columns, maybe, number, one_of, positive, text
from inspect_app.trade.sealing.mistaken import Twins
from inspect_app.trade.sealing.seal_materials import SealMaterials
from inspect_app.trade.sealing.seal_uses import SealUse
from inspect_app.trade.sealing.shelf_life import ShelfGroup
from inspect_app.trade.sealing.strips import StripGap

_USES = "housings/seal_uses.csv"
_SHELF = "housings/shelf_life.csv"
_TWINS = "housings/twins.csv"
_STRIPS = "housings/strip_end_gap.csv"


def load_seal_uses(reader: Reader, materials: SealMaterials) -> tuple[SealUse, ...]:
    """What each part of a seal may be made of, in the order of choice; every material must be a listed one."""
    columns: Columns = {
        "seal": text,
        "part": text,
        "material": text,
        "hardness_shore_a": maybe(positive),
        "greatest_m_s": maybe(positive),
        **WHENCE,
    }
    uses = tuple(SealUse(*(row[name] for name in columns)) for row in reader.csv(_USES, columns))
    _listed(reader, _USES, [use.material for use in uses], materials)
    return uses


def load_shelf_groups(reader: Reader, materials: SealMaterials) -> tuple[ShelfGroup, ...]:
    """The shelf life of each rubber."""
    whole = {"years": lambda cell: int(positive(cell)), "extension_years": lambda cell: int(number(cell))}
    columns: Columns = {"material": text, "group": text, **whole, **WHENCE}
    groups = tuple(ShelfGroup(*(row[name] for name in columns)) for row in reader.csv(_SHELF, columns))
    names = [group.material for group in groups]
    _listed(reader, _SHELF, names, materials)
    for twice in sorted({name for name in names if names.count(name) > 1}):
        reader.fault(_SHELF, twice, "stands there twice; keep one.")
    return groups


def load_twins(reader: Reader) -> tuple[Twins, ...]:
    """Metric and inch sizes that are taken for each other."""
    columns: Columns = {
        "of": one_of("section", "diameter"),
        "metric_mm": positive,
        "inch_mm": positive,
        **WHENCE,
    }
    return tuple(Twins(*(row[name] for name in columns)) for row in reader.csv(_TWINS, columns))


def load_strip_gaps(reader: Reader) -> tuple[StripGap, ...]:
    """The gap between the ends of a cut wear ring, by thickness and width."""
    names = ("thickness_mm", "width_mm", "least_mm", "greatest_mm")
    columns: Columns = {**dict.fromkeys(names, positive), **WHENCE}
    gaps = tuple(StripGap(*(row[name] for name in columns)) for row in reader.csv(_STRIPS, columns))
    for gap in gaps:
        if gap.least_mm > gap.greatest_mm:
            reader.fault(
                _STRIPS,
                f"{gap.thickness_mm:g} x {gap.width_mm:g}",
                "has its least gap above its greatest; change them round.",
            )
    return gaps


def _listed(reader: Reader, file: str, names: list[str], materials: SealMaterials) -> None:
    for name in dict.fromkeys(names):
        if name not in materials.materials:
            reader.fault(file, name, "is not in housings/seal_temperature.csv; add it there.")
