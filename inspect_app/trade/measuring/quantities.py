"""What a thumb types becomes an exact quantity and goes back to text; never guesses between two readings."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal, localcontext
from functools import cache
from typing import TYPE_CHECKING

from inspect_app.trade.measuring.amounts import Amount
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.units import EXACT, KINDS, ROUNDED, Kind, Unit, unit_key

if TYPE_CHECKING:
    import pint

__all__ = ["KINDS", "Kind", "Quantity", "exact", "read", "show", "show_text"]

LONGEST_TEXT = 40
_ONE = Decimal(1)
_NOTHING = Decimal(0)


@dataclass(frozen=True, slots=True)
class Quantity:
    """A reading as typed and as understood; `step` is the last place typed, in the canonical unit."""

    typed: str
    value: Decimal
    kind: str
    typed_unit: str
    step: Decimal


# Names a general unit library reads as something else than the bench means, or that two countries share.
_ASKED_BACK = {
    "mil", "mils", "ton", "tons", "gal", "gallon", "gallons", "gpm", "gph", "qt", "quart", "quarts", "pint",
    "pints", "oz", "pt", "px", "cp",
}  # fmt: skip
_COUNTRIES = ("us", "uk")
_WRITTEN_UNIT = re.compile(r"(?=.*[A-Za-z]{2})[A-Za-zµ·*/^ 23]{2,20}", re.ASCII)
_VULGAR = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}
# A vulgar fraction gets blanks round it: 2½ must never become 21/2.
_AS_TYPED = str.maketrans(
    {sign: f" {plain} " for sign, plain in _VULGAR.items()}
    | dict.fromkeys("\u2212\u2010\u2011\u2012\u2013\ufe63\uff0d", "-")
    | dict.fromkeys("\u00a0\u2002\u2003\u2007\u2008\u2009\u200a\u202f", " ")
    | dict.fromkeys("\u201c\u201d\u2033\u02ba", '"')
    | dict.fromkeys("\u2018\u2019\u2032\u02b9", "'")
    | dict.fromkeys("\u22c5\u2219\u2022", "·")
    | dict.fromkeys("\u00ba\u02da", "°")
    | {"\u03bc": "µ", "\u2044": "/", "\u2215": "/"}
)
_READING = re.compile(
    r"(?P<sign>[+-])? ?"
    r"(?:(?:(?P<whole>\d+)(?: +|-))?(?P<over>\d+) ?/ ?(?P<under>\d+)|(?P<decimal>\d*[.,]?\d+))"
    r"(?![\d.,/]) *(?P<unit>[^\d.,+ -].*)?",
    re.ASCII,
)
_TWO_MARKS = re.compile(r"[+-]? ?(\d+)((?:[.,]\d+){2,})", re.ASCII)
_GROUPS = re.compile(r"[+-]? ?(\d+(?:[.,]\d+)?) +(\d+)", re.ASCII)
_POWER_OF_TEN = re.compile(r"e[+·]?\d+", re.ASCII)


def read(text: str, *, kind: str, system: str = "metric", nominal: Decimal | None = None) -> Quantity:
    """Understand what was typed, exactly, or refuse with a sentence.

    value = (number - zero of the unit) x factor of the unit; a signed length = nominal + value

    Args:
        text: what was typed, e.g. ``63,47``, ``2 1/2 in``, ``+3 thou``.
        kind: a name in KINDS.
        system: "metric" or "inch": the unit of a number typed without one.
        nominal: canonical value (mm) from which a length typed with a sign is counted.
    Raises:
        Refusal: when the text is no number, could mean two numbers, or its unit is not one of this kind.
    Valid: up to 40 characters; a fraction has 2, 4, 8, 16, 32, 64 or 128 below the line.
    Source: nist-sp-811

    >>> read("1 15/16 in", kind="length").value
    Decimal('49.2125')
    """
    row = _kind(kind)
    if len(text) > LONGEST_TEXT:
        raise Refusal(f"{_echo(text)} has {len(text)} characters; a reading has {LONGEST_TEXT} at most.")
    plain = text.translate(_AS_TYPED).strip()
    found = _READING.fullmatch(plain)
    if found is None:
        raise Refusal(_why_unreadable(text, plain, row))
    sign, written = found["sign"], found["unit"]
    if found["over"] and not written and system == "metric" and row.metric_unit != row.inch_unit:
        raise Refusal(
            f"{_echo(text)} is a fraction without a unit; write {plain} {row.inch_unit}, or a decimal."
        )
    unit = _unit(written, row, text) if written else row.shown(system)[0]
    number, step = _fraction(found, text) if found["over"] else _decimal(found["decimal"])
    value = unit.canonical(number.copy_negate() if sign == "-" else number)
    if sign and kind == "length":
        value = _from_nominal(value, nominal, text)
    _check_sense(value, row, text)
    return Quantity(text, value, kind, unit.name, unit._replace(zero=_NOTHING).canonical(step))


def _kind(name: str) -> Kind:
    if name not in KINDS:
        raise Refusal(f"{name!r} is not a kind of quantity; use one of {', '.join(KINDS)}.")
    return KINDS[name]


def _decimal(digits: str) -> tuple[Decimal, Decimal]:
    number = Decimal(digits.replace(",", "."))
    return number, _ONE.scaleb(int(number.as_tuple().exponent))


def _fraction(found: re.Match[str], text: str) -> tuple[Decimal, Decimal]:
    over, under = int(found["over"]), int(found["under"])
    if under not in (2, 4, 8, 16, 32, 64, 128):
        raise Refusal(f"{_echo(text)} has {under} below the line; a rule has 2, 4, 8, 16, 32, 64 or 128.")
    part, step = EXACT.divide(over, under), EXACT.divide(1, under)
    if over >= under and found["whole"]:
        raise Refusal(f"{_echo(text)}: the fraction behind a whole number must be below 1, as in 2 1/2.")
    if over >= under and over > 9:
        raise Refusal(_lost_blank(text, found["over"], under, part))
    return EXACT.add(int(found["whole"] or 0), part), step


def _lost_blank(text: str, over: str, under: int, value: Decimal) -> str:
    splits = ((over[:cut], over[cut:]) for cut in range(1, len(over)))
    meant = [f"{whole} {rest}/{under}" for whole, rest in splits if 0 < int(rest) < under]
    readings = " or ".join([*meant, f"{value:f}"])
    return f"{_echo(text)} could be {readings}; write it with a blank or as a decimal."


def _from_nominal(deviation: Decimal, nominal: Decimal | None, text: str) -> Decimal:
    if nominal is None:
        raise Refusal(
            f"{_echo(text)} is counted from the nominal size, which is not known here; type the whole size."
        )
    return EXACT.add(nominal, deviation)


def _check_sense(value: Decimal, row: Kind, text: str) -> None:
    if value < 0 and not row.signed:
        raise Refusal(
            "{typed} comes to {value}; {kind} is never below 0.",
            typed=_echo(text),
            value=Amount(value, row.name),
            kind=row.name,
        )
    if row.name == "count" and value != value.to_integral_value():
        raise Refusal(f"{_echo(text)} is not a whole number; type a count as 0, 1, 2 ...")


def _unit(written: str, row: Kind, text: str) -> Unit:
    key = unit_key(written)
    if key and key in row.units:
        return row.units[key]
    allowed = list(dict.fromkeys(unit.name for unit in row.units.values() if unit.name))[:6]
    offer = f"use {', '.join(allowed)}." if allowed else "type the number alone."
    other = next((kind.name for kind in KINDS.values() if key and key in kind.units), None)
    if other:
        raise Refusal(f"{_echo(text)} is {other}, and {row.name} is asked for; {offer}")
    if _POWER_OF_TEN.fullmatch(key):
        raise Refusal(f"{_echo(text)} has a power of ten; write the number out in digits.")
    if _ASKED_BACK.intersection(re.split("[·/]", key)):
        meant = [row.units[k].name for k in (f"{country}·{key}" for country in _COUNTRIES) if k in row.units]
        which = f"write {' or '.join(meant)}." if meant else offer
        raise Refusal(f"{_echo(text)}: {key} means more than one thing; {which}")
    factor = _rare_factor(written, row)
    if factor is None:
        raise Refusal(f"{_echo(text)} has a unit that is not one of {row.name}; {offer}")
    return Unit(written.strip(), factor)


@cache
def _registry() -> pint.UnitRegistry[Decimal]:
    import pint

    return pint.UnitRegistry(non_int_type=Decimal)


_BASE = {"°": "degree", "mm²": "mm**2", "years": "year"}
# Absolute temperatures are no multiples, and a unit library takes any energy for a torque.
_OWN_UNITS_ONLY = {"", "%", "°C", "N·m"}
_PREFIXES = {"", "kilo", "centi", "milli", "micro", "mega"}


def _rare_factor(written: str, row: Kind) -> Decimal | None:
    """The factor of a unit outside the tables, or None when it is not one of this kind."""
    if row.canonical_unit in _OWN_UNITS_ONLY or not _WRITTEN_UNIT.fullmatch(written):
        return None
    import pint

    spelled = written.strip().replace("·", "*").replace("^", "**")
    try:
        with localcontext(ROUNDED):
            one = _registry().Quantity(_ONE, spelled)
            if any(_registry().parse_unit_name(name)[0][0] not in _PREFIXES for name, _ in one.unit_items()):
                return None
            return Decimal(one.to(_BASE.get(row.canonical_unit, row.canonical_unit)).magnitude)
    except (
        pint.PintError,
        ArithmeticError,
        AssertionError,
        AttributeError,
        TypeError,
        ValueError,
        SyntaxError,
    ):
        return None


def _why_unreadable(text: str, plain: str, row: Kind) -> str:
    if not plain:
        return "Nothing was typed, and empty is not zero; type the reading or skip the place with a reason."
    if marks := _TWO_MARKS.match(plain):
        first, rest = marks[1], re.sub("[.,]", "", marks[2])
        last = max(marks[2].rfind("."), marks[2].rfind(","))
        mixed = "." in marks[2] and "," in marks[2]
        digits = re.sub("[.,]", "", marks[2][:last]) + ("." if mixed else "") + marks[2][last + 1 :]
        return f"{_echo(text)} could mean {first}{digits} or {first}.{rest}; type one decimal mark only."
    if groups := _GROUPS.match(plain):
        first, rest = groups[1], groups[2]
        mark = "" if "." in first or "," in first else f" or {first}.{rest}"
        return f"{_echo(text)} has a blank inside the number: {first}{rest}{mark}? Type it without the blank."
    shown = " or ".join(dict.fromkeys(f"63.5 {unit}".strip() for unit in (row.metric_unit, row.inch_unit)))
    return f"{_echo(text)} is not a number; type {row.name} as {shown}."


def _echo(text: str) -> str:
    """The typed text, shortened, with only signs the phone's font has."""
    return (
        '"'
        + "".join(c if " " <= c <= "~" or "\xa1" <= c <= "\xff" else "?" for c in text[:LONGEST_TEXT])
        + '"'
    )


