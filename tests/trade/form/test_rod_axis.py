"""The axis of a rod and its bends, held against scipy, numpy, a laser manual and rods turned by geometry."""

from __future__ import annotations

import cmath
import math
from decimal import Decimal

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import linprog, minimize

from inspect_app.trade.form.rod_axis import (
    PRESSING,
    SectionCentre,
    bend_plane,
    from_ends,
    from_supports,
    least_cylinder,
    least_squares_zone_mm,
    where_to_press,
    worst_local_bend,
)
from inspect_app.trade.form.straightness import worst_bend_per_metre
from inspect_app.trade.measuring.refusal import Refusal


def section(station_mm: float, centre: complex) -> SectionCentre:
    return SectionCentre(station_mm, abs(centre), math.degrees(cmath.phase(centre)) % 360)


def centre(place: SectionCentre) -> complex:
    return cmath.rect(place.off_mm, math.radians(place.high_deg))


# A rod with both ends bent back: station, TIR and the clock of its high side in degrees.
ROD = [
    SectionCentre(z, tir / 2, high)
    for z, tir, high in [
        *[(0, 0.06, 212), (100, 0.00, 0), (300, 0.14, 30), (500, 0.24, 33)],
        *[(700, 0.26, 31), (900, 0.16, 28), (1100, 0.00, 0), (1200, 0.05, 209)],
    ]
]


millimetres = st.integers(-400, 400).map(lambda um: um / 1000)


@st.composite
def rods(draw: st.DrawFn, stations: tuple[int, int] = (3, 12)) -> list[SectionCentre]:
    """Rods up to 6 m whose sections lie within 0.4 mm each way, some bent in one plane only."""
    places = draw(st.lists(st.integers(0, 6000), min_size=stations[0], max_size=stations[1], unique=True))
    flat = draw(st.booleans())
    return [section(z, complex(draw(millimetres), 0 if flat else draw(millimetres))) for z in places]


# ---- the axis


def test_end_point_straightness_is_the_laser_manuals() -> None:
    # HP 5528A user's guide, chapter 21, straightness worked on paper, end-point fit (µm, printed to 0.1)
    read = [-0.3, 0.9, 1.5, 2.5, 2.9, 3.6, 4.2, 5.1, 5.9, 7.2]
    printed = [0.0, 0.4, 0.1, 0.3, -0.1, -0.3, -0.5, -0.4, -0.5, 0.0]
    ours = [centre(p).real for p in from_ends([section(100 * k, complex(um)) for k, um in enumerate(read)])]
    assert ours == pytest.approx(printed, abs=0.06)


@given(rods(), st.floats(0, 300), st.floats(0, 300))
def test_a_rod_turned_on_inboard_supports_gives_back_its_true_axis(
    rod: list[SectionCentre], left: float, right: float
) -> None:
    # simulation: a dial sees each centre less the straight line through the true centres at the supports
    rod = sorted(rod, key=lambda s: s.station_mm)
    supports = (
        (rod[0].station_mm, rod[-1].station_mm) if len(rod) == 3 else (rod[1].station_mm, rod[-2].station_mm)
    )
    p, q = (next(centre(s) for s in rod if s.station_mm == z) for z in supports)
    span = supports[1] - supports[0]
    seen = [
        section(s.station_mm, centre(s) - p - (q - p) * (s.station_mm - supports[0]) / span)
        for s in rod
        if s.station_mm not in supports  # nobody can read a dial where the roller is
    ]
    true, ours = from_ends(rod), from_ends(from_supports(seen, supports_mm=supports))
    assert [centre(s) for s in ours] == pytest.approx([centre(s) for s in true], abs=1e-9)


def test_a_support_that_was_read_is_taken_off_along_the_rod() -> None:
    # by hand: 0.02 read at both supports is an offset of the dial, not a bow
    seen = [SectionCentre(100, 0.02, 0), SectionCentre(500, 0.12, 0), SectionCentre(900, 0.02, 0)]
    assert [round(s.off_mm, 9) for s in from_supports(seen, supports_mm=(900, 100))] == [0, 0.1, 0]


def test_two_supports_at_one_place_are_refused() -> None:
    with pytest.raises(Refusal, match="two stations"):
        from_supports([SectionCentre(1, 0, 0), SectionCentre(2, 0, 0)], supports_mm=(5, 5))


