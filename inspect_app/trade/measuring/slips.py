"""What a slipping thumb or a wrong unit makes of a number, undone; knows nothing of what is likely."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Context, Decimal
from itertools import permutations

from inspect_app.trade.measuring.units import EXACT, KINDS, Unit

Slip = tuple[Decimal, str]

_MIXED_UP = {
    "length": ("mm", "in", "thou"),
    "deviation": ("mm", "in", "thou"),
    "pressure": ("bar", "psi", "MPa"),
}
# Nobody keys more; a number with more comes from a conversion, so it was not keyed in that unit.
_MOST_DECIMALS = 5
_KEYED_DIGITS = Context(prec=15)


def decimals_of(number: Decimal) -> int:
    """How many decimals a number needs.

    Args:
        number: a finite number.

    >>> decimals_of(Decimal("63.470")), decimals_of(Decimal("500"))
    (2, 0)
    """
    return max(0, -int(number.normalize(EXACT).as_tuple().exponent))


def keyed_number(value: Decimal, unit: Unit) -> Decimal | None:
    """The number as it may have been keyed in a unit; None when it has too many decimals for that.

    Args:
        value: canonical value.
        unit: the unit it may have been keyed in.

    >>> length = KINDS["length"].units
    >>> keyed_number(Decimal("63.5"), length["in"]), keyed_number(Decimal("63.47"), length["in"])
    (Decimal('2.5'), None)
    """
    number = unit.number(value)
    if decimals_of(number) > _MOST_DECIMALS:
        # psi and °F come back from their rounded canonical value a hair beside what was keyed
        plain = _KEYED_DIGITS.plus(number).normalize(_KEYED_DIGITS)
        hair = EXACT.subtract(plain, number).copy_abs()
        number = EXACT.add(plain, 0) if hair <= number.copy_abs().scaleb(-20) else number
    return number if decimals_of(number) <= _MOST_DECIMALS else None


def scale_slips(value: Decimal, *, kind: str) -> Iterator[Slip]:
    """What was meant if the decimal point slipped by up to four places or another unit was keyed.

    Args:
        value: the reading, canonical unit.
        kind: a name in KINDS.
    Source: plausible-bands

    >>> [meant for meant, why in scale_slips(Decimal("2.5"), kind="length") if why == "in keyed as mm"]
    [Decimal('63.50')]
    """
    for power in (1, -1, 2, -2, 3, -3, 4, -4):
        yield EXACT.add(value.scaleb(power, EXACT), 0), "decimal point"
    row = KINDS[kind]
    names = _MIXED_UP.get(kind, (row.metric_unit, row.inch_unit))
    mixed = {unit.name: unit for unit in row.units.values() if unit.name in names}
    for keyed, meant in permutations(mixed.values(), 2):
        number = keyed_number(value, keyed)
        if number is not None:
            yield meant.canonical(number), f"{meant.name} keyed as {keyed.name}"


def digit_slips(value: Decimal, *, kind: str) -> Iterator[Slip]:
    """What was meant if two digits were exchanged or one was keyed too many, in either system.

    Args:
        value: the reading, canonical unit.
        kind: a name in KINDS.
    Source: plausible-bands

    >>> Decimal("63.47") in [meant for meant, why in digit_slips(Decimal("64.37"), kind="length")]
    True
    """
    for system in ("metric", "inch"):
        unit = KINDS[kind].shown(system)[0]
        number = keyed_number(value, unit)
        digits = "" if number is None else f"{number.copy_abs():f}"
        for at, sign in enumerate(digits):
            if sign == ".":
                continue
            rest = digits[:at] + digits[at + 1 :]
            yield unit.canonical(Decimal("0" + rest).copy_sign(value)), "a digit too many"
            if exchanged := _exchanged(digits, at):
                yield unit.canonical(Decimal(exchanged).copy_sign(value)), "digits swapped"


def _exchanged(digits: str, at: int) -> str:
    """The digit at a place exchanged with the next one, the decimal point keeping its place; "" if none."""
    after = at + 2 if digits[at + 1 : at + 2] == "." else at + 1
    if after >= len(digits) or digits[at] == digits[after]:
        return ""
    return digits[:at] + digits[after] + digits[at + 1 : after] + digits[at] + digits[after + 1 :]


def part_slips(value: Decimal, *, expected: Decimal) -> Iterator[Slip]:
    """What was meant if only a deviation was keyed, without its sign, or only the last digits of a size.

    Args:
        value: the reading, canonical unit.
        expected: nominal or usual size, canonical unit.
    Source: plausible-bands

    >>> list(part_slips(Decimal("3.47"), expected=Decimal(63)))
    [(Decimal('63.47'), 'leading digits left out'), (Decimal('103.47'), 'leading digits left out')]
    """
    if value < 1:
        yield EXACT.add(expected, value), "sign of a deviation left out"
    for power in (1, 10, 100):
        if 0 <= value < power:
            left_out = round((expected - value) / power) * power
            yield EXACT.add(left_out, value), "leading digits left out"


def deviation_slips(value: Decimal, *, nominal: Decimal) -> Iterator[Slip]:
    """What was meant if a deviation from nominal was keyed out by ten or with the wrong sign.

    Args:
        value: the reading, canonical unit.
        nominal: the size the deviation is counted from, canonical unit.
    Source: plausible-bands

    >>> [str(meant) for meant, why in deviation_slips(Decimal("63.3"), nominal=Decimal(63))]
    ['66', '63.03', '62.7']
    """
    away = EXACT.subtract(value, nominal)
    for power in (1, -1):
        yield EXACT.add(nominal, away.scaleb(power)), "decimal point"
    yield EXACT.subtract(nominal, away), "sign of a deviation"
