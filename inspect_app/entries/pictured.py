"""What was marked on photographs: values only, pure. A mark is data beside the picture, which stays as it was taken."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal

ARROW, RING, LINE, TEXT, SCALE, LENGTH = "arrow", "ring", "line", "text", "scale", "length"
POINTS = {ARROW: 2, RING: 2, LINE: 2, TEXT: 1, SCALE: 2, LENGTH: 2}
"""How many points each shape of a mark has: from and to, two that lie opposite on a ring, where a text stands."""

Point = tuple[Decimal, Decimal]
"""Fractions of the picture's width and height, from its upper left."""


@dataclass(frozen=True, slots=True)
class Mark:
    """A mark on a photograph: its shape, its points, its words, and of a known size its value in mm and as typed.

    `within` is how far a point may be off, as a fraction of the picture's width: what a finger hid when it was set.
    """

    id: str
    shape: str
    points: tuple[Point, ...]
    text: str
    typed: str
    value: Decimal | None
    within: Decimal
    by: str


VIEWS = {
    "overview": ("Overview", "the whole part"),
    "middle": ("Middle", "the place on the part"),
    "close-up": ("Close-up", "the mark, a rule beside it"),
}
"""The photographs asked for of every defect, by id: what each is called, and what it shows."""


@dataclass(frozen=True, slots=True)
class Pictured:
    """The marks that stand on each photograph, by the hash of its file, in the order they were set; and the
    photographs asked for that somebody declined, (of what, which view), with their initials."""

    marks: Mapping[str, tuple[Mark, ...]] = field(default_factory=dict)
    declined: Mapping[tuple[str, str], str] = field(default_factory=dict)

    def on(self, sha256: str) -> tuple[Mark, ...]:
        """Those on one photograph."""
        return self.marks.get(sha256, ())
