"""The leading digits that stay the same from reading to reading, so that only the last ones need typing; pure.

Whoever types only the last digits must not thereby enter another number than the gauge shows. So digits stand
only where the last ones tell every likely reading from every other, and what is unlikely is not taken behind them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal

from inspect_app.trade.measuring.refusal import Refusal

LEAST_TYPED = 2
"""So many digits are typed at least: one alone would look like a number that is only begun."""


@dataclass(frozen=True, slots=True)
class Leading:
    """Digits that stand already, with their point, and how many are left to type behind them.

    `least` and `most` are the last digits of the likely readings that begin with these, so many as are left.
    """

    digits: str
    left: int
    least: str
    most: str

    @property
    def noughts(self) -> bool:
        """Whether none of them counts, so that a number of more digits may be a greater one."""
        return not self.digits.strip("0.")

    def takes(self, typed: str) -> bool:
        """Whether these digits can follow: a likely reading goes on with them.

        Args:
            typed: digits, none to all that are left to type.

        >>> stands = leading_digits(Decimal("7.9992"), Decimal("8.0079"), [Decimal("8.0042")], 4)
        >>> stands.takes("42"), stands.takes("7"), stands.takes("95")
        (True, True, False)
        """
        if not typed:
            return True
        reach = len(typed)
        digits = typed.isascii() and typed.isdigit()
        return digits and reach <= self.left and self.least[:reach] <= typed <= self.most[:reach]


def leading_digits(low: Decimal, high: Decimal, before: Sequence[Decimal], decimals: int) -> Leading | None:
    """The digits that the readings before share and that stand before the next is typed.

    They are as many as leave two to type, or more where two last digits would fit two likely readings:
    the likely ones lie closer together than one of the last digit that stands.

    Args:
        low: the least likely reading, in the unit it is typed in; above 0.
        high: the greatest.
        before: the readings so far, each likely itself.
        decimals: with how many decimals readings are typed.
    Returns: None where not even the digits before the point could stand.
    Raises:
        Refusal: when a number is not finite, low is not above 0, or a reading lies outside low to high.
    Valid: any size.

    >>> leading_digits(Decimal("7.9992"), Decimal("8.0079"), [Decimal("8.0042")], 4)
    Leading(digits='8.00', left=2, least='00', most='79')
    >>> leading_digits(Decimal("7.9992"), Decimal("8.0110"), [Decimal("8.0042")], 4)
    Leading(digits='8.0', left=3, least='000', most='110')
    >>> leading_digits(Decimal("7.9992"), Decimal("8.0079"), [Decimal("8.0042"), Decimal("7.9995")], 4) is None
    True
    """
    for number in (low, high, *before):
        if not number.is_finite() or number <= 0:
            raise Refusal(f"{number} is no reading of a size; it must be greater than 0.")
    if not before or not low <= min(before) <= max(before) <= high:
        raise Refusal(
            f"Readings lie between the likely ones, {low} and {high}; found {list(map(str, before))}."
        )
    scale = Decimal(1).scaleb(decimals)
    least = int((low * scale).to_integral_value(ROUND_FLOOR))
    most = int((high * scale).to_integral_value(ROUND_CEILING))
    for left in range(LEAST_TYPED, decimals + 1):
        step = 10**left
        first = {int(reading * scale) // step for reading in before}
        if most - least < step and len(first) == 1:
            return _standing(first.pop(), least, most, left, decimals)
    return None


def leading_noughts(before: Sequence[Decimal], decimals: int) -> Leading | None:
    """The noughts that stand before readings of which each may be any other: point and noughts, no digit that counts.

    They leave as many digits to type as the greatest reading so far has. Whatever is typed behind them is what the
    gauge shows; a greater number has more digits, and is asked about or typed whole.

    Args:
        before: the readings so far, in the unit they are typed in.
        decimals: with how many decimals readings are typed.
    Returns: None where no nought could stand, or a reading is below 0.
    Valid: any readings.

    >>> leading_noughts([Decimal("0.012"), Decimal("0.004")], 3)
    Leading(digits='0.0', left=2, least='00', most='99')
    >>> leading_noughts([Decimal("1.012")], 3) is None
    True
    """
    if not before or min(before) < 0:
        return None
    left = max(LEAST_TYPED, len(str(int(max(before).scaleb(decimals)))))
    if left > decimals:
        return None
    return Leading("0." + "0" * (decimals - left), left, "0" * left, "9" * left)


def _standing(first: int, least: int, most: int, left: int, decimals: int) -> Leading:
    """The leading digits as a number without its point, and the ends of what is likely, as they are typed."""
    base, step = first * 10**left, 10**left
    digits = f"{Decimal(base).scaleb(-decimals):.{decimals}f}"[:-left]
    ends = (max(least, base) - base, min(most, base + step - 1) - base)
    return Leading(digits, left, *(f"{end:0{left}d}" for end in ends))
