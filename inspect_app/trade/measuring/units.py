"""The units of the bench by kind of quantity, with exact factors; knows nothing of typed text or rounding."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from decimal import ROUND_HALF_EVEN, Context, Decimal
from typing import NamedTuple

from inspect_app.trade.measuring.refusal import Refusal

# Every factor that ends is applied without rounding (40 typed digits x 17 of a factor fit in 64);
# psi, °F and a unit per hour, which do not end, are rounded once, at the 28th digit.
EXACT = Context(prec=64, rounding=ROUND_HALF_EVEN)
ROUNDED = Context(prec=28, rounding=ROUND_HALF_EVEN)
_ONE = Decimal(1)
_NOTHING = Decimal(0)


_JOINERS = str.maketrans(dict.fromkeys(" -*.()", "·") | {"^": None, "²": "2", "³": "3"})


def unit_key(unit_text: str) -> str:
    """A unit's spelling as it is looked up: case, dots, hyphens and blanks make no difference.

    Args:
        unit_text: the unit as written.

    >>> unit_key("Lbf-ft"), unit_key("in.")
    ('lbf·ft', 'in')
    """
    return "·".join(part for part in unit_text.casefold().translate(_JOINERS).split("·") if part)


class Unit(NamedTuple):
    """One unit of a kind: canonical value = (number - zero) x times / per."""

    name: str
    times: Decimal
    per: Decimal = _ONE
    zero: Decimal = _NOTHING

    def canonical(self, number: Decimal) -> Decimal:
        """The canonical value of a number in this unit.

        Args:
            number: what stands before the unit.
        Source: nist-sp-811

        >>> KINDS["length"].units["in"].canonical(Decimal("2.5"))
        Decimal('63.50')
        """
        value = EXACT.multiply(EXACT.subtract(number, self.zero), self.times)
        return value if self.per == 1 else ROUNDED.divide(value, self.per)

    def number(self, value: Decimal) -> Decimal:
        """The number that stands before this unit for a canonical value, to 64 digits.

        Args:
            value: canonical value.
        Source: nist-sp-811

        >>> KINDS["length"].units["in"].number(Decimal("63.5"))
        Decimal('2.5')
        """
        return EXACT.add(EXACT.divide(EXACT.multiply(value, self.per), self.times), self.zero)


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of quantity: the unit it is kept in and how each system shows it."""

    name: str
    canonical_unit: str
    metric_unit: str
    metric_decimals: int
    inch_unit: str
    inch_decimals: int
    signed: bool
    units: Mapping[str, Unit] = field(repr=False, compare=False)

    def shown(self, system: str) -> tuple[Unit, int]:
        """The unit and the decimals in which this kind is shown.

        Args:
            system: "metric" or "inch".
        Raises:
            Refusal: when the system is neither.

        >>> KINDS["length"].shown("inch")[1]
        4
        """
        if system == "metric":
            return self.units[unit_key(self.metric_unit)], self.metric_decimals
        if system == "inch":
            return self.units[unit_key(self.inch_unit)], self.inch_decimals
        raise Refusal(f"The system of units is {system!r}; it must be metric or inch.")

    def decimals_of(self, value: Decimal, system: str, finer: int = 0) -> int:
        """How many decimals a value needs, no more than its kind is usually shown to.

        Args:
            value: canonical value.
            system: "metric" or "inch".
            finer: how many decimals more than usual may be needed.

        >>> KINDS["length"].decimals_of(Decimal("12.700"), "metric"), KINDS["length"].decimals_of(Decimal(10), "inch")
        (1, 4)
        """
        unit, usual = self.shown(system)
        needed = -int(unit.number(value).normalize().as_tuple().exponent)
        return min(max(0, needed), usual + finer)


def _units(table: str) -> dict[str, Unit]:
    """Rows `name|times[/per]|zero|other spellings` by every spelling."""
    found = {}
    for row in table.strip().splitlines():
        name, factor, zero, spellings = (cell.strip() for cell in row.split("|"))
        times, _, per = factor.partition("/")
        unit = Unit(name, Decimal(times), Decimal(per or 1), Decimal(zero or 0))
        written = [name, *(spelling for spelling in spellings.split(",") if spelling)]
        found.update({unit_key(spelling): unit for spelling in written})
    return found


