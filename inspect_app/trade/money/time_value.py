"""Amounts of different years made alike by interest: value today, even yearly cost; knows no cylinder and no price."""

from __future__ import annotations

from collections.abc import Sequence

from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.required import require_finite, require_not_negative, require_positive


def present_value(amounts: Sequence[float], *, rate: float) -> float:
    """The value today of amounts due at the end of year 0 (today), 1, 2, …

    PV = Σ A_t / (1 + i)^t

    Args:
        amounts: the amounts in order of years; costs positive or negative, as long as all are meant alike.
        rate: interest a year as a fraction; 0 adds plainly.
    Raises:
        Refusal: when an amount is not a number or the rate not from 0 to 1.
    Source: engineering-economics

    >>> present_value([0, 110, 121], rate=0.10)
    200.0
    """
    _require_rate(rate)
    for amount in amounts:
        require_finite(amount=amount)
    return sum(amount / (1 + rate) ** year for year, amount in enumerate(amounts))


def capital_recovery_factor(*, rate: float, years: int) -> float:
    """The yearly share that pays back one unit with interest: (A/P, i, n).

    i / (1 − (1 + i)^−n); 1/n at i = 0

    Args:
        rate: interest a year as a fraction, as literally agreed: 0.1667 is not 1/6.
        years: whole years, at least 1.
    Raises:
        Refusal: when the rate is not from 0 to 1 or there is no year.
    Source: engineering-economics

    >>> capital_recovery_factor(rate=0.15, years=5)   # tabulated 0.29832
    0.29832
    """
    _require_rate(rate)
    require_positive(years=years)
    return 1 / sum((1 + rate) ** -year for year in range(1, years + 1))


def annual_cost(*, cost: float, salvage: float, yearly_cost: float, rate: float, years: int) -> float:
    """The even yearly cost of buying today, running, and selling what is left: EAC.

    EAC = (P − S)(A/P, i, n) + S i + yearly

    Args:
        cost: price today P.
        salvage: what is left at the end S; negative where disposal costs.
        yearly_cost: running cost at each year's end; negative where it saves.
        rate: interest a year as a fraction.
        years: years of service.
    Raises:
        Refusal: when a value is not a number, the rate not from 0 to 1 or there is no year.
    Valid: lives that differ compare by EAC only if the need goes on and each way repeats at its cost.
    Source: engineering-economics

    >>> annual_cost(cost=30_000, salvage=2_000, yearly_cost=16_000, rate=0.15, years=12)   # 21 465.46 printed
    21465.46
    """
    require_finite(cost=cost, salvage=salvage, yearly_cost=yearly_cost)
    return (cost - salvage) * capital_recovery_factor(rate=rate, years=years) + salvage * rate + yearly_cost


def level_annual(yearly_amounts: Sequence[float], *, rate: float) -> float:
    """The even yearly amount worth the same as uneven ones at the end of year 1, 2, …: EUAC.

    EUAC = PV × (A/P, i, n)

    Args:
        yearly_amounts: amounts at the end of year 1, 2, …
        rate: interest a year as a fraction.
    Raises:
        Refusal: when there is no year, an amount is not a number or the rate not from 0 to 1.
    Source: engineering-economics

    >>> level_annual([21_460, 25_775, 30_665], rate=0.15)   # 25 539.84 printed
    25539.84
    """
    factor = capital_recovery_factor(rate=rate, years=len(yearly_amounts))
    return present_value([0, *yearly_amounts], rate=rate) * factor


def _require_rate(rate: float) -> None:
    require_not_negative(rate=rate)
    if rate >= 1:
        raise Refusal(f"rate is {rate:g}; give a fraction below 1, such as 0.08 for 8 %.")
