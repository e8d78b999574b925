"""A quantity as somebody reads it: in a unit of its size, and the same in the other system of units."""

from __future__ import annotations

from decimal import Decimal

from inspect_app.trade.measuring import quantities
from inspect_app.trade.measuring.amounts import Amount
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.units import EXACT, KINDS, unit_key

_LARGER = {
    # from this canonical value on a larger unit reads better
    ("volume", "metric"): ((Decimal(1000), "l"),),
    ("volume", "inch"): ((Decimal("3785.411784"), "US gal"),),
    ("time", "metric"): ((Decimal(7200), "h"), (Decimal(120), "min")),
    ("time", "inch"): ((Decimal(7200), "h"), (Decimal(120), "min")),
}
_INCH = frozenset(
    (
        "in", "thou", "µin", "ft", "psi", "ksi", "°F", "lbf·ft", "lbf·in", "lbf", "lb", "in³", "US gal", "UK gal",
        "US qt", "US fl oz", "in³/min", "US gpm", "UK gpm", "in/min", "in/s", "ft/min", "in²", "in/ft", "ft·lbf",
    )
)  # fmt: skip
"""The names of the units a reader of inches expects; those both read, as seconds, are told by the kind's own."""

_FIGURES = 4
_SIGNS = "°'\"%\u2032\u2033\u201c\u201d\u2018\u2019"
"""What may be a unit beside letters."""


def sensible(value: Decimal, kind: str, system: str) -> str:
    """A value in a unit of its size; in a larger one than its kind's usual to four figures.

    Args:
        value: canonical value.
        kind: a name in KINDS.
        system: "metric" or "inch".
    Raises:
        Refusal: an unknown kind or system.
    Source: nist-sp-811

    >>> sensible(Decimal(60000), "volume", "metric"), sensible(Decimal(60000), "volume", "inch")
    ('60 l', '15.85 US gal')
    >>> sensible(Decimal(300), "time", "metric"), sensible(Decimal(90), "time", "metric")
    ('5 min', '90 s')
    """
    larger = _LARGER.get((kind, system), ())
    name = next((name for least, name in larger if abs(value) >= least), "")
    if not name:
        return Amount(value, kind).words(system)
    unit = KINDS[kind].units[unit_key(name)]
    number = EXACT.add(unit.number(value), 0)
    decimals = max(0, _FIGURES - 1 - number.adjusted())
    text = f"{number.quantize(Decimal(1).scaleb(-decimals), context=EXACT):f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return f"{text} {unit.name}"


def unit_typed(text: str, kind: str) -> str | None:
    """The name of the unit that was typed behind a number, "" for none; None where it cannot be read.

    Args:
        text: as it was typed.
        kind: a name in KINDS.
    Source: nist-sp-811

    >>> unit_typed("2 1/2 inches", "length"), unit_typed("60", "volume")
    ('in', '')
    """
    if not any(sign.isalpha() or sign in _SIGNS for sign in text):
        return ""
    try:
        return quantities.read(text, kind=kind).typed_unit
    except Refusal:
        return None


def is_of(unit: str, kind: str, system: str) -> bool:
    """Whether a reader of this system reads a unit without another beside it.

    Args:
        unit: the unit's name.
        kind: a name in KINDS.
        system: "metric" or "inch".
    Raises:
        Refusal: an unknown system.
    Source: nist-sp-811

    >>> is_of("l", "volume", "metric"), is_of("in", "length", "metric"), is_of("min", "time", "inch")
    (True, False, True)
    """
    row = KINDS[kind]
    return row.metric_unit == row.inch_unit or (unit in _INCH) == (row.shown(system)[0].name in _INCH)


def both_ways(text: str, value: Decimal, kind: str, system: str) -> str:
    """What was typed, and the same as a reader of the other system has it; "" where that says nothing more.

    Args:
        text: as it was typed.
        value: what it was understood as, canonical.
        kind: a name in KINDS.
        system: "metric" or "inch": the reader's.
    Raises:
        Refusal: an unknown kind or system.
    Source: nist-sp-811

    >>> both_ways("60 l", Decimal(60000), "volume", "metric"), both_ways("300", Decimal(300), "time", "inch")
    ('60 l = 15.85 US gal', '300 s = 5 min')
    """
    plain, row = Amount(value, kind).words(system), KINDS[kind]
    own, other = (
        sensible(value, kind, system),
        sensible(value, kind, "inch" if system == "metric" else "metric"),
    )
    unit = unit_typed(text, kind)
    if row.metric_unit == row.inch_unit and own == plain:
        return ""
    said = text if unit else plain
    if unit and not is_of(unit, kind, system):
        return f"{said} = {own}"
    same = (said, own) if other == own else (said, other)
    return " = ".join(dict.fromkeys(same)) if len(set(same)) > 1 else ""
