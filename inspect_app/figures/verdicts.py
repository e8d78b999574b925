"""The assembled cylinder with what becomes of every part, and the findings numbered where they sit; judges nothing.

Drawn to its own proportions with the rod a little out. One too long to show its parts is broken, and stands small
and whole below.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from math import cos, pi

from inspect_app.entries.job import Place
from inspect_app.figures.assembled import parts_of, stroke_words, to_scale
from inspect_app.figures.names import ABOVE, Tag, is_crowded, names_in_row, names_listed, row_tall
from inspect_app.figures.numbers import Number, Pointed, numbers_of
from inspect_app.figures.outlines import Frame, whole
from inspect_app.figures.section import Layout, Sizes, lay_out
from inspect_app.figures.shapes import Circle, Drawing, Label, Line, Shape
from inspect_app.figures.stations import turn_of
from inspect_app.figures.strokes import LINE, solid, text_width, written

OUT = 0.35
"""How far the rod is drawn out, a share of the stroke."""

LEAST_TALL, SMALL_TALL = 26.0, 26.0
"""A barrel lower than this shows no part any more; room for the whole cylinder below a broken one."""

SOFT, DOT = "guard", 2.2
STAGES_TALL = 44.0
"""How tall a cylinder whose stages lie one in another is drawn."""


@dataclass(frozen=True, slots=True)
class Spot:
    """A numbered finding: on which figure, where, and how long it is (mm, along the part)."""

    number: int
    figure: str
    place: Place
    long_mm: float = 0.0


def verdicts_drawing(
    kind: str,
    sizes: Sizes,
    tags: Sequence[Tag],
    spots: Sequence[Spot],
    *,
    system: str,
    width: float,
    height: float,
    text: float = 9.0,
) -> Drawing:
    """The cylinder, every part's verdict on it and the findings numbered.

    Args:
        kind: the kind of cylinder.
        sizes: its sizes.
        tags: its parts.
        spots: its findings.
        system: "metric" or "inch".
        width: of the drawing.
        height: the most it may take with each name on one line.
        text: size of its letters.
    """
    crowded = is_crowded(tags, width, text)
    above = [t for t in tags if t.figure in ABOVE and not crowded]
    below = [t for t in tags if t.figure not in ABOVE and not crowded]
    ring, row = text * 0.92, row_tall(above, width, text)
    over, under = 2.4 * ring, 3.3 * ring
    # names on several lines do not take the cylinder's room
    frame = Frame(2, row + over, width - 2, height + row - 4 * LINE * text - under - text * 1.5)
    section = _section(kind, sizes, frame)
    # on a side without numbers no room is left for them
    sides = {section.target(spot)[1] > section.frame.middle + 0.1 for spot in spots}
    over, under = (over if False in sides else 0.3 * ring), (under if True in sides else ring)
    frame = Frame(2, row + over, width - 2, row + over + frame.bottom - frame.top)
    section = _section(kind, sizes, frame)
    frame = section.frame
    on = [section.target(spot) for spot in spots]
    marked = tuple(s for spot, at in zip(spots, on, strict=True) for s in section.mark(spot, at))
    kept = _with_room(spots, on, frame.middle, 1 + int((width - 2 * ring - 2) / (2.3 * ring)))
    numbers = _numbers([spots[n] for n in kept], [on[n] for n in kept], frame, row, ring, width)
    dots = [Circle(*at, DOT, "beyond", filled=True) for n, at in enumerate(on) if n not in kept]
    foot = frame.bottom + under
    named = (
        *names_in_row(above, section.anchor, 0.0, row + 0.5, width, text, below=False),
        *names_in_row(below, section.anchor, foot, foot - 1, width, text, below=True),
    )
    said, tall = section.below(system, foot + (0.0 if crowded else row_tall(below, width, text)), text)
    shapes = (*section.shapes, *marked, *named, *(s for n in numbers for s in n.shapes(ring)), *said)
    if crowded:
        listed, tall = names_listed(tags, tall + text * 0.4, width, text)
        shapes = (*shapes, *listed)
    if dots:
        said = written(
            f"{len(dots)} more findings are dots here.", 2, tall + text * 0.7, width - 4, text, SOFT
        )
        shapes, tall = (*shapes, *dots, *said), tall + text * (0.3 + LINE * len(said))
    return Drawing(width, tall, shapes, _says(tags, spots))


def _with_room(
    spots: Sequence[Spot], on: Sequence[tuple[float, float]], middle: float, most: int
) -> list[int]:
    """Which findings have room for their numbers, on each side so many: those that decide most, numbered first."""
    kept: list[int] = []
    for below in (False, True):
        side = [n for n, (_, y) in enumerate(on) if (y > middle + 0.1) is below]
        kept += sorted(side, key=lambda n: spots[n].number)[:most]
    return sorted(kept)


def _numbers(
    spots: Sequence[Spot],
    on: Sequence[tuple[float, float]],
    frame: Frame,
    top: float,
    ring: float,
    width: float,
) -> list[Number]:
    """The findings' numbers beside the cylinder, below the row of names that ends at `top`."""
    pointed = [
        Pointed(s.number, False, (x, y - top), y > frame.middle + 0.1)
        for s, (x, y) in zip(spots, on, strict=True)
    ]
    inner = Frame(frame.left, frame.top - top, frame.right, frame.bottom - top)
    placed = numbers_of(pointed, inner, ring, width)
    return [Number(n.number, False, n.x, n.y + top, (n.target[0], n.target[1] + top)) for n in placed]


