"""A scope as a test shows it: two things found, three lines of which one is optional, amounts worked out by hand.

Before tax 1000.00 + 480.00 = 1480.00, with the guard 118.00 more, 1598.00. Tax a fifth: 296.00, with it 319.60.
Together 1776.00, with the guard 1917.60.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import Any

from inspect_app.bench.bench import Bench
from inspect_app.entries.agreed import Version
from inspect_app.entries.agreeing import ScopeShown
from inspect_app.entries.job import Job
from inspect_app.job.scope.shown import Dropped, Scope, ScopeLine, SeenItem, to_data
from inspect_app.trade.money.price import Coin

SCOPE = Scope(
    job="S-40 log turner",
    job_id="",
    cylinder="Your log turner cylinder, left",
    shop="Example Bench",
    customer="Example Sawmill",
    may_order_for="Example Sawmill",
    complaint="",
    form="quotation",
    valid_until="2026-12-11",
    excluded="carriage",
    refused_fee="90.00",
    headline="We can repair it in 8 working days.",
    beside="A new cylinder: about XTS 4 000.00, 40 working days.",
    facts=(),
    items=(
        SeenItem(
            "rod-scratch", 1, "Scratch in the rod", "a deep scratch, 39 mm long.", "Each stroke pulls oil out past "
            "the seal.", "It keeps leaking and cuts the new seal within weeks."
        ),
        SeenItem("pin-play", 2, "Play in the pin", "the pin at the end is loose.", "It knocks at every stroke.", ""),
    ),
    lines=(
        ScopeLine("rechrome", "Strip and re-chrome the rod", "1000.00", items=(1,)),
        ScopeLine("seals", "All seals new", "480.00"),
        ScopeLine("own-1", "Guard for the rod", "118.00", optional=True, if_not="Chips can scratch the rod again."),
    ),
    dropped=(Dropped("pin", "New pin, cap end", "the customer has one", "The play stays."),),
    pictures=(),
    days="8",
    coin=Coin("XTS"),
    tax="0.2",
    notice="",
    cautions=(),
    rounding="",
    sentence="I agree to the work and the price shown here.",
    system="metric",
)  # fmt: skip
EVERY = {"own-1": True}
TOTAL, TOTAL_WITH_ALL = Decimal("1776.00"), Decimal("1917.60")


def show(bench: Bench, job: Job, **changes: Any) -> Version:
    """Freeze a version of SCOPE with these changes, and give it."""
    scope = replace(SCOPE, job=job.name, job_id=job.id, **changes)
    outcome = bench.enter(job, ScopeShown(to_data(scope)), "KM", "metric")
    assert not outcome.remark, outcome.remark
    return outcome.job.agreeing.versions[-1]
