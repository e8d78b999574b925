"""How the parts of a cylinder look from the side, in thin lines; knows no readings and no verdicts.

The gland end is always on the left: stations count from there to the right, as on the bench.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from typing import NamedTuple

from inspect_app.figures.shapes import Circle, Line, Polygon, Shape
from inspect_app.figures.strokes import box, centre_line, dashes, hatch, solid

FAINT = "faint"


@dataclass(frozen=True, slots=True)
class Frame:
    """The room a part is drawn in."""

    left: float
    top: float
    right: float
    bottom: float

    @property
    def middle(self) -> float:
        """The height of the centre line."""
        return (self.top + self.bottom) / 2

    @property
    def width(self) -> float:
        """From left to right."""
        return self.right - self.left

    @property
    def half(self) -> float:
        """Half the height."""
        return (self.bottom - self.top) / 2


class Surface(NamedTuple):
    """A surface of a part: from `start` to `end` along it, from `top` to `bottom`; `measured` is its circle in the
    end view, as a share of the largest."""

    start: float
    end: float
    top: float
    bottom: float
    measured: float = 1.0


@dataclass(frozen=True, slots=True)
class Outline:
    """A part's lines; its stations run from `start` to `end`, its measured surface from `top` to `bottom`.

    `rings` are the circles of its end view as shares of the largest, `measured` the one that is measured;
    `datum` names the left end. `surfaces` are others that are measured on it, by name; `level` is the height of
    a place without a clock, None for the middle.
    """

    shapes: tuple[Shape, ...]
    start: float
    end: float
    top: float
    bottom: float
    rings: tuple[float, ...] = (1.0,)
    measured: float = 1.0
    datum: str = "gland end"
    surfaces: Mapping[str, Surface] = field(default_factory=dict)
    level: float | None = None

    def on(self, name: str) -> Outline:
        """The same part with another of its surfaces measured; one that is not drawn leaves it as it is.

        Args:
            name: the surface.
        """
        surface = self.surfaces.get(name)
        if surface is None:
            return self
        rings = self.rings if surface.measured in self.rings else (*self.rings, surface.measured)
        return replace(self, **surface._asdict(), rings=rings, level=surface.top)


def _bar(left: float, right: float, middle: float, half: float, weight: float = 1.2) -> tuple[Shape, ...]:
    """A turned length seen from the side."""
    edges = (left, middle - half, right, middle + half)
    return solid(*edges), box(*edges, weight=weight)


def _eye(x: float, y: float, radius: float) -> tuple[Shape, ...]:
    return (
        Circle(x, y, radius, "fill", filled=True),
        Circle(x, y, radius, "ink", 1.2),
        Circle(x, y, radius * 0.48, "ink", 1.0),
    )


def _thread(left: float, right: float, middle: float, half: float) -> tuple[Shape, ...]:
    """A threaded length: outline, and the thread's root as thin inner lines."""
    root = half * 0.8
    inner = tuple(Line(left, y, right, y, FAINT, 0.8) for y in (middle - root, middle + root))
    return (*_bar(left, right, middle, half, 1.0), *inner)


def rod(frame: Frame, stations: int) -> Outline:
    """A piston rod: eye at the gland end, the chromed length, spigot and thread for the piston.

    Args:
        frame: the room for it.
        stations: how many stations it has.
    """
    middle, half = frame.middle, frame.half
    eye = min(half * 0.95, frame.width * 0.09)
    neck, chrome_end = frame.left + 2 * eye, frame.right - frame.width * 0.13
    chrome_start, body = neck + frame.width * 0.03, half * 0.6
    step = chrome_end + (frame.right - chrome_end) * 0.35
    shapes: tuple[Shape, ...] = (
        *_bar(neck - eye * 0.35, chrome_start, middle, body * 0.8),
        *_eye(frame.left + eye, middle, eye),
        *_bar(chrome_end, step, middle, body * 0.62, 1.0),
        *_thread(step, frame.right, middle, body * 0.5),
        *_bar(chrome_start, chrome_end, middle, body),
        *centre_line(frame.left, frame.right, middle),
    )
    seat, spigot = (chrome_end + step) / 2, body * 0.62
    apart = 2 * (seat - chrome_start - 6)
    surfaces = {
        "spigot": Surface(chrome_end, step, middle - spigot, middle + spigot, 0.62),
        # its two places stand at a quarter and three quarters: beside the eye, and on the piston's seat
        "ends": Surface(seat - apart * 0.75, seat + apart * 0.25, middle, middle),
        "face": Surface(chrome_end, chrome_end, middle - body * 0.85, middle + body * 0.85),
    }
    return Outline(shapes, chrome_start, chrome_end, middle - body, middle + body, surfaces=surfaces)


