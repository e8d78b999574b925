"""Tables as strips: heads that come again on every page, rows that are not cut unless they are very tall."""

from __future__ import annotations

from collections.abc import Sequence
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
    SMALL,
    SOFT,
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

TALLEST_ROW = 24
"""A row of more lines than this is cut between lines."""


def table_strips(table: Table, width: float, measure: Measure) -> list[Strip]:
    """A table as strips, its head repeated where it goes on on a new page.

    Args:
        table: the table.
        width: the room.
        measure: how wide a text comes out.
    """
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
            indent = MARK + 4 if cell.sign else 0.0
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
