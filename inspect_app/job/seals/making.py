"""Makes one line of the seal list, step by step: housing, material, pressure, speed, gap, ring, quantity, doubts."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from inspect_app.job.seals.choice import Choice, choose_material
from inspect_app.job.seals.counting import count_of, set_of_rings
from inspect_app.job.seals.gap import (
    Guide,
    backups_for,
    by_the_sheet,
    gap_at,
    pressure_at,
    speed_of,
    unknown_swell,
)
from inspect_app.job.seals.inputs import CylinderState, GrooveFound
from inspect_app.job.seals.line import MEMORY, Backups, Dimension, Doubt, Made, SealLine, Step
from inspect_app.job.seals.matching import Named, name_groove
from inspect_app.job.seals.positions import Asked
from inspect_app.job.seals.ring import choose_ring
from inspect_app.job.seals.said import roughness_words, surface_words, words
from inspect_app.tables.standards.handbook import Handbook
from inspect_app.trade.measuring.amounts import Amount, Amounts
from inspect_app.trade.measuring.refusal import UNSAID, Refusal, Said, Sentence, joined
from inspect_app.trade.measuring.sizes import Size
from inspect_app.trade.measuring.wording import inside
from inspect_app.trade.sealing.extrusion import Gap
from inspect_app.trade.sealing.mistaken import strip_in_groove
from inspect_app.trade.sealing.orings import ORing
from inspect_app.trade.sealing.pairings import (
    Objection,
    backup_for_each_side,
    backups_in_groove,
    energiser_section,
    lips_on_piston,
)
from inspect_app.trade.sealing.strips import cut_length_mm


@dataclass(frozen=True, slots=True)
class _Size:
    """The size of a seal in words, its materials, the unit it is counted in, and its O-ring's listed size."""

    words: Sentence
    made: tuple[Made, ...] = ()
    backups: Backups | None = None
    unit: str = "piece"
    cut_mm: int | None = None
    oring: ORing | None = None


