"""How far a rod is from straight, from a dial on the turning rod; knows no limits and no part."""

from __future__ import annotations

import cmath
import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from inspect_app.trade.refusal import Refusal, require_finite, require_not_negative, require_positive
from inspect_app.trade.roundness import (
    CLOCKS_APART_DEG,
    ROUNDING_MM,
    Caution,
    least_squares,
    places_apart,
    require_places,
    widest_gap_deg,
)

MM_PER_M = 1000
STANDARD_GRAVITY_M_S2 = 9.80665
LAWSON_ROUNDS = 20_000
LAWSON_GAP = 1e-4
LAWSON_KEEP = 1e-2


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
        require_finite(**{f"station {number} (mm)": float(station_mm)})
        require_not_negative(**{f"TIR at station {station_mm} (mm)": float(tir_mm)})
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


@dataclass(frozen=True, slots=True)
class Runout:
    """One turn of a section under the dial, taken apart into bow, ovality and the rest."""

    bow_mm: float  # distance of the section's centre from the axis it turns about
    high_deg: float  # the clock, on the rod, that stands out
    tir_mm: float  # as read: greatest less least
    ovality_mm: float | None  # on diameter; None where the clocks do not separate it
    oval_major_deg: float | None
    residual_mm: float | None  # farthest reading from the fit; None where the fit leaves none
    cannot_say: tuple[str, ...]


def _cannot_say(clocks: list[float], *, oval: bool) -> tuple[str, ...]:
    count, sentences = len(clocks), []
    if not oval:
        sentences.append(f"These {count} clocks do not separate ovality from the rest; read at 8 clocks.")
    if widest_gap_deg(clocks) <= round(360 / count, 6):
        sentences.append(f"Lobes {count - 1} or {count + 1} in number, if any, are read as bow.")
    else:
        sentences.append("The clocks are uneven: lobes of the section can be read as bow.")
    return tuple(sentences)


def runout(readings: Sequence[tuple[float, float]]) -> Runout:
    """Bow, its direction, and ovality from dial readings at clocks of one section, mm.

    reading = c + e cos(t - φ) + (ovality / 4) cos 2(t - ψ), least squares; the last term only with 5 or
    more clocks an hour apart and no gap above 120°

    Args:
        readings: (angle clockwise from 12 of the place on the rod under the dial in degrees, reading mm).
    Raises:
        Refusal: fewer than 3 clocks an hour apart, a clock twice, or more than half the turn not read.
    Valid: the dial away from the supports; the rod turns about its supports without wandering.
    Source: tir-twice-eccentricity, second-harmonic

    >>> turn = runout([(0, 0.00), (90, 0.14), (180, 0.24), (270, 0.10)])
    >>> round(turn.bow_mm, 4), round(turn.high_deg, 1)
    (0.1217, 170.5)
    """
    for angle_deg, reading_mm in readings:
        require_finite(angle_deg=angle_deg, reading_mm=reading_mm)
    clocks = [angle_deg % 360 for angle_deg, _ in readings]
    require_places(clocks, at_least=3, called="clock")
    apart = places_apart(clocks, apart_deg=CLOCKS_APART_DEG)
    if apart < 3 or widest_gap_deg(clocks) > 180:
        raise Refusal("The clocks lie too near each other; spread 4 or more all round the turn.")
    oval = apart >= 5 and widest_gap_deg(clocks) <= 120
    values = [reading_mm for _, reading_mm in readings]
    rows = [[1.0, *_waves(angle_deg, 2 if oval else 1)] for angle_deg, _ in readings]
    fit = least_squares(rows, values)
    left = [
        abs(v - sum(x * f for x, f in zip(row, fit, strict=True)))
        for v, row in zip(values, rows, strict=True)
    ]
    return Runout(
        bow_mm=math.hypot(fit[1], fit[2]),
        high_deg=math.degrees(math.atan2(fit[2], fit[1])) % 360,
        tir_mm=max(values) - min(values),
        ovality_mm=4 * math.hypot(fit[3], fit[4]) if oval else None,
        oval_major_deg=math.degrees(math.atan2(fit[4], fit[3])) / 2 % 180 if oval else None,
        residual_mm=max(left) if len(readings) > len(fit) else None,
        cannot_say=_cannot_say(clocks, oval=oval),
    )


