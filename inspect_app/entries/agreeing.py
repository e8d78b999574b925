"""Agreeing: the path and lines of the scope, its terms, the versions shown, and what the customer answered."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from inspect_app.entries.agreed import (
    ANSWERS,
    BOX,
    COPIES,
    FORMS,
    HOWS,
    OWN_LINE,
    REACHED,
    SIGNED,
    Agreeing,
    ChosenPath,
    CustomerAnswer,
    LineSaid,
    Strokes,
    Terms,
    Told,
    Version,
    WorkConfirmed,
)
from inspect_app.entries.entry import Body, Entry, body_text
from inspect_app.entries.sealing import understood
from inspect_app.entries.typed import Known, Written, day_typed
from inspect_app.trade.measuring import quantities
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.wording import listed

MOST_POINTS = 20_000
"""A signature has fewer numbers than this; more is no signature."""

# ---- typed


@dataclass(frozen=True, slots=True)
class PathChosen:
    """The path to propose, by its operations; none takes the choice back."""

    operations: tuple[str, ...]
    reason: str = ""

    def written(self, known: Known) -> list[Written]:
        """The choice, where it changed; refused is an operation there is not."""
        for operation in self.operations:
            _require(operation, known.tables.operations.by_id, "operation")
        stands = known.job.agreeing.path
        if stands and frozenset(stands.operations) == frozenset(self.operations):
            return []
        if not stands and not self.operations:
            return []
        return [("path", {"operations": list(self.operations), "reason": self.reason.strip()})]


@dataclass(frozen=True, slots=True)
class WorkAnsweredFor:
    """Somebody says what an operation asks to be confirmed, in words: who looked, and what at."""

    operation: str
    words: str

    def written(self, known: Known) -> list[Written]:
        """What was said; refused is an operation that asks for nothing, and no words."""
        operation = known.tables.operations.by_id.get(self.operation)
        if operation is None or not operation.confirm:
            raise Refusal("{operation!r} asks nobody to confirm anything.", operation=self.operation)
        if not self.words.strip():
            raise Refusal("Say who looked at it, and what makes it sure.")
        return [("work-confirmed", {"operation": self.operation, "words": self.words.strip()})]


@dataclass(frozen=True, slots=True)
class LineChanged:
    """A line of the scope changed, dropped, made optional, or added.

    `line` is the id of an operation or of the work on every cylinder, or "own-1" and so on of one added by hand.
    `price` "" is the one computed, `title` "" the line's own. `if_not` says what happens without it.
    """

    line: str
    title: str = ""
    price: str = ""
    optional: bool = False
    dropped: bool = False
    reason: str = ""
    if_not: str = ""

    def written(self, known: Known) -> list[Written]:
        """What was said; refused is a dropped line or a changed price without a reason, an own line with no price."""
        own = self.line.startswith(OWN_LINE)
        if not self.line.strip() or (own and not self.line.removeprefix(OWN_LINE).isdigit()):
            raise Refusal("{line!r} is no line; one added by hand is own-1, own-2 and so on.", line=self.line)
        if own and not self.dropped and not (self.title.strip() and self.price.strip()):
            raise Refusal("A line added by hand needs its title and its price.")
        if self.dropped and not self.reason.strip():
            raise Refusal("Say why the line is dropped; the scope prints it.")
        if self.price.strip() and not own and not self.reason.strip():
            raise Refusal("Say why the price is another; the scope prints it.")
        body = {
            "line": self.line,
            "title": self.title.strip(),
            "price": _money(self.price, known.system),
            "optional": self.optional,
            "dropped": self.dropped,
            "reason": self.reason.strip(),
            "if_not": self.if_not.strip(),
        }
        return [("scope-line", body)]


@dataclass(frozen=True, slots=True)
class PhotoShown:
    """Whether a photograph, by its entry, stands on the scope."""

    photo: str
    shown: bool

    def written(self, known: Known) -> list[Written]:
        """What was said, where it changed; refused is a photograph there is not."""
        _require(self.photo, {p.id: p for p in known.job.photos}, "photograph")
        if known.job.agreeing.photos.get(self.photo) is self.shown:
            return []
        return [("scope-photo", {"photo": self.photo, "shown": self.shown})]


@dataclass(frozen=True, slots=True)
class TermsSaid:
    """What the offer is: form, date, what is not in it, for whom, and what is charged if it is declined."""

    form: str = "quotation"
    valid_until: str = ""
    excluded: str = ""
    customer: str = ""
    may_order_for: str = ""
    complaint: str = ""
    refused_fee: str = ""

    def written(self, known: Known) -> list[Written]:
        """The terms, where they changed; refused is a form, a date or a fee that is none."""
        _one_of(self.form, FORMS, "a form of offer")
        body = {
            "form": self.form,
            "valid_until": day_typed(self.valid_until),
            "excluded": self.excluded.strip(),
            "customer": self.customer.strip(),
            "may_order_for": self.may_order_for.strip(),
            "complaint": self.complaint.strip(),
            "refused_fee": _money(self.refused_fee, known.system),
        }
        return [("scope-terms", body)] if _terms(body) != known.job.agreeing.terms else []


@dataclass(frozen=True, slots=True)
class ScopeShown:
    """A scope as it is shown from now on, in words and amounts; what was recorded already is not recorded again."""

    shown: Mapping[str, Any]

    def written(self, known: Known) -> list[Written]:
        """The version, unless the last one is exactly this."""
        versions = known.job.agreeing.versions
        sha256 = hash_of(self.shown)
        if versions and versions[-1].sha256 == sha256:
            return []
        number = 1 + max((v.number for v in versions), default=0)
        return [("scope-version", {"number": number, "shown": dict(self.shown), "sha256": sha256})]


@dataclass(frozen=True, slots=True)
class Answered:
    """What the customer says to one version, by its hash.

    `options` says yes or no to each optional line, `sums` are net, tax and total as shown for them. `today` and
    `zone` are of the machine that takes it. `to` is the number called or the address written to.
    """

    version: str
    answer: str
    name: str
    how: str
    today: str
    zone: str
    sums: tuple[str, str, str]
    options: Mapping[str, bool] = field(default_factory=dict)
    role: str = ""
    to: str = ""
    words: str = ""
    signature: Strokes = ()
    copy: str = "shown"

    def written(self, known: Known) -> list[Written]:
        """The answer; refused is one to a version there is not, past its date, by nobody, or without what it needs."""
        version = known.job.agreeing.version(self.version)
        if version is None:
            raise Refusal("This scope is not one that was shown of this job; show it again.")
        for text, allowed, what in (
            (self.answer, ANSWERS, "an answer"),
            (self.how, HOWS, "a way to answer"),
            (self.copy, COPIES, "a way to hand over the copy"),
        ):
            _one_of(text, allowed, what)
        self._require_said(version)
        net, tax, total = self.sums
        shown = version.shown
        body = {
            "version": self.version,
            "answer": self.answer,
            "options": dict(self.options),
            "sentence": str(shown["sentence"]) if self.answer == "yes" else "",
            "net": net,
            "tax": tax,
            "total": total,
            "currency": str(shown["coin"]["currency"]),
            "valid_until": str(shown["valid_until"]),
            "name": self.name.strip(),
            "role": self.role.strip(),
            "how": self.how,
            "to": self.to.strip(),
            "words": self.words.strip(),
            "signature": [list(stroke) for stroke in self.signature],
            "zone": self.zone,
            "copy": self.copy,
        }
        return [("customer-answer", body)]

    def _require_said(self, version: Version) -> None:
        until, lines = str(version.shown["valid_until"]), version.shown["lines"]
        if not self.name.strip():
            raise Refusal("Type the name of who answers.")
        if self.answer == "question" and not self.words.strip():
            raise Refusal("Type the question.")
        if self.how in REACHED and not self.to.strip():
            raise Refusal("Type the number that was called, or the address of the message.")
        if self.answer != "yes":
            return
        if not lines:
            raise Refusal("Nothing is offered here that could be agreed to.")
        if self.today > until:
            raise Refusal("The offer held until {until}; make a new version with a new date.", until=until)
        optional = {str(line["line"]) for line in lines if line["optional"]}
        if odd := optional ^ set(self.options):
            raise Refusal(
                "Say yes or no to each optional line and to no other: {odd}.", odd=listed(sorted(odd))
            )
        if self.how in SIGNED and not _is_drawn(self.signature):
            raise Refusal("Sign with the finger first.")


@dataclass(frozen=True, slots=True)
class CustomerTold:
    """What the customer was told to a question or a call, named by the answer's id."""

    answer: str
    words: str

    def written(self, known: Known) -> list[Written]:
        """What was told; refused is an answer there is not, and no words."""
        _require(self.answer, {a.id: a for a in known.job.agreeing.answers}, "answer")
        if not self.words.strip():
            raise Refusal("Say what the customer was told.")
        return [("customer-told", {"answer": self.answer, "words": self.words.strip()})]