def _wall(left: float, top: float, right: float, bottom: float) -> tuple[Shape, ...]:
    """A cut wall: outlined and hatched."""
    return (
        solid(left, top, right, bottom),
        *hatch(left, top, right, bottom),
        box(left, top, right, bottom, weight=1.1),
    )


def barrel(frame: Frame, stations: int) -> Outline:
    """A barrel cut open along its axis, with its ports; open at the gland end, the cap on the right.

    Args:
        frame: the room for it.
        stations: how many stations it has.
    """
    boss = frame.half * 0.2
    top, bottom, wall = frame.top + boss, frame.bottom, frame.half * 0.26
    middle, cap = (top + bottom) / 2, frame.right - frame.width * 0.08
    left, port = frame.left, min(9.0, frame.width * 0.03)
    half_seat = (bottom - top) / 2 * 0.3
    shapes: list[Shape] = [solid(left, top, cap, bottom)]
    for x in (left + frame.width * 0.1, cap - frame.width * 0.05):
        shapes += [*_bar(x - port, x + port, frame.top + boss / 2 + 1, boss / 2 + 1, 1.0)]
    shapes += [
        *_wall(left, top, cap, top + wall),
        *_wall(left, bottom - wall, cap, bottom),
        *_wall(cap, top, frame.right, bottom),
    ]
    for x in (left + frame.width * 0.1, cap - frame.width * 0.05):
        shapes += [solid(x - port / 2, top - 1, x + port / 2, top + wall + 1)]
        shapes += [Line(x + s * port / 2, frame.top, x + s * port / 2, top + wall) for s in (-1, 1)]
    shapes += centre_line(left - 2, frame.right, middle)
    surfaces = {
        "mouth": Surface(left, left + frame.width * 0.06, top + wall, bottom - wall, 0.76),
        "outside": Surface(left, cap, top, bottom),
        "wall": Surface(left, cap, top + wall / 2, bottom - wall / 2),
        "cap seat": Surface(cap, frame.right, middle - half_seat, middle + half_seat, 0.3),
    }
    return Outline(tuple(shapes), left, cap, top + wall, bottom - wall, (1.0, 0.76), 0.76, surfaces=surfaces)


def _grooved(
    left: float, right: float, middle: float, half: float, cuts: tuple[tuple[float, float], ...]
) -> tuple[Shape, ...]:
    """A turned length with grooves round it: from and to as shares of its length, a fifth of the radius deep."""
    long, floor = right - left, half * 0.8
    edge = [
        (0.0, half),
        *((x, r) for a, b in cuts for x, r in ((a, half), (a, floor), (b, floor), (b, half))),
    ]
    edge.append((1.0, half))
    above = [(left + long * x, middle - r) for x, r in edge]
    below = [(left + long * x, middle + r) for x, r in reversed(edge)]
    corners = (*above, *below)
    sides = (left + long * x for cut in cuts for x in cut)
    return (
        Polygon(corners, "fill", filled=True),
        *(Line(x, middle - floor, x, middle + floor, FAINT, 0.8) for x in sides),
        Polygon(corners, "ink", 1.2),
    )


def _hidden_groove(
    left: float, right: float, middle: float, radius: float, floor: float
) -> tuple[Shape, ...]:
    """A groove inside a bore, seen through the metal: its sides and its floor, above and below the axis."""
    lines: list[Shape] = []
    for side in (-1, 1):
        edge, deep = middle + side * radius, middle + side * floor
        lines += [Line(left, edge, left, deep, FAINT, 0.8), Line(right, edge, right, deep, FAINT, 0.8)]
        lines.append(Line(left, deep, right, deep, FAINT, 0.8))
    return tuple(lines)


