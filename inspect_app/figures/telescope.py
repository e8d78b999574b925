"""A telescopic cylinder in section, closed: its stages one in another, each with its gland and its foot; to no scale.

Diameters of stages differ by little, so that to scale neither wall nor groove could be seen.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from inspect_app.figures.numbers import Pointed
from inspect_app.figures.outlines import Frame
from inspect_app.figures.section import GLAND, Cut
from inspect_app.figures.shapes import Shape
from inspect_app.figures.strokes import box, centre_line, solid
from inspect_app.figures.walls import ring_of, wall
from inspect_app.job.seals.line import SealLine

STAGE = re.compile(r"stage (\d+)$")
ON_FOOT = ("piston-seal", "piston-wear-ring")
BELOW = ("gland-static-ring", "retainer", "plug-ring")
"""What is numbered below, so that the rings that run have the room above."""

WIDE, LAND, WALL, CAP = 5.0, 3.5, 0.36, 14.0
"""A groove, the land beside it, a stage's wall as a share of what it steps in by, and the closed end."""


@dataclass(frozen=True, slots=True)
class _Stage:
    """One moving stage: its outside, and the inside of what it runs in, as radii; where its gland lies."""

    number: int
    outside: float
    around: float
    left: float
    right: float


@dataclass(frozen=True, slots=True)
class Nested:
    """The section: its shapes, and what every number points to."""

    shapes: tuple[Shape, ...]
    pointed: tuple[Pointed, ...]


def telescope(lines: Sequence[SealLine], frame: Frame) -> Nested:
    """The stages of a telescopic cylinder one in another, every line of its seal list on its stage.

    Stage 1 is the largest that moves: it runs in the barrel, and carries the gland of stage 2.

    Args:
        lines: its seal list; a line's number is its place in it.
        frame: the room for the cylinder.
    """
    stages = _stages(lines, frame)
    foot, end = frame.right - CAP - _foot_length(lines), frame.right - CAP
    cuts = [cut for stage in stages for cut in _cuts(lines, stage, foot)]
    middle, barrel = frame.middle, stages[0]
    shapes: list[Shape] = [
        solid(barrel.left, middle - barrel.around, end, middle + barrel.around),
        *wall(barrel.left, frame.right, middle, barrel.around, frame.half, falling=False),
        *wall(end, frame.right, middle, 0, barrel.around, falling=False),
    ]
    for stage, inner in zip(stages, [*stages[1:], None], strict=True):
        shapes += _drawn(stage, inner, middle, (foot, end - 3), frame)
    shapes += [s for cut in cuts for s in ring_of(cut, middle)]
    shapes += centre_line(frame.left, frame.right, middle)
    at = {cut.number: cut for cut in reversed(cuts)}
    pointed = tuple(_pointed(n, line, at.get(n), stages, foot, frame) for n, line in enumerate(lines, 1))
    return Nested(tuple(shapes), pointed)


def _stage_of(line: SealLine) -> int:
    found = STAGE.search(line.place)
    return int(found[1]) if found else 0


def _stages(lines: Sequence[SealLine], frame: Frame) -> list[_Stage]:
    """Each stage a step further in than the one it runs in, and its gland a gland's length further out."""
    count = max([1, *(_stage_of(line) for line in lines)])
    step = frame.half * 0.95 / (count + 0.6)
    long = _gland_length(lines)
    out = frame.left + frame.width * 0.06
    found = []
    for k in range(1, count + 1):
        around = frame.half - step * WALL - (k - 1) * step
        left = out + (count - k) * (long + LAND)
        found.append(_Stage(k, around - step * (1 - WALL), around, left, left + long))
    return found


def _rings(lines: Sequence[SealLine], stage: int, positions: Sequence[str]) -> list[tuple[int, SealLine]]:
    """The rings of a stage in their order along it, one of several as often as it is there."""
    by_position = {line.position: (n, line) for n, line in enumerate(lines, 1) if _stage_of(line) == stage}
    return [
        by_position[p] for p in positions if p in by_position for _ in range(by_position[p][1].quantity or 1)
    ]


def _length(lines: Sequence[SealLine], positions: Sequence[str]) -> float:
    stages = {_stage_of(line) for line in lines}
    return LAND + (WIDE + LAND) * max(1, *(len(_rings(lines, k, positions)) for k in (0, *stages)))


def _gland_length(lines: Sequence[SealLine]) -> float:
    return _length(lines, GLAND)


def _foot_length(lines: Sequence[SealLine]) -> float:
    return _length(lines, ON_FOOT) + 3


def _cuts(lines: Sequence[SealLine], stage: _Stage, foot: float) -> list[Cut]:
    """The grooves of a stage: in its gland round it, outside the gland, and on its foot."""
    deep = (stage.around - stage.outside) * 0.36
    found = []
    for positions, left, near, floor in (
        (GLAND, stage.left + LAND, stage.outside, stage.outside + deep),
        (("gland-static-ring",), stage.left + LAND * 1.5 + WIDE, stage.around, stage.around - deep),
        (ON_FOOT, foot + LAND, stage.around, stage.around - deep),
    ):
        for n, (number, line) in enumerate(_rings(lines, stage.number, positions)):
            x = left + n * (WIDE + LAND)
            found.append(Cut(number, x, x + WIDE, near, floor, _is_measured(line)))
    return found


def _is_measured(line: SealLine) -> bool:
    known = {d.name for d in line.measured if d.known}
    return known >= {"groove diameter", "groove width", "seals on"}


def _drawn(
    stage: _Stage, inner: _Stage | None, middle: float, foot: tuple[float, float], frame: Frame
) -> list[Shape]:
    """A stage with the gland it runs in and its foot: a tube round the next stage, the last of them a rod."""
    gland = wall(stage.left, stage.right, middle, stage.outside, stage.around, falling=True)
    feet = wall(*foot, middle, stage.outside, stage.around, falling=True)
    if inner is None:
        edges = (frame.left, middle - stage.outside, foot[1], middle + stage.outside)
        return [*gland, *feet, solid(*edges), box(*edges, weight=1.1)]
    return [
        *gland,
        *feet,
        solid(inner.left, middle - stage.outside, foot[1], middle + stage.outside),
        *wall(inner.left, foot[1], middle, inner.around, stage.outside, falling=False),
    ]


def _pointed(
    number: int, line: SealLine, cut: Cut | None, stages: Sequence[_Stage], foot: float, frame: Frame
) -> Pointed:
    below = line.position in BELOW
    side = 1 if below else -1
    if cut:
        x, radius = cut.middle, max(cut.near, cut.floor)
    elif line.position == "retainer":
        stage = stages[max(_stage_of(line), 1) - 1]
        x, radius = foot - 4 - 6 * (len(stages) - stage.number), stage.outside
    else:
        x, radius = frame.right - CAP / 2, frame.half
    return Pointed(number, not line.orderable, (x, frame.middle + side * radius), below)
