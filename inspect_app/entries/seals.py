"""What stands of a cylinder's seals: what is there, old ones, figures off their sheets, doubts closed; values only."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal

Where = tuple[str, str]
"""A position and its place: ("rod-seal", "gland"); ("", "") is the whole cylinder."""

WHOLE_CYLINDER: Where = ("", "")


@dataclass(frozen=True, slots=True)
class AsTyped:
    """A quantity as typed and in its canonical unit."""

    typed: str
    value: Decimal


@dataclass(frozen=True, slots=True)
class Gauged:
    """A size as typed and in mm, the step it was typed to, and the gauge it was taken with ("" by eye)."""

    typed: str
    value: Decimal
    step: Decimal
    gauge: str


@dataclass(frozen=True, slots=True)
class There:
    """What somebody says is at a place: "there", "none", or in words what stands there instead.

    `count` is how many, None while nobody counted. `fitted` and `material` are the one that was fitted, in words;
    `corner` and `lead_in` what no check measures of its groove. `lips` are the sides its single-acting lips face, from
    the rod end on; `behind` is the section of the O-ring wanted behind a plastic face, `word` what the seal's supplier
    says to that.
    """

    words: str
    count: int | None
    fitted: str
    material: str
    corner: AsTyped | None
    lead_in: str
    by: str
    at: str
    lips: tuple[str, ...] = ()
    behind: AsTyped | None = None
    word: str = ""


@dataclass(frozen=True, slots=True)
class OldSeal:
    """How an old seal looks, by the words of the table, with what was measured of it; None was not measured."""

    states: tuple[str, ...]
    section: AsTyped | None
    hardness: AsTyped | None
    note: str
    by: str
    at: str


@dataclass(frozen=True, slots=True)
class OffSheet:
    """A figure off the chosen seal's own sheet, and which sheet."""

    value: AsTyped
    sheet: str
    by: str


@dataclass(frozen=True, slots=True)
class ClosedDoubt:
    """A doubt of the list that a person closed: where, which rule, what it said then, who and why."""

    where: Where
    rule: str
    says: str
    by: str
    reason: str


@dataclass(frozen=True, slots=True)
class SealsSaid:
    """What was said of the seals of one state of the cylinder; `sheets` by place and figure."""

    there: Mapping[Where, There] = field(default_factory=dict)
    old: Mapping[Where, OldSeal] = field(default_factory=dict)
    sheets: Mapping[tuple[Where, str], OffSheet] = field(default_factory=dict)
    closed: tuple[ClosedDoubt, ...] = ()

    def after(self, found: SealsSaid) -> SealsSaid:
        """A later state: what is there and the sheets it takes from as found, looks and closed doubts never."""
        return SealsSaid(
            {**found.there, **self.there}, self.old, {**found.sheets, **self.sheets}, self.closed
        )


@dataclass(frozen=True, slots=True)
class Question:
    """What the clerk asks the mechanic about a place; `answer` is "" while nobody has answered."""

    id: str
    where: Where
    asks: str
    by: str
    at: str
    answer: str = ""
    answered_by: str = ""


@dataclass(frozen=True, slots=True)
class Order:
    """What was ordered for a place: in words as the list said it, how many, from whom, until when promised.

    `price` is of one, None where nobody said. `promised` is a date, year-month-day, or "".
    """

    id: str
    where: Where
    what: str
    quantity: int
    supplier: str
    reference: str
    price: AsTyped | None
    promised: str
    by: str
    at: str


@dataclass(frozen=True, slots=True)
class Offer:
    """What the supplier offers otherwise than ordered; `accepted` is None until the mechanic has said so in words."""

    id: str
    order: str
    offers: str
    price: AsTyped | None
    promised: str
    by: str
    at: str
    accepted: bool | None = None
    words: str = ""
    decided_by: str = ""


@dataclass(frozen=True, slots=True)
class Receipt:
    """What came for an order: how many, the cure date and batch on the bag; `wrong` says why it is not right.

    `section` is that of one of its rings, None where nobody measured it.
    """

    id: str
    order: str
    quantity: int
    cured: str
    batch: str
    wrong: str
    by: str
    at: str
    section: Gauged | None = None


@dataclass(frozen=True, slots=True)
class Ordering:
    """Everything about getting the seals of one job, each by the id of its entry, in the order of the log.

    `reassembly` is the day the cylinder goes together, year-month-day, "" while it is not planned.
    """

    questions: Mapping[str, Question] = field(default_factory=dict)
    orders: Mapping[str, Order] = field(default_factory=dict)
    offers: Mapping[str, Offer] = field(default_factory=dict)
    receipts: tuple[Receipt, ...] = ()
    reassembly: str = ""
