"""The assembled cylinder in section, each line of its seal list numbered on it; knows no limits and no toolkit."""

from __future__ import annotations

from collections.abc import Sequence

from inspect_app.figures.outlines import Frame
from inspect_app.figures.section import Cut, Layout, Sizes, lay_out
from inspect_app.figures.shapes import Circle, Drawing, Label, Line, Polygon, Shape, arc
from inspect_app.figures.strokes import (
    box,
    centre_line,
    falling_hatch,
    hatch,
    inside,
    moved,
    solid,
    span_of,
)
from inspect_app.job.seals.line import SealLine
from inspect_app.job.seals.seal_list import SealList
from inspect_app.trade.measuring.amounts import Amount

DRAWN = ("gland", "piston", "rod end", "cap end", "cylinder")
"""The places of a cylinder that this section has; a cylinder with others is not drawn."""

BELOW = ("gland-static-ring", "piston-static-ring", "retainer", "plug-ring")
"""What is numbered below the cylinder, so that the rings on rod and bore have the room above it."""

SOFT = "guard"
SMALL_TALL = 0.13
"""Room for the cylinder drawn small and whole: a share of the drawing's height."""


def assembled(
    listing: SealList, sizes: Sizes, *, system: str, width: float, height: float, text: float = 9.0
) -> Drawing | None:
    """A cylinder cut along its axis with every line of its seal list numbered, and small below it its own proportions.

    A line with an open doubt has its number in a ring cut on both sides; a groove nobody measured is hollow.

    Args:
        listing: its seal list.
        sizes: its sizes.
        system: "metric" or "inch".
        width: of the drawing.
        height: of the drawing.
        text: size of its letters.
    """
    if not listing.lines or any(line.place not in DRAWN for line in listing.lines):
        return None
    ring = text * 0.95
    small = Frame(2, height * (1 - SMALL_TALL), width - 2, height - 2)
    frame = Frame(2, 2 * ring + text, width - 2, small.top - 2 * ring - text * 1.4)
    layout = lay_out(listing.lines, sizes, frame)
    middle = frame.middle
    numbers = _numbers(listing.lines, layout, frame, ring, width)
    stroke, said = _stroke(layout, sizes, frame, numbers, system, text)
    shapes = [
        *_parts(layout, sizes, middle),
        *(s for cut in layout.cuts for s in _ring(cut, middle)),
        *(s for at in numbers for s in at.shapes(ring)),
        *stroke,
        *_small(layout, sizes, small, "" if said else _stroke_words(sizes, system), text),
    ]
    spots = tuple((n.x, n.y, n.number) for n in numbers)
    return Drawing(width, height, tuple(shapes), _says(listing, layout, sizes, system), spots)


def _wall(
    left: float, right: float, middle: float, inner: float, outer: float, falling: bool
) -> tuple[Shape, ...]:
    """A part cut through, above and below the axis, hatched its own way."""
    lines = falling_hatch if falling else hatch
    shapes: list[Shape] = []
    for top, bottom in ((middle - outer, middle - inner), (middle + inner, middle + outer)):
        shapes += [
            solid(left, top, right, bottom),
            *lines(left, top, right, bottom),
            box(left, top, right, bottom, weight=1.1),
        ]
    return tuple(shapes)


