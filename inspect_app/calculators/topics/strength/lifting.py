"""Calculators of what a cylinder weighs and what the legs of a sling carry."""

from __future__ import annotations

from inspect_app.calculators.shape import Calculator, Given, Key, Result
from inspect_app.calculators.topics.strength.hydraulics import BORE, EITHER_WALL, ROD, WALL, outside_mm
from inspect_app.tables.standards.handbook import Handbook
from inspect_app.trade.strength import lifting, mass

TOPIC = "Mass and lifting"


def _mass(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    made = mass.cylinder_mass(
        bore_mm=given.number("bore"),
        rod_mm=given.number("rod"),
        stroke_mm=given.number("stroke"),
        outside_mm=outside_mm(given),
        oil_kg_l=given.number("density"),
    )
    return (
        Result("total", "Mass, with a tenth more for ports and eyes", made.total_kg, "mass"),
        Result("tube", "Tube", made.tube_kg, "mass"),
        Result("rod", "Rod", made.rod_kg, "mass"),
        Result("piston", "Piston", made.piston_kg, "mass"),
        Result("gland", "Gland", made.gland_kg, "mass"),
        Result("cap", "Cap", made.cap_kg, "mass"),
        Result("oil", "Oil", made.oil_kg, "mass"),
    )


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
CALCULATORS = (
    Calculator(
        "mass",
        TOPIC,
        "Mass of a cylinder full of oil, from its dimensions",
        (
            BORE,
            ROD,
            Key("stroke", "length", "Stroke"),
            *WALL,
            Key("density", "number", "Density of the fluid, kg/l", "0.87", note="water-glycol 1.1, HFD 1.15"),
        ),
        _mass,
        (mass.cylinder_mass, mass.steel_mass_kg, mass.handled_mass_kg),
        "sum of tube, rod, piston (0.8 bore long), gland (1.0), cap (0.5) and oil, and a tenth more",
        {"bore": "100mm", "rod": "56mm", "stroke": "800mm", "outside": "120mm"},
        either=EITHER_WALL,
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
