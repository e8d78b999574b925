"""How much of a job is done, as a rod's way out of its cylinder: as far as it is done the rod is out."""

from __future__ import annotations

from inspect_app.figures.shapes import Drawing, Line, Shape
from inspect_app.figures.strokes import CENTRE, box, dashes, solid


def stroke_drawing(done: int, of: int, *, width: float, height: float) -> Drawing:
    """The stroke of a job.

    Args:
        done: how much is done.
        of: how much there is to do.
        width: of the drawing.
        height: of the drawing.
    """
    head = height * 0.8
    at = (width - head) * (done / of if of else 0.0)
    middle, half = height / 2, height * 0.28
    shapes: list[Shape] = [Line(0, y, width, y, "faint", 1.4) for y in (0.7, height - 0.7)]
    if at > 1:
        shapes += [solid(0, middle - half, at, middle + half), box(0, middle - half, at, middle + half)]
    if at + head < width - 1:
        shapes += dashes(at + head, middle, width, middle, CENTRE)
    shapes.append(solid(at, 1.4, at + head, height - 1.4, "accent"))
    return Drawing(width, height, tuple(shapes), f"{done} of {of} done")
