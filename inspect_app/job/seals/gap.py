"""The pressure, the speed and the gap at one seal, and what they ask for: back-up rings, or the seal's own sheet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from inspect_app.job.seals.inputs import CylinderState, GrooveFound, Known, SheetFigure
from inspect_app.job.seals.line import Step
from inspect_app.tables.positions import Kind, Position
from inspect_app.tables.standards.handbook import Handbook
from inspect_app.trade.measuring.amounts import Amount
from inspect_app.trade.measuring.refusal import UNSAID, Refusal, Said, Sentence
from inspect_app.trade.measuring.sizes import Size
from inspect_app.trade.sealing.extrusion import Gap, gland_gap, piston_gap, plain_gap
from inspect_app.trade.sealing.extrusion_limits import BackupAdvice, backup_rings, judge_gap
from inspect_app.trade.sealing.pairings import Objection
from inspect_app.trade.sealing.seal_uses import SealUse
from inspect_app.trade.strength.force import rod_side_pressure_mpa

MM_MIN_PER_M_S = 60_000


@dataclass(frozen=True, slots=True)
class Guide:
    """The wear ring that carries the part beside a seal: its groove, and the thickness of the new strip."""

    groove: Known
    strip: Size


@dataclass(frozen=True, slots=True)
class Found:
    """What a step came to: a value or None, the step in words, and what is in doubt."""

    value: float | None
    step: Step
    objections: tuple[Objection, ...] = ()


def pressure_at(position: Position, state: CylinderState, kind: Kind) -> Found:
    """The greatest pressure a seal stands, MPa: of the rod side the intensified one where its port can be throttled.

    Args:
        position: which seal.
        state: the cylinder.
        kind: its kind.
    Source: intensification
    """
    rated = state.duty.rated_mpa
    if rated is None:
        says = Sentence("The rated pressure is not known.")
        against = Objection("pressure", says, Sentence("find the rated pressure"))
        return Found(None, Step("pressure", says), (against,))
    said: dict[str, Said | str] = {"rated": Amount(rated, "pressure")}
    plain = Found(rated, Step("pressure", Sentence("{rated}, the rated pressure.", said)))
    if position.pressed == "cap side" or not kind.intensifies or state.duty.throttled is False:
        return plain
    if state.bore_mm is None or state.rod_mm is None:
        says = Sentence("Bore or rod is not known, so neither is the pressure a throttled rod side may see.")
        return Found(rated, plain.step, (Objection("pressure", says, Sentence("give bore and rod")),))
    try:
        raised = rod_side_pressure_mpa(bore_mm=state.bore_mm, rod_mm=state.rod_mm, cap_pressure_mpa=rated)
    except Refusal as impossible:
        against = Objection("pressure", impossible.sentence, Sentence("mend bore and rod"))
        return Found(rated, plain.step, (against,))
    why = (
        "its port can be throttled"
        if state.duty.throttled
        else "nobody said on the nameplate that its port is never throttled"
    )
    said |= {"raised": Amount(raised, "pressure")}
    said |= {"bore": Amount(state.bore_mm, "length"), "rod": Amount(state.rod_mm, "length")}
    says = Sentence(
        f"{{raised}}: rated {{rated}} × {raised / rated:.2f} on the rod side, bore {{bore}} and rod {{rod}}; {why}.",
        said,
    )
    return Found(raised, Step("pressure", says, "intensification", "read"))


def speed_of(uses: Sequence[SealUse], seal: str, speed_m_s: float | None, slow_m_s: float) -> Found:
    """Whether a seal is for this speed.

    Args:
        uses: what the seal is made of.
        seal: the kind of seal.
        speed_m_s: speed of the rod, m/s; None where nobody knows it.
        slow_m_s: below this a plastic-faced seal is preferred, m/s.
    Source: seal-choice
    """
    limits = [use for use in uses if use.greatest_m_s is not None]
    greatest = min((use.greatest_m_s or 0.0 for use in limits), default=None)
    if greatest is None:
        return Found(None, Step("speed", Sentence("Nothing runs on it.")))
    source, status = limits[0].source, limits[0].status
    if speed_m_s is None:
        says = Sentence("Nobody knows how fast the rod runs.")
        takes = Sentence(
            f"{says} The trade takes a {seal} to about {{greatest}}.", {"greatest": _running(greatest)}
        )
        against = Objection("speed", says, Sentence("ask how fast the rod runs"))
        return Found(None, Step("speed", takes, source, status), (against,))
    said = {"runs": _running(speed_m_s), "greatest": _running(greatest)}
    takes = Sentence(f"{{runs}}; the trade takes a {seal} to about {{greatest}}.", said)
    step = Step("speed", takes, source, status)
    if speed_m_s > greatest:
        return Found(speed_m_s, step, (Objection("too-fast", takes, Sentence("a plastic-faced seal")),))
    if speed_m_s < slow_m_s and seal != "plastic-faced seal":
        says = Sentence(f"{{runs}} is slow: a {seal} may stick and slip.", said)
        settles = Sentence("a plastic-faced seal, or the seal maker's word")
        return Found(speed_m_s, step, (Objection("too-slow", says, settles),))
    return Found(speed_m_s, step)


def _running(m_s: float) -> Amount:
    return Amount(MM_MIN_PER_M_S * m_s, "running speed")


def gap_at(found: GrooveFound, guide: Guide | None, swell_mm: float | None) -> tuple[Gap | None, Step]:
    """The gap beside a seal at working pressure, at its widest.

    Args:
        found: the groove, with the surface it seals on and the metal beside it.
        guide: the wear ring that will carry the part, None where metal does.
        swell_mm: growth of the bore on diameter; None where the wall is not known.
    Source: guided-gap, iso-7425-1
    """
    if found.sealed is None or found.land is None:
        says = Sentence("The gap is not known: measure the metal beside the groove and what it seals on.")
        return None, Step("gap", says)
    inside = found.sealed.value_mm <= found.land.value_mm
    inner, outer = (found.sealed, found.land) if inside else (found.land, found.sealed)
    swell = 0.0 if inside else swell_mm or 0.0
    try:
        if guide is None:
            gap = plain_gap(inner=inner.size, outer=outer.size, swell_mm=swell)
        elif inside:
            gap = gland_gap(
                rod=inner.size, land=outer.size, ring_groove=guide.groove.size, ring_thickness=guide.strip
            )
        else:
            gap = piston_gap(
                bore=outer.size, land=inner.size, ring_groove=guide.groove.size, ring_thickness=guide.strip,
                swell_mm=swell,
            )  # fmt: skip
    except Refusal as no_gap:
        return None, Step("gap", Sentence("The gap is not known: {why}", {"why": no_gap.sentence}))
    says = Sentence(
        "Gap at its widest {radial} radial, {diametral} diametral, {how}{swelling}.",
        {
            "radial": Amount(gap.one_sided_mm, "length"),
            "diametral": Amount(gap.diametral_mm, "length"),
            "how": _carried_words(guide),
            "swelling": UNSAID if inside else _swelling_words(swell_mm),
        },
    )
    return gap, Step("gap", says, "guided-gap" if guide else "iso-7425-1", "read")


def _carried_words(guide: Guide | None) -> Sentence:
    if guide is None:
        return Sentence("metal on metal on the other side")
    return Sentence("carried by a strip of {strip}", {"strip": Amount(guide.strip.nominal_mm, "length")})


def _swelling_words(swell_mm: float | None) -> Sentence:
    if swell_mm is None:
        return Sentence(", swelling not counted")
    return Sentence(", swelling of {swell} counted", {"swell": Amount(swell_mm, "length")})


def unknown_swell(found: GrooveFound, swell_mm: float | None) -> tuple[Objection, ...]:
    """What speaks against a gap in a bore whose swelling nobody can compute.

    Args:
        found: the groove.
        swell_mm: the growth of the bore, None where it is not known.
    """
    outside = found.sealed and found.land and found.sealed.value_mm > found.land.value_mm
    if swell_mm is not None or not outside:
        return ()
    says = Sentence(
        "How much the bore grows under pressure is not counted in the gap: the wall is not known."
    )
    settles = Sentence("measure the barrel's outside or its wall, and give the rated pressure")
    return (Objection("swell", says, settles),)


def by_the_sheet(
    seal: str,
    gap: Gap | None,
    pressure_mpa: float | None,
    section_mm: float | None,
    sheet: SheetFigure | None,
    handbook: Handbook,
) -> tuple[tuple[Step, ...], tuple[Objection, ...]]:
    """Our gap beside the figure of the seal's own sheet: the sheet decides, and without it nothing is passed.

    Args:
        seal: the kind of seal.
        gap: our gap, None where it is not known.
        pressure_mpa: the pressure at the seal.
        section_mm: section of the O-ring behind a plastic face.
        sheet: the figure off the sheet, None where nobody has given it.
        handbook: the trade's figures for plastic faces.
    Source: plastic-faced-trade, land-clearance
    """  # fmt: skip
    ours = Sentence("our gap is not known")
    if gap:
        ours = Sentence("our gap is {gap} radial", {"gap": Amount(gap.one_sided_mm, "length")})
    steps: list[Step] = []
    if seal == "plastic-faced seal" and gap and pressure_mpa and section_mm:
        try:
            trade = judge_gap(
                gap=gap, pressure_mpa=pressure_mpa, section_mm=section_mm, hardness_shore_a=None, seal="plastic-faced",
                limits=handbook.gaps,
            )  # fmt: skip
            steps.append(
                Step("gap, the trade's figure", trade.sentence, trade.limit.source, trade.limit.status)
            )
        except Refusal as beyond:
            steps.append(Step("gap, the trade's figure", beyond.sentence))
    if sheet is None:
        says = Sentence("The seal's sheet decides how wide a gap it stands; {ours}.", {"ours": ours})
        settles = Sentence("give the greatest gap off the seal's sheet, and which sheet")
        return tuple(steps), (Objection("sheet", says, settles),)
    greatest = Amount(sheet.greatest_gap_mm, "length")
    says = Sentence(
        "Sheet {sheet}: at most {greatest} radial; {ours}.",
        {"sheet": sheet.sheet, "greatest": greatest, "ours": ours},
    )
    steps.append(Step("gap, the seal's sheet", says, "", ""))
    if gap is None:
        return tuple(steps), (
            Objection("gap-unknown", says, Sentence("measure the metal beside the groove")),
        )
    if gap.one_sided_mm > sheet.greatest_gap_mm:
        settles = Sentence("a back-up ring by the sheet, a new part with a narrower land, or another seal")
        wider = Sentence("{says} It is wider than the sheet allows.", {"says": says})
        return tuple(steps), (Objection("gap", wider, settles),)
    return tuple(steps), ()


def backups_for(
    uses: Sequence[SealUse],
    gap: Gap,
    pressure_mpa: float,
    section_mm: float,
    both_sides: bool,
    handbook: Handbook,
) -> tuple[SealUse, BackupAdvice]:
    """The softest hardness of a ring that needs no back-up rings here; else the hardest, with those it needs.

    Args:
        uses: the hardnesses to be had, softest first.
        gap: the gap at working pressure.
        pressure_mpa: the pressure at the ring.
        section_mm: section of the ring.
        both_sides: whether pressure comes from both sides in turn.
        handbook: the tables of gaps.
    Raises:
        Refusal: when the tables do not cover the ring.
    Source: extrusion-chart-oring, extrusion-table-by-section, mil-g-5514g
    """
    tried = []
    for use in sorted(uses, key=lambda use: use.hardness_shore_a or 0.0):
        advice = backup_rings(
            gap=gap,
            pressure_mpa=pressure_mpa,
            section_mm=section_mm,
            hardness_shore_a=use.hardness_shore_a or 0.0,
            from_both_sides=both_sides,
            consider_above_mpa=handbook.allowances["backup-pressure"],
            limits=handbook.gaps,
        )
        tried.append((use, advice))
        if advice.count == 0:
            break
    return tried[-1]
