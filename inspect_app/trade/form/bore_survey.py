"""What a grid of diameters, with gaps, says of a bore and what it cannot say; knows no limits and no gauge."""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import NamedTuple

from inspect_app.trade.form.bore import (
    SizeRange,
    ballooning_mm,
    bell_mouth_mm,
    seal_mean_mm,
    section_mean_mm,
    size_range,
    taper_mm,
    taper_mm_per_100,
    washboard_mm,
)
from inspect_app.trade.form.grid import Station
from inspect_app.trade.form.roundness import OvalFit, deg_to_clock, fit_ovality, ovality_mm
from inspect_app.trade.measuring.refusal import Refusal, Said, Sentence
from inspect_app.trade.measuring.wording import counted

FIT_STEP_MM = Decimal("0.000001")


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
    mean_weights: tuple[float, ...] = ()  # how far the mean follows each diameter read, in order of clocks


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
    cannot_say: tuple[Sentence, ...]


def survey_bore(grid: Grid) -> BoreSurvey:
    """Size, ovality, taper, ballooning, bell mouth and washboarding of a bore from a grid with gaps.

    A section with a clock missing stands as `survey_section` says. Taper is that between the outermost
    sections that have a mean.

    Args:
        grid: diameter mm at each `Place`, None where not read; a place left out counts as not read
            if its station and its clock stand elsewhere in the grid.
    Raises:
        Refusal: nothing read at all, or a diameter that is not a number greater than 0.
    Valid: two-point diameters: no odd lobes, no straightness of the bore, no cylindricity.
    Source: local-size, trade-ovality, trade-bore-shape, taper-of-ends, second-harmonic

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
    sections = tuple(
        survey_section(z, {a: read[p] for a in angles if (p := Place(z, a)) in read}, of=len(angles))
        for z in stations
    )
    means = [(s.station_mm, s.mean_mm) for s in sections if s.mean_mm is not None]
    ends_known = len(means) >= 3 and (means[0][0], means[-1][0]) == (stations[0], stations[-1])
    return BoreSurvey(
        size=size,
        least_at=min(read, key=read.__getitem__),
        greatest_at=max(read, key=read.__getitem__),
        sections=sections,
        worst_ovality_mm=max((s.ovality_mm for s in sections if s.ovality_mm is not None), default=None),
        mean_mm=section_mean_mm([mean for _, mean in means]) if means else None,
        taper_mm=taper_mm(means) if len(means) >= 2 else None,
        taper_mm_per_100=taper_mm_per_100(means) if len(means) >= 2 else None,
        ballooning_mm=ballooning_mm(means) if ends_known else None,
        bell_mouth_mm=bell_mouth_mm(means) if ends_known else None,
        washboard_mm=washboard_mm(means) if len(means) >= 5 else None,
        missing=missing,
        cannot_say=_cannot_say(sections, missing, known=len(means), ends_known=ends_known),
    )


def survey_section(station_mm: Decimal, read: Mapping[Decimal, Decimal], *, of: int) -> BoreSection:
    """Size, ovality and mean of one section of which some clocks may be missing.

    With a clock missing the mean is the fitted oval's if 3 axes allow it (to 0.000 001 mm), else there is
    none: the plain mean of the clocks left would take ovality for size.

    Args:
        station_mm: where the section lies, mm.
        read: diameter mm by angle clockwise from 12, in degrees, in order of angle; only those read.
        of: how many clocks the section has, read or not.
    Raises:
        Refusal: a diameter that is not a number greater than 0.
    Source: local-size, trade-ovality, second-harmonic

    >>> oval = {Decimal(0): Decimal("100.04"), Decimal(45): Decimal("100.00"), Decimal(90): Decimal("99.96")}
    >>> survey_section(Decimal(50), oval, of=4).mean_mm   # the plain mean of these three; the fourth is 100.00
    Decimal('100.000000')
    """
    diameters_mm = list(read.values())
    count = len(diameters_mm)
    try:
        oval = fit_ovality([(float(a), float(d)) for a, d in read.items()])
    except Refusal:
        oval = None
    mean_mm: Decimal | None = None
    weights: tuple[float, ...] = ()
    if 0 < count == of:
        mean_mm, weights = section_mean_mm(diameters_mm), (1 / count,) * count
    elif oval:
        mean_mm, weights = Decimal(str(oval.mean_mm)).quantize(FIT_STEP_MM), oval.mean_weights
    return BoreSection(
        station_mm=station_mm,
        size=size_range(diameters_mm) if diameters_mm else None,
        ovality_mm=ovality_mm(diameters_mm) if count >= 2 else None,
        mean_mm=mean_mm,
        seal_mean_mm=seal_mean_mm(diameters_mm) if count >= 2 else None,
        oval=oval,
        mean_weights=weights,
    )


def _clock(angle_deg: Decimal) -> str:
    hours = deg_to_clock(float(angle_deg))
    return f"{int(hours)}:{round(hours % 1 * 60):02d}"


def _cannot_say(
    sections: Sequence[BoreSection], missing: Sequence[Place], *, known: int, ends_known: bool
) -> tuple[Sentence, ...]:
    sentences: list[Sentence] = []
    if missing:
        sentences.append(
            Sentence(
                f"{counted(len(missing), 'place was', 'places were')} not read: minimum and maximum size may lie there."
            )
        )
    for section in sections:
        clocks = ", ".join(_clock(p.angle_deg) for p in missing if p.station_mm == section.station_mm)
        where: dict[str, Said | str] = {"station": Station(str(section.station_mm)), "clocks": clocks}
        if clocks and section.mean_mm is None:
            sentences.append(
                Sentence("{station}: {clocks} was not read: no mean, so no taper with it.", where)
            )
        elif clocks:
            sentences.append(
                Sentence("{station}: {clocks} was not read: it may be more oval than read.", where)
            )
    if all(section.oval is None for section in sections):
        sentences.append(
            Sentence("No section has 3 axes spread round it: an oval can hide between the clocks read.")
        )
    if known < 2:
        sentences.append(Sentence("Taper needs the means of 2 sections."))
    if not ends_known:
        sentences.append(
            Sentence("Ballooning and bell mouth need the means of both end sections and one between.")
        )
    if known < 5:
        sentences.append(Sentence("Washboarding needs the means of 5 sections."))
    return tuple(sentences)