def _parts(at: Layout, sizes: Sizes, middle: float) -> tuple[Shape, ...]:
    """Eyes, barrel, gland, rod, piston, nut and cap, back to front."""
    eyes = ((at.rod_eye, sizes.rod_eye), (at.cap_eye, sizes.cap_eye))
    (gland, gland_end), (piston, piston_end), (cap, end) = at.gland, at.piston, at.cap
    rod_from = at.rod_eye + (at.eye * 0.9 if sizes.rod_eye else 0)
    shapes = [
        *(s for x, there in eyes if there for s in _eye(x, middle, at.eye)),
        solid(at.flange, middle - at.bore, cap, middle + at.bore),
        *_wall(at.flange, end, middle, at.bore, at.outside, falling=False),
        *_wall(cap, end, middle, 0, at.bore, falling=False),
        *_wall(at.flange, gland_end, middle, at.rod, at.bore, falling=True),
        *_wall(gland, at.flange, middle, at.rod, at.outside, falling=True),
        *_wall(piston, piston_end, middle, at.spigot, at.bore, falling=True),
        *_bar(rod_from, piston, middle, at.rod),
        *_bar(piston, at.nut, middle, at.spigot),
        *_bar(piston_end, at.nut, middle, (at.spigot + at.bore) / 2 * 0.8),
        *(_break(at, (gland_end + piston) / 2, middle) if at.broken else ()),
        *centre_line(
            at.rod_eye - (at.eye if sizes.rod_eye else 4),
            at.cap_eye + (at.eye if sizes.cap_eye else 4 - at.eye),
            middle,
        ),
    ]
    return tuple(shapes)


def _bar(left: float, right: float, middle: float, half: float) -> tuple[Shape, ...]:
    edges = (left, middle - half, right, middle + half)
    return solid(*edges), box(*edges, weight=1.1)


def _eye(x: float, middle: float, radius: float) -> tuple[Shape, ...]:
    return (
        Circle(x, middle, radius, "fill", filled=True),
        Circle(x, middle, radius, "ink", 1.1),
        Circle(x, middle, radius * 0.5, "ink", 1.1),
    )


def _break(at: Layout, x: float, middle: float) -> tuple[Shape, ...]:
    """A piece of the barrel taken out: everything is wiped away between two wavy edges."""
    half, reach = at.outside + 4, 4.0
    ys = [middle - half + 2 * half * n / 8 for n in range(9)]
    edges = [[(x + side * reach + (2.0 if n % 2 else -2.0), y) for n, y in enumerate(ys)] for side in (-1, 1)]
    gap = Polygon((*edges[0], *reversed(edges[1])), "fill", filled=True)
    return gap, *(Polygon(tuple(edge), "ink", 0.9, closed=False) for edge in edges)


def _ring(cut: Cut, middle: float) -> tuple[Shape, ...]:
    """A groove with its ring, above and below the axis; hollow where nobody measured it."""
    shapes: list[Shape] = []
    for side in (-1, 1):
        top, bottom = sorted((middle + side * cut.near, middle + side * cut.floor))
        shapes.append(solid(cut.left, top, cut.right, bottom, "ink" if cut.known else "fill"))
        shapes.append(box(cut.left, top, cut.right, bottom, weight=0.9))
    return tuple(shapes)


class _Number:
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


def _numbers(
    lines: Sequence[SealLine], layout: Layout, frame: Frame, ring: float, width: float
) -> list[_Number]:
    """Every line's number, above or below the cylinder, none over another and no two leaders crossing."""
    found: list[_Number] = []
    for below in (False, True):
        row = [
            (_target(n, line, layout, frame.middle, below), n, line)
            for n, line in enumerate(lines, 1)
            if (line.position in BELOW) is below
        ]
        row.sort(key=lambda at: at[0][0])
        y = frame.bottom + ring * 2.1 if below else ring + 1
        xs = spread([target[0] for target, _, _ in row], 2.3 * ring, ring + 1, width - ring - 1)
        found += [
            _Number(n, not line.orderable, x, y, target) for x, (target, n, line) in zip(xs, row, strict=True)
        ]
    return found


def _target(number: int, line: SealLine, at: Layout, middle: float, below: bool) -> tuple[float, float]:
    """What a number points to: its ring, or where such a thing usually sits."""
    cut = next((c for c in at.cuts if c.number == number), None)
    side = 1 if below else -1
    if cut:
        return cut.middle, middle + side * max(cut.near, cut.floor)
    head, cap = (at.gland[0] + at.flange) / 2, at.cap[0]
    x, radius = {
        ("cushion-seal", "rod end"): (at.piston[0] - 4, at.rod),
        ("cushion-seal", "cap end"): (at.nut, at.spigot),
        ("cushion-screw-ring", "rod end"): (head, at.outside),
        ("cushion-screw-ring", "cap end"): ((cap + at.cap[1]) / 2, at.outside),
        ("plug-ring", "cylinder"): (cap - 8, at.outside),
        ("retainer", "cylinder"): ((at.piston[1] + at.nut) / 2, at.spigot),
    }.get(line.where, (at.cap[1], at.outside))
    return x, middle + side * radius


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


