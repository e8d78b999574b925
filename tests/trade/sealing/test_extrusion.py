"""Extrusion gaps against published sheets and a piston moved about in its bore, limits against the printed chart."""

from __future__ import annotations

import csv
import math
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspect_app.tables.faults import Reader
from inspect_app.tables.sources import load_sources
from inspect_app.tables.standards.orings import load_allowances, load_extrusion_limits
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.sizes import Size
from inspect_app.trade.sealing.extrusion import Gap, gland_gap, piston_gap, plain_gap
from inspect_app.trade.sealing.extrusion_limits import backup_rings, judge_gap, limits_at

CHECKLISTS = Path(__file__).parents[3] / "checklists"
READER = Reader(CHECKLISTS)
LIMITS = load_extrusion_limits(READER)
CHART = tuple(limit for limit in LIMITS if limit.source == "extrusion-chart-oring")
CONSIDER_ABOVE_MPA = load_allowances(READER)["backup-pressure"]
MPA_PER_PSI = 0.006894757


def _diametral(mm: float) -> Gap:
    return Gap(mm, mm / 2, mm / 2, 0.1)


# --- geometry --------------------------------------------------------------------------------------------


def test_a_published_rod_sheet_worked_through() -> None:
    # seal maker's design sheet formulas with D3 50.6 to 50.8, D2 to 55.074, S 2.45, d1 from 49.936:
    # (50.8 + 55.074)/2 - 2.45 - 49.936 and 2.45 - (55.074 - 50.6)/2
    gap = gland_gap(
        rod=Size(49.96, 49.936, 49.975),
        land=Size(50.7, 50.6, 50.8),
        ring_groove=Size(55.037, 55.0, 55.074),
        ring_thickness=Size(2.475, 2.45, 2.5),
    )
    assert gap.one_sided_mm == pytest.approx(0.551)
    assert gap.metal_gap_mm == pytest.approx(0.213)
    assert not gap.metal_touches


def _free_way(inner_radius: float, outer_radius: float) -> float:
    """How far a circle can be pushed off centre inside another: by bisection over 720 points of its rim."""
    angles = np.linspace(0, 2 * math.pi, 720, endpoint=False)
    x, y = inner_radius * np.cos(angles), inner_radius * np.sin(angles)
    low, high = 0.0, outer_radius
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if np.hypot(x + middle, y).max() <= outer_radius else (low, middle)
    return low


@pytest.mark.parametrize("ring_wear_mm", [0.0, 0.15, 0.6])
@pytest.mark.parametrize("swell_mm", [0.0, 0.07])
def test_a_piston_pushed_about_in_its_bore_never_opens_a_wider_gap(
    ring_wear_mm: float, swell_mm: float
) -> None:
    bore, land = Size(100.04, 100.0, 100.087), Size(99.4, 99.35, 99.45)
    groove, ring = Size(94.97, 94.946, 95.0), Size(2.475, 2.45, 2.5)
    gap = piston_gap(
        bore=bore,
        land=land,
        ring_groove=groove,
        ring_thickness=ring,
        ring_wear_mm=ring_wear_mm,
        swell_mm=swell_mm,
    )
    random = np.random.default_rng(7425)
    widest = 0.0
    for _ in range(60):
        sizes = [random.choice([s.least_mm, s.greatest_mm]) for s in (bore, land, groove, ring)]
        bore_r, land_r, groove_r = (sizes[0] + swell_mm) / 2, sizes[1] / 2, sizes[2] / 2
        carried_r = groove_r + sizes[3] - ring_wear_mm
        way = min(_free_way(carried_r, bore_r), _free_way(land_r, bore_r))
        widest = max(widest, bore_r - land_r + way)
    assert gap.one_sided_mm == pytest.approx(widest, abs=1e-4)


def test_a_worn_out_wear_ring_lets_metal_touch_and_the_gap_stops_at_the_clearance() -> None:
    gap = piston_gap(
        bore=Size.plus_minus(100, 0),
        land=Size.plus_minus(99.6, 0),
        ring_groove=Size.plus_minus(95, 0),
        ring_thickness=Size.plus_minus(2.5, 0),
        ring_wear_mm=1.0,
    )
    assert gap.metal_touches
    assert gap.one_sided_mm == pytest.approx(0.4)


