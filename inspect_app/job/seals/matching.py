"""Names the housing a groove is: by diameter, width and place together, or made to measure with every dimension."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from inspect_app.job.groove import TYPED_WITHIN_MM
from inspect_app.job.seals.inputs import GrooveFound, Known
from inspect_app.job.seals.line import Dimension, Step
from inspect_app.tables.positions import Position
from inspect_app.tables.standards.handbook import Handbook
from inspect_app.trade.measuring.amounts import Amount
from inspect_app.trade.measuring.refusal import Sentence, joined
from inspect_app.trade.sealing.housings import (
    Allowed,
    Candidate,
    Housing,
    Match,
    MeasuredGroove,
    Part,
    Reading,
    match,
)
from inspect_app.trade.sealing.mistaken import metric_or_inch, missing_width, other_system
from inspect_app.trade.sealing.orings import Gland, RingSizes
from inspect_app.trade.sealing.pairings import Objection, groove_worn_out

ORING = "O-ring gland"
"""Stands where a housing's standard would: these tables are suppliers', the standard's own was not read."""

SEAL_OF = {
    "ISO 5597": "lip seal",
    "ISO 6547": "compact set",
    "ISO 7425-1": "plastic-faced seal",
    "ISO 7425-2": "plastic-faced seal",
    "ISO 6195": "wiper",
    "ISO 10766": "wear ring",
    ORING: "O-ring",
}
"""The seal that goes into a housing of a standard."""

UNNAMED = {
    "rod": "lip seal",
    "piston": "lip seal",
    "wiper": "wiper",
    "wear-ring": "wear ring",
    "static": "O-ring",
}
"""What is made to measure for a groove that is no listed housing."""


@dataclass(frozen=True, slots=True)
class Named:
    """What a groove is: its seal, its housing or the dimensions for one made to measure, and what is in doubt.

    `section_mm` is the section of its O-ring or the thickness of its strip, `room` how many back-up rings the groove
    takes.
    """

    seal: str
    housing: Housing | None
    candidates: tuple[Candidate, ...]
    made_to_measure: tuple[Dimension, ...]
    section_mm: float | None
    room: int
    objections: tuple[Objection, ...]
    remarks: tuple[str, ...]
    steps: tuple[Step, ...]


@dataclass(frozen=True, slots=True)
class _Row:
    """A housing a groove may be, and how many back-up rings it takes."""

    housing: Housing
    room: int = 0


def name_groove(position: Position, found: GrooveFound, sizes: str, handbook: Handbook) -> Named:
    """The housing of a groove.

    The groove is named by the size it was cut for, so that a honed bore does not make it another one; an inch
    cylinder is held against inch tables only, a metric one against metric tables.

    Args:
        position: which seal.
        found: the groove.
        sizes: metric, inch, or "" where nobody has said.
        handbook: the standard housings and O-ring glands.
    Source: housing-match, groove-wear
    """
    objections = [*_missing(found, sizes), *_mistaken(found, sizes, handbook)]
    surface_mm = _surface_mm(found)
    if found.diameter is None or found.width is None or surface_mm is None:
        return Named("", None, (), (), None, 0, tuple(objections), (), ())
    rows = list(_rows(position, found, surface_mm, sizes, handbook))
    matched = _match(found, surface_mm, [row.housing for row in rows], handbook)
    if matched.made_to_measure:
        made = _made(position, found, matched, objections, handbook)
        # of the standards' own tables most were not to be read: a groove may be standard and not be known here
        unlisted = position.unlisted and sizes != "inch"
        said = (
            f"Not in the tables here: {position.unlisted}. Look in the standard whether it is one of those."
        )
        return replace(made, remarks=(said,) if unlisted else ())
    first = matched.candidates[0]
    row = next(row for row in rows if row.housing is first.housing)
    if len(matched.candidates) > 1:
        named = joined((candidate.housing.designation for candidate in matched.candidates), ", ")
        says = Sentence(f"{len(matched.candidates)} housings fit: {{named}}.", {"named": named})
        settles = Sentence("measure what tells them apart, or show the old seal")
        objections.append(Objection("which-housing", says, settles))
    step = Step("housing", first.sentence, first.housing.source, first.housing.status)
    worn = tuple(f"Worn: {name} lies beyond the housing's own tolerance." for name in first.worn)
    objections += _oversize(found, first.housing)
    return Named(
        SEAL_OF[first.housing.standard], first.housing, matched.candidates, (), first.housing.ring_section_mm,
        row.room, tuple(objections), worn, (step,),
    )  # fmt: skip


