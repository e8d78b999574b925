"""The assembled cylinder in section, each line of its seal list numbered on it; knows no limits and no toolkit."""

from __future__ import annotations

from collections.abc import Sequence

from inspect_app.figures.numbers import Number, Pointed, numbers_of
from inspect_app.figures.outlines import Frame
from inspect_app.figures.section import Layout, Sizes, lay_out, not_known
from inspect_app.figures.shapes import Circle, Drawing, Label, Line, Polygon, Shape
from inspect_app.figures.strokes import box, centre_line, inside, moved, solid, span_of
from inspect_app.figures.telescope import BELOW as TELESCOPIC_BELOW
from inspect_app.figures.telescope import telescope
from inspect_app.figures.walls import ring_of, wall
from inspect_app.job.seals.line import SealLine
from inspect_app.job.seals.seal_list import SealList
from inspect_app.trade.measuring.amounts import Amount

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
    if not listing.lines:
        return None
    ring = min(text * 0.95, (width - 2) / 2.3 / _row(listing))
    small = Frame(2, height * (1 - SMALL_TALL), width - 2, height - 2)
    frame = Frame(2, 2 * ring + text, width - 2, small.top - 2 * ring - text * 1.4)
    if listing.kind.startswith("telescopic"):
        nested = telescope(listing.lines, frame)
        numbers = numbers_of(nested.pointed, frame, ring, width)
        shapes = nested.shapes
    else:
        layout = lay_out(listing.kind, listing.lines, sizes, frame)
        numbers = numbers_of(_pointed(listing.lines, layout, frame.middle), frame, ring, width)
        stroke, said = _stroke(layout, sizes, frame, numbers, system, text)
        words = "" if said else stroke_words(sizes, system)
        grooves = (s for cut in layout.cuts for s in ring_of(cut, frame.middle))
        below = to_scale(layout, sizes, small, words, text)
        shapes = (*parts_of(layout, sizes, frame.middle), *grooves, *stroke, *below)
    spots = tuple((n.x, n.y, n.number) for n in numbers)
    shapes = (*shapes, *(s for at in numbers for s in at.shapes(ring)))
    return Drawing(width, height, shapes, _says(listing, sizes, system), spots)


def drawn_by(listing: SealList, sizes: Sizes) -> str:
    """What of the drawing is not to scale, in a sentence; "" where everything is as given.

    Args:
        listing: its seal list.
        sizes: its sizes.
    """
    if listing.kind.startswith("telescopic"):
        return "Drawn to no scale: only where each seal sits is true."
    missing = not_known(sizes)
    return f"Not known, drawn as usual: {', '.join(missing)}." if missing else ""


def _row(listing: SealList) -> int:
    """The greater number of lines that stand beside each other."""
    of = TELESCOPIC_BELOW if listing.kind.startswith("telescopic") else BELOW
    below = sum(line.position in of for line in listing.lines)
    return max(below, len(listing.lines) - below)


def parts_of(at: Layout, sizes: Sizes, middle: float) -> tuple[Shape, ...]:
    """Eyes, barrel, gland, rod, piston, nut and cap, back to front.

    Args:
        at: where they lie.
        sizes: the cylinder's sizes, for which ends have an eye.
        middle: height of the axis.
    """
    eyes = ((at.rod_eye, sizes.rod_eye), (at.cap_eye, sizes.cap_eye))
    (gland, gland_end), (piston, piston_end), (cap, end) = at.gland, at.piston, at.cap
    shapes = [
        *(s for x, there in eyes if there for s in _eye(x, middle, at.eye)),
        solid(at.flange, middle - at.bore, cap, middle + at.bore),
        *wall(at.flange, end, middle, at.bore, at.outside, falling=False),
        *_end(at, middle),
        *wall(at.flange, gland_end, middle, at.rod, at.bore, falling=True),
        *wall(gland, at.flange, middle, at.rod, at.outside, falling=True),
        *(wall(piston, piston_end, middle, at.spigot, at.bore, falling=True) if piston_end > piston else ()),
        *_rod(at, sizes, middle),
        *(_break(at, (gland_end + piston) / 2, middle) if at.broken else ()),
        *centre_line(
            at.rod_eye - (at.eye if sizes.rod_eye else 4),
            at.cap_eye + (at.eye if sizes.cap_eye else 4 - at.eye),
            middle,
        ),
    ]
    return tuple(shapes)