def _waves(angle_deg: float, harmonics: int) -> list[float]:
    t = math.radians(angle_deg)
    return [wave(n * t) for n in range(1, harmonics + 1) for wave in (math.cos, math.sin)]


@dataclass(frozen=True, slots=True)
class SectionCentre:
    """Where the centre of one section lies off the line it is measured from."""

    station_mm: float
    off_mm: float
    high_deg: float  # clockwise from 12: the side it lies to


# Inside, a centre is a complex number: real part towards 12 o'clock, imaginary part towards 3.
def _stations_and_centres(
    sections: Sequence[SectionCentre], at_least: int
) -> tuple[list[float], list[complex]]:
    for section in sections:
        require_finite(station_mm=section.station_mm, high_deg=section.high_deg)
        require_not_negative(off_mm=section.off_mm)
    ordered = sorted(sections, key=lambda section: section.station_mm)
    stations = [section.station_mm for section in ordered]
    require_places(stations, at_least=at_least, called="station")
    return stations, [cmath.rect(section.off_mm, math.radians(section.high_deg)) for section in ordered]


def _section(station_mm: float, centre: complex) -> SectionCentre:
    return SectionCentre(station_mm, abs(centre), math.degrees(cmath.phase(centre)) % 360)


def _less_chord(stations: list[float], centres: list[complex], first: int, last: int) -> list[complex]:
    slope = (centres[last] - centres[first]) / (stations[last] - stations[first])
    return [
        p - centres[first] - slope * (z - stations[first]) for z, p in zip(stations, centres, strict=True)
    ]


def from_supports(
    sections: Sequence[SectionCentre], *, supports_mm: tuple[float, float]
) -> list[SectionCentre]:
    """The axis as it stands to the line through its two supports, with the supports as stations of it.

    The rod turns about its centres at the supports: not read there, they are 0; read there, the straight
    line through them is taken off every station, also off the overhangs.

    Args:
        sections: centre of each section read, from `runout` (off_mm = bow_mm), 1 or more.
        supports_mm: the two stations where the rod is supported, mm.
    Raises:
        Refusal: a station twice, the two supports at one station, or values that are not numbers.
    Source: axis-from-runout

    >>> from_supports([SectionCentre(500, 0.10, 90)], supports_mm=(100, 900))[0]
    SectionCentre(station_mm=100, off_mm=0.0, high_deg=0.0)
    """
    if supports_mm[0] == supports_mm[1]:
        raise Refusal(f"Both supports stand at {supports_mm[0]:g} mm; give two stations.")
    read_mm = {section.station_mm for section in sections}
    unread = [SectionCentre(z, 0.0, 0.0) for z in supports_mm if z not in read_mm]
    stations, centres = _stations_and_centres([*sections, *unread], 2)
    first, last = (stations.index(z) for z in sorted(supports_mm))
    return [
        _section(z, p) for z, p in zip(stations, _less_chord(stations, centres, first, last), strict=True)
    ]


def from_ends(sections: Sequence[SectionCentre]) -> list[SectionCentre]:
    """How far each section's centre lies off the straight line through the two end sections, mm.

    Args:
        sections: centres along the rod, 3 or more stations, in any order.
    Raises:
        Refusal: fewer than 3 stations, or a station twice.
    Source: axis-from-runout

    >>> rod = [SectionCentre(0, 0.1, 0), SectionCentre(500, 0.3, 0), SectionCentre(1000, 0.1, 0)]
    >>> from_ends(rod)[1].off_mm
    0.2
    """
    stations, centres = _stations_and_centres(sections, 3)
    return [_section(z, p) for z, p in zip(stations, _less_chord(stations, centres, 0, -1), strict=True)]


def _line(stations: list[float], centres: list[complex], weights: list[float]) -> tuple[complex, complex]:
    """Centre at the weighted mean station, and slope, of the weighted least-squares line."""
    total = math.fsum(weights)
    middle_mm = math.fsum(w * z for w, z in zip(weights, stations, strict=True)) / total
    centre = sum(w * p for w, p in zip(weights, centres, strict=True)) / total
    spread = math.fsum(w * (z - middle_mm) ** 2 for w, z in zip(weights, stations, strict=True))
    slope = sum(w * (z - middle_mm) * p for w, z, p in zip(weights, stations, centres, strict=True)) / spread
    return centre - slope * middle_mm, slope


