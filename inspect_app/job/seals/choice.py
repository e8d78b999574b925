"""Chooses what a seal is made of, step by step: fluid, temperatures; unknown fluid, no material."""

from __future__ import annotations

import re
from dataclasses import dataclass

from inspect_app.job.seals.inputs import Duty
from inspect_app.job.seals.line import MEMORY, Made, Step
from inspect_app.tables.standards.handbook import Handbook
from inspect_app.trade.measuring.amounts import Amount, Amounts
from inspect_app.trade.measuring.refusal import Refusal, Said, Sentence
from inspect_app.trade.sealing.pairings import Objection, unsuitable_material
from inspect_app.trade.sealing.seal_materials import SealMaterial, advise
from inspect_app.trade.sealing.seal_uses import Chosen, SealUse, first_suitable

WORKSHOP_C = 20.0
"""While nobody knows how cold or how hot it gets, a material is looked up at this, and the doubt stays open."""


NAMES = re.compile(r"[A-Za-z]+(?:-[A-Za-z]+)*")
FIND_OUT = Sentence("find out the fluid")


@dataclass(frozen=True, slots=True)
class Choice:
    """What each part of a seal is made of, how that came about, and what speaks against it."""

    made: tuple[Made, ...]
    chosen: tuple[Chosen, ...]
    steps: tuple[Step, ...]
    objections: tuple[Objection, ...]

    @property
    def remembered(self) -> tuple[str, ...]:
        """The materials that rest on figures nobody here has read."""
        return tuple(c.use.material for c in self.chosen if c.advice.status in MEMORY)

    def material_of(self, part: str) -> Chosen | None:
        """What a part is made of, None where nothing was found for it."""
        return next((c for c in self.chosen if c.use.part == part), None)


def choose_material(seal: str, duty: Duty, handbook: Handbook) -> Choice:
    """The material of each part of a seal; all of them must stand the fluid and the temperatures.

    Args:
        seal: the kind of seal, as the table of uses has it.
        duty: fluid and temperatures.
        handbook: the materials.
    Source: seal-fluid-table, seal-material-ranges, seal-choice
    """
    if not duty.fluid:
        says = Sentence("Nobody knows the fluid: no seal is chosen without it.")
        step = Step("fluid", says, "iso-6743-4", _status("iso-6743-4", handbook))
        return Choice((), (), (step,), (Objection("fluid", says, FIND_OUT),))
    uses = [use for use in handbook.seal_uses if use.seal == seal]
    named = Sentence(f"Fluid {duty.fluid}.")
    steps: list[Step] = [Step("fluid", named, "iso-6743-4", _status("iso-6743-4", handbook))]
    objections = list(_temperatures(duty))
    chosen: list[Chosen] = []
    for part in dict.fromkeys(use.part for use in uses):
        try:
            found = _first(part, uses, duty, handbook)
        except Refusal as undecided:
            against_fluid = Objection("fluid", undecided.sentence, FIND_OUT)
            return Choice((), (), tuple(steps), (against_fluid,))
        if found is None:
            says = Sentence(
                f"No listed material for the {part} of a {seal} stands {{within}} in {duty.fluid}.",
                {"within": _within(duty)},
            )
            ask = Sentence("ask a seal maker for a compound")
            objections.append(Objection("material", says, ask, stop=True))
            continue
        chosen.append(found)
        steps.append(
            Step(
                f"material of the {part}",
                found.advice.sentence,
                found.advice.source,
                found.advice.status,
            )
        )
        against = unsuitable_material(advice=found.advice)
        objections += [against] if against else []
    made = tuple(Made(c.use.part, c.use.material, hardness_words(c.use, handbook)) for c in chosen)
    return Choice(made, tuple(chosen), tuple(steps), tuple(objections))


def in_its_fluid(words: str, duty: Duty, handbook: Handbook) -> tuple[Objection, ...]:
    """What speaks against the listed materials that somebody's words name, in this cylinder: "NBR 70", "two of EU 93".

    Args:
        words: of a seal that was fitted or is offered, as somebody wrote them.
        duty: fluid and temperatures; nothing is said while nobody knows the fluid.
        handbook: the materials.
    Source: seal-fluid-table, seal-material-ranges
    """
    tables = handbook.seal_materials
    named = [code for code in NAMES.findall(words) if code in tables.materials] if duty.fluid else []
    degrees = [c for c in (duty.coldest_c, duty.hottest_c) if c is not None] or [WORKSHOP_C]
    advices = (
        advise(material=code, fluid=duty.fluid, coldest_c=min(degrees), hottest_c=max(degrees), tables=tables)
        for code in dict.fromkeys(named)
    )
    return tuple(o for o in (unsuitable_material(advice=advice) for advice in advices) if o)


def hardness_words(use: SealUse, handbook: Handbook) -> str:
    """The hardness to order, with its scale; the material's range where the seal's own sheet says it.

    Args:
        use: the material as it is used.
        handbook: the materials.
    """
    if use.hardness_shore_a is not None:
        return f"{use.hardness_shore_a:g} Shore A"
    material: SealMaterial = handbook.seal_materials.materials[use.material]
    return f"{material.hardness}, by the seal's sheet" if material.hardness else ""


def _first(part: str, uses: list[SealUse], duty: Duty, handbook: Handbook) -> Chosen | None:
    hottest = WORKSHOP_C if duty.hottest_c is None else duty.hottest_c
    coldest = min(WORKSHOP_C, hottest) if duty.coldest_c is None else duty.coldest_c
    return first_suitable(
        uses=[use for use in uses if use.part == part],
        fluid=duty.fluid,
        coldest_c=min(coldest, hottest),
        hottest_c=hottest,
        tables=handbook.seal_materials,
    )


def _temperatures(duty: Duty) -> tuple[Objection, ...]:
    found = []
    if duty.hottest_c is None:
        says = Sentence("Nobody knows how hot the oil gets at the seal.")
        settles = Sentence("ask for the hottest oil at the cylinder, not in the tank")
        found.append(Objection("temperature", says, settles))
    if duty.coldest_c is None:
        says = Sentence("Nobody knows how cold it is at the coldest start.")
        found.append(Objection("coldest", says, Sentence("ask for the coldest start")))
    return tuple(found)


def _within(duty: Duty) -> Said | str:
    known = tuple(c for c in (duty.coldest_c, duty.hottest_c) if c is not None)
    if duty.hottest_c is not None:
        return Amounts(known, "temperature", " to ")
    return (
        Sentence("{cold} to unknown heat", {"cold": Amount(known[0], "temperature")})
        if known
        else "unknown heat"
    )


def _status(source: str, handbook: Handbook) -> str:
    return handbook.sources[source].status