def _end(at: Layout, middle: float) -> tuple[Shape, ...]:
    """The cap of the barrel; of a tie-rod cylinder with its rods, of a double-rod one the other gland."""
    cap, end = at.cap
    if at.kind == "double-rod":
        flange = end - (at.flange - at.gland[0])
        return (
            *wall(cap, flange, middle, at.rod, at.bore, falling=True),
            *wall(flange, end, middle, at.rod, at.outside, falling=True),
        )
    if at.kind != "tie-rod":
        return wall(cap, end, middle, 0, at.bore, falling=False)
    flange = cap + (end - cap) * 0.6
    near, far = at.outside + at.ties * 0.3, at.outside + at.ties * 0.8
    return (
        *wall(cap, flange, middle, 0, at.bore, falling=True),
        *wall(flange, end, middle, 0, far, falling=True),
        *wall(at.gland[0], at.flange, middle, at.bore, far, falling=True),
        *(
            s
            for low, high in ((middle - far, middle - near), (middle + near, middle + far))
            for s in _edged(at.gland[0] - 5, low, end + 5, high)
        ),
    )


def _rod(at: Layout, sizes: Sizes, middle: float) -> tuple[Shape, ...]:
    """The rod with its spigot and nut; a plunger ends in its foot, and a double rod runs on."""
    left = at.rod_eye + (at.eye * 0.9 if sizes.rod_eye else 0)
    (piston, piston_end), right = at.piston, at.cap_eye - at.eye * (0.9 if sizes.cap_eye else 1)
    if at.kind == "ram":
        return _bar(left, piston_end, middle, at.rod)
    bars = (*_bar(left, piston, middle, at.rod), *_bar(piston, at.nut, middle, at.spigot))
    if at.kind == "double-rod":
        # drawn out of its far gland much shorter than it is
        return (
            *bars, *_bar(piston_end, right, middle, at.rod), *_break(at, (at.cap[1] + right) / 2, middle),
        )  # fmt: skip
    return (*bars, *_bar(piston_end, at.nut, middle, (at.spigot + at.bore) / 2 * 0.8))


def _edged(left: float, top: float, right: float, bottom: float) -> tuple[Shape, ...]:
    return solid(left, top, right, bottom), box(left, top, right, bottom, weight=1.0)


def _bar(left: float, right: float, middle: float, half: float) -> tuple[Shape, ...]:
    return _edged(left, middle - half, right, middle + half)


def _eye(x: float, middle: float, radius: float) -> tuple[Shape, ...]:
    return (
        Circle(x, middle, radius, "fill", filled=True),
        Circle(x, middle, radius, "ink", 1.1),
        Circle(x, middle, radius * 0.5, "ink", 1.1),
    )


def _break(at: Layout, x: float, middle: float) -> tuple[Shape, ...]:
    """A piece of the barrel taken out: everything is wiped away between two wavy edges."""
    half, reach = max(4.0, at.ties) + at.outside, 4.0
    ys = [middle - half + 2 * half * n / 8 for n in range(9)]
    edges = [[(x + side * reach + (2.0 if n % 2 else -2.0), y) for n, y in enumerate(ys)] for side in (-1, 1)]
    gap = Polygon((*edges[0], *reversed(edges[1])), "fill", filled=True)
    return gap, *(Polygon(tuple(edge), "ink", 0.9, closed=False) for edge in edges)


def _pointed(lines: Sequence[SealLine], at: Layout, middle: float) -> list[Pointed]:
    found = []
    for n, line in enumerate(lines, 1):
        below = line.position in BELOW
        found.append(Pointed(n, not line.orderable, _target(n, line, at, middle, below), below))
    return found


