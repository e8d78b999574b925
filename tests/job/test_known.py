"""What the log knows of a cylinder's sizes, as planning takes it."""

from __future__ import annotations

import pytest
from log import STILL, Log

from inspect_app.job.known import found_of
from inspect_app.job.planned import Found
from inspect_app.tables.standards.handbook import shipped_handbook


def found_in(log: Log) -> Found:
    return found_of(
        log.assess(), log.survey(), STILL.operations, shipped_handbook(), STILL.cylinders["double-acting"]
    )


def test_a_size_is_known_no_better_than_its_gauge() -> None:
    # the greatest reading of the bore counts, and with it the ± 0.012 of the gauge that read it; nothing else adds
    log = Log(bore="100", rod="63", stroke="1200")
    log.read("bore-diameter", "600 12", "100.050", u2="0.012")
    log.read("bore-diameter", "25 12", "100.030", u2="0.004")
    sizes = found_in(log).sizes
    assert sizes.bore is not None
    assert sizes.bore_smallest is not None
    assert (sizes.bore.value, sizes.bore.expanded) == pytest.approx((100.050, 0.012))
    assert (sizes.bore_smallest.value, sizes.bore_smallest.expanded) == pytest.approx((100.030, 0.004))


@pytest.mark.parametrize(("groove_mm", "thick"), [("95", 2.5), ("100", None), ("101", None)])
def test_a_wear_ring_nobody_measured_is_half_of_what_bore_and_groove_leave(
    groove_mm: str, thick: float | None
) -> None:
    # (100 - 95) / 2 = 2.5; a groove as large as the bore leaves no ring, and is a slip
    log = Log(bore="100", rod="63", stroke="1200")
    log.write("nominal", check="piston-wear-ring-groove-diameter", typed=groove_mm, value=groove_mm)
    ring = found_in(log).sizes.ring
    assert (ring and ring.value) == thick


@pytest.mark.parametrize(("groove_mm", "gap_mm"), [("84.5", 0.5), ("90", None)])
def test_the_gap_of_a_seal_is_known_by_its_listed_housing_alone(groove_mm: str, gap_mm: float | None) -> None:
    # the trade's table: below 10 MPa a plastic-faced seal over a ring of 5.33 mm, ISO 7425-1 100 x 84.5 x 6.3, stands
    # 0.50 mm; no listed housing of 100 is 90 deep
    log = Log(bore="100", rod="63", stroke="1200", rated_pressure="9.5")
    for name, mm in (("diameter", groove_mm), ("width", "6.3")):
        log.write("nominal", check=f"piston-seal-groove-{name}", typed=mm, value=mm)
    assert found_in(log).cylinder.seal_gap_mm == gap_mm


def test_the_sheet_of_a_seal_says_its_gap_before_any_table() -> None:
    log = Log(bore="100", rod="63", stroke="1200", rated_pressure="9.5")
    for name, mm in (("diameter", "84.5"), ("width", "6.3")):
        log.write("nominal", check=f"piston-seal-groove-{name}", typed=mm, value=mm)
    table = found_in(log).cylinder
    assert (table.seal_gap_mm, bool(table.seal_gap_source)) == (0.5, True)
    log.write(
        "seal-sheet", position="piston-seal", place="piston", figure="greatest gap", typed="0.7", value="0.7",
        sheet="S-4",
    )  # fmt: skip
    typed = found_in(log).cylinder
    assert (typed.seal_gap_mm, typed.seal_gap_source) == (0.7, "")


def test_a_kind_without_one_rod_is_weighed_by_its_own_sizes_until_somebody_weighs_it() -> None:
    log = Log()
    log.write("job", name="J1", cylinder="double-rod", cylinder_hash="", limits_hash="", units="metric")
    sizes = {
        "bore": "100",
        "side-a-rod": "70",
        "side-b-rod": "56",
        "stroke": "400",
        "outside_diameter": "120",
    }
    log.write("nameplate", fields={name: {"typed": mm, "value": mm} for name, mm in sizes.items()})

    def mass_kg() -> float | None:
        kind = STILL.cylinders["double-rod"]
        found = found_of(log.assess(), log.survey(), STILL.operations, shipped_handbook(), kind)
        return found.cylinder.mass_kg

    assert mass_kg() == pytest.approx(63.1, abs=0.05)  # by hand in tests of the trade
    log.write("nameplate", fields={"mass": {"typed": "60 kg", "value": "60"}})
    assert mass_kg() == 60
    assert found_in(Log(bore="100", rod="56", stroke="800", outside_diameter="120")).cylinder.mass_kg is None
