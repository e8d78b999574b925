"""Which checks were spoken of between two states of a cylinder; on it hangs which results may be kept."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from inspect_app.entries.job import Answer, Defect, DefectSize, Field, Gauge, Place, Reading, Survey
from inspect_app.job.concerning import changed_between

HERE = Place("300", "6")
AT = "2026-03-02T10:00:00.000+00:00"
MICROMETER = Gauge(
    "m1", "outside-micrometer", "M1", ((Decimal(100), Decimal("0.003")),), Decimal(0), Decimal("0.001"), ""
)


def read(gauge: str) -> dict[Place, Reading]:
    """One reading, taken with a gauge."""
    return {HERE: Reading("r1", "of no matter", HERE, Decimal(50), "50", gauge, AT, "KM")}


def mark(check: str, gauge: str) -> Defect:
    """A score as deep as a gauge says."""
    depth = DefectSize(Decimal("0.02"), "0.02", Decimal("0.01"), gauge)
    return Defect("d1", check, "score", HERE, "", {"depth": depth}, "", "", AT, "KM")


BEFORE = Survey(
    "as-found",
    "double-acting",
    "metric",
    nameplate={"bore": Field("100", Decimal(100))},
    readings={"rod-diameter": read("m1"), "bore-diameter": read("m2")},
    gauges={"m1": MICROMETER, "m2": replace(MICROMETER, id="m2")},
    defects=(mark("rod-surface", "m1"), mark("bore-surface", "m2")),
)


def test_nothing_was_said() -> None:
    assert changed_between(BEFORE, replace(BEFORE)) == frozenset()


@pytest.mark.parametrize(
    ("now", "about"),
    [
        (
            replace(BEFORE, readings={**BEFORE.readings, "rod-diameter": read("m1")}),
            {"rod-diameter"},
        ),
        (replace(BEFORE, readings={"rod-diameter": BEFORE.readings["rod-diameter"]}), {"bore-diameter"}),
        (replace(BEFORE, nominals={"pin": Field("20", Decimal(20))}), {"pin"}),
        (replace(BEFORE, places={"pin": (HERE,)}), {"pin"}),
        (replace(BEFORE, looked=frozenset({"bore-surface"})), {"bore-surface"}),
        (replace(BEFORE, defects=(*BEFORE.defects, mark("gland-surface", "m1"))), {"gland-surface"}),
        # one taken back moves those after it
        (replace(BEFORE, defects=BEFORE.defects[1:]), {"rod-surface", "bore-surface"}),
        # a gauge that turned out to be another reaches all that was read with it, sizes of marks too
        (
            replace(BEFORE, gauges={**BEFORE.gauges, "m1": replace(MICROMETER, step=Decimal("0.01"))}),
            {"rod-diameter", "rod-surface"},
        ),
    ],
)
def test_what_it_was_about(now: Survey, about: set[str]) -> None:
    assert changed_between(BEFORE, now) == about


@pytest.mark.parametrize(
    "now",
    [
        replace(BEFORE, units="inch"),
        replace(BEFORE, name="as-left"),
        replace(BEFORE, cylinder="ram"),
        replace(BEFORE, nameplate={"bore": Field("100.0", Decimal("100.0"))}),
        replace(BEFORE, answers={"cushion": Answer("yes", "KM", AT)}),
    ],
)
def test_what_is_said_of_the_whole_reaches_every_check(now: Survey) -> None:
    assert changed_between(BEFORE, now) is None
