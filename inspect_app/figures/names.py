"""The names of a cylinder's parts with what becomes of each: in rows beside its drawing, or in a list below it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from textwrap import wrap

from inspect_app.figures.numbers import spread
from inspect_app.figures.shapes import Label, Line, Shape
from inspect_app.figures.signs import Sign
from inspect_app.figures.strokes import LINE, inside, mark_at, text_width, written

MARK, SOFT = 10.0, "guard"
LONGEST = 34
"""Of what becomes of a part so many letters are shown on the drawing; the rest stands with the part."""

FEWEST = 12
"""Where fewer letters of a name than this fit on a line, the names stand in a list."""

ABOVE = ("rod", "barrel", "gland", "pins", "whole")
"""The figures whose parts are named above the cylinder; the others are below it."""


@dataclass(frozen=True, slots=True)
class Tag:
    """A part: which figure it has, its name, what becomes of it, and its sign."""

    figure: str
    title: str
    words: str
    sign: Sign


def _each(tags: Sequence[Tag], width: float, text: float) -> tuple[float, int]:
    """The room of each name in a row of them, and how many letters go on a line of it."""
    most = max(
        max(text_width(t.title, text, True), text_width(t.words[:LONGEST], text)) + MARK + 4 for t in tags
    )
    each = min(most + 4, width / len(tags))
    return each, max(4, int((each - MARK - 2) / text_width("x", text)))


def _lines(tag: Tag, letters: int) -> list[tuple[str, bool]]:
    """A part's name, on as many lines as it needs, and what becomes of it."""
    first, *more = wrap(tag.words, letters) or [""]
    second = [_cut(" ".join(more), letters)] if more else []
    return [
        *((line, True) for line in wrap(tag.title, letters)),
        *((line, False) for line in (first, *second)),
    ]


def is_crowded(tags: Sequence[Tag], width: float, text: float) -> bool:
    """Whether in a row above or below the cylinder next to nothing of a name would stand on one line.

    Args:
        tags: the parts.
        width: of the drawing.
        text: size of the letters.
    """
    sides = [[tag for tag in tags if (tag.figure in ABOVE) is side] for side in (True, False)]
    return any(
        _each(row, width, text)[1] < min(FEWEST, max(len(t.title) for t in row)) for row in sides if row
    )


def names_listed(
    tags: Sequence[Tag], top: float, width: float, text: float
) -> tuple[tuple[Shape, ...], float]:
    """The parts with what becomes of them in columns below the cylinder, where there is no room beside it, and where
    they end.

    Args:
        tags: the parts.
        top: where the list begins.
        width: of the drawing.
        text: size of the letters.
    """
    said = [f"{tag.title}: {tag.words}" for tag in tags]
    across = max(1, int(width / min(width, max(text_width(s, text) for s in said) + MARK + 8)))
    each = width / across
    shapes: list[Shape] = []
    for first in range(0, len(tags), across):
        tall = 0
        for n, tag in enumerate(tags[first : first + across]):
            left, middle = n * each, top + text * 0.7
            lines = written(said[first + n], left + MARK + 4, middle, each - MARK - 8, text, "ink")
            shapes += [*mark_at(tag.sign, left + MARK / 2, middle, MARK), *lines]
            tall = max(tall, len(lines))
        top += text * (LINE * tall + 0.3)
    return tuple(shapes), top


def row_tall(tags: Sequence[Tag], width: float, text: float) -> float:
    """How tall a row of names is.

    Args:
        tags: the parts.
        width: of the drawing.
        text: size of the letters.
    """
    if not tags:
        return 0.0
    _, letters = _each(tags, width, text)
    return text * LINE * max(len(_lines(tag, letters)) for tag in tags)


def names_in_row(
    tags: Sequence[Tag],
    anchor: Callable[[str], tuple[float, float]],
    top: float,
    line_from: float,
    width: float,
    text: float,
    below: bool,
) -> tuple[Shape, ...]:
    """The parts' names in a row with their signs, none over another, each with a line to its part.

    Args:
        tags: the parts.
        anchor: where on the drawing a figure's part is pointed to.
        top: where the row begins.
        line_from: where the lines to the parts begin.
        width: of the drawing.
        text: size of the letters.
        below: whether the row stands below the cylinder.
    """
    placed = sorted(((anchor(t.figure), t) for t in tags), key=lambda p: p[0][0])
    if not placed:
        return ()
    each, letters = _each(tags, width, text)
    starts = spread([x - each / 2 for (x, _), _ in placed], each, 0.0, max(0.0, width - each))
    shapes: list[Shape] = []
    for ((x, y), tag), left in zip(placed, starts, strict=True):
        near = min(max(x, left + MARK), left + each - MARK)
        shapes.append(Line(near, line_from, x, y, SOFT, 0.7))
        shapes += mark_at(tag.sign, left + MARK / 2, top + text * 0.7, MARK)
        for n, (words, bold) in enumerate(_lines(tag, letters)):
            label = Label(
                left + MARK + 4,
                top + text * (0.7 + LINE * n),
                words,
                text,
                "ink",
                "start",
                bold,
            )
            shapes.append(inside(label, 0, width) if below else label)
    return tuple(shapes)


def _cut(words: str, letters: int) -> str:
    return words if len(words) <= letters else f"{words[: letters - 1].rstrip()}…"
