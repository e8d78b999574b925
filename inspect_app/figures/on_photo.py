"""Marks over a photograph as plain shapes: dark on a light edge, so that they are seen on chrome and on rust alike."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import atan2, cos, hypot, sin

from inspect_app.entries.job import Photo
from inspect_app.entries.pictured import ARROW, LENGTH, RING, SCALE, TEXT, Mark
from inspect_app.figures.shapes import Circle, Label, Line, Polygon, Shape
from inspect_app.figures.strokes import inside, text_width
from inspect_app.job.pictured import said_on
from inspect_app.job.scope.shown import MarkedPhoto
from inspect_app.trade.measuring.refusal import in_words

EDGE, INK, TEXT_INK = "fill", "accent", "ink"
HEAD, TICK, SPREAD = 4.5, 3.0, 0.42
"""An arrow's head and a length's end strokes in widths of its stroke; half of a head's angle, radians."""


@dataclass(frozen=True, slots=True)
class OnPhoto:
    """A mark as it is drawn: its shape, its points as fractions of the picture, and what stands beside it."""

    shape: str
    points: tuple[tuple[float, float], ...]
    says: str = ""


def marks_on(photo: Photo, marks: Sequence[Mark], system: str) -> tuple[OnPhoto, ...]:
    """The marks of a photograph, each with what it says in the reader's units.

    Args:
        photo: the photograph.
        marks: the marks on it.
        system: "metric" or "inch".
    """
    return tuple(
        OnPhoto(
            m.shape,
            tuple((float(x), float(y)) for x, y in m.points),
            in_words(said_on(photo, marks, m), system),
        )
        for m in marks
    )


def marks_shown(marked: MarkedPhoto | None) -> tuple[OnPhoto, ...]:
    """The marks of a photograph as a scope shows it.

    Args:
        marked: the photograph with its marks, None of one without.
    """
    marks = marked.marks if marked else ()
    return tuple(OnPhoto(m.shape, tuple((float(x), float(y)) for x, y in m.points), m.says) for m in marks)


def mark_shapes(
    marks: Sequence[OnPhoto], width: float, height: float, size: float, words: bool = True
) -> tuple[Shape, ...]:
    """Marks over a picture of this size, the lines of all of them before their words.

    Args:
        marks: the marks.
        width: of the picture.
        height: of the picture.
        size: of the letters; strokes go with it.
        words: whether what stands beside the marks is drawn too.
    """
    lines: list[Shape] = []
    plates: list[Shape] = []
    for mark in marks:
        at = [(x * width, y * height) for x, y in mark.points]
        strokes = _strokes(mark.shape, at, size * 0.2)
        lines += [_thick(s, EDGE, size * 0.46) for s in strokes] + [
            _thick(s, INK, size * 0.2) for s in strokes
        ]
        if mark.says and words:
            plates += _plate(mark, at, width, height, size)
    return (*lines, *plates)


def _strokes(shape: str, at: Sequence[tuple[float, float]], stroke: float) -> list[Line | Circle]:
    """A mark's own strokes, whatever their looks."""
    if shape == TEXT:
        return []
    (x1, y1), (x2, y2) = at
    if shape == RING:
        return [Circle((x1 + x2) / 2, (y1 + y2) / 2, hypot(x2 - x1, y2 - y1) / 2)]
    strokes: list[Line | Circle] = [Line(x1, y1, x2, y2)]
    turn = atan2(y2 - y1, x2 - x1)
    if shape == ARROW:
        long = min(HEAD * stroke, hypot(x2 - x1, y2 - y1))
        tips = [(x2 - long * cos(turn + a), y2 - long * sin(turn + a)) for a in (SPREAD, -SPREAD)]
        strokes += [Line(x2, y2, x, y) for x, y in tips]
    if shape in (SCALE, LENGTH):
        dx, dy = -sin(turn) * TICK * stroke, cos(turn) * TICK * stroke
        strokes += [Line(x - dx, y - dy, x + dx, y + dy) for x, y in at]
    return strokes


def _thick(stroke: Line | Circle, role: str, weight: float) -> Line | Circle:
    if isinstance(stroke, Line):
        return Line(stroke.x1, stroke.y1, stroke.x2, stroke.y2, role, weight)
    return Circle(stroke.x, stroke.y, stroke.radius, role, weight)


def _plate(
    mark: OnPhoto, at: Sequence[tuple[float, float]], width: float, height: float, size: float
) -> list[Shape]:
    """What stands beside a mark, on a plate of its own that stays inside the picture."""
    x = sum(x for x, _ in at) / len(at)
    top = min(y for _, y in at)
    # above the mark; where there is no room, below it
    y = top - size if mark.shape != TEXT else top
    if y < size * 0.7:
        y = max(y for _, y in at) + size if mark.shape != TEXT else size * 0.7
    y = min(y, height - size * 0.7)
    label = inside(
        Label(x, y, mark.says, size, TEXT_INK, "middle", bold=True), size * 0.4, width - size * 0.4
    )
    half, high = text_width(mark.says, size, bold=True) / 2 + size * 0.3, size * 0.65
    left, right = label.x - half, label.x + half
    corners = ((left, y - high), (right, y - high), (right, y + high), (left, y + high))
    return [Polygon(corners, EDGE, filled=True), Polygon(corners, INK, size * 0.08), label]