def _missing(found: GrooveFound, sizes: str) -> Iterator[Objection]:
    if not sizes:
        says = Sentence("Nobody has said whether the cylinder is metric or inch.")
        yield Objection("sizes", says, Sentence("answer: metric or inch"))
    if found.diameter is None:
        says = Sentence("The diameter of the groove is not known.")
        yield Objection("diameter", says, Sentence("measure the diameter of the groove"))
    if width := missing_width(width_known=found.width is not None):
        yield width
    if _surface_mm(found) is None:
        says = Sentence("The size of the surface it seals on is not known.")
        yield Objection("sealed", says, Sentence("measure what it seals on"))
    typed = [
        name
        for name, known in (("diameter", found.diameter), ("width", found.width))
        if known and not known.readings
    ]
    if typed:
        says = Sentence(f"The groove's {' and '.join(typed)} was typed, not measured.")
        yield Objection("typed", says, Sentence("measure the groove"))


def _mistaken(found: GrooveFound, sizes: str, handbook: Handbook) -> Iterator[Objection]:
    """Sizes that may be metric or inch, and one that is the other's than the cylinder was said to be."""
    if found.old_section and not sizes:
        old = found.old_section
        twins = metric_or_inch(
            value_mm=old.value_mm, u_mm=old.expanded_mm, of="section", twins=handbook.twins
        )
        yield from [twins] if twins else []
    surface_mm = _surface_mm(found)
    if surface_mm is None:
        return
    measured = found.sealed.expanded_mm if found.sealed and found.nominal_mm is None else 0.0
    u_mm = max(float(TYPED_WITHIN_MM), measured)
    if sizes:
        against = other_system(
            value_mm=surface_mm, u_mm=u_mm, of="diameter", sizes=sizes, twins=handbook.twins
        )
    else:
        against = metric_or_inch(value_mm=surface_mm, u_mm=u_mm, of="diameter", twins=handbook.twins)
    yield from [against] if against else []


def _surface_mm(found: GrooveFound) -> float | None:
    """The size a groove was cut for: the nominal one where there is one, else what was measured."""
    if found.nominal_mm is not None:
        return found.nominal_mm
    return found.sealed.value_mm if found.sealed else None


def _outward(found: GrooveFound, surface_mm: float) -> bool:
    """Whether the groove lies round its ring, as in a gland, rather than under it."""
    return found.diameter is not None and found.diameter.value_mm > surface_mm


def _rows(
    position: Position, found: GrooveFound, surface_mm: float, sizes: str, handbook: Handbook
) -> Iterator[_Row]:
    """The housings of this place, this size and this system, and of no other."""
    outward = _outward(found, surface_mm)
    part: Part = "gland" if outward else "piston"
    for housing in handbook.housings if sizes != "inch" else ():
        near = abs(housing.sealed.nominal_mm - surface_mm) <= float(TYPED_WITHIN_MM)
        if (housing.kind, housing.groove_in) == (position.seal, part) and (near or found.nominal_mm is None):
            yield _Row(housing)
    if position.seal in ("rod", "piston", "static"):
        service = "reciprocating" if position.moves else "static"
        glands = [g for g in handbook.glands if g.application == service and sizes in ("", g.printed_in)]
        for key in dict.fromkeys((round(g.section_mm, 2), g.backups) for g in glands):
            same = [g for g in glands if (round(g.section_mm, 2), g.backups) == key]
            yield _Row(_gland_housing(same, position, surface_mm, part, handbook.allowances), key[1])


