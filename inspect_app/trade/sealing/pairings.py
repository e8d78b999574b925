"""Pairings of ring, groove, back-up and gap that are wrong or in doubt, each with what settles it; knows no file."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from inspect_app.trade.measuring.amounts import Amount
from inspect_app.trade.measuring.refusal import Sentence, joined
from inspect_app.trade.measuring.required import require_finite, require_not_negative, require_positive
from inspect_app.trade.measuring.sizes import Spread
from inspect_app.trade.sealing.extrusion_limits import BackupAdvice
from inspect_app.trade.sealing.housings import Housing, Reading
from inspect_app.trade.sealing.orings import ORing, RingSizes
from inspect_app.trade.sealing.ring_fit import Band
from inspect_app.trade.sealing.seal_materials import MaterialAdvice

FULL_PERCENT = 100.0
"""A ring that fills its groove to the brim when hot has nowhere to go."""


UNSUITED = "other-material"
"""The rule that holds a material offered instead against fluid and heat; where it stops, nobody accepts it."""


@dataclass(frozen=True, slots=True)
class Objection:
    """What speaks against a seal as chosen, and what settles it.

    A stop is never overruled; what `waits` is settled by what it waits for, and by nobody's reason.
    """

    rule: str
    sentence: Sentence
    settles: Sentence
    stop: bool = False
    waits: bool = False

    @property
    def closable(self) -> bool:
        """Whether somebody may close it with initials and a reason."""
        return not (self.stop or self.waits)


def unsuitable_material(*, advice: MaterialAdvice) -> Objection | None:
    """What speaks against a material in this fluid at these temperatures.

    Args:
        advice: what the tables of materials and fluids say of it.

    >>> says = Sentence("EPDM is not for HM: oil swells it. Never fit it.")
    >>> bad = MaterialAdvice("EPDM", "not", True, says, "read", "x")
    >>> unsuitable_material(advice=bad).stop
    True
    """
    if advice.verdict == "ok":
        return None
    if advice.verdict == "not":
        return Objection("material", advice.sentence, Sentence("choose another material"), stop=True)
    settles = Sentence("the seal maker's word for this compound in this fluid")
    return Objection("material", advice.sentence, settles)


def stretch_on_groove(*, stretch_percent: float, band: Band) -> Objection | None:
    """What speaks against a ring's stretch on the groove of a piston or spigot it lies on.

    Args:
        stretch_percent: stretch of the free ring's inside, percent; negative hangs loose.
        band: the recommended stretch.
    Source: oring-design-page

    >>> band = Band("piston-groove", "stretch", None, None, 0, 5, "common-practice", "oring-design-page")
    >>> str(stretch_on_groove(stretch_percent=7.2, band=band).sentence)
    'The ring is stretched 7.2 %, at most 5 %.'
    """
    require_finite(stretch_percent=stretch_percent)
    if stretch_percent > band.greatest_percent:
        says = f"The ring is stretched {stretch_percent:.1f} %, at most {band.greatest_percent:g} %."
        return Objection("stretch", Sentence(says), Sentence("take the next larger size"))
    if stretch_percent < band.least_percent:
        says = f"The ring hangs loose in its groove by {-stretch_percent:.1f} %."
        return Objection("stretch", Sentence(says), Sentence("take the next smaller size"))
    return None


def ring_in_gland_groove(
    *, ring: ORing, groove_mm: float, rod_mm: float, outside: Band, inside: Band
) -> tuple[Objection, ...]:
    """What speaks against a ring in a groove that lies round it: its outside on the floor, its inside on the rod.

    Args:
        ring: the free ring.
        groove_mm: diameter of the groove's floor, mm.
        rod_mm: what the ring seals on, mm.
        outside: how far its outside should be over the floor, percent.
        inside: how far its inside may be under the rod, percent.
    Source: oring-outside-rule, oring-design-page

    >>> ring = ORing("222", 37.694, 0.381, 3.531, 0.102, "reprint", "as568-dimension-table")
    >>> over = Band("gland-groove", "outside", None, None, 0, 3, "from-memory", "oring-outside-rule")
    >>> under = Band("gland-groove", "stretch", None, None, 0, 2, "common-practice", "oring-design-page")
    >>> ring_in_gland_groove(ring=ring, groove_mm=44.2, rod_mm=38.1, outside=over, inside=under)
    ()
    """
    require_positive(groove_mm=groove_mm, rod_mm=rod_mm)
    over = 100 * (ring.inside_mm + 2 * ring.section_mm - groove_mm) / groove_mm
    under = 100 * (rod_mm - ring.inside_mm) / ring.inside_mm
    found = []
    if not outside.least_percent <= over <= outside.greatest_percent:
        says = (
            f"The ring's outside is {over:+.1f} % off the groove's floor,"
            f" {outside.least_percent:g} to {outside.greatest_percent:g} % over it holds it in place."
        )
        settles = Sentence("take the size whose outside fits the groove")
        found.append(Objection("ring-outside", Sentence(says), settles))
    if under > inside.greatest_percent:
        says = f"The ring's inside is {under:.1f} % under the rod, at most {inside.greatest_percent:g} %."
        found.append(Objection("ring-inside", Sentence(says), Sentence("take the next larger size")))
    return tuple(found)


def squeeze_in_groove(*, squeeze_percent: Spread, band: Band) -> Objection | None:
    """What speaks against a squeeze: none left at the worst of the tolerances stops, outside its band is a doubt.

    Args:
        squeeze_percent: squeeze, nominal and at the worst of all tolerances, percent.
        band: the recommended squeeze.
    Source: engineers-handbook-seals, oring-band-guide

    >>> band = Band("static", "squeeze", None, None, 15, 30, "read", "engineers-handbook-seals")
    >>> squeeze_in_groove(squeeze_percent=Spread(6.0, -0.5, 12.0), band=band).stop
    True
    """
    says = f"Squeeze {squeeze_percent.nominal:.1f} % ({squeeze_percent.least:.1f} to {squeeze_percent.greatest:.1f} %)"
    if squeeze_percent.least <= 0:
        settles = Sentence("rework the groove, or a seal made to measure")
        return Objection("squeeze", Sentence(f"{says}: at its worst nothing is left."), settles, stop=True)
    if not band.least_percent <= squeeze_percent.nominal <= band.greatest_percent:
        says = f"{says}, recommended {band.least_percent:g} to {band.greatest_percent:g} %."
        return Objection("squeeze", Sentence(says), Sentence("another section, or a seal made to measure"))
    return None


def fill_of_groove(*, fill_percent: Spread, band: Band) -> Objection | None:
    """What speaks against how full a groove is, hot: brimful stops, above its band is a doubt.

    Args:
        fill_percent: fill at the hottest, nominal and at the worst of all tolerances, percent.
        band: the recommended fill.
    Source: oring-band-guide

    >>> band = Band("any", "fill", None, None, 0, 85, "common-practice", "oring-band-guide")
    >>> fill_of_groove(fill_percent=Spread(88, 80, 97), band=band).stop
    False
    """
    says = f"The ring fills its groove to {fill_percent.nominal:.0f} %, at the worst {fill_percent.greatest:.0f} %"
    if fill_percent.greatest >= FULL_PERCENT:
        settles = Sentence("a thinner section, or a wider groove")
        return Objection("fill", Sentence(f"{says}: hot it has nowhere to go."), settles, stop=True)
    if fill_percent.nominal > band.greatest_percent:
        says = f"{says}; at most {band.greatest_percent:g} %."
        return Objection("fill", Sentence(says), Sentence("measure the groove again, or a thinner section"))
    return None


def backups_in_groove(*, advice: BackupAdvice, room: int) -> Objection | None:
    """What speaks against a groove that takes fewer back-up rings than the ring needs.

    Args:
        advice: how many back-up rings are needed, and why.
        room: how many the groove's width takes.
    Source: mil-g-5514g

    >>> needed = BackupAdvice(2, "one on each side of the O-ring", (Sentence("The gap is too wide."),))
    >>> str(backups_in_groove(advice=needed, room=0).sentence)
    'Back-up rings are needed, one on each side of the O-ring, and the groove takes none. The gap is too wide.'
    """
    require_not_negative(room=room)
    if advice.count <= room:
        return None
    says = f"Back-up rings are needed, {advice.where}, and the groove takes {room or 'none'}."
    settles = Sentence("a harder ring, a narrower gap, or a groove cut wider")
    return Objection("back-up", joined([says, *advice.reasons], " "), settles)


def backup_for_each_side(*, backups: int, from_both_sides: bool) -> Objection | None:
    """What speaks against a single back-up ring where pressure comes from both sides in turn.

    Args:
        backups: how many back-up rings are fitted.
        from_both_sides: whether pressure comes from both sides in turn.
    Source: mil-g-5514g

    >>> str(backup_for_each_side(backups=1, from_both_sides=True).settles)
    'fit two, one on each side of the O-ring'
    """
    if backups != 1 or not from_both_sides:
        return None
    says = Sentence("Pressure comes from both sides and there is one back-up ring only.")
    return Objection("back-up-sides", says, Sentence("fit two, one on each side of the O-ring"))


def energiser_section(*, section_mm: float, housing_mm: float, suppliers_word: bool) -> Objection | None:
    """What speaks against an O-ring of another section behind a plastic face than the housing is cut for.

    Args:
        section_mm: section of the O-ring, mm.
        housing_mm: section the housing's class has, mm.
        suppliers_word: whether the seal's supplier gave this pair in words, for this bore.
    Source: plastic-faced-trade

    >>> energiser_section(section_mm=6.99, housing_mm=5.33, suppliers_word=False).stop
    True
    """
    require_positive(section_mm=section_mm, housing_mm=housing_mm)
    if abs(section_mm - housing_mm) <= SAME_SECTION_MM or suppliers_word:
        return None
    section, housing = RingSizes((section_mm,)), RingSizes((housing_mm,))
    return Objection(
        "energiser",
        Sentence(
            "The O-ring behind the face has {section} section, the housing is for {housing}.",
            {"section": section, "housing": housing},
        ),
        Sentence("an O-ring of {housing} section, or the supplier's written word", {"housing": housing}),
        stop=True,
    )


SAME_SECTION_MM = 0.02
"""Sections printed in mm and in inch lie no farther apart: 6.99 and 6.985."""


def lips_on_piston(*, lips_face: Sequence[str], from_both_sides: bool) -> Objection | None:
    """What speaks against the single-acting lips of a piston: one for two sides, or not heel to heel.

    Args:
        lips_face: for each lip, from the rod end on, the side it faces: "rod side" or "cap side".
        from_both_sides: whether pressure comes from both sides in turn.
    Source: lip-heel-to-heel

    >>> lips_on_piston(lips_face=("rod side", "cap side"), from_both_sides=True) is None   # backs together
    True
    >>> lips_on_piston(lips_face=("cap side", "rod side"), from_both_sides=True).stop      # lips face each other
    True
    """
    if not from_both_sides or tuple(lips_face) == ("rod side", "cap side"):
        return None
    if len(lips_face) < 2:
        says = Sentence("A single-acting lip holds pressure from one side, and it comes from both.")
        settles = Sentence("look for the second groove, or take a seal for both sides")
        return Objection("lone-lip", says, settles)
    facing = " and ".join(lips_face)
    says = Sentence(f"Lips that face {facing} trap oil between them or leave one side open.")
    settles = Sentence("turn them heel to heel: the lips away from each other")
    return Objection("lips", says, settles, stop=True)


def groove_worn_out(*, width: Reading, housing: Housing, allowance_mm: float) -> Objection | None:
    """What speaks against a groove wider than its housing and its wear allowance together.

    Args:
        width: the width as read.
        housing: the housing it was.
        allowance_mm: how far wear may have widened it, mm.
    Source: groove-wear

    >>> from inspect_app.trade.sealing.housings import Allowed
    >>> ring = Housing("ISO 10766", "ISO 10766 piston 80 x 75 x 9.7", "wear-ring", "piston", Allowed(80, 0, 0.074),
    ...                Allowed(75, -0.046, 0), Allowed(9.7, 0, 0.2), 0.2, 2.5, 0.9, "read", "wear-ring-sheet")
    >>> groove_worn_out(width=Reading(10.2, 0.01), housing=ring, allowance_mm=0.15).rule
    'worn-groove'
    """
    require_not_negative(allowance_mm=allowance_mm)
    beyond_mm = width.value_mm - housing.width.nominal_mm - housing.width.upper_mm - allowance_mm
    if beyond_mm <= 0:
        return None
    says = Sentence(
        "The groove is {width} wide, {beyond} beyond {housing} and the {allowance} that wear is allowed.",
        {
            "width": Amount(width.value_mm, "length"),
            "beyond": Amount(beyond_mm, "length", -1),
            "housing": housing.designation,
            "allowance": Amount(allowance_mm, "length"),
        },
    )
    settles = Sentence("rework the groove first, or have the seal made to measure")
    return Objection("worn-groove", says, settles)
