"""Turns what is looked at into strips: figures, photographs, and findings with what shows them; knows no page and no
PDF."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from itertools import zip_longest

from inspect_app.figures import shapes
from inspect_app.figures.shapes import Drawing
from inspect_app.figures.strokes import mark_at
from inspect_app.paper.blocks import Evidence, Figure, Figures, Photo, Photos
from inspect_app.paper.lines import (
    BODY,
    MIDDLE,
    ONE_COLUMN,
    SMALL,
    SOFT,
    USUAL_LEADING,
    Group,
    Line,
    Measure,
    Node,
    Picture,
    Strip,
    height_of,
    labels,
    lined,
    space,
    text_strips,
)

GAP, COLUMN = 16.0, 235.0
TALLEST, BESIDE = 236.0, 132.0
"""How tall a photograph may be, and one beside what is said of it."""
CAPTION_LINES = 4
MOST_BESIDE = 200.0
"""What is said beside a drawing is not taller than this; the rest goes on below."""


def shown_strips(block: Figure | Figures | Evidence | Photos, width: float, measure: Measure) -> list[Strip]:
    """Figures, photographs or a finding as strips.

    Args:
        block: what it is.
        width: the room.
        measure: how wide a text comes out.
    """
    match block:
        case Figure():
            return _figure(block, width, measure)
        case Figures(figures):
            return _figures(figures, width, measure)
        case Evidence():
            return (_stacked if width < ONE_COLUMN else _evidence)(block, width, measure)
        case Photos(photos):
            return _photo_rows(photos, width, measure)


def _figure(block: Figure, width: float, measure: Measure) -> list[Strip]:
    """What it says above it, what it shows below."""
    above = text_strips(lined(block.title, width, measure, bold=True)) if block.title else []
    words = lined(block.caption, width, measure, size=SMALL, role=SOFT) if block.caption else []
    return [*(replace(s, keep=True) for s in above), _drawn(block.drawing), *text_strips(words)]


def _figures(figures: Sequence[Figure], width: float, measure: Measure) -> list[Strip]:
    """Those that are narrow enough two in a row, their drawings at one height; the others by themselves."""
    half = (width - GAP) / 2
    strips: list[Strip] = []
    left: Figure | None = None
    for figure in figures:
        if figure.drawing.width > half + 1:
            strips += [*_alone(left, width, measure), *_figure(figure, width, measure), space(5)]
            left = None
        elif left is None:
            left = figure
        else:
            strips += [_pair((left, figure), half, measure), space(5)]
            left = None
    return [*strips, *_alone(left, width, measure)]


def _alone(figure: Figure | None, width: float, measure: Measure) -> list[Strip]:
    return [*_figure(figure, width, measure), space(5)] if figure else []


def _pair(figures: Sequence[Figure], each: float, measure: Measure) -> Strip:
    titles = [lined(f.title, each, measure, bold=True) if f.title else [] for f in figures]
    below = max(map(height_of, titles)) + 2
    groups, tall = [], 0.0
    for n, (figure, title) in enumerate(zip(figures, titles, strict=True)):
        x, foot = n * (each + GAP), below + figure.drawing.height + 2
        words = lined(figure.caption, each, measure, size=SMALL, role=SOFT) if figure.caption else []
        groups += [
            Group(x, 0, labels(title), Node("P")),
            Group(x, below, figure.drawing.shapes, Node("Figure", None, figure.drawing.says)),
            Group(x, foot, labels(words), Node("P")),
        ]
        tall = max(tall, foot + height_of(words))
    return Strip(tall, tuple(groups))


def _drawn(drawing: Drawing) -> Strip:
    return Strip(
        drawing.height + 4, (Group(0, 2, drawing.shapes, Node("Figure", None, drawing.says)),), keep=True
    )


def _evidence(block: Evidence, width: float, measure: Measure) -> list[Strip]:
    """Title and sentences, and beside them the drawing or the first photograph; further photographs below."""
    beside = block.drawing or len(block.photos) % 2  # an even number stands below, two by two
    column = block.drawing.width if block.drawing else COLUMN
    room = width - column - GAP if beside else width
    title, words = _said(block, room, measure, SMALL)
    right: list[Group] = []
    tall = 0.0
    if block.drawing:
        shown = Node("Figure", None, block.drawing.says)
        right, tall = [Group(width - column, 0, block.drawing.shapes, shown)], block.drawing.height
    elif beside:
        right, tall = _photo(block.photos[0], width - COLUMN, COLUMN, measure, BESIDE)
    top = height_of(title)
    fits = 0
    while fits < len(words) and top + height_of(words[: fits + 1]) <= max(tall, MOST_BESIDE):
        fits += 1
    high, body = max(tall, top + height_of(words[:fits])), Node("P")
    left = (*_title(block, title), Group(0, top, labels(words[:fits]), body))
    strips = [
        space(8, keep=True),
        Strip(high, (_rule(width), *left, *right)),
        *text_strips(words[fits:], 0, body),
    ]
    photos = block.photos if block.drawing or not beside else block.photos[1:]
    return [*strips, *([space(4), *_photo_rows(photos, width, measure)] if photos else [])]


def _stacked(block: Evidence, width: float, measure: Measure) -> list[Strip]:
    """Title, sentences, drawing and photographs, one under the other."""
    title, words = _said(block, width, measure, BODY)
    return [
        space(8, keep=True),
        Strip(height_of(title), (_rule(width), *_title(block, title)), keep=True),
        *text_strips(words),
        *([space(3, keep=True), replace(_drawn(block.drawing), keep=False)] if block.drawing else []),
        *([space(4), *_photo_rows(block.photos, width, measure)] if block.photos else []),
    ]


def _said(block: Evidence, room: float, measure: Measure, size: float) -> tuple[list[Line], list[Line]]:
    """Its title and its sentences as lines."""
    title = lined(block.title, room - (16.0 if block.sign else 0.0), measure, size=10.5, bold=True)
    return title, [line for text in block.lines for line in lined(text, room, measure, size=size)]


def _title(block: Evidence, title: Sequence[Line]) -> list[Group]:
    """The sign and the title behind it."""
    head = Node("P")
    if not block.sign:
        return [Group(0, 0, labels(title), head)]
    sign = Group(0, 0, mark_at(block.sign, 6, 7.2, 11.5), Node("Span", head, str(block.sign.value)))
    return [sign, Group(16.0, 0, labels(title), head)]


def _rule(width: float) -> Group:
    return Group(0, -6, (shapes.Line(0, 0, width, 0, "faint", 0.6),))


def _photo(
    photo: Photo, x: float, width: float, measure: Measure, tallest: float = TALLEST
) -> tuple[list[Group], float]:
    """A photograph with the first lines of its caption, and their height together."""
    wide, high = _size(photo, width, tallest)
    caption = lined(photo.caption, width, measure, size=SMALL, role=SOFT)[:CAPTION_LINES]
    seen = Node("Figure", None, photo.caption or "Photograph")
    groups = [
        Group(x, 0, (Picture(0, 0, wide, high, photo),), seen),
        Group(x, high + 2, labels(caption), Node("P")),
    ]
    return groups, high + 2 + height_of(caption)


def _size(photo: Photo, width: float, tallest: float) -> tuple[float, float]:
    """As wide as there is room, but not taller than a page bears."""
    ratio = photo.height / photo.width if photo.width > 0 and photo.height > 0 else 0.75
    return (width, width * ratio) if width * ratio <= tallest else (tallest / ratio, tallest)


def _photo_rows(photos: Iterable[Photo], width: float, measure: Measure) -> list[Strip]:
    """Photographs two in a row, one where there is little room; captions that are longer than a few lines go on below
    them."""
    across = 1 if width < ONE_COLUMN else 2
    each, listed = (width - GAP * (across - 1)) / across, list(photos)
    strips: list[Strip] = []
    for row in (listed[n : n + across] for n in range(0, len(listed), across)):
        placed = [_photo(p, c * (each + GAP), each, measure) for c, p in enumerate(row)]
        strips.append(
            Strip(max(tall for _, tall in placed), tuple(g for groups, _ in placed for g in groups))
        )
        rest = [list(lined(p.caption, each, measure, size=SMALL, role=SOFT))[CAPTION_LINES:] for p in row]
        strips += [*side_by_side(rest, [0, each + GAP], [Node("P"), Node("P")]), space(6)]
    return strips


def side_by_side(
    columns: Sequence[Sequence[Line | None]],
    places: Sequence[float],
    nodes: Sequence[Node],
    size: float = BODY,
) -> list[Strip]:
    """Columns of lines, one strip for each line of all of them.

    Args:
        columns: the lines of each.
        places: where each begins.
        nodes: what each is.
        size: of the letters a line has the height of.
    """
    strips = []
    for line in zip_longest(*columns):
        groups = tuple(
            Group(x, size * MIDDLE - part.height / 2, labels([part]), node)
            for part, x, node in zip(line, places, nodes, strict=False)
            if part
        )
        strips.append(Strip(size * USUAL_LEADING, groups))
    return strips
