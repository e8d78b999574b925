"""Reads seal materials and the fluids they live in from checklists/housings; knows columns, not their use."""

from __future__ import annotations

from inspect_app.tables.faults import Reader
from inspect_app.tables.standards.cells import WHENCE, Columns, maybe, number, one_of, positive, text, yes_no
from inspect_app.trade.sealing.seal_materials import VERDICTS, Compatibility, SealMaterial, SealMaterials

_RANGES = "housings/seal_temperature.csv"
_FLUIDS = "housings/seal_materials.csv"


def load_seal_materials(reader: Reader) -> SealMaterials:
    """The materials and their fluids; every material must meet every fluid exactly once."""
    materials = _materials(reader)
    columns: Columns = {
        "material": text,
        "fluids": str.split,
        "verdict": one_of(*VERDICTS),
        "greatest_c": maybe(number),
        "hard_stop": yes_no,
        "reason": text,
        **WHENCE,
    }
    found: dict[tuple[str, str], Compatibility] = {}
    for row in reader.csv(_FLUIDS, columns):
        if row["material"] not in materials:
            reader.fault(_FLUIDS, row["material"], f"is not in {_RANGES}; add it there.")
        for fluid in row["fluids"]:
            if (row["material"], fluid) in found:
                reader.fault(_FLUIDS, f"{row['material']} in {fluid}", "stands there twice; keep one.")
            found[row["material"], fluid] = Compatibility(
                fluid=fluid, **{name: value for name, value in row.items() if name != "fluids"}
            )
    for fluid in dict.fromkeys(fluid for _, fluid in found):
        for material in materials:
            if (material, fluid) not in found:
                reader.fault(_FLUIDS, f"{material} in {fluid}", "is missing; add a row.")
    return SealMaterials(materials, found)


def _materials(reader: Reader) -> dict[str, SealMaterial]:
    columns: Columns = {
        "material": text,
        "name": text,
        "least_c": number,
        "greatest_c": number,
        "expansion_per_k": maybe(positive),
        "hardness_shore": str,
        "use": text,
        **WHENCE,
    }
    rows = reader.csv(_RANGES, columns)
    return {row["material"]: SealMaterial(*(row[name] for name in columns)) for row in rows}
