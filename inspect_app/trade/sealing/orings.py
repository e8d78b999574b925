"""O-ring sizes and the published glands they go in: which ring, which section; knows no pressure."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from inspect_app.trade.measuring.amounts import Amount, Amounts
from inspect_app.trade.measuring.refusal import Refusal, Sentence, joined
from inspect_app.trade.measuring.required import require_finite, require_not_negative, require_positive
from inspect_app.trade.sealing.oring_sums import stretch_percent

_THOU = Decimal("0.001")
_INCH_MM = Decimal("25.4")


@dataclass(frozen=True, slots=True)
class RingSizes:
    """Sizes of rings as the trade prints them: mm to the hundredth without idle zeros, inches to the thousandth.

    >>> RingSizes((24.99, 5.33)).words("inch"), RingSizes((24.99, 5.0)).words("metric")
    ('0.984 × 0.210 in', '24.99 × 5 mm')
    """

    values_mm: tuple[Decimal | float, ...]
    between: str = " × "

    def words(self, system: str) -> str:
        """Numbers and unit; `system` is "metric" or "inch"."""
        if system != "inch":
            return Amounts(self.values_mm, "length", self.between, -1).words(system)
        inches = (f"{(Decimal(f'{mm:.6f}') / _INCH_MM).quantize(_THOU):f}" for mm in self.values_mm)
        return f"{self.between.join(inches)} in"

    def __str__(self) -> str:
        return self.words("metric")


@dataclass(frozen=True, slots=True)
class ORing:
    """One size of AS568 or ISO 3601-1; `status` says how sure the row is."""

    dash: str
    inside_mm: float
    inside_tolerance_mm: float
    section_mm: float
    section_tolerance_mm: float
    status: str
    source: str


@dataclass(frozen=True, slots=True)
class RingOnGroove:
    """A ring put on a groove or a rod; negative stretch hangs loose."""

    ring: ORing
    stretch_percent: float
    in_band: bool


@dataclass(frozen=True, slots=True)
class Gland:
    """One published gland: ring section, radial depth to the opposite wall, width with back-up rings.

    `printed_in` is the system of its table, inch or metric.
    """

    application: str
    section_mm: float
    depth_least_mm: float
    depth_greatest_mm: float
    backups: int
    width_least_mm: float
    width_greatest_mm: float
    clearance_greatest_mm: float | None
    status: str
    source: str
    printed_in: str


@dataclass(frozen=True, slots=True)
class GlandMatch:
    """The glands a measured groove may be, and the ring sections they ask for; `sentence` is to be shown."""

    glands: tuple[Gland, ...]
    sections_mm: tuple[float, ...]
    sentence: Sentence


def ring_by_dash(*, dash: str, rings: Sequence[ORing]) -> ORing:
    """The ring of a dash number or ISO size code.

    Args:
        dash: the number as typed: ``325``, ``-325``, ``AS568-325``, ``14`` for 014.
        rings: the sizes to look in.
    Raises:
        Refusal: when there is no such size.
    Source: sae-as568, iso-3601-1

    >>> rings = (ORing("325", 37.465, 0.381, 5.334, 0.127, "read", "as568-dimension-table"),)
    >>> ring_by_dash(dash="AS568-325", rings=rings).inside_mm   # published: 37.47 x 5.33 mm
    37.47
    """
    number = dash.strip().upper().removeprefix("AS568").lstrip("ABCDEF -").rjust(3, "0")
    for ring in rings:
        if ring.dash == number:
            return ring
    raise Refusal(
        f"{dash!r} is not an O-ring size of AS568; give a dash number such as 214,"
        " or measure inside and section."
    )


def rings_of_section(*, section_mm: float, rings: Sequence[ORing]) -> tuple[ORing, ...]:
    """The standard rings of a section; none means that it is ordered by inside and section.

    Sizes 901 to 932 seal tube fittings: their odd sections lie near metric ones and are never taken for them.

    Args:
        section_mm: section of the ring, mm.
        rings: the sizes to choose from.

    >>> inch = (ORing("325", 37.465, 0.381, 5.334, 0.127, "read", "as568-dimension-table"),)
    >>> len(rings_of_section(section_mm=5.33, rings=inch)), len(rings_of_section(section_mm=5, rings=inch))
    (1, 0)
    """
    require_positive(section_mm=section_mm)
    return tuple(
        ring
        for ring in rings
        if abs(ring.section_mm - section_mm) <= ring.section_tolerance_mm and not ring.dash.startswith("9")
    )


def nearest_rings(
    *,
    on_mm: float,
    section_mm: float,
    least_stretch_percent: float,
    greatest_stretch_percent: float,
    rings: Sequence[ORing],
    count: int = 3,
) -> tuple[RingOnGroove, ...]:
    """The standard rings of a section nearest to a groove, best first.

    Best is inside the band of stretch and nearest to its middle.

    Args:
        on_mm: diameter the ring lies on, groove of a piston or the rod, mm.
        section_mm: section of the ring, mm; measured or by gland, never guessed from a depth.
        least_stretch_percent: lower end of the recommended stretch, percent.
        greatest_stretch_percent: upper end of the recommended stretch, percent.
        rings: the sizes to choose from.
        count: how many to return.
    Raises:
        Refusal: when no size has this section within its tolerance.

    >>> rings = [ORing(d, i, 0.38, 5.334, 0.127, "read", "as568-dimension-table")
    ...          for d, i in (("324", 34.29), ("325", 37.465), ("326", 40.64))]
    >>> best = nearest_rings(on_mm=38.1, section_mm=5.33, least_stretch_percent=0,
    ...                      greatest_stretch_percent=5, rings=rings)[0]
    >>> best.ring.dash, best.in_band
    ('325', True)
    """
    require_positive(on_mm=on_mm, section_mm=section_mm)
    require_finite(
        least_stretch_percent=least_stretch_percent, greatest_stretch_percent=greatest_stretch_percent
    )
    middle = (least_stretch_percent + greatest_stretch_percent) / 2
    fitted = [
        RingOnGroove(ring, s, least_stretch_percent <= s <= greatest_stretch_percent)
        for ring in rings_of_section(section_mm=section_mm, rings=rings)
        for s in [stretch_percent(inside_mm=ring.inside_mm, on_mm=on_mm)]
    ]
    if not fitted:
        listed = {ring.section_mm for ring in rings if not ring.dash.startswith("9")}
        raise Refusal(
            "No standard O-ring has a cross-section of {section}; there are {listed}.",
            section=Amount(section_mm, "length"),
            listed=joined((_cross_section(s) for s in sorted(listed)), ", "),
        )
    fitted.sort(key=lambda f: (not f.in_band, abs(f.stretch_percent - middle)))
    return tuple(fitted[:count])


def match_gland(
    *,
    depth_mm: float,
    width_mm: float | None,
    glands: Sequence[Gland],
    depth_allowance_mm: float,
    width_allowance_mm: float,
) -> GlandMatch:
    """Which published O-ring glands a measured groove may be, by depth and width together.

    Args:
        depth_mm: radial depth to the opposite wall, clearance included, mm.
        width_mm: axial width, mm; None when it was not measured.
        glands: the published glands.
        depth_allowance_mm: how far the tables themselves disagree in depth, mm.
        width_allowance_mm: the same in width, mm.
    Raises:
        Refusal: when the width is missing: several sections share a depth.
    Valid: radial installation in rectangular grooves.
    Source: iso-3601-2, gland-table-inch, gland-table-metric-a, gland-table-metric-b

    >>> piston = Gland("reciprocating", 5.334, 4.648, 4.775, 0, 7.112, 7.366, 0.152,
    ...                "read", "gland-table-inch", "inch")
    >>> match_gland(depth_mm=4.70, width_mm=7.2, glands=[piston],
    ...             depth_allowance_mm=0.05, width_allowance_mm=0.1).sections_mm
    (5.33,)
    """
    if width_mm is None:
        raise Refusal("The width of the groove is missing; a depth alone does not tell the O-ring's section.")
    require_positive(depth_mm=depth_mm, width_mm=width_mm)
    require_not_negative(depth_allowance_mm=depth_allowance_mm, width_allowance_mm=width_allowance_mm)
    found = tuple(
        g
        for g in glands
        if g.depth_least_mm - depth_allowance_mm <= depth_mm <= g.depth_greatest_mm + depth_allowance_mm
        and g.width_least_mm - width_allowance_mm <= width_mm <= g.width_greatest_mm + width_allowance_mm
    )
    sections = tuple(sorted({round(g.section_mm, 2) for g in found}))
    return GlandMatch(found, sections, _groove_sentence(depth_mm, width_mm, sections))


def _groove_sentence(depth_mm: float, width_mm: float, sections: tuple[float, ...]) -> Sentence:
    groove = Sentence(
        "A groove {depth} deep and {width} wide",
        {"depth": Amount(depth_mm, "length"), "width": Amount(width_mm, "length")},
    )
    listed = joined(map(_cross_section, sections), " or ")
    if not sections:
        template = (
            "{groove} is no published O-ring groove; measure the old ring, or have the seal made to measure."
        )
    elif len(sections) == 1:
        template = "{groove} suits an O-ring of {listed} cross-section."
    else:
        template = "{groove} suits cross-sections of {listed}; measure the old ring to tell them apart."
    return Sentence(template, {"groove": groove, "listed": listed})


def _cross_section(section_mm: float) -> RingSizes:
    return RingSizes((section_mm,))