def piston(frame: Frame, stations: int) -> Outline:
    """A piston with the grooves of its wear rings and its seal, the bore for the rod hidden.

    Args:
        frame: the room for it.
        stations: how many stations it has.
    """
    middle, half = frame.middle, frame.half * 0.84
    long = min(frame.width * 0.8, half * 4.4)
    left = frame.left + (frame.width - long) / 2
    right, bore, under_seat = left + long, half * 0.38, half * 0.5
    shapes = (
        *_grooved(left, right, middle, half, ((0.13, 0.27), (0.40, 0.60), (0.73, 0.87))),
        *(line for y in (middle - bore, middle + bore) for line in dashes(left, y, right, y)),
        *_hidden_groove(left + long * 0.44, left + long * 0.56, middle, bore, under_seat),
        *centre_line(left - 8, right + 8, middle),
    )
    floor = half * 0.8

    def cut(start: float, end: float, radius: float) -> Surface:
        return Surface(
            left + long * start, left + long * end, middle - radius, middle + radius, radius / half
        )

    surfaces = {
        "bore": cut(0.0, 1.0, bore),
        "piston wear ring": cut(0.13, 0.27, floor),
        "piston seal": cut(0.40, 0.60, floor),
        "piston static ring": cut(0.44, 0.56, under_seat),
    }
    return Outline(shapes, left, right, middle - half, middle + half, (1.0, 0.38), surfaces=surfaces)


GLAND_GROOVES = {
    "wiper": (0.04, 0.14), "rod seal": (0.30, 0.42), "buffer seal": (0.48, 0.58), "gland wear ring": (0.66, 0.88),
}  # fmt: skip
"""Where the grooves inside a gland lie, as shares of its length."""

STATIC_GROOVE = (0.59, 0.65)
"""Where the groove round its outside lies, between those inside."""


def _cut(left: float, right: float, edge: float, floor: float) -> tuple[Shape, ...]:
    """A groove in a wall that is cut open, from the wall's edge to the groove's floor."""
    return (
        solid(left, min(floor, edge) - 1, right, max(floor, edge) + 1),
        Polygon(((left, edge), (left, floor), (right, floor), (right, edge)), "ink", 1.1, closed=False),
    )


def gland(frame: Frame, stations: int) -> Outline:
    """A gland cut open: flange outwards on the left, the grooves of wiper, seals and wear ring inside.

    Args:
        frame: the room for it.
        stations: how many stations it has.
    """
    middle, half = frame.middle, frame.half * 0.96
    long = min(frame.width * 0.84, half * 4.6)
    left = frame.left + (frame.width - long) / 2
    right, bore, spigot, flange = left + long, half * 0.42, half * 0.84, left + long * 0.26
    static = spigot - half * 0.14
    shapes: list[Shape] = [solid(left, middle - bore, right, middle + bore)]
    for side in (-1, 1):
        outer, inner = (middle + side * spigot, middle + side * bore)
        shapes += _wall(flange, min(outer, inner), right, max(outer, inner))
        outer = middle + side * half
        shapes += _wall(left, min(outer, inner), flange, max(outer, inner))
        for a, b in GLAND_GROOVES.values():
            shapes += _cut(left + long * a, left + long * b, inner, middle + side * (bore + half * 0.18))
        a, b = STATIC_GROOVE
        shapes += _cut(left + long * a, left + long * b, middle + side * spigot, middle + side * static)
    shapes += [Line(x, middle - bore, x, middle + bore, FAINT, 0.8) for x in (left, right)]
    shapes += centre_line(left - 8, right + 8, middle)
    floor = bore + half * 0.18
    surfaces = {
        name: Surface(left + long * a, left + long * b, middle - floor, middle + floor, floor / half)
        for name, (a, b) in GLAND_GROOVES.items()
    }
    surfaces["spigot"] = Surface(flange, right, middle - spigot, middle + spigot, 0.84)
    a, b = STATIC_GROOVE
    surfaces["static ring"] = Surface(
        left + long * a, left + long * b, middle - static, middle + static, static / half
    )
    return Outline(
        tuple(shapes), left, right, middle - bore, middle + bore, (1.0, 0.44), 0.44, surfaces=surfaces
    )