def _gland_housing(
    glands: Sequence[Gland],
    position: Position,
    surface_mm: float,
    part: Part,
    allowances: Mapping[str, float],
) -> Housing:
    """The published glands of one ring as one housing: the tables differ a little, and are taken together."""
    known = [g for g in glands if g.status != "from-memory"] or list(glands)
    side = 1 if part == "gland" else -1
    depth_mm, width_mm = allowances["gland-depth"], allowances["gland-width"]
    ends = sorted(
        surface_mm + side * 2 * depth
        for depth in (
            min(g.depth_least_mm for g in known) - depth_mm,
            max(g.depth_greatest_mm for g in known) + depth_mm,
        )
    )
    widths = (
        min(g.width_least_mm for g in known) - width_mm,
        max(g.width_greatest_mm for g in known) + width_mm,
    )
    section_mm, backups = round(glands[0].section_mm, 2), glands[0].backups
    rings = {0: "no back-up ring", 1: "one back-up ring", 2: "two back-up rings"}[backups]
    name = Sentence(
        f"{ORING} {glands[0].application} for section {{section}}, {rings}",
        {"section": RingSizes((section_mm,))},
    )
    return Housing(
        ORING, name, position.seal, part,
        Allowed(surface_mm, 0.0, 0.0), _between(*ends), _between(*widths), None, section_mm, None,
        known[0].status, known[0].source,
    )  # fmt: skip


def _between(low_mm: float, high_mm: float) -> Allowed:
    middle = round((low_mm + high_mm) / 2, 3)
    return Allowed(middle, round(low_mm - middle, 3), round(high_mm - middle, 3))


def _match(found: GrooveFound, surface_mm: float, housings: Sequence[Housing], handbook: Handbook) -> Match:
    assert found.diameter
    assert found.width
    allowances = handbook.allowances
    diameter = found.diameter.reading(2 * allowances["groove-wear-depth"])
    sealed = None
    if found.nominal_mm is None and found.sealed:
        sealed = found.sealed.reading()
        # the depth is a difference: what is uncertain of the surface is uncertain of it too
        diameter = Reading(diameter.value_mm, math.hypot(diameter.u_mm, sealed.u_mm), diameter.wear_mm)
    groove = MeasuredGroove(
        "gland" if _outward(found, surface_mm) else "piston",
        diameter,
        found.width.reading(allowances["groove-wear-width"]),
        sealed,
    )
    return match(measured=groove, housings=housings, k=allowances["match-uncertainties"])


def _oversize(found: GrooveFound, housing: Housing) -> list[Objection]:
    """What speaks against a surface that is no longer of the size its housing is for: honed, ground or worn."""
    if found.sealed is None or housing.standard == ORING:
        return []
    low = housing.sealed.nominal_mm + housing.sealed.lower_mm - found.sealed.expanded_mm
    high = housing.sealed.nominal_mm + housing.sealed.upper_mm + found.sealed.expanded_mm
    if low <= found.sealed.value_mm <= high:
        return []
    says = Sentence(
        "It seals on {sealed}; the housing is for {housing}.",
        {"sealed": Amount(found.sealed.value_mm, "length"), "housing": housing.sealed},
    )
    settles = Sentence(
        "the supplier's written word for this size, a new part cut for it, or bring the surface back to size"
    )
    return [Objection("off-size", says, settles)]


def _made(
    position: Position, found: GrooveFound, matched: Match, objections: list[Objection], handbook: Handbook
) -> Named:
    """What its maker needs: every dimension, the missing ones named."""
    nearest = matched.nearest
    k = handbook.allowances["match-uncertainties"]
    if nearest and found.width and nearest.groove_off <= k < nearest.width_off:
        worn = groove_worn_out(
            width=found.width.reading(),
            housing=nearest.housing,
            allowance_mm=handbook.allowances["groove-wear-width"],
        )
        objections += [worn] if worn else []
    corner = Known(found.corner_mm, 0.0) if found.corner_mm else None
    dimensions = (
        Dimension("seals on", found.sealed),
        Dimension("groove diameter", found.diameter),
        Dimension("groove width", found.width),
        Dimension("corner radius", corner),
        Dimension("lead-in", None, found.lead_in),
    )
    missing = [d.name for d in dimensions if d.known is None and not d.words]
    if missing:
        says = Sentence(f"Made to measure needs every dimension; missing: {', '.join(missing)}.")
        objections.append(Objection("dimensions", says, Sentence(f"measure {', '.join(missing)}")))
    says = Sentence("The maker draws it: somebody must approve the drawing.")
    objections.append(Objection("drawing", says, Sentence("approve the maker's drawing")))
    step = Step("housing", matched.sentence, "housing-match", "common-practice")
    seal = UNNAMED.get(position.seal, "")
    return Named(seal, None, (), dimensions, None, 0, tuple(objections), (), (step,))