def _leaves(stations: list[float], centres: list[complex], weights: list[float]) -> list[complex]:
    start, slope = _line(stations, centres, weights)
    return [p - start - slope * z for z, p in zip(stations, centres, strict=True)]


def least_squares_zone_mm(sections: Sequence[SectionCentre]) -> float:
    """Diameter of the cylinder about the least-squares axis that holds every section's centre, mm.

    Args:
        sections: centres along the rod, 3 or more stations, in any order.
    Raises:
        Refusal: fewer than 3 stations, or a station twice.
    Valid: slopes of a rod (thousandths); weights every station alike.
    Source: axis-from-runout, iso-1101-axis, least-squares

    >>> least_squares_zone_mm([SectionCentre(0, 0, 0), SectionCentre(500, 0.3, 0), SectionCentre(1000, 0, 0)])
    0.4
    """
    stations, centres = _stations_and_centres(sections, 3)
    return 2 * max(map(abs, _leaves(stations, centres, [1.0] * len(stations))))


@dataclass(frozen=True, slots=True)
class AxisZone:
    """The least cylinder that holds an axis, with the proof that no much smaller one does."""

    diameter_mm: float
    at_least_mm: float  # no cylinder under this holds every centre


def least_cylinder(sections: Sequence[SectionCentre]) -> AxisZone:
    """Least cylinder that holds every section's centre: straightness of an axis as ISO 1101 means it, mm.

    Weighted least-squares lines, each round weighing a station by its distance from the last line
    (Lawson). Every round proves two bounds: the greatest distance holds all the centres; the weighted
    root-mean-square distance is under the least possible, whatever the weights. It ends when they
    meet within 0.01 %.

    Args:
        sections: centres along the rod, 3 or more stations, in any order.
    Raises:
        Refusal: fewer than 3 stations, or a station twice.
    Valid: slopes of a rod (thousandths).
    Source: iso-1101-axis, lawson-algorithm

    >>> rod = [SectionCentre(0, 0, 0), SectionCentre(500, 0.3, 0), SectionCentre(1000, 0, 0)]
    >>> least_cylinder(rod).diameter_mm
    0.300
    """
    stations, centres = _stations_and_centres(sections, 3)
    weights = [1.0] * len(stations)
    outside, inside = math.inf, 0.0
    for _ in range(LAWSON_ROUNDS):
        far = [abs(leave) for leave in _leaves(stations, centres, weights)]
        outside = min(outside, max(far))
        square = sum(w * d * d for w, d in zip(weights, far, strict=True)) / sum(weights)
        inside = max(inside, math.sqrt(square))
        if outside - inside <= LAWSON_GAP * outside or outside <= ROUNDING_MM:
            break
        # a station that happens to lie on the line keeps a little weight, or it could never come back
        weights = [w * max(d / max(far), LAWSON_KEEP) for w, d in zip(weights, far, strict=True)]
        weights = [w / max(weights) for w in weights]
    return AxisZone(diameter_mm=2 * outside, at_least_mm=min(2 * inside, 2 * outside))


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
class BendPlane:
    """The plane a rod is bent in, and how much of the bend lies in it."""

    high_deg: float  # clockwise from 12, towards the side the rod bows out to
    straightness_mm: float  # narrowest strip in this plane
    in_plane_rms_mm: float
    out_of_plane_rms_mm: float


def bend_plane(sections: Sequence[SectionCentre]) -> BendPlane:
    """Plane of the bend: the principal direction of the centres about their least-squares axis.

    tan 2φ = 2 Σ u v / (Σ u² - Σ v²)   (u towards 12, v towards 3, about the axis)

    Args:
        sections: centres along the rod, 3 or more stations, in any order.
    Raises:
        Refusal: fewer than 3 stations, or a station twice.
    Valid: of use where the out-of-plane part is small beside the in-plane part.
    Source: principal-direction, iso-12780-1

    >>> bend_plane([SectionCentre(0, 0, 0), SectionCentre(500, 0.3, 31), SectionCentre(1000, 0, 0)]).high_deg
    31.0
    """
    stations, centres = _stations_and_centres(sections, 3)
    leaves = _leaves(stations, centres, [1.0] * len(stations))
    direction = cmath.rect(1, cmath.phase(sum(leave * leave for leave in leaves)) / 2)
    highest = max(_less_chord(stations, centres, 0, -1), key=abs)
    if (highest / direction).real < 0:
        direction = -direction
    turned = [leave / direction for leave in leaves]
    count = len(turned)
    return BendPlane(
        high_deg=math.degrees(cmath.phase(direction)) % 360,
        straightness_mm=straightness_mm([(z, t.real) for z, t in zip(stations, turned, strict=True)]),
        in_plane_rms_mm=math.sqrt(sum(t.real**2 for t in turned) / count),
        out_of_plane_rms_mm=math.sqrt(sum(t.imag**2 for t in turned) / count),
    )


