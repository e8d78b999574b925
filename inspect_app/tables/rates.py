"""What work costs and how long it takes: checklists/rates.toml, or the shop's own rates.toml in its place.

The shipped figures are an invented example and say so; a document prints that until a shop's file takes over.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from typing import Any

from inspect_app.tables.blocks import Shape, block_from
from inspect_app.tables.faults import Reader, allowed_words
from inspect_app.tables.operations import Operations
from inspect_app.trade.money.price import Coin

FILE = "rates.toml"
INVENTED = "Prices are an invented example: the shop has not set its own rates yet."

ZERO = Decimal(0)


@dataclass(frozen=True, slots=True)
class Shop:
    """The shop's own figures: price of an hour, shares of markup, margin and tax, the least it charges; its name."""

    hour: Decimal
    tax: Decimal
    valid_days: int
    weld_cm: Decimal
    blank_share: Decimal
    outside_markup: Decimal = ZERO
    bought_in_markup: Decimal = ZERO
    margin: Decimal = ZERO
    least_charge: Decimal = ZERO
    share_more: Decimal = ZERO
    name: str = ""
    address: str = ""


@dataclass(frozen=True, slots=True)
class Compare:
    """What repair is held against: the bands, interest, years of service, and what a new cylinder costs."""

    repair_upto: Decimal
    replace_above: Decimal
    repaired_years: int
    new_years: int
    new_per_kg: Decimal
    new_days: Decimal
    interest: Decimal = ZERO
    new_base: Decimal = ZERO


@dataclass(frozen=True, slots=True)
class Always:
    """Work done on every cylinder; `declined` is charged too when the customer says no."""

    id: str
    title: str
    hours: Decimal = ZERO
    hours_per_kg: Decimal = ZERO
    days: Decimal = ZERO
    declined: bool = False


@dataclass(frozen=True, slots=True)
class WorkRate:
    """What one operation costs: the shop's hours, what others charge, what is bought in; days it takes.

    `beside` runs from the start, beside all other work.
    """

    operation: str
    days: Decimal = ZERO
    hours: Decimal = ZERO
    hours_per_unit: Decimal = ZERO
    outside_set_up: Decimal = ZERO
    outside_per_unit: Decimal = ZERO
    outside_least: Decimal = ZERO
    bought_in: Decimal = ZERO
    bought_in_per_unit: Decimal = ZERO
    beside: bool = False


@dataclass(frozen=True, slots=True)
class Rates:
    """Everything a rates file says. While `invented` every document with a price must print `notice`."""

    invented: bool
    shop: Shop
    coin: Coin
    compare: Compare
    always: tuple[Always, ...]
    work: Mapping[str, WorkRate]

    @property
    def notice(self) -> str:
        """What every document must say of its prices; "" for a shop's own."""
        return INVENTED if self.invented else ""


def load_rates(folder: Path, shop: Path | None, operations: Operations) -> Rates:
    """The shop's rates.toml where there is one, else the shipped example.

    Args:
        folder: the checklists folder.
        shop: the shop's data folder, may be absent.
        operations: the operations that need a price.
    Raises:
        TableError: with every fault found in the file.
    """
    reader = Reader(rates_file(folder, shop).parent)
    content = reader.toml(FILE)
    reader.known_keys(FILE, content, "invented_example", "shop", "coin", "compare", "always", "work")
    invented = content.get("invented_example")
    if not isinstance(invented, bool):
        words = f"found {invented!r}; write true for an example, false once the figures are the shop's."
        reader.fault(FILE, "invented_example", words)
    tables = {key: _table(reader, content, key) for key in ("shop", "coin", "compare")}
    money = block_from(reader, FILE, "shop", tables["shop"], Shop)
    coin = block_from(reader, FILE, "coin", tables["coin"], Coin)
    compare = block_from(reader, FILE, "compare", tables["compare"], Compare)
    always = _all(reader, content, "always", Always, "id")
    work = _work(reader, content, operations)
    if compare and compare.repair_upto > compare.replace_above:
        reader.fault(FILE, "compare.repair_upto", "is above replace_above; write the smaller share here.")
    if money and money.margin >= 1:
        reader.fault(FILE, "shop.margin", f"found {money.margin}; it is a share of the price, below 1.")
    reader.raise_faults()
    assert money
    assert coin
    assert compare
    return Rates(bool(invented), money, coin, compare, always, work)


def rates_file(folder: Path, shop: Path | None) -> Path:
    """The file the rates are in: the shop's own where there is one, else the shipped example.

    Args:
        folder: the checklists folder.
        shop: the shop's data folder, may be absent.
    """
    own = shop / FILE if shop else None
    return own if own and own.is_file() else folder / FILE


def _table(reader: Reader, content: Mapping[str, Any], key: str) -> Mapping[str, Any]:
    found = content.get(key)
    if isinstance(found, dict):
        return found
    reader.fault(FILE, key, f"is missing; write a table headed [{key}].")
    return {}


def _all(
    reader: Reader, content: dict[str, Any], key: str, shape: type[Shape], name: str
) -> tuple[Shape, ...]:
    blocks = reader.blocks(FILE, content, key)
    read = [block_from(reader, FILE, f"{key} {b.get(name, n)}", b, shape) for n, b in enumerate(blocks, 1)]
    return tuple(x for x in read if x is not None)


def _work(reader: Reader, content: dict[str, Any], operations: Operations) -> dict[str, WorkRate]:
    found: dict[str, WorkRate] = {}
    for rate in _all(reader, content, "work", WorkRate, "operation"):
        if rate.operation not in operations.by_id:
            reader.fault(FILE, f"work {rate.operation}", allowed_words(rate.operation, operations.by_id))
        elif rate.operation in found:
            reader.fault(FILE, f"work {rate.operation}", "stands twice; keep one.")
        found[rate.operation] = rate
    for name, operation in operations.by_id.items():
        if operation.name in found:
            # work on one of several costs what it costs anywhere, where the shop says nothing else
            found.setdefault(name, found[operation.name])
        elif operation.name == name and name not in operations.never_done:
            reader.fault(FILE, f"work {name}", "is missing; add a block with its hours, prices and days.")
    return found