@dataclass(frozen=True, slots=True)
class _Section:
    """A cylinder as it is drawn: its shapes, where a part is pointed to, and where a place lies on it."""

    frame: Frame
    shapes: tuple[Shape, ...]
    anchor: Callable[[str], tuple[float, float]]
    target: Callable[[Spot], tuple[float, float]]
    mark: Callable[[Spot, tuple[float, float]], tuple[Shape, ...]]
    below: Callable[[str, float, float], tuple[tuple[Shape, ...], float]]


def _section(kind: str, sizes: Sizes, frame: Frame) -> _Section:
    if kind.startswith("telescopic"):
        return _outside(frame)
    layout, frame = _to_proportion(kind, sizes, frame)
    middle = frame.middle
    shapes = (*parts_of(layout, sizes, middle), *_grooves(layout, middle))
    stroke = (layout.piston[0] - layout.gland[1]) / (1 - OUT)
    shown = (sizes.stroke_mm or 1.0, stroke)

    def anchor(figure: str) -> tuple[float, float]:
        return _anchor(figure, layout, sizes, middle)

    def target(spot: Spot) -> tuple[float, float]:
        return _target(spot, layout, shown, sizes, middle)

    def mark(spot: Spot, at: tuple[float, float]) -> tuple[Shape, ...]:
        half = min(spot.long_mm * shown[1] / shown[0], stroke) / 2
        if spot.figure not in ("rod", "barrel") or half < 1:
            return ()
        start = layout.gland[1] - (OUT * stroke if spot.figure == "rod" else 0.0)
        ends = max(start, at[0] - half), min(start + stroke, at[0] + half)
        return (Line(ends[0], at[1], ends[1], at[1], "beyond", 3.2),)

    def below(system: str, y: float, text: float) -> tuple[tuple[Shape, ...], float]:
        words = stroke_words(sizes, system)
        if not layout.broken:
            scale = f"{words}; drawn to its proportions, the rod partly out"
            said = written(scale, frame.right, y + text * 0.7, frame.right, text, SOFT, right=True)
            return said, y + text * (0.15 + LINE * len(said))
        # the one that is reckoned holds how far the rod is drawn out
        reckoned = layout.closed_mm and layout.closed_mm - OUT * (sizes.stroke_mm or 0.0)
        closed = replace(layout, closed_mm=sizes.closed_known_mm or reckoned)
        room = Frame(frame.left, y + 1, frame.right, y + SMALL_TALL)
        words = f"{words}; the drawing above is broken" if sizes.stroke_mm else words
        if text_width(words, text) < frame.right / 2:
            return to_scale(closed, sizes, room, words, text), y + SMALL_TALL + 2
        end = y + SMALL_TALL
        said = written(words, frame.right, end + text * 0.7, frame.right, text, SOFT, right=True)
        whole_one = to_scale(closed, sizes, room, "", text)
        return (*whole_one, *said), end + text * (0.15 + LINE * len(said))

    return _Section(frame, shapes, anchor, target, mark, below)


def _to_proportion(kind: str, sizes: Sizes, frame: Frame) -> tuple[Layout, Frame]:
    """The layout with its rod out, as large as it goes whole, or broken where it would be too thin to see."""
    pulled = sizes.stroke_mm * (1 + OUT) if sizes.stroke_mm else None
    long = replace(sizes, stroke_mm=pulled, closed_mm=None)
    full, half = lay_out(kind, (), long, frame), frame.half
    layout, room = full, frame
    while layout.broken and sizes.stroke_mm and 2 * layout.outside > LEAST_TALL:
        half *= 0.94
        room = Frame(frame.left, frame.top, frame.right, frame.top + 2 * half)
        layout = lay_out(kind, (), long, room)
    if layout.broken:
        half = min(frame.half, 36.0)
        room = Frame(frame.left, frame.top, frame.right, frame.top + 2 * half)
        layout = lay_out(kind, (), long, room)
    return _pulled(layout), room


