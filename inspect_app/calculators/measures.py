"""How calculators read and show a quantity: the bench's kinds, and a few of them in a handier unit."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from decimal import ROUND_HALF_EVEN, Decimal

from inspect_app.trade.measuring import quantities
from inspect_app.trade.measuring.quantities import Quantity
from inspect_app.trade.measuring.units import DIFFERENCE, EXACT, KINDS, Kind, Unit, unit_key

_ONE = Decimal(1)
_HP_KW = Decimal("0.74569987158227022")  # 550 ft·lbf/s

MEASURES: Mapping[str, Kind] = {
    **KINDS,
    "fine length": replace(
        KINDS["deviation"], metric_unit="µm", metric_decimals=1, inch_unit="thou", inch_decimals=2
    ),
    "height": replace(
        KINDS["deviation"], metric_unit="µm", metric_decimals=2, inch_unit="µin", inch_decimals=0
    ),
    "pump flow": replace(KINDS["flow"], metric_unit="l/min", inch_unit="US gpm", inch_decimals=1),
    "rod speed": replace(
        KINDS["speed"], metric_unit="mm/s", metric_decimals=1, inch_unit="in/s", inch_decimals=2
    ),
    "oil volume": replace(KINDS["volume"], metric_unit="l", metric_decimals=2, inch_decimals=1),
    "minutes": replace(KINDS["time"], metric_unit="min", inch_unit="min"),
    "hours": replace(KINDS["time"], metric_unit="h", inch_unit="h"),
    "temperature difference": DIFFERENCE,
    "slope": Kind(
        "a slope", "mm/m", "mm/m", 3, "in/ft", 4, True,
        {"mm/m": Unit("mm/m", _ONE), "in/ft": Unit("in/ft", Decimal(1000), Decimal(12))},
    ),
    "power": Kind(
        "power", "kW", "kW", 2, "hp", 2, False, {"kw": Unit("kW", _ONE), "hp": Unit("hp", _HP_KW)}
    ),
    "inertia": Kind("second moment of area", "mm4", "mm4", 0, "mm4", 0, False, {"mm4": Unit("mm4", _ONE)}),
}  # fmt: skip
"""Kinds a key or a result may have. Those beyond KINDS only choose another unit for a bare number."""

_LEAST_FIGURES = 3
_MORE_DECIMALS = 4
_MOST_WRITTEN = 5
_ROUNDING_STEP = 12
_UNIT_SIGNS = "\"'°%′″"


def read_measure(text: str, *, measure: str, system: str) -> Quantity:
    """Understand what was typed for a key; a bare number has the unit the measure is shown in.

    Args:
        text: what was typed.
        measure: a name in MEASURES that is based on one of KINDS.
        system: "metric" or "inch".
    Raises:
        Refusal: as `quantities.read`.

    >>> read_measure("40", measure="pump flow", system="metric").value   # litres, where a leak is in ml
    Decimal('40000')
    >>> read_measure("18 °F", measure="temperature difference", system="metric").value == 10
    True
    """
    kind = MEASURES[measure]
    if measure not in KINDS and is_bare(text):
        text = f"{text} {kind.shown(system)[0].name}"
    read = quantities.read(text, kind=kind.name, system=system)
    unit = unit_key(read.typed_unit)
    if kind.units is KINDS[kind.name].units:
        return read
    number = KINDS[kind.name].units[unit].number(read.value)
    return replace(read, value=round(kind.units[unit].canonical(number), _ROUNDING_STEP))


def is_bare(text: str) -> bool:
    """Whether a number was typed without a unit.

    Args:
        text: what was typed.

    >>> is_bare("2 1/2"), is_bare("244 in3"), is_bare('2.5"')
    (True, False, False)
    """
    return not any(c.isalpha() or c in _UNIT_SIGNS for c in text)


def unit_of(measure: str, system: str) -> str:
    """The unit a bare number is read in, and a value shown in.

    Args:
        measure: a name in MEASURES.
        system: "metric" or "inch".

    >>> unit_of("rod speed", "inch")
    'in/s'
    """
    return MEASURES[measure].shown(system)[0].name


def show_measure(value: Decimal | float | int, *, measure: str, system: str) -> tuple[str, str]:
    """A canonical value as number and unit, with at least three figures that mean something.

    Args:
        value: canonical value.
        measure: a name in MEASURES.
        system: "metric" or "inch".

    >>> show_measure(0.2857142857, measure="flow", system="metric")
    ('0.286', 'ml/min')
    >>> show_measure(Decimal("62.9905"), measure="length", system="metric")
    ('62.9905', 'mm')
    """
    unit, usual = MEASURES[measure].shown(system)
    exact = value if isinstance(value, Decimal) else Decimal(f"{value:.12g}")
    number = EXACT.add(unit.number(exact), 0)
    decimals = usual
    if isinstance(value, Decimal) and (written := _written_decimals(number)) is not None:
        decimals = written if measure == "number" else max(usual, written)
    elif number and measure != "count":
        decimals = min(max(usual, _LEAST_FIGURES - 1 - number.adjusted()), usual + _MORE_DECIMALS)
    rounded = _rounded(number, decimals) or _rounded(number, usual)
    return f"{EXACT.add(rounded, 0):f}", unit.name


def _rounded(number: Decimal, decimals: int) -> Decimal:
    return number.quantize(_ONE.scaleb(-decimals), rounding=ROUND_HALF_EVEN, context=EXACT)


def _written_decimals(number: Decimal) -> int | None:
    """The decimals of an exact number: half a micrometre of a standard is shown; None for what was divided."""
    written = max(0, -int(number.normalize().as_tuple().exponent)) if number else 0
    return written if written <= _MOST_WRITTEN else None
