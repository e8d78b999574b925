"""What stands of a job's scope and the customer's answers: the path, changed lines, terms, versions; values only."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from inspect_app.entries.seals import AsTyped

OWN_LINE = "own-"
"""What the id of a line begins with that somebody added by hand."""

Strokes = tuple[tuple[int, ...], ...]
"""A signature as it was drawn: of each stroke x and y in turn, in a box 1000 wide and 280 high."""

BOX = (1000, 280)

FORMS = {"estimate": "estimate", "quotation": "quotation"}
"""An estimate may move and says so; a quotation is a fixed offer until its date."""

ANSWERS = {"yes": "yes", "no": "no", "question": "a question", "call": "call me"}

HOWS = {
    "signed-here": "signed with the finger on the shop's phone",
    "signed-own-phone": "signed with the finger on the customer's own phone",
    "typed-name": "by typing the name",
    "telephone": "by telephone",
    "message": "by message",
    "paper": "on paper",
}
"""How an answer came."""

SIGNED = ("signed-here", "signed-own-phone")
"""The ways that leave a signature as strokes."""

REACHED = ("telephone", "message")
"""The ways that went to a number or an address."""

COPIES = {
    "shown": "shown on the screen",
    "document": "as a document",
    "printed": "printed",
    "told": "told in words",
}
"""How the customer got what was agreed to."""


@dataclass(frozen=True, slots=True)
class ChosenPath:
    """The path somebody chose for the scope, by its operations, and why."""

    operations: tuple[str, ...]
    reason: str
    by: str
    at: str


@dataclass(frozen=True, slots=True)
class WorkConfirmed:
    """Somebody answers for what an operation asks to be confirmed."""

    operation: str
    words: str
    by: str
    at: str


@dataclass(frozen=True, slots=True)
class LineSaid:
    """What was said of one line of the scope: `price` None takes the one computed."""

    line: str
    title: str
    price: AsTyped | None
    optional: bool
    dropped: bool
    reason: str
    if_not: str
    by: str
    at: str


@dataclass(frozen=True, slots=True)
class Terms:
    """What the offer is and holds for; `valid_until` is a date, year-month-day, "" while nobody said.

    `refused_fee` is what is charged if the customer says no; None takes the one computed.
    """

    form: str = "quotation"
    valid_until: str = ""
    excluded: str = ""
    customer: str = ""
    may_order_for: str = ""
    complaint: str = ""
    refused_fee: AsTyped | None = None


@dataclass(frozen=True, slots=True)
class Version:
    """A scope frozen to be shown. `sha256` names exactly what was shown, and every answer names it."""

    id: str
    number: int
    shown: Mapping[str, Any]
    sha256: str
    by: str
    at: str
    device: str


@dataclass(frozen=True, slots=True)
class CustomerAnswer:
    """What a customer said to one version, with everything it was said to and by whom it was taken.

    `options` are the optional lines and what was said to each. The amounts are exact decimal texts. `by`, `at` and
    `device` are of who took it.
    """

    id: str
    version: str
    answer: str
    options: Mapping[str, bool]
    sentence: str
    net: str
    tax: str
    total: str
    currency: str
    valid_until: str
    name: str
    role: str
    how: str
    to: str
    words: str
    signature: Strokes
    zone: str
    copy: str
    by: str
    at: str
    device: str

    @property
    def decides(self) -> bool:
        """Whether it is a yes or a no."""
        return self.answer in ("yes", "no")


@dataclass(frozen=True, slots=True)
class Told:
    """What the shop said to a customer's question or call, in words."""

    words: str
    by: str
    at: str


@dataclass(frozen=True, slots=True)
class Agreeing:
    """Everything said about what the customer is asked and has answered, in the order of the log.

    `confirmed` by operation, `lines` by line, `photos` by a photograph's entry, `told` by the answer it is about.
    """

    path: ChosenPath | None = None
    confirmed: Mapping[str, WorkConfirmed] = field(default_factory=dict)
    lines: Mapping[str, LineSaid] = field(default_factory=dict)
    photos: Mapping[str, bool] = field(default_factory=dict)
    terms: Terms = field(default_factory=Terms)
    versions: tuple[Version, ...] = ()
    answers: tuple[CustomerAnswer, ...] = ()
    told: Mapping[str, Told] = field(default_factory=dict)

    @property
    def asked(self) -> tuple[CustomerAnswer, ...]:
        """Questions and calls that nobody has seen to yet."""
        return tuple(a for a in self.answers if not a.decides and a.id not in self.told)

    def version(self, sha256: str) -> Version | None:
        """The first version recorded of exactly this content, None of one that is not here."""
        return next((v for v in self.versions if v.sha256 == sha256), None)
