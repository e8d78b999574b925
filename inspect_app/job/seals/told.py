"""What people told of a line beyond its groove: figures off the seal's sheet, the seal that was fitted, the old one."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import replace

from inspect_app.job.seals.choice import in_its_fluid
from inspect_app.job.seals.gap import pressure_at
from inspect_app.job.seals.inputs import CylinderState, Fitted, OldFound
from inspect_app.job.seals.line import Doubt, Made, SealLine, Step
from inspect_app.tables.standards.handbook import Handbook
from inspect_app.trade.measuring.amounts import Amount
from inspect_app.trade.measuring.refusal import Refusal, Sentence
from inspect_app.trade.sealing.old_seals import (
    compression_set_percent,
    growth_percent,
    hardness_change,
    pointer,
)
from inspect_app.trade.sealing.pairings import Objection
from inspect_app.trade.sealing.seal_materials import SealMaterial
from inspect_app.trade.sealing.sheet_figures import against_sheet

MM_MIN_PER_M_S = 60_000
MATERIAL = re.compile(r"([A-Za-z-]+)(?: (\d\d))?\b")
BY_THE_OLD_ONE = "by-the-old-one"


def as_told(line: SealLine, state: CylinderState, handbook: Handbook) -> SealLine:
    """The line with what was told of its seal: nothing of it ever passes a seal, it adds steps, doubts and hints.

    Args:
        line: the line.
        state: the cylinder.
        handbook: positions, materials and figures.
    Source: old-seal-signs
    """
    return _with_old(_with_sheet(_with_fitted(line, state, handbook), state, handbook), state, handbook)


def _with_fitted(line: SealLine, state: CylinderState, handbook: Handbook) -> SealLine:
    """Where no groove names a seal it goes by the one that was fitted; elsewhere that stands beside the choice."""
    fitted = state.fitted.get(line.where)
    if fitted is None:
        return line
    words = ", ".join(word for word in (fitted.seal, fitted.material) if word)
    step = Step("as fitted", Sentence("{words}.", {"words": words}))
    if not any(doubt.objection.rule == BY_THE_OLD_ONE for doubt in line.doubts):
        return replace(line, steps=(*line.steps, step))
    says = Sentence("It goes by what was fitted, {words}: no groove confirms it.", {"words": words})
    against = [
        Objection(BY_THE_OLD_ONE, says, Sentence("hold it against the old one and where it sat")),
        # somebody may have fitted what he had
        *in_its_fluid(fitted.material, state.duty, handbook),
    ]
    kept = (doubt for doubt in line.doubts if doubt.objection.rule != BY_THE_OLD_ONE)
    return replace(
        line,
        ring=Sentence("{seal}", {"seal": fitted.seal}),
        made=(Made("ring", fitted.material, ""),) if fitted.material else (),
        steps=(*line.steps, step),
        doubts=(*kept, *(Doubt(each, state.closing(line.where, each)) for each in against)),
    )


def _listed(fitted: Fitted, handbook: Handbook) -> SealMaterial | None:
    """The material that was fitted, where its words begin with a listed one: "NBR 70"."""
    known = MATERIAL.match(fitted.material)
    return handbook.seal_materials.materials.get(known[1]) if known else None


def _with_sheet(line: SealLine, state: CylinderState, handbook: Handbook) -> SealLine:
    """Each figure of the seal's sheet beside ours, both numbers said."""
    ours = _ours(line, state, handbook)
    steps, doubts = [], []
    for stated in state.stated.get(line.where, ()):
        held = against_sheet(
            figure=stated.figure, value=stated.value, sheet=stated.sheet, ours=ours[stated.figure]
        )
        steps.append(Step(f"{stated.figure}, the seal's sheet", held.sentence))
        if held.objection:
            doubts.append(Doubt(held.objection, state.closing(line.where, held.objection)))
    return replace(line, steps=(*line.steps, *steps), doubts=(*line.doubts, *doubts))