def hash_of(shown: Mapping[str, Any]) -> str:
    """The SHA-256 that names what is shown.

    Args:
        shown: the scope as JSON values.
    """
    return hashlib.sha256(body_text(shown).encode()).hexdigest()


def _is_drawn(signature: Strokes) -> bool:
    """Whether it is a signature: strokes of two points or more, each inside its box."""
    wide, high = BOX
    numbers = sum(len(stroke) for stroke in signature)
    return 0 < numbers <= MOST_POINTS and all(
        len(stroke) >= 4
        and len(stroke) % 2 == 0
        and all(0 <= x <= wide for x in stroke[::2])
        and all(0 <= y <= high for y in stroke[1::2])
        for stroke in signature
    )


def _one_of(text: str, allowed: Mapping[str, str], what: str) -> None:
    if text not in allowed:
        words = {"text": text, "what": what, "allowed": listed(list(allowed))}
        raise Refusal("{text!r} is not {what}; allowed are {allowed}.", **words)


def _require(named: str, standing: Mapping[str, object], what: str) -> None:
    if named not in standing:
        raise Refusal("{named!r} is no {what} of this job.", named=named, what=what)


def _money(text: str, system: str) -> dict[str, str]:
    """An amount for a body, as typed and as understood; {} where nothing was typed. It may be nothing, not less."""
    if not text.strip():
        return {}
    quantity = quantities.read(text, kind="money", system=system)
    if quantity.value < 0:
        raise Refusal("{text} is not a price; it must not be negative.", text=text.strip())
    return {"typed": text.strip(), "value": quantities.exact(quantity.value)}


