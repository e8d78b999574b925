"""Sizes and strips that are taken for one another, and what gives them away; knows no file."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from inspect_app.trade.measuring.amounts import Amount
from inspect_app.trade.measuring.decision import Verdict, decide
from inspect_app.trade.measuring.refusal import Sentence
from inspect_app.trade.measuring.required import require_finite, require_not_negative, require_positive
from inspect_app.trade.measuring.wording import capital
from inspect_app.trade.sealing.orings import ORing, RingSizes
from inspect_app.trade.sealing.pairings import SAME_SECTION_MM, Objection


@dataclass(frozen=True, slots=True)
class Twins:
    """A metric and an inch size that are taken for each other; `of` is section or diameter."""

    of: str
    metric_mm: float
    inch_mm: float
    status: str
    source: str


def missing_width(*, width_known: bool) -> Objection | None:
    """What speaks against naming a housing by its diameter alone.

    Args:
        width_known: whether the groove's width was measured.
    Source: housing-match

    >>> str(missing_width(width_known=False).settles)
    'measure the width of the groove'
    """
    if width_known:
        return None
    says = Sentence(
        "The width of the groove is not known. Diameter alone names no housing:"
        " 80 x 95 x 12.5 and 80 x 95.1 x 6.3 differ by their width."
    )
    return Objection("width", says, Sentence("measure the width of the groove"))


def metric_or_inch(*, value_mm: float, u_mm: float, of: str, twins: Sequence[Twins]) -> Objection | None:
    """What speaks against taking a size for metric, or for inch, where both lie within what was read.

    Args:
        value_mm: the size as read, mm.
        u_mm: its expanded uncertainty, mm.
        of: what it is: section or diameter.
        twins: the sizes that are taken for each other.
    Source: metric-inch-twins

    >>> twins = [Twins("section", 3.55, 3.53, "from-memory", "metric-inch-twins")]
    >>> str(metric_or_inch(value_mm=3.54, u_mm=0.03, of="section", twins=twins).sentence)
    'Section 3.54 mm may be 3.53 mm (inch) or 3.55 mm (metric): measuring does not tell them apart.'
    """
    require_positive(value_mm=value_mm)
    require_not_negative(u_mm=u_mm)
    for pair in twins:
        # either of the two explains the reading
        near = [abs(value_mm - mm) <= u_mm for mm in (pair.metric_mm, pair.inch_mm)]
        if pair.of == of and all(near):
            says = Sentence(
                f"{capital(of)} {{value}} may be {{inch}} (inch) or {{metric}} (metric): measuring does not"
                " tell them apart.",
                {
                    "value": Amount(value_mm, "length"),
                    "inch": Amount(pair.inch_mm, "length"),
                    "metric": Amount(pair.metric_mm, "length"),
                },
            )
            settles = Sentence("say whether the cylinder is metric or inch, or ask its maker")
            return Objection("twins", says, settles)
    return None


def other_system(
    *, value_mm: float, u_mm: float, of: str, sizes: str, twins: Sequence[Twins]
) -> Objection | None:
    """What speaks against a size that is the other system's, of a cylinder that was said to be metric, or inch.

    Args:
        value_mm: the size, mm.
        u_mm: how well it is known, mm.
        of: what it is: section or diameter.
        sizes: what the cylinder was said to be: metric or inch.
        twins: the sizes that are taken for each other.
    Source: metric-inch-twins

    >>> twins = [Twins("diameter", 50, 50.8, "from-memory", "metric-inch-twins")]
    >>> str(other_system(value_mm=50.8, u_mm=0.05, of="diameter", sizes="metric", twins=twins).sentence)
    'Diameter 50.8 mm is an inch size, and the cylinder was said to be metric.'
    """
    require_positive(value_mm=value_mm)
    require_not_negative(u_mm=u_mm)
    for pair in (p for p in twins if p.of == of):
        said, other = (pair.metric_mm, pair.inch_mm)[:: 1 if sizes == "metric" else -1]
        if abs(value_mm - other) <= u_mm < abs(value_mm - said):
            called = "an inch" if sizes == "metric" else "a metric"
            says = Sentence(
                f"{capital(of)} {{value}} is {called} size, and the cylinder was said to be {sizes}.",
                {"value": Amount(value_mm, "length")},
            )
            return Objection(
                "twins", says, Sentence("say again whether it is metric or inch, or ask its maker")
            )
    return None


def old_ring_differs(
    *, old_section_mm: float, section_mm: float, sections_mm: Sequence[float]
) -> Objection | None:
    """What speaks against a ring whose section is not that of the one that came out.

    An old ring is set or swollen: it is held against the listed section it lies nearest to, never ordered by.

    Args:
        old_section_mm: section of the old ring as measured, mm.
        section_mm: section the groove asks for, mm.
        sections_mm: the sections there are, mm.
    Source: old-ring-evidence

    >>> old_ring_differs(old_section_mm=3.42, section_mm=5.33, sections_mm=(2.62, 3.53, 5.33)).rule
    'old-ring'
    """
    require_positive(old_section_mm=old_section_mm, section_mm=section_mm)
    nearest_mm = min(sections_mm, key=lambda mm: abs(mm - old_section_mm), default=section_mm)
    if abs(nearest_mm - section_mm) <= SAME_SECTION_MM:
        return None
    says = Sentence(
        "The old ring has {old} section, nearest to {nearest}; the groove asks for {asked}.",
        {
            "old": RingSizes((old_section_mm,)),
            "nearest": RingSizes((nearest_mm,)),
            "asked": RingSizes((section_mm,)),
        },
    )
    settles = Sentence("measure the groove again: somebody may have fitted what he had")
    return Objection("old-ring", says, settles)


@dataclass(frozen=True, slots=True)
class SectionCame:
    """The section of a ring that came, against the size that was ordered."""

    verdict: Verdict
    sentence: Sentence


def section_that_came(*, section_mm: float, u_mm: float, ring: ORing) -> SectionCame:
    """The section of a ring that came, held against the tolerance of the size that was ordered.

    Args:
        section_mm: its section as measured, mm.
        u_mm: its expanded uncertainty, mm.
        ring: the size that was ordered.
    Source: as568-dimension-table, iso-3601-1, iso-14253-1

    >>> ring = ORing("344", 123.19, 0.76, 5.33, 0.13, "reprint", "as568-dimension-table")
    >>> came = section_that_came(section_mm=5.10, u_mm=0.04, ring=ring)
    >>> str(came.sentence)
    'Section 5.1 mm ± 0.04 mm is not that of AS568-344, 5.33 mm ± 0.13 mm: another ring came.'
    """
    require_positive(section_mm=section_mm)
    require_not_negative(u_mm=u_mm)
    off, u, tolerance = (
        Decimal(f"{mm:.6f}") for mm in (section_mm - ring.section_mm, u_mm, ring.section_tolerance_mm)
    )
    verdict = decide(value=off, lower=-tolerance, upper=tolerance, expanded_uncertainty=u).verdict
    is_it = {
        Verdict.WITHIN: "is that of AS568-{dash}, {section} ± {tolerance}.",
        Verdict.BEYOND: "is not that of AS568-{dash}, {section} ± {tolerance}: another ring came.",
    }.get(verdict, "is too close to the limits of AS568-{dash} to call, {section} ± {tolerance}.")
    says = Sentence(
        f"Section {{measured}} ± {{u}} {is_it}",
        {
            "measured": Amount(section_mm, "length"),
            "u": Amount(u_mm, "length"),
            "dash": ring.dash,
            "section": RingSizes((ring.section_mm,)),
            "tolerance": Amount(ring.section_tolerance_mm, "length", -1),
        },
    )
    return SectionCame(verdict, says)


def strip_in_groove(
    *,
    thickness_mm: float,
    width_mm: float,
    space_mm: float,
    groove_width_mm: float,
    metal_gap_mm: float | None,
    least_metal_gap_mm: float,
) -> tuple[Objection, ...]:
    """What speaks against a wear ring: too thick for its space, so thin that metal comes near metal, too wide.

    Args:
        thickness_mm: nominal thickness of the strip, mm.
        width_mm: nominal width of the strip, mm.
        space_mm: nominal radial space between groove and bore, or groove and rod, mm.
        groove_width_mm: width of the groove, mm.
        metal_gap_mm: least distance it keeps metal off metal, mm; None where the land is not known.
        least_metal_gap_mm: how much is asked for, mm.
    Valid: nominal sizes; at the worst of the tolerances a strip may be thicker than its space by its own tolerance.
    Source: guided-gap

    >>> [o.rule for o in strip_in_groove(thickness_mm=2.5, width_mm=9.7, space_mm=2.0, groove_width_mm=9.8,
    ...                                  metal_gap_mm=0.3, least_metal_gap_mm=0.1)]
    ['strip-thick']
    """
    require_positive(thickness_mm=thickness_mm, width_mm=width_mm, space_mm=space_mm)
    require_positive(groove_width_mm=groove_width_mm)
    require_not_negative(least_metal_gap_mm=least_metal_gap_mm)
    if metal_gap_mm is not None:
        require_finite(metal_gap_mm=metal_gap_mm)
    found = []
    if thickness_mm > space_mm:
        says = Sentence(
            "The strip is {thickness} thick and the space {space}: it jams.",
            {"thickness": Amount(thickness_mm, "length"), "space": Amount(space_mm, "length")},
        )
        settles = Sentence("measure groove and mate again; a thinner strip")
        found.append(Objection("strip-thick", says, settles, stop=True))
    if width_mm > groove_width_mm:
        says = Sentence(
            "The strip is {width} wide and the groove {groove}.",
            {"width": Amount(width_mm, "length"), "groove": Amount(groove_width_mm, "length")},
        )
        found.append(Objection("strip-wide", says, Sentence("a narrower strip"), stop=True))
    if metal_gap_mm is not None and metal_gap_mm < least_metal_gap_mm:
        says = Sentence(
            "The strip keeps metal off metal by {gap}, at least {least} is needed.",
            {"gap": Amount(metal_gap_mm, "length"), "least": Amount(least_metal_gap_mm, "length")},
        )
        settles = Sentence("a thicker strip, or a land turned smaller")
        found.append(Objection("strip-thin", says, settles, stop=True))
    return tuple(found)
