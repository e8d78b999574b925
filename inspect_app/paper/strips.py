"""Turns each kind of block into strips of a given width; knows no page and no PDF."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from itertools import zip_longest

from inspect_app.figures import shapes
from inspect_app.figures.shapes import Drawing, Shape
from inspect_app.figures.signs import ROLES, Sign
from inspect_app.figures.strokes import mark_at
from inspect_app.paper.blocks import (
    Banner,
    Block,
    Bullets,
    Cards,
    Choices,
    Evidence,
    Fields,
    Figure,
    Grids,
    Key,
    Notes,
    Outcome,
    Photo,
    Photos,
    Section,
    Signatures,
    Sum,
    Table,
    ToSign,
    Words,
)
from inspect_app.paper.cards import card_strips, choice_strip, sum_strip
from inspect_app.paper.grids import grid_strips
from inspect_app.paper.lines import (
    BODY,
    FINE,
    MIDDLE,
    SMALL,
    SOFT,
    USUAL_LEADING,
    Group,
    Line,
    Measure,
    Node,
    Picture,
    Strip,
    cut,
    height_of,
    labels,
    lined,
    read_as,
    space,
    text_strips,
)
from inspect_app.paper.tables import table_strips
from inspect_app.trade.measuring.decision import Verdict

SIZES = {1: 15.0, 2: 12.5, 3: 10.5}
BEFORE = {1: 14.0, 2: 10.0, 3: 7.0}
OUTCOME, AFTER, GAP, COLUMN = 16.0, 6.0, 16.0, 235.0
BANNER = 96.0
"""The largest letters there are."""
TALLEST, BESIDE = 236.0, 132.0
"""How tall a photograph may be, and one beside what is said of it."""
CAPTION_LINES = 4


def section_strips(section: Section, width: float, measure: Measure, rank: int = 2) -> list[Strip]:
    """A section: its heading, which never stands alone at the foot of a page, and its blocks.

    Args:
        section: the section.
        rank: of its heading below the paper's own, which is 1.
        width: the room.
        measure: how wide a text comes out.
    """
    strips: list[Strip] = []
    if section.title:
        strips += _heading(section, width, measure, Node(f"H{rank}"))
    for block in section.blocks:
        strips += [*read_as(block_strips(block, width, measure), Node("P")), space(AFTER)]
    return strips


def _heading(section: Section, width: float, measure: Measure, node: Node) -> list[Strip]:
    size = SIZES[section.level]
    indent = size * 1.4 if section.sign else 0.0
    lines = lined(section.title, width - indent, measure, size=size, bold=True)
    rule: tuple[Shape, ...] = (shapes.Line(0, 0, width, 0, "ink", 1.4),) if section.level == 1 else ()
    above = 8.0 if section.level == 1 else 0.0
    mark = mark_at(section.sign, size * 0.5, above + size * MIDDLE, size) if section.sign else ()
    head = Strip(
        above + height_of(lines),
        (Group(0, 0, rule), *_signed(section.sign, mark, node), Group(indent, above, labels(lines), node)),
        keep=True,
    )
    before = Strip(BEFORE[section.level], keep=True, new_page=section.new_page)
    return [before, head, space(4 if section.level < 3 else 1, keep=True)]


def _signed(sign: Sign | None, mark: tuple[Shape, ...], node: Node | None) -> list[Group]:
    """A sign before what it is the sign of, read by its word."""
    return [Group(0, 0, mark, Node("Span", node, str(sign.value)))] if sign else []


def block_strips(block: Block, width: float, measure: Measure) -> list[Strip]:
    """One block as strips.

    Args:
        block: the block.
        width: the room.
        measure: how wide a text comes out.
    """
    match block:
        case Words(text, style):
            looks = {
                "small": (SMALL, SOFT, False),
                "fine": (FINE, SOFT, False),
                "strong": (BODY, "ink", True),
            }
            size, role, bold = looks.get(style, (BODY, "ink", False))
            return text_strips(lined(text, width, measure, size=size, role=role, bold=bold))
        case Banner(text):
            return _banner(text, width, measure)
        case Outcome(text):
            return _outcome(text, width, measure)
        case Bullets(items, small):
            size = SMALL if small else BODY
            whole = Node("L")
            return [strip for item in items for strip in _bullet(item, size, width, measure, whole)]
        case Fields(rows, columns):
            return _fields(rows, columns, width, measure)
        case Key():
            return _key(width, measure)
        case Table():
            return table_strips(block, width, measure)
        case Figure():
            return _figure(block, width, measure)
        case Grids() | Notes() | ToSign():
            return grid_strips(block, width, measure)
        case Evidence():
            return _evidence(block, width, measure)
        case Photos(photos):
            return _photo_rows(photos, width, measure)
        case Signatures(names, sentence):
            return _signatures(names, sentence, width, measure)
        case Cards():
            return card_strips(block, width, measure)
        case Choices(choices):
            return [choice_strip(choice, width, measure) for choice in choices]
        case Sum(amount, beside):
            return [sum_strip(amount, beside, width, measure)]


def _figure(block: Figure, width: float, measure: Measure) -> list[Strip]:
    """What it says above it, what it shows below."""
    above = text_strips(lined(block.title, width, measure, bold=True)) if block.title else []
    words = lined(block.caption, width, measure, size=SMALL, role=SOFT) if block.caption else []
    return [*(replace(s, keep=True) for s in above), _drawn(block.drawing), *text_strips(words)]


def _outcome(text: str, width: float, measure: Measure) -> list[Strip]:
    """The deciding sentence, a strong bar beside it."""
    lines = lined(text, width - 16, measure, size=OUTCOME, bold=True)
    strips, node = [], Node("P")
    for line in lines:
        bar = shapes.Line(2.5, 0, 2.5, line.height, "accent", 5)
        strips.append(
            Strip(line.height, (Group(0, 0, (bar,)), Group(16, 0, labels([line]), node)), keep=True)
        )
    return [space(5, keep=True), *strips, space(2)]


def _banner(text: str, width: float, measure: Measure) -> list[Strip]:
    """One line as large as it fits, cut where even the smallest letters do not."""
    size = max(OUTCOME, min(BANNER, width / measure(text, 1, True)))
    shown = text if size > OUTCOME else cut(text, width, size, measure)
    line = Line(shown, size, bold=True)
    return [Strip(line.height, (Group(0, 0, labels([line])),), keep=True)]


def _bullet(text: str, size: float, width: float, measure: Measure, whole: Node) -> list[Strip]:
    item = Node("LI", whole)
    dash = Group(0, 0, labels([Line("–", size)]), Node("Lbl", item))
    first, *rest = text_strips(lined(text, width - 14, measure, size=size), 14, Node("LBody", item))
    return [Strip(first.height, (dash, *first.groups), first.keep), *rest, space(1.5)]


def _fields(rows: Sequence[tuple[str, str]], columns: int, width: float, measure: Measure) -> list[Strip]:
    """Names on the left of their values; a value too long for its line goes on below."""
    each = (width - GAP * (columns - 1)) / columns
    widest = max((measure(name, SMALL, False) for name, _ in rows), default=0.0) + 10
    named = min(widest, each * (0.58 if columns > 1 else 0.25))
    size = BODY if columns == 2 else SMALL
    strips = []
    for n in range(0, len(rows), columns):
        across: list[list[Line | None]] = []
        for name, value in rows[n : n + columns]:
            across += [
                list(lined(name, named - 8, measure, size=SMALL, role=SOFT)),
                list(lined(value, each - named, measure, size=size)),
            ]
        places = [x for c in range(columns) for x in (c * (each + GAP), c * (each + GAP) + named)]
        pairs = [node for _ in range(columns) for node in [Node("P")] * 2]
        strips += _side_by_side(across, places, pairs, size)
        strips.append(space(2 if columns < 3 else 1))
    return strips


def _side_by_side(
    columns: Sequence[Sequence[Line | None]],
    places: Sequence[float],
    nodes: Sequence[Node],
    size: float = BODY,
) -> list[Strip]:
    """Columns of lines, one strip for each line of all of them."""
    strips = []
    for line in zip_longest(*columns):
        groups = tuple(
            Group(x, size * MIDDLE - part.height / 2, labels([part]), node)
            for part, x, node in zip(line, places, nodes, strict=False)
            if part
        )
        strips.append(Strip(size * USUAL_LEADING, groups))
    return strips


def _key(width: float, measure: Measure) -> list[Strip]:
    """The signs with their words: verdicts, and under them what becomes of a part."""
    verdicts = [s for s in ROLES if isinstance(s, Verdict)]
    rows = (verdicts, [s for s in ROLES if s not in verdicts])
    one = _key_row((*rows[0], *rows[1]), measure)
    return [one] if one.groups[-1].x < width - 40 else [*(_key_row(r, measure) for r in rows)]


def _key_row(signs: Sequence[Sign], measure: Measure) -> Strip:
    x, groups, node = 0.0, [], Node("P")
    for what in signs:
        words = Line(str(what.value), SMALL, SOFT)
        groups.append(Group(x, 0, mark_at(what, 6, 7, 11)))
        groups.append(Group(x + 15, 7 - words.height / 2, labels([words]), node))
        x += 15 + measure(words.text, words.size, False) + 12
    return Strip(18, tuple(groups))


def _drawn(drawing: Drawing) -> Strip:
    return Strip(
        drawing.height + 4, (Group(0, 2, drawing.shapes, Node("Figure", None, drawing.says)),), keep=True
    )


def _evidence(block: Evidence, width: float, measure: Measure) -> list[Strip]:
    """Title and sentences, and beside them the drawing or the first photograph; further photographs below."""
    beside = block.drawing or len(block.photos) % 2  # an even number stands below, two by two
    room = width - COLUMN - GAP if beside else width
    indent = 16.0 if block.sign else 0.0
    title = lined(block.title, room - indent, measure, size=10.5, bold=True)
    words = [line for text in block.lines for line in lined(text, room, measure)]
    mark = mark_at(block.sign, 6, 7.2, 11.5) if block.sign else ()
    right: list[Group] = []
    tall = 0.0
    if block.drawing:
        shown = Node("Figure", None, block.drawing.says)
        right, tall = [Group(width - COLUMN, 0, block.drawing.shapes, shown)], block.drawing.height
    elif beside:
        right, tall = _photo(block.photos[0], width - COLUMN, COLUMN, measure, BESIDE)
    top = height_of(title)
    fits = 0
    while fits < len(words) and top + height_of(words[: fits + 1]) <= max(tall, 200):
        fits += 1
    high = max(tall, top + height_of(words[:fits]))
    head, body = Node("P"), Node("P")
    left = (
        *_signed(block.sign, mark, head),
        Group(indent, 0, labels(title), head),
        Group(0, top, labels(words[:fits]), body),
    )
    rule = Group(0, -6, (shapes.Line(0, 0, width, 0, "faint", 0.6),))
    strips = [space(8, keep=True), Strip(high, (rule, *left, *right)), *text_strips(words[fits:], 0, body)]
    photos = block.photos if block.drawing or not beside else block.photos[1:]
    return [*strips, *([space(4), *_photo_rows(photos, width, measure)] if photos else [])]


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
    """Photographs two in a row; captions that are longer than a few lines go on below them."""
    each, listed = (width - GAP) / 2, list(photos)
    strips: list[Strip] = []
    for pair in (listed[n : n + 2] for n in range(0, len(listed), 2)):
        placed = [_photo(p, c * (each + GAP), each, measure) for c, p in enumerate(pair)]
        strips.append(
            Strip(max(tall for _, tall in placed), tuple(g for groups, _ in placed for g in groups))
        )
        rest = [list(lined(p.caption, each, measure, size=SMALL, role=SOFT))[CAPTION_LINES:] for p in pair]
        strips += [*_side_by_side(rest, [0, each + GAP], [Node("P"), Node("P")]), space(6)]
    return strips


def _signatures(names: Sequence[str], sentence: str, width: float, measure: Measure) -> list[Strip]:
    """Nobody signs on another page than what is signed to."""
    signed = lined(sentence, width, measure) if sentence else []
    above = [Strip(line.height, (Group(0, 0, labels([line])),), keep=True) for line in signed]
    each = (width - GAP * (len(names) - 1)) / len(names)
    groups = []
    for n, name in enumerate(names):
        line = shapes.Line(0, 44, each, 44, "ink", 0.8)
        groups.append(Group(n * (each + GAP), 0, (line, *labels([Line(name, SMALL, SOFT)]))))
    under = [Group(g.x, 46, g.items[1:]) for g in groups]
    return [*above, Strip(60, (*(Group(g.x, 0, g.items[:1]) for g in groups), *under))]
