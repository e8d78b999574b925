"""Tables as strips: heads that come again on every page, rows that are not cut unless they are very tall."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import cache
from itertools import accumulate

from inspect_app.figures import shapes
from inspect_app.figures.shapes import Shape
from inspect_app.figures.signs import Sign
from inspect_app.figures.strokes import mark_at
from inspect_app.paper.blocks import Cell, Column, Table
from inspect_app.paper.lines import (
    FINE,
    MIDDLE,
    ONE_COLUMN,
    SMALL,
    SOFT,
    USUAL_LEADING,
    Group,
    Line,
    Measure,
    Node,
    Strip,
    height_of,
    labels,
    lined,
)

BETWEEN, AFTER_NUMBER, MARK = 8.0, 12.0, 10.5
PAD, CLOSE = 3.6, 1.6
"""What is left free above and below a row, of a dense or fine table the less."""

INDENT = 8.0
"""How far smaller text stands in where a table is a list."""

TALLEST_ROW = 24
"""A row of more lines than this is cut between lines."""


def table_strips(table: Table, width: float, measure: Measure) -> list[Strip]:
    """A table as strips, its head repeated where it goes on on a new page; one that a narrow page has no room for is a
    list.

    Args:
        table: the table.
        width: the room.
        measure: how wide a text comes out.
    """
    if width < ONE_COLUMN:
        widths = _natural(table, measure)
        if sum(widths) > width:
            return _listed(table, width, measure)
    else:
        shares = sum(c.share for c in table.columns)
        widths = [c.share * width / shares for c in table.columns]
    lefts = [0.0, *accumulate(widths)]
    size, pad = FINE if table.fine else SMALL, CLOSE if table.fine or table.dense else PAD
    whole = Node("Table")
    head = _head(table.columns, lefts, widths, width, size, measure, whole)
    strips: list[Strip] = [head]
    last = len(table.rows) - 1
    for n, row in enumerate(table.rows):
        goes_on = n < last and not table.rows[n + 1][0].text
        keep = goes_on or n in (0, last - 1)  # neither the first nor the last row stands alone
        strips += _row(
            row,
            table.columns,
            lefts,
            widths,
            size,
            pad,
            measure,
            head,
            keep,
            bool(row[0].text) and n > 0,
            whole,
        )
    closing = Group(0, 0, (shapes.Line(0, 0, width, 0, "ink", 0.8),))
    return [*strips, Strip(4, (closing,))]


def _natural(table: Table, measure: Measure) -> list[float]:
    """How wide the columns are with each cell on one line."""
    size, widths = FINE if table.fine else SMALL, []
    for n, column in enumerate(table.columns):
        wide = [measure(column.head, size, True)]
        for cell in (row[n] for row in table.rows):
            mark = MARK + 4 if cell.sign else 0.0
            wide += [mark + measure(cell.text, size, cell.bold), mark + measure(cell.under, size, False)]
            wide += [cell.drawing.width] if cell.drawing else []
        widths.append(max(wide) + _gap(column))
    return widths


def _listed(table: Table, width: float, measure: Measure) -> list[Strip]:
    """Each row by itself: its first cell as a title, under it the others, each behind the head of its column."""
    strips, whole = [Strip(2, (_rule(width, "ink", 0.8),), keep=True)], Node("L")
    item = Node("LI", whole)
    for n, row in enumerate(table.rows):
        if row[0].text:  # else it is a part of the one above
            strips += [Strip(3, (_rule(width, "faint", 0.5),), keep=True)] if n else []
            item = Node("LI", whole)
        cells = [(k, c) for k, c in enumerate(row) if c.text or c.under or c.sign or c.drawing]
        for k, cell in cells:
            head = f"{table.columns[k].head} " if k and table.columns[k].head else ""
            shown = replace(cell, bold=True) if k == 0 else cell
            strips.append(_told(shown, head, width, measure, Node("LBody", item), k == cells[-1][0]))
    return [*strips, Strip(6, (Group(0, 2, _rule(width, "ink", 0.8).items),))]


def _told(cell: Cell, head: str, width: float, measure: Measure, node: Node, last: bool) -> Strip:
    """One cell behind the head of its column."""
    x = measure(head, SMALL, False)
    mark = MARK + 4 if cell.sign else 0.0
    lines = lined(cell.text, width - x - mark, measure, size=SMALL, bold=cell.bold) if cell.text else []
    under = lined(cell.under, width - INDENT, measure, size=SMALL, role=SOFT) if cell.under else []
    y = max(height_of(lines), SMALL * USUAL_LEADING if head or cell.sign else 0.0)
    groups = [Group(0, 0, labels([Line(head, SMALL, SOFT)]), node)] if head else []
    if cell.sign:
        sign = Node("Span", node, str(cell.sign.value))
        groups.append(Group(x, 0, _mark(cell.sign, SMALL), sign))
    groups += [Group(x + mark, 0, labels(lines), node), Group(INDENT, y, labels(under), node)]
    y += height_of(under)
    if cell.drawing:
        groups.append(Group(0, y, cell.drawing.shapes, Node("Figure", node, cell.drawing.says)))
        y += cell.drawing.height
    return Strip(y + 1, tuple(groups), keep=not last)


def _rule(width: float, role: str, weight: float) -> Group:
    return Group(0, 0, (shapes.Line(0, 0, width, 0, role, weight),))


def _head(
    columns: Sequence[Column],
    lefts: Sequence[float],
    widths: Sequence[float],
    width: float,
    size: float,
    measure: Measure,
    whole: Node,
) -> Strip:
    laid = [
        lined(c.head, w - _gap(c), measure, size=size, role=SOFT, bold=True)
        for c, w in zip(columns, widths, strict=True)
    ]
    tall = max(height_of(lines) for lines in laid)
    row = Node("TR", whole)
    groups = [
        _column(lines, column, x, w, tall - height_of(lines), Node("TH", row, "Column"))
        for lines, column, x, w in zip(laid, columns, lefts, widths, strict=False)
    ]
    rule = Group(0, tall + 2, (shapes.Line(0, 0, width, 0, "ink", 0.8),))
    return Strip(tall + 2, (*groups, rule), keep=True)


def _gap(column: Column) -> float:
    """What is left free on the right of a column."""
    return AFTER_NUMBER if column.right else BETWEEN


def _column(lines: Sequence[Line], column: Column, x: float, width: float, y: float, node: Node) -> Group:
    if column.right:
        return Group(x + width - _gap(column), y, labels(lines, right=True), node)
    return Group(x, y, labels(lines), node)


def _row(
    row: Sequence[Cell],
    columns: Sequence[Column],
    lefts: Sequence[float],
    widths: Sequence[float],
    size: float,
    pad: float,
    measure: Measure,
    head: Strip,
    keep: bool,
    ruled: bool,
    whole: Node,
) -> list[Strip]:
    """One row as one strip, or a very tall one as several."""
    laid = [_lines(cell, w - _gap(c), size, measure) for cell, c, w in zip(row, columns, widths, strict=True)]
    most = max(len(lines) for lines in laid)
    strips, node = [], Node("TR", whole)
    cells = [Node("TD", node) for _ in row]
    for first in range(0, max(most, 1), TALLEST_ROW):
        part = [lines[first : first + TALLEST_ROW] for lines in laid]
        groups: list[Group] = []
        for lines, cell, column, x, width, its in zip(part, row, columns, lefts, widths, cells, strict=False):
            indent = MARK + 4 if cell.sign and not column.right else 0.0
            if cell.sign and not first:
                groups.append(Group(x, pad, _mark(cell.sign, size), Node("Span", its, str(cell.sign.value))))
            groups.append(_column(lines, column, x + indent, width, pad, its))
            if cell.drawing and not first:
                groups.append(Group(x, pad, cell.drawing.shapes, Node("Figure", its, cell.drawing.says)))
        if ruled and not first:
            groups.append(Group(0, 0, (shapes.Line(0, 0, lefts[-1], 0, "faint", 0.5),)))
        drawn = [cell.drawing.height for cell in row if cell.drawing and not first]
        tall = max([*map(height_of, part), *drawn]) + 2 * pad
        strips.append(Strip(tall, tuple(groups), keep and first + TALLEST_ROW >= most, head))
    return strips


@cache
def _mark(verdict: Sign, size: float) -> tuple[Shape, ...]:
    return mark_at(verdict, MARK / 2, size * MIDDLE, MARK)


def _lines(cell: Cell, width: float, size: float, measure: Measure) -> list[Line]:
    room = width - (MARK + 4 if cell.sign else 0.0)
    lines = lined(cell.text, room, measure, size=size, bold=cell.bold) if cell.text else []
    if cell.under:
        lines += lined(cell.under, room, measure, size=size, role=SOFT)
    return lines
