"""A measured value with its uncertainty, both to as many digits as mean something; the one rule for all of them."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_DOWN, ROUND_HALF_EVEN, Decimal

from inspect_app.trade.measuring.units import DIFFERENCE, EXACT, KINDS

_DIGITS = 2
_LOSES = Decimal("0.01")
"""An uncertainty is rounded up where it would lose more than this share of itself."""


def to_match(value: Decimal, uncertainty: Decimal, kind: str, system: str) -> tuple[str, str, str]:
    """A value and its expanded uncertainty as they are printed: U to two digits at most, the value to the same place.

    Never finer than the kind is shown anyway, unless nothing would be left of U. Rounded up where more than a
    hundredth of U would be lost, else to the nearest.

    Args:
        value: canonical value.
        uncertainty: expanded uncertainty (k = 2), canonical unit; 0 where none is stated.
        kind: the quantity's kind.
        system: "metric" or "inch".
    Returns: the value, U ("" where it is 0), and the unit.
    Source: gum

    >>> to_match(Decimal("89.957"), Decimal("0.0058"), "length", "metric")
    ('89.957', '0.006', 'mm')
    >>> to_match(Decimal("12.0"), Decimal("2.46"), "thickness", "metric")
    ('12.0', '2.5', 'µm')
    """
    unit, usual = KINDS[kind].shown(system)
    # of a temperature the uncertainty is a difference: it has no zero of its own
    u_unit = (DIFFERENCE if kind == "temperature" else KINDS[kind]).shown(system)[0]
    number, u = unit.number(value), u_unit.number(uncertainty)
    if u == 0:
        return f"{EXACT.add(number.quantize(Decimal(1).scaleb(-usual), context=EXACT), 0):f}", "", unit.name
    first = -u.adjusted()
    place = Decimal(1).scaleb(-max(min(first + _DIGITS - 1, usual), first))
    rounded = u.quantize(place, rounding=ROUND_DOWN, context=EXACT)
    if u - rounded > _LOSES * u:
        rounded += place
    shown = number.quantize(place, rounding=ROUND_HALF_EVEN, context=EXACT)
    return f"{EXACT.add(shown, 0):f}", f"{rounded:f}", unit.name


@dataclass(frozen=True, slots=True)
class WithU:
    """A canonical value and its expanded uncertainty (k = 2) as they stand in a sentence, both to the same place."""

    value: Decimal
    uncertainty: Decimal
    kind: str

    def words(self, system: str) -> str:
        """Value, U and unit; `system` is "metric" or "inch".

        Source: gum

        >>> WithU(Decimal("0.025"), Decimal("0.010"), "deviation").words("metric")
        '0.025 ± 0.010 mm'
        """
        number, its, unit = to_match(self.value, self.uncertainty, self.kind, system)
        return " ".join(w for w in (number, f"± {its}" if its else "", unit) if w)


def uncertainty_text(uncertainty: Decimal, kind: str, system: str) -> str:
    """An expanded uncertainty alone, as `to_match` prints it, with its unit.

    Args:
        uncertainty: expanded uncertainty (k = 2), canonical unit.
        kind: the quantity's kind.
        system: "metric" or "inch".
    Source: gum

    >>> uncertainty_text(Decimal("0.0206"), "length", "metric"), uncertainty_text(Decimal("0.0058"), "length", "inch")
    ('0.021 mm', '0.0003 in')
    """
    _, u, unit = to_match(Decimal(0), uncertainty, kind, system)
    return f"{u or '0'} {unit}".rstrip()
