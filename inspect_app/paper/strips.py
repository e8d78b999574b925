"""Turns each kind of block into strips of a given width; knows no page and no PDF."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from inspect_app.figures import shapes
from inspect_app.figures.shapes import Shape
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
    Figures,
    Grids,
    Key,
    Notes,
    Outcome,
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
    ONE_COLUMN,
    SMALL,
    SOFT,
    Group,
    Line,
    Measure,
    Node,
    Strip,
    cut,
    height_of,
    labels,
    lined,
    read_as,
    space,
    text_strips,
)
from inspect_app.paper.shown import GAP, shown_strips, side_by_side
from inspect_app.paper.tables import table_strips
from inspect_app.trade.measuring.decision import Verdict

SIZES = {1: 15.0, 2: 12.5, 3: 10.5}
BEFORE = {1: 9.0, 2: 8.0, 3: 6.0}
OUTCOME, AFTER = 16.0, 5.0
SIGNED = 60.0
"""The height of a line to sign on, with what stands under it."""
NAMED = 0.42
"""The most of a narrow page's width that the names of its values take."""
BANNER = 96.0
"""The largest letters there are."""


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
    for n, block in enumerate(section.blocks, 1):
        heads = isinstance(block, Words) and block.style == "strong" and n < len(section.blocks)
        made = read_as(block_strips(block, width, measure), Node("P"))
        made = [replace(s, keep=True) for s in made] if heads else made
        strips += [*made, space(AFTER, keep=heads)]
    return strips


def _heading(section: Section, width: float, measure: Measure, node: Node) -> list[Strip]:
    size = SIZES[section.level]
    indent = size * 1.4 if section.sign else 0.0
    lines = lined(section.title, width - indent, measure, size=size, bold=True)
    rule: tuple[Shape, ...] = (shapes.Line(0, 0, width, 0, "ink", 1.4),) if section.level == 1 else ()
    above = 6.0 if section.level == 1 else 0.0
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
        case Figure() | Figures() | Evidence() | Photos():
            return shown_strips(block, width, measure)
        case Grids() | Notes() | ToSign():
            return grid_strips(block, width, measure)
        case Signatures(names, sentence):
            return _signatures(names, sentence, width, measure)
        case Cards():
            return card_strips(block, width, measure)
        case Choices(choices):
            return [choice_strip(choice, width, measure) for choice in choices]
        case Sum(amount, beside):
            return [sum_strip(amount, beside, width, measure)]


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
    """Names on the left of their values; a value too long for its line goes on below. One column where there is little
    room."""
    little = width < ONE_COLUMN
    columns = 1 if little else columns
    each = (width - GAP * (columns - 1)) / columns
    widest = max((measure(name, SMALL, False) for name, _ in rows), default=0.0) + 10
    named = min(widest, each * (0.58 if columns > 1 else NAMED if little else 0.25))
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
        strips += side_by_side(across, places, pairs, size)
        strips.append(space(2 if columns < 3 else 1))
    return strips


def _key(width: float, measure: Measure) -> list[Strip]:
    """The signs with their words, as many in a row as there is room for: verdicts, then what becomes of a part."""
    rows: list[list[Group]] = [[]]
    x, node = 0.0, Node("P")
    for what in sorted(ROLES, key=lambda sign: not isinstance(sign, Verdict)):
        words = Line(str(what.value), SMALL, SOFT)
        wide = 15 + measure(words.text, words.size, False)
        if x + wide > width:
            rows.append([])
            x = 0.0
        rows[-1].append(Group(x, 0, mark_at(what, 6, 7, 11)))
        rows[-1].append(Group(x + 15, 7 - words.height / 2, labels([words]), node))
        x += wide + 12
    return [Strip(18, tuple(row), keep=n < len(rows)) for n, row in enumerate(rows, 1)]


def _signatures(names: Sequence[str], sentence: str, width: float, measure: Measure) -> list[Strip]:
    """Nobody signs on another page than what is signed to."""
    signed = lined(sentence, width, measure) if sentence else []
    above = [Strip(line.height, (Group(0, 0, labels([line])),), keep=True) for line in signed]
    across = 1 if width < ONE_COLUMN else len(names)
    each = (width - GAP * (across - 1)) / across
    groups = []
    for n, name in enumerate(names):
        x, y = n % across * (each + GAP), n // across * SIGNED
        groups.append(Group(x, y, (shapes.Line(0, 44, each, 44, "ink", 0.8),)))
        groups.append(Group(x, y + 46, labels([Line(name, SMALL, SOFT)])))
    return [*above, Strip(SIGNED * -(-len(names) // across), tuple(groups))]
