"""How a line of the seal list stands with its orders: what is here, what is to come, what is late; knows no clock."""

from __future__ import annotations

import enum
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from types import MappingProxyType

from inspect_app.entries.seals import Offer, Order, Ordering, Question, Receipt
from inspect_app.job.seals.choice import in_its_fluid
from inspect_app.job.seals.inputs import CylinderState, Known
from inspect_app.job.seals.line import Doubt, SealLine
from inspect_app.tables.standards.handbook import Handbook
from inspect_app.trade.measuring.decision import Verdict
from inspect_app.trade.measuring.refusal import UNSAID, Refusal, Sentence
from inspect_app.trade.sealing.mistaken import SectionCame, section_that_came
from inspect_app.trade.sealing.pairings import UNSUITED, Objection
from inspect_app.trade.sealing.shelf_life import shelf_life


class State(enum.Enum):
    """How a line stands."""

    DOUBT = "in doubt"
    WRONG = "wrong part came"
    OFFERED = "offered otherwise"
    READY = "can be ordered"
    PART = "part received"
    ORDERED = "ordered"
    RECEIVED = "received"


@dataclass(frozen=True, slots=True)
class OrderStands:
    """An order with what came of it: the offer that counts, what came right and wrong, and what is still to come.

    `sections` are the rings that were measured, by receipt.
    """

    order: Order
    offer: Offer | None
    receipts: tuple[Receipt, ...]
    sections: Mapping[str, SectionCame] = field(default_factory=dict)

    @property
    def waits(self) -> bool:
        """Whether the mechanic has not yet said whether what is offered may be fitted."""
        return self.offer is not None and self.offer.accepted is None

    @property
    def off(self) -> bool:
        """Whether what was offered otherwise was refused: nothing comes of this order."""
        return self.offer is not None and self.offer.accepted is False

    @property
    def here(self) -> int:
        """How many of it came and are right."""
        return sum(r.quantity for r in self.receipts if not r.wrong)

    @property
    def to_come(self) -> int:
        """How many are still to come; a wrong one is not counted on again."""
        came = sum(r.quantity for r in self.receipts)
        return 0 if self.off else max(0, self.order.quantity - came)

    @property
    def promised(self) -> str:
        """Until when the rest is promised, "" where nobody said."""
        accepted = self.offer if self.offer and self.offer.accepted else None
        return (accepted.promised if accepted else "") or self.order.promised


@dataclass(frozen=True, slots=True)
class Standing:
    """A line with its orders and questions.

    `missing` is how many are neither here nor to come, None while nobody knows how many it takes. `doubts` are about
    what was ordered and came; `late` says why it is late, unsaid where it is not.
    """

    line: SealLine
    state: State
    missing: int | None
    orders: tuple[OrderStands, ...]
    questions: tuple[Question, ...]
    doubts: tuple[Doubt, ...]
    late: Sentence

    @property
    def here(self) -> int:
        """How many are here and right."""
        return sum(o.here for o in self.orders)

    @property
    def to_come(self) -> int:
        """How many are still to come."""
        return sum(o.to_come for o in self.orders)

    @property
    def open_doubts(self) -> tuple[Doubt, ...]:
        """What still speaks against ordering it, or against fitting what came."""
        return tuple(d for d in (*self.line.doubts, *self.doubts) if d.open)

    @property
    def fit_to_go_in(self) -> bool:
        """Whether all of it is here and nothing speaks against fitting it."""
        stops = any(d.objection.stop for d in self.line.open_doubts)
        return self.state is State.RECEIVED and not stops and not any(d.open for d in self.doubts)

    @property
    def asked(self) -> tuple[Question, ...]:
        """The questions nobody has answered."""
        return tuple(q for q in self.questions if not q.answer)


def standing_of(
    line: SealLine,
    what: str,
    ordering: Ordering,
    state: CylinderState,
    handbook: Handbook,
    today: str,
    sections: Mapping[str, Known] = MappingProxyType({}),
) -> Standing:
    """How a line stands today.

    Args:
        line: the line.
        what: what the list says to order, in words as they go into the log.
        ordering: everything about getting the seals of this job.
        state: the cylinder, for the doubts that were closed.
        handbook: the groups of shelf life.
        today: the date, year-month-day.
        sections: the sections of rings that came, by receipt.
    Source: iso-2230
    """
    orders = tuple(
        _stands(order, line, what, ordering, sections)
        for order in ordering.orders.values()
        if order.where == line.where
    )
    against = dict.fromkeys(
        (
            *_changed(what, orders),
            *_unsuited(what, orders, state, handbook),
            *_aged(line, orders, handbook),
            *_others(orders),
        )
    )
    doubts = tuple(Doubt(o, state.closing(line.where, o)) for o in against)
    here, to_come = sum(o.here for o in orders), sum(o.to_come for o in orders)
    missing = None if line.quantity is None else max(0, line.quantity - here - to_come)
    found = _state(line, orders, missing, here)
    questions = tuple(q for q in ordering.questions.values() if q.where == line.where)
    late = UNSAID if found is State.RECEIVED else _late(orders, missing, ordering.reassembly, today)
    return Standing(line, found, missing, orders, questions, doubts, late)


