"""Whether the gauge at hand can decide a check, said before anything is read with it."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from log import SHIPPED

from inspect_app.entries.job import Gauge, Place, Reading, Survey
from inspect_app.job.choosing import last_used, outside_range, too_coarse
from inspect_app.tables.cylinders import Check
from inspect_app.trade.measuring.uncertainty import EXPANDED

D = Decimal


def check(needs_u: str | None) -> Check:
    found = SHIPPED.cylinders["double-acting"].check("rod-diameter")
    assert found is not None
    return replace(found, needs_u=D(needs_u) if needs_u else None)


def gauge(name: str = "C-1", from_: str | None = None, up_to: str | None = None) -> Gauge:
    """± 0.020 up to 100 mm and ± 0.040 beyond, both k = 2, and nothing else."""
    errors = ((D(100), D("0.020")), (D(1000), D("0.040")))
    ends = (D(end) if end else None for end in (from_, up_to))
    return Gauge(name, "caliper", name, errors, D(0), D(0), "", EXPANDED, D(0), *ends)


@pytest.mark.parametrize(
    ("needs", "size", "is_too_coarse"),
    [
        ("0.020", "63", False),
        ("0.019", "63", True),
        ("0.039", "250", True),
        ("0.040", "250", False),
        ("0.020", None, False),  # before any size is known, at the fine end
        (None, "250", False),
    ],
)
def test_a_gauge_is_too_coarse_by_its_uncertainty_at_the_size_it_will_read(
    needs: str | None, size: str | None, is_too_coarse: bool
) -> None:
    said = too_coarse(gauge(), check(needs), D(size) if size else None, SHIPPED.gauges, "metric")
    assert bool(said) is is_too_coarse


def test_it_is_said_in_one_digit_more_than_sizes_are_shown_in() -> None:
    said = too_coarse(gauge(), check("0.005"), D(63), SHIPPED.gauges, "metric")
    assert said == "C-1 reads to ±0.0200 mm here; to decide this check takes ±0.0050 mm or better."
    inch = too_coarse(gauge(), check("0.00508"), D(63), SHIPPED.gauges, "inch")
    assert inch == "C-1 reads to ±0.00079 in here; to decide this check takes ±0.00020 in or better."


def test_a_reading_outside_its_gauges_range_is_asked_about_and_no_other() -> None:
    ranged = gauge("M", "50", "75")
    assert outside_range(ranged, D(75), "length", SHIPPED.gauges, "metric") == ""
    assert outside_range(ranged, D("75.1"), "length", SHIPPED.gauges, "metric") == (
        "M reads from 50.000 mm to 75.000 mm; 75.100 mm is outside. Look at which gauge it was and what it showed."
    )


def test_the_gauge_used_last_is_that_of_the_latest_reading_of_its_kind() -> None:
    def read(n: int, with_: str, at: str) -> Reading:
        return Reading(f"e{n}", "rod-diameter", Place(str(n), "12"), D(63), "63", with_, at, "AB")

    readings = [read(1, "A", "2026-01-02"), read(2, "B", "2026-01-03"), read(3, "X", "2026-01-04")]
    survey = Survey(readings={"rod-diameter": {r.place: r for r in readings}})
    assert last_used(survey, [gauge("A"), gauge("B")]) == "B"
    assert last_used(survey, [gauge("A")]) == "A"
    assert last_used(survey, [gauge("C")]) == ""
