"""The calculator of units: one quantity in every unit of its kind."""

from __future__ import annotations

from decimal import Decimal

from inspect_app.calculators.measures import is_bare
from inspect_app.calculators.shape import Calculator, Given, Key, Result
from inspect_app.tables.standards.handbook import Handbook
from inspect_app.trade.form.roundness import clock_to_deg
from inspect_app.trade.measuring.quantities import read
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.units import KINDS, Kind

TOPIC = "Units"
_FIGURES = 8


def _kinds(handbook: Handbook) -> tuple[str, ...]:
    return tuple(name for name, kind in KINDS.items() if len(_units(kind)) > 1)


def _units(kind: Kind) -> list[str]:
    return list(dict.fromkeys(unit.name for unit in kind.units.values() if unit.name))


def _convert(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    typed = given.text("value")
    if is_bare(typed):
        raise Refusal(f"{typed!r} has no unit; write it like 3600 psi or 2 1/2 in.")
    found = [given.text("kind")] if given.has("kind") else _kinds_of(typed, handbook)
    if len(found) > 1:
        raise Refusal(f"{typed!r} can be {' or '.join(found)}; say which with kind={found[0]}.")
    value = read(typed, kind=found[0]).value
    rows = _in_every_unit(value, KINDS[found[0]])
    return tuple(Result(name, name, f"{_plain(number)} {name}") for name, number in rows.items())


def _in_every_unit(value: Decimal, kind: Kind) -> dict[str, Decimal]:
    return {unit.name: unit.number(value) for unit in kind.units.values() if unit.name}


def _kinds_of(typed: str, handbook: Handbook) -> list[str]:
    """The kinds it may be; of those that come to the same figures, as an inch of length and of roughness, one."""
    found: dict[str, dict[str, Decimal]] = {}
    refusals = []
    for name in _kinds(handbook):
        try:
            rows = _in_every_unit(read(typed, kind=name).value, KINDS[name])
        except Refusal as refusal:
            refusals.append(str(refusal))
        else:
            if rows not in found.values():
                found[name] = rows
    if not found:
        # a unit of two countries is said where it belongs; every other kind only says that it is none of its own
        raise Refusal(next((says for says in refusals if "; write " in says), refusals[0]))
    return list(found)


def _plain(number: Decimal) -> str:
    """A number to eight figures, without a power of ten."""
    rounded = round(number, max(0, _FIGURES - 1 - number.adjusted())) if number else number
    text = f"{rounded:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def _clock(given: Given, handbook: Handbook) -> tuple[Result, ...]:
    return (Result("angle", "Angle clockwise from 12", clock_to_deg(given.exact("clock")), "angle"),)


CALCULATORS = (
    Calculator(
        "convert",
        TOPIC,
        "One quantity in every unit of its kind",
        (
            Key("value", "text", "Quantity with its unit", note="3600 psi, 2 1/2 in, 68 °F"),
            Key("kind", "choice", "Kind, where the unit may be two", optional=True, options=_kinds,
                note="lb is a force or a mass"),
        ),
        _convert,
        (read,),
        "number × factor of one unit / factor of the other; all factors exact",
        {"value": "3600psi"},
    ),
    Calculator(
        "clock",
        TOPIC,
        "Angle of a place given by the clock",
        (Key("clock", "number", "Clock, 12 up", note="halves and quarters allowed"),),
        _clock,
        (clock_to_deg,),
        "30° for each hour, clockwise from 12",
        {"clock": "1.5"},
    ),
)  # fmt: skip
