"""A scope written out by hand, for tests: every field says something, so that each can be seen to change."""

from __future__ import annotations

from decimal import Decimal

from inspect_app.job.scope.shown import (
    Dropped,
    Figure,
    MarkedPhoto,
    Picture,
    Scope,
    ScopeLine,
    SeenItem,
    ShownMark,
)
from inspect_app.trade.money.price import Coin

SCOPE = Scope(
    job="S-14",
    job_id="j-1",
    cylinder="Log turner, left",
    shop="Example Bench, Kiln Lane 4",
    customer="Example Sawmill",
    may_order_for="Example Sawmill",
    complaint="oil on the carriage",
    form="quotation",
    valid_until="2026-04-01",
    excluded="painting",
    refused_fee="96.00",
    headline="We can repair it: XTS 1 480.00 with tax, 8 days.",
    beside="A new cylinder: about XTS 5 900.00 with tax, 45 days.",
    facts=("The repair costs 30 % of a new cylinder.",),
    items=(
        SeenItem(
            "rod-scratch", 1, "Scratch in the rod", "A scratch. 39 mm long.", "It carries oil out.", "It leaks.",
            "aa11", "under the lamp", (Figure("length", "39 mm", "at most 12.7 mm"),),
        ),
        SeenItem("cap-pin", 2, "Pin loose, other end", "Worn. 0.6 mm of play.", "It knocks.", "The play grows."),
    ),
    lines=(
        ScopeLine("rechrome", "Rod: plate it new", "410.00", items=(1,)),
        ScopeLine("reseal", "All new seals, 9 pieces", "214.00"),
        ScopeLine("new-pin", "A new pin", "86.00", optional=True, items=(2,), if_not="The play grows."),
        ScopeLine("own-1", "Guard over the rod", "118.00", optional=True, if_not="Bark stays on it.", why="asked for"),
    ),
    dropped=(Dropped("hone", "Barrel: smooth it", "it can wait", "It wears on."),),
    pictures=(Picture("cc33", "as it came in"),),
    days="8",
    coin=Coin("XTS", Decimal("0.01"), ".", " ", True),
    tax="0.2",
    notice="Prices are an invented example.",
    cautions=("Local codes come first.",),
    rounding="Each line is rounded.",
    sentence="I agree to what is shown here.",
    marked=(
        MarkedPhoto("aa11", 640, 480, (ShownMark("length", (("0.1", "0.2"), ("0.5", "0.2")), "39 mm"),), "By a rule."),
    ),
    system="metric",
)  # fmt: skip
