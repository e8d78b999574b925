"""What a path costs and how long it takes, beside a new cylinder; which to recommend, and the facts that decide.

Money never beats a stop: where nothing is offered, nothing is recommended.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from inspect_app.job.paths import Paths, RepairPath, Standing
from inspect_app.job.planned import Cylinder, Plan
from inspect_app.job.quantities import units_of, whole_kg
from inspect_app.tables.rates import Always, Rates
from inspect_app.trade.measuring.refusal import UNSAID, Refusal, Said, Sentence, joined
from inspect_app.trade.money.economy import Leaning, ShareBands, Way, compare, leaning, repair_share
from inspect_app.trade.money.lead import Chain, longest_chain
from inspect_app.trade.money.price import (
    ROUNDING,
    Total,
    amount_text,
    labour,
    marked_up,
    outside_charge,
    rounded,
    total,
    with_margin,
)

REPAIR, NEW = "repair", "new"


@dataclass(frozen=True, slots=True)
class PriceLine:
    """One line of a price: the work, its amount rounded by the rule, or what is missing to have one; its own hours."""

    work: str
    title: str
    amount: Decimal | None
    missing: Sentence = UNSAID
    hours: Decimal | None = None


@dataclass(frozen=True, slots=True)
class Priced:
    """A path with its lines, total and longest chain; no total while a line has no amount."""

    path: RepairPath
    lines: tuple[PriceLine, ...]
    total: Total | None
    lead: Chain

    @property
    def missing(self) -> tuple[Sentence, ...]:
        """Why it has no total; none where it has."""
        return tuple(joined((line.title, line.missing), ": ") for line in self.lines if line.amount is None)


@dataclass(frozen=True, slots=True)
class NewCylinder:
    """What a new cylinder costs before tax, and the days until it is there."""

    net: Decimal
    days: Decimal


@dataclass(frozen=True, slots=True)
class Against:
    """A repair held against a new cylinder: its share, what that leans to, and the even cost of a year of each."""

    share: float
    leaning: Leaning
    repair_a_year: float
    new_a_year: float

    @property
    def by_year(self) -> str:
        """Which is cheaper a year."""
        return REPAIR if self.repair_a_year <= self.new_a_year else NEW

    @property
    def disagree(self) -> bool:
        """Whether price and year say different things."""
        said = {Leaning.REPAIR: REPAIR, Leaning.REPLACE: NEW}.get(self.leaning)
        return said is not None and said != self.by_year


@dataclass(frozen=True, slots=True)
class Recommendation:
    """What to do, in words a customer understands, and the two or three facts that decide it."""

    words: str
    facts: tuple[Said | str, ...]
    choice: Priced | None = None
    against: Against | None = None


def price(path: RepairPath, rates: Rates) -> Priced:
    """A path with its price and its lead.

    Args:
        path: the path.
        rates: the rates.
    """
    lines = [_always_line(work, path.plan, rates) for work in rates.always]
    lines += [_work_line(name, path, rates) for name in path.operations]
    amounts = [line.amount for line in lines if line.amount is not None]
    if len(amounts) == len(lines) and (short := rates.shop.least_charge - sum(amounts)) > 0:
        lines.append(PriceLine("least", "up to the least charge", rounded(short, rates.coin)))
        amounts.append(short)
    whole = total(amounts, tax=rates.shop.tax, coin=rates.coin) if len(amounts) == len(lines) else None
    return Priced(path, tuple(lines), whole, lead(path, rates))


def _always_line(work: Always, plan: Plan, rates: Rates) -> PriceLine:
    try:
        mass = Decimal(repr(whole_kg(plan.found.cylinder, rates.shop))) if work.hours_per_kg else Decimal(0)
    except Refusal as refusal:
        return PriceLine(work.id, work.title, None, refusal.sentence)
    hours = work.hours + work.hours_per_kg * mass
    amount = with_margin(labour(hours=hours, rate=rates.shop.hour), margin=rates.shop.margin)
    return PriceLine(work.id, work.title, rounded(amount, rates.coin), hours=hours)


def _work_line(name: str, path: RepairPath, rates: Rates) -> PriceLine:
    operation, rate, shop = path.plan.rules.by_id[name], rates.work[name], rates.shop
    try:
        units = Decimal(repr(units_of(operation, path.plan.of(operation), shop)))
    except Refusal as refusal:
        return PriceLine(name, operation.title, None, refusal.sentence)
    hours = rate.hours + rate.hours_per_unit * units
    own = with_margin(labour(hours=hours, rate=shop.hour), margin=shop.margin)
    outside = outside_charge(
        set_up=rate.outside_set_up, per_unit=rate.outside_per_unit, units=units, least=rate.outside_least
    )
    parts = rate.bought_in + rate.bought_in_per_unit * units
    amount = (
        own + marked_up(outside, markup=shop.outside_markup) + marked_up(parts, markup=shop.bought_in_markup)
    )
    return PriceLine(name, operation.title, rounded(amount, rates.coin), hours=hours)


def lead(path: RepairPath, rates: Rates) -> Chain:
    """The days a path takes: the longest chain, as seals are bought while the plater plates.

    Args:
        path: the path.
        rates: the days of each work.
    """
    first, last = rates.always[:1], rates.always[1:]
    days = {w.id: float(w.days) for w in rates.always} | {
        n: float(rates.work[n].days) for n in path.operations
    }
    begin = [w.id for w in first]
    after: dict[str, Sequence[str]] = {}
    for name in path.operations:
        after[name] = begin if rates.work[name].beside else [*begin, *_waits_for(name, path)]
    for work in last:
        after[work.id] = [*begin, *path.operations]
    return longest_chain(days, after)


def _waits_for(name: str, path: RepairPath) -> list[str]:
    return [before for before in path.plan.rules.by_id[name].after if before in path.operations]


def fee_if_declined(plan: Plan, rates: Rates) -> Decimal | None:
    """What is charged when the customer says no: the work that is done by then; None where it has no price.

    Args:
        plan: any plan for the cylinder, for its mass.
        rates: the rates.
    """
    amounts = [_always_line(work, plan, rates).amount for work in rates.always if work.declined]
    return None if None in amounts else sum((a for a in amounts if a is not None), Decimal(0))


def new_cylinder(cylinder: Cylinder, rates: Rates) -> NewCylinder | None:
    """A new cylinder by its mass; None where its mass is not known.

    Args:
        cylinder: nominal sizes.
        rates: the rates.
    """
    try:
        mass = Decimal(repr(whole_kg(cylinder, rates.shop)))
    except Refusal:
        return None
    net = rates.compare.new_base + rates.compare.new_per_kg * mass
    return NewCylinder(rounded(net, rates.coin), rates.compare.new_days)


def against(priced: Priced, new: NewCylinder, rates: Rates) -> Against | None:
    """A priced path held against a new cylinder; None while it has no total.

    Args:
        priced: the path.
        new: the new cylinder.
        rates: bands, interest and years.
    """
    if priced.total is None:
        return None
    net, rule = float(priced.total.net), rates.compare
    bands = ShareBands(float(rule.repair_upto), float(rule.replace_above))
    share = repair_share(repair_cost=net, new_cost=float(new.net))
    ways = [Way(REPAIR, net, rule.repaired_years), Way(NEW, float(new.net), rule.new_years)]
    years = dict(compare(ways, rate=float(rule.interest)).annual_costs)
    return Against(share, leaning(share, bands), years[REPAIR], years[NEW])


def cheapest(paths: Paths, rates: Rates, standing: Standing = Standing.OFFERED) -> tuple[Priced, ...]:
    """The paths of one standing with their prices, cheapest first; those without a total last.

    Args:
        paths: the paths.
        rates: the rates.
        standing: which of them.
    """
    priced = [price(path, rates) for path in paths.standing(standing)]
    return tuple(sorted(priced, key=lambda p: (p.total is None, p.total.net if p.total else 0, p.lead.days)))


def recommend(paths: Paths, cylinder: Cylinder, rates: Rates) -> Recommendation:
    """What to do with the cylinder, and the facts that decide.

    Args:
        paths: its paths.
        cylinder: nominal sizes, for the price of a new one.
        rates: the rates.
    """
    if paths.stops:
        return Recommendation("Stop: nothing is offered, whatever it costs.", paths.stops[:3])
    offered = cheapest(paths, rates)
    if not offered:
        return _nothing_offered(paths, rates)
    best, new = offered[0], new_cylinder(cylinder, rates)
    held = against(best, new, rates) if new else None
    works = ", ".join(best.path.plan.rules.by_id[o].title for o in best.path.operations)
    if best.total is None or new is None or held is None:
        missing: tuple[Said | str, ...] = best.missing or ("the mass of the cylinder is not known",)
        return Recommendation(f"Repair: {works}. It has no price yet.", missing[:3], best)
    facts = (
        f"The repair costs {amount_text(best.total.net, rates.coin)} before tax, {held.share * 100:.0f} % of a new "
        f"cylinder at {amount_text(new.net, rates.coin)}.",
        f"It takes {best.lead.days:g} days, a new one {new.days.normalize():f}.",
        year_words(held, rates),
    )
    return Recommendation(_words(held, works), facts, best, held)


def _words(held: Against, works: str) -> str:
    if held.disagree:
        by_price = REPAIR if held.leaning is Leaning.REPAIR else NEW
        return (
            f"To be decided together: by price {SAID[by_price]}, by the year {SAID[held.by_year]}. "
            f"The repair would be: {works}."
        )
    if held.leaning is Leaning.REPLACE:
        return f"A new cylinder. The repair would be: {works}."
    if held.leaning is Leaning.DISCUSS:
        return f"Repair is possible, and worth a talk: {works}."
    return f"Repair: {works}."


SAID = {REPAIR: "the repair", NEW: "a new cylinder"}


def year_words(held: Against, rates: Rates) -> str:
    """What the repair and a new cylinder cost a year, over the years each serves.

    Args:
        held: the repair held against a new cylinder.
        rates: the years, and the coin.
    """
    repair, new = (amount_text(Decimal(repr(x)), rates.coin) for x in (held.repair_a_year, held.new_a_year))
    rule = rates.compare
    return (
        f"Spread over the years it serves, the repair costs {repair} a year ({rule.repaired_years} years), "
        f"a new one {new} ({rule.new_years} years)."
    )


def _nothing_offered(paths: Paths, rates: Rates) -> Recommendation:
    if unproven := cheapest(paths, rates, Standing.UNPROVEN):
        return Recommendation("Not decided: no repair is proven yet.", unproven[0].path.reasons[:3])
    why: tuple[Said | str, ...] = paths.uncured or tuple(r for p in paths.every for r in p.reasons)
    return Recommendation(
        "A new cylinder: no repair leaves everything within its limits.", tuple(dict.fromkeys(why))[:3]
    )


def rounding_words(rates: Rates) -> str:
    """The one rule of rounding, in words.

    Args:
        rates: the rates, for the coin.
    """
    return ROUNDING.format(coin=amount_text(rates.coin.smallest, rates.coin))