def test_a_ring_worn_more_than_its_thickness_is_refused() -> None:
    size = Size.plus_minus(95, 0)
    with pytest.raises(Refusal, match="ring wear is"):
        piston_gap(
            bore=Size.plus_minus(100, 0),
            land=Size.plus_minus(99.6, 0),
            ring_groove=size,
            ring_thickness=Size.plus_minus(2.5, 0),
            ring_wear_mm=2.5,
        )


def test_swell_counts_whole_for_a_resting_piston_and_half_for_a_centred_one() -> None:
    # bore 100, outside 120, 25 MPa, steel: the bore grows 0.0709 mm on diameter (open ends, Lamé, by
    # numerical integration); ISO 7425-1 clause 7: the gap widens with the cylinder's expansion
    parts = {
        "bore": Size.plus_minus(100, 0),
        "land": Size.plus_minus(99.5, 0),
        "ring_groove": Size.plus_minus(95, 0),
        "ring_thickness": Size.plus_minus(2.5, 0),
    }
    cold, hot = piston_gap(**parts), piston_gap(**parts, swell_mm=0.0709)
    assert hot.one_sided_mm - cold.one_sided_mm == pytest.approx(0.0709)
    assert hot.concentric_mm - cold.concentric_mm == pytest.approx(0.0709 / 2)


def test_without_wear_rings_the_gap_on_one_side_is_the_whole_clearance() -> None:  # ISO 7425-1: D - d3
    gap = plain_gap(inner=Size(99.9, 99.85, 99.95), outer=Size(100.03, 100.0, 100.054))
    assert gap.one_sided_mm == pytest.approx(100.054 - 99.85)
    assert gap.concentric_mm == pytest.approx(gap.one_sided_mm / 2)


def test_a_bore_swollen_by_pressure_opens_every_gap_by_as_much() -> None:
    # geometry: the bore grows on diameter, the piston, the rod and the ring stay; by hand 0.03 more to one side
    bore, piston = Size(100.03, 100.0, 100.054), Size(99.9, 99.85, 99.95)
    still, swollen = (plain_gap(inner=piston, outer=bore, swell_mm=mm) for mm in (0.0, 0.03))
    assert swollen.one_sided_mm == pytest.approx(still.one_sided_mm + 0.03)
    assert swollen.concentric_mm == pytest.approx(still.concentric_mm + 0.015)
    ring = {"ring_groove": Size(94.973, 94.946, 95.0), "ring_thickness": Size(2.475, 2.45, 2.5)}
    guided = [piston_gap(bore=bore, land=Size(99.5, 99.45, 99.55), swell_mm=mm, **ring) for mm in (0.0, 0.03)]
    assert guided[1].one_sided_mm == pytest.approx(guided[0].one_sided_mm + 0.03)
    assert guided[1].concentric_mm == pytest.approx(guided[0].concentric_mm + 0.015)
    gland = {"ring_groove": Size(55.037, 55.0, 55.074), "ring_thickness": Size(2.475, 2.45, 2.5)}
    rod, land = Size(49.96, 49.936, 49.975), Size(50.7, 50.6, 50.8)
    held = [gland_gap(rod=rod, land=land, swell_mm=mm, **gland) for mm in (0.0, 0.03)]
    assert held[1].one_sided_mm == pytest.approx(held[0].one_sided_mm + 0.03)
    assert held[1].concentric_mm == pytest.approx(held[0].concentric_mm + 0.015)
    with pytest.raises(Refusal, match="swell is"):
        plain_gap(inner=piston, outer=bore, swell_mm=-0.01)


def test_a_piston_larger_than_its_bore_is_refused() -> None:
    with pytest.raises(Refusal, match="clearance is"):
        plain_gap(inner=Size.plus_minus(100.2, 0), outer=Size.plus_minus(100.1, 0))


