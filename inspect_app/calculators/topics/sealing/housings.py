"""Calculators of the seal's surroundings: gap, back-up rings, standard housing, seal material by fluid."""

from __future__ import annotations

from inspect_app.calculators.shape import Calculator, Given, Key, Result
from inspect_app.tables.standards.handbook import Handbook
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.sizes import Size
from inspect_app.trade.sealing import extrusion, extrusion_limits, housings, seal_materials
from inspect_app.trade.sealing.extrusion import Gap
from inspect_app.trade.sealing.housings import MeasuredGroove, Part, Reading
from inspect_app.trade.sealing.seal_materials import MaterialAdvice

TOPIC = "Gaps, housings and seal materials"


def _part(given: Given) -> Part:
    return "gland" if given.text("groove-in") == "gland" else "piston"


def _size(given: Given, name: str) -> Size:
    return Size.plus_minus(given.number(name), given.number("tolerance"))


def _gap_results(gap: Gap) -> tuple[Result, ...]:
    return (
        Result("one_sided", "Maximum gap, resting on the other side", gap.one_sided_mm, "length"),
        Result("concentric", "Gap each side, lying in the middle", gap.concentric_mm, "length"),
        Result("diametral", "Whole clearance, on diameter", gap.diametral_mm, "length"),
    )


