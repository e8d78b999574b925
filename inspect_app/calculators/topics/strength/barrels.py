"""Calculators of barrels and pins: stress at rated and proof pressure, wall needed, honing left, swelling."""

from __future__ import annotations

from dataclasses import replace

from inspect_app.calculators.shape import Calculator, Given, Key, Result
from inspect_app.calculators.topics.strength.hydraulics import BORE, EITHER_WALL, WALL, outside_mm
from inspect_app.tables.standards.handbook import Handbook
from inspect_app.trade.measuring.amounts import Amount
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.strength import barrel, hone_out, pins
from inspect_app.trade.strength.barrel import Ends
from inspect_app.trade.strength.hone_out import PressureCase

TOPIC = "Strength of barrel and pin"


def _ends(given: Given) -> Ends:
    return "closed" if given.text("ends") == "closed" else "open"


def _barrel(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    tube = {"bore_mm": given.number("bore"), "outside_mm": outside_mm(given)}
    yield_mpa, ends = given.maybe("yield"), _ends(given)
    results: list[Result] = []
    for case in ("pressure", "proof"):
        if given.has(case):
            stress = barrel.wall_stress(**tube, pressure_mpa=given.number(case), ends=ends)
            at = "at the pressure" if case == "pressure" else "at proof pressure"
            reached_mpa = stress.von_mises_mpa
            results.append(
                Result(f"{case}_von_mises", f"Equivalent stress at the bore, {at}", reached_mpa, "stress")
            )
            if yield_mpa is not None:
                safety = yield_mpa / reached_mpa
                results.append(Result(f"{case}_safety", f"Yield strength over it, {at}", safety, "number"))
            results.append(
                Result(f"{case}_hoop", f"Hoop stress at the bore, {at}", stress.hoop_mpa, "stress")
            )
    if yield_mpa is not None:
        results += _yielding(tube, yield_mpa, ends)
    thin = barrel.thin_wall_comparison(**tube, pressure_mpa=given.number("pressure"))
    return (
        *results,
        Result("thin_wall", "Thin-wall formula with the bore would say, too low", thin.by_bore_mpa, "stress"),
        Result("barlow", "Barlow's with the outside diameter, too high", thin.by_outside_mpa, "stress"),
    )


def _yielding(tube: dict[str, float], yield_mpa: float, ends: Ends) -> list[Result]:
    first_mpa = barrel.first_yield_pressure_mpa(**tube, yield_mpa=yield_mpa, ends=ends)
    tresca_mpa = barrel.tresca_yield_pressure_mpa(**tube, yield_mpa=yield_mpa)
    collapse_mpa = barrel.collapse_pressure_mpa(**tube, yield_mpa=yield_mpa)
    return [
        Result("first_yield", "Bore begins to yield at", first_mpa, "pressure"),
        Result("tresca", "By maximum shear, lowest estimate", tresca_mpa, "pressure"),
        Result("collapse", "Whole wall yields at; never a working pressure", collapse_mpa, "pressure"),
    ]


def _least_wall(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    case = PressureCase(given.number("pressure"), given.share("share"))
    wall_mm = hone_out.least_wall_mm(
        case, bore_mm=given.number("bore"), yield_mpa=given.number("yield"), ends=_ends(given)
    )
    return (Result("wall", "Minimum wall", wall_mm, "length"),)


def _cases(given: Given) -> list[PressureCase]:
    if given.has("proof") != given.has("proof-share"):
        raise Refusal("proof and proof-share go together; give both or neither.")
    cases = [PressureCase(given.number("pressure"), given.share("share"))]
    if given.has("proof"):
        cases.append(PressureCase(given.number("proof"), given.share("proof-share")))
    return cases


def _hone_out(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    cases, ends = _cases(given), _ends(given)
    yield_mpa, ovality_mm = given.number("yield"), given.number("ovality")
    found = {
        "bore_mm": given.number("bore"),
        "outside_mm": outside_mm(given),
        "ovality_mm": ovality_mm,
        "least_wall_mm": given.maybe("least-wall"),
    }
    left = hone_out.hone_out(cases, **found, yield_mpa=yield_mpa, ends=ends)  # type: ignore[arg-type]
    results = [
        Result("greatest_bore", "Maximum bore the wall withstands", left.greatest_bore_mm, "length"),
        Result("left", "Left for honing, on diameter", left.left_mm, "deviation"),
        Result("governed_by", "Governed by", left.governed_by.pressure_mpa, "pressure"),
    ]
    if given.has("honed"):
        section = hone_out.worst_section(**found, honed_mm=given.number("honed"))  # type: ignore[arg-type]
        results.append(Result("wall", "Minimum wall after honing", section.wall_mm, "length"))
        for n, case in enumerate(cases):
            use = hone_out.wall_use(section, case, yield_mpa=yield_mpa, ends=ends)
            at = "proof pressure" if n else "the pressure"
            results.append(
                Result(f"use_{n + 1}", f"Used of what is allowed at {at}", 100 * use.utilisation, "percent")
            )
    return tuple(results)


def _swelling(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    swelling_mm = barrel.bore_swelling_mm(
        bore_mm=given.number("bore"),
        outside_mm=outside_mm(given),
        pressure_mpa=given.number("pressure"),
        ends=_ends(given),
        elastic_mpa=given.number("modulus"),
        poisson=given.number("poisson"),
    )
    return (Result("swelling", "Bore grows on diameter by", swelling_mm, "deviation"),)


def _steel(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    wanted, size_mm = given.text("steel").casefold(), given.number("size")
    rows = [s for s in handbook.steels if wanted in s.steel.casefold() and s.covers(size_mm)]
    if not rows:
        known = ", ".join(dict.fromkeys(s.steel for s in handbook.steels))
        raise Refusal(
            "No row for {steel} at {size}; there are {known}.",
            steel=repr(given.text("steel")),
            size=Amount(size_mm, "length"),
            known=known,
        )
    return tuple(
        Result(
            f"{what}_{n}", f"{s.steel} {s.form}, {s.condition} ({s.basis}): {what}", value, "stress", s.source
        )
        for n, s in enumerate(rows, 1)
        for what, value in (("yield", s.yield_mpa), ("tensile", s.tensile_mpa))
    )


def _pin(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    stress = pins.pin_stress(
        force_n=given.number("force"),
        pin_mm=given.number("pin"),
        eye_mm=given.number("eye"),
        fork_mm=given.number("fork"),
        gap_mm=given.number("gap"),
    )
    return (
        Result("shear", "Shear in the pin", stress.shear_mpa, "stress"),
        Result("bending", "Bending in the pin", stress.bending_mpa, "stress"),
        Result("eye", "Bearing pressure in the eye", stress.eye_bearing_mpa, "stress"),
        Result("fork", "Bearing pressure in the fork", stress.fork_bearing_mpa, "stress"),
    )


YIELD = Key(
    "yield", "stress", "Yield strength", note="off the certificate or drawing; else see calculator steel"
)
MODULUS = Key("modulus", "modulus", "Modulus of elasticity", "206 GPa")
_PRESSURE = Key("pressure", "pressure", "Rated pressure")
_PROOF = Key("proof", "pressure", "Proof pressure", optional=True)
_ENDS = Key(
    "ends", "choice", "Does the tube carry the end load", "open", options=("open", "closed"),
    note="open: it does not, the worse case",
)  # fmt: skip
_SHARE = Key("share", "percent", "Percent of yield the shop allows at that pressure")

CALCULATORS = (
    Calculator(
        "barrel",
        TOPIC,
        "Stress in a barrel at rated and proof pressure, and where it yields",
        (BORE, *WALL, _PRESSURE, replace(YIELD, optional=True), _PROOF, _ENDS),
        _barrel,
        (
            barrel.wall_stress,
            barrel.first_yield_pressure_mpa,
            barrel.tresca_yield_pressure_mpa,
            barrel.collapse_pressure_mpa,
            barrel.thin_wall_comparison,
        ),
        "hoop at the bore = p (D² + d²) / (D² − d²), radial = −p, by Lamé; equivalent stress by von Mises",
        {"bore": "100mm", "wall": "10mm", "pressure": "250bar", "proof": "375bar", "yield": "450MPa"},
        either=EITHER_WALL,
        cautions=("test-stand-clear",),
    ),
    Calculator(
        "least-wall",
        TOPIC,
        "Thinnest wall that withstands a pressure",
        (BORE, _PRESSURE, YIELD, _SHARE, _ENDS),
        _least_wall,
        (hone_out.least_wall_mm,),
        "the wall at which the equivalent stress at the bore reaches share × yield strength",
        {"bore": "100.4mm", "pressure": "375bar", "yield": "450MPa", "share": "66.67%", "ends": "closed"},
    ),
    Calculator(
        "hone-out",
        TOPIC,
        "How far a barrel may be honed, and what of the wall is used then",
        (
            Key("bore", "length", "Bore as found, mean of largest and smallest diameter"),
            *WALL,
            YIELD,
            _PRESSURE,
            _SHARE,
            _PROOF,
            Key("proof-share", "percent", "Percent of yield allowed at proof pressure", optional=True),
            Key("ovality", "length", "Ovality as found", "0 mm"),
            Key("least-wall", "length", "Thinnest wall measured", optional=True),
            Key("honed", "length", "Bore after honing", optional=True),
            _ENDS,
        ),
        _hone_out,
        (hone_out.hone_out, hone_out.worst_section, hone_out.wall_use),
        "maximum bore at which the equivalent stress reaches share × yield, over all pressures given",
        {
            "bore": "99mm",
            "outside": "120mm",
            "yield": "305.358MPa",
            "pressure": "250bar",
            "share": "50%",
            "honed": "100mm",
        },
        either=EITHER_WALL,
        cautions=("test-stand-clear",),
    ),
    Calculator(
        "swelling",
        TOPIC,
        "How much a bore grows under pressure",
        (BORE, *WALL, _PRESSURE, _ENDS, MODULUS, Key("poisson", "number", "Poisson's ratio", "0.3")),
        _swelling,
        (barrel.bore_swelling_mm,),
        "growth = bore × (hoop − Poisson's ratio × (radial + axial)) / modulus, stresses at the bore",
        {"bore": "100mm", "outside": "120mm", "pressure": "250bar"},
        either=EITHER_WALL,
    ),
    Calculator(
        "steel",
        TOPIC,
        "Yield and tensile strength of a tube or rod steel, where no certificate is at hand",
        (
            Key("steel", "text", "Steel, or a part of its name", note="St 52, 1045, 4140, 20MnV6"),
            Key("size", "length", "Bar diameter or tube wall"),
        ),
        _steel,
        (),
        "read from the table; a certificate, a drawing or a hardness test comes before it",
        {"steel": "St 52", "size": "10mm"},
    ),
    Calculator(
        "pin",
        TOPIC,
        "Shear, bending and bearing pressure of a pin in eye and fork",
        (
            Key("force", "force", "Force through the joint"),
            Key("pin", "length", "Minimum pin diameter measured"),
            Key("eye", "length", "Width of the eye that bears"),
            Key("fork", "length", "Width of one cheek that bears"),
            Key("gap", "length", "Free space at each side", "0 mm"),
        ),
        _pin,
        (pins.pin_stress,),
        "shear = 2 F / (π d²); bearing = F / (d × width); bending = 32 M / (π d³), M = F × span / 4",
        {"force": "10kN", "pin": "35mm", "eye": "40mm", "fork": "20mm"},
    ),
)
