"""Cut walls, and grooves with their rings, above and below the axis of a section."""

from __future__ import annotations

from inspect_app.figures.section import Cut
from inspect_app.figures.shapes import Shape
from inspect_app.figures.strokes import box, falling_hatch, hatch, solid


def wall(
    left: float, right: float, middle: float, inner: float, outer: float, falling: bool
) -> tuple[Shape, ...]:
    """A part cut through, above and below the axis, hatched its own way.

    Args:
        left: left edge.
        right: right edge.
        middle: height of the axis.
        inner: its inner radius.
        outer: its outer radius.
        falling: which way the hatching falls.
    """
    lines = falling_hatch if falling else hatch
    shapes: list[Shape] = []
    for top, bottom in ((middle - outer, middle - inner), (middle + inner, middle + outer)):
        shapes += [
            solid(left, top, right, bottom),
            *lines(left, top, right, bottom),
            box(left, top, right, bottom, weight=1.1),
        ]
    return tuple(shapes)


def ring_of(cut: Cut, middle: float) -> tuple[Shape, ...]:
    """A groove with its ring, above and below the axis; hollow where nobody measured it.

    Args:
        cut: the groove.
        middle: height of the axis.
    """
    shapes: list[Shape] = []
    for side in (-1, 1):
        top, bottom = sorted((middle + side * cut.near, middle + side * cut.floor))
        shapes.append(solid(cut.left, top, cut.right, bottom, "ink" if cut.known else "fill"))
        shapes.append(box(cut.left, top, cut.right, bottom, weight=0.9))
    return tuple(shapes)
