"""Each groove as itself: cut to its own proportions with the ring that fills it, and where floor and width stand
between the limits of what may stay and of what is new."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from inspect_app.figures.shapes import Circle, Drawing, Label, Line, Polygon, Shape
from inspect_app.figures.strokes import LINE, hatch, mark_at, moved, solid, written
from inspect_app.trade.measuring.decision import Verdict
from inspect_app.trade.measuring.quantities import show

SIZE, GAP = 9.0, 14.0
TALL, CUT_TALL = 103.0, 39.0
ACROSS, LEAST = 4, 92.0
"""So many stand in a row at most, none narrower than this."""


@dataclass(frozen=True, slots=True)
class Dimension:
    """A groove's floor diameter or width, mm: as read, what may stay, what is new, and its verdict."""

    value: Decimal
    stays: tuple[Decimal, Decimal]
    new: tuple[Decimal, Decimal]
    verdict: Verdict


@dataclass(frozen=True, slots=True)
class GrooveShown:
    """A groove: its name, the surface its seal works on, mm, floor and width."""

    title: str
    sealed_mm: Decimal
    floor: Dimension
    width: Dimension


def grooves_drawing(grooves: Sequence[GrooveShown], *, system: str, width: float) -> Drawing:
    """Grooves side by side, four in a row where there is room for them.

    Args:
        grooves: the grooves.
        system: "metric" or "inch".
        width: of the drawing.
    """
    across = max(1, min(ACROSS, int((width + GAP) / (LEAST + GAP))))
    each = (width - GAP * (across - 1)) / across
    titles = [written(g.title, 0, 0, each, SIZE, "ink", bold=True) for g in grooves]
    above = (max(map(len, titles), default=1) - 1) * SIZE * LINE
    tall = TALL + above
    shapes: list[Shape] = []
    for n, groove in enumerate(grooves):
        x, y = (n % across) * (each + GAP), (n // across) * tall + above
        shapes += (moved(line, x, y - above + SIZE * 0.7) for line in titles[n])
        shapes += cut_of(groove, x, y + SIZE * 1.5, each, CUT_TALL)
        for k, (name, dimension) in enumerate((("floor Ø", groove.floor), ("width", groove.width))):
            shapes += _scale(name, dimension, x, y + SIZE * 1.5 + CUT_TALL + 4 + k * 21, each, system)
    rows = -(-len(grooves) // across)
    told = "; ".join(
        f"{g.title}: floor {g.floor.verdict.value}, width {g.width.verdict.value}" for g in grooves
    )
    return Drawing(width, rows * tall, tuple(shapes), f"{len(grooves)} grooves. {told}.")


def cut_of(groove: GrooveShown, x: float, y: float, wide: float, tall: float) -> list[Shape]:
    """A groove cut across, depth and width to one scale, with the ring in it and the surface it works on above.

    Args:
        groove: the groove.
        x: left edge.
        y: upper edge.
        wide: the room.
        tall: the room.
    """
    depth, across = abs(float(groove.sealed_mm - groove.floor.value)) / 2, float(groove.width.value)
    scale = min(tall * 0.62 / max(depth, 0.01), wide * 0.62 / max(across, 0.01))
    deep, broad = depth * scale, across * scale
    left, right, top = x + (wide - broad) / 2, x + (wide + broad) / 2, y + 5
    floor, bottom = top + deep, y + tall
    clear = min(3.0, deep * 0.12)
    edge = (
        (x, bottom), (x, top + clear), (left, top + clear), (left, floor), (right, floor), (right, top + clear),
        (x + wide, top + clear), (x + wide, bottom),
    )  # fmt: skip
    ring = min(broad * 0.94, broad - 1)
    return [
        *hatch(x, top + clear, left, bottom, 5.0),
        *hatch(left, floor, right, bottom, 5.0),
        *hatch(right, top + clear, x + wide, bottom, 5.0),
        solid(left + (broad - ring) / 2, top, left + (broad + ring) / 2, floor, "faint"),
        Polygon(edge, "ink", 1.2, closed=False),
        Line(x, top, x + wide, top, "ink", 1.6),
    ]


def _scale(name: str, at: Dimension, x: float, y: float, wide: float, system: str) -> list[Shape]:
    """What may stay as a bar, what is new hatched in it, the value as a dot; beyond the drawing an arrow and words."""
    low, high = at.stays
    room = max((high - low) / 3, Decimal("0.01"))
    first, last = low - room, high + room
    left, right, line = x + 34, x + wide - 2, y + 15

    def place(value: Decimal) -> float:
        share = float((value - first) / (last - first))
        return left + min(max(share, 0.0), 1.0) * (right - left)

    off = not first <= at.value <= last
    role = {Verdict.BEYOND: "beyond", Verdict.UNCLEAR: "unclear"}.get(at.verdict, "ink")
    number = show(at.value, kind="length", system=system)[0]
    text = f"{number} off scale" if off else number
    spot = place(at.value)
    shapes: list[Shape] = [
        Label(x, line, name, SIZE, "guard", "start"),
        Line(left, line, right, line, "faint", 0.8),
        *hatch(place(max(at.new[0], first)), line - 3, place(min(at.new[1], last)), line + 3, 3.0, "guard"),
        *(Line(place(v), line - 4, place(v), line + 4, "ink", 2.0) for v in (low, high)),
        Label(right, y + 4, text, SIZE, role, "end", at.verdict is not Verdict.WITHIN and not off),
    ]
    if off:
        tip = 6 if at.value > last else -6
        shapes.append(Polygon(((spot, line - 4), (spot + tip, line), (spot, line + 4)), role, filled=True))
    elif at.verdict is Verdict.WITHIN:
        shapes.append(Circle(spot, line, 2.6, "ink", filled=True))
    else:
        shapes += mark_at(at.verdict, spot, line, SIZE)
    return shapes
