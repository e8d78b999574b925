"""The clerk on a phone, then at a desk: a doubt, a question, an order in parts, another offer, all is here."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from host import Host
from phone import Phone
from playwright.sync_api import Browser

from inspect_app.bench.bench import Bench
from inspect_app.bench.readings_file import record_file
from tests.screens.test_clerk import ASKED, PART_CAME, sheet

pytestmark = pytest.mark.thorough
"""At their desks, in `test_clerk.py`, the same is tried each time."""


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, list[str]]:
    """One job whose wall nobody knows, with a question; one of whose order a part is here."""
    folder = tmp_path_factory.mktemp("clerk")
    # nobody is asked for the date of the test: what is cured, promised and here stands in the file
    bench = Bench(folder / "shop", now=lambda: datetime(2026, 11, 27, 12, tzinfo=UTC))
    routes = []
    for name, known, more in (
        ("S-21 sluice", "closed_length", ASKED),
        ("R-31", "outside_diameter", PART_CAME),
    ):
        file = folder / "sheet.toml"
        file.write_text(sheet(name, known, more), encoding="utf-8")
        routes.append(f"/job/{record_file(file, bench)[0].id}")
    bench.close()
    return folder / "shop", routes


@pytest.fixture(scope="module")
def host(shop: tuple[Path, list[str]]) -> Iterator[Host]:
    with Host(shop[0]) as host:
        yield host


@pytest.fixture(scope="module")
def clerk(browser: Browser, host: Host) -> Iterator[Phone]:
    """The clerk, on a phone until it is put at a desk."""
    phone = Phone(browser, host.url, (390, 844), "/settings")
    phone.type("Your initials", "MT")
    yield phone
    phone.close()


@pytest.fixture(scope="module")
def mechanic(browser: Browser, host: Host) -> Iterator[Phone]:
    phone = Phone(browser, host.url, (390, 844), "/settings")
    phone.type("Your initials", "KM")
    yield phone
    phone.close()


def test_a_question_is_answered_a_doubt_closed_and_the_ring_ordered(
    clerk: Phone, mechanic: Phone, shop: tuple[Path, list[str]]
) -> None:
    home = shop[1][0]
    clerk.go(f"{home}/seals")
    clerk.wait_for("1 line, 0 can be ordered, 1 has an open doubt.")
    mechanic.go(f"{home}/parts")
    mechanic.wait_for("1 to answer for the clerk.")
    mechanic.go(f"{home}/seals/gland-static-ring/gland")
    mechanic.tap("Answer")
    mechanic.type("Your answer", "20 by ultrasound")
    mechanic.tap("Answer")
    mechanic.wait_for("KM: 20 by ultrasound")

    clerk.go(f"{home}/seals/whole-cylinder")
    clerk.tap("Close doubt 1: swell")
    clerk.type("Reason", "wall 20, it hardly grows")
    clerk.tap("Close the doubt")
    clerk.wait_for("Nothing is asked of the whole cylinder.")
    clerk.go("/orders")
    clerk.wait_for("For 3 S-21 sluice")
    clerk.tap("Order 3 O-ring AS568-344 = 97.79 × 5.33 mm, NBR 70 Shore A")
    clerk.type("Supplier", "Example Seals")
    clerk.tap("It is ordered")
    clerk.wait_for("Nothing can be ordered now.")


def test_what_is_late_and_offered_otherwise_holds_the_reassembly_until_it_is_here(
    clerk: Phone, mechanic: Phone, shop: tuple[Path, list[str]]
) -> None:
    home = shop[1][1]
    mechanic.go(f"{home}/parts")
    mechanic.wait_for(
        "holding the reassembly: Static ring, gland or head to barrel, gland, promised 2020-01-31"
    )
    clerk.resize((1280, 800))
    clerk.wait_for("Touch what is ordered; its order opens here.")
    clerk.settle()
    clerk.tap("R-31: Static ring, gland or head to barrel, gland")
    said = clerk.wait_for("part received: 1 here, 2 to come")
    assert "1 line: 1 late." in said  # the list stands beside it
    clerk.tap("Offered otherwise")
    clerk.type("Offered is", "NBR 90")
    clerk.tap("Ask the mechanic for it")

    mechanic.wait_for("1 offered otherwise, to accept or refuse.")  # it came by itself
    mechanic.go(f"{home}/seals/gland-static-ring/gland")
    mechanic.tap("Accept or refuse what is offered")
    mechanic.type("Why", "harder stands the gap too")
    mechanic.tap("Accept it")

    clerk.wait_for("KM accepts it: harder stands the gap too")
    clerk.tap("Received")
    clerk.type("Cure date on the bag", "3/26")
    clerk.tap("It came")
    clerk.wait_for("Received: 3 here")
    mechanic.go(f"{home}/parts")
    mechanic.wait_for("Make it safe first")
    assert "reassembly" not in mechanic.says()
    assert not [*clerk.faults, *mechanic.faults]
