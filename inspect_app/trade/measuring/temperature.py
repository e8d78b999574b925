"""Sizes brought to 20 °C from the temperatures of part and gauge; knows no material but those it is given."""

from __future__ import annotations

import math
from dataclasses import dataclass
from decimal import Decimal

from inspect_app.trade.measuring.required import require_finite, require_not_negative, require_positive
from inspect_app.trade.measuring.uncertainty import Terms, rectangular

REFERENCE_C = Decimal(20)
_ONE_MILLIONTH = Decimal("1e-6")


@dataclass(frozen=True, slots=True)
class Expansion:
    """How a material grows when warmed: µm per metre and kelvin, the true value within ± `half_width`."""

    name: str
    um_per_m_k: Decimal
    half_width_um_per_m_k: Decimal


def growth(*, material: Expansion, temperature_c: Decimal) -> Decimal:
    """The share of its size by which a piece is larger than at 20 °C; negative when colder.

    ε = α·(T − 20)

    Args:
        material: what the piece is made of.
        temperature_c: temperature of the piece, °C.
    Raises:
        Refusal: when the temperature is not a number.
    Valid: near 20 °C, as met on a bench; α rises slowly with temperature.
    Source: iso-1

    >>> steel = Expansion("steel", Decimal("11.5"), Decimal(1))
    >>> print(100_000 * growth(material=steel, temperature_c=Decimal(40)))   # 100 mm grow 0.023 mm
    23.00000
    """
    require_finite(temperature_c=float(temperature_c))
    return material.um_per_m_k * _ONE_MILLIONTH * (temperature_c - REFERENCE_C)


def size_at_20_mm(
    *, reading_mm: Decimal, part: Expansion, part_c: Decimal, gauge: Expansion, gauge_c: Decimal
) -> Decimal:
    """The size a part has at 20 °C, from a reading with part and gauge at temperatures of their own, mm.

    d20 = reading·(1 + α_gauge·(T_gauge − 20)) / (1 + α_part·(T_part − 20))

    Args:
        reading_mm: what the gauge showed, mm.
        part: material of the part.
        part_c: temperature of the part, °C.
        gauge: material of the gauge, or of the ring or rod it was set on.
        gauge_c: temperature of the gauge, °C.
    Raises:
        Refusal: when the reading is not positive or a temperature is not a number.
    Valid: each piece at one temperature all through.
    Source: iso-1

    >>> rod = Expansion("steel", Decimal("11.7"), Decimal(1))   # 500.013 mm: National Physical Laboratory
    >>> print(size_at_20_mm(reading_mm=Decimal("500.035"), part=rod, part_c=Decimal("23.7"),
    ...                     gauge=rod, gauge_c=Decimal(20)))
    500.013...
    """
    require_positive(reading_mm=float(reading_mm))
    gauge_longer = 1 + growth(material=gauge, temperature_c=gauge_c)
    part_larger = 1 + growth(material=part, temperature_c=part_c)
    return reading_mm * gauge_longer / part_larger


def correction_um(
    *, reading_mm: Decimal, part: Expansion, part_c: Decimal, gauge: Expansion, gauge_c: Decimal
) -> Decimal:
    """What to add to a reading to have the size at 20 °C, to first order, µm.

    c = reading·(α_gauge·(T_gauge − 20) − α_part·(T_part − 20))

    Args:
        reading_mm: what the gauge showed, mm.
        part: material of the part.
        part_c: temperature of the part, °C.
        gauge: material of the gauge, or of the ring or rod it was set on.
        gauge_c: temperature of the gauge, °C.
    Raises:
        Refusal: when the reading is not positive or a temperature is not a number.
    Valid: within 0.1 µm of the exact ratio on 500 mm at 30 °C.
    Source: iso-1

    >>> steel = Expansion("steel", Decimal("11.5"), Decimal(1))
    >>> print(correction_um(reading_mm=Decimal(100), part=steel, part_c=Decimal(40),
    ...                     gauge=steel, gauge_c=Decimal(20)))
    -23.00000
    """
    require_positive(reading_mm=float(reading_mm))
    gauge_longer = growth(material=gauge, temperature_c=gauge_c)
    part_larger = growth(material=part, temperature_c=part_c)
    return reading_mm * 1000 * (gauge_longer - part_larger)


def product_u(x: float, u_x: float, y: float, u_y: float) -> float:
    """Standard uncertainty of a product of two independent values, to second order.

    u² = y²·u_x² + x²·u_y² + u_x²·u_y²

    The last term is all that is left where both values are expected to be zero, as at 20 °C.

    Args:
        x: one value.
        u_x: its standard uncertainty.
        y: the other value.
        u_y: its standard uncertainty.
    Raises:
        Refusal: when an uncertainty is negative.
    Source: gum

    >>> 50e6 * product_u(0, 0.577e-6, -0.1, 0.406)   # GUM H.1.7, nm: 2.9 to first order, 11.7 beyond it
    12.06
    """
    require_not_negative(u_x=u_x, u_y=u_y)
    return math.hypot(y * u_x, x * u_y, u_x * u_y)


def temperature_terms_um(
    *,
    size_mm: Decimal,
    part: Expansion,
    part_c: Decimal,
    part_within_c: Decimal,
    gauge: Expansion,
    gauge_c: Decimal,
    gauge_within_c: Decimal,
) -> Terms:
    """What temperature leaves uncertain in a size at 20 °C, by source, µm.

    of the temperature: size·α·u(T); of the expansion: size·u(α)·√((T − 20)² + u(T)²); u = half width / √3

    The second is the product of expansion and temperature to second order: near 20 °C its first order
    vanishes, its second does not. A warmer part makes the size at 20 °C less, a warmer gauge more.

    Args:
        size_mm: the size, mm.
        part: material of the part.
        part_c: temperature of the part, °C.
        part_within_c: the part's temperature is known within ± this, °C.
        gauge: material of the gauge.
        gauge_c: temperature of the gauge, °C.
        gauge_within_c: the gauge's temperature is known within ± this, °C.
    Raises:
        Refusal: when a value is not a number or a half width is negative.
    Valid: the four taken as independent; with part and gauge of one steel this is on the safe side.
    Source: gum

    >>> steel = Expansion("steel", Decimal("11.5"), Decimal(1))
    >>> temperature_terms_um(size_mm=Decimal(100), part=steel, part_c=Decimal(20), part_within_c=Decimal(5),
    ...                      gauge=steel, gauge_c=Decimal(20), gauge_within_c=Decimal(0))["part temperature"]
    -3.32
    """
    require_positive(size_mm=float(size_mm))
    require_not_negative(part_within_c=float(part_within_c), gauge_within_c=float(gauge_within_c))
    metres = float(size_mm) / 1000
    return {
        **_terms_um("part", part, part_c, part_within_c, -metres),
        **_terms_um("gauge", gauge, gauge_c, gauge_within_c, metres),
    }


def _terms_um(
    piece: str, material: Expansion, temperature_c: Decimal, within_c: Decimal, metres: float
) -> Terms:
    require_finite(temperature_c=float(temperature_c))
    away_k = float(temperature_c - REFERENCE_C)
    u_k = rectangular(float(within_c))
    u_alpha = rectangular(float(material.half_width_um_per_m_k))
    of_product = math.copysign(product_u(0.0, u_alpha, away_k, u_k), away_k)
    return {
        f"{piece} temperature": metres * float(material.um_per_m_k) * u_k,
        f"{piece} expansion": metres * of_product,
    }
