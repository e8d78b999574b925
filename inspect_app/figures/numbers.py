"""The numbers of a section: each in its ring beside the cylinder, none over another, with a line to what it means."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from inspect_app.figures.outlines import Frame
from inspect_app.figures.shapes import Circle, Label, Line, Shape, arc


@dataclass(frozen=True, slots=True)
class Pointed:
    """What a number points to, and on which side of the cylinder it stands; `is_open` has an open doubt."""

    number: int
    is_open: bool
    target: tuple[float, float]
    below: bool


class Number:
    """A line's number in its ring at (x, y), and what it points to."""

    def __init__(self, number: int, is_open: bool, x: float, y: float, target: tuple[float, float]) -> None:
        self.number, self.is_open, self.x, self.y, self.target = number, is_open, x, y, target

    def shapes(self, radius: float) -> tuple[Shape, ...]:
        """The leader on a cleared strip, then the ring and the number."""
        foot = self.y + (radius if self.target[1] > self.y else -radius)
        halves = ((-0.18, 0.18), (0.32, 0.68))
        role = "unclear" if self.is_open else "ink"
        ring: tuple[Shape, ...] = (
            tuple(arc(self.x, self.y, radius, a, b, role, 1.8) for a, b in halves)
            if self.is_open
            else (Circle(self.x, self.y, radius, role, 1.1),)
        )
        return (
            Line(self.x, foot, *self.target, "fill", 2.6),
            Line(self.x, foot, *self.target, "ink", 0.9),
            *ring,
            Label(self.x, self.y, str(self.number), radius * 1.1, role, bold=True),
        )


def numbers_of(pointed: Sequence[Pointed], frame: Frame, ring: float, width: float) -> list[Number]:
    """Every number, above or below the cylinder, none over another and no two leaders crossing.

    Args:
        pointed: what the numbers point to.
        frame: the room the cylinder is drawn in; the numbers stand outside it.
        ring: radius of a number's ring.
        width: of the drawing.
    """
    found: list[Number] = []
    for below in (False, True):
        row = sorted((p for p in pointed if p.below is below), key=lambda p: p.target[0])
        y = frame.bottom + ring * 2.1 if below else ring + 1
        xs = spread([p.target[0] for p in row], 2.3 * ring, ring + 1, width - ring - 1)
        found += [Number(p.number, p.is_open, x, y, p.target) for x, p in zip(xs, row, strict=True)]
    return found


def spread(wanted: Sequence[float], apart: float, low: float, high: float) -> list[float]:
    """Places as near as can be to those wanted, in their order, at least so far apart and between two edges.

    Args:
        wanted: where they would stand, ascending.
        apart: the least distance.
        low: the first edge.
        high: the other edge.

    >>> spread([10, 12, 40], 10, 0, 100)
    [6.0, 16.0, 40.0]
    """
    groups: list[list[float]] = []  # the middle of each group, measured as if its members stood on one spot
    for n, x in enumerate(wanted):
        groups.append([x - n * apart])
        while len(groups) > 1 and _mean(groups[-2]) > _mean(groups[-1]):
            groups[-2:] = [groups[-2] + groups[-1]]
    last = high - (len(wanted) - 1) * apart
    flat = [min(max(_mean(group), low), max(last, low)) for group in groups for _ in group]
    return [x + n * apart for n, x in enumerate(flat)]


def _mean(numbers: Sequence[float]) -> float:
    return sum(numbers) / len(numbers)
