"""Amounts as they are read: units of their size, and the other system; factors of NIST SP 811."""

from __future__ import annotations

from decimal import Decimal

import pytest

from inspect_app.report.phrases import as_typed
from inspect_app.trade.measuring.quantities import read
from inspect_app.trade.measuring.readable import both_ways, unit_typed

D = Decimal


@pytest.mark.parametrize(
    ("typed", "kind", "metric", "inch"),
    [
        # a US gallon is 3.785411784 l: 60 / 3.7854 = 15.850; a cubic inch 16.387064 ml
        ("60 l", "volume", "60 l = 15.85 US gal", "60 l = 15.85 US gal"),
        ("0.6 ml", "volume", "0.6 ml = 0.037 in³", "0.6 ml = 0.037 in³"),
        ("2 US gal", "volume", "2 US gal = 7.571 l", "2 US gal = 7.571 l"),
        # psi: 240 bar x 14.5038 = 3480.9
        ("240 bar", "pressure", "240 bar = 3481 psi", "240 bar = 3481 psi"),
        # 1 lbf·ft = 1.35582 N·m
        ("2100 N·m", "torque", "2100 N·m = 1548.9 lbf·ft", "2100 N·m = 1548.9 lbf·ft"),
        ("5 min", "time", "", ""),
        ("300 s", "time", "300 s = 5 min", "300 s = 5 min"),
        ("45 °", "angle", "", ""),
    ],
)
def test_a_typed_amount_is_told_once_in_each_system(typed: str, kind: str, metric: str, inch: str) -> None:
    value = read(typed, kind=kind).value
    assert both_ways(typed, value, kind, "metric") == metric
    assert both_ways(typed, value, kind, "inch") == inch


@pytest.mark.parametrize(
    ("typed", "kind", "system", "told"),
    [
        ("300", "time", "metric", "300 s = 5 min"),
        ("40", "time", "metric", ""),
        ("60", "volume", "metric", "60 ml = 3.66 in³"),
        ("20", "temperature", "metric", "20 °C = 68 °F"),
        ("100", "mass", "inch", "100 lb = 45.4 kg"),
        ("400", "length", "metric", "400 mm = 15.748 in"),
    ],
)
def test_a_bare_number_is_told_with_the_unit_it_was_read_in(
    typed: str, kind: str, system: str, told: str
) -> None:
    assert both_ways(typed, read(typed, kind=kind, system=system).value, kind, system) == told


@pytest.mark.parametrize(
    ("typed", "kind", "system", "told"),
    [
        ("60 l", "volume", "metric", "60 l"),  # not "60 l (60000 ml)"
        ("9.2 l", "volume", "inch", "9.2 l (2.43 US gal)"),
        ("24 MPa", "pressure", "metric", "24 MPa"),
        ("3000 psi", "pressure", "metric", "3000 psi (206.8 bar)"),
        ("100", "length", "metric", "100 mm"),
        ("2.045 in", "length", "metric", "2.045 in (51.943 mm)"),
        ("10 min", "time", "inch", "10 min"),
        ("600", "time", "metric", "600 s"),
        ("0.4", "angle", "metric", "0.4°"),
    ],
)
def test_a_report_says_an_amount_once(typed: str, kind: str, system: str, told: str) -> None:
    assert as_typed(typed, read(typed, kind=kind, system=system).value, kind, system) == told


def test_a_number_typed_by_an_inch_reader_keeps_what_it_was_for_a_metric_one() -> None:
    assert as_typed("2.5", D("63.5"), "length", "metric") == "2.5 (63.5 mm)"


def test_what_is_no_number_has_no_unit() -> None:
    assert unit_typed("by hand", "force") is None
