"""Turns the cells of the seal tables into values, or says what is wrong with one; knows no column."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

from inspect_app.tables.sources import STATUSES

Columns = dict[str, Callable[[str], Any]]


def number(cell: str) -> float:
    """A finite number, of either sign."""
    try:
        value = float(cell)
    except ValueError:
        raise ValueError("it must be a number") from None
    if not math.isfinite(value):
        raise ValueError("it must be a finite number")
    return value


def positive(cell: str) -> float:
    """A number greater than 0."""
    value = number(cell)
    if value <= 0:
        raise ValueError("it must be greater than 0")
    return value


def maybe(turn: Callable[[str], float]) -> Callable[[str], float | None]:
    """The same, or None for an empty cell."""
    return lambda cell: turn(cell) if cell else None


def text(cell: str) -> str:
    """Any text but none."""
    if not cell:
        raise ValueError("it must not be empty")
    return cell


def one_of(*allowed: str) -> Callable[[str], str]:
    """One of the words allowed."""

    def turn(cell: str) -> str:
        if cell not in allowed:
            raise ValueError(f"it must be {' or '.join(allowed)}")
        return cell

    return turn


def yes_no(cell: str) -> bool:
    """True for yes, False for no."""
    return one_of("yes", "no")(cell) == "yes"


WHENCE: Columns = {"status": one_of(*STATUSES), "source": text}
