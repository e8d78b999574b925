"""Sizes brought to 20 °C from the temperatures of part and gauge; knows no material but those it is given."""

from __future__ import annotations

import math
from dataclasses import dataclass
from decimal import Decimal

from inspect_app.trade.refusal import require_finite, require_not_negative, require_positive
from inspect_app.trade.uncertainty import combined, rectangular

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


def temperature_u_um(
    *,
    size_mm: Decimal,
    part: Expansion,
    part_c: Decimal,
    part_within_c: Decimal,
    gauge: Expansion,
    gauge_c: Decimal,
    gauge_within_c: Decimal,
) -> float:
    """Standard uncertainty that temperature leaves in a size at 20 °C, µm.

    u² = size²·Σ over part and gauge [(α·u(T))² + ((T − 20)·u(α))²], every u = half width / √3

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

    >>> steel = Expansion("steel", Decimal("11.5"), Decimal(0))
    >>> temperature_u_um(size_mm=Decimal(100), part=steel, part_c=Decimal(20), part_within_c=Decimal(2),
    ...                  gauge=steel, gauge_c=Decimal(20), gauge_within_c=Decimal(0))
    1.328
    """
    require_positive(size_mm=float(size_mm))
    require_not_negative(part_within_c=float(part_within_c), gauge_within_c=float(gauge_within_c))
    shares = (
        *_shares_u_um_per_m(part, part_c, part_within_c),
        *_shares_u_um_per_m(gauge, gauge_c, gauge_within_c),
    )
    return combined(*shares) * float(size_mm) / 1000


def _shares_u_um_per_m(material: Expansion, temperature_c: Decimal, within_c: Decimal) -> tuple[float, float]:
    require_finite(temperature_c=float(temperature_c))
    from_temperature = float(material.um_per_m_k) * rectangular(float(within_c))
    away_k = math.fabs(temperature_c - REFERENCE_C)
    return from_temperature, away_k * rectangular(float(material.half_width_um_per_m_k))