# ---- folded


def path(agreeing: Agreeing, entry: Entry, body: Body) -> Agreeing:
    """The last choice holds; one of no operation takes the choice back."""
    operations = tuple(str(o) for o in body["operations"])
    chosen = ChosenPath(operations, body["reason"], entry.by, entry.at) if operations else None
    return replace(agreeing, path=chosen)


def confirmed(agreeing: Agreeing, entry: Entry, body: Body) -> Agreeing:
    """The last word on an operation holds."""
    new = WorkConfirmed(body["operation"], body["words"], entry.by, entry.at)
    return replace(agreeing, confirmed={**agreeing.confirmed, new.operation: new})


def line(agreeing: Agreeing, entry: Entry, body: Body) -> Agreeing:
    """The last word on a line holds."""
    new = LineSaid(
        body["line"],
        body["title"],
        understood(body["price"]),
        bool(body["optional"]),
        bool(body["dropped"]),
        body["reason"],
        body["if_not"],
        entry.by,
        entry.at,
    )
    return replace(agreeing, lines={**agreeing.lines, new.line: new})


def photo(agreeing: Agreeing, entry: Entry, body: Body) -> Agreeing:
    """The last word on a photograph holds."""
    return replace(agreeing, photos={**agreeing.photos, str(body["photo"]): bool(body["shown"])})


def terms(agreeing: Agreeing, entry: Entry, body: Body) -> Agreeing:
    """The last terms hold, whole."""
    return replace(agreeing, terms=_terms(body))


def _terms(body: Body) -> Terms:
    keys = ("form", "valid_until", "excluded", "customer", "may_order_for", "complaint")
    texts = {key: str(body[key]) for key in keys}
    return Terms(**texts, refused_fee=understood(body["refused_fee"]))


def version(agreeing: Agreeing, entry: Entry, body: Body) -> Agreeing:
    """A version joins the others, those of other phones too."""
    shown = body["shown"]
    if not isinstance(shown, Mapping) or hash_of(shown) != body["sha256"]:
        raise ValueError("a version that is not what its hash says")
    new = Version(entry.id, int(body["number"]), shown, body["sha256"], entry.by, entry.at, entry.device)
    return replace(agreeing, versions=(*agreeing.versions, new))


def answer(agreeing: Agreeing, entry: Entry, body: Body) -> Agreeing:
    """An answer joins the others and stays with the version it names."""
    keys = ("version", "answer", *_OF_THE_YES, "name", "role", "how", "to", "words", "zone", "copy")
    texts = {key: str(body[key]) for key in keys}
    new = CustomerAnswer(
        entry.id,
        options={str(name): bool(said) for name, said in body["options"].items()},
        signature=tuple(tuple(int(n) for n in stroke) for stroke in body["signature"]),
        by=entry.by,
        at=entry.at,
        device=entry.device,
        **texts,
    )
    return replace(agreeing, answers=(*agreeing.answers, new))


_OF_THE_YES = ("sentence", "net", "tax", "total", "currency", "valid_until")


def told(agreeing: Agreeing, entry: Entry, body: Body) -> Agreeing:
    """The last word to a question holds."""
    new = Told(body["words"], entry.by, entry.at)
    return replace(agreeing, told={**agreeing.told, str(body["answer"]): new})
