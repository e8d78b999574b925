"""What was typed for a calculator's keys becomes values, or a sentence says what is needed."""

from __future__ import annotations

import difflib
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from inspect_app.calculators.measures import is_bare, read_measure
from inspect_app.calculators.shape import Calculator, Given, Key, Value
from inspect_app.tables.standards.handbook import Handbook
from inspect_app.trade.measuring.refusal import Refusal

LONGEST_TEXT = 60
MOST_IN_A_LIST = 400
_TORN_OFF = re.compile(r"0\d")
"""An item of a list that can only be the tail of a number with a decimal comma."""


@dataclass(frozen=True, slots=True)
class Understood:
    """One key as typed and as understood; `assumed` where its default was taken."""

    key: Key
    typed: str
    value: Value
    assumed: bool


def pairs(arguments: Sequence[str]) -> dict[str, str]:
    """What was typed by key, from words like ``bore=100mm``.

    Args:
        arguments: the words.
    Raises:
        Refusal: a word without =, or a key given twice.

    >>> pairs(["class=f7", "size = 63 mm"])
    {'class': 'f7', 'size': '63 mm'}
    """
    typed: dict[str, str] = {}
    for argument in arguments:
        name, equals, text = (part.strip() for part in argument.partition("="))
        if not equals or not name or not text:
            raise Refusal(f"{argument[:LONGEST_TEXT]!r} is not written as key=value, such as bore=100mm.")
        if name in typed:
            raise Refusal(f"{name} is given twice; give it once.")
        typed[name] = text
    return typed


def understand(
    calculator: Calculator, typed: Mapping[str, str], *, systems: Mapping[str, str], handbook: Handbook
) -> tuple[Understood, ...]:
    """Every key of a calculator that was given or has a default, in the calculator's order.

    Args:
        calculator: whose keys.
        typed: what was typed, by key.
        systems: "metric" or "inch" by key, for numbers typed without a unit; "" for all others.
        handbook: for choices that are rows of a table.
    Raises:
        Refusal: an unknown key, one that is missing, or a value that cannot be read.
    """
    typed = {name: text for name, text in typed.items() if text.strip()}
    for name in typed:
        if calculator.key(name) is None:
            raise Refusal(_unknown_key(calculator, name))
    if missing := missing_keys(calculator, typed):
        raise Refusal(_missing_keys(calculator, missing, typed))
    for names in calculator.either:
        given = [name for name in names if name in typed]
        if len(given) > 1:
            raise Refusal(f"Give {' or '.join(given)}, not both: one follows from the other.")
    understood = []
    for key in calculator.keys:
        text = typed.get(key.name, key.default)
        if text:
            system = systems.get(key.name, systems.get("", "metric")) if key.name in typed else "metric"
            value = _value(key, text, system, handbook)
            understood.append(Understood(key, text, value, key.name not in typed))
    return tuple(understood)


def given(understood: Sequence[Understood]) -> Given:
    """The values alone."""
    return Given({one.key.name: one.value for one in understood})


def missing_keys(calculator: Calculator, typed: Mapping[str, str]) -> tuple[str, ...]:
    """What is still needed before anything can be computed; alternatives as one, ``outside or wall``."""
    return tuple(
        needed for needed in calculator.needed() if not any(name in typed for name in needed.split(" or "))
    )


def _unknown_key(calculator: Calculator, name: str) -> str:
    names = [key.name for key in calculator.keys]
    alike = difflib.get_close_matches(name, names, n=1)
    meant = f" Did you mean {alike[0]}?" if alike else ""
    return f"{calculator.name} has no key {name!r}; it takes {', '.join(names)}.{meant}"


def _missing_keys(calculator: Calculator, missing: tuple[str, ...], typed: Mapping[str, str]) -> str:
    given = f" besides {', '.join(typed)}" if typed else ""
    return f"{calculator.name} needs {', '.join(missing)}{given}. For example: {example_line(calculator)}"


def example_line(calculator: Calculator) -> str:
    """The calculator's example as it is typed in a shell."""
    pairs = (f"{name}={text}" for name, text in calculator.example.items())
    return " ".join(
        ["inspect-app calc", calculator.name, *(f"'{p}'" if set(p) & set(" ;\"'") else p for p in pairs)]
    )


def _value(key: Key, text: str, system: str, handbook: Handbook) -> Value:
    try:
        if key.kind == "choice":
            return _choice(text, key.choices(handbook))
        if key.kind == "text":
            return _text(text)
        if key.many:
            return _list(key, text, system)
        return read_measure(text, measure=key.kind, system=system).value
    except Refusal as refusal:
        raise Refusal("{key}: {refusal}", key=key.name, refusal=refusal.sentence) from None


def _text(text: str) -> str:
    if len(text) > LONGEST_TEXT:
        raise Refusal(f"it has {len(text)} characters; {LONGEST_TEXT} at most.")
    return text.strip()


def _choice(text: str, allowed: tuple[str, ...]) -> str:
    for option in allowed:
        if option.casefold() == text.strip().casefold():
            return option
    raise Refusal(f"{text[:LONGEST_TEXT]!r} is not one of {', '.join(allowed)}.")


def _list(key: Key, text: str, system: str) -> tuple[Decimal, ...]:
    """Items apart by ; or by a comma, which is why a decimal comma needs the ; between items."""
    items = [item.strip() for item in text.split(";" if ";" in text else ",") if item.strip()]
    if len(items) > MOST_IN_A_LIST:
        raise Refusal(f"{len(items)} items were given; {MOST_IN_A_LIST} at most.")
    if torn := next((item for item in items if _TORN_OFF.match(item)), ""):
        raise Refusal(f"{torn!r} begins with 0; where commas are decimal, put ; between the items.")
    bare = [item for item in items if is_bare(item)]
    unit = ""
    if 0 < len(bare) < len(items):
        if bare != items[:-1]:
            raise Refusal("some items have a unit and some have none; write it behind each or only the last.")
        unit = read_measure(items[-1], measure=key.kind, system=system).typed_unit
    return tuple(
        read_measure(f"{item} {unit}" if is_bare(item) else item, measure=key.kind, system=system).value
        for item in items
    )