def polygon_cylinder_mm(rod: list[SectionCentre], sides: int = 720) -> float:
    """scipy.optimize.linprog: least cylinder, its circle replaced by the polygon around it."""
    z = np.array([s.station_mm for s in rod]) / 1000
    p = np.array([centre(s) for s in rod])
    rows, limits = [], []
    for t in np.arange(sides) * 2 * np.pi / sides:
        c, s = math.cos(t), math.sin(t)
        rows.append(
            np.column_stack([c * np.ones_like(z), s * np.ones_like(z), c * z, s * z, np.ones_like(z)])
        )
        limits.append(c * p.real + s * p.imag)
    found = linprog([0, 0, 0, 0, 1], A_ub=-np.vstack(rows), b_ub=-np.concatenate(limits), bounds=(None, None))
    return 2 * float(found.fun)


def test_the_least_cylinder_of_the_rod_is_linprogs() -> None:
    zone = least_cylinder(ROD)
    polygon = polygon_cylinder_mm(ROD)  # at most 1 / cos(180 / 720) too small
    assert polygon - 2e-5 <= zone.diameter_mm <= polygon / math.cos(math.pi / 720) * 1.0001
    assert zone.at_least_mm <= zone.diameter_mm <= least_squares_zone_mm(ROD)


@given(rods())
@settings(max_examples=40)
def test_the_least_cylinder_is_linprogs_for_any_rod(rod: list[SectionCentre]) -> None:
    polygon = polygon_cylinder_mm(rod, 180)
    zone = least_cylinder(rod)
    assert polygon - 1e-6 <= zone.diameter_mm <= polygon / math.cos(math.pi / 180) * 1.0002 + 1e-6


@pytest.mark.parametrize("turns", [0.3, 1.0, 2.5])
def test_the_least_cylinder_of_a_corkscrew_is_the_one_scipy_walks_to(turns: float) -> None:
    rod = [section(200 * k, cmath.rect(0.1 + 0.01 * k, turns * 2 * math.pi * k / 9)) for k in range(10)]
    z = np.arange(10) / 9
    p = np.array([centre(s) for s in rod])

    def widest(line: np.ndarray) -> float:
        return float(np.max(np.abs(p - complex(line[0], line[1]) - complex(line[2], line[3]) * z)))

    walked = min(  # scipy: simplex walk, restarted
        minimize(
            widest, start, method="Nelder-Mead", options={"xatol": 1e-9, "fatol": 1e-12, "maxiter": 9000}
        ).fun
        for start in ([0, 0, 0, 0], [0.05, 0, 0, 0.05], [-0.05, 0.05, 0.05, -0.05])
    )
    zone = least_cylinder(rod)
    assert zone.at_least_mm - 1e-9 <= 2 * walked
    assert zone.diameter_mm <= 2 * walked * 1.0001


@given(rods())
def test_zones_of_any_rod_stand_in_their_order(rod: list[SectionCentre]) -> None:
    zone, plane = least_cylinder(rod), bend_plane(rod)
    bow = max(s.off_mm for s in from_ends(rod))
    assert zone.diameter_mm - zone.at_least_mm <= 1.01e-4 * zone.diameter_mm + 1e-9
    assert zone.diameter_mm <= least_squares_zone_mm(rod) + 1e-9
    assert zone.diameter_mm <= 2 * bow + 1e-9  # a cylinder about the line through the ends holds them all
    assert plane.straightness_mm <= zone.diameter_mm + 1e-9  # seen in any plane it looks no wider
    assert plane.out_of_plane_rms_mm <= plane.in_plane_rms_mm + 1e-9
    assert 0 <= plane.high_deg <= 360


@given(st.integers(1, 2999), millimetres, st.floats(0, 359))
def test_three_sections_need_a_cylinder_as_wide_as_the_middle_stands_off(
    z: int, off: float, high: float
) -> None:
    # by hand: the middle one's distance off the line through the ends is shared between the two sides
    rod = [section(0, 0j), section(z, cmath.rect(off, math.radians(high))), section(3000, 0j)]
    zone = least_cylinder(rod)
    assert zone.at_least_mm <= abs(off) + 1e-9
    assert abs(off) - 1e-9 <= zone.diameter_mm <= abs(off) * 1.0001 + 1e-9


def test_a_straight_rod_set_askew_has_no_zone() -> None:
    rod = [section(z, complex(0.001 * z, 0.2 - 0.0004 * z)) for z in (0, 300, 900, 2000)]
    assert least_cylinder(rod).diameter_mm == pytest.approx(0, abs=1e-9)
    assert least_squares_zone_mm(rod) == pytest.approx(0, abs=1e-9)