_LENGTH = _units("""
    mm   | 1          | | millimetre, millimetres, millimeter, millimeters
    in   | 25.4       | | ", '', inch, inches
    thou | 0.0254     | | thous, mil, mils
    µm   | 0.001      | | um, micron, microns, micrometre, micrometres, micrometer, micrometers
    µin  | 0.0000254  | | uin, microinch, microinches
    cm   | 10         | | centimetre, centimetres, centimeter, centimeters
    m    | 1000       | | metre, metres, meter, meters
    ft   | 304.8      | | ', foot, feet
""")
_SMALL_LENGTH = {key: unit._replace(times=unit.times * 1000) for key, unit in _LENGTH.items()}
_PRESSURE = _units("""
    bar     | 0.1                      | | barg, bar g, bars
    psi     | 4.4482216152605/645.16   | | psig, psi g, lbf/in2, lb/in2
    MPa     | 1                        | | N/mm2, megapascal
    kPa     | 0.001                    | | kilopascal
    GPa     | 1000                     | | gigapascal
    Pa      | 0.000001                 | | pascal
    mbar    | 0.0001                   | | hPa
    ksi     | 4448.2216152605/645.16   | |
    kgf/cm² | 0.0980665                | | kg/cm2, kp/cm2
""")
_TEMPERATURE = _units("""
    °C | 1   |        | C, degC, deg C, celsius
    °F | 5/9 | 32     | F, degF, deg F, fahrenheit
    K  | 1   | 273.15 | kelvin
""")
_TORQUE = _units("""
    N·m    | 1                  | | Nm
    lbf·ft | 1.3558179483314004 | | lbfft, ft lbf, ftlbf, ft lb, ftlb, lb ft, lbft, ft lbs, ftlbs, lbs ft
    kN·m   | 1000               | | kNm
    lbf·in | 0.1129848290276167 | | lbfin, in lbf, inlbf, in lb, inlb, lb in, lbin, in lbs, inlbs, lbs in
    daN·m  | 10                 | | daNm
    kgf·m  | 9.80665            | | kgfm, kg m, kgm, kp m, kpm
""")
_FORCE = _units("""
    N   | 1               | | newton, newtons
    kN  | 1000            | | kilonewton
    lbf | 4.4482216152605 | | lb, lbs, pound, pounds
    daN | 10              | |
    kgf | 9.80665         | | kp
""")
_MASS = _units("""
    kg | 1          | | kilo, kilos, kilogram, kilograms
    lb | 0.45359237 | | lbs, pound, pounds
    g  | 0.001      | | gram, grams
    t  | 1000       | | tonne, tonnes
""")
_VOLUME = _units("""
    ml  | 1         | | cm3, cc, ccm
    in³ | 16.387064 | | cu in, cuin
    l   | 1000      | | litre, litres, liter, liters, dm3
    mm³ | 0.001     | |
    m³  | 1000000   | |
    US gal   | 3785.411784   | | gal US, US gallon, US gallons, gallons US, US liq gal
    UK gal   | 4546.09       | | gal UK, UK gallon, UK gallons, imp gal, imperial gallon, imperial gallons
    US qt    | 946.352946    | | qt US, US quart, US quarts
    US fl oz | 29.5735295625 | | fl oz US
""")
_FLOW = _units("""
    ml/min  | 1         | | cm3/min, cc/min
    in³/min | 16.387064 | | cu in/min
    l/min   | 1000      | | lpm, dm3/min
    ml/s    | 60        | | cm3/s
    l/h     | 1000/60   | |
    ml/h    | 1/60      | |
    US gpm  | 3785.411784 | | gpm US, US gal/min, gal/min US
    UK gpm  | 4546.09     | | gpm UK, UK gal/min, gal/min UK, imp gpm, imp gal/min
""")
_SPEED = _units("""
    mm/min | 1     | |
    in/min | 25.4  | | ipm
    mm/s   | 60    | |
    m/min  | 1000  | |
    m/s    | 60000 | |
    in/s   | 1524  | | ips
    ft/min | 304.8 | | fpm
""")
_AREA = _units("""
    mm² | 1       | | sq mm
    in² | 645.16  | | sq in, sqin
    cm² | 100     | | sq cm
    m²  | 1000000 | |
""")
# 1 in/ft = 25.4 mm on 304.8 mm
_SLOPE = _units("""
    mm/m  | 1       | | mm/metre
    in/ft | 1000/12 | |
""")
_TIME = _units("s | 1 | | sec, second, seconds\nmin | 60 | | minute, minutes\nh | 3600 | | hour, hours")
_ENERGY = _units("J | 1 | | joule, joules\nkJ | 1000 | |\nft·lbf | 1.3558179483314004 | | ft lb")
_ANGLE = _units("° | 1 | | deg, degree, degrees")
_YEARS = _units("years | 1 | | year, yr, yrs")
_PERCENT = _units("% | 1 | | percent")
_PLAIN = {"": Unit("", _ONE)}

