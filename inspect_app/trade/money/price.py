"""Prices in Decimal: hours, outside charges, markup, margin, tax and one rule of rounding; knows no price list.

The rule: every line is rounded to the smallest coin, half a coin away from zero; tax is reckoned once, on the
sum of the lines. Nothing else is rounded.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from inspect_app.trade.measuring.refusal import Refusal

ROUNDING = (
    "Each line is rounded to {coin}, half of it upwards; tax is reckoned once, on the sum of the lines."
)
"""The one rule of rounding, as every priced document says it."""

THOUSAND = 3
"""Digits between two marks in a long number."""


@dataclass(frozen=True, slots=True)
class Coin:
    """A currency, its smallest coin, and how its amounts are written."""

    currency: str
    smallest: Decimal = Decimal("0.01")
    decimal_mark: str = "."
    thousands_mark: str = " "
    currency_first: bool = True

    def __post_init__(self) -> None:
        if not self.smallest.is_finite() or self.smallest <= 0:
            raise Refusal(f"The smallest coin is {self.smallest}; it must be greater than 0.")

    @property
    def decimals(self) -> int:
        """How many digits stand behind the mark."""
        return max(0, -int(self.smallest.normalize().as_tuple().exponent))


@dataclass(frozen=True, slots=True)
class Total:
    """The sum of rounded lines, the tax on it, and both together."""

    net: Decimal
    tax: Decimal
    gross: Decimal


def rounded(amount: Decimal, coin: Coin) -> Decimal:
    """An amount to the smallest coin, half of it away from zero.

    Args:
        amount: the amount.
        coin: the currency.
    Raises:
        Refusal: when it is no finite number.

    >>> rounded(Decimal("1.4155"), Coin("XTS")), rounded(Decimal("-2.345"), Coin("XTS"))
    (Decimal('1.42'), Decimal('-2.35'))
    """
    if not amount.is_finite():
        raise Refusal(f"An amount is {amount}; give a finite number.")
    coins = (amount / coin.smallest).to_integral_value(ROUND_HALF_UP)
    return (coins * coin.smallest).quantize(Decimal(1).scaleb(-coin.decimals))


def labour(*, hours: Decimal, rate: Decimal) -> Decimal:
    """What hours of work cost.

    hours × rate

    Args:
        hours: hours of work.
        rate: price of an hour.
    Raises:
        Refusal: a negative value.

    >>> labour(hours=Decimal("2.5"), rate=Decimal("71.00"))
    Decimal('177.500')
    """
    _not_negative(hours=hours, rate=rate)
    return hours * rate


def outside_charge(*, set_up: Decimal, per_unit: Decimal, units: Decimal, least: Decimal) -> Decimal:
    """What somebody else charges: set-up and so much a unit, or the least charge.

    max(least, set-up + rate × units)

    Args:
        set_up: charged once.
        per_unit: charged a unit: dm² of 50 µm chrome, kg, cm of weld.
        units: how many units.
        least: the least that is charged.
    Raises:
        Refusal: a negative value.
    Source: chrome-pricing

    >>> outside_charge(set_up=Decimal(380), per_unit=Decimal("5.90"), units=Decimal(10), least=Decimal(450))
    Decimal('450')
    """
    _not_negative(set_up=set_up, per_unit=per_unit, units=units, least=least)
    return max(least, set_up + per_unit * units)


def marked_up(cost: Decimal, *, markup: Decimal) -> Decimal:
    """What is asked for something bought in: markup is a share of what it cost.

    cost × (1 + markup)

    Args:
        cost: what it cost.
        markup: a fraction, 0.15 for 15 %.
    Raises:
        Refusal: a negative value.

    >>> marked_up(Decimal(200), markup=Decimal("0.15"))
    Decimal('230.00')
    """
    _not_negative(cost=cost, markup=markup)
    return cost * (1 + markup)


def with_margin(cost: Decimal, *, margin: Decimal) -> Decimal:
    """What is asked for work: margin is a share of the price, not of the cost.

    cost / (1 − margin)

    Args:
        cost: what it costs the shop.
        margin: a fraction of the price below 1.
    Raises:
        Refusal: a negative value, or a margin of 1 and more.

    >>> with_margin(Decimal(80), margin=Decimal("0.36"))
    Decimal('125')
    """
    _not_negative(cost=cost, margin=margin)
    if margin >= 1:
        raise Refusal(f"The margin is {margin}; it is a share of the price and must be below 1.")
    return cost / (1 - margin)


def total(lines: Sequence[Decimal], *, tax: Decimal, coin: Coin) -> Total:
    """Net, tax and gross by the one rule: lines rounded, tax once on their sum.

    Args:
        lines: amounts of the lines, rounded here.
        tax: a fraction, 0.19 for 19 %.
        coin: the currency.
    Raises:
        Refusal: a negative tax, or a line that is no number.

    >>> total([Decimal("7.45")] * 3, tax=Decimal("0.19"), coin=Coin("XTS"))   # by line it would be 4.26
    Total(net=Decimal('22.35'), tax=Decimal('4.25'), gross=Decimal('26.60'))
    """
    _not_negative(tax=tax)
    net = sum((rounded(line, coin) for line in lines), Decimal(0))
    on_top = rounded(net * tax, coin)
    return Total(net, on_top, net + on_top)


def amount_text(amount: Decimal, coin: Coin) -> str:
    """An amount as it is written, to the smallest coin.

    Args:
        amount: the amount, rounded here.
        coin: the currency and its marks.

    >>> amount_text(Decimal("-12345.5"), Coin("XTS", decimal_mark=",", thousands_mark=".", currency_first=False))
    '-12.345,50 XTS'
    """
    sign, digits, _ = rounded(amount, coin).as_tuple()
    figures = "".join(map(str, digits)).rjust(coin.decimals + 1, "0")
    whole, part = (figures[: -coin.decimals], figures[-coin.decimals :]) if coin.decimals else (figures, "")
    groups: list[str] = []
    while len(whole) > THOUSAND:
        whole, last = whole[:-THOUSAND], whole[-THOUSAND:]
        groups.insert(0, last)
    number = coin.thousands_mark.join([whole, *groups]) + (coin.decimal_mark + part if part else "")
    number = ("-" if sign else "") + number
    return f"{coin.currency} {number}" if coin.currency_first else f"{number} {coin.currency}"


def _not_negative(**values: Decimal) -> None:
    for name, value in values.items():
        if not value.is_finite() or value < 0:
            raise Refusal(f"{name.replace('_', ' ')} is {value}; it must be a number and not negative.")