# --- limits ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("hardness", "psi", "greatest_in"),
    [  # sealanddesign.com, limits of diametral clearance against fluid pressure, every cell at mid-band
        (70, 250, 0.016),
        (70, 750, 0.010),
        (70, 1250, 0.006),
        (70, 1750, 0.004),
        (70, 2500, 0.002),
        (90, 250, 0.028),
        (90, 750, 0.024),
        (90, 1250, 0.020),
        (90, 1750, 0.016),
        (90, 2500, 0.010),
    ],
)
def test_the_printed_chart_of_diametral_clearance(hardness: float, psi: float, greatest_in: float) -> None:
    at = {
        "pressure_mpa": psi * MPA_PER_PSI,
        "section_mm": 5.33,
        "hardness_shore_a": hardness,
        "seal": "o-ring",
        "limits": CHART,
    }
    mm = greatest_in * 25.4
    assert judge_gap(gap=_diametral(mm - 0.001), **at).within
    assert not judge_gap(gap=_diametral(mm + 0.001), **at).within


def test_every_cell_says_what_it_was_printed_as() -> None:
    with open(CHECKLISTS / "housings/extrusion_gap.csv", encoding="utf-8") as f:
        rows = list(csv.DictReader(line for line in f if not line.startswith("#")))
    assert len(rows) == 10 + 50 + 18
    for row in rows:
        printed, unit, *_ = row["as_printed"].split()
        assert float(row["greatest_mm"]) == pytest.approx(float(printed) * (25.4 if unit == "in" else 1))


def test_the_tables_have_no_fault_and_name_only_known_sources() -> None:
    reader = Reader(CHECKLISTS)
    rows = load_extrusion_limits(reader)
    sources = load_sources(reader)
    assert [f for f in reader.faults if f.file.startswith("housings/")] == []
    assert {row.source for row in rows} <= sources.keys()


def test_the_published_example_fails_with_70_shore() -> None:  # applerubber.com: 1000 psi, 0.016 in, 70 A
    finding = judge_gap(
        gap=_diametral(0.016 * 25.4),
        pressure_mpa=1000 * MPA_PER_PSI,
        section_mm=3.53,
        hardness_shore_a=70,
        seal="o-ring",
        limits=LIMITS,
    )
    assert not finding.within
    assert "too wide" in str(finding.sentence)


def test_between_two_printed_hardnesses_the_softer_row_counts() -> None:
    rows = limits_at(pressure_mpa=8, section_mm=5.33, hardness_shore_a=85, seal="o-ring", limits=LIMITS)
    assert {row.hardness_shore_a for row in rows} == {70}


@pytest.mark.parametrize(
    ("pressure_mpa", "hardness"),
    [(20.7, 90), (25, 70), (10, 60), (10, 95), (10, None)],  # the chart ends at 3000 psi, 70 and 90 Shore A
)
def test_nothing_is_extrapolated(pressure_mpa: float, hardness: float | None) -> None:
    with pytest.raises(Refusal, match=r"ends at|covers"):
        limits_at(
            pressure_mpa=pressure_mpa,
            section_mm=5.33,
            hardness_shore_a=hardness,
            seal="o-ring",
            limits=LIMITS,
        )


def test_a_remembered_table_tightens_the_read_one_but_never_reaches_further() -> None:
    at = {"pressure_mpa": 10, "section_mm": 5.0, "hardness_shore_a": 90, "seal": "o-ring"}
    gap = Gap(0.4, 0.2, 0.3, 0.1)  # chart 0.020 in = 0.508 diametral; by section, from memory, 0.10 radial
    assert judge_gap(gap=gap, limits=CHART, **at).within
    tightened = judge_gap(gap=gap, limits=LIMITS, **at)
    assert not tightened.within
    assert tightened.limit.status == "from-memory"
    alone = [row for row in LIMITS if row.tightens]
    with pytest.raises(Refusal, match="no table"):
        judge_gap(gap=gap, limits=alone, **at)


def test_on_the_edge_of_two_bands_the_smaller_limit_counts() -> None:
    rows = limits_at(
        pressure_mpa=1500 * MPA_PER_PSI, section_mm=8, hardness_shore_a=70, seal="o-ring", limits=CHART
    )
    assert {round(row.greatest_mm / 25.4, 3) for row in rows} == {0.006, 0.004}