KINDS: Mapping[str, Kind] = {
    kind.name: kind
    for kind in (
        Kind("length", "mm", "mm", 3, "in", 4, False, _LENGTH),
        Kind("deviation", "mm", "mm", 3, "in", 4, True, _LENGTH),
        Kind("slope", "mm/m", "mm/m", 3, "in/ft", 5, True, _SLOPE),
        Kind("roughness", "µm", "µm", 2, "µin", 0, False, _SMALL_LENGTH),
        Kind("thickness", "µm", "µm", 1, "thou", 2, False, _SMALL_LENGTH),
        Kind("pressure", "MPa", "bar", 1, "psi", 0, True, _PRESSURE),
        Kind("stress", "MPa", "MPa", 1, "psi", 0, True, _PRESSURE),
        Kind("modulus", "MPa", "MPa", 0, "psi", 0, False, _PRESSURE),
        Kind("temperature", "°C", "°C", 1, "°F", 1, True, _TEMPERATURE),
        Kind("torque", "N·m", "N·m", 1, "lbf·ft", 1, True, _TORQUE),
        Kind("force", "N", "kN", 1, "lbf", 0, True, _FORCE),
        Kind("mass", "kg", "kg", 1, "lb", 1, False, _MASS),
        Kind("volume", "ml", "ml", 1, "in³", 2, False, _VOLUME),
        Kind("flow", "ml/min", "ml/min", 1, "in³/min", 2, True, _FLOW),
        Kind("speed", "mm/min", "mm/min", 2, "in/min", 3, True, _SPEED),
        Kind("area", "mm²", "mm²", 1, "in²", 3, False, _AREA),
        Kind("energy", "J", "J", 0, "ft·lbf", 0, False, _ENERGY),
        Kind("time", "s", "s", 1, "s", 1, False, _TIME),
        Kind("angle", "°", "°", 1, "°", 1, True, _ANGLE),
        Kind("count", "", "", 0, "", 0, False, _PLAIN),
        Kind("number", "", "", 3, "", 3, True, _PLAIN),
        Kind("percent", "%", "%", 1, "%", 1, True, _PERCENT),
        Kind("hardness", "", "", 1, "", 1, False, _PLAIN),
        Kind("money", "", "", 2, "", 2, True, _PLAIN),
        Kind("years", "years", "years", 1, "years", 1, False, _YEARS),
    )
}

_DEGREES = KINDS["temperature"].units
DIFFERENCE = replace(
    KINDS["temperature"], units={key: unit._replace(zero=_NOTHING) for key, unit in _DEGREES.items()}
)
"""A difference of temperatures: the degrees alone, without the scale's zero."""

RUNNING = replace(KINDS["speed"], metric_unit="m/s", metric_decimals=2, inch_unit="ft/min", inch_decimals=0)
"""The speed of a part that runs on a seal, as seals are rated; kept in mm/min like any speed."""
