"""A means of the shop: what lifts, turns, pulls, holds or tests, with what it is rated for and tested until."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from inspect_app.entries.entry import Body
from inspect_app.entries.typed import day_typed, with_unit
from inspect_app.trade.measuring import quantities
from inspect_app.trade.measuring.refusal import Refusal


@dataclass(frozen=True, slots=True)
class Means:
    """One of the shop's: its kind by id, its name, rated up to (canonical unit), as typed, tested until."""

    kind: str
    name: str
    up_to: Decimal
    typed: str
    tested_until: str = ""

    @property
    def id(self) -> str:
        """What it is known by: its kind and the name on it."""
        return f"{self.kind} {self.name}"


def means_of(kind: str, measures: str, typed: Mapping[str, str], system: str) -> Means:
    """A means as somebody types it off its plate.

    Args:
        kind: its kind.
        measures: the kind of quantity its rating is.
        typed: `name`, `up_to` and `until`; the last may be "".
        system: "metric" or "inch".
    Raises:
        Refusal: no name, a rating or a date that is none.
    """
    name, until = typed.get("name", "").strip(), day_typed(typed.get("until", ""))
    if not name:
        raise Refusal("Give the name or number that stands on it.")
    quantity = quantities.read(typed.get("up_to", ""), kind=measures, system=system)
    if quantity.value <= 0:
        raise Refusal("A rating must be greater than 0.")
    return Means(kind, name, quantity.value, with_unit(typed["up_to"], quantity), until)


def body_of(means: Means, retired: bool = False) -> Body:
    """A means as it goes into the log.

    Args:
        means: the means.
        retired: whether it is taken out of use.
    """
    body = {
        "means": means.id,
        "kind": means.kind,
        "name": means.name,
        "up_to": quantities.exact(means.up_to),
        "typed": means.typed,
        "tested_until": means.tested_until,
    }
    return {**body, "retired": True} if retired else body


def means_from(body: Mapping[str, Any]) -> Means:
    """A means as the log has it.

    Args:
        body: the entry's body.
    """
    return Means(
        body["kind"], body["name"], Decimal(body["up_to"]), str(body["typed"]), str(body["tested_until"])
    )
