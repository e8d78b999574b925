"""What diameters at stations along a bore say of its shape; knows no limits and no gauge."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from inspect_app.trade.form.least_squares import least_squares
from inspect_app.trade.form.roundness import require_diameters, require_places
from inspect_app.trade.measuring.required import require_finite


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


def _by_station(
    sections: Sequence[tuple[Decimal, Decimal]], *, at_least: int
) -> list[tuple[Decimal, Decimal]]:
    for number, (station_mm, _) in enumerate(sections, 1):
        require_finite(**{f"station_{number}_mm": float(station_mm)})
    require_diameters([mean_mm for _, mean_mm in sections], at_least=1)
    require_places([station_mm for station_mm, _ in sections], at_least=at_least, called="station")
    return sorted(sections)


def taper_mm(sections: Sequence[tuple[Decimal, Decimal]]) -> Decimal:
    """Taper over the whole length: difference of the two end sections' means, on diameter, mm.

    taper = |mean of the first section - mean of the last|

    The sections between take no part: a bore wide in its middle balloons, one wide at a mouth has a bell
    mouth, and neither is called tapered for it.

    Args:
        sections: (station mm, mean diameter mm) of each section, in any order.
    Raises:
        Refusal: fewer than 2 sections, or a station given twice.
    Source: taper-of-ends

    >>> taper_mm([(Decimal(50), Decimal("100.051")), (Decimal(450), Decimal("100.090")),
    ...           (Decimal(850), Decimal("100.042"))])
    Decimal('0.009')
    """
    ordered = _by_station(sections, at_least=2)
    return abs(ordered[0][1] - ordered[-1][1])


def _ends_and_inner(sections: Sequence[tuple[Decimal, Decimal]]) -> tuple[list[Decimal], list[Decimal]]:
    means_mm = [mean_mm for _, mean_mm in _by_station(sections, at_least=3)]
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


def taper_mm_per_100(sections: Sequence[tuple[Decimal, Decimal]]) -> float:
    """Slope of the least-squares line through the section means, mm on diameter per 100 mm of length.

    Args:
        sections: (station mm, mean diameter mm) of each section, in any order.
    Returns: negative where the bore narrows towards higher stations.
    Raises:
        Refusal: fewer than 2 sections, or a station given twice.
    Source: trade-bore-shape, least-squares

    >>> taper_mm_per_100([(Decimal(50), Decimal("100.02")), (Decimal(550), Decimal("100.07"))])
    0.010
    """
    ordered = _by_station(sections, at_least=2)
    length_mm = float(ordered[-1][0] - ordered[0][0])
    return _trend(ordered, degree=1)[0][1] / length_mm * 100


def washboard_mm(sections: Sequence[tuple[Decimal, Decimal]]) -> float:
    """Washboarding: height of the waves along the bore, peak to valley on diameter, mm.

    The section means less their least-squares parabola (which takes off taper, ballooning and bell
    mouth); of what is left, the greatest of half the difference between how far two neighbouring
    sections stand off the straight lines through their own neighbours.

    Args:
        sections: (station mm, mean diameter mm) of each section, 5 or more, in any order.
    Raises:
        Refusal: fewer than 5 sections, or a station given twice.
    Valid: waves longer than two distances between stations; shorter ones pass between the sections.
    Source: washboard-here, least-squares

    >>> washboard_mm([(Decimal(100 * i), Decimal("80.02") + Decimal("0.01") * (i % 2)) for i in range(9)])
    0.010
    """
    ordered = _by_station(sections, at_least=5)
    stations = [float(station_mm) for station_mm, _ in ordered]
    _, left = _trend(ordered, degree=2)
    off = [
        left[i] - left[i - 1] - (left[i + 1] - left[i - 1]) * (z - before) / (after - before)
        for i, (before, z, after) in enumerate(zip(stations, stations[1:], stations[2:], strict=False), 1)
    ]
    return max(abs(b - a) / 2 for a, b in itertools.pairwise(off))


def _trend(ordered: list[tuple[Decimal, Decimal]], *, degree: int) -> tuple[list[float], list[float]]:
    """Least-squares polynomial over the length counted as 1, and what it leaves at each section."""
    start_mm, first_mm = ordered[0]
    length_mm = ordered[-1][0] - start_mm
    shares = [float((z - start_mm) / length_mm) for z, _ in ordered]
    rows = [[share**k for k in range(degree + 1)] for share in shares]
    means = [float(mean_mm - first_mm) for _, mean_mm in ordered]
    fit = least_squares(rows, means)
    return fit, [
        m - sum(x * c for x, c in zip(row, fit, strict=True)) for m, row in zip(means, rows, strict=True)
    ]
