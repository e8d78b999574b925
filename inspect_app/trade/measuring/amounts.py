"""A quantity as it stands in a sentence: kept in its canonical unit, said in the reader's, without idle digits."""

from __future__ import annotations

import math
from dataclasses import dataclass
from decimal import Decimal

from inspect_app.trade.measuring.refusal import Sentence
from inspect_app.trade.measuring.units import DIFFERENCE, EXACT, KINDS, RUNNING, Kind, Unit

_FIGURES = 3
_INCH_FINER = 2
_MOST_DECIMALS = 7
_ONE, _THOUSAND = Decimal(1), Decimal(1000)
_SAID: dict[str, Kind] = {**KINDS, "temperature difference": DIFFERENCE, "running speed": RUNNING}
# what an argument's name ends in, the kind that is, and how many canonical units it counts
_ENDINGS: dict[str, tuple[str, Decimal]] = {
    "ml_min": ("flow", _ONE),
    "l_min": ("flow", _THOUSAND),
    "percent": ("percent", _ONE),
    "mm2": ("area", _ONE),
    "mm3": ("volume", _ONE / _THOUSAND),
    "mpa": ("pressure", _ONE),
    "deg": ("angle", _ONE),
    "mm": ("length", _ONE),
    "um": ("thickness", _ONE),
    "uin": ("length", Decimal("0.0000254")),
    "nm": ("torque", _ONE),
    "ml": ("volume", _ONE),
    "kg": ("mass", _ONE),
    "n": ("force", _ONE),
    "c": ("temperature", _ONE),
    "l": ("volume", _THOUSAND),
}
_STRESSES = ("yield", "elastic", "modulus", "proof")


@dataclass(frozen=True, slots=True)
class Amount:
    """A canonical value and its kind, a name in KINDS, "temperature difference" or "running speed".

    Shown to the kind's usual decimals; a smaller value to the figures it was given with, three at most; without
    idle zeros. `finer` shows so many decimals more than usual, or fewer where it is negative.
    """

    value: Decimal | float
    kind: str
    finer: int = 0

    def words(self, system: str) -> str:
        """Number and unit; `system` is "metric" or "inch".

        Source: nist-sp-811

        >>> Amount(63.5, "length").words("inch"), Amount(0.00012, "length").words("metric")
        ('2.5 in', '0.00012 mm')
        >>> Amount(0.02, "length").words("inch")
        '0.0008 in'
        """
        figure, unit = self.figure(system)
        return figure + unit if unit in ("", "°") else f"{figure} {unit}"

    def figure(self, system: str) -> tuple[str, str]:
        """Number and unit apart; `system` is "metric" or "inch"."""
        if not math.isfinite(self.value):
            return str(self.value), ""
        unit, usual = _SAID[self.kind].shown(system)
        given = _exact(self.value)
        number = EXACT.add(unit.number(given), 0)
        figures = _figures(given, number) - 1 - number.adjusted() if number else 0
        decimals = max(0, usual + self.finer, min(figures, _MOST_DECIMALS))
        text = f"{number.quantize(Decimal(1).scaleb(-decimals), context=EXACT):f}"
        text = text.rstrip("0").rstrip(".") if "." in text else text
        return text, unit.name

    def __str__(self) -> str:
        return self.words("metric")


@dataclass(frozen=True, slots=True)
class Shown:
    """A canonical value rounded to its kind's usual decimals, idle zeros kept: as a gauge shows it, beside its limit.

    `decimals` are those of metric units instead; in inches a length has two more, as an inch is so much larger.
    `bare` leaves the unit out, where the next figure has it.
    """

    value: Decimal | float
    kind: str
    decimals: int | None = None
    bare: bool = False

    def words(self, system: str) -> str:
        """Number and unit; `system` is "metric" or "inch".

        Source: nist-sp-811

        >>> Shown(0.5, "length").words("metric"), Shown(0.254, "length", 2).words("inch")
        ('0.500 mm', '0.0100 in')
        """
        unit, decimals = _SAID[self.kind].shown(system)
        if self.decimals is not None:
            finer = _INCH_FINER if system == "inch" and self.kind in ("length", "thickness") else 0
            decimals = self.decimals + finer
        return _rounded(self.value, unit, decimals, self.bare)

    def __str__(self) -> str:
        return self.words("metric")


