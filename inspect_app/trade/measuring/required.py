"""Refuses the arguments a formula cannot take: not finite, not above 0, negative, no fraction."""

from __future__ import annotations

import math

from inspect_app.trade.measuring.amounts import argument
from inspect_app.trade.measuring.refusal import Refusal


def require_finite(**values: float) -> None:
    """Refuse a value that is not a finite number.

    Args:
        values: the values by their names with unit, e.g. ``bore_mm=100``.
    Raises:
        Refusal: names the value, what was given and what is allowed.
    """
    for name, value in values.items():
        if not math.isfinite(value):
            raise _not_finite(name, value)


def _not_finite(name: str, value: float) -> Refusal:
    return Refusal("{given}; give a finite number.", given=argument(name, value))


def require_positive(**values: float) -> None:
    """Refuse a value that is not a finite number greater than 0.

    Args:
        values: the values by their names with unit, e.g. ``bore_mm=100``.
    Raises:
        Refusal: names the value, what was given and what is allowed.

    >>> require_positive(bore_mm=-3)
    Traceback (most recent call last):
    inspect_app.trade.measuring.refusal.Refusal: bore is -3 mm; it must be greater than 0.
    """
    for name, value in values.items():
        if not math.isfinite(value):
            raise _not_finite(name, value)
        if value <= 0:
            raise Refusal("{given}; it must be greater than 0.", given=argument(name, value))


def require_not_negative(**values: float) -> None:
    """Refuse a value that is negative or not a finite number.

    Args:
        values: the values by their names with unit, e.g. ``clearance_mm=0``.
    Raises:
        Refusal: names the value, what was given and what is allowed.
    """
    for name, value in values.items():
        if not math.isfinite(value):
            raise _not_finite(name, value)
        if value < 0:
            raise Refusal("{given}; it must not be negative.", given=argument(name, value))
