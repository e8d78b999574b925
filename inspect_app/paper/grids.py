"""Numbers by station and clock, small paragraphs behind their marks, and the box to sign, as strips; knows no page."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import accumulate

from inspect_app.figures import shapes
from inspect_app.figures.strokes import box, mark_at
from inspect_app.paper.blocks import Cell, Grid, Grids, Notes, ToSign
from inspect_app.paper.lines import (
    BODY,
    LEADING,
    MIDDLE,
    ONE_COLUMN,
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
    space,
)

GAP, BETWEEN, SIGN, AROUND = 16.0, 9.0, 8.0, 1.0
TALLEST = 24
"""A grid of more rows than this is cut between them."""

TICK, INDENT, INSIDE, ABOVE_NAMES = 11.0, 26.0, 12.0, 20.0
LEAST_NAME = 60.0
"""Room that is left for the name of a row before its columns are cut."""


def grid_strips(block: Grids | Notes | ToSign, width: float, measure: Measure) -> list[Strip]:
    """Grids, notes or the box to sign as strips.

    Args:
        block: what it is.
        width: the room.
        measure: how wide a text comes out.
    """
    match block:
        case Grids():
            return _grids(block, width, measure)
        case Notes():
            return _notes(block, width, measure)
        case ToSign():
            return [_to_sign(block, width, measure)]


def _grids(block: Grids, width: float, measure: Measure) -> list[Strip]:
    """Grids in order, two or three beside each other where they are narrow enough."""
    strips: list[Strip] = []
    row, taken = Strip(0.0), 0.0
    for grid in (part for whole in block.grids for part in fitting(whole, width, measure)):
        share = _share(grid, width, measure)
        if row.groups and taken + share > width + 1:
            strips += [row, space(5)]
            row, taken = Strip(0.0), 0.0
        made = _grid(grid, share, measure)
        if len(made) > 1:
            strips += [*made, space(5)]
            continue
        moved = (replace(g, x=g.x + taken) for g in made[0].groups)
        row = Strip(max(row.height, made[0].height), (*row.groups, *moved))
        taken += share + GAP
    return [*strips, row, space(5)] if row.groups else strips


def fitting(grid: Grid, width: float, measure: Measure) -> list[Grid]:
    """A grid as it fits: as it is; else its columns as rows; else with long names on several lines; else cut between
    its columns.

    Args:
        grid: the grid.
        width: the room.
        measure: how wide a text comes out.
    """
    if _needs(grid, measure) <= width:
        return [grid]
    turned = _turned(grid)
    if _needs(turned, measure) <= width:
        return [turned]
    names, columns = _widths(grid, measure)
    if width - sum(columns) >= min(names, LEAST_NAME):
        return [grid]
    room, first, parts = width - min(names, LEAST_NAME), 0, []
    while first < len(columns):
        end = first + 1
        while end < len(columns) and sum(columns[first : end + 1]) <= room:
            end += 1
        title = f"{grid.title}, continued" if first else grid.title
        rows = tuple((name, cells[first:end]) for name, cells in grid.rows)
        parts.append(Grid(title, "" if first else grid.under, grid.heads[first:end], rows, grid.sign))
        first = end
    return parts


def _turned(grid: Grid) -> Grid:
    """The same with its columns as rows."""
    rows = tuple(
        (head, tuple(cells[n] if n < len(cells) else Cell("") for _, cells in grid.rows))
        for n, head in enumerate(grid.heads)
    )
    return replace(grid, heads=tuple(name for name, _ in grid.rows), rows=rows)


def _share(grid: Grid, width: float, measure: Measure) -> float:
    """A third, half or all of the width, as much as the numbers need; a long title may take a second line."""
    if len(grid.rows) > TALLEST or width < ONE_COLUMN:
        return width
    needs = max(_needs(grid, measure), measure(grid.title, BODY, True) * 0.6)
    parts = ((width - GAP * (n - 1)) / n for n in (3, 2))
    return next((part for part in parts if needs <= part), width)


def _needs(grid: Grid, measure: Measure) -> float:
    """How wide a grid is."""
    names, columns = _widths(grid, measure)
    return names + sum(columns)


def _widths(grid: Grid, measure: Measure) -> tuple[float, list[float]]:
    """How wide the names and each column are."""
    names = max((measure(name, SMALL, False) for name, _ in grid.rows), default=0.0)
    columns = []
    for n, head in enumerate(grid.heads):
        cells = [row[n] for _, row in grid.rows if n < len(row)]
        numbers = [measure(c.text, SMALL, c.bold) + (SIGN + 2 if c.sign else 0) for c in cells]
        numbers += [measure(c.under, SMALL, False) for c in cells]
        columns.append(max([measure(head, SMALL, True), *numbers]) + BETWEEN)
    return names + (BETWEEN if names else 0.0), columns


def _grid(grid: Grid, width: float, measure: Measure) -> list[Strip]:
    """One grid, in one piece unless it is very tall."""
    names, columns = _widths(grid, measure)
    names = min(names, width - sum(columns))
    rights = [x - 2 for x in accumulate(columns, initial=names)][1:]
    used = min(width, names + sum(columns))
    whole = Node("Table")
    strips = [_title(grid, rights, used, width, measure, whole)]
    for n, (name, cells) in enumerate(grid.rows):
        last = n == len(grid.rows) - 1
        named = lined(name, names, measure, size=SMALL, role=SOFT)
        strips.append(_row(named, cells, rights, used, strips[0], measure, whole, keep=not last, last=last))
    if len(grid.rows) > TALLEST:
        return strips
    groups, y = [], 0.0
    for strip in strips:
        groups += [replace(g, y=g.y + y) for g in strip.groups]
        y += strip.height
    return [Strip(y, tuple(groups))]


def _title(
    grid: Grid, rights: Sequence[float], used: float, width: float, measure: Measure, whole: Node
) -> Strip:
    indent = 14.0 if grid.sign else 0.0
    title = lined(grid.title, width - indent, measure, size=BODY, bold=True)
    under = lined(grid.under, width, measure, size=SMALL, role=SOFT) if grid.under else []
    y = height_of(title)
    caption = Node("Caption", whole)
    groups = [Group(indent, 0, labels(title), caption), Group(0, y, labels(under), caption)]
    if grid.sign:
        groups.insert(
            0, Group(0, 0, mark_at(grid.sign, 5, 6.8, 10), Node("Span", caption, str(grid.sign.value)))
        )
    y += height_of(under) + 1
    heads = [Line(head, SMALL, SOFT, True) for head in grid.heads]
    row = Node("TR", whole)
    groups.append(Group(0, y, (), Node("TH", row, "Column")))  # above the names
    for head, x in zip(heads, rights, strict=True):
        groups.append(Group(x, y, labels([head], right=True), Node("TH", row, "Column")))
    y += LEADING[SMALL] * SMALL if any(grid.heads) else 0.0
    groups.append(Group(0, y, (shapes.Line(0, 0, used, 0, "ink", 0.8),)))
    return Strip(y + 1, tuple(groups), keep=True)


def _row(
    name: Sequence[Line],
    cells: Sequence[Cell],
    rights: Sequence[float],
    used: float,
    head: Strip,
    measure: Measure,
    whole: Node,
    keep: bool,
    last: bool,
) -> Strip:
    row = Node("TR", whole)
    groups = [Group(0, AROUND, labels(name), Node("TH", row, "Row"))]
    tall = height_of(name)
    for cell, right in zip(cells, rights, strict=False):
        lines = [Line(cell.text, SMALL, bold=cell.bold)]
        lines += [Line(cell.under, SMALL, SOFT)] if cell.under else []
        its = Node("TD", row)
        if cell.sign:
            x = right - measure(cell.text, SMALL, cell.bold) - SIGN * 0.5 - 2
            sign = Node("Span", its, str(cell.sign.value))
            groups.append(Group(0, AROUND, mark_at(cell.sign, x, SMALL * MIDDLE, SIGN), sign))
        groups.append(Group(right, AROUND, labels(lines, right=True), its))
        tall = max(tall, height_of(lines))
    tall += 2 * AROUND
    rule = ("ink", 0.8) if last else ("faint", 0.4)
    groups.append(Group(0, tall, (shapes.Line(0, 0, used, 0, *rule),)))
    return Strip(tall, tuple(groups), keep=keep, head=head)


def _notes(block: Notes, width: float, measure: Measure) -> list[Strip]:
    """Small paragraphs behind their marks; none is cut in the middle."""
    strips, whole = [], Node("L")
    for mark, text, strong in block.notes:
        lines = lined(text, width - INDENT, measure, size=SMALL)
        item = Node("LI", whole)
        groups = (
            Group(0, 0, labels([Line(mark, SMALL, bold=strong)]), Node("Lbl", item)),
            Group(INDENT, 0, labels(lines), Node("LBody", item)),
        )
        strips += [Strip(height_of(lines), groups), space(1.5)]
    return strips


def _to_sign(block: ToSign, width: float, measure: Measure) -> Strip:
    """The box: what may be chosen in a row, what a signature says, and the lines to sign on."""
    room = width - 2 * INSIDE
    y = INSIDE * 0.6
    title = Line(block.title, BODY + 1, bold=True)
    groups = [Group(INSIDE, y - 2, labels([title]), Node("P"))]
    x = INSIDE + measure(block.title, BODY + 1, True) + 24
    for choice in block.choices:
        wide = TICK + 5 + measure(choice, BODY, False)
        if x + wide > width - INSIDE and x > INSIDE:
            x, y = INSIDE, y + TICK + 6
        groups.append(Group(x, y, (box(0, 0, TICK, TICK, "ink", 1.1),)))
        groups.append(
            Group(x + TICK + 5, y + TICK / 2 - BODY * MIDDLE, labels([Line(choice, BODY)]), Node("P"))
        )
        x += wide + 18
    y += TICK + 6
    said = lined(block.sentence, room, measure, size=SMALL, role=SOFT)
    groups.append(Group(INSIDE, y, labels(said), Node("P")))
    y += height_of(said) + ABOVE_NAMES
    across = 1 if width < ONE_COLUMN else max(1, len(block.names))
    each = (room - GAP * (across - 1)) / across
    for n, name in enumerate(block.names):
        x = INSIDE + n % across * (each + GAP)
        y += ABOVE_NAMES + SMALL * 1.5 if n and n % across == 0 else 0.0
        groups.append(Group(x, y, (shapes.Line(0, 0, each, 0, "ink", 0.8),)))
        under = lined(name, each, measure, size=SMALL, role=SOFT)[:1]
        groups.append(Group(x, y + 1, labels(under), Node("P")))
    y += SMALL * 1.5 + INSIDE * 0.4
    return Strip(y, (Group(0, 0, (box(0, 0, width, y, "ink", 1.2),)), *groups))
