"""The length a wear ring is cut to from strip; knows no file."""

from __future__ import annotations

import math
from dataclasses import dataclass

from inspect_app.trade.measuring.amounts import argument
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.required import require_not_negative, require_positive


@dataclass(frozen=True, slots=True)
class StripGap:
    """The gap left between the ends of a cut strip, over the range of bores its row is for."""

    thickness_mm: float
    width_mm: float
    least_mm: float
    greatest_mm: float
    status: str
    source: str


def cut_length_mm(*, surface_mm: float, thickness_mm: float, end_gap_mm: float, on_rod: bool) -> float:
    """Length of strip for one wear ring, mm.

    in a bore D: pi (D - t) - gap; round a rod d: pi (d + t) - gap

    Args:
        surface_mm: bore D or rod d it runs on, mm.
        thickness_mm: thickness of the strip t, mm.
        end_gap_mm: gap left between its ends, mm.
        on_rod: whether it lies round a rod rather than in a bore.
    Raises:
        Refusal: when nothing is left to cut.

    >>> cut_length_mm(surface_mm=100, thickness_mm=2.5, end_gap_mm=4, on_rod=False)
    302.3
    """
    require_positive(surface_mm=surface_mm, thickness_mm=thickness_mm)
    require_not_negative(end_gap_mm=end_gap_mm)
    length_mm = math.pi * (surface_mm + (thickness_mm if on_rod else -thickness_mm)) - end_gap_mm
    if length_mm <= 0:
        raise Refusal("{gap}; nothing of the strip is left.", gap=argument("end_gap_mm", end_gap_mm))
    return length_mm
