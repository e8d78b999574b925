"""Ordering: questions to the mechanic, what was ordered, offered otherwise and received, and when it is needed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal

from inspect_app.entries.entry import Body, Entry
from inspect_app.entries.gauges import body_of
from inspect_app.entries.sealing import as_typed, counted, require_where, understood, where_of
from inspect_app.entries.seals import Gauged, Offer, Order, Ordering, Question, Receipt, Where
from inspect_app.entries.typed import Known, Written, day_typed
from inspect_app.trade.measuring import quantities
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.sealing.pairings import UNSUITED
from inspect_app.trade.sealing.shelf_life import cure_quarter

CALIPER = "caliper"
"""The kind of gauge a ring that came is measured with."""

# ---- typed


@dataclass(frozen=True, slots=True)
class Asked:
    """A question to the mechanic about a place."""

    where: Where
    asks: str

    def written(self, known: Known) -> list[Written]:
        """The question; refused is an empty one."""
        require_where(self.where, known)
        if not self.asks.strip():
            raise Refusal("Type the question.")
        body = {"position": self.where[0], "place": self.where[1], "asks": self.asks.strip()}
        return [("seal-question", body)]


@dataclass(frozen=True, slots=True)
class Replied:
    """What the mechanic answers to a question, named by its id."""

    question: str
    answer: str

    def written(self, known: Known) -> list[Written]:
        """The answer; refused is a question nobody asked, an empty answer."""
        _require(self.question, known.job.ordering.questions, "question")
        if not self.answer.strip():
            raise Refusal("Type the answer.")
        return [("seal-answer", {"question": self.question, "answer": self.answer.strip()})]


@dataclass(frozen=True, slots=True)
class Ordered:
    """What the list says for a place was ordered: how many, from whom, price of one, promised until when.

    `quantity` "" orders what the list counts. Reference, price and promise may be "".
    """

    where: Where
    supplier: str
    quantity: str = ""
    reference: str = ""
    price: str = ""
    promised: str = ""

    def written(self, known: Known) -> list[Written]:
        """The order; refused is one of a line with an open doubt, no supplier, a date or price that is none."""
        require_where(self.where, known)
        listed = known.listed(self.where)
        if listed.against:
            raise Refusal("It cannot be ordered yet: {says}", says=listed.against[0].sentence)
        if not listed.what or listed.count is None:
            raise Refusal("It cannot be ordered yet: the list does not know what and how many.")
        if not self.supplier.strip():
            raise Refusal("Say who it is ordered from.")
        if listed.count == 0 and not self.quantity.strip():
            raise Refusal("All of it is here or ordered already; say how many more.")
        quantity = counted(self.quantity, "a number of seals") if self.quantity.strip() else listed.count
        body = {
            "position": self.where[0],
            "place": self.where[1],
            "what": listed.what,
            "quantity": quantity,
            "supplier": self.supplier.strip(),
            "reference": self.reference.strip(),
            "price": as_typed(self.price, "money", known.system),
            "promised": day_typed(self.promised),
        }
        return [("seal-order", body)]


@dataclass(frozen=True, slots=True)
class OfferedOtherwise:
    """The supplier offers something else than was ordered, in words."""

    order: str
    offers: str
    price: str = ""
    promised: str = ""

    def written(self, known: Known) -> list[Written]:
        """The offer; refused is an order there is not, no words."""
        _require(self.order, known.job.ordering.orders, "order")
        if not self.offers.strip():
            raise Refusal("Say what is offered instead.")
        body = {
            "order": self.order,
            "offers": self.offers.strip(),
            "price": as_typed(self.price, "money", known.system),
            "promised": day_typed(self.promised),
        }
        return [("seal-offer", body)]


@dataclass(frozen=True, slots=True)
class OfferDecided:
    """The mechanic accepts or refuses what is offered otherwise, in words."""

    offer: str
    accepted: bool
    words: str

    def written(self, known: Known) -> list[Written]:
        """The decision; refused is an offer there is not, no words, a yes to a material the fluid forbids."""
        ordering = known.job.ordering
        _require(self.offer, ordering.offers, "offer")
        if not self.words.strip():
            raise Refusal("Say in words why it may be fitted, or why not; the list prints them.")
        order = ordering.orders.get(ordering.offers[self.offer].order)
        open_now = known.listed(order.where).open if order and self.accepted else ()
        if stop := next((o for o in open_now if o.stop and o.rule == UNSUITED), None):
            raise Refusal("This is a stop, nobody can accept it: {says}", says=stop.sentence)
        body = {"offer": self.offer, "accepted": self.accepted, "words": self.words.strip()}
        return [("seal-offer-answer", body)]


@dataclass(frozen=True, slots=True)
class Received:
    """What came for an order: how many, cure date (quarter and year) and batch off the bag, or why it is wrong.

    `section` is that of one of its rings, by caliper; "" where it was not measured.
    """

    order: str
    quantity: str
    cured: str = ""
    batch: str = ""
    wrong: str = ""
    section: str = ""

    def written(self, known: Known) -> list[Written]:
        """The receipt, after the caliper; refused is an order there is not, a count or a cure date that is none."""
        _require(self.order, known.job.ordering.orders, "order")
        if self.cured.strip():
            cure_quarter(self.cured)
        body = {
            "order": self.order,
            "quantity": counted(self.quantity, "a number of seals"),
            "cured": self.cured.strip(),
            "batch": self.batch.strip(),
            "wrong": self.wrong.strip(),
        }
        size = as_typed(self.section, "length", known.system)
        if not size:
            return [("seal-received", body)]
        step = quantities.read(self.section, kind="length", system=known.system).step
        taken = known.at_hand(CALIPER)
        body["section"] = {**size, "step": quantities.exact(step), "gauge": taken.id if taken else ""}
        new = [("gauge", body_of(taken))] if taken and taken.id not in known.survey.gauges else []
        return [*new, ("seal-received", body)]


@dataclass(frozen=True, slots=True)
class ReassemblyPlanned:
    """The day the cylinder goes together, year-month-day; "" takes it back."""

    day: str

    def written(self, known: Known) -> list[Written]:
        """The day, where it changed; refused is one that is none."""
        day = day_typed(self.day)
        return [("reassembly", {"day": day})] if day != known.job.ordering.reassembly else []


def _require(named: str, standing: Mapping[str, object], what: str) -> None:
    if named not in standing:
        raise Refusal(f"There is no such {what}; it was taken back.")


# ---- folded


def question(ordering: Ordering, entry: Entry, body: Body) -> Ordering:
    """A question joins the others."""
    new = Question(entry.id, where_of(body), body["asks"], entry.by, entry.at)
    return replace(ordering, questions={**ordering.questions, new.id: new})


def answer(ordering: Ordering, entry: Entry, body: Body) -> Ordering:
    """The last answer to a question holds; one to a question that was taken back says nothing."""
    asked = ordering.questions.get(body["question"])
    if asked is None:
        return ordering
    answered = replace(asked, answer=body["answer"], answered_by=entry.by)
    return replace(ordering, questions={**ordering.questions, asked.id: answered})


def order(ordering: Ordering, entry: Entry, body: Body) -> Ordering:
    """An order joins the others."""
    new = Order(
        entry.id,
        where_of(body),
        body["what"],
        int(body["quantity"]),
        body["supplier"],
        body["reference"],
        understood(body["price"]),
        body["promised"],
        entry.by,
        entry.at,
    )
    return replace(ordering, orders={**ordering.orders, new.id: new})


def offer(ordering: Ordering, entry: Entry, body: Body) -> Ordering:
    """An offer joins the others."""
    new = Offer(
        entry.id,
        body["order"],
        body["offers"],
        understood(body["price"]),
        body["promised"],
        entry.by,
        entry.at,
    )
    return replace(ordering, offers={**ordering.offers, new.id: new})


def offer_decided(ordering: Ordering, entry: Entry, body: Body) -> Ordering:
    """The last word on an offer holds; one on an offer that was taken back says nothing."""
    offered = ordering.offers.get(body["offer"])
    if offered is None:
        return ordering
    said = replace(offered, accepted=bool(body["accepted"]), words=body["words"], decided_by=entry.by)
    return replace(ordering, offers={**ordering.offers, offered.id: said})


def received(ordering: Ordering, entry: Entry, body: Body) -> Ordering:
    """A receipt joins the others."""
    new = Receipt(
        entry.id,
        body["order"],
        int(body["quantity"]),
        body["cured"],
        body["batch"],
        body["wrong"],
        entry.by,
        entry.at,
        _gauged(body.get("section", {})),
    )
    return replace(ordering, receipts=(*ordering.receipts, new))


def _gauged(body: Body) -> Gauged | None:
    return (
        Gauged(body["typed"], Decimal(body["value"]), Decimal(body["step"]), body["gauge"]) if body else None
    )


def reassembly(ordering: Ordering, entry: Entry, body: Body) -> Ordering:
    """The last day planned holds."""
    return replace(ordering, reassembly=str(body["day"]))
