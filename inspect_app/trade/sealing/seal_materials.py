"""Which seal material may go into which fluid and how hot; knows no file and no part number."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from inspect_app.trade.measuring.amounts import Amount, argument
from inspect_app.trade.measuring.refusal import Refusal, Sentence
from inspect_app.trade.measuring.required import require_finite

VERDICTS = ("ok", "depends", "not")


@dataclass(frozen=True, slots=True)
class SealMaterial:
    """A seal or guide material: working range and, for rubbers, linear expansion."""

    code: str
    name: str
    least_c: float
    greatest_c: float
    expansion_per_k: float | None
    hardness: str
    use: str
    status: str
    source: str


@dataclass(frozen=True, slots=True)
class Compatibility:
    """A material in a fluid: the verdict, to which temperature, why; a hard stop is never overruled."""

    material: str
    fluid: str
    verdict: str
    greatest_c: float | None
    hard_stop: bool
    reason: str
    status: str
    source: str


@dataclass(frozen=True, slots=True)
class MaterialAdvice:
    """Whether a material may be used: ok, depends or not; `sentence` is to be shown."""

    material: str
    verdict: str
    hard_stop: bool
    sentence: Sentence
    status: str
    source: str


@dataclass(frozen=True, slots=True)
class SealMaterials:
    """The materials by code, and how each lives in each fluid, by (material, fluid)."""

    materials: Mapping[str, SealMaterial]
    compatibilities: Mapping[tuple[str, str], Compatibility]

    @property
    def fluids(self) -> tuple[str, ...]:
        """The fluids known, in order."""
        return tuple(dict.fromkeys(fluid for _, fluid in self.compatibilities))


def advise(
    *, material: str, fluid: str | None, coldest_c: float, hottest_c: float, tables: SealMaterials
) -> MaterialAdvice:
    """Whether a seal material may be used in a fluid between two temperatures, with the reason.

    The fluid is asked first, so that a hard stop is never hidden by a temperature.

    Args:
        material: code of the material: NBR, FKM, AU ...
        fluid: code of the fluid by ISO 6743-4: HM, HFC, HFDR ...; None when nobody knows it.
        coldest_c: coldest temperature at which the seal must work, °C.
        hottest_c: hottest temperature of the fluid at the seal, °C.
        tables: the materials and their compatibilities.
    Raises:
        Refusal: when the material or the fluid is not in the tables, or coldest is above hottest.
    Valid: a first choice; the seal maker's sheet for the compound prevails.
    Source: seal-fluid-table, seal-material-ranges, iso-6743-4, iso-1629

    >>> rubber = SealMaterial("EPDM", "", -45, 150, None, "", "", "read", "seal-fluid-table")
    >>> row = Compatibility("EPDM", "HM", "not", None, True, "oil swells it", "read", "seal-fluid-table")
    >>> tables = SealMaterials({"EPDM": rubber}, {("EPDM", "HM"): row})
    >>> advise(material="EPDM", fluid="HM", coldest_c=0, hottest_c=60, tables=tables).hard_stop
    True
    """
    require_finite(coldest_c=coldest_c, hottest_c=hottest_c)
    if coldest_c > hottest_c:
        raise Refusal(
            "{coldest}, above the hottest, {hottest}; swap them.",
            coldest=argument("coldest_c", coldest_c),
            hottest=Amount(hottest_c, "temperature"),
        )
    if material not in tables.materials:
        raise Refusal(f"{material!r} is not a listed material; there are {', '.join(tables.materials)}.")
    if fluid is not None and fluid not in tables.fluids:
        raise Refusal(f"{fluid!r} is not a listed fluid; there are {', '.join(tables.fluids)}.")
    rubber = tables.materials[material]
    if fluid is None:
        sentence = Sentence(f"{material}: nobody knows the fluid; find it out before ordering seals.")
        return MaterialAdvice(material, "depends", False, sentence, rubber.status, rubber.source)
    return _in_fluid(rubber, tables.compatibilities[material, fluid], coldest_c, hottest_c)


def suitable(
    *, fluid: str, coldest_c: float, hottest_c: float, tables: SealMaterials
) -> tuple[MaterialAdvice, ...]:
    """Every material's advice for a fluid between two temperatures, the suitable first.

    Args:
        fluid: code of the fluid by ISO 6743-4.
        coldest_c: coldest temperature at which the seal must work, °C.
        hottest_c: hottest temperature of the fluid at the seal, °C.
        tables: the materials and their compatibilities.
    Raises:
        Refusal: when the fluid is not in the tables, or coldest is above hottest.
    Source: seal-fluid-table, seal-material-ranges

    >>> rubber = SealMaterial("NBR", "", -30, 100, None, "", "", "read", "seal-fluid-table")
    >>> row = Compatibility("NBR", "HM", "ok", 100, False, "the usual rubber", "read", "seal-fluid-table")
    >>> tables = SealMaterials({"NBR": rubber}, {("NBR", "HM"): row})
    >>> [advice.verdict for advice in suitable(fluid="HM", coldest_c=0, hottest_c=110, tables=tables)]
    ['not']
    """
    advices: Sequence[MaterialAdvice] = [
        advise(material=code, fluid=fluid, coldest_c=coldest_c, hottest_c=hottest_c, tables=tables)
        for code in tables.materials
    ]
    return tuple(sorted(advices, key=lambda advice: (VERDICTS.index(advice.verdict), advice.hard_stop)))


def _in_fluid(
    material: SealMaterial, in_fluid: Compatibility, coldest_c: float, hottest_c: float
) -> MaterialAdvice:
    verdict, reason = in_fluid.verdict, Sentence(in_fluid.reason)
    hottest, coldest = Amount(hottest_c, "temperature"), Amount(coldest_c, "temperature")
    row: SealMaterial | Compatibility = in_fluid
    if verdict != "not" and hottest_c > material.greatest_c:
        verdict, row = "not", material
        most = Amount(material.greatest_c, "temperature")
        reason = Sentence("{hottest} is above the {most} it withstands", {"hottest": hottest, "most": most})
    elif verdict != "not" and in_fluid.greatest_c is not None and hottest_c > in_fluid.greatest_c:
        most = Amount(in_fluid.greatest_c, "temperature")
        reason = Sentence(
            "{hottest} is above the {most} it withstands there", {"hottest": hottest, "most": most}
        )
        verdict = "not"
    elif verdict != "not" and coldest_c < material.least_c:
        verdict, row = "not", material
        reason = Sentence(
            "{coldest} is below its {least}, where it turns stiff and leaks",
            {"coldest": coldest, "least": Amount(material.least_c, "temperature")},
        )
    says = {"ok": "suits", "depends": "is doubtful in", "not": "is not for"}[verdict]
    stop = " Never fit it." if in_fluid.hard_stop else ""
    sentence = Sentence(f"{material.code} {says} {in_fluid.fluid}: {{reason}}.{stop}", {"reason": reason})
    return MaterialAdvice(material.code, verdict, in_fluid.hard_stop, sentence, row.status, row.source)
