"""The few plain shapes every drawing is made of; coordinates in points, x to the right, y downwards.

A shape carries a role, not a colour: whoever draws it gives ink, faint, accent and the verdicts their
looks for light, dark, bright sun or paper.
"""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass
from math import cos, pi, sin

ROLES = ("ink", "faint", "accent", "fill", "guard", "within", "beyond", "unclear", "unmeasured")


@dataclass(frozen=True, slots=True)
class Line:
    """A stroke from (x1, y1) to (x2, y2)."""

    x1: float
    y1: float
    x2: float
    y2: float
    role: str = "ink"
    weight: float = 1.0


@dataclass(frozen=True, slots=True)
class Circle:
    """A circle, outlined or filled."""

    x: float
    y: float
    radius: float
    role: str = "ink"
    weight: float = 1.0
    filled: bool = False


@dataclass(frozen=True, slots=True)
class Polygon:
    """Corners joined by strokes; closed and filled on demand."""

    points: tuple[tuple[float, float], ...]
    role: str = "ink"
    weight: float = 1.0
    closed: bool = True
    filled: bool = False


@dataclass(frozen=True, slots=True)
class Label:
    """Text whose `anchor` (start, middle, end) sits at x and whose middle height at y."""

    x: float
    y: float
    text: str
    size: float = 12.0
    role: str = "ink"
    anchor: str = "middle"
    bold: bool = False


Shape = Line | Circle | Polygon | Label


@dataclass(frozen=True, slots=True)
class Drawing:
    """A drawing of a size; `says` is what it shows in words, for those who cannot see it.

    `spots` are points that stand for something, (x, y, what): where a finger may choose it.
    """

    width: float
    height: float
    shapes: tuple[Shape, ...]
    says: str
    spots: tuple[tuple[float, float, Hashable], ...] = ()


def arc(x: float, y: float, radius: float, start: float, end: float, role: str, weight: float) -> Polygon:
    """A part of a circle as a chain of short strokes, angles in turns clockwise from 12.

    Args:
        x: centre.
        y: centre.
        radius: radius.
        start: where it begins, turns.
        end: where it ends, turns.
        role: who it is.
        weight: stroke.
    """
    steps = max(2, round(abs(end - start) * 32))
    angles = [2 * pi * (start + (end - start) * n / steps) for n in range(steps + 1)]
    points = tuple((x + radius * sin(a), y - radius * cos(a)) for a in angles)
    return Polygon(points, role, weight, closed=False)
