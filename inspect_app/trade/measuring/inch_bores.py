"""Inch bores and the rods met with each: what is usual, never what is there."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from inspect_app.trade.measuring.refusal import Sentence
from inspect_app.trade.measuring.required import require_positive

MM_PER_INCH = 25.4
SAME_MM = 0.5
"""A bore so near one of the list is meant by it: bores wear wider, and lie further apart than that."""


@dataclass(frozen=True, slots=True)
class InchBore:
    """A bore in inches, the rods met with it as they are written on a drawing, and where that is from."""

    bore_in: float
    rods_in: tuple[str, ...]
    status: str
    source: str


def rods_met(*, bore_mm: float, bores: Sequence[InchBore]) -> Sentence | None:
    """What rods are met with an inch bore, as a sentence that asks for the rod to be measured.

    Args:
        bore_mm: nominal bore, mm.
        bores: the list.
    Returns: None for a bore that is not in it.
    Raises:
        Refusal: a bore not greater than 0.
    Source: inch-bores

    >>> four = InchBore(4, ("1", "1 3/4", "2 1/2"), "from-memory", "inch-bores")
    >>> str(rods_met(bore_mm=101.6, bores=[four]))
    'Rods met with this bore: 1, 1 3/4, 2 1/2 in (from memory). Measure the rod; never take it from the bore.'
    >>> rods_met(bore_mm=100, bores=[four]) is None
    True
    """
    require_positive(bore_mm=bore_mm)
    found = next((b for b in bores if abs(b.bore_in * MM_PER_INCH - bore_mm) <= SAME_MM), None)
    if found is None:
        return None
    rods = ", ".join(found.rods_in)
    return Sentence(
        f"Rods met with this bore: {rods} in (from memory). Measure the rod; never take it from the bore."
    )
