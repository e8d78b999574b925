"""Calculators of what a cylinder weighs and what the legs of a sling carry."""

from __future__ import annotations

from inspect_app.calculators.shape import Calculator, Given, Key, Result
from inspect_app.calculators.topics.strength.hydraulics import BORE, EITHER_WALL, ROD, WALL, outside_mm
from inspect_app.calculators.topics.strength.kinds import STAGES, stages_given
from inspect_app.tables.standards.handbook import Handbook
from inspect_app.trade.strength import lifting, mass

TOPIC = "Mass and lifting"


_PARTS = (
    ("tube", "Tube"),
    ("rod", "What moves: rod, rods or stages"),
    ("piston", "Piston, or feet"),
    ("gland", "Gland, or all of them"),
    ("cap", "Cap"),
    ("tie_rods", "Tie-rods"),
    ("oil", "Oil"),
)


def _told(made: mass.CylinderMass) -> tuple[Result, ...]:
    parts = (Result(name, title, getattr(made, f"{name}_kg"), "mass") for name, title in _PARTS)
    total = Result("total", "Mass, with a tenth more for ports and eyes", made.total_kg, "mass")
    return (total, *(part for part in parts if part.value))


def _mass(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    return _told(mass.cylinder_mass(**_barrel(given), rod_mm=given.number("rod")))


def _tied(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    return _told(
        mass.tie_rod_cylinder_mass(
            **_barrel(given),
            rod_mm=given.number("rod"),
            tie_rod_mm=given.number("tie-rod"),
            tie_rod_length_mm=given.number("length"),
        )
    )


def _double_rod(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    rods = given.number("rod-a"), given.number("rod-b")
    return _told(mass.double_rod_mass(**_barrel(given), rods_mm=rods))


def _telescope(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    return _told(
        mass.telescopic_mass(
            stages_given(given), outside_mm=given.number("tube"), oil_kg_l=given.number("density")
        )
    )


def _barrel(given: Given) -> dict[str, float]:
    return {
        "bore_mm": given.number("bore"),
        "stroke_mm": given.number("stroke"),
        "outside_mm": outside_mm(given),
        "oil_kg_l": given.number("density"),
    }


def _sling(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    angle = lifting.leg_angle_deg(given.number("angle"), from_vertical=given.text("from") == "vertical")
    load = lifting.leg_load_kg(mass_kg=given.number("mass"), legs=given.count("legs"), angle_deg=angle)
    return (Result("leg", "Each leg carries", load, "mass"),)


def _off_centre(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    near, far = lifting.off_centre_loads_kg(
        mass_kg=given.number("mass"),
        near_mm=given.number("near"),
        far_mm=given.number("far"),
        hook_mm=given.number("hook"),
    )
    return (
        Result("near", "The nearer leg carries", near, "mass"),
        Result("far", "The farther leg carries", far, "mass"),
    )


_MASS = Key("mass", "mass", "Mass that is lifted")
_STROKE = Key("stroke", "length", "Stroke")
_DENSITY = Key("density", "number", "Density of the fluid, kg/l", "0.87", note="water-glycol 1.1, HFD 1.15")
CALCULATORS = (
    Calculator(
        "mass",
        TOPIC,
        "Mass of a cylinder full of oil, from its dimensions",
        (
            BORE,
            ROD,
            _STROKE,
            *WALL,
            _DENSITY,
        ),
        _mass,
        (mass.cylinder_mass, mass.steel_mass_kg, mass.handled_mass_kg),
        "sum of tube, rod, piston (0.8 bore long), gland (1.0), cap (0.5) and oil, and a tenth more",
        {"bore": "100mm", "rod": "56mm", "stroke": "800mm", "outside": "120mm"},
        either=EITHER_WALL,
        cautions=("lifting",),
    ),
    Calculator(
        "mass-tie-rod",
        TOPIC,
        "Mass of a tie-rod cylinder full of oil, head and cap as square blocks",
        (
            BORE,
            ROD,
            _STROKE,
            *WALL,
            Key("tie-rod", "length", "Diameter of a tie-rod"),
            Key("length", "length", "Length of a tie-rod"),
            _DENSITY,
        ),
        _tied,
        (mass.tie_rod_cylinder_mass,),
        "as the mass of a cylinder; head (1.0 bore) and cap (0.5) square round four tie-rods, each with two nuts",
        {
            "bore": "100mm",
            "rod": "45mm",
            "stroke": "500mm",
            "outside": "115mm",
            "tie-rod": "20mm",
            "length": "700mm",
        },
        either=EITHER_WALL,
        cautions=("lifting",),
    ),
    Calculator(
        "mass-double-rod",
        TOPIC,
        "Mass of a cylinder with a rod on both sides, full of oil",
        (
            BORE,
            Key("rod-a", "length", "Rod on side A"),
            Key("rod-b", "length", "Rod on side B"),
            _STROKE,
            *WALL,
            _DENSITY,
        ),
        _double_rod,
        (mass.double_rod_mass,),
        "sum of tube, both rods, piston (0.8 bore long), two glands (1.0 each) and oil, and a tenth more",
        {"bore": "100mm", "rod-a": "70mm", "rod-b": "56mm", "stroke": "400mm", "outside": "120mm"},
        either=EITHER_WALL,
        cautions=("lifting",),
    ),
    Calculator(
        "mass-telescope",
        TOPIC,
        "Mass of a telescopic cylinder full of oil, all stages out",
        (*STAGES, Key("tube", "length", "Outside diameter of the outer tube"), _DENSITY),
        _telescope,
        (mass.telescopic_mass,),
        "outer tube, stages (the last solid), feet (0.8 bore long), glands (1.0), cap (0.5) and oil, and a tenth more",
        {"outsides": "125mm, 100mm", "bores": "140mm, 110mm", "strokes": "900mm, 900mm", "tube": "163mm"},
        cautions=("lifting",),
    ),
    Calculator(
        "sling",
        TOPIC,
        "What each leg of a sling carries, the hook over the mass centre",
        (
            _MASS,
            Key("legs", "count", "Legs, of which two are counted"),
            Key("angle", "angle", "Angle of the legs"),
            Key("from", "choice", "Angle read from the", options=("horizontal", "vertical")),
        ),
        _sling,
        (lifting.leg_load_kg, lifting.leg_angle_deg),
        "leg = mass / (legs × sin of the angle from the horizontal)",
        {"mass": "1000kg", "legs": "2", "angle": "45°", "from": "horizontal"},
        cautions=("lifting",),
    ),
    Calculator(
        "sling-off-centre",
        TOPIC,
        "What two legs carry off the middle, the hook over the mass centre",
        (
            _MASS,
            Key("near", "length", "Mass centre to the nearer leg"),
            Key("far", "length", "Mass centre to the farther leg"),
            Key("hook", "length", "Height of the hook above the legs' lower ends"),
        ),
        _off_centre,
        (lifting.off_centre_loads_kg,),
        "leg = mass × other distance / (sum of both) / sin of its own angle",
        {"mass": "1000kg", "near": "300mm", "far": "900mm", "hook": "700mm"},
        cautions=("lifting",),
    ),
)
