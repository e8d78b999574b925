"""What a cylinder of any kind weighs by its nameplate, and what its parts are called; knows no step and no price."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from inspect_app.entries.job import Survey
from inspect_app.job.stages import stage_sizes, stages_of
from inspect_app.tables.cylinders import Cylinder
from inspect_app.trade.measuring.amounts import Amount
from inspect_app.trade.measuring.refusal import Refusal, Sentence
from inspect_app.trade.measuring.wording import inside, listed
from inspect_app.trade.strength.mass import (
    CylinderMass,
    cylinder_mass,
    double_rod_mass,
    telescopic_mass,
    tie_rod_cylinder_mass,
)

MINERAL_KG_L, DENSITIES_KG_L = 0.87, {"HFC": 1.1, "HFD": 1.15}
TIE_RODS = ("tie_rod", "tie_rod_length")
"""The sizes of a tie-rod; a cylinder that has none is not asked for them."""

NO_STAGES = "The mass cannot be computed: how many stages it has is not said. Answer that, or weigh it."
NAMES = {"tube": "tube", "rod": "rod", "piston": "piston", "gland": "gland", "cap": "cap", "oil": "oil",
         "tie_rods": "tie-rods and nuts"}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Weighed:
    """What a kind of cylinder is weighed by: its fields, the sum, and what parts are called that are more than one."""

    fields: Callable[[Survey], tuple[str, ...]]
    mass: Callable[[Survey, float], CylinderMass]
    called: Mapping[str, str]


def mass_of(cylinder: Cylinder, survey: Survey) -> CylinderMass:
    """The mass from the dimensions of the nameplate.

    Args:
        cylinder: the checklist, which says what kind it is.
        survey: the state of the cylinder.
    Raises:
        Refusal: a dimension is missing, the wall too, or they cannot be.
    Source: mass-estimate
    """
    weighed = _weighed(cylinder)
    wanted = weighed.fields(survey)
    if missing := [inside(cylinder.fields[name].title) for name in wanted if not survey.length(name)]:
        raise Refusal(
            "The mass cannot be computed: {missing} not known. Measure that, or weigh it.",
            missing=listed(missing),
        )
    fluid = survey.text("fluid").upper()
    density = next((d for code, d in DENSITIES_KG_L.items() if fluid.startswith(code)), MINERAL_KG_L)
    return weighed.mass(survey, density)


def mass_words(cylinder: Cylinder, mass: CylinderMass) -> Sentence:
    """The mass and that of each part, as they are called on such a cylinder.

    Args:
        cylinder: the checklist, which says what kind it is.
        mass: its mass.
    """
    called = {**NAMES, **_weighed(cylinder).called}
    parts = {name: kg for name in called if (kg := getattr(mass, f"{name}_kg"))}
    each = ", ".join(f"{called[name]} {{{name}}}" for name in parts)
    words = f"Computed mass {{total}}: {each}, and a tenth more for ports and eyes."
    return Sentence(
        words, {name: Amount(kg, "mass") for name, kg in {**parts, "total": mass.total_kg}.items()}
    )


def _weighed(cylinder: Cylinder) -> Weighed:
    return TIED if cylinder.fields.keys() >= {*TIE_RODS} else BY_AREAS[cylinder.areas]


def _mm(survey: Survey, name: str) -> float:
    """A length of the nameplate that is known."""
    return float(survey.length(name) or 0)


def _sizes(*names: str) -> Callable[[Survey], tuple[str, ...]]:
    return lambda survey: names


def _staged(survey: Survey) -> tuple[str, ...]:
    sizes = [name for stage in stage_sizes(survey) for name in stage]
    if not sizes:
        raise Refusal(NO_STAGES)
    return tuple(dict.fromkeys((*sizes, "outside_diameter")))


def _one_rod(survey: Survey, oil_kg_l: float) -> CylinderMass:
    bore, rod, stroke, outside = (_mm(survey, name) for name in ONE_ROD)
    return cylinder_mass(bore_mm=bore, rod_mm=rod, stroke_mm=stroke, outside_mm=outside, oil_kg_l=oil_kg_l)


def _tied(survey: Survey, oil_kg_l: float) -> CylinderMass:
    bore, rod, stroke, outside, tie_rod, long = (_mm(survey, name) for name in (*ONE_ROD, *TIE_RODS))
    return tie_rod_cylinder_mass(
        bore_mm=bore, rod_mm=rod, stroke_mm=stroke, outside_mm=outside, tie_rod_mm=tie_rod,
        tie_rod_length_mm=long, oil_kg_l=oil_kg_l,
    )  # fmt: skip


def _two_rods(survey: Survey, oil_kg_l: float) -> CylinderMass:
    bore, a, b, stroke, outside = (_mm(survey, name) for name in TWO_RODS)
    return double_rod_mass(
        bore_mm=bore, rods_mm=(a, b), stroke_mm=stroke, outside_mm=outside, oil_kg_l=oil_kg_l
    )


def _telescope(survey: Survey, oil_kg_l: float) -> CylinderMass:
    return telescopic_mass(stages_of(survey), outside_mm=_mm(survey, "outside_diameter"), oil_kg_l=oil_kg_l)


ONE_ROD = ("bore", "rod", "stroke", "outside_diameter")
TWO_RODS = ("bore", "side-a-rod", "side-b-rod", "stroke", "outside_diameter")
TIED = Weighed(_sizes(*ONE_ROD, *TIE_RODS), _tied, {"gland": "head"})
STAGED = {"tube": "outer tube", "rod": "stages", "gland": "glands"}
BY_AREAS: Mapping[str, Weighed] = {
    "bore": Weighed(_sizes(*ONE_ROD), _one_rod, {}),
    "rod": Weighed(_sizes(*ONE_ROD), _one_rod, {"rod": "plunger, solid", "piston": "foot"}),
    "annulus": Weighed(_sizes(*TWO_RODS), _two_rods, {"rod": "rods", "gland": "glands"}),
    "stages": Weighed(_staged, _telescope, {**STAGED, "piston": "feet"}),
    "stages both ways": Weighed(_staged, _telescope, {**STAGED, "piston": "pistons"}),
}
"""How each kind is weighed, by what the oil presses on."""
