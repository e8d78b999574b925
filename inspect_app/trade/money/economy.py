"""Repair against new in money: shares, annual costs, risk and waiting; knows no price list and no currency.

Factors and amounts are float; nothing is rounded on the way. `money` rounds once, where an amount is shown.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from enum import Enum

from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.required import require_finite, require_not_negative, require_positive
from inspect_app.trade.money.time_value import annual_cost, capital_recovery_factor, present_value


class Leaning(Enum):
    """What the share of repair in the price of new leans to."""

    REPAIR = "repair"
    DISCUSS = "discuss"
    REPLACE = "replace"


@dataclass(frozen=True, slots=True)
class ShareBands:
    """The shop's bands: up to the first share repair, above the second replace, between them discuss."""

    repair_upto: float
    replace_above: float


@dataclass(frozen=True, slots=True)
class Way:
    """One way to go on, repair or new: what it costs, how long it serves, what is left, what may happen.

    `failures` holds the chance of failure in year 1, 2, …; each costs `failure_cost` at that year's end.
    """

    name: str
    cost: float
    years: int
    salvage: float = 0.0
    yearly_cost: float = 0.0
    failures: tuple[float, ...] = ()
    failure_cost: float = 0.0


@dataclass(frozen=True, slots=True)
class Comparison:
    """Annual cost of each way by name, cheapest first, and what the first saves a year against the next."""

    annual_costs: tuple[tuple[str, float], ...]
    saving: float


@dataclass(frozen=True, slots=True)
class WaitingCost:
    """What the longer wait costs, put on the way that takes longer; the other carries nothing."""

    on_repair: float
    on_new: float


def money(amount: float) -> Decimal:
    """An amount to two decimals, half a cent away from zero.

    Args:
        amount: the amount; its shortest decimal form is what is rounded, so 1.005 gives 1.01.
    Raises:
        Refusal: when it is not a number.

    >>> money(1.005), money(-2.345)
    (Decimal('1.01'), Decimal('-2.35'))
    """
    require_finite(amount=amount)
    return Decimal(repr(float(amount))).quantize(Decimal("0.01"), ROUND_HALF_UP)


def repair_share(*, repair_cost: float, new_cost: float) -> float:
    """The cost of the repair as a share of that of new, waiting and freight included in both.

    share = repair / new

    Args:
        repair_cost: all of the repair.
        new_cost: all of the new cylinder, delivered.
    Raises:
        Refusal: when the repair is negative or new is not positive.
    Source: repair-share

    >>> repair_share(repair_cost=450, new_cost=550)
    0.818
    """
    require_not_negative(repair_cost=repair_cost)
    require_positive(new_cost=new_cost)
    return repair_cost / new_cost


def leaning(share: float, bands: ShareBands) -> Leaning:
    """What a share leans to; a share on a border belongs to the cheaper side.

    Args:
        share: repair over new.
        bands: the shop's bands.
    Raises:
        Refusal: when the share is negative or the bands are exchanged.
    Source: repair-share

    >>> leaning(0.545, ShareBands(repair_upto=0.5, replace_above=0.7)).value
    'discuss'
    """
    require_not_negative(share=share, repair_upto=bands.repair_upto)
    if bands.repair_upto > bands.replace_above:
        raise Refusal(
            f"The bands {bands.repair_upto:g} and {bands.replace_above:g} are swapped; the first is lower."
        )
    if share <= bands.repair_upto:
        return Leaning.REPAIR
    return Leaning.REPLACE if share > bands.replace_above else Leaning.DISCUSS


def waiting_cost(*, repair_days: float, new_days: float, cost_per_day: float) -> WaitingCost:
    """What the difference of delivery times costs the machine's owner.

    cost = (longer − shorter) × cost per day

    Args:
        repair_days: days until the repaired cylinder is back.
        new_days: days until a new one is there.
        cost_per_day: what a day without the machine costs.
    Raises:
        Refusal: when a value is negative.

    >>> waiting_cost(repair_days=10, new_days=45, cost_per_day=800)
    WaitingCost(on_repair=0.0, on_new=28000)
    """
    require_not_negative(repair_days=repair_days, new_days=new_days, cost_per_day=cost_per_day)
    difference = (new_days - repair_days) * cost_per_day
    return WaitingCost(on_repair=max(0.0, -difference), on_new=max(0.0, difference))


