"""A length read off a photograph by a known size in it; knows no photograph and no screen."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from inspect_app.trade.measuring.refusal import Refusal

LEAST_TIMES = 4
"""A known size must be so many times as long in the picture as a touched point may be off, or it scales nothing."""


@dataclass(frozen=True, slots=True)
class ReadOff:
    """A length read off a photograph, mm, and how far it may be off at the most by where the ends were touched."""

    value_mm: Decimal
    error_mm: Decimal


def read_off(known_mm: Decimal, known_px: float, length_px: float, off_px: float) -> ReadOff:
    """A length in a picture by a known size in it.

    length = known size x its length in the picture / that of the known size; at most off by
    length x (2 off / its length in the picture + 2 off / that of the known size)

    Args:
        known_mm: the known size, mm.
        known_px: how long the known size is in the picture, pixels.
        length_px: how long what is measured is in the picture, pixels.
        off_px: how far a touched point may be off, pixels.
    Raises:
        Refusal: a known size that is not above 0, or too short in the picture to scale anything.
    Source: scale-in-picture

    >>> read_off(Decimal(50), 1000, 774, 2)
    ReadOff(value_mm=Decimal('38.7'), error_mm=Decimal('0.3548'))
    """
    if known_mm <= 0:
        raise Refusal("The known size must be greater than 0.")
    if known_px < LEAST_TIMES * off_px or known_px <= 0:
        raise Refusal(
            "The two ends of the known size lie too near together; choose a longer one, or zoom in."
        )
    scale, length, off = (Decimal(f"{px:.12g}") for px in (known_px, length_px, off_px))
    value = known_mm * length / scale
    return ReadOff(value, known_mm * 2 * off / scale + value * 2 * off / scale)