def _pulled(at: Layout) -> Layout:
    """The rod pulled out of a barrel of one stroke's length: gland to the right, piston to the left."""
    out = (at.piston[0] - at.gland[1]) * OUT / (1 + OUT)

    def right(pair: tuple[float, float], by: float) -> tuple[float, float]:
        return pair[0] + by, pair[1] + by

    return replace(
        at,
        gland=right(at.gland, out),
        flange=at.flange + out,
        piston=right(at.piston, -out),
        nut=at.nut - out,
    )


def _grooves(at: Layout, middle: float) -> tuple[Shape, ...]:
    """Rings as such parts usually carry them: three on the rod, three on the piston."""
    shapes: list[Shape] = []
    (gland, gland_end), (piston, piston_end) = at.gland, at.piston
    for n in range(3):
        for left, right, near, far in (
            (gland, gland_end, at.rod, at.rod + (at.bore - at.rod) * 0.3),
            (piston, piston_end, at.bore, at.bore - (at.bore - at.spigot) * 0.25),
        ):
            wide = (right - left) * 0.14
            x = left + (right - left) * (n + 0.5) / 3 - wide / 2
            for side in (-1, 1):
                top, bottom = sorted((middle + side * near, middle + side * far))
                shapes.append(solid(x, top, x + wide, bottom, "ink"))
    return tuple(shapes)


def _anchor(figure: str, at: Layout, sizes: Sizes, middle: float) -> tuple[float, float]:
    """Where the line from a part's name ends."""
    eye = at.eye if sizes.rod_eye else at.rod
    x, y = {
        "rod": ((at.rod_eye + at.gland[0]) / 2, middle - at.rod),
        "barrel": ((at.gland[1] + at.cap[0]) / 2, middle - at.outside),
        "gland": ((at.gland[0] + at.flange) / 2, middle - at.outside),
        "pins": (at.rod_eye, middle - eye),
        "piston": ((at.piston[0] + at.piston[1]) / 2, middle + at.bore),
        "grooves": ((at.gland[0] + at.gland[1]) / 2, middle + at.rod),
        "welds": (at.cap[1], middle + at.outside),
    }.get(figure, ((at.gland[1] + at.cap[0]) / 2, middle - at.outside))
    return x, y


def _target(
    spot: Spot, at: Layout, shown: tuple[float, float], sizes: Sizes, middle: float
) -> tuple[float, float]:
    """Where a finding lies: by its station and clock on rod and barrel, on the part itself elsewhere."""
    turn = turn_of(spot.place.clock)
    side = 0.9 if turn is None else -cos(2 * pi * turn)
    try:
        along = float(spot.place.station) / shown[0]
    except ValueError:
        along = None
    starts = {"rod": at.gland[1] - OUT * shown[1], "barrel": at.gland[1]}
    if along is not None and spot.figure in starts:
        radius = at.rod if spot.figure == "rod" else at.bore
        return starts[spot.figure] + min(max(along, 0.0), 1.0) * shown[1], middle + side * radius
    if spot.figure == "pins":
        cap = spot.place.station.startswith("cap")
        eye = at.eye if (sizes.cap_eye if cap else sizes.rod_eye) else at.rod
        return (at.cap_eye if cap else at.rod_eye), middle + eye * 0.5
    x, y = _anchor(spot.figure, at, sizes, middle)
    return x, middle + abs(y - middle)


def _outside(frame: Frame) -> _Section:
    """A cylinder whose stages lie one in another, from outside: to no scale, which is said."""
    outline = whole(Frame(frame.left, frame.top, frame.right, min(frame.bottom, frame.top + STAGES_TALL)), 0)
    shown = Frame(frame.left, frame.top, frame.right, min(frame.bottom, frame.top + STAGES_TALL))
    ends = {"pins": shown.left + 10, "rod": outline.start - 30, "gland": outline.start, "welds": outline.end}

    def anchor(figure: str) -> tuple[float, float]:
        x = ends.get(figure, (outline.start + outline.end) / 2)
        return x, outline.top if figure in ABOVE else outline.bottom

    def below(system: str, y: float, text: float) -> tuple[tuple[Shape, ...], float]:
        return (Label(shown.right, y + text * 0.7, "drawn to no scale", text, SOFT, "end"),), y + text * 1.4

    return _Section(
        shown, outline.shapes, anchor, lambda spot: anchor(spot.figure), lambda spot, at: (), below
    )


def _says(tags: Sequence[Tag], spots: Sequence[Spot]) -> str:
    """The drawing in words."""
    parts = "; ".join(f"{t.title}: {t.words}" for t in tags)
    found = f" {len(spots)} findings are numbered on it." if spots else ""
    return f"The cylinder with what becomes of every part. {parts}.{found}"