@dataclass(frozen=True, slots=True)
class Trimmed:
    """A canonical value to the decimals it needs, no more than its kind's usual: the number of a limit.

    `beside` is the other end of the range, said to as many decimals; `bare` leaves the unit out, as in `Shown`.
    """

    value: Decimal
    kind: str
    beside: Decimal | None = None
    bare: bool = False

    def words(self, system: str) -> str:
        """Number and unit; `system` is "metric" or "inch".

        Source: nist-sp-811

        >>> Trimmed(Decimal("12.700"), "length").words("metric"), Trimmed(Decimal(10), "length").words("inch")
        ('12.7 mm', '0.3937 in')
        >>> Trimmed(Decimal(70), "length", beside=Decimal("69.924"), bare=True).words("metric")
        '70.000'
        """
        ends = (self.value,) if self.beside is None else (self.value, self.beside)
        kind = _SAID[self.kind]
        decimals = max(kind.decimals_of(end, system) for end in ends)
        return _rounded(self.value, kind.shown(system)[0], decimals, self.bare)

    def __str__(self) -> str:
        return self.words("metric")


def _rounded(value: Decimal | float, unit: Unit, decimals: int, bare: bool) -> str:
    place = Decimal(1).scaleb(-decimals)
    figure = f"{EXACT.add(unit.number(_exact(value)).quantize(place, context=EXACT), 0):f}"
    return figure if bare or not unit.name else f"{figure}{'' if unit.name == '°' else ' '}{unit.name}"


def _figures(given: Decimal, number: Decimal) -> int:
    """How many figures a converted number deserves: as many as were given, one more unless its first is larger."""
    first, *_ = number.as_tuple().digits
    digits = given.as_tuple().digits
    return min(_FIGURES, len(digits) + (first <= digits[0]))


def _exact(value: Decimal | float) -> Decimal:
    return value if isinstance(value, Decimal) else Decimal(f"{value:.12g}")


@dataclass(frozen=True, slots=True)
class Amounts:
    """Values of one kind with their unit named once, behind the last: inside × section, from to."""

    values: tuple[Decimal | float, ...]
    kind: str
    between: str = " × "
    finer: int = 0

    def words(self, system: str) -> str:
        """Numbers and unit; `system` is "metric" or "inch".

        Source: nist-sp-811

        >>> Amounts((25.4, 5.08), "length").words("inch"), Amounts((4, 17), "length", " to ").words("metric")
        ('1 × 0.2 in', '4 to 17 mm')
        """
        *first, last = (Amount(value, self.kind, self.finer) for value in self.values)
        return self.between.join([*(amount.figure(system)[0] for amount in first), last.words(system)])

    def __str__(self) -> str:
        return self.words("metric")


def argument(name: str, value: float) -> Sentence:
    """An argument of a function by its name with unit, as the subject of a sentence: "bore is -3 mm".

    Args:
        name: its name, e.g. ``bore_mm`` or ``yield_share``.
        value: its value in that unit.

    >>> argument("bore_mm", -25.4).words("inch"), argument("yield_share", 2).words("inch")
    ('bore is -1 in', 'yield share is 2')
    """
    for ending, (kind, times) in _ENDINGS.items():
        if name.endswith(f"_{ending}") and "_per_" not in name:
            called = name.removesuffix(f"_{ending}")
            if kind == "pressure" and any(word in called for word in _STRESSES):
                kind = "stress"
            counted = Decimal(f"{value:.12g}") * times if math.isfinite(value) else value
            amount = Amount(counted, kind)
            return Sentence("{name} is {value}", {"name": called.replace("_", " "), "value": amount})
    return Sentence("{name} is {value}", {"name": name.replace("_", " "), "value": f"{value:g}"})
