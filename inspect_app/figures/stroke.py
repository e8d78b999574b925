"""How much of a job is done, as a rod's way out of its cylinder: as far as it is done the rod is out."""

from __future__ import annotations

from collections.abc import Sequence

from inspect_app.figures.shapes import Circle, Drawing, Line, Shape
from inspect_app.figures.strokes import CENTRE, box, dashes, hatch, solid


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


def steps_drawing(over: Sequence[bool], at: int | None, *, width: float, pitch: float) -> Drawing:
    """The steps of a job as an upright stroke: the rod is what is done, the piston stands at the step in hand.

    What is done below the piston, out of order, is a ring filled on the axis.

    Args:
        over: for each step whether nothing is to be done in it any more.
        at: which one is in hand, from 0; None when none is.
        width: of the drawing.
        pitch: the height of one step.
    """
    height, middle = pitch * len(over), width / 2
    rod, head = width * 0.27, pitch * 0.68
    piston = height if at is None else (at + 0.5) * pitch - head / 2
    shapes: list[Shape] = [Line(x, 0, x, height, "faint", 1.6) for x in (1, width - 1)]
    if piston > 1:
        shapes += [solid(middle - rod, 0, middle + rod, piston), box(middle - rod, 0, middle + rod, piston)]
    if at is not None:
        shapes += [*dashes(middle, piston + head, middle, height, CENTRE)]
        shapes += [*hatch(2, piston, width - 2, piston + head, role="accent")]
        shapes.append(box(2, piston, width - 2, piston + head, "accent", 2.4))
    for n, done in enumerate(over):
        y = (n + 0.5) * pitch
        if n == at:
            continue
        if y < piston:
            shapes.append(
                Line(middle - rod, y, middle + rod, y, "ink", 3) if done else Circle(middle, y, rod * 0.6)
            )
        elif done:
            shapes.append(Circle(middle, y, rod * 0.6, filled=True))
        else:
            shapes.append(Line(middle - rod * 0.6, y, middle + rod * 0.6, y, "ink", 1.6))
    return Drawing(width, height, tuple(shapes), f"{sum(over)} of {len(over)} steps done")
