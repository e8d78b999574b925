"""The shop's gauges as a phone enters them: range, what the ± is, a second of the kind, one out of use."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest
from host import Host
from phone import Phone
from playwright.sync_api import Browser

from inspect_app.bench.bench import Bench
from inspect_app.trade.measuring.uncertainty import LIMIT_OF_ERROR


def enter(phone: Phone, **typed: str) -> None:
    """Fill the form by its labels and take the gauge into use."""
    for label, text in typed.items():
        phone.type(label.replace("_", " "), text)
    phone.tap("Use this gauge")
    phone.wait_for("Built-in values")


@pytest.mark.thorough
def test_two_micrometers_are_entered_and_one_taken_out_of_use(tmp_path: Path, browser: Browser) -> None:
    folder = tmp_path / "shop"
    Bench(folder).close()
    with Host(folder) as host:
        phone = Phone(browser, host.url, route="/gauge/outside-micrometer")
        phone.wait_for("Uncertainty ±")
        phone.tap("Limit of error, as a maker")
        enter(
            phone, Name_and_number="M 50-75", Reads_from="50", Reads_up_to="75", **{"Uncertainty ±": "0.005"}
        )
        phone.wait_for("M 50-75 · outside micrometer")
        phone.go("/gauge/outside-micrometer")
        phone.wait_for("Gauge: outside micrometer")
        enter(phone, Name_and_number="Old one", **{"Uncertainty ±": "0.020"})
        phone.tap("Old one · outside micrometer")
        phone.wait_for("Gauge: Old one")
        phone.tap("Take out of use")
        phone.wait_until_gone("Old one")
        phone.close()
    bench = Bench(folder)
    (kept,) = bench.shop.gauges_of("outside-micrometer")
    assert (kept.name, kept.from_, kept.up_to) == ("M 50-75", 50, 75)
    assert (kept.states, kept.errors[0][1]) == (LIMIT_OF_ERROR, Decimal("0.005"))
    bench.close()
