"""Stacks a report's strips on pages with head, foot and page number; knows no cylinder and no PDF."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from inspect_app.figures.shapes import Drawing, Shape
from inspect_app.figures.shapes import Line as Rule
from inspect_app.paper.blocks import PAPERS, Paper, Report
from inspect_app.paper.lines import (
    BODY,
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
    space,
    text_strips,
)
from inspect_app.paper.strips import section_strips

TAG = {False: 66.0, True: 58.0}
TITLE = {False: 19.0, True: 16.0}
"""The QR code and the title's letters, of a compact document the smaller ones."""

TITLE_TALL = 200.0
"""What stands beside the QR code is not taller than this; the rest goes on below."""

ISSUED = 11.5
"""The letters of who issues it, and which report it is."""

LITTLE = 1 / 3
"""Of a page with less than this on it what follows begins on the same page."""

QUIET_ZONE = 6.0
"""The white edge of the QR code, which may lie in the margin."""


@dataclass(frozen=True, slots=True)
class Page:
    """One page: groups placed from its upper left corner."""

    width: float
    height: float
    groups: tuple[Group, ...]


def lay_out(report: Report, page_size: str, measure: Measure, tag: Drawing) -> list[Page]:
    """The report on its pages.

    Args:
        report: the report.
        page_size: a name in PAPERS.
        measure: how wide a text comes out.
        tag: the QR code, as a drawing.
    """
    paper = PAPERS[page_size]
    room = paper.room
    strips = _title(report, room, measure, tag)
    rank = 1
    for section in report.sections:
        if section.title:  # no rank is left out on the way down, whatever the letters' size
            rank = min(section.level + 1, rank + 1)
        strips += section_strips(section, room, measure, rank)
    while not strips[-1].groups:
        strips.pop()  # room behind the last block would open a page of its own
    stacks = stacked(strips, paper)
    pages = []
    for n, stack in enumerate(stacks, 1):
        head, foot = _frame(report, n, len(stacks), paper, measure)
        pages.append(Page(paper.width, paper.height, (head, *stack, foot)))
    return pages


def stacked(strips: Sequence[Strip], paper: Paper) -> list[list[Group]]:
    """Strips on pages: what belongs together stays together, heads of tables come again.

    Args:
        strips: the strips in order.
        paper: the page.
    """
    room = paper.height - paper.head - paper.foot
    pages: list[list[Group]] = [[]]
    y, n = 0.0, 0
    while n < len(strips):
        end = n + 1
        while strips[end - 1].keep and end < len(strips):
            end += 1
        together = strips[n:end]
        turned = together[0].new_page and y > room * LITTLE
        if y > 0 and (turned or y + sum(s.height for s in together) > room):
            pages.append([])
            y = 0.0
        for strip in together:
            if y > 0 and y + strip.height > room:  # more than a page holds together
                pages.append([])
                y = 0.0
            if y == 0 and not strip.groups:
                continue
            if y == 0 and strip.head:  # read once, where it stands first
                y += _place(read_not(strip.head), y, pages[-1], paper)
            y += _place(strip, y, pages[-1], paper)
        n = end
    return pages


def _place(strip: Strip, y: float, page: list[Group], paper: Paper) -> float:
    placed = (g for g in strip.groups if g.items or g.node)
    page += [Group(paper.margin + g.x, paper.head + y + g.y, g.items, g.node, g.to) for g in placed]
    return strip.height


def read_not(strip: Strip) -> Strip:
    """A strip that is seen and not read aloud."""
    return replace(strip, groups=tuple(replace(g, node=None) for g in strip.groups))


def _frame(report: Report, number: int, count: int, paper: Paper, measure: Measure) -> tuple[Group, Group]:
    """What stands on every page: head with the job and the page, foot with the fingerprint."""
    page = f"page {number} of {count}"
    beside = paper.room - measure(page, SMALL, False) - min(20, paper.head / 2)
    head: tuple[Shape, ...] = (
        *labels([Line(cut(report.head, beside, SMALL, measure), SMALL, SOFT)]),
        *labels([Line(page, SMALL, SOFT)], paper.room, right=True),
    )
    foot: tuple[Shape, ...] = (*labels([Line(cut(report.foot, paper.room, SMALL, measure), SMALL, SOFT)]),)
    return Group(paper.margin, paper.head - 19, head), Group(
        paper.margin, paper.height - paper.foot + 6, foot
    )


def _title(report: Report, width: float, measure: Measure, tag: Drawing) -> list[Strip]:
    """What the report is of, its QR code on the right."""
    code, size = TAG[report.compact], SMALL if report.compact else BODY
    one_column = width < ONE_COLUMN
    room = width if one_column else width - code - 24
    # of a compact document the head of the page says what it is, of one that is issued what stands above
    unsaid = not (report.compact or report.issue)
    name = lined(report.title, room, measure, size=size + 1, role=SOFT) if unsaid else []
    name += lined(report.name, room, measure, size=TITLE[report.compact], bold=True)
    lines = [
        *name,
        *(line for text in report.under if text for line in lined(text, room, measure, size=size)),
    ]
    fits = 0
    while fits < len(lines) and height_of(lines[: fits + 1]) <= TITLE_TALL:
        fits += 1
    named, heading = min(fits, len(name)), Node("H1")
    top = height_of(lines[:named])
    caption = [Line(report.tag_caption, SMALL, SOFT)] if unsaid else []
    right = (
        Group(width - code + QUIET_ZONE, -QUIET_ZONE, tag.shapes, Node("Figure", None, tag.says)),
        Group(width, code + 1, labels(caption, right=True), Node("P")),
    )
    left = (
        Group(0, 0, labels(lines[:named]), heading),
        Group(0, top, labels(lines[named:fits]), Node("P")),
    )
    said, coded = height_of(lines[:fits]), code + (14 if unsaid else 4 if report.compact else -6)
    rest = text_strips(lines[fits:])
    if one_column:
        titled = [Strip(said, left, keep=True), *rest, Strip(coded, right, keep=True)]
    else:
        titled = [Strip(max(said, coded), (*left, *right), keep=True), *rest]
    return [*_issued(report, width, measure), *titled, *([] if report.issue else [space(6)])]


def _issued(report: Report, width: float, measure: Measure) -> list[Strip]:
    """Who issues it on the left, which report and issue it is on the right, over a rule."""
    if not report.issue:
        return []
    one_column = width < ONE_COLUMN
    half = width if one_column else (width - 20) / 2
    sides = []
    for first, *rest in (report.issuer or ("",), report.issue):
        lines = lined(first, half, measure, size=ISSUED, bold=True)
        sides.append(
            [*lines, *(line for text in rest for line in lined(text, half, measure, size=SMALL, role=SOFT))]
        )
    left, right = (height_of(lines) for lines in sides)
    tall = (left + right if one_column else max(left, right)) + 3
    issue = (
        Group(0, left, labels(sides[1]), Node("P"))
        if one_column
        else Group(width, 0, labels(sides[1], right=True), Node("P"))
    )
    rule = Group(0, tall, (Rule(0, 0, width, 0, "ink", 1.4),))
    return [Strip(tall + 6, (Group(0, 0, labels(sides[0]), Node("P")), issue, rule), keep=True)]