def _stroke(
    at: Layout, sizes: Sizes, frame: Frame, numbers: Sequence[_Number], system: str, text: float
) -> tuple[tuple[Shape, ...], bool]:
    """The stroke under the chamber the piston runs through, and whether the numbers leave its words room there."""
    left, right, y = at.gland[1], at.piston[0], frame.bottom + text * 0.9
    rule = (
        Line(left, y, right, y, SOFT, 0.8),
        *(Line(x, y - 3, x, y + 3, SOFT, 0.8) for x in (left, right)),
    )
    label = Label((left + right) / 2, y + text * 1.1, _stroke_words(sizes, system), text, SOFT)
    label = inside(label, frame.left, frame.right)
    start, end = span_of(label)
    taken = any(start - 2 * text < n.x < end + 2 * text for n in numbers if n.y > frame.middle)
    return (rule, False) if taken else ((*rule, label), True)


def _stroke_words(sizes: Sizes, system: str) -> str:
    return f"stroke {_words(sizes.stroke_mm, system)}" if sizes.stroke_mm else "stroke not known"


def _small(at: Layout, sizes: Sizes, room: Frame, words: str, text: float) -> tuple[Shape, ...]:
    """The closed cylinder to one scale in both directions: a short one and a long one do not look alike."""
    said = ", ".join(w for w in (words, "to scale" if at.closed_mm else "") if w)
    label = Label(room.right, room.bottom - text * 0.6, said, text, SOFT, "end")
    if at.closed_mm is None:
        return (label,) if said else ()
    outside, eye, rod = (2 * at.outside / at.scale, at.eye / at.scale, at.rod / at.scale)
    scale = min((span_of(label)[0] - 12 - room.left) / at.closed_mm, 2 * room.half / outside)
    half, eye, rod = outside * scale / 2, eye * scale, rod * scale
    left, end = room.left, room.left + at.closed_mm * scale
    tube = left + (2 * eye if sizes.rod_eye else 0) + half * 0.4, end - (2 * eye if sizes.cap_eye else 0)
    ends = ((left + eye, sizes.rod_eye), (end - eye, sizes.cap_eye))
    body: list[Shape] = [
        box(left + eye, -rod, tube[0], rod, weight=0.9),
        solid(tube[0], -half, tube[1], half),
        box(tube[0], -half, tube[1], half, weight=0.9),
        *(s for x, there in ends if there for s in _eye(x, 0, max(eye, 1.0))),
    ]
    return (*(moved(shape, 0, room.middle) for shape in body), label)


def _words(mm: float, system: str) -> str:
    return Amount(mm, "length", -2).words(system)


def _says(listing: SealList, at: Layout, sizes: Sizes, system: str) -> str:
    """The drawing in words."""
    given = (("bore", sizes.bore_mm), ("rod", sizes.rod_mm), ("stroke", sizes.stroke_mm))
    known = ", ".join(f"{name} {_words(mm, system)}" for name, mm in given if mm)
    listed = ", ".join(f"{n} {line.title}" for n, line in enumerate(listing.lines, 1))
    doubt = ", ".join(str(n) for n, line in enumerate(listing.lines, 1) if not line.orderable)
    unknown = f" Not known: {', '.join(at.unknown)}." if at.unknown else ""
    open_words = f" Not yet to be ordered: {doubt}." if doubt else ""
    return f"Section of the cylinder: {known or 'no size known'}.{unknown} {listed}.{open_words}"
