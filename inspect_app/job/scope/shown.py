"""A scope as the customer sees it: all of it in words and amounts already, frozen, and the same as JSON and back.

Whoever shows one needs nothing else, neither the job nor the tables; what was frozen reads the same in ten years.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from decimal import Decimal
from typing import Any

from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.wording import listed
from inspect_app.trade.money.price import Coin, Total, amount_text, total


@dataclass(frozen=True, slots=True)
class Figure:
    """One thing measured of what was found: what, the reading, and what may stay ("" where nobody says)."""

    what: str
    reading: str
    allowed: str


@dataclass(frozen=True, slots=True)
class SeenItem:
    """One thing found: what we saw, what it does, what happens if it stays; `photo` is a SHA-256 or "".

    `id` is that of its consequence: the same thing keeps it in the next version, whatever its number.
    """

    id: str
    number: int
    title: str
    saw: str
    does: str
    if_not: str
    photo: str = ""
    caption: str = ""
    figures: tuple[Figure, ...] = ()


@dataclass(frozen=True, slots=True)
class ScopeLine:
    """One line: the work, its amount as exact decimal text, the numbers of what it cures.

    `if_not` is "" unless the line is optional; `why` is the reason of a price put by hand.
    """

    line: str
    title: str
    amount: str
    optional: bool = False
    items: tuple[int, ...] = ()
    if_not: str = ""
    why: str = ""


@dataclass(frozen=True, slots=True)
class Dropped:
    """A line that was taken out: why, and what happens without it."""

    line: str
    title: str
    reason: str
    if_not: str


@dataclass(frozen=True, slots=True)
class Picture:
    """A photograph that belongs to no item: its SHA-256, and its caption."""

    photo: str
    caption: str


@dataclass(frozen=True, slots=True)
class ShownMark:
    """A mark on a photograph: its shape, its points as fractions of the picture in decimal text, what it says."""

    shape: str
    points: tuple[tuple[str, str], ...]
    says: str


@dataclass(frozen=True, slots=True)
class MarkedPhoto:
    """A photograph that is marked: its SHA-256, its size in pixels, its marks, what must be known of them or ""."""

    photo: str
    wide: int
    high: int
    marks: tuple[ShownMark, ...]
    note: str


@dataclass(frozen=True, slots=True)
class Scope:
    """A scope: who, what was found, what is proposed at which price, and the sentence a yes agrees to.

    `cylinder`, `headline`, `beside` are one line each. `tax` is a fraction as text, `refused_fee` an exact decimal
    text or "". Without lines there is nothing to say yes to: a new cylinder is advised, or work is stopped.
    `system` is the units it is written in. `marked` are the photographs on it that are marked; None of a scope that
    was frozen before marks were shown.
    """

    job: str
    job_id: str
    cylinder: str
    shop: str
    customer: str
    may_order_for: str
    complaint: str
    form: str
    valid_until: str
    excluded: str
    refused_fee: str
    headline: str
    beside: str
    facts: tuple[str, ...]
    items: tuple[SeenItem, ...]
    lines: tuple[ScopeLine, ...]
    dropped: tuple[Dropped, ...]
    pictures: tuple[Picture, ...]
    days: str
    coin: Coin
    tax: str
    notice: str
    cautions: tuple[str, ...]
    rounding: str
    sentence: str
    system: str
    marked: tuple[MarkedPhoto, ...] | None = ()

    def marks_of(self, photo: str) -> MarkedPhoto | None:
        """The marks on a photograph, None where there are none.

        Args:
            photo: its SHA-256.
        """
        return next((m for m in self.marked or () if m.photo == photo), None)

    @property
    def offers(self) -> bool:
        """Whether there is anything a customer could say yes to."""
        return bool(self.lines)

    @property
    def optional(self) -> tuple[ScopeLine, ...]:
        """The lines the customer chooses."""
        return tuple(line for line in self.lines if line.optional)

    @property
    def firm(self) -> tuple[ScopeLine, ...]:
        """The lines that are done in any case."""
        return tuple(line for line in self.lines if not line.optional)

    def total(self, options: Mapping[str, bool]) -> Total:
        """Net, tax and gross over the firm lines and the optional ones said yes to.

        Args:
            options: the optional lines, and what is said to each; one that is not named is no.
        Raises:
            Refusal: an option that is none of this scope.
        """
        if odd := set(options) - {line.line for line in self.optional}:
            raise Refusal("{odd}: no such optional line on this scope.", odd=listed(sorted(odd)))
        chosen = [line for line in self.lines if not line.optional or options.get(line.line)]
        return total([Decimal(line.amount) for line in chosen], tax=Decimal(self.tax), coin=self.coin)

    def money(self, amount: Decimal | str) -> str:
        """An amount as it is written.

        Args:
            amount: the amount, or its exact decimal text.
        """
        return amount_text(Decimal(amount), self.coin)


def to_data(scope: Scope) -> dict[str, Any]:
    """A scope as JSON values.

    Args:
        scope: the scope.
    """
    data = asdict(scope)
    data["coin"]["smallest"] = str(scope.coin.smallest)
    listed_data: dict[str, Any] = _lists(data)
    return listed_data


def _lists(value: Any) -> Any:
    """Tuples as the lists JSON knows, so that what is hashed is what is read back."""
    if isinstance(value, dict):
        return {key: _lists(inner) for key, inner in value.items()}
    return [_lists(inner) for inner in value] if isinstance(value, tuple | list) else value


def from_data(data: Mapping[str, Any]) -> Scope:
    """A scope out of the JSON values `to_data` gave.

    Args:
        data: the values; keys of a newer version are left alone.
    Raises:
        KeyError: a value that has to be there is not.
    """
    texts = {name: str(data[name]) for name in _TEXTS}
    coin = data["coin"]
    return Scope(
        **texts,
        facts=tuple(map(str, data["facts"])),
        cautions=tuple(map(str, data["cautions"])),
        items=tuple(_item(x) for x in data["items"]),
        lines=tuple(
            ScopeLine(
                x["line"], x["title"], x["amount"], x["optional"], tuple(x["items"]), x["if_not"], x["why"]
            )
            for x in data["lines"]
        ),
        dropped=tuple(Dropped(x["line"], x["title"], x["reason"], x["if_not"]) for x in data["dropped"]),
        pictures=tuple(Picture(x["photo"], x["caption"]) for x in data["pictures"]),
        coin=Coin(
            coin["currency"],
            Decimal(coin["smallest"]),
            coin["decimal_mark"],
            coin["thousands_mark"],
            coin["currency_first"],
        ),
        marked=_marked(data.get("marked")),
    )


def _marked(data: list[Mapping[str, Any]] | None) -> tuple[MarkedPhoto, ...] | None:
    if data is None:
        return None
    return tuple(
        MarkedPhoto(
            x["photo"],
            int(x["wide"]),
            int(x["high"]),
            tuple(
                ShownMark(m["shape"], tuple((str(a), str(b)) for a, b in m["points"]), m["says"])
                for m in x["marks"]
            ),
            x["note"],
        )
        for x in data
    )


_TEXTS = (
    "job", "job_id", "cylinder", "shop", "customer", "may_order_for", "complaint", "form", "valid_until", "excluded",
    "refused_fee", "headline", "beside", "days", "tax", "notice", "rounding", "sentence", "system",
)  # fmt: skip


def _item(data: Mapping[str, Any]) -> SeenItem:
    texts = {name: str(data[name]) for name in ("id", "title", "saw", "does", "if_not", "photo", "caption")}
    figures = tuple(Figure(x["what"], x["reading"], x["allowed"]) for x in data["figures"])
    return SeenItem(number=int(data["number"]), **texts, figures=figures)
