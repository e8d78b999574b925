"""A bar of pieces, black, hatched or hollow, so that they are told apart in grey too; knows no question."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from inspect_app.figures.shapes import Drawing, Shape
from inspect_app.figures.strokes import box, hatch, solid

BAR = 8.0
"""How high a bar is."""
TOP = 1.0
LEAST = 1.2
"""A piece that is there is never thinner than this."""
_STEP = 3.0


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece of a bar: how much, and how it looks: black, hatched or hollow."""

    amount: float
    look: str = "black"


def bar(pieces: Sequence[Piece], most: float, width: float, says: str) -> Drawing:
    """A bar of its pieces, one after the other from the left.

    Args:
        pieces: its pieces; those of nothing are left out.
        most: the amount that takes the whole width, the same for all bars that stand under each other.
        width: of the drawing.
        says: what it shows, in words.
    """
    shapes: list[Shape] = []
    left, low, foot = 0.5, TOP, TOP + BAR
    for piece in (p for p in pieces if p.amount > 0):
        right = left + max((width - 1) * piece.amount / most, LEAST)
        if piece.look == "black":
            shapes.append(solid(left, low, right, foot, "ink"))
        if piece.look == "hatched":
            shapes += hatch(left, low, right, foot, _STEP, "ink")
        shapes.append(box(left, low, right, foot, weight=0.7))
        left = right
    return Drawing(width, foot + TOP, tuple(shapes), says)