def groove(frame: Frame, stations: int) -> Outline:
    """A body cut through its grooves, one for each station.

    Args:
        frame: the room for it.
        stations: how many grooves.
    """
    top, bottom = frame.top + frame.half * 0.3, frame.bottom
    floor = top + (bottom - top) * 0.5
    each = frame.width / max(1, stations)
    wide = min(each * 0.56, frame.half * 1.5)
    shapes: list[Shape] = [solid(frame.left, floor, frame.right, bottom)]
    shapes += hatch(frame.left, floor, frame.right, bottom)
    corners, wall = [(frame.left, bottom), (frame.left, top)], frame.left
    for n in range(max(1, stations)):
        x = frame.left + each * (n + 0.5)
        left, right = x - wide / 2, x + wide / 2
        shapes += [solid(wall, top, left, floor), *hatch(wall, top, left, floor)]
        corners += [(left, top), (left, floor), (right, floor), (right, top)]
        wall = right
    shapes += [solid(wall, top, frame.right, floor), *hatch(wall, top, frame.right, floor)]
    shapes.append(Polygon((*corners, (frame.right, top), (frame.right, bottom)), "ink", 1.3))
    return Outline(tuple(shapes), frame.left, frame.right, floor, floor, (1.0, 0.74), 0.74, datum="")


def pin(frame: Frame, stations: int) -> Outline:
    """A pin through the ears of a clevis.

    Args:
        frame: the room for it.
        stations: how many stations it has.
    """
    middle, half = frame.middle, frame.half * 0.42
    long = min(frame.width * 0.9, frame.half * 6)
    left = frame.left + (frame.width - long) / 2
    right, ear = left + long, long * 0.16
    shapes: list[Shape] = []
    for x in (left + long * 0.1, right - long * 0.1 - ear):
        shapes += _wall(x, frame.top, x + ear, frame.bottom)
    shapes += [*_bar(left, right, middle, half), *centre_line(left - 6, right + 6, middle)]
    return Outline(tuple(shapes), left, right, middle - half, middle + half, (1.0, 0.52), 0.52, datum="")


def weld(frame: Frame, stations: int) -> Outline:
    """Two plates cut across the seam that joins them.

    Args:
        frame: the room for it.
        stations: how many stations it has.
    """
    half, seam = frame.half * 0.5, frame.half * 0.5
    top, bottom, x = frame.middle - half, frame.middle + half, (frame.left + frame.right) / 2
    bead = (
        (x - seam * 1.2, top), (x - seam * 0.5, top - half * 0.3), (x + seam * 0.5, top - half * 0.3),
        (x + seam * 1.2, top), (x + seam * 0.25, bottom), (x - seam * 0.25, bottom),
    )  # fmt: skip
    shapes = (
        *_wall(frame.left, top, x, bottom),
        *_wall(x, top, frame.right, bottom),
        Polygon(bead, "fill", filled=True),
        Polygon(bead, "ink", 1.2),
    )
    return Outline(shapes, frame.left, frame.right, top - half * 0.3, bottom, datum="")


def whole(frame: Frame, stations: int) -> Outline:
    """The cylinder from outside, its rod a little out: eye, rod, gland, barrel, ports, cap with its eye.

    Args:
        frame: the room for it.
        stations: how many stations it has.
    """
    middle, half = frame.middle, frame.half * 0.78
    eye = min(half * 0.8, frame.width * 0.06)
    gland_at, cap = frame.left + frame.width * 0.22, frame.right - 2 * eye
    tube = gland_at + frame.width * 0.05
    port = min(7.0, frame.width * 0.02)
    shapes: list[Shape] = [*_bar(frame.left + eye, gland_at, middle, half * 0.42)]
    shapes += [*_eye(frame.left + eye, middle, eye), *_eye(frame.right - eye, middle, eye)]
    for x in (tube + frame.width * 0.06, cap - frame.width * 0.08):
        shapes += _bar(x - port, x + port, frame.top + half * 0.15, half * 0.15, 1.0)
    shapes += [
        *_bar(tube, cap, middle, half),
        *_bar(gland_at, tube, middle, half * 1.04),
        Line(cap - frame.width * 0.04, middle - half, cap - frame.width * 0.04, middle + half, FAINT, 0.9),
        *centre_line(frame.left, frame.right, middle),
    ]
    return Outline(tuple(shapes), gland_at, cap, middle - half, middle + half)


OUTLINES: Mapping[str, Callable[[Frame, int], Outline]] = {
    "rod": rod,
    "barrel": barrel,
    "piston": piston,
    "gland": gland,
    "grooves": groove,
    "pins": pin,
    "welds": weld,
    "whole": whole,
}
"""Every figure a checklist may name for a part."""
