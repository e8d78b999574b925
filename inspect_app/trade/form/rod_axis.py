"""How a rod's axis runs through the centres of its sections, and where it bends; knows no limits and no part."""

from __future__ import annotations

import cmath
import math
from collections.abc import Sequence
from dataclasses import dataclass

from inspect_app.trade.form.roundness import ROUNDING_MM, Caution, require_places
from inspect_app.trade.form.straightness import MM_PER_M, straightness_mm
from inspect_app.trade.measuring.amounts import Amount
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.required import require_finite, require_not_negative

LAWSON_ROUNDS = 20_000
LAWSON_GAP = 1e-4
LAWSON_KEEP = 1e-2


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
        raise Refusal(
            "Both supports stand at {place}; give two stations.", place=Amount(supports_mm[0], "length")
        )
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