def _target(number: int, line: SealLine, at: Layout, middle: float, below: bool) -> tuple[float, float]:
    """What a number points to: its ring, or where such a thing usually sits."""
    cut = next((c for c in at.cuts if c.number == number), None)
    side = 1 if below else -1
    if cut:
        return cut.middle, middle + side * max(cut.near, cut.floor)
    head, cap = (at.gland[0] + at.flange) / 2, at.cap[0]
    place = {"head end": "rod end", "end A": "rod end", "end B": "cap end"}.get(line.place, line.place)
    if at.kind == "ram" and line.position == "retainer":
        return at.piston[0] - 4, middle + side * at.rod
    x, radius = {
        ("cushion-seal", "rod end"): (at.piston[0] - 4, at.rod),
        ("cushion-seal", "cap end"): (at.nut, at.spigot),
        ("cushion-screw-ring", "rod end"): (head, at.outside),
        ("cushion-screw-ring", "cap end"): ((cap + at.cap[1]) / 2, at.outside),
        ("plug-ring", "cylinder"): (cap - 8, at.outside),
        ("retainer", "cylinder"): ((at.piston[1] + at.nut) / 2, at.spigot),
    }.get((line.position, place), (at.cap[1], at.outside))
    return x, middle + side * radius


def _stroke(
    at: Layout, sizes: Sizes, frame: Frame, numbers: Sequence[Number], system: str, text: float
) -> tuple[tuple[Shape, ...], bool]:
    """The stroke under the chamber the piston runs through, and whether the numbers leave its words room there."""
    left, right, y = at.gland[1], at.piston[0], frame.bottom + text * 0.9
    rule = (
        Line(left, y, right, y, SOFT, 0.8),
        *(Line(x, y - 3, x, y + 3, SOFT, 0.8) for x in (left, right)),
    )
    label = Label((left + right) / 2, y + text * 1.1, stroke_words(sizes, system), text, SOFT)
    label = inside(label, frame.left, frame.right)
    start, end = span_of(label)
    taken = any(start - 2 * text < n.x < end + 2 * text for n in numbers if n.y > frame.middle)
    return (rule, False) if taken else ((*rule, label), True)


def stroke_words(sizes: Sizes, system: str) -> str:
    """The stroke as it stands under a cylinder.

    Args:
        sizes: its sizes.
        system: "metric" or "inch".
    """
    return f"stroke {_words(sizes.stroke_mm, system)}" if sizes.stroke_mm else "stroke not known"


def to_scale(at: Layout, sizes: Sizes, room: Frame, words: str, text: float) -> tuple[Shape, ...]:
    """The closed cylinder to one scale in both directions: a short one and a long one do not look alike.

    Args:
        at: where its parts lie in the section.
        sizes: its sizes.
        room: the room for it.
        words: what is said beside it.
        text: size of its letters.
    """
    said = ", ".join(w for w in (words, _scale_words(at, sizes)) if w)
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


def _scale_words(at: Layout, sizes: Sizes) -> str:
    """How true the small picture is: nothing is said of one whose diameters are not all known."""
    if at.closed_mm is None or set(not_known(sizes)) - {"stroke"}:
        return ""
    return (
        "to scale" if sizes.closed_known_mm else "about to scale"
    )  # the stroke is known, the heads are as usual


def _words(mm: float, system: str) -> str:
    return Amount(mm, "length", -2).words(system)


def _says(listing: SealList, sizes: Sizes, system: str) -> str:
    """The drawing in words."""
    given = (("bore", sizes.bore_mm), ("rod", sizes.rod_mm), ("stroke", sizes.stroke_mm))
    known = ", ".join(f"{name} {_words(mm, system)}" for name, mm in given if mm)
    listed = ", ".join(f"{n} {line.title}" for n, line in enumerate(listing.lines, 1))
    doubt = ", ".join(str(n) for n, line in enumerate(listing.lines, 1) if not line.orderable)
    scale = f"{said} " if (said := drawn_by(listing, sizes)) else ""
    open_words = f" Not yet to be ordered: {doubt}." if doubt else ""
    return f"Section of the cylinder: {known or 'no size known'}. {scale}{listed}.{open_words}"
