"""What a step shows that is reckoned of what was recorded: mass, legs of the sling, energy, force to draw, oil."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping

from inspect_app.job.output import held_l
from inspect_app.job.steps import Facts
from inspect_app.job.weighing import mass_of, mass_words
from inspect_app.trade.measuring.amounts import Amount
from inspect_app.trade.measuring.refusal import Refusal, Sentence
from inspect_app.trade.strength.compressed_oil import ATMOSPHERE_MPA, oil_energy_j
from inspect_app.trade.strength.force import circle_area_mm2, volumes_l
from inspect_app.trade.strength.lifting import COUNTED_LEGS, leg_angle_deg, leg_load_kg, off_centre_loads_kg

RECEIVING, MAKE_SAFE, TEARDOWN = "receiving", "make-safe", "teardown"
OIL_MODULUS_MPA = 1400
"""The least of mineral oil: it holds the most energy."""

DO_NOT = "DO NOT"
"""What a sentence that forbids begins with."""

CODE = re.compile(r"\d{1,2}/\d{1,2}/\d{1,2}")


def _mass(facts: Facts) -> tuple[Sentence, ...]:
    found = facts.job.as_found
    cylinder = facts.tables.cylinders[found.cylinder]
    try:
        return (mass_words(cylinder, mass_of(cylinder, found)),)
    except Refusal as refusal:  # nobody asks for what was weighed
        return () if found.length("mass") else (refusal.sentence,)


def _legs(facts: Facts) -> tuple[Sentence, ...]:
    """What each leg carries against the ratings typed, and the hoist against the mass."""
    steps, mass = facts.job.steps, facts.job.as_found.length("mass")
    legs = steps.typed(RECEIVING, "legs")
    if not legs or not mass:
        return ()
    number = {name: float(v) for name in ("leg-angle", "near", "far", "hook")
              if (v := steps.value(RECEIVING, name)) is not None}  # fmt: skip
    try:
        load = _leg_load(int(legs), float(mass), number, steps.typed(RECEIVING, "angle-from"))
    except Refusal as refusal:
        return (refusal.sentence,)
    counted = f" Of more legs {COUNTED_LEGS} are counted." if int(legs) > COUNTED_LEGS else ""
    said = Sentence(f"Each leg carries {{load}} at most.{counted}", {"load": Amount(load, "mass")})
    return (said, *_ratings(facts, load, float(mass)))


def _leg_load(legs: int, mass_kg: float, number: Mapping[str, float], angle_from: str) -> float:
    """What the leg that carries most carries, kg."""
    if legs == 1:
        return mass_kg
    if {"near", "far", "hook"} <= number.keys():
        near, far = sorted((number["near"], number["far"]))
        return max(off_centre_loads_kg(mass_kg=mass_kg, near_mm=near, far_mm=far, hook_mm=number["hook"]))
    if "leg-angle" not in number or not angle_from:
        raise Refusal("For the legs: their angle is missing, and what it is read from.")
    angle = leg_angle_deg(number["leg-angle"], from_vertical=angle_from == "vertical")
    return leg_load_kg(mass_kg=mass_kg, legs=legs, angle_deg=angle)


def _ratings(facts: Facts, load_kg: float, mass_kg: float) -> tuple[Sentence, ...]:
    said = []
    for record, title, carries in (
        ("sling-rating", "sling", load_kg),
        ("eye-rating", "eye or shackle", load_kg),
        ("hoist-rating", "hoist", mass_kg),
    ):
        rating = facts.job.steps.value(RECEIVING, record)
        if rating is None:
            said.append(Sentence(f"The {title}'s rating is not typed: not proven."))
            continue
        shown = {"rating": Amount(rating, "mass"), "carries": Amount(carries, "mass")}
        words = "carries {carries}, rated {rating}"
        if carries > float(rating):
            said.append(Sentence(f"{DO_NOT} LIFT: the {title} {words}.", shown))
        else:
            said.append(Sentence(f"The {title} {words}.", shown))
    return tuple(said)


def _energy(facts: Facts) -> tuple[Sentence, ...]:
    found = facts.job.as_found
    bore, stroke, pressure = (found.length(n) for n in ("bore", "stroke", "rated_pressure"))
    litres = held_l(facts.tables.cylinders[found.cylinder], found)
    if litres is None and bore and stroke:
        litres = (
            circle_area_mm2(float(bore)) * float(stroke) / 1e6
        )  # with the rod out its size does not count
    if not (litres and pressure):
        return (
            Sentence("What it holds under pressure is not known: a size or the rated pressure is missing."),
        )
    joules = oil_energy_j(volume_l=litres, pressure_mpa=float(pressure), bulk_modulus_mpa=OIL_MODULUS_MPA)
    words = "At {pressure} the oil in it holds {joules}, air in it far more. Show that it is zero before it is opened."
    shown = {"joules": Amount(joules, "energy"), "pressure": Amount(pressure, "pressure")}
    return (Sentence(words, shown),)


def _draw_force(facts: Facts) -> tuple[Sentence, ...]:
    """The force it took to draw the rod against what a shut port alone explains."""
    force = facts.job.steps.value(TEARDOWN, "draw-force")
    bore = facts.job.as_found.length("bore")
    if bore is None:
        return (Sentence("What a shut port explains is not known: the bore is missing."),)
    alone = ATMOSPHERE_MPA * circle_area_mm2(float(bore))
    shown = {"alone": Amount(alone, "force")}
    if force is None:
        return (Sentence("A shut port alone holds the rod with {alone}.", shown),)
    more = float(force) - alone
    if more <= 0:
        words = "A shut port alone explains {alone}: the force says nothing of the parts. Is every port open?"
        return (Sentence(words, shown),)
    words = (
        "A shut port alone explains {alone}; {more} is more than that: bent, swollen, scuffed or dirty parts."
    )
    return (Sentence(words, {**shown, "more": Amount(more, "force")}),)


def _oil(facts: Facts) -> tuple[Sentence, ...]:
    steps, found = facts.job.steps, facts.job.as_found
    said = []
    sizes = [found.length(n) for n in ("bore", "rod", "stroke")]
    came = steps.value(MAKE_SAFE, "oil-volume")
    if came is not None and all(sizes):
        bore, rod, stroke = (float(mm) for mm in sizes if mm)
        full = volumes_l(bore_mm=bore, rod_mm=rod, stroke_mm=stroke)
        shown = {
            "came": Amount(came, "volume"), "in": Amount(full.annulus_l * 1000, "volume"),
            "out": Amount(full.cap_l * 1000, "volume"),
        }  # fmt: skip
        words = "{came} came out; full it holds {in} with the rod in, {out} with the rod out."
        rest = " The rest is still in it." if float(came) < full.annulus_l * 1000 * 0.5 else ""
        said.append(Sentence(words + rest, shown))
    if code := steps.typed(MAKE_SAFE, "iso-4406"):
        said.append(_cleanliness(code.strip()))
    return tuple(said)


def _cleanliness(code: str) -> Sentence:
    """A code of ISO 4406 in words: each step up is twice the particles."""
    if not CODE.fullmatch(code):
        return Sentence("{code} is no code of ISO 4406; it has three numbers, as 18/16/13.", {"code": code})
    cleaner = "/".join(str(max(0, int(n) - 1)) for n in code.split("/"))
    return Sentence(
        "Oil {code}: twice as dirty as {cleaner}, by the laboratory.", {"code": code, "cleaner": cleaner}
    )


SHOWN: Mapping[str, Callable[[Facts], tuple[Sentence, ...]]] = {
    "history": lambda facts: facts.earlier(),
    "mass": _mass,
    "legs": _legs,
    "energy": _energy,
    "draw-force": _draw_force,
    "oil": _oil,
}
"""What may be shown, by the names of `tables/steps.py`; nothing where nothing is known of it."""