def show(value: Decimal, *, kind: str, system: str, decimals: int | None = None) -> tuple[str, str]:
    """A canonical value as number and unit for screen and paper, rounded half to even.

    Args:
        value: canonical value.
        kind: a name in KINDS.
        system: "metric" or "inch".
        decimals: decimals to show; None takes the kind's own.
    Returns: number and unit, e.g. ("2.5000", "in").
    Raises:
        Refusal: when the value is not finite or the kind or system is unknown.
    Source: nist-sp-811

    >>> show(Decimal("63.5"), kind="length", system="inch")
    ('2.5000', 'in')
    """
    if not value.is_finite():
        raise Refusal(f"{value} cannot be shown; give a finite number.")
    unit, usual = _kind(kind).shown(system)
    place = _ONE.scaleb(-(usual if decimals is None else decimals))
    return f"{EXACT.add(unit.number(value).quantize(place, context=EXACT), 0):f}", unit.name


def show_text(value: Decimal, *, kind: str, system: str, decimals: int | None = None) -> str:
    """A canonical value as one text, number and unit.

    Args:
        value: canonical value.
        kind: a name in KINDS.
        system: "metric" or "inch".
        decimals: decimals to show; None takes the kind's own.
    Raises:
        Refusal: when the value is not finite or the kind or system is unknown.
    Source: nist-sp-811

    >>> show_text(Decimal("63.47"), kind="length", system="metric")
    '63.470 mm'
    """
    number, unit = show(value, kind=kind, system=system, decimals=decimals)
    return number + unit if unit in ("", "°") else f"{number} {unit}"


def plain_text(value: Decimal, kind: str, system: str, finer: int = 0) -> str:
    """A number as a table or a nameplate has it, without zeros behind it.

    Args:
        value: canonical value.
        kind: a name in KINDS.
        system: "metric" or "inch".
        finer: how many decimals more than usual may be needed.

    >>> plain_text(Decimal("100.0"), "length", "metric"), plain_text(Decimal("0.005"), "length", "inch", 1)
    ('100 mm', '0.00020 in')
    """
    return show_text(value, kind=kind, system=system, decimals=_kind(kind).decimals_of(value, system, finer))


def exact(value: Decimal) -> str:
    """A value as plain text with every digit it has, for the log.

    Args:
        value: any finite value.
    Raises:
        Refusal: when the value is not finite.

    >>> exact(Decimal("1.50E+2")), exact(Decimal("63.470"))
    ('150', '63.470')
    """
    if not value.is_finite():
        raise Refusal(f"{value} cannot be kept; give a finite number.")
    return f"{value:f}"
