"""What diameters at stations along a bore say of its shape; knows no limits and no gauge."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from inspect_app.trade.refusal import Refusal, require_finite
from inspect_app.trade.roundness import require_diameters


@dataclass(frozen=True, slots=True)
class SizeRange:
    """The least and the greatest diameter among readings."""

    least_mm: Decimal
    greatest_mm: Decimal


def size_range(diameters_mm: Sequence[Decimal]) -> SizeRange:
    """Least and greatest two-point diameter, each to be judged by itself, mm.

    Args:
        diameters_mm: every diameter read, mm.
    Raises:
        Refusal: no diameters.
    Source: local-size

    >>> size_range([Decimal("100.058"), Decimal("100.033"), Decimal("100.047")])
    SizeRange(least_mm=Decimal('100.033'), greatest_mm=Decimal('100.058'))
    """
    require_diameters(diameters_mm, at_least=1)
    return SizeRange(least_mm=min(diameters_mm), greatest_mm=max(diameters_mm))


def section_mean_mm(diameters_mm: Sequence[Decimal]) -> Decimal:
    """Mean of the diameters read in one section, mm.

    Args:
        diameters_mm: diameters at evenly spaced clocks of one section, mm.
    Raises:
        Refusal: no diameters.
    Valid: evenly spaced clocks; with some missing, ovality shifts the mean.
    Source: none

    >>> section_mean_mm([Decimal("100.058"), Decimal("100.052"), Decimal("100.044"), Decimal("100.050")])
    Decimal('100.051')
    """
    require_diameters(diameters_mm, at_least=1)
    return sum(diameters_mm, Decimal(0)) / len(diameters_mm)


def seal_mean_mm(diameters_mm: Sequence[Decimal]) -> Decimal:
    """Diameter a seal has to fill in one section: halfway between the greatest and the least, mm.

    D = (Dmax + Dmin) / 2

    Args:
        diameters_mm: diameters at two or more clocks of one section, mm.
    Raises:
        Refusal: fewer than 2 diameters.
    Valid: a seal follows the circumference; what guides the piston meets Dmin and Dmax themselves.
    Source: seal-follows-circumference

    >>> seal_mean_mm([Decimal("100.058"), Decimal("100.052"), Decimal("100.044")])
    Decimal('100.051')
    """
    require_diameters(diameters_mm, at_least=2)
    return (max(diameters_mm) + min(diameters_mm)) / 2


def taper_mm(section_means_mm: Sequence[Decimal]) -> Decimal:
    """Taper over the whole length: greatest less least section mean, on diameter, mm.

    Args:
        section_means_mm: mean diameter of each section, mm.
    Raises:
        Refusal: fewer than 2 sections.
    Source: trade-bore-shape

    >>> taper_mm([Decimal("100.0510"), Decimal("100.0355"), Decimal("100.0420")])
    Decimal('0.0155')
    """
    require_diameters(section_means_mm, at_least=2)
    return max(section_means_mm) - min(section_means_mm)


def _ends_and_inner(sections: Sequence[tuple[Decimal, Decimal]]) -> tuple[list[Decimal], list[Decimal]]:
    if len(sections) < 3:
        raise Refusal(f"{len(sections)} sections were given; both ends and one between them are needed.")
    require_finite(**{f"station {number} (mm)": float(z_mm) for number, (z_mm, _) in enumerate(sections, 1)})
    if len({station_mm for station_mm, _ in sections}) < len(sections):
        raise Refusal("Two sections stand at the same station; give each station once.")
    means_mm = [mean_mm for _, mean_mm in sorted(sections)]
    require_diameters(means_mm, at_least=3)
    return [means_mm[0], means_mm[-1]], means_mm[1:-1]


def ballooning_mm(sections: Sequence[tuple[Decimal, Decimal]]) -> Decimal:
    """How much wider the bore is inside its length than at its ends, on diameter, mm.

    ballooning = greatest mean of the inner sections - mean of the two end sections

    Args:
        sections: (station mm, mean diameter mm) of each section, in any order.
    Returns: mm; negative where every inner section is narrower than the ends.
    Raises:
        Refusal: fewer than 3 sections, or a station given twice.
    Source: trade-bore-shape

    >>> ballooning_mm([(Decimal(50), Decimal("100.02")), (Decimal(450), Decimal("100.09")),
    ...                (Decimal(850), Decimal("100.04"))])
    Decimal('0.06')
    """
    ends_mm, inner_mm = _ends_and_inner(sections)
    return max(inner_mm) - section_mean_mm(ends_mm)


def bell_mouth_mm(sections: Sequence[tuple[Decimal, Decimal]]) -> Decimal:
    """How much wider the wider end is than the bore between the ends, on diameter, mm.

    bell mouth = greater mean of the two end sections - mean of the inner sections

    Args:
        sections: (station mm, mean diameter mm) of each section, in any order.
    Returns: mm; negative where both ends are narrower than the bore between them.
    Raises:
        Refusal: fewer than 3 sections, or a station given twice.
    Source: trade-bore-shape

    >>> bell_mouth_mm([(Decimal(50), Decimal("100.05")), (Decimal(450), Decimal("100.03")),
    ...                (Decimal(850), Decimal("100.04"))])
    Decimal('0.02')
    """
    ends_mm, inner_mm = _ends_and_inner(sections)
    return max(ends_mm) - section_mean_mm(inner_mm)
