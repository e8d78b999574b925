"""Where everything of an assembled cylinder lies in its section, in points; knows no limits and draws nothing.

Diameters, stroke and grooves are to one scale; a barrel too long for the drawing is broken, and a groove too small
to be seen is drawn as small as it can be.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from inspect_app.entries.job import Survey
from inspect_app.figures.outlines import Frame
from inspect_app.job.seals.line import SealLine

NO_EYE = ("no-eye", "trunnion", "flange")
"""What an end has that is no eye and no clevis."""

GLAND = ("wiper", "rod-seal", "buffer-seal", "gland-wear-ring")
"""What lies on the rod, from outside inwards."""

HEAD = ("gland", "gland A", "head end of the tube")
PISTON = ("piston", "foot of the plunger")
CAP = ("gland B", "cap end of the tube")
"""The places of the three parts that carry grooves, from the rod eye on."""

TIES, BEHIND = 0.2, 30.0
"""Room beside the barrel for tie rods, a share of the frame; how far a rod that goes through is drawn at least."""

LEAST_WIDE, LEAST_DEEP, LEAST_LAND, LEAST_WALL = 5.0, 3.5, 4.0, 4.0
USUAL = {
    "rod": 0.6,
    "wall": 0.1,
    "wide": 0.08,
    "deep": 0.05,
    "land": 0.04,
    "cap": 0.18,
    "eye": 0.5,
    "stub": 0.2,
}
"""Shares of the bore, for what nobody has measured: a drawing must be drawn, and says what is not known."""


@dataclass(frozen=True, slots=True)
class Sizes:
    """The sizes a section is drawn to, mm; None is not known. An eye that is not there is not drawn."""

    bore_mm: float | None = None
    rod_mm: float | None = None
    outside_mm: float | None = None
    stroke_mm: float | None = None
    closed_mm: float | None = None
    rod_eye: bool = True
    cap_eye: bool = True

    @property
    def closed_known_mm(self) -> float | None:
        """The closed length, None where none was given or its own stroke does not fit in it."""
        return self.closed_mm if self.closed_mm and self.closed_mm > (self.stroke_mm or 0.0) else None


def sizes_of(survey: Survey) -> Sizes:
    """The sizes on a cylinder's nameplate, and which ends have an eye.

    Args:
        survey: the state of the cylinder.
    """
    bore, rod, outside, stroke, closed = (
        next((float(mm) for name in names if (mm := survey.length(name))), None)
        for names in (
            ("bore",),
            ("rod", "side-a-rod"),
            ("outside_diameter",),
            ("stroke",),
            ("closed_length",),
        )
    )
    ends = (survey.answers.get(end) for end in ("rod-end", "cap-end"))
    rod_eye, cap_eye = (answer is None or answer.text not in NO_EYE for answer in ends)
    return Sizes(bore, rod, outside, stroke, closed, rod_eye, cap_eye)


def not_known(sizes: Sizes) -> tuple[str, ...]:
    """The sizes nobody has given, so that nothing drawn is taken for measured.

    Args:
        sizes: the sizes of a cylinder.
    """
    asked = (
        ("bore", sizes.bore_mm), ("rod diameter", sizes.rod_mm), ("barrel outside diameter", sizes.outside_mm),
        ("stroke", sizes.stroke_mm),
    )  # fmt: skip
    return tuple(name for name, value in asked if not value)


@dataclass(frozen=True, slots=True)
class Cut:
    """A groove in the section: from left to right, from the surface it works on to its floor, as radii.

    `known` is whether it was measured; else it stands where such a groove usually is.
    """

    number: int
    left: float
    right: float
    near: float
    floor: float
    known: bool

    @property
    def middle(self) -> float:
        """Its middle along the axis."""
        return (self.left + self.right) / 2


@dataclass(frozen=True, slots=True)
class Layout:
    """Where the parts lie: along the axis from left to right, and their radii; `broken` is a barrel cut short.

    `closed_mm` is the whole length with the rod in, None without a stroke. Of a double-rod cylinder
    the cap is the other gland.
    """

    kind: str
    ties: float
    scale: float
    rod_eye: float
    gland: tuple[float, float]
    piston: tuple[float, float]
    cap: tuple[float, float]
    cap_eye: float
    rod: float
    spigot: float
    bore: float
    outside: float
    eye: float
    nut: float
    flange: float
    broken: bool
    closed_mm: float | None
    cuts: tuple[Cut, ...]


@dataclass(frozen=True, slots=True)
class _Part:
    """A part as long as its grooves ask for: the grooves from its left end."""

    long: float
    cuts: tuple[Cut, ...]

    def at(self, left: float) -> tuple[Cut, ...]:
        return tuple(replace(c, left=c.left + left, right=c.right + left) for c in self.cuts)


@dataclass(frozen=True, slots=True)
class _Known:
    """The sizes drawn: as given, or as such a cylinder usually has them."""

    bore: float
    rod: float
    wall: float


def lay_out(kind: str, lines: Sequence[SealLine], sizes: Sizes, frame: Frame) -> Layout:
    """The section of a cylinder with its rod in, as large as it fits a frame; a telescopic one has its own.

    Args:
        kind: the kind of cylinder, as in the list of positions.
        lines: its seal list; a line's number is its place in it.
        sizes: its sizes.
        frame: the room for the barrel and both eyes.
    """
    known = _known(sizes)
    scale = 2 * (frame.half - _ties(kind, frame)) / (known.bore + 2 * known.wall)
    for _ in range(12):  # grooves have a least size, so that a smaller scale is found by trying
        parts = _parts(kind, lines, known, scale)
        fixed = _ends(kind, sizes, known, scale) + sum(part.long for part in parts)
        if fixed <= frame.width * 0.8:
            break
        scale *= 0.85
    room = frame.width - fixed
    travel = sizes.stroke_mm * scale if sizes.stroke_mm else room
    broken = travel > room or not sizes.stroke_mm
    return _placed(kind, parts, sizes, known, scale, min(travel, room), frame, broken)


def _known(sizes: Sizes) -> _Known:
    bore = sizes.bore_mm or (sizes.rod_mm / USUAL["rod"] if sizes.rod_mm else 100.0)
    rod = sizes.rod_mm or bore * USUAL["rod"]
    wall = (sizes.outside_mm - bore) / 2 if sizes.outside_mm else bore * USUAL["wall"]
    return _Known(bore, min(rod, bore * 0.95), max(wall, bore * 0.02))


def _ends(kind: str, sizes: Sizes, known: _Known, scale: float) -> float:
    """What eyes, stubs of the rod, and the room behind the piston take along the axis."""
    eyes = 2 * (sizes.rod_eye + sizes.cap_eye) * known.bore * USUAL["eye"] * 0.8
    return scale * (eyes + known.bore * (USUAL["stub"] + USUAL["cap"])) + _behind(kind, known, scale)


def _behind(kind: str, known: _Known, scale: float) -> float:
    """How far the rod of a double-rod cylinder is drawn out of its other gland."""
    return max(BEHIND, 3 * USUAL["stub"] * known.bore * scale) if kind == "double-rod" else 0.0


def _ties(kind: str, frame: Frame) -> float:
    return frame.half * TIES if kind == "tie-rod" else 0.0


Numbered = Mapping[str, tuple[int, SealLine]]
_Three = tuple["_Part", "_Part", "_Part"]


def _parts(kind: str, lines: Sequence[SealLine], known: _Known, scale: float) -> _Three:
    """The head or gland, the piston, and the cap or other gland."""
    head, middle, end = (
        {line.position: (n, line) for n, line in enumerate(lines, 1) if line.place in places}
        for places in (HEAD, PISTON, CAP)
    )
    piston = _Part(0.0, ()) if kind == "ram" and not middle else _piston(middle, known, scale)
    cap = _turned(_gland(end, known, scale)) if kind == "double-rod" else _cap(end, known, scale)
    return _gland(head, known, scale), piston, cap


def _turned(part: _Part) -> _Part:
    turned = (replace(c, left=part.long - c.right, right=part.long - c.left) for c in part.cuts)
    return _Part(part.long, tuple(turned))


def _cap(lines: Numbered, known: _Known, scale: float) -> _Part:
    """The cap, with its static ring where the tube is held between head and cap."""
    long = known.bore * USUAL["cap"] * scale
    if "gland-static-ring" not in lines:
        return _Part(long, ())
    wide = _groove(lines["gland-static-ring"][1], known, scale)[0]
    long = max(long, 2 * wide + LEAST_LAND)
    return _Part(long, (_static(lines["gland-static-ring"], long * 0.3 - wide / 2, known, scale),))


def _static(ring: tuple[int, SealLine], left: float, known: _Known, scale: float) -> Cut:
    """A static ring round a part that sits in the barrel."""
    wide, deep, measured = _groove(ring[1], known, scale)
    near = known.bore / 2 * scale
    return Cut(ring[0], left, left + wide, near, near - deep, measured)


def _gland(lines: Numbered, known: _Known, scale: float) -> _Part:
    """What runs on the rod, one behind the other; the static ring round the outside, over a land between them."""
    rings = [lines[p] for p in GLAND if p in lines for _ in range(max(1, lines[p][1].quantity or 1))]
    part = _in_a_row(rings, known.rod / 2, 1, known, scale)
    if "gland-static-ring" not in lines:
        return part
    ring = lines["gland-static-ring"]
    ends = [(a.right + b.left) / 2 for a, b in pairwise(part.cuts)] or [part.long * 0.6]
    left = min(ends, key=lambda x: abs(x - part.long * 0.62)) - _groove(ring[1], known, scale)[0] / 2
    return _Part(part.long, (*part.cuts, _static(ring, left, known, scale)))


def _piston(lines: Numbered, known: _Known, scale: float) -> _Part:
    """Wear rings on both sides of the seal where there are two; the static ring under it, on the rod."""
    seal = [lines["piston-seal"]] if "piston-seal" in lines else []
    guides = [lines["piston-wear-ring"]] if "piston-wear-ring" in lines else []
    count = (guides[0][1].quantity or 1) if guides else 0
    before = count // 2
    part = _in_a_row([*guides * before, *seal, *guides * (count - before)], known.bore / 2, -1, known, scale)
    if "piston-static-ring" not in lines:
        return part
    number, line = lines["piston-static-ring"]
    wide, deep, measured = _groove(line, known, scale)
    near, left = _spigot(known) * scale, (part.long - wide) / 2
    outward = _outward(line)
    floor = near + deep if outward else near - deep
    return _Part(part.long, (*part.cuts, Cut(number, left, left + wide, near, floor, measured)))


def _spigot(known: _Known) -> float:
    return known.rod / 3


def _in_a_row(
    rings: Sequence[tuple[int, SealLine]], radius: float, side: int, known: _Known, scale: float
) -> _Part:
    """Grooves one behind the other with lands between: outwards from a rod (1), inwards from a bore (-1)."""
    land = max(LEAST_LAND, known.bore * USUAL["land"] * scale)
    x, near = land, radius * scale
    cuts = []
    for number, line in rings:
        wide, deep, measured = _groove(line, known, scale)
        cuts.append(Cut(number, x, x + wide, near, near + side * deep, measured))
        x += wide + land
    return _Part(max(x, known.bore * 0.3 * scale), tuple(cuts))


def _groove(line: SealLine, known: _Known, scale: float) -> tuple[float, float, bool]:
    """Width and depth of a groove as drawn, and whether both were measured."""
    measured = {d.name: d.known.value_mm for d in line.measured if d.known}
    wide = measured.get("groove width")
    across = (measured.get("groove diameter"), measured.get("seals on"))
    deep = abs(across[0] - across[1]) / 2 if across[0] and across[1] else None
    usual = known.bore * USUAL["deep"]
    return (
        max(LEAST_WIDE, scale * min(wide or known.bore * USUAL["wide"], known.bore)),
        max(LEAST_DEEP, scale * min(deep or usual, known.bore / 8)),
        wide is not None and deep is not None,
    )


def _outward(line: SealLine) -> bool:
    """Whether the groove lies round what its ring seals on."""
    measured = {d.name: d.known.value_mm for d in line.measured if d.known}
    return measured.get("groove diameter", 1.0) > measured.get("seals on", 0.0)


def _placed(
    kind: str,
    parts: _Three,
    sizes: Sizes,
    known: _Known,
    scale: float,
    travel: float,
    frame: Frame,
    broken: bool,
) -> Layout:
    """Everything from left to right, in the middle of the frame."""
    gland, piston, cap = parts
    eye, stub, gap = (known.bore * USUAL[what] * scale for what in ("eye", "stub", "cap"))
    eye *= 0.8
    fixed = _ends(kind, sizes, known, scale) + sum(part.long for part in parts)
    long = fixed + travel
    # a rod that goes through is drawn shorter than it is
    closed_mm = sizes.closed_known_mm or (
        fixed / scale + sizes.stroke_mm if sizes.stroke_mm and kind != "double-rod" else None
    )
    x = frame.left + max(0.0, (frame.width - long) / 2)
    rod_eye = x + eye
    gland_at = x + (2 * eye if sizes.rod_eye else 0) + stub
    piston_at = gland_at + gland.long + travel
    cap_at = piston_at + piston.long + gap
    end = cap_at + cap.long + _behind(kind, known, scale)
    return Layout(
        kind, _ties(kind, frame), scale, rod_eye if sizes.rod_eye else x, (gland_at, gland_at + gland.long),
        (piston_at, piston_at + piston.long), (cap_at, cap_at + cap.long), end + eye,
        known.rod / 2 * scale, _spigot(known) * scale, known.bore / 2 * scale,
        max(known.bore / 2 * scale + LEAST_WALL, (known.bore / 2 + known.wall) * scale), eye,
        piston_at + piston.long + gap * 0.7, gland_at + gland.long * 0.24, broken, closed_mm,
        (*gland.at(gland_at), *piston.at(piston_at), *cap.at(cap_at)), 
    )  # fmt: skip
