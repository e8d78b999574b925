"""Turns what a customer reads into strips: things side by side, boxes to tick, the sum; knows no page and no PDF."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from inspect_app.figures import shapes
from inspect_app.figures.shapes import Label, Shape
from inspect_app.figures.strokes import box, mark_at
from inspect_app.paper.blocks import Card, Cards, Choice
from inspect_app.paper.lines import (
    BODY,
    FINE,
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
)

LEAST, TINY, GAP = 150.0, 88.0, 16.0
"""A card, or a tiny one, is not narrower than this: three or five in a row of a usual page, one or two on a narrow
one."""

RADIUS, AFTER_NUMBER = 8.0, 23.0
MARK, AFTER_SIGN = 10.0, 14.0
TALLEST, BESIDE_A_SCALE = 84.0, 62.0
"""How tall a photograph may be, and one that shares its card with a scale."""

USUAL_RATIO = 0.75
TICK, ASIDE = 11.0, 112.0
SUM_SIZE = 22.0


def card_strips(block: Cards, width: float, measure: Measure) -> list[Strip]:
    """Cards as many in a row as there is room for, or one less where that is less tall; a row is never cut.

    Args:
        block: the cards.
        width: the room.
        measure: how wide a text comes out.
    """
    least = TINY if block.tiny else LEAST
    most = max(1, int((width + GAP) / (least + GAP))) if len(block.cards) > 1 or block.tiny else 1
    laid = [_rows(block, width, measure, across) for across in sorted({most, max(1, most - 1)}, reverse=True)]
    return min(laid, key=lambda strips: sum(strip.height for strip in strips))


def _rows(block: Cards, width: float, measure: Measure, across: int) -> list[Strip]:
    each = (width - GAP * (across - 1)) / across
    size = FINE if block.small else SMALL
    strips: list[Strip] = []
    for n in range(0, len(block.cards), across):
        row = [_card(card, each, size, measure) for card in block.cards[n : n + across]]
        groups = [replace(g, x=c * (each + GAP) + g.x) for c, (placed, _) in enumerate(row) for g in placed]
        strips += [Strip(max(tall for _, tall in row), tuple(groups)), space(4)]
    return strips


def _card(card: Card, width: float, size: float, measure: Measure) -> tuple[list[Group], float]:
    """A card from its upper left corner, and its height."""
    after = AFTER_NUMBER if card.number else 0.0
    left = after + (AFTER_SIGN if card.sign else 0.0)
    title = lined(card.title, width - left, measure, size=size + 1.5, bold=True)
    lead_to = Node("Link", Node("P")) if card.to else Node("P")
    groups = [Group(0, 0, numbered(card.number, RADIUS, RADIUS), lead_to)] if card.number else []
    if card.sign:
        sign = Node("Span", lead_to, str(card.sign.value))
        groups.append(Group(after, 0, mark_at(card.sign, MARK / 2, RADIUS, MARK), sign))
    groups.append(Group(left, RADIUS - title[0].height / 2, labels(title), lead_to, card.to))
    top = y = max(2 * RADIUS, RADIUS - title[0].height / 2 + height_of(title)) + 4
    seen_wide = 0.0
    if card.drawing:
        seen_wide = card.drawing.width
        groups.append(Group(0, y, card.drawing.shapes, Node("Figure", None, card.drawing.says)))
        y += card.drawing.height + 4
    elif card.photo:
        wide, high = _size(
            card.photo.width, card.photo.height, width, BESIDE_A_SCALE if card.scale else TALLEST
        )
        seen = Node("Figure", None, card.photo.caption or f"Photograph: {card.title}")
        seen_wide = wide
        groups.append(Group(0, y, (Picture(0, 0, wide, high, card.photo),), seen))
        y += high + 4
        caption = (
            lined(card.photo.caption, width, measure, size=size, role=SOFT) if card.photo.caption else []
        )
        groups.append(Group(0, y, labels(caption), Node("P")))
        y += height_of(caption)
    x, low = 0.0, y
    if seen_wide and width - seen_wide - GAP > LEAST:  # room for the words beside what is seen
        x, y = seen_wide + GAP, top
    for lead, text in card.paragraphs:
        words = lined(lead, width - x, measure, size=size, role="accent", bold=True) if lead else []
        words += lined(text, width - x, measure, size=size)
        groups.append(Group(x, y, labels(words), Node("P")))
        y += height_of(words) + 3
    if card.scale:
        groups.append(Group(x, y + 2, card.scale.shapes, Node("Figure", None, card.scale.says)))
        y += card.scale.height + 2
    return groups, max(y, low)


def _size(wide: int, high: int, width: float, tallest: float) -> tuple[float, float]:
    """As wide as there is room, but not so tall that it takes the words' place."""
    ratio = high / wide if wide > 0 and high > 0 else USUAL_RATIO
    return (width, width * ratio) if width * ratio <= tallest else (tallest / ratio, tallest)


def numbered(number: str, x: float, y: float) -> tuple[Shape, ...]:
    """A number in a ring.

    Args:
        number: the number.
        x: the middle of the ring.
        y: the middle of the ring.
    """
    return shapes.Circle(x, y, RADIUS, "ink", 1.2), Label(x, y, number, SMALL, "ink", "middle", bold=True)


def choice_strip(choice: Choice, width: float, measure: Measure) -> Strip:
    """One thing to tick: two boxes, what it is, its amount.

    Args:
        choice: what may be chosen.
        width: the room.
        measure: how wide a text comes out.
    """
    money = measure(choice.amount, BODY, True)
    room = width - ASIDE - money - GAP
    words = lined(choice.title, room, measure, bold=True)
    words += lined(choice.under, room, measure, size=SMALL, role=SOFT) if choice.under else []
    tall, whole = max(height_of(words), TICK) + 9, Node("P")
    boxes = (
        *_box(0, "yes", choice.chosen is True),
        *_box(ASIDE / 2, "no", choice.chosen is False),
    )
    return Strip(
        tall,
        (
            Group(0, 4, boxes, whole),
            Group(ASIDE, 3, labels(words), whole),
            Group(width, 3, labels([Line(choice.amount, BODY, bold=True)], right=True), whole),
            Group(0, tall - 1, (shapes.Line(0, 0, width, 0, "faint", 0.5),)),
        ),
    )


def _box(x: float, word: str, ticked: bool) -> Iterable[Shape]:
    """A box to tick with its word."""
    yield box(x, 0, x + TICK, TICK, "ink", 1.1)
    if ticked:
        points = ((x + 2.4, 5.6), (x + 4.8, 8.4), (x + 9, 2.4))
        yield shapes.Polygon(points, "accent", 2.2, closed=False)
    yield Label(x + TICK + 5, TICK / 2, word, SMALL, "ink", "start")


def sum_strip(amount: str, beside: Sequence[str], width: float, measure: Measure) -> Strip:
    """The sum on the right, and beside it what it is made of.

    Args:
        amount: the sum as it is written.
        beside: small lines.
        width: the room.
        measure: how wide a text comes out.
    """
    room = width - measure(amount, SUM_SIZE, True) - GAP
    words = [line for text in beside for line in lined(text, room, measure, size=SMALL, role=SOFT)]
    tall = max(height_of(words), SUM_SIZE * USUAL_LEADING)
    large = labels([Line(amount, SUM_SIZE, bold=True)], right=True)
    return Strip(tall + 4, (Group(0, 2, labels(words), Node("P")), Group(width, 0, large, Node("P"))))
