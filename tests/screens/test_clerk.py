"""The clerk at a desk, the mechanic on a phone: a doubt, a question, an order in parts, another offer, all is here."""

from __future__ import annotations

import asyncio
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from at_the_desk import AtTheDesk, ByHand

from inspect_app.bench.bench import Bench
from inspect_app.bench.readings_file import record_file
from inspect_app.screens.floor import Floor
from tests.bench.test_seals_file import GLAND

KEPT = ("wiper", "rod-seal", "gland-wear-ring"), ("piston-seal", "piston-wear-ring", "piston-static-ring")
"""Seals of gland and piston that are not renewed, so that one line is left."""


ASKED = """
[[seals.question]]
position = "gland-static-ring"
place = "gland"
asks = "How thick is the wall?"
"""
PART_CAME = """
[[seals.order]]
position = "gland-static-ring"
place = "gland"
supplier = "Example Seals"
promised = "2020-01-31"
received = [{ quantity = 1, cured = "3/26" }]
"""


def sheet(name: str, known: str, more: str) -> str:
    """One static ring, three of it; the others of gland and piston are not renewed."""
    answered = "".join(
        f'[[seals.there]]\nposition = "{position}"\nplace = "{place}"\nanswer = "kept as it is"\n'
        for place, positions in zip(("gland", "piston"), KEPT, strict=True)
        for position in positions
    )
    three = '[[seals.there]]\nposition = "gland-static-ring"\nplace = "gland"\ncount = 3\n'
    measured = GLAND.replace("outside_diameter", known)
    return f'job = "{name}"\n{measured}[seals]\n{answered}{three}{more}'


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[Bench]:
    # nobody is asked for the date of the test: what is cured, promised and here stands in the file
    bench = Bench(tmp_path / "shop", now=lambda: datetime(2026, 11, 27, 12, tzinfo=UTC))
    yield bench
    bench.close()


def home_of(bench: Bench, tmp_path: Path, *written: str) -> str:
    """The route of a job recorded off a sheet."""
    file = tmp_path / "sheet.toml"
    file.write_text(sheet(*written), encoding="utf-8")
    return f"/job/{record_file(file, bench)[0].id}"


def both(bench: Bench, clerk: str, mechanic: str) -> tuple[AtTheDesk, AtTheDesk]:
    """The clerk at a desk and the mechanic on a phone, each at a route, who hear of each other."""
    floor = Floor()
    return AtTheDesk(bench, ByHand(), clerk, floor, 1280), AtTheDesk(bench, ByHand(), mechanic, floor)


def test_a_question_is_answered_a_doubt_closed_and_the_ring_ordered(bench: Bench, tmp_path: Path) -> None:
    home = home_of(bench, tmp_path, "S-21 sluice", "closed_length", ASKED)

    async def day() -> None:
        clerk, mechanic = both(bench, f"{home}/seals/whole-cylinder", f"{home}/parts")
        await clerk.wait_for("1 line, 0 can be ordered, 1 has an open doubt.")
        await mechanic.wait_for("1 to answer for the clerk.")
        await mechanic.go(f"{home}/seals/gland-static-ring/gland")
        await mechanic.tap("Answer")
        await mechanic.type("Your answer", "20 by ultrasound")
        await mechanic.tap("Answer")
        await mechanic.wait_for("KM: 20 by ultrasound")

        await clerk.tap("Close doubt 1: swell")
        await clerk.type("Reason", "wall 20, it hardly grows")
        await clerk.tap("Close the doubt")
        await clerk.wait_for("1 line, 1 can be ordered, 0 have an open doubt.")  # the list stands beside it
        await clerk.go("/orders")
        await clerk.wait_for("For 3 S-21 sluice")
        await clerk.tap("Order 3 O-ring AS568-344 = 97.79 × 5.33 mm, NBR 70 Shore A")
        await clerk.type("Supplier", "Example Seals")
        await clerk.tap("It is ordered")
        await clerk.wait_for("Nothing can be ordered now.")

    asyncio.run(day())


def test_what_is_late_and_offered_otherwise_holds_the_reassembly_until_it_is_here(
    bench: Bench, tmp_path: Path
) -> None:
    home = home_of(bench, tmp_path, "R-31", "outside_diameter", PART_CAME)

    async def day() -> None:
        clerk, mechanic = both(bench, "/orders", f"{home}/parts")
        await mechanic.wait_for(
            "holding the reassembly: Static ring, gland or head to barrel, gland, promised 2020-01-31"
        )
        await clerk.tap("R-31: Static ring, gland or head to barrel, gland")
        await clerk.wait_for("part received: 1 here, 2 to come")
        await clerk.tap("Offered otherwise")
        await clerk.type("Offered is", "NBR 90")
        await clerk.tap("Ask the mechanic for it")

        await mechanic.wait_for("1 offered otherwise, to accept or refuse.")  # it came by itself
        await mechanic.go(f"{home}/seals/gland-static-ring/gland")
        await mechanic.tap("Accept or refuse what is offered")
        await mechanic.type("Why", "harder stands the gap too")
        await mechanic.tap("Accept it")

        await clerk.wait_for("KM accepts it: harder stands the gap too")
        await clerk.tap("Received")
        await clerk.type("Cure date on the bag", "3/26")
        await clerk.tap("It came")
        await clerk.wait_for("Received: 3 here")
        await mechanic.go(f"{home}/parts")
        await mechanic.wait_for("Make it safe first")
        assert "reassembly" not in mechanic.says()

    asyncio.run(day())
