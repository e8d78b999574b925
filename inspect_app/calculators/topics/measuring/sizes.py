"""Calculators of sizes: fits by ISO 286, clearance, and a size brought to 20 °C."""

from __future__ import annotations

from inspect_app.calculators.shape import Calculator, Given, Key, Result
from inspect_app.tables.standards.handbook import Handbook
from inspect_app.trade.form import fits
from inspect_app.trade.measuring import temperature
from inspect_app.trade.measuring.temperature import Expansion
from inspect_app.trade.measuring.uncertainty import expanded, u_of

TOPIC = "Sizes and fits"


def _fit(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    limits = fits.limits_of_size(
        nominal_mm=given.exact("size"), fit_class=given.text("class"), tables=handbook.iso286
    )
    return (
        Result("least", "Minimum size", limits.lower_mm, "length"),
        Result("greatest", "Maximum size", limits.upper_mm, "length"),
        Result("lower_deviation", "Lower deviation", limits.lower_deviation_um / 1000, "fine length"),
        Result("upper_deviation", "Upper deviation", limits.upper_deviation_um / 1000, "fine length"),
    )


def _clearance(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    hole, shaft = (
        fits.limits_of_size(
            nominal_mm=given.exact("size"), fit_class=given.text(part), tables=handbook.iso286
        )
        for part in ("hole", "shaft")
    )
    clearance = fits.clearance_um(hole=hole, shaft=shaft)
    return (
        Result("least", "Minimum clearance", clearance.least_um / 1000, "fine length"),
        Result("greatest", "Maximum clearance", clearance.greatest_um / 1000, "fine length"),
        Result("hole_least", "Minimum hole", hole.lower_mm, "length"),
        Result("hole_greatest", "Maximum hole", hole.upper_mm, "length"),
        Result("shaft_least", "Minimum shaft", shaft.lower_mm, "length"),
        Result("shaft_greatest", "Maximum shaft", shaft.upper_mm, "length"),
    )


def _grade(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    width_um = fits.tolerance_grade_um(
        nominal_mm=given.exact("size"), grade=given.count("grade"), tables=handbook.iso286
    )
    return (Result("width", f"Width of IT{given.count('grade')}", width_um / 1000, "fine length"),)


def _at_20(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    reading_mm, part_c, gauge_c = given.exact("reading"), given.exact("part-at"), given.exact("gauge-at")
    part, gauge = (handbook.expansion[given.text(name)] for name in ("part", "gauge"))
    size_mm = temperature.size_at_20_mm(
        reading_mm=reading_mm, part=part, part_c=part_c, gauge=gauge, gauge_c=gauge_c
    )
    to_add_um = temperature.correction_um(
        reading_mm=reading_mm, part=part, part_c=part_c, gauge=gauge, gauge_c=gauge_c
    )
    terms_um = temperature.temperature_terms_um(
        size_mm=reading_mm,
        part=part,
        part_c=part_c,
        part_within_c=given.exact("part-within"),
        gauge=gauge,
        gauge_c=gauge_c,
        gauge_within_c=given.exact("gauge-within"),
    )
    return (
        Result("size", "Size at 20 °C", round(size_mm, 5), "length"),
        Result("correction", "To add to the reading", round(to_add_um / 1000, 6), "fine length"),
        Result(
            "uncertainty",
            "Uncertainty left by temperature, ±, k = 2",
            expanded(u_of(terms_um)) / 1000,
            "fine length",
        ),
    )


def _materials(handbook: Handbook) -> tuple[str, ...]:
    return tuple(handbook.expansion)


def _warm(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    material: Expansion = handbook.expansion[given.text("material")]
    share = temperature.growth(material=material, temperature_c=given.exact("at"))
    return (
        Result("growth", "Larger than at 20 °C by", given.exact("size") * share, "fine length"),
        Result("material", "Material", material.name),
    )


_SIZE = Key("size", "length", "Nominal size")
_WITHIN = "known to within, either way"

CALCULATORS = (
    Calculator(
        "fit",
        TOPIC,
        "Limits of size of a tolerance class, such as 63 f7",
        (Key("class", "text", "Tolerance class", note="f7 for a rod, H8 for a bore"), _SIZE),
        _fit,
        (fits.limits_of_size,),
        "shaft: maximum = nominal − deviation, minimum = maximum − grade; hole: minimum = nominal + deviation",
        {"class": "f7", "size": "63mm"},
    ),
    Calculator(
        "clearance",
        TOPIC,
        "Minimum and maximum clearance of a fit, such as H8/f7",
        (
            _SIZE,
            Key("hole", "text", "Class of the hole", note="H8, H9"),
            Key("shaft", "text", "Class of the shaft", note="f7, e8"),
        ),
        _clearance,
        (fits.clearance_um, fits.limits_of_size),
        "minimum = smallest hole − largest shaft; maximum = largest hole − smallest shaft, on diameter",
        {"size": "100mm", "hole": "H8", "shaft": "f7"},
    ),
    Calculator(
        "grade",
        TOPIC,
        "Width of a standard tolerance grade, such as IT7",
        (_SIZE, Key("grade", "count", "Number of the grade", note="7 for IT7")),
        _grade,
        (fits.tolerance_grade_um,),
        "read from the table of ISO 286 at the band of the size",
        {"size": "63mm", "grade": "7"},
    ),
    Calculator(
        "at-20",
        TOPIC,
        "Size at 20 °C from a reading with part and gauge at temperatures of their own",
        (
            Key("reading", "length", "What the gauge showed"),
            Key("part-at", "temperature", "Temperature of the part"),
            Key("gauge-at", "temperature", "Temperature of the gauge, or of what it was set on"),
            Key("part", "choice", "Material of the part", "steel", options=_materials),
            Key("gauge", "choice", "Material of the gauge", "steel", options=_materials),
            Key("part-within", "temperature difference", f"Part: {_WITHIN}", "1 °C"),
            Key("gauge-within", "temperature difference", f"Gauge: {_WITHIN}", "1 °C"),
        ),
        _at_20,
        (temperature.size_at_20_mm, temperature.correction_um, temperature.temperature_terms_um),
        "size = reading × (1 + gauge expansion × (gauge − 20 °C)) / (1 + part expansion × (part − 20 °C))",
        {"reading": "500.035mm", "part-at": "23.7°C", "gauge-at": "20°C"},
    ),
    Calculator(
        "warm",
        TOPIC,
        "How much larger a piece is when warm than at 20 °C",
        (
            Key("size", "length", "Size at 20 °C"),
            Key("at", "temperature", "Temperature of the piece"),
            Key("material", "choice", "Material", "steel", options=_materials),
        ),
        _warm,
        (temperature.growth,),
        "growth = size × expansion × (temperature − 20 °C)",
        {"size": "100mm", "at": "40°C"},
    ),
)
