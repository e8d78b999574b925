"""Text broken into lines that fit, and strips: what a page is stacked of; knows no block and no PDF."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from inspect_app.figures.shapes import Label, Shape
from inspect_app.paper.blocks import Photo

Measure = Callable[[str, float, bool], float]
"""How wide a text comes out: text, size, bold."""

BODY, SMALL, FINE = 10.0, 9.0, 8.0
LEADING = {FINE: 1.22, SMALL: 1.22}
USUAL_LEADING = 1.28
MIDDLE = USUAL_LEADING / 2
"""Where the middle of a line of letters lies below its top, as a share of their size."""

SOFT = "guard"

ONE_COLUMN = 300.0
"""In less room than this nothing stands side by side that has sentences."""


@dataclass(frozen=True, slots=True)
class Picture:
    """A photograph in its place."""

    x: float
    y: float
    width: float
    height: float
    photo: Photo


@dataclass(frozen=True, slots=True, eq=False)
class Node:
    """What something is to whoever has the page read aloud: a name of PDF's standard structure, and what it is a part
    of. `says` is what a figure or a sign shows, and of the head of a table whether it is one of a Column or a Row.

    Each is itself: two that say the same are two.
    """

    kind: str
    within: Node | None = None
    says: str = ""


@dataclass(frozen=True, slots=True)
class Group:
    """Things placed from one corner: `x` to the right of the margin, `y` below the strip's top.

    `node` is what they are; without one they are not read aloud. `to` is the heading a touch leads to, "" for none.
    """

    x: float
    y: float
    items: tuple[Shape | Picture, ...]
    node: Node | None = None
    to: str = ""


@dataclass(frozen=True, slots=True)
class Strip:
    """A piece of a page, never cut. `keep` holds it together with the next; `head` is repeated before it
    where it comes first on a page; without groups it is room between two others."""

    height: float
    groups: tuple[Group, ...] = ()
    keep: bool = False
    head: Strip | None = None
    new_page: bool = False


@dataclass(frozen=True, slots=True)
class Line:
    """One line of text with its looks."""

    text: str
    size: float = BODY
    role: str = "ink"
    bold: bool = False

    @property
    def height(self) -> float:
        """What it takes of the page."""
        return self.size * LEADING.get(self.size, USUAL_LEADING)


def wrap(text: str, width: float, size: float, measure: Measure, bold: bool = False) -> list[str]:
    """A text in lines that fit; breaks at blanks and line ends, and inside a word only where it is too long.

    Args:
        text: the text.
        width: the room.
        size: of the letters.
        measure: how wide a text comes out.
        bold: bold letters.

    >>> wrap("the rod is bent", 9, 1, lambda text, size, bold: len(text))
    ['the rod', 'is bent']
    """
    lines: list[str] = []
    blank = measure(" ", size, bold)
    for paragraph in text.splitlines() or [""]:
        whole = " ".join(paragraph.split())
        if measure(whole, size, bold) <= width:  # as most cells of a table do
            lines.append(whole)
            continue
        line, used = "", 0.0
        for word in _pieces(paragraph, width, size, measure, bold):
            wide = measure(word, size, bold)
            if line and used + blank + wide > width:
                lines.append(line)
                line, used = word, wide
            else:
                used += wide + (blank if line else 0.0)
                line = f"{line} {word}" if line else word
        lines.append(line)
    return lines


def _pieces(paragraph: str, width: float, size: float, measure: Measure, bold: bool) -> Iterator[str]:
    """The words, those that are too long cut to what fits."""
    for word in paragraph.split():
        while measure(word, size, bold) > width and len(word) > 1:
            fits = max(1, int(len(word) * width / measure(word, size, bold)))
            while fits > 1 and measure(word[:fits], size, bold) > width:
                fits -= 1
            yield word[:fits]
            word = word[fits:]
        yield word


def lined(
    text: str,
    width: float,
    measure: Measure,
    *,
    size: float = BODY,
    role: str = "ink",
    bold: bool = False,
) -> list[Line]:
    """A text as lines with their looks.

    Args:
        text: the text.
        width: the room.
        measure: how wide a text comes out.
        size: of the letters.
        role: of the letters.
        bold: bold letters.
    """
    return [Line(t, size, role, bold) for t in wrap(text, width, size, measure, bold)]


def height_of(lines: Sequence[Line]) -> float:
    """What lines take of the page.

    Args:
        lines: the lines.
    """
    return sum(line.height for line in lines)


def labels(lines: Sequence[Line], x: float = 0.0, right: bool = False) -> tuple[Label, ...]:
    """Lines one under the other from the top of a group; `x` is their left end, or their right.

    Args:
        lines: the lines.
        x: where they begin, or end.
        right: whether they end there.
    """
    placed, y = [], 0.0
    anchor = "end" if right else "start"
    for line in lines:
        if line.text:
            placed.append(Label(x, y + line.height / 2, line.text, line.size, line.role, anchor, line.bold))
        y += line.height
    return tuple(placed)


def text_strips(lines: Sequence[Line], x: float = 0.0, node: Node | None = None) -> list[Strip]:
    """Lines as strips of their own; the first two and the last two stay together.

    Args:
        lines: the lines.
        x: their left end.
        node: what they are; a paragraph if left out.
    """
    last, node = len(lines) - 1, node or Node("P")
    return [
        Strip(line.height, (Group(x, 0.0, labels([line]), node),), keep=n < last and n in (0, last - 1))
        for n, line in enumerate(lines)
    ]


def read_as(strips: Sequence[Strip], node: Node) -> list[Strip]:
    """Strips whose words are read as this, those that are nothing else already; lines and boxes are not read.

    Args:
        strips: the strips.
        node: what they are.
    """

    def read(group: Group) -> Group:
        said = not group.node and any(isinstance(item, Label) for item in group.items)
        return replace(group, node=node) if said else group

    return [
        replace(strip, groups=tuple(map(read, strip.groups)))
        if any(not g.node for g in strip.groups)
        else strip
        for strip in strips
    ]


def space(height: float, keep: bool = False) -> Strip:
    """Room between two strips; none is left at the top of a page.

    Args:
        height: how much.
        keep: whether it belongs to what follows.
    """
    return Strip(height, keep=keep)


def cut(text: str, width: float, size: float, measure: Measure) -> str:
    """A text on one line, cut with … where it is too long.

    Args:
        text: the text.
        width: the room.
        size: of the letters.
        measure: how wide a text comes out.

    >>> cut("a very long name", 9, 1, lambda text, size, bold: len(text))
    'a very l…'
    """
    text = " ".join(text.split())
    if measure(text, size, False) <= width:
        return text
    while text and measure(f"{text}…", size, False) > width:
        text = text[: max(0, min(len(text) - 1, int(len(text) * width / measure(f"{text}…", size, False))))]
    return f"{text}…"
