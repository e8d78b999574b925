"""Whether a drawing stays inside its frame, for the tests of the figures."""

from __future__ import annotations

from inspect_app.figures.shapes import Circle, Drawing, Line, Polygon
from inspect_app.figures.strokes import span_of


def outside(drawing: Drawing) -> list[object]:
    """The shapes that leave the frame by more than the width of a stroke."""
    found: list[object] = []
    for shape in drawing.shapes:
        if isinstance(shape, Line):
            xs, ys = [shape.x1, shape.x2], [shape.y1, shape.y2]
        elif isinstance(shape, Circle):
            xs = [shape.x - shape.radius, shape.x + shape.radius]
            ys = [shape.y - shape.radius, shape.y + shape.radius]
        elif isinstance(shape, Polygon):
            xs, ys = [p[0] for p in shape.points], [p[1] for p in shape.points]
        else:
            xs, ys = list(span_of(shape)), [shape.y - shape.size / 2, shape.y + shape.size / 2]
        if min(xs) < -2 or min(ys) < -2 or max(xs) > drawing.width + 2 or max(ys) > drawing.height + 2:
            found.append(shape)
    return found