def _gap(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    return _gap_results(_plain_gap(given))


def _plain_gap(given: Given) -> Gap:
    return extrusion.plain_gap(
        inner=_size(given, "inner"), outer=_size(given, "outer"), swell_mm=given.number("swell")
    )


def _guided_gap(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    groove, ring = _size(given, "ring-groove"), _size(given, "ring")
    land, sealed = _size(given, "land"), _size(given, "sealed")
    worn = {"ring_wear_mm": given.number("wear"), "swell_mm": given.number("swell")}
    if _part(given) == "piston":
        gap = extrusion.piston_gap(bore=sealed, land=land, ring_groove=groove, ring_thickness=ring, **worn)
    else:
        gap = extrusion.gland_gap(rod=sealed, land=land, ring_groove=groove, ring_thickness=ring, **worn)
    touches = "Metal touches metal: the wear ring carries no more." if gap.metal_touches else ""
    return (
        *_gap_results(gap),
        Result("metal_gap", "Keeps metal off metal by", gap.metal_gap_mm, "deviation"),
        *((Result("touches", "", touches),) if touches else ()),
    )


def _backup(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    gap = _plain_gap(given)
    advice = extrusion_limits.backup_rings(
        gap=gap,
        pressure_mpa=given.number("pressure"),
        section_mm=given.number("section"),
        hardness_shore_a=given.number("hardness"),
        from_both_sides=given.yes("both-sides"),
        consider_above_mpa=handbook.allowances["backup-pressure"],
        limits=handbook.gaps,
    )
    return (
        Result("count", "Back-up rings", advice.count, "count"),
        Result("where", "Where", advice.where),
        *(Result(f"reason_{n}", "", reason) for n, reason in enumerate(advice.reasons, 1)),
        *_gap_results(gap),
    )


def _seal_gap(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    finding = extrusion_limits.judge_gap(
        gap=_plain_gap(given),
        pressure_mpa=given.number("pressure"),
        section_mm=given.number("section"),
        hardness_shore_a=given.maybe("hardness"),
        seal=given.text("seal"),
        limits=handbook.gaps,
    )
    return (
        Result("allowed", "Gap allowed", finding.limit.greatest_mm, "length", finding.limit.source),
        Result("gap", "Gap there is", finding.gap_mm, "length"),
        Result("measured", "Both gaps measured as", finding.limit.measure),
        Result("finding", "", finding.sentence),
    )


def _housing(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    u_mm, allowances = given.number("uncertainty") / 2, handbook.allowances
    width_wear_mm, depth_wear_mm = allowances["groove-wear-width"], 2 * allowances["groove-wear-depth"]
    sealed = Reading(given.number("sealed"), u_mm) if given.has("sealed") else None
    matched = housings.match(
        measured=MeasuredGroove(
            _part(given),
            Reading(given.number("groove"), u_mm, depth_wear_mm),
            Reading(given.number("width"), u_mm, width_wear_mm),
            sealed,
            given.text("kind") if given.has("kind") else None,
        ),
        housings=handbook.housings,
        k=allowances["match-uncertainties"],
    )
    candidates = [
        Result(f"candidate_{n}", "", found.sentence, source=found.housing.source)
        for n, found in enumerate(matched.candidates, 1)
    ]
    return tuple(candidates) or (Result("made_to_measure", "", matched.sentence),)


def _seal_material(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    tables = handbook.seal_materials
    within = {"coldest_c": given.number("coldest"), "hottest_c": given.number("hottest")}
    if given.has("material"):
        fluid = given.text("fluid") if given.has("fluid") else None
        advices: tuple[MaterialAdvice, ...] = (
            seal_materials.advise(material=given.text("material"), fluid=fluid, tables=tables, **within),
        )
    elif given.has("fluid"):
        advices = seal_materials.suitable(fluid=given.text("fluid"), tables=tables, **within)
    else:
        raise Refusal("Give the fluid, or the material, or both; nobody chooses a seal without either.")
    return tuple(Result(advice.material, "", advice.sentence, source=advice.source) for advice in advices)


def _fluids(handbook: Handbook) -> tuple[str, ...]:
    return handbook.seal_materials.fluids


def _seal_materials(handbook: Handbook) -> tuple[str, ...]:
    return tuple(handbook.seal_materials.materials)


def _seals(handbook: Handbook) -> tuple[str, ...]:
    return tuple(dict.fromkeys(row.seal for row in handbook.gaps))


def _kinds(handbook: Handbook) -> tuple[str, ...]:
    return tuple(dict.fromkeys(housing.kind for housing in handbook.housings))


_INNER = Key("inner", "length", "Rod, piston or spigot, minimum diameter")
_OUTER = Key("outer", "length", "Bore around it, maximum diameter")
_TOLERANCE = Key("tolerance", "length", "Tolerance of each of these, either way", "0 mm")
_SWELL = Key(
    "swell",
    "length",
    "Growth of the bore under pressure, on diameter",
    "0 mm",
    note="see calculator swelling",
)
_PRESSURE = Key("pressure", "pressure", "Maximum working pressure")
_SECTION = Key("section", "length", "Section of the O-ring")
_GROOVE_IN = Key("groove-in", "choice", "The groove is in", options=("piston", "gland"))

CALCULATORS = (
    Calculator(
        "gap",
        TOPIC,
        "Gap a seal may be pressed into, between two parts without wear rings",
        (_INNER, _OUTER, _TOLERANCE, _SWELL),
        _gap,
        (extrusion.plain_gap,),
        "resting on one side: maximum outer + growth − minimum inner; in the middle: half of it",
        {"inner": "49.936mm", "outer": "50.239mm"},
    ),
    Calculator(
        "guided-gap",
        TOPIC,
        "Gap beside a seal where wear rings carry the piston or the rod",
        (
            Key("sealed", "length", "Bore of the barrel, or the rod"),
            Key("land", "length", "Piston land, or bore of the gland, beside the seal"),
            Key("ring-groove", "length", "Bottom of the wear ring's groove, diameter"),
            Key("ring", "length", "Thickness of the new wear ring"),
            _GROOVE_IN,
            Key("wear", "length", "Thickness the ring has lost", "0 mm"),
            _TOLERANCE,
            _SWELL,
        ),
        _guided_gap,
        (extrusion.piston_gap, extrusion.gland_gap),
        "piston: maximum bore − minimum ring − (minimum land + minimum groove) / 2 + growth; gland the same turned out",
        {
            "groove-in": "piston",
            "sealed": "100mm",
            "land": "99.5mm",
            "ring-groove": "95mm",
            "ring": "2.475mm",
            "tolerance": "0.025mm",
        },
    ),
    Calculator(
        "back-up-rings",
        TOPIC,
        "Whether an O-ring needs back-up rings, how many and where",
        (
            _INNER,
            _OUTER,
            _PRESSURE,
            _SECTION,
            Key("hardness", "number", "Hardness of the O-ring, Shore A"),
            Key("both-sides", "choice", "Pressure comes from both sides in turn", options=("yes", "no")),
            _TOLERANCE,
            _SWELL,
        ),
        _backup,
        (extrusion_limits.backup_rings,),
        "needed where the gap is wider than the tables allow, or the pressure is high and there is any gap",
        {
            "inner": "99.8mm",
            "outer": "100.1mm",
            "pressure": "160bar",
            "section": "5.33mm",
            "hardness": "90",
            "both-sides": "yes",
        },
    ),
    Calculator(
        "seal-gap",
        TOPIC,
        "Gap a seal withstands without back-up rings, against the gap there is",
        (
            _INNER,
            _OUTER,
            _PRESSURE,
            Key("section", "length", "Section of the O-ring, or of the one behind a plastic face"),
            Key("seal", "choice", "Seal", options=_seals),
            Key("hardness", "number", "Hardness of an O-ring, Shore A", optional=True),
            _TOLERANCE,
            _SWELL,
        ),
        _seal_gap,
        (extrusion_limits.judge_gap, extrusion_limits.limits_at),
        "read from the tables at the pressure; of several the one that leaves the least room",
        {
            "inner": "99.6mm",
            "outer": "100.0064mm",
            "pressure": "1000psi",
            "section": "3.53mm",
            "seal": "o-ring",
            "hardness": "70",
        },
    ),
    Calculator(
        "housing",
        TOPIC,
        "Which standard seal housing a measured groove is",
        (
            _GROOVE_IN,
            Key("groove", "length", "Groove diameter"),
            Key("width", "length", "Groove width"),
            Key("sealed", "length", "Rod or bore it works on", optional=True),
            Key("kind", "choice", "Kind of seal, if known", optional=True, options=_kinds),
            Key("uncertainty", "length", "Uncertainty of these readings, k = 2", "0.02 mm"),
        ),
        _housing,
        (housings.match,),
        "every dimension within its limits, by standard uncertainties, allowing for wear; otherwise made to measure",
        {"groove-in": "gland", "groove": "60.04mm", "width": "6.42mm", "sealed": "49.96mm"},
    ),
    Calculator(
        "seal-material",
        TOPIC,
        "Seal materials for a fluid and its temperatures",
        (
            Key("fluid", "choice", "Fluid by ISO 6743-4", optional=True, options=_fluids,
                note="mineral oil HM or HV, water-glycol HFC, phosphate ester HFDR"),
            Key("coldest", "temperature", "Coldest at which it must work"),
            Key("hottest", "temperature", "Hottest at the seal"),
            Key("material", "choice", "One material only", optional=True, options=_seal_materials),
        ),
        _seal_material,
        (seal_materials.advise, seal_materials.suitable),
        "the fluid first, then the temperatures; a hard stop is never overruled",
        {"fluid": "HM", "coldest": "-10°C", "hottest": "80°C"},
    ),
)  # fmt: skip