class Making:
    """A line being made: gathers steps, objections and what rests on memory on the way."""

    def __init__(self, asked: Asked, state: CylinderState, handbook: Handbook) -> None:
        self.asked, self.position, self.state, self.handbook = asked, asked.position, state, handbook
        self.found: GrooveFound = state.groove(asked.where)
        self.steps: list[Step] = []
        self.objections: list[Objection] = []
        self.memory: list[Said | str] = []

    def line(self) -> SealLine:
        """The whole line."""
        self.steps.append(self.position_step())
        if self.asked.question:
            self.against(
                Objection("presence", Sentence(self.asked.question), Sentence("answer what is there"))
            )
        if self.position.seal == "other":
            says = Sentence("No groove names it: it goes by the old one and where it sat.")
            settles = Sentence("measure the old one and where it sat")
            self.against(Objection("by-the-old-one", says, settles))
            return self.finished(None, _Size(UNSAID))
        named = name_groove(self.position, self.found, self.state.sizes, self.handbook)
        self.steps += named.steps
        self.against(*named.objections)
        if not named.seal:
            return self.finished(named, _Size(UNSAID))
        if named.housing and named.housing.status in MEMORY:
            self.memory.append(named.housing.designation)
        choice = choose_material(named.seal, self.state.duty, self.handbook)
        self.take(choice)
        return self.finished(named, self.sized(named, choice))

    def position_step(self) -> Step:
        """Why there is a line for this place at all."""
        kind = self.handbook.positions.kinds[self.state.kind].title
        source = self.handbook.sources[self.position.source]
        note = f" {self.position.note}" if self.position.note else ""
        says = Sentence(f"{kind}: {inside(self.position.title)}.{note}")
        return Step("position", says, source.key, source.status)

    def against(self, *objections: Objection | None) -> None:
        """Note what speaks against ordering."""
        self.objections += [o for o in objections if o]

    def take(self, choice: Choice) -> None:
        """Note what a choice of material rests on."""
        self.steps += choice.steps
        self.against(*choice.objections)
        self.memory += choice.remembered

    def sized(self, named: Named, choice: Choice) -> _Size:
        """The size of the seal, and everything its pressure, speed and gap ask for."""
        if named.seal == "wear ring":
            return self.strip(named, choice)
        if named.seal == "wiper":
            return _Size(words(named), choice.made)
        pressure = pressure_at(self.position, self.state, self.handbook.positions.kinds[self.state.kind])
        self.steps.append(pressure.step)
        self.against(*pressure.objections)
        if self.position.moves:
            self.speed(named.seal, choice)
        gap, step = gap_at(self.found, self.guide(), self.state.duty.swell_mm)
        self.steps.append(step)
        self.against(*unknown_swell(self.found, self.state.duty.swell_mm))
        if named.seal == "O-ring":
            return self.oring(named, choice, gap, pressure.value)
        sheet = self.state.sheets.get(self.asked.where)
        steps, objections = by_the_sheet(
            named.seal, gap, pressure.value, named.section_mm, sheet, self.handbook
        )
        self.steps += steps
        self.against(*objections)
        if named.seal == "lip seal":
            return self.lips(named, choice)
        return self.faced(named, choice)

    def speed(self, seal: str, choice: Choice) -> None:
        """Hold the speed against the materials chosen."""
        uses = [c.use for c in choice.chosen]
        if uses:
            slow = self.handbook.allowances["stick-slip-speed"]
            found = speed_of(uses, seal, self.state.duty.speed_m_s, slow)
            self.steps.append(found.step)
            self.against(*found.objections)

    def lips(self, named: Named, choice: Choice) -> _Size:
        """A lip holds one side only; the longest housings take a set of rings."""
        both = self.position.pressed == "both sides"
        # a maker cuts one for both sides, unless somebody says which way the lips face
        if named.housing or self.found.lips_face:
            self.against(lips_on_piston(lips_face=self.found.lips_face, from_both_sides=both))
        several = set_of_rings(named, self.handbook)
        if several is None:
            return _Size(words(named), choice.made)
        step, against = several
        self.steps.append(step)
        self.against(against)
        return _Size(words(named), choice.made, unit="set")

    def faced(self, named: Named, choice: Choice) -> _Size:
        """A plastic face and the O-ring behind it."""
        if named.section_mm is None or self.found.sealed is None:
            return _Size(words(named), choice.made, unit="set")
        section_mm, wanted = named.section_mm, self.state.energisers.get(self.asked.where)
        if wanted:
            said = bool(wanted.suppliers_word.strip())
            self.against(
                energiser_section(section_mm=wanted.section_mm, housing_mm=section_mm, suppliers_word=said)
            )
            section_mm = wanted.section_mm
        # behind a face squeeze and fill are the seal maker's, whatever the ring is made of
        ring = choose_ring(
            self.found, section_mm, self.position.moves, "", self.state.duty, self.handbook, behind_face=True
        )
        self.steps += ring.steps
        self.against(*ring.objections)
        size = Sentence("{housing} with {ring}", {"housing": words(named), "ring": ring.words})
        return _Size(size, choice.made, unit="set", oring=ring.size)

    def oring(self, named: Named, choice: Choice, gap: Gap | None, pressure_mpa: float | None) -> _Size:
        """An O-ring with its hardness and its back-up rings."""
        if named.section_mm is None or self.found.sealed is None:
            return _Size(words(named), choice.made)
        rubber = choice.material_of("ring")
        material = rubber.use.material if rubber else ""
        ring = choose_ring(
            self.found, named.section_mm, self.position.moves, material, self.state.duty, self.handbook,
            behind_face=False,
        )  # fmt: skip
        self.steps += ring.steps
        self.against(*ring.objections)
        if gap is None:
            says = Sentence("The gap beside the ring is not known.")
            self.against(Objection("gap-unknown", says, Sentence("measure the metal beside it")))
        if rubber is None or gap is None or pressure_mpa is None:
            return _Size(ring.words, choice.made, oring=ring.size)
        made, backups = self.backed(named, material, gap, pressure_mpa)
        return _Size(ring.words, made or choice.made, backups, oring=ring.size)

    def backed(
        self, named: Named, material: str, gap: Gap, pressure_mpa: float
    ) -> tuple[tuple[Made, ...], Backups | None]:
        """The hardness and the back-up rings that gap and pressure ask for."""
        uses = [u for u in self.handbook.seal_uses if (u.seal, u.material) == ("O-ring", material)]
        both = self.position.pressed == "both sides"
        try:
            use, advice = backups_for(uses, gap, pressure_mpa, named.section_mm or 0.0, both, self.handbook)
        except Refusal as beyond:
            self.against(Objection("gap", beyond.sentence, Sentence("ask the seal maker")))
            return (), None
        source = "extrusion-chart-oring"
        hardness = f"{use.hardness_shore_a:g} Shore A"
        says = joined([f"{hardness}, back-up rings: {advice.where}.", *advice.reasons], " ")
        self.steps.append(
            Step("hardness and back-up rings", says, source, self.handbook.sources[source].status)
        )
        self.against(backups_in_groove(advice=advice, room=named.room))
        made = (Made("ring", material, hardness),)
        if named.room == 0:
            return made, None
        # a groove cut for back-up rings gets them: without them the ring would shuttle
        self.against(backup_for_each_side(backups=named.room, from_both_sides=both))
        backup = choose_material("back-up ring", self.state.duty, self.handbook)
        self.take(backup)
        where = advice.where if advice.count == named.room else "as the groove is cut"
        of = backup.made[0].material if backup.made else ""
        return made, Backups(named.room, where, of, advice.reasons)

    def strip(self, named: Named, choice: Choice) -> _Size:
        """A wear ring cut from strip: thickness, width, and how much of it."""
        sealed, groove, width = self.found.sealed, self.found.diameter, self.found.width
        if named.housing is None or named.section_mm is None or not (sealed and groove and width):
            return _Size(words(named), choice.made)
        thick, wide = named.section_mm, named.housing.width.nominal_mm
        gap, _ = gap_at(self.found, self.guide_of(self.found, thick), self.state.duty.swell_mm)
        if gap:
            says = Sentence(
                "The strip keeps metal off metal by {gap} at its worst.",
                {"gap": Amount(gap.metal_gap_mm, "length")},
            )
            self.steps.append(Step("metal to metal", says, "guided-gap", "read"))
        uncertain_mm = (sealed.expanded_mm + groove.expanded_mm) / 2
        self.against(
            *strip_in_groove(
                thickness_mm=thick,
                width_mm=wide,
                space_mm=abs(sealed.value_mm - groove.value_mm) / 2 + uncertain_mm,
                groove_width_mm=width.value_mm + width.expanded_mm,
                metal_gap_mm=gap.metal_gap_mm if gap else None,
                least_metal_gap_mm=self.handbook.allowances["metal-gap"],
            )
        )
        return _Size(
            Sentence("strip {size}", {"size": Amounts((thick, wide), "length")}),
            choice.made,
            None,
            "strip",
            self.cut(sealed.value_mm, thick, wide),
        )

    def cut(self, surface_mm: float, thick_mm: float, wide_mm: float) -> int:
        """Length of strip for one ring before its end gap, rounded up; the gap is left when it is cut."""
        whole = cut_length_mm(
            surface_mm=surface_mm, thickness_mm=thick_mm, end_gap_mm=0, on_rod=self.position.on == "rod"
        )
        for gap in self.handbook.strip_gaps:
            if (gap.thickness_mm, gap.width_mm) == (thick_mm, wide_mm):
                says = Sentence(
                    "{whole} round; less {between} between the ends, by size.",
                    {
                        "whole": Amount(whole, "length", -2),
                        "between": Amounts((gap.least_mm, gap.greatest_mm), "length", " to ", -2),
                    },
                )
                self.steps.append(Step("cut length", says, gap.source, gap.status))
        return math.ceil(whole)

    def guide(self) -> Guide | None:
        """The wear ring beside this seal, by its groove and the strip that will lie in it."""
        for position in self.handbook.positions.positions.values():
            if (position.seal, position.on) == ("wear-ring", self.position.on):
                found = self.state.groove((position.id, self.asked.place))
                named = name_groove(position, found, self.state.sizes, self.handbook)
                if found.strip or named.section_mm:
                    return self.guide_of(found, named.section_mm or 0.0)
        return None

    def guide_of(self, found: GrooveFound, thickness_mm: float) -> Guide | None:
        """A wear ring's groove with the strip as measured, or else one of its nominal thickness."""
        if found.diameter is None:
            return None
        if found.strip:
            return Guide(found.diameter, found.strip.size)
        return Guide(
            found.diameter, Size.plus_minus(thickness_mm, self.handbook.allowances["strip-thickness"])
        )

    def finished(self, named: Named | None, size: _Size) -> SealLine:
        """The line with its doubts, the closed ones closed."""
        count = count_of(self.position, self.found, size.backups, self.handbook)
        self.steps += [count.step] if count.step else []
        self.against(*count.objections)
        if named and named.seal:
            self.last_steps(named)
        if self.memory:
            quoted = joined(dict.fromkeys(self.memory), ", ")
            says = Sentence("Quoted from memory: {quoted}.", {"quoted": quoted})
            settles = Sentence("confirm it in the standard or with the supplier before ordering")
            self.against(Objection("memory", says, settles))
        found = self.found
        known = (
            ("groove diameter", found.diameter), ("groove width", found.width), ("seals on", found.sealed),
            ("metal beside", found.land),
        )  # fmt: skip
        line = SealLine(
            *self.asked.where, title=self.position.title, state=self.state.name, need=self.asked.need,
            measured=tuple(Dimension(name, size) for name, size in known if size),
            surface=surface_words(self.position, found), ring=size.words, made=size.made, quantity=count.number,
            unit=size.unit, cut_mm=size.cut_mm, backups=size.backups, oring=size.oring,
            steps=tuple(dict.fromkeys(self.steps)),
            doubts=tuple(Doubt(o, self.state.closing(self.asked.where, o)) for o in dict.fromkeys(self.objections)),
        )  # fmt: skip
        if named is None:
            return line
        return replace(
            line, seal=named.seal, housing=named.housing, candidates=named.candidates,
            made_to_measure=named.made_to_measure, remarks=named.remarks,
        )  # fmt: skip

    def last_steps(self, named: Named) -> None:
        """The surface it runs on, and whether it is to be had as a standard part."""
        if self.position.moves:
            ra = self.found.roughness_um
            read = "not read" if ra is None else roughness_words(ra)
            says = Sentence("Roughness it runs on: {read}; the assessment judges it.", {"read": read})
            self.steps.append(Step("surface", says))
        to_be_had = "a standard size" if named.housing else "made to measure"
        self.steps.append(Step("availability", Sentence(f"To be had as {to_be_had}.")))