@dataclass(frozen=True, slots=True)
class LocalBend:
    """The bend at one station against its two neighbours."""

    station_mm: float
    between_mm: tuple[float, float]
    off_mm: float  # off the straight line through the neighbours
    high_deg: float
    bow_mm_per_m: float  # off_mm per metre between the neighbours
    tir_mm_per_m: float  # twice that, as a dial would read it between them
    turn_mm_per_m: float  # change of the axis's direction at the station


def worst_local_bend(sections: Sequence[SectionCentre]) -> LocalBend:
    """The station where the axis lies farthest off its neighbours, per metre between them.

    Args:
        sections: centres along the rod, 3 or more stations, in any order.
    Raises:
        Refusal: fewer than 3 stations, or a station twice.
    Valid: a bend shorter than the distance between stations is shown milder than it is.
    Source: bend-of-three-stations

    >>> rod = [SectionCentre(0, 0, 0), SectionCentre(500, 0.25, 31), SectionCentre(1000, 0, 0)]
    >>> worst_local_bend(rod).tir_mm_per_m
    0.5
    """
    stations, centres = _stations_and_centres(sections, 3)
    bends = []
    for i in range(1, len(stations) - 1):
        chord_mm = stations[i + 1] - stations[i - 1]
        off = _less_chord(stations[i - 1 : i + 2], centres[i - 1 : i + 2], 0, 2)[1]
        legs = (stations[i] - stations[i - 1]) * (stations[i + 1] - stations[i])
        bow_mm_per_m = abs(off) * MM_PER_M / chord_mm
        bends.append(
            LocalBend(
                station_mm=stations[i],
                between_mm=(stations[i - 1], stations[i + 1]),
                off_mm=abs(off),
                high_deg=math.degrees(cmath.phase(off)) % 360,
                bow_mm_per_m=bow_mm_per_m,
                tir_mm_per_m=2 * bow_mm_per_m,
                turn_mm_per_m=abs(off) * MM_PER_M * chord_mm / legs,
            )
        )
    return max(bends, key=lambda bend: bend.bow_mm_per_m)


PRESSING = Caution(
    "Pressing can crack chrome and an induction-hardened rod, at once or later. Press cold, on soft"
    " V-blocks, in small steps, measuring between them; afterwards have the pressed place tested for"
    " cracks by a qualified person. Shops differ on whether a rod should be straightened at all.",
    "straightening-cautions",
)


@dataclass(frozen=True, slots=True)
class PressPlace:
    """Where a press would straighten a rod: on the high side, a support on either side of the place."""

    station_mm: float
    high_deg: float  # the ram comes from this side
    bow_mm: float  # off the line through the ends
    caution: Caution


def where_to_press(sections: Sequence[SectionCentre]) -> PressPlace:
    """Station of the greatest bow off the line through the ends, and the clock of its high side.

    Args:
        sections: centres along the rod, 3 or more stations, in any order.
    Raises:
        Refusal: fewer than 3 stations, or a station twice.
    Valid: information for who decides; one bend. An S-bend shows in `from_ends` as two high sides.
    Source: axis-from-runout, straightening-cautions

    >>> rod = [SectionCentre(0, 0, 0), SectionCentre(600, 0.25, 31), SectionCentre(1000, 0, 0)]
    >>> where_to_press(rod).station_mm
    600
    """
    highest = max(from_ends(sections), key=lambda section: section.off_mm)
    return PressPlace(highest.station_mm, highest.high_deg, highest.off_mm, PRESSING)


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
        raise Refusal(f"Supports {inset_mm:g} mm in from both ends meet on a rod of {length_mm:g} mm.")
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