def _ours(line: SealLine, state: CylinderState, handbook: Handbook) -> Mapping[str, float | None]:
    position = handbook.positions.positions[line.position]
    speed, duty = state.duty.speed_m_s, state.duty
    return {
        "greatest pressure": pressure_at(position, state, handbook.positions.kinds[state.kind]).value,
        "greatest speed": None if speed is None else speed * MM_MIN_PER_M_S,
        "hottest": duty.hottest_c,
        "coldest": duty.coldest_c,
    }


def _with_old(line: SealLine, state: CylinderState, handbook: Handbook) -> SealLine:
    found = state.old.get(line.where)
    if found is None:
        return line
    evidence = dict(found.evidence) | dict(_evidence(line, found, state, handbook))
    return replace(line, old=tuple(pointer(state=s, evidence=evidence) for s in found.states))


def _evidence(
    line: SealLine, found: OldFound, state: CylinderState, handbook: Handbook
) -> Iterator[tuple[str, Sentence]]:
    """What the line itself and the old seal's own measurements say."""
    for doubt in line.doubts:
        if doubt.objection.rule in ("gap", "back-up"):
            yield "gap", doubt.objection.sentence
        if doubt.objection.rule == "too-fast":
            yield "too-fast", doubt.objection.sentence
    roughness, smooth = state.groove(line.where).roughness_um, handbook.allowances["old-smooth"]
    if roughness is not None and roughness < smooth:
        said = {"ra": Amount(roughness, "roughness"), "least": Amount(smooth, "roughness")}
        yield "smooth", Sentence("It runs on Ra {ra}, below {least}.", said)
    yield from _of_its_material(line, found, state, handbook)
    yield from _of_its_section(line, found, state, handbook)


def _of_its_material(
    line: SealLine, found: OldFound, state: CylinderState, handbook: Handbook
) -> Iterator[tuple[str, Sentence]]:
    """Against the material that was fitted, where somebody knows it: "NBR 70"."""
    fitted = state.fitted.get(line.where)
    known = MATERIAL.match(fitted.material) if fitted else None
    material = _listed(fitted, handbook) if fitted else None
    hottest = state.duty.hottest_c
    if material and hottest is not None and hottest > material.greatest_c:
        said = {"hot": Amount(hottest, "temperature"), "stands": Amount(material.greatest_c, "temperature")}
        yield "hotter", Sentence(f"The oil reaches {{hot}}; {material.code} stands {{stands}}.", said)
    if known and known[2] and found.hardness_shore_a:
        within = handbook.allowances["old-hardness"]
        old, new = found.hardness_shore_a, float(known[2])
        if change := hardness_change(old_shore_a=old, new_shore_a=new, within_shore_a=within):
            yield change, Sentence(f"It measures {old:g} Shore A; new it had {new:g} ± {within:g}.")


def _of_its_section(
    line: SealLine, found: OldFound, state: CylinderState, handbook: Handbook
) -> Iterator[tuple[str, Sentence]]:
    """Against the section or thickness of the new one."""
    new_mm = line.housing.ring_section_mm if line.housing else None
    if found.section_mm is None or new_mm is None:
        return
    said = {"old": Amount(found.section_mm, "length"), "new": Amount(new_mm, "length")}
    if line.seal == "wear ring":
        if new_mm - found.section_mm >= handbook.allowances["old-thinned"]:
            yield "thinned", Sentence("The old wear ring is {old} thick, a new one {new}.", said)
        return
    grown = growth_percent(old_section_mm=found.section_mm, new_section_mm=new_mm)
    if grown >= handbook.allowances["old-swollen"]:
        yield "swollen", Sentence(f"Its section is {{old}}, a new one's {{new}}: {grown:.1f} % more.", said)
    groove = state.groove(line.where)
    if line.seal == "O-ring" and groove.sealed and groove.diameter:
        depth_mm = abs(groove.sealed.value_mm - groove.diameter.value_mm) / 2
        try:
            kept = compression_set_percent(
                old_section_mm=found.section_mm, new_section_mm=new_mm, depth_mm=depth_mm
            )
        except Refusal:
            return  # a groove that squeezes nothing has a doubt of its own
        if kept >= handbook.allowances["old-flattened"]:
            says = f"It is {{old}} high, new {{new}}: {kept:.0f} % of its squeeze is kept as set."
            yield "flattened", Sentence(says, said)
