"""The forms of the clerk's screens by name: what each asks for, and what it enters."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from inspect_app.entries import ordering, sealing
from inspect_app.entries.seals import There, Where
from inspect_app.entries.typed import Typed
from inspect_app.job.seals.standing import Standing
from inspect_app.screens.clerk.forms import Asks
from inspect_app.screens.pieces.texts import Texts
from inspect_app.trade.sealing.pairings import UNSUITED
from inspect_app.trade.sealing.sheet_figures import FIGURES

DAY = "year-month-day"
Made = Callable[[Where, str, Standing | None], Asks]


def seen(where: Where) -> Callable[[Sequence[str], Texts], Typed]:
    """What the form of an old seal enters."""
    return lambda states, t: sealing.OldSealSeen(where, states, t["section"], t["hardness"], t["note"])


def _ask(where: Where, of: str, standing: Standing | None) -> Asks:
    ends = (("Ask", lambda t: ordering.Asked(where, t["asks"])),)
    return Asks("Ask the mechanic", (("asks", "Question", ""),), ends)


def _answer(where: Where, of: str, standing: Standing | None) -> Asks:
    asked = next((q for q in standing.questions if q.id == of), None) if standing else None
    ends = (("Answer", lambda t: ordering.Replied(of, t["answer"])),)
    return Asks("Answer", (("answer", "Your answer", ""),), ends, under=asked.asks if asked else "")


def _close(where: Where, of: str, standing: Standing | None) -> Asks:
    ends = (("Close the doubt", lambda t: sealing.DoubtClosed(where, of, t["reason"])),)
    under = "Your initials and the reason stand on the list. When the doubt says something else, it is open again."
    return Asks(f"Close the doubt: {of.replace('-', ' ')}", (("reason", "Reason", ""),), ends, under)


IS_THE = {figure: f"It is the {figure}" for figure in FIGURES} | {
    "hottest": "It is the hottest it stands", "coldest": "It is the coldest it stands",
}  # fmt: skip
"""What the buttons say that take a figure off a sheet."""


def _sheet(where: Where, of: str, standing: Standing | None) -> Asks:
    fields = (("value", "Value as on the sheet", "with its unit"), ("sheet", "Which sheet", ""))
    figures = [of] if of else [*FIGURES]
    ends = tuple(
        (IS_THE[figure], lambda t, f=figure: sealing.FigureOffSheet(where, f, t["value"], t["sheet"]))
        for figure in figures
    )
    return Asks("A figure off the seal's sheet", fields, ends)


MORE = ("count", "fitted", "material", "corner", "lead_in", "lips", "behind", "word")
"""What can be said of a seal that is there, as the form has it."""


def there(where: Where, seal: str, from_both_sides: bool, said: There | None) -> Asks:
    """What is at a place: asked for is what its kind of seal can have, and what was said of it before stands there.

    Args:
        where: position and place.
        seal: the kind of seal the list has there.
        from_both_sides: whether pressure comes from both sides in turn.
        said: what was said of it, None for nothing.
    """
    lips, behind = seal == "lip seal" and from_both_sides, seal == "plastic-faced seal"
    fields = (
        ("count", "How many", ""),
        ("fitted", "Fitted was, in words", "ring and size"),
        ("material", "Of which material", "NBR 70"),
        ("corner", "Corner radius of the groove", ""),
        ("lead_in", "Lead-in", ""),
        *([("lips", "Lips face, from the rod end on", "rod side, cap side")] if lips else []),
        *([("behind", "Another O-ring behind the face, its section", "")] if behind else []),
        *([("word", "The supplier's written word for it", "")] if behind else []),
        ("instead", "Something else is there", "metal bush"),
    )
    ends = (
        ("It is there", lambda t: sealing.PlaceAnswered(where, sealing.THERE, *(t[name] for name in MORE))),
        ("There is none", lambda t: sealing.PlaceAnswered(where, sealing.NONE)),
        ("Something else is there", lambda t: sealing.PlaceAnswered(where, t["instead"])),
    )
    return Asks("What is there", fields, ends, first=_said(said) if said else ())


def _said(said: There) -> tuple[tuple[str, str], ...]:
    """What stands of a place, as it was typed."""
    instead = "" if said.words in (sealing.THERE, sealing.NONE) else said.words
    return (
        ("count", str(said.count or "")),
        ("fitted", said.fitted),
        ("material", said.material),
        ("corner", said.corner.typed if said.corner else ""),
        ("lead_in", said.lead_in),
        ("lips", ", ".join(said.lips)),
        ("behind", said.behind.typed if said.behind else ""),
        ("word", said.word),
        ("instead", instead),
    )


ORDER_FIELDS = (
    ("supplier", "Supplier", ""),
    ("reference", "Reference", ""),
    ("price", "Price of one", ""),
    ("promised", "Promised until", DAY),
)


def _order(where: Where, of: str, standing: Standing | None) -> Asks:
    def ordered(t: Texts) -> Typed:
        return ordering.Ordered(
            where, t["supplier"], t["quantity"], t["reference"], t["price"], t["promised"]
        )

    first = (("quantity", str(standing.missing or "") if standing else ""),)
    fields = (("quantity", "How many", ""), *ORDER_FIELDS)
    return Asks("Order", fields, (("It is ordered", ordered),), first=first)


def _offer(where: Where, of: str, standing: Standing | None) -> Asks:
    fields = (
        ("offers", "Offered is", "NBR 80 instead"),
        ("price", "Price of one", ""),
        ("promised", "Promised until", DAY),
    )
    ends = (
        (
            "Ask the mechanic for it",
            lambda t: ordering.OfferedOtherwise(of, t["offers"], t["price"], t["promised"]),
        ),
    )
    return Asks("Offered otherwise", fields, ends)


def _decide(where: Where, of: str, standing: Standing | None) -> Asks:
    offers = [s.offer for s in standing.orders if s.offer and s.offer.id == of] if standing else []
    doubts = standing.open_doubts if standing else ()
    stops = any(d.objection.stop and d.objection.rule == UNSUITED for d in doubts)
    accept = ("Accept it", lambda t: ordering.OfferDecided(of, True, t["words"]))
    refuse = ("Refuse it", lambda t: ordering.OfferDecided(of, False, t["words"]))
    ends = (refuse,) if stops else (accept, refuse)
    under = f"Offered is: {offers[0].offers}. A refused order is off." if offers else ""
    under += " The fluid forbids it, so nobody can accept it." if stops else ""
    return Asks("Accept or refuse", (("words", "Why", ""),), ends, under)


def _received(where: Where, of: str, standing: Standing | None) -> Asks:
    fields = (
        ("quantity", "How many came", ""),
        ("cured", "Cure date on the bag", "quarter/year, 3/26"),
        ("batch", "Batch", ""),
        ("section", "Section of one, by caliper", ""),
        ("wrong", "Wrong, because", ""),
    )
    come = [s.to_come for s in standing.orders if s.order.id == of] if standing else []

    def came(t: Texts) -> Typed:
        return ordering.Received(of, t["quantity"], t["cured"], t["batch"], t["wrong"], t["section"])

    first = (("quantity", str(come[0])),) if come else ()
    return Asks("Received", fields, (("It came", came),), first=first)


def reassembly(day: str) -> Asks:
    """The day the cylinder goes together."""
    ends = (("Plan it", lambda t: ordering.ReassemblyPlanned(t["day"])),)
    return Asks("Reassembly", (("day", "Planned on", DAY),), ends, first=(("day", day),))


FORMS: Mapping[str, Made] = {
    "ask": _ask, "answer": _answer, "close": _close, "sheet": _sheet, "order": _order,
    "offer": _offer, "decide": _decide, "received": _received,
}  # fmt: skip
"""The other forms about a place, by name; each is told the place, what else it is about, how the line stands."""
