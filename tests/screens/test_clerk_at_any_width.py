"""The clerk's whole way on a phone and at a desk, on the real screens: doubt, question, order, split, here, freed."""

from __future__ import annotations

import asyncio
from datetime import UTC, datetime
from pathlib import Path

import pytest
from at_the_desk import AtTheDesk, ByHand

from inspect_app.bench.bench import Bench
from inspect_app.bench.readings_file import record_file
from tests.screens.test_clerk import ASKED, sheet

RING = "gland-static-ring/gland"


@pytest.mark.parametrize("width", [390, 1280])
def test_from_a_doubt_to_the_freed_reassembly(tmp_path: Path, width: int) -> None:
    bench = Bench(tmp_path / "shop", now=lambda: datetime(2026, 11, 27, 12, tzinfo=UTC))
    file = tmp_path / "sheet.toml"
    file.write_text(sheet("S-21 sluice", "closed_length", ASKED), encoding="utf-8")
    home = f"/job/{record_file(file, bench)[0].id}"

    async def day() -> None:
        clerk = AtTheDesk(bench, ByHand(), f"{home}/seals", width=width)
        mechanic = AtTheDesk(bench, ByHand(), f"{home}/parts")
        await clerk.wait_for("1 line, 0 can be ordered, 1 has an open doubt.")
        await clerk.wait_for("Old seals looked at: 0 of 1.")
        await mechanic.wait_for("1 to answer for the clerk.")
        await mechanic.go(f"{home}/seals/{RING}")
        await mechanic.tap("Answer")
        await mechanic.wait_for("Your answer")
        await mechanic.go(f"{home}/seals")  # away without an answer, and here again: no form is open
        await mechanic.wait_for("1 line, 0 can be ordered")
        await mechanic.go(f"{home}/seals/{RING}")
        await mechanic.wait_for("asks: How thick is the wall?")
        assert "Your answer" not in mechanic.says()
        await mechanic.tap("Answer")
        await mechanic.type("Your answer", "20 by ultrasound")
        await mechanic.tap("Answer")
        await mechanic.wait_for("KM: 20 by ultrasound")

        await clerk.go(f"{home}/seals/whole-cylinder")
        await clerk.tap("Close doubt 1: swell")
        await clerk.type("Reason", "wall 20, it hardly grows")
        await clerk.tap("Close the doubt")
        await clerk.wait_for("Nothing is asked of the whole cylinder.")
        await clerk.go("/orders")
        await clerk.tap("Order 3 O-ring AS568-344 = 97.79 × 5.33 mm, NBR 70 Shore A")
        await clerk.type("Supplier", "Example Seals")
        await clerk.type("Promised until", "2026-11-26")
        await clerk.tap("It is ordered")
        await clerk.wait_for("Nothing can be ordered now.")
        await mechanic.go(f"{home}/parts")
        await mechanic.wait_for("Late, and holding the reassembly: Static ring")

        await clerk.go(f"{home}/seals/{RING}")
        await received(clerk, "1")
        await clerk.wait_for("LATE, promised 2026-11-26, not here; part received: 1 here, 2 to come")
        await clerk.tap("Offered otherwise")
        await clerk.type("Offered is", "NBR 90")
        await clerk.tap("Ask the mechanic for it")
        await mechanic.go(f"{home}/seals/{RING}")
        await mechanic.tap("Accept or refuse what is offered")
        await mechanic.type("Why", "harder stands the gap too")
        await mechanic.tap("Accept it")
        await mechanic.wait_for("KM accepts it")
        await clerk.go("/orders")  # each of the two is on a floor of its own here
        await clerk.go(f"{home}/seals/{RING}")
        await clerk.wait_for("KM accepts it: harder stands the gap too")
        await received(clerk, "2")
        await clerk.wait_for("Received: 3 here")
        await mechanic.go(f"{home}/parts")
        await mechanic.wait_for("Make it safe first")
        assert "holding the reassembly" not in mechanic.says()

    async def received(clerk: AtTheDesk, how_many: str) -> None:
        await clerk.tap("Received")
        await clerk.type("How many came", how_many)
        await clerk.type("Cure date on the bag", "3/26")
        await clerk.tap("It came")

    asyncio.run(day())
    bench.close()