def late_orders(ordering: Ordering, today: str) -> int:
    """How many orders are late, without the list they are for: not whole, and promised before today or too late.

    Args:
        ordering: everything about getting the seals of a job.
        today: the date, year-month-day.
    """
    late = 0
    for order in ordering.orders.values():
        offer = next((o for o in reversed([*ordering.offers.values()]) if o.order == order.id), None)
        stands = OrderStands(order, offer, tuple(r for r in ordering.receipts if r.order == order.id))
        after = bool(ordering.reassembly) and stands.promised > ordering.reassembly
        late += bool(stands.to_come and stands.promised and (stands.promised < today or after))
    return late


def _stands(
    order: Order, line: SealLine, what: str, ordering: Ordering, sections: Mapping[str, Known]
) -> OrderStands:
    offer = next((o for o in reversed([*ordering.offers.values()]) if o.order == order.id), None)
    receipts = tuple(r for r in ordering.receipts if r.order == order.id)
    # what was ordered by another size than the list's now, or accepted instead, is not held against the list's
    as_listed = line.oring and order.what == what and not (offer and offer.accepted)
    came = {
        r.id: section_that_came(section_mm=read.value_mm, u_mm=read.expanded_mm, ring=line.oring)
        for r in receipts
        if as_listed and line.oring and (read := sections.get(r.id))
    }
    return OrderStands(order, offer, receipts, came)


def _others(orders: Sequence[OrderStands]) -> Iterator[Objection]:
    """Rings that came and were taken for right, with the section of another."""
    for stands in orders:
        right = {r.id for r in stands.receipts if not r.wrong}
        for receipt, came in stands.sections.items():
            if receipt in right and came.verdict is Verdict.BEYOND:
                yield Objection("section", came.sentence, Sentence("measure it again, or send it back"))


def _state(line: SealLine, orders: Sequence[OrderStands], missing: int | None, here: int) -> State:
    if any(o.waits for o in orders):
        return State.OFFERED
    if missing is None or missing > 0:
        if line.open_doubts or missing is None:
            return State.DOUBT
        wrong = any(r.wrong for o in orders for r in o.receipts)
        return State.WRONG if wrong else State.READY if line.orderable else State.DOUBT
    if not any(o.to_come for o in orders):
        return State.RECEIVED
    return State.PART if here else State.ORDERED


def _changed(what: str, orders: Sequence[OrderStands]) -> Iterator[Objection]:
    for stands in orders:
        if not stands.off and stands.order.what != what:
            said = {"ordered": stands.order.what, "now": what or "nothing yet"}
            says = Sentence("Ordered was: {ordered}. The list now says: {now}.", said)
            yield Objection("ordered-other", says, Sentence("ask the mechanic, or order it anew"))


def _unsuited(
    what: str, orders: Sequence[OrderStands], state: CylinderState, handbook: Handbook
) -> Iterator[Objection]:
    """What speaks against the materials of what is offered, or was ordered by another list than today's."""
    for stands in orders:
        words = stands.offer.offers if stands.offer else stands.order.what
        if stands.off or words == what:
            continue  # the list's own materials were looked at with the line
        called = "Offered" if stands.offer else "Ordered"
        for objection in in_its_fluid(words, state.duty, handbook):
            says = Sentence(f"{called} is {{words}}: {{says}}", {"words": words, "says": objection.sentence})
            yield replace(
                objection, rule=UNSUITED, sentence=says, settles=Sentence("ask for another material")
            )


def _aged(line: SealLine, orders: Sequence[OrderStands], handbook: Handbook) -> Iterator[Objection]:
    """What came against its shelf life, on the day it came: of what was accepted instead, by the rubbers it names."""
    groups = handbook.shelf_groups
    for stands in orders:
        instead = stands.offer.offers if stands.offer and stands.offer.accepted else ""
        named = [g.material for g in groups if g.material in re.split(r"[^A-Za-z]+", instead)]
        materials = named or [made.material for made in line.made]
        for receipt in (r for r in stands.receipts if not r.wrong):
            settles = Sentence("inspect it and say who did, or send it back")
            try:
                life = shelf_life(
                    materials=materials,
                    cured=receipt.cured or None,
                    on=date.fromisoformat(receipt.at[:10]),
                    inspected=False,
                    groups=groups,
                )
            except Refusal as unreadable:
                yield Objection("shelf-life", unreadable.sentence, settles)
                continue
            if not life.usable:
                yield Objection("shelf-life", Sentence(life.sentence), settles, stop=life.verdict == "past")


def _late(orders: Sequence[OrderStands], missing: int | None, reassembly: str, today: str) -> Sentence:
    """Why a line that is not here is late; the dates are in the order of their text."""
    for stands in (o for o in orders if o.to_come):
        if stands.promised and stands.promised < today:
            return Sentence(f"promised {stands.promised}, not here")
        if stands.promised and reassembly and stands.promised > reassembly:
            return Sentence(f"promised {stands.promised}, after the reassembly on {reassembly}")
    if reassembly and today >= reassembly:
        return Sentence(f"not {'ordered' if missing or missing is None else 'here'}, reassembly {reassembly}")
    return UNSAID