@pytest.mark.parametrize(
    ("section_mm", "pressure_mpa", "greatest_mm"),
    [  # trade geometry of plastic-faced seals, from memory
        (1.78, 10, 0.20),  # edge of 10 MPa: the smaller of 0.30 and 0.20
        (3.53, 15, 0.25),
        (5.33, 35, 0.20),
        (6.99, 8, 0.60),
    ],
)
def test_plastic_faced_seals_have_radial_limits_to_40_mpa(
    section_mm: float, pressure_mpa: float, greatest_mm: float
) -> None:
    finding = judge_gap(
        gap=Gap(1, 0.5, 1, 0.1),
        pressure_mpa=pressure_mpa,
        section_mm=section_mm,
        hardness_shore_a=None,
        seal="plastic-faced",
        limits=LIMITS,
    )
    assert (finding.limit.greatest_mm, finding.limit.measure) == (greatest_mm, "radial")
    assert finding.within is None  # a new piston's land leaves more: the seal's own sheet decides
    assert finding.limit.status == "from-memory"


# --- back-up rings ---------------------------------------------------------------------------------------


def _advice(gap: Gap, pressure_mpa: float, *, both: bool) -> tuple[int, str]:
    advice = backup_rings(
        gap=gap,
        pressure_mpa=pressure_mpa,
        section_mm=5.33,
        hardness_shore_a=70,
        from_both_sides=both,
        consider_above_mpa=CONSIDER_ABOVE_MPA,
        limits=CHART,
    )
    assert advice.reasons
    return advice.count, advice.where


def test_a_narrow_gap_at_low_pressure_needs_no_back_up_ring() -> None:
    assert _advice(_diametral(0.1), 3, both=False) == (0, "none")


def test_pressure_from_one_side_needs_one_on_the_low_pressure_side() -> None:  # MIL-G-5514G 3.4
    assert _advice(_diametral(0.3), 8, both=False) == (1, "on the low-pressure side of the O-ring")


def test_pressure_from_both_sides_needs_two() -> None:  # MIL-G-5514G 3.4
    assert _advice(_diametral(0.3), 8, both=True)[0] == 2


def test_above_103_5_bar_any_gap_calls_for_one() -> None:  # O-ring handbook, section 4: 103.5 bar, 1500 psi
    assert _advice(_diametral(0.01), 10.3, both=False)[0] == 0
    assert _advice(_diametral(0.01), 10.4, both=False)[0] == 1


def test_beyond_the_chart_back_up_rings_are_advised_instead_of_a_guess() -> None:
    assert _advice(_diametral(0.01), 31.5, both=True)[0] == 2


# --- any parts -------------------------------------------------------------------------------------------


@given(
    bore=st.floats(20, 500),
    clearance=st.floats(0.01, 2),
    thickness=st.sampled_from([1.55, 2.5, 4.0]),
    tolerance=st.floats(0, 0.05),
    wear=st.floats(0, 1.4),
    swell=st.floats(0, 0.3),
    pressure=st.floats(0.5, 60),
    hardness=st.floats(50, 100),
)
def test_any_piston_gives_sensible_gaps_and_a_verdict_or_a_refusal(
    bore: float,
    clearance: float,
    thickness: float,
    tolerance: float,
    wear: float,
    swell: float,
    pressure: float,
    hardness: float,
) -> None:
    parts = {
        "bore": Size.plus_minus(bore, tolerance),
        "land": Size.plus_minus(bore - clearance, tolerance),
        "ring_groove": Size.plus_minus(bore - 2 * thickness - 0.05, tolerance),
        "ring_thickness": Size.plus_minus(thickness, 0.02),
    }
    new = piston_gap(**parts)
    worn = piston_gap(**parts, ring_wear_mm=wear, swell_mm=swell)
    assert new.one_sided_mm <= worn.one_sided_mm + 1e-9
    assert worn.metal_gap_mm <= new.metal_gap_mm
    for gap in (new, worn):
        assert 0 < gap.concentric_mm <= gap.one_sided_mm + 0.05 + tolerance * 2
        assert gap.one_sided_mm <= gap.diametral_mm
    try:
        finding = judge_gap(
            gap=worn,
            pressure_mpa=pressure,
            section_mm=5.33,
            hardness_shore_a=hardness,
            seal="o-ring",
            limits=LIMITS,
        )
    except Refusal:
        assert pressure > 20.68 or not 70 <= hardness <= 90
        return
    assert finding.gap_mm > 0
    assert finding.within == (finding.gap_mm <= finding.limit.greatest_mm)
