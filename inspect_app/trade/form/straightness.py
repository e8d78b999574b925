"""How far a rod is from straight, from total dial readings or heights along it; knows no directions and no limits."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from inspect_app.trade.form.roundness import require_places
from inspect_app.trade.measuring.amounts import Amount
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.required import require_finite, require_not_negative, require_positive

MM_PER_M = 1000
STANDARD_GRAVITY_M_S2 = 9.80665


def bow_from_tir_mm(tir_mm: Decimal) -> Decimal:
    """Bow of a round section from the dial's total reading over one turn, mm.

    e = TIR / 2 (e: distance of the section's centre from the axis it turns about)

    Args:
        tir_mm: total indicator reading, greatest less least over one turn, mm.
    Raises:
        Refusal: a negative reading.
    Valid: a round section; ovality and lobes are read as if they were bow.
    Source: tir-twice-eccentricity

    >>> bow_from_tir_mm(Decimal("0.24"))
    Decimal('0.12')
    """
    require_not_negative(tir_mm=float(tir_mm))
    return tir_mm / 2


def tir_per_metre(*, tir_mm: Decimal, span_mm: Decimal) -> Decimal:
    """Dial reading for each metre between the supports, mm/m.

    Args:
        tir_mm: total indicator reading between the supports, mm.
        span_mm: distance between the supports, mm.
    Raises:
        Refusal: a negative reading, or a span not greater than 0.
    Valid: a convention: a bow that is an arc grows with the square of the span.
    Source: tir-per-metre

    >>> tir_per_metre(tir_mm=Decimal("0.65"), span_mm=Decimal(1300))  # the guide's worked example
    Decimal('0.5')
    """
    require_not_negative(tir_mm=float(tir_mm))
    require_positive(span_mm=float(span_mm))
    return tir_mm * MM_PER_M / span_mm


def worst_bend_per_metre(sections: Sequence[tuple[Decimal, Decimal]]) -> Decimal:
    """Greatest local bend, as dial reading per metre between neighbouring stations, mm/m.

    For each inner station: |TIR - straight line between the TIRs of its two neighbours|, over the
    distance between those neighbours.

    Args:
        sections: (station mm, TIR mm) in any order; a support counts as a station that reads 0.
    Raises:
        Refusal: fewer than 3 stations, a station given twice, or a negative reading.
    Valid: bends that lie in one plane and to one side; directions are not in a TIR.
    Source: bend-of-three-stations

    >>> worst_bend_per_metre([(Decimal(0), Decimal(0)), (Decimal(650), Decimal("0.65")),
    ...                       (Decimal(1300), Decimal(0))])
    Decimal('0.5')
    """
    require_places([station_mm for station_mm, _ in sections], at_least=3, called="station")
    for number, (station_mm, tir_mm) in enumerate(sections, 1):
        require_finite(**{f"station_{number}_mm": float(station_mm)})
        require_not_negative(**{f"TIR_of_station_{number}_mm": float(tir_mm)})
    ordered = sorted(sections)
    worst = Decimal(0)
    for (z0, t0), (z1, t1), (z2, t2) in zip(ordered, ordered[1:], ordered[2:], strict=False):
        chord_mm = z2 - z0
        off_line_mm = t1 - (t0 * (z2 - z1) + t2 * (z1 - z0)) / chord_mm
        worst = max(worst, abs(off_line_mm) * MM_PER_M / chord_mm)
    return worst


@dataclass(frozen=True, slots=True)
class TirSurvey:
    """What the dial's total readings along a rod say, without their directions."""

    station_mm: Decimal  # where the greatest reading stands
    tir_mm: Decimal
    bow_mm: Decimal
    tir_mm_per_m: Decimal
    bend_mm_per_m: Decimal | None  # as `worst_bend_per_metre`; None under 3 stations


def survey_tir(sections: Sequence[tuple[Decimal, Decimal]], *, span_mm: Decimal) -> TirSurvey:
    """Greatest reading along a rod, the bow it means, and both its size per metre and the local bend.

    Args:
        sections: (station mm, TIR mm), in any order.
        span_mm: distance between the supports, mm.
    Raises:
        Refusal: no stations, or as `tir_per_metre` and `worst_bend_per_metre`.
    Valid: as `bow_from_tir_mm`.
    Source: tir-twice-eccentricity, tir-per-metre, bend-of-three-stations

    >>> survey_tir([(Decimal(650), Decimal("0.65"))], span_mm=Decimal(1300)).tir_mm_per_m
    Decimal('0.5')
    """
    if not sections:
        raise Refusal("No stations were given; a survey needs at least 1.")
    for _, tir_mm in sections:
        bow_from_tir_mm(tir_mm)
    station_mm, tir_mm = max(sections, key=lambda section: section[1])
    return TirSurvey(
        station_mm=station_mm,
        tir_mm=tir_mm,
        bow_mm=bow_from_tir_mm(tir_mm),
        tir_mm_per_m=tir_per_metre(tir_mm=tir_mm, span_mm=span_mm),
        bend_mm_per_m=worst_bend_per_metre(sections) if len(sections) > 2 else None,
    )


def straightness_mm(profile: Sequence[tuple[float, float]]) -> float:
    """Straightness STRt of one profile in the minimum zone: the narrowest strip that holds it, mm.

    The strip lies along one edge of the profile's convex hull and touches the corner farthest from it.

    Args:
        profile: (station mm, height mm) of each place, 3 or more stations, in any order.
    Raises:
        Refusal: fewer than 3 stations, or a station twice.
    Valid: heights small against the length; width taken across the stations.
    Source: iso-12780-1, convex-hull

    >>> straightness_mm([(0, 0.00), (250, 0.06), (500, 0.04), (750, 0.08), (1000, 0.00)])
    0.080
    """
    for station_mm, height_mm in profile:
        require_finite(station_mm=station_mm, height_mm=height_mm)
    places = sorted(profile)
    require_places([station_mm for station_mm, _ in places], at_least=3, called="station")
    edges = [*itertools.pairwise(_hull(places, 1)), *itertools.pairwise(_hull(places, -1))]
    return min(max(abs(_above(p, *edge)) for p in places) for edge in edges)


def _above(place: tuple[float, float], start: tuple[float, float], end: tuple[float, float]) -> float:
    """Height of a place above the line from start to end."""
    slope = (end[1] - start[1]) / (end[0] - start[0])
    return place[1] - start[1] - slope * (place[0] - start[0])


def _hull(places: list[tuple[float, float]], side: int) -> list[tuple[float, float]]:
    """The upper (side 1) or lower (side -1) chain of the convex hull, left to right."""
    chain: list[tuple[float, float]] = []
    for place in places:
        while len(chain) > 1 and side * _above(chain[-1], chain[-2], place) <= 0:
            chain.pop()
        chain.append(place)
    return chain


@dataclass(frozen=True, slots=True)
class SeenShare:
    """Share of the bow between the ends that a dial at mid-span sees, for two shapes of bend."""

    arc: float
    kink: float


def seen_share(*, inset_mm: float, length_mm: float) -> SeenShare:
    """How much of an end-to-end bow shows at mid-span when the supports stand inside the ends.

    arc: (1 - 2 s/L)²      one kink at the middle: 1 - 2 s/L     (s inset of each support, L length)

    Args:
        inset_mm: distance of each support from its end, mm.
        length_mm: length of the rod, mm.
    Returns: shares of 1; end-to-end bow = (TIR / 2) / share, and the shape has to be assumed.
    Raises:
        Refusal: the supports would meet.
    Valid: both supports at the same distance from their ends, dial at mid-span.
    Source: seen-share-geometry

    >>> seen_share(inset_mm=100, length_mm=1000)
    SeenShare(arc=0.64, kink=0.80)
    """
    require_not_negative(inset_mm=inset_mm)
    require_positive(length_mm=length_mm)
    kink = 1 - 2 * inset_mm / length_mm
    if kink <= 0:
        raise Refusal(
            "Supports {inset} in from both ends meet on a rod of {length}.",
            inset=Amount(inset_mm, "length"),
            length=Amount(length_mm, "length"),
        )
    return SeenShare(arc=kink**2, kink=kink)


def sag_mm(*, diameter_mm: float, span_mm: float, elastic_modulus_mpa: float, density_kg_m3: float) -> float:
    """How far a solid round rod sags at mid-span between two supports by its own weight, mm.

    δ = 5 w L⁴ / (384 E I),  w = ρ g π d²/4,  I = π d⁴/64

    It does not turn with the rod, so it is not in a TIR; a straight edge or a reading on one side has it.

    Args:
        diameter_mm: rod diameter, mm.
        span_mm: distance between the supports, mm.
        elastic_modulus_mpa: 206 000 for steel, MPa.
        density_kg_m3: 7850 for steel, kg/m³.
    Raises:
        Refusal: a value not greater than 0.
    Valid: elastic, slender, nothing overhanging.
    Source: beam-sag

    >>> sag_mm(diameter_mm=50, span_mm=2000, elastic_modulus_mpa=206000, density_kg_m3=7850)
    0.498
    """
    require_positive(
        diameter_mm=diameter_mm,
        span_mm=span_mm,
        elastic_modulus_mpa=elastic_modulus_mpa,
        density_kg_m3=density_kg_m3,
    )
    weight_n_mm = density_kg_m3 * 1e-9 * STANDARD_GRAVITY_M_S2 * math.pi * diameter_mm**2 / 4
    second_moment_mm4 = math.pi * diameter_mm**4 / 64
    return 5 * weight_n_mm * span_mm**4 / (384 * elastic_modulus_mpa * second_moment_mm4)
