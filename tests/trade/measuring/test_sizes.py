"""Sizes of a defect: the unit of a bare number is the one beside its box, and the hard to believe is asked about."""

from __future__ import annotations

from decimal import Decimal

import pytest
from log import SHIPPED

from inspect_app.entries.job import Defect, Field, Place, Survey
from inspect_app.entries.typed import Station
from inspect_app.screens.mechanic.placing import in_order, station_typed
from inspect_app.screens.mechanic.sizes import size_doubt, size_label, size_typed, typed_before
from inspect_app.tables.cylinders import Measure
from inspect_app.trade.measuring.quantities import read

DEPTH = Measure("depth", "depth", "needle depth gauge")
LENGTH = Measure("length", "length", "steel rule")
TURNS = Measure("turns", "turns", "", "count")
LONG = Survey(nameplate={"stroke": Field("96 in", Decimal("2438.4"))})


@pytest.mark.parametrize(
    ("measure", "system", "typed", "label", "mm"),
    [
        (DEPTH, "metric", "60", "Depth, µm", "0.060"),
        (DEPTH, "inch", "2", "Depth, thou", "0.0508"),  # 2 thou, not two inches; 1 in is 25.4 mm exactly
        (DEPTH, "metric", "0.06 mm", "Depth, µm", "0.06"),
        (LENGTH, "metric", "12", "Length, mm", "12"),
        (LENGTH, "inch", "1/2", "Length, in", "12.7"),
    ],
)
def test_a_bare_number_is_in_the_unit_beside_its_box(
    measure: Measure, system: str, typed: str, label: str, mm: str
) -> None:
    assert size_label(measure, system) == label
    assert read(size_typed(measure, typed, system), kind="deviation", system=system).value == Decimal(mm)


def test_a_count_has_no_unit() -> None:
    assert size_label(TURNS, "inch") == "Turns"
    assert size_typed(TURNS, " 3 ", "inch") == "3"


@pytest.mark.parametrize("text", ["2 in", "0.06 µm", "50 mm"])
def test_a_depth_nobody_can_have_measured_is_asked_about(text: str) -> None:
    assert size_doubt(DEPTH, text, LONG, "inch").startswith(f"Depth {text} is ")


@pytest.mark.parametrize("text", ["2 thou", "60 µm", "0.5 mm", ""])
def test_an_ordinary_depth_is_not_asked_about(text: str) -> None:
    assert size_doubt(DEPTH, text, LONG, "inch") == ""


def test_a_mark_longer_than_the_stroke_is_asked_about() -> None:
    assert "longer than the stroke" in size_doubt(LENGTH, "100 in", LONG, "inch")
    assert size_doubt(LENGTH, "90 in", LONG, "inch") == ""


def test_stations_are_typed_and_shown_in_the_jobs_unit_and_lie_in_order() -> None:
    wall = SHIPPED.cylinders["double-acting"].check("barrel-wall")
    assert wall is not None
    assert (station_typed("254", wall, "inch"), station_typed("254", wall, "metric")) == ("10", "254")
    assert station_typed("gland-end", wall, "inch") == "gland end"
    assert [s.at for s in in_order([Station("", s) for s in ("900", "cap end", "25", "254.0")])] == [
        "25",
        "254.0",
        "900",
        "cap end",
    ]


@pytest.mark.parametrize(
    ("station", "shown"), [("310", "310 mm"), ("beside the eye", "beside the eye"), ("", "")]
)
def test_a_station_that_was_kept_without_what_was_typed_is_shown_in_mm(station: str, shown: str) -> None:
    found = Defect("e1", "rod-surface", "pit", Place(station, ""), "", {}, "", "", "t", "AB")
    assert typed_before(found)["station"] == shown
