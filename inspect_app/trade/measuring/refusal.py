"""How a computation says no: a sentence for the mechanic, naming what was given and what is allowed."""

from __future__ import annotations

import math


class Refusal(ValueError):
    """A value outside what a formula or a table covers; the message is a sentence to show as it is."""


def require_finite(**values: float) -> None:
    """Refuse a value that is not a finite number.

    Args:
        values: the values by their names with unit, e.g. ``bore_mm=100``.
    Raises:
        Refusal: names the value, what was given and what is allowed.
    """
    for name, value in values.items():
        if not math.isfinite(value):
            raise Refusal(f"{name} is {value}; give a finite number.")


def require_positive(**values: float) -> None:
    """Refuse a value that is not a finite number greater than 0.

    Args:
        values: the values by their names with unit, e.g. ``bore_mm=100``.
    Raises:
        Refusal: names the value, what was given and what is allowed.

    >>> require_positive(bore_mm=-3)
    Traceback (most recent call last):
    inspect_app.trade.measuring.refusal.Refusal: bore_mm is -3; it must be greater than 0.
    """
    require_finite(**values)
    for name, value in values.items():
        if value <= 0:
            raise Refusal(f"{name} is {value:g}; it must be greater than 0.")


def require_not_negative(**values: float) -> None:
    """Refuse a value that is negative or not a finite number.

    Args:
        values: the values by their names with unit, e.g. ``clearance_mm=0``.
    Raises:
        Refusal: names the value, what was given and what is allowed.
    """
    require_finite(**values)
    for name, value in values.items():
        if value < 0:
            raise Refusal(f"{name} is {value:g}; it must not be negative.")