def expected_failure_cost(*, failures: Sequence[float], failure_cost: float, rate: float) -> float:
    """The value today of failures that may happen.

    Σ p_t C / (1 + i)^t

    Args:
        failures: chance of a failure in year 1, 2, …, each from 0 to 1.
        failure_cost: what one failure costs, at that year's end.
        rate: interest a year as a fraction.
    Raises:
        Refusal: when a chance is not from 0 to 1, the cost negative or the rate not from 0 to 1.
    Source: expected-value

    >>> expected_failure_cost(failures=[0.25], failure_cost=3000, rate=0.08)
    694.44
    """
    require_not_negative(failure_cost=failure_cost)
    for chance in failures:
        if not 0 <= chance <= 1:
            raise Refusal(f"A chance of failure is {chance:g}; it must lie from 0 to 1.")
    return present_value([0, *(chance * failure_cost for chance in failures)], rate=rate)


def annual_cost_of(way: Way, *, rate: float) -> float:
    """The even yearly cost of one way, expected failures included.

    EAC = annual cost of P + present value of expected failures

    Args:
        way: the way.
        rate: interest a year as a fraction.
    Raises:
        Refusal: when failures are given for more years than it serves, or a value is out of range.
    Source: engineering-economics, expected-value

    >>> repair = Way("repair", cost=1400, years=3, failures=(0.25,), failure_cost=3000)
    >>> annual_cost_of(repair, rate=0.08)
    812.72
    """
    if len(way.failures) > way.years:
        raise Refusal(f"{way.name}: failures are given for {len(way.failures)} years; it serves {way.years}.")
    risk = expected_failure_cost(failures=way.failures, failure_cost=way.failure_cost, rate=rate)
    return annual_cost(
        cost=way.cost + risk, salvage=way.salvage, yearly_cost=way.yearly_cost, rate=rate, years=way.years
    )


def compare(ways: Sequence[Way], *, rate: float) -> Comparison:
    """Ways of different lives by their even yearly cost, cheapest first.

    Args:
        ways: two or more ways.
        rate: interest a year as a fraction.
    Raises:
        Refusal: when there are fewer than two, or a value is out of range.
    Valid: the need goes on and each way repeats at its cost.
    Source: engineering-economics

    >>> meters = [Way("new", cost=36, years=12), Way("repair", cost=24, years=8)]
    >>> compare(meters, rate=0.05).annual_costs   # 4.061715 and 3.713324 printed
    (('repair', 3.7133), ('new', 4.0617))
    """
    if len(ways) < 2:
        raise Refusal(f"{len(ways)} way given; a comparison needs at least two.")
    costs = sorted(((way.name, annual_cost_of(way, rate=rate)) for way in ways), key=lambda named: named[1])
    return Comparison(tuple(costs), costs[1][1] - costs[0][1])


def break_even_failure_chance(*, repair: Way, new: Way, rate: float) -> float:
    """The chance of the repair failing in its first year at which repair and new cost the same a year.

    p* = (EAC_new − EAC_repair without failures) (1 + i) / [(A/P, i, n) C]

    Args:
        repair: the repair; its `failure_cost` is C, its `failures` are left aside.
        new: the new cylinder.
        rate: interest a year as a fraction.
    Returns: the chance; below 0 new is cheaper even if the repair never fails, above 1 repair is cheaper even
        if it fails for certain.
    Raises:
        Refusal: when the repair's failure cost is not positive, or a value is out of range.
    Source: engineering-economics, expected-value

    >>> repair = Way("repair", cost=1400, years=3, failure_cost=3000)
    >>> break_even_failure_chance(repair=repair, new=Way("new", cost=4200, years=8), rate=0.08)
    0.1741
    """
    require_positive(failure_cost=repair.failure_cost)
    sure = Way(repair.name, repair.cost, repair.years, repair.salvage, repair.yearly_cost)
    gap = annual_cost_of(new, rate=rate) - annual_cost_of(sure, rate=rate)
    per_year = capital_recovery_factor(rate=rate, years=repair.years)
    return gap * (1 + rate) / (per_year * repair.failure_cost)