def test_least_squares_zone_and_plane_are_numpys() -> None:
    z = np.array([s.station_mm for s in ROD])
    xy = np.array([[centre(s).real, centre(s).imag] for s in ROD])
    slopes, starts = np.polyfit(z, xy, 1)  # numpy
    leaves = xy - starts - np.outer(z, slopes)
    assert least_squares_zone_mm(ROD) == pytest.approx(2 * np.hypot(*leaves.T).max())
    _, singular, directions = np.linalg.svd(leaves)  # numpy: principal directions
    plane = bend_plane(ROD)
    across = math.degrees(math.atan2(directions[0, 1], directions[0, 0]))
    assert math.sin(math.radians(plane.high_deg - across)) == pytest.approx(0, abs=1e-9)
    assert plane.in_plane_rms_mm == pytest.approx(singular[0] / math.sqrt(len(z)))
    assert plane.out_of_plane_rms_mm == pytest.approx(singular[1] / math.sqrt(len(z)))


@given(st.floats(0, 359.9), st.floats(0.05, 2), st.integers(3, 9))
def test_a_flat_bend_points_to_its_high_side(high: float, bow: float, stations: int) -> None:
    rod = [
        SectionCentre(100.0 * k, bow * math.sin(math.pi * k / (stations - 1)), high)
        for k in range(1, stations - 1)
    ]
    rod = [SectionCentre(0, 0, 0), *rod, SectionCentre(100.0 * (stations - 1), 0, 0)]
    assert math.cos(math.radians(bend_plane(rod).high_deg - high)) == pytest.approx(1)
    assert math.cos(math.radians(where_to_press(rod).high_deg - high)) == pytest.approx(1)


# ---- where it bends


def test_a_kink_turns_by_the_angle_between_its_two_straight_legs() -> None:
    # by construction: two straight legs, the second leaning 2 mm per metre, measured 200 mm apart
    rod = [section(z, cmath.rect(max(0.0, z - 600) * 0.002, math.radians(31))) for z in range(0, 1201, 200)]
    bend = worst_local_bend(rod)
    assert bend.station_mm == 600
    assert bend.turn_mm_per_m == pytest.approx(2.0)
    assert math.cos(math.radians(bend.high_deg - 31)) == pytest.approx(
        -1
    )  # the corner stands out away from the lean


def test_the_local_bend_reads_on_a_dial_between_its_neighbours() -> None:
    # the rod turned on rollers at the neighbours shows twice the distance off their line
    bend = worst_local_bend(ROD)
    a, b, c = (next(centre(s) for s in ROD if s.station_mm == z) for z in (*bend.between_mm, bend.station_mm))
    share = (bend.station_mm - bend.between_mm[0]) / (bend.between_mm[1] - bend.between_mm[0])
    turned = [((c - a - share * (b - a)) * cmath.rect(1, math.radians(d))).real for d in range(360)]
    span_m = (bend.between_mm[1] - bend.between_mm[0]) / 1000
    assert bend.tir_mm_per_m * span_m == pytest.approx(max(turned) - min(turned), rel=1e-3)
    assert bend.bow_mm_per_m * span_m == pytest.approx((max(turned) - min(turned)) / 2, rel=1e-3)
    assert bend.off_mm == pytest.approx(abs(c - a - share * (b - a)))


def test_the_bend_by_total_readings_is_the_bend_by_centres_when_all_lie_to_one_side() -> None:
    tirs = [(0, "0"), (400, "0.30"), (800, "0.55"), (1300, "0.20"), (1500, "0")]
    by_tir = worst_bend_per_metre([(Decimal(z), Decimal(t)) for z, t in tirs])
    by_centre = worst_local_bend([SectionCentre(z, float(t) / 2, 75) for z, t in tirs])
    assert float(by_tir) == pytest.approx(by_centre.tir_mm_per_m)


def test_the_press_goes_to_the_high_side_of_the_greatest_bow_with_its_caution() -> None:
    press = where_to_press(ROD)
    assert press.station_mm == 700
    assert press.high_deg == pytest.approx(31, abs=0.5)
    first, last, here = centre(ROD[0]), centre(ROD[-1]), next(centre(s) for s in ROD if s.station_mm == 700)
    share = (700 - ROD[0].station_mm) / (ROD[-1].station_mm - ROD[0].station_mm)
    assert press.bow_mm == pytest.approx(abs(here - first - share * (last - first)))  # plane geometry
    assert press.caution is PRESSING
    assert "induction-hardened" in press.caution.sentence


@pytest.mark.parametrize(
    "judge", [from_ends, least_squares_zone_mm, least_cylinder, bend_plane, worst_local_bend, where_to_press]
)
def test_two_sections_or_one_twice_make_no_axis(judge) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(Refusal, match="at least 3"):
        judge(ROD[:2])
    with pytest.raises(Refusal, match="given twice"):
        judge([*ROD, ROD[0]])


def test_a_rod_read_only_at_its_supports_lies_on_the_line_through_them() -> None:
    axis = from_supports([ROD[1], ROD[6]], supports_mm=(100, 1100))
    assert [(s.station_mm, s.off_mm) for s in axis] == [(100, 0), (1100, 0)]
