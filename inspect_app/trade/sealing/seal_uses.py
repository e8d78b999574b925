"""Which material each part of a seal is made of: the first in the trade's order that suits; knows no file."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.sealing.seal_materials import MaterialAdvice, SealMaterials, advise

UNDECIDED = {"HFDR": "HFDR-alkyl or HFDR-aryl"}
"""Fluids that hold two kinds no material stands both of: which it is comes first."""


@dataclass(frozen=True, slots=True)
class SealUse:
    """One material a part of a seal may be made of, in the order of choice.

    `hardness_shore_a` is None where the seal's own sheet says it, `greatest_m_s` None where nothing runs on it.
    """

    seal: str
    part: str
    material: str
    hardness_shore_a: float | None
    greatest_m_s: float | None
    status: str
    source: str


@dataclass(frozen=True, slots=True)
class Chosen:
    """A material chosen for a part of a seal, and what the tables say of it in this fluid."""

    use: SealUse
    advice: MaterialAdvice


def fluid_code(*, typed: str, tables: SealMaterials) -> str | None:
    """The code of a fluid as somebody wrote it, None where it is none that the tables know.

    Args:
        typed: as on the nameplate: ``HM 46``, ``hfc``, ``ISO VG 46 HV``.
        tables: the materials and fluids.
    Source: iso-6743-4

    >>> from inspect_app.trade.sealing.seal_materials import Compatibility, SealMaterial
    >>> row = Compatibility("NBR", "HM", "ok", 100, False, "", "read", "seal-fluid-table")
    >>> fluid_code(typed="HM 46", tables=SealMaterials({}, {("NBR", "HM"): row}))
    'HM'
    """
    known = {fluid.upper(): fluid for fluid in tables.fluids}
    found = {known[word] for word in typed.upper().replace(",", " ").split() if word in known}
    return found.pop() if len(found) == 1 else None


def first_suitable(
    *, uses: Sequence[SealUse], fluid: str, coldest_c: float, hottest_c: float, tables: SealMaterials
) -> Chosen | None:
    """The first material of a part that suits a fluid between two temperatures; else the first that may.

    Args:
        uses: the materials the part may be made of, in the order of choice.
        fluid: code of the fluid by ISO 6743-4.
        coldest_c: coldest temperature at which it must work, °C.
        hottest_c: hottest temperature of the fluid at the seal, °C.
        tables: the materials and their compatibilities.
    Returns: None where every one of them is ruled out.
    Raises:
        Refusal: when the fluid is not in the tables or does not say which of two it is.
    Source: seal-fluid-table, seal-material-ranges, seal-choice

    >>> from inspect_app.trade.sealing.seal_materials import Compatibility, SealMaterial
    >>> nbr = SealMaterial("NBR", "", -30, 100, None, "", "", "read", "seal-fluid-table")
    >>> row = Compatibility("NBR", "HM", "ok", 100, False, "the usual rubber", "read", "seal-fluid-table")
    >>> use = SealUse("O-ring", "ring", "NBR", 70, 0.5, "from-memory", "seal-choice")
    >>> tables = SealMaterials({"NBR": nbr}, {("NBR", "HM"): row})
    >>> first_suitable(uses=[use], fluid="HM", coldest_c=-10, hottest_c=80, tables=tables).use.material
    'NBR'
    """
    if fluid in UNDECIDED:
        raise Refusal(f"{fluid} is not enough to choose a seal: find out whether it is {UNDECIDED[fluid]}.")
    found = [
        Chosen(
            use,
            advise(
                material=use.material, fluid=fluid, coldest_c=coldest_c, hottest_c=hottest_c, tables=tables
            ),
        )
        for use in uses
    ]
    for verdict in ("ok", "depends"):
        for chosen in found:
            if chosen.advice.verdict == verdict:
                return chosen
    return None
