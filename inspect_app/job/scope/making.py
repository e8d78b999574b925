"""Makes the scope of a job: what was found in plain words, the lines of the chosen path as changed by hand, the terms.

Where nothing is offered it says so and has no line, so nobody can say yes to it.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, timedelta
from decimal import Decimal

from inspect_app.entries.agreed import OWN_LINE, Agreeing, LineSaid
from inspect_app.entries.job import Job
from inspect_app.job.assess import Assessment
from inspect_app.job.cures import cured_by
from inspect_app.job.paths import Paths
from inspect_app.job.pricing import (
    REPAIR,
    NewCylinder,
    Priced,
    PriceLine,
    Recommendation,
    against,
    fee_if_declined,
    lead,
    rounding_words,
    year_words,
)
from inspect_app.job.scope.seen import Seen, further_pictures, marked_on, seen_on
from inspect_app.job.scope.shown import Dropped, Scope, ScopeLine
from inspect_app.tables.consequences import Consequences
from inspect_app.tables.operations import Operations
from inspect_app.tables.rates import Rates
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.wording import capital
from inspect_app.trade.money.economy import Leaning
from inspect_app.trade.money.price import amount_text, rounded, total

LEAST = "least"
"""The id of the line that brings a job up to the least charge."""

SENTENCES = {
    "quotation": "I agree to the work and the price shown here, and to nothing more. "
    "Other work needs a new yes from me.",
    "estimate": "I agree to the work shown here, at about this price, and to nothing more. "
    "If it will cost more, or other work is needed, I am asked first.",
}
"""What a yes agrees to, by the form of the offer."""

LOCAL_RULES = "Local codes and the rules of your site come before anything said here."
AS_IT_IS = (
    "If you say no, you get the cylinder back as it is, with everything we found. "
    "Ask somebody qualified before it is used."
)
AS_IT_COMES = "Ask somebody qualified before the cylinder is used as it is."
NOT_USED = "Do not use the cylinder until a qualified person has decided about it."


@dataclass(frozen=True, slots=True)
class Proposed:
    """What a scope is made of beside the job: its judgement, its paths, the one chosen with its price, and words.

    `chosen` is None where no path is offered; `by_hand` says that a person chose it. `new` is a new cylinder, None
    where its price is not known. `today` is year-month-day.
    """

    assessment: Assessment
    paths: Paths
    chosen: Priced | None
    by_hand: bool
    advice: Recommendation
    new: NewCylinder | None
    rates: Rates
    told: Consequences
    today: str


def scope_of(job: Job, proposed: Proposed, system: str) -> Scope:
    """The scope of a job as it stands.

    Args:
        job: the job.
        proposed: what is proposed for it.
        system: "metric" or "inch".
    Raises:
        Refusal: a line has no price, or what is left of the path makes no sense.
    """
    terms, found, rates = job.agreeing.terms, job.as_found, proposed.rates
    seen = seen_on(job, proposed.assessment, proposed.told, system)
    lines, dropped = _lines(job.agreeing, proposed, seen, system)
    fee = terms.refused_fee.value if terms.refused_fee else _fee(proposed)
    until = date.fromisoformat(proposed.today) + timedelta(days=rates.shop.valid_days)
    named = (found.text("machine"), found.text("serial"))
    pictures = further_pictures(job, seen)
    scope = Scope(
        job=job.name,
        job_id=job.id,
        cylinder=", ".join(n for n in named if n) or job.name,
        shop=", ".join(n for n in (rates.shop.name, rates.shop.address) if n),
        customer=terms.customer or found.text("customer"),
        may_order_for=terms.may_order_for or terms.customer or found.text("customer"),
        complaint=terms.complaint or found.text("complaint"),
        form=terms.form,
        valid_until=terms.valid_until or until.isoformat(),
        excluded=terms.excluded,
        refused_fee=str(rounded(fee, rates.coin)) if fee else "",
        headline="",
        beside="",
        facts=(),
        items=tuple(s.item for s in seen),
        lines=lines,
        dropped=dropped,
        pictures=pictures,
        days=_days(lines, proposed),
        coin=rates.coin,
        tax=str(rates.shop.tax),
        notice=rates.notice,
        cautions=_cautions(lines, proposed),
        rounding=rounding_words(rates),
        sentence=SENTENCES[terms.form] if lines else "",
        system=system,
        marked=marked_on(job, [*(s.item.photo for s in seen), *(p.photo for p in pictures)], system),
    )
    headline, beside, facts = _said(scope, proposed)
    return replace(scope, headline=headline, beside=beside, facts=facts)


# ---- lines


def _lines(
    agreeing: Agreeing, proposed: Proposed, seen: tuple[Seen, ...], system: str
) -> tuple[tuple[ScopeLine, ...], tuple[Dropped, ...]]:
    """The lines as they are proposed, works first, and those that were dropped."""
    if proposed.chosen is None:
        return (), ()
    rules = proposed.chosen.path.plan.rules
    lines: list[ScopeLine] = []
    dropped: list[Dropped] = []
    for priced in _every_line(agreeing, proposed):
        said = agreeing.lines.get(priced.work)
        of = _cured(priced.work, seen, rules)
        if_not = (said.if_not if said else "") or " ".join(dict.fromkeys(s.item.if_not for s in of))
        title = said.title if said and said.title else priced.title
        if said and said.dropped:
            dropped.append(Dropped(priced.work, title, said.reason, if_not))
        else:
            amount = str(rounded(_amount(priced, said, title, system), proposed.rates.coin))
            numbers, optional = tuple(s.item.number for s in of), bool(said and said.optional)
            why = said.reason if said and said.price and not priced.work.startswith(OWN_LINE) else ""
            lines.append(
                ScopeLine(priced.work, title, amount, optional, numbers, if_not if optional else "", why)
            )
    if not lines:
        raise Refusal("Every line is left out; there is nothing to propose.")
    _require_sense(lines, rules)
    return (*lines, *_least(lines, proposed.rates)), tuple(dropped)


def _every_line(agreeing: Agreeing, proposed: Proposed) -> list[PriceLine]:
    """The lines of the path, works before what is done on every cylinder, then those added by hand."""
    assert proposed.chosen
    always = [work.id for work in proposed.rates.always]
    path = [line for line in proposed.chosen.lines if line.work != LEAST]
    works = [replace(x, title=proposed.told.work.get(x.work, x.title)) for x in path if x.work not in always]
    ever = [replace(x, title=capital(x.title)) for x in path if x.work in always]
    own = [x for x in agreeing.lines.values() if x.line.startswith(OWN_LINE) and not x.dropped]
    own.sort(key=lambda x: int(x.line.removeprefix(OWN_LINE)))
    return [*works, *ever, *(PriceLine(x.line, x.title, None) for x in own)]


def _amount(priced: PriceLine, said: LineSaid | None, title: str, system: str) -> Decimal:
    """The price put by hand, else the one computed."""
    if said and said.price:
        return said.price.value
    if priced.amount is None:
        missing = priced.missing.words(system)
        raise Refusal(
            "{title} has no price yet: {missing}. Give it one by hand.", title=title, missing=missing
        )
    return priced.amount


def _cured(line: str, seen: Iterable[Seen], rules: Operations) -> list[Seen]:
    """What is cured by an operation: one of its findings, or a part it renews."""
    operation = rules.by_id.get(line)
    if operation is None:
        return []
    return [
        s
        for s in seen
        if any(cured_by(f, operation) for f in s.findings) or (not s.findings and s.part in operation.renews)
    ]


def _require_sense(lines: Iterable[ScopeLine], rules: Operations) -> None:
    """Refuse what must not be done without a line that was dropped, or that the customer may leave out."""
    every = tuple(lines)
    firm = {line.line for line in every if not line.optional}
    done = {line.line for line in every}
    for nonsense in rules.nonsense:
        if nonsense.without and set(nonsense.together) <= done and not firm & {*nonsense.without}:
            raise Refusal("It cannot be proposed so. {sentence}", sentence=nonsense.sentence)


def _least(lines: Iterable[ScopeLine], rates: Rates) -> tuple[ScopeLine, ...]:
    short = rates.shop.least_charge - sum(Decimal(line.amount) for line in lines if not line.optional)
    return (ScopeLine(LEAST, "Up to the least charge", str(rounded(short, rates.coin))),) if short > 0 else ()


def _fee(proposed: Proposed) -> Decimal | None:
    """What is charged for a no; None where nothing can be reckoned."""
    plan = next((p.plan for p in proposed.paths.every), None)
    return fee_if_declined(plan, proposed.rates) if plan else None


def _days(lines: Iterable[ScopeLine], proposed: Proposed) -> str:
    """The longest chain of the work that is left, optional lines with it; "" where nothing is proposed."""
    if proposed.chosen is None:
        return ""
    path, done = proposed.chosen.path, {line.line for line in lines}
    kept = tuple(o for o in path.operations if o in done)
    return f"{lead(replace(path, plan=replace(path.plan, operations=kept)), proposed.rates).days:g}"


# ---- words


def _said(scope: Scope, proposed: Proposed) -> tuple[str, str, tuple[str, ...]]:
    """The headline, what a new cylinder costs beside it, and the facts that decide."""
    beside = _new_words(proposed)
    if proposed.paths.stops:
        return "Stop: the cylinder must not be used, and nothing is offered.", "", ()
    if proposed.chosen is None:
        fact = "We looked at every way to repair it. None leaves everything within its limits."
        return "We advise a new cylinder.", beside, (fact,)
    firm = scope.total({})
    gross = scope.money(firm.gross)
    about = "about " if scope.form == "estimate" else ""
    repair = f"{' from' if scope.optional else ':'} {about}{gross} with tax, {counted_days(scope.days)}"
    held = None
    if proposed.new:
        held = against(replace(proposed.chosen, total=firm), proposed.new, proposed.rates)
    if held is None:
        return f"We can repair it{repair}.", beside, ()
    facts = [
        f"The repair costs {held.share * 100:.0f} % of a new cylinder.",
        year_words(held, proposed.rates),
    ]
    if held.disagree:
        by_price = "a new cylinder" if held.leaning is Leaning.REPLACE else "the repair"
        by_year = "the repair" if held.by_year == REPAIR else "a new cylinder"
        facts.append(f"By price {by_price} is better, by the year {by_year}: you choose.")
    if held.leaning is Leaning.REPLACE and not held.disagree and not proposed.by_hand:
        return f"We advise a new cylinder. We can repair it too{repair}.", beside, tuple(facts)
    return f"We can repair it{repair}.", beside, tuple(facts)


def counted_days(days: str) -> str:
    """A number of days in words.

    Args:
        days: the number as text.

    >>> counted_days("1"), counted_days("10")
    ('1 day', '10 days')
    """
    return f"{days} {'day' if days == '1' else 'days'}"


def _new_words(proposed: Proposed) -> str:
    """A new cylinder on the footing of the repair: with tax, and its days; "" where its price is not known."""
    new, rates = proposed.new, proposed.rates
    if new is None:
        return ""
    whole = total([new.net], tax=rates.shop.tax, coin=rates.coin)
    days = counted_days(f"{new.days.normalize():f}")
    return f"A new cylinder: about {amount_text(whole.gross, rates.coin)} with tax, {days}."


def _cautions(lines: Iterable[ScopeLine], proposed: Proposed) -> tuple[str, ...]:
    """Who alone may do some of the work, and what must not be done with the cylinder."""
    if proposed.paths.stops:
        return LOCAL_RULES, NOT_USED
    if proposed.chosen is None:
        return LOCAL_RULES, AS_IT_COMES
    rules = proposed.chosen.path.plan.rules
    licensed = [
        f"{line.title}: {rules.by_id[line.line].licence}."
        for line in lines
        if line.line in rules.by_id and rules.by_id[line.line].licence
    ]
    return (*licensed, LOCAL_RULES, AS_IT_IS)
