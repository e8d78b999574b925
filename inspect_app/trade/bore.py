"""What diameters at stations along a bore say of its shape; knows no limits and no gauge."""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import NamedTuple

from inspect_app.trade.refusal import Refusal, require_finite
from inspect_app.trade.roundness import (
    OvalFit,
    deg_to_clock,
    fit_ovality,
    least_squares,
    ovality_mm,
    require_diameters,
    require_places,
)

FIT_STEP_MM = Decimal("0.000001")


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


def _by_station(
    sections: Sequence[tuple[Decimal, Decimal]], *, at_least: int
) -> list[tuple[Decimal, Decimal]]:
    for number, (station_mm, _) in enumerate(sections, 1):
        require_finite(**{f"station {number} (mm)": float(station_mm)})
    require_diameters([mean_mm for _, mean_mm in sections], at_least=1)
    require_places([station_mm for station_mm, _ in sections], at_least=at_least, called="station")
    return sorted(sections)


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


class Place(NamedTuple):
    """One place of the grid: how far along the bore, and which axis."""

    station_mm: Decimal
    angle_deg: Decimal  # clockwise from 12


Grid = Mapping[Place, Decimal | None]


@dataclass(frozen=True, slots=True)
class BoreSection:
    """What the diameters of one section say; None where those read do not settle it."""

    station_mm: Decimal
    size: SizeRange | None
    ovality_mm: Decimal | None  # as read: greatest less least
    mean_mm: Decimal | None
    seal_mean_mm: Decimal | None
    oval: OvalFit | None


@dataclass(frozen=True, slots=True)
class BoreSurvey:
    """What a grid of diameters says of a bore, and what it cannot say for places not read."""

    size: SizeRange
    least_at: Place
    greatest_at: Place
    sections: tuple[BoreSection, ...]
    worst_ovality_mm: Decimal | None
    mean_mm: Decimal | None  # of the section means
    taper_mm: Decimal | None
    taper_mm_per_100: float | None
    ballooning_mm: Decimal | None
    bell_mouth_mm: Decimal | None
    washboard_mm: float | None
    missing: tuple[Place, ...]
    cannot_say: tuple[str, ...]


def survey_bore(grid: Grid) -> BoreSurvey:
    """Size, ovality, taper, ballooning, bell mouth and washboarding of a bore from a grid with gaps.

    A section with a clock missing takes its mean from the fitted oval if 3 axes allow it (to 0.000 001 mm),
    else it has none and stays out of what is built on means.

    Args:
        grid: diameter mm at each `Place`, None where not read; a place left out counts as not read
            if its station and its clock stand elsewhere in the grid.
    Raises:
        Refusal: nothing read at all, or a diameter that is not a number greater than 0.
    Valid: two-point diameters: no odd lobes, no straightness of the bore, no cylindricity.
    Source: local-size, trade-ovality, trade-bore-shape, second-harmonic

    >>> survey = survey_bore({Place(Decimal(50), Decimal(0)): Decimal("100.058"),
    ...                       Place(Decimal(50), Decimal(90)): Decimal("100.044"),
    ...                       Place(Decimal(850), Decimal(0)): Decimal("100.047")})
    >>> survey.greatest_at.station_mm, survey.sections[0].ovality_mm, survey.missing[0].angle_deg
    (Decimal('50'), Decimal('0.014'), Decimal('90'))
    """
    read = {place: diameter_mm for place, diameter_mm in grid.items() if diameter_mm is not None}
    size = size_range(list(read.values()))
    stations = sorted({place.station_mm for place in grid})
    angles = sorted({place.angle_deg for place in grid})
    missing = tuple(p for p in itertools.starmap(Place, itertools.product(stations, angles)) if p not in read)
    sections = tuple(_section(z, angles, read) for z in stations)
    means = [(s.station_mm, s.mean_mm) for s in sections if s.mean_mm is not None]
    ends_known = len(means) >= 3 and (means[0][0], means[-1][0]) == (stations[0], stations[-1])
    return BoreSurvey(
        size=size,
        least_at=min(read, key=read.__getitem__),
        greatest_at=max(read, key=read.__getitem__),
        sections=sections,
        worst_ovality_mm=max((s.ovality_mm for s in sections if s.ovality_mm is not None), default=None),
        mean_mm=section_mean_mm([mean for _, mean in means]) if means else None,
        taper_mm=taper_mm([mean for _, mean in means]) if len(means) >= 2 else None,
        taper_mm_per_100=taper_mm_per_100(means) if len(means) >= 2 else None,
        ballooning_mm=ballooning_mm(means) if ends_known else None,
        bell_mouth_mm=bell_mouth_mm(means) if ends_known else None,
        washboard_mm=washboard_mm(means) if len(means) >= 5 else None,
        missing=missing,
        cannot_say=_cannot_say(sections, missing, known=len(means), ends_known=ends_known),
    )


def _section(station_mm: Decimal, angles: list[Decimal], read: Mapping[Place, Decimal]) -> BoreSection:
    here = [(a, read[p]) for a in angles if (p := Place(station_mm, a)) in read]
    diameters_mm = [diameter_mm for _, diameter_mm in here]
    try:
        oval = fit_ovality([(float(a), float(d)) for a, d in here])
    except Refusal:
        oval = None
    mean_mm = None
    if len(here) == len(angles):
        mean_mm = section_mean_mm(diameters_mm)
    elif oval:
        mean_mm = Decimal(str(oval.mean_mm)).quantize(FIT_STEP_MM)
    return BoreSection(
        station_mm=station_mm,
        size=size_range(diameters_mm) if here else None,
        ovality_mm=ovality_mm(diameters_mm) if len(here) >= 2 else None,
        mean_mm=mean_mm,
        seal_mean_mm=seal_mean_mm(diameters_mm) if len(here) >= 2 else None,
        oval=oval,
    )


def _clock(angle_deg: Decimal) -> str:
    hours = deg_to_clock(float(angle_deg))
    return f"{int(hours)}:{round(hours % 1 * 60):02d}"


def _cannot_say(
    sections: Sequence[BoreSection], missing: Sequence[Place], *, known: int, ends_known: bool
) -> tuple[str, ...]:
    sentences = []
    if missing:
        sentences.append(f"{len(missing)} places were not read: least and greatest size may lie there.")
    for section in sections:
        clocks = ", ".join(_clock(p.angle_deg) for p in missing if p.station_mm == section.station_mm)
        if clocks and section.mean_mm is None:
            sentences.append(
                f"At {section.station_mm} mm {clocks} was not read: no mean, so no taper with it."
            )
        elif clocks:
            sentences.append(
                f"At {section.station_mm} mm {clocks} was not read: it may be more oval than read."
            )
    if all(section.oval is None for section in sections):
        sentences.append("No section has 3 axes spread round it: an oval can hide between the clocks read.")
    if known < 2:
        sentences.append("Taper needs the means of 2 sections.")
    if not ends_known:
        sentences.append("Ballooning and bell mouth need the means of both end sections and one between.")
    if known < 5:
        sentences.append("Washboarding needs the means of 5 sections.")
    return tuple(sentences)
