"""What a report is made of: sections of plain blocks, every text decided, nothing placed yet."""

from __future__ import annotations

from dataclasses import dataclass

from inspect_app.figures.on_photo import OnPhoto
from inspect_app.figures.shapes import Drawing
from inspect_app.figures.signs import Sign


@dataclass(frozen=True, slots=True)
class Paper:
    """A page in points: its size, what is left free on both sides, and what its head and its foot take."""

    width: float
    height: float
    margin: float = 40.0
    head: float = 36.0
    foot: float = 36.0

    @property
    def room(self) -> float:
        """Between the margins."""
        return self.width - 2 * self.margin


PAPERS = {
    "A4": Paper(595.28, 841.89),
    "letter": Paper(612.0, 792.0),
    "narrow": Paper(216.0, 1296.0, 8.0, 24.0, 22.0),
}
"""The pages there are. The narrow one is for a phone: as wide as its screen, letters of 9 points are larger on it than
3 mm, and nothing stands beside something else that does not fit."""


@dataclass(frozen=True, slots=True)
class Words:
    """A paragraph; `style` is plain, strong, small or fine."""

    text: str
    style: str = "plain"


@dataclass(frozen=True, slots=True)
class Outcome:
    """The one sentence that decides, set largest of all."""

    text: str


@dataclass(frozen=True, slots=True)
class Banner:
    """A few characters to be read from across the shop, as large as they fit."""

    text: str


@dataclass(frozen=True, slots=True)
class Bullets:
    """Short sentences one under the other."""

    items: tuple[str, ...]
    small: bool = False


@dataclass(frozen=True, slots=True)
class Fields:
    """Names and values, side by side in as many columns."""

    rows: tuple[tuple[str, str], ...]
    columns: int = 2


@dataclass(frozen=True, slots=True)
class Key:
    """The signs with their words."""


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell of a table: text, smaller text under it, a sign before it, and a low drawing in place of the text."""

    text: str
    under: str = ""
    sign: Sign | None = None
    bold: bool = False
    drawing: Drawing | None = None


@dataclass(frozen=True, slots=True)
class Column:
    """A column: its head, its share of the width, and whether its numbers stand on the right."""

    head: str
    share: float
    right: bool = False


@dataclass(frozen=True, slots=True)
class Table:
    """Rows under column heads that are repeated on every page; a row may be a part of the one above.

    `dense` has narrow rows, so that more of them are seen at one look; `fine` has small letters too.
    """

    columns: tuple[Column, ...]
    rows: tuple[tuple[Cell, ...], ...]
    fine: bool = False
    dense: bool = False


@dataclass(frozen=True, slots=True)
class Grid:
    """Numbers by two things at once, as stations by clocks: a title, what holds for all of them, heads, and rows that
    begin with a name. A cell's smaller text stands under its number."""

    title: str
    under: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, tuple[Cell, ...]], ...]
    sign: Sign | None = None


@dataclass(frozen=True, slots=True)
class Grids:
    """Grids one after the other, two side by side where they are narrow enough."""

    grids: tuple[Grid, ...]


@dataclass(frozen=True, slots=True)
class Notes:
    """Small paragraphs, each behind its mark; `strong` ones have theirs in bold."""

    notes: tuple[tuple[str, str, bool], ...]


@dataclass(frozen=True, slots=True)
class ToSign:
    """A box to tick and sign in: what may be chosen, what a signature says, and who signs."""

    title: str
    choices: tuple[str, ...]
    sentence: str
    names: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Figure:
    """A drawing, what it shows, "" where that stands beside it, and what it says, in a sentence above it."""

    drawing: Drawing
    caption: str
    title: str = ""


@dataclass(frozen=True, slots=True)
class Figures:
    """Figures one after the other, two side by side where their drawings are narrow enough."""

    figures: tuple[Figure, ...]


@dataclass(frozen=True, slots=True)
class Photo:
    """A photograph by its hash: size in pixels, caption, what is said where it is not at hand, marks."""

    sha256: str
    width: int
    height: int
    caption: str
    instead: str
    marks: tuple[OnPhoto, ...] = ()


@dataclass(frozen=True, slots=True)
class Evidence:
    """A finding: its title with the verdict's mark, its sentences, and beside them drawing and photographs."""

    title: str
    sign: Sign | None
    lines: tuple[str, ...]
    drawing: Drawing | None = None
    photos: tuple[Photo, ...] = ()


@dataclass(frozen=True, slots=True)
class Photos:
    """Photographs side by side."""

    photos: tuple[Photo, ...]


@dataclass(frozen=True, slots=True)
class Signatures:
    """Lines to sign on, by what is written under them, and what is signed to, "" where that stands before them."""

    names: tuple[str, ...]
    sentence: str = ""


@dataclass(frozen=True, slots=True)
class Card:
    """One thing with its number, its photograph where there is one, and paragraphs, each with a strong lead or "".

    `drawing` stands where a photograph would, `scale` at its foot. `to` is the heading its title leads to, "" for none.
    `sign` stands before its title, in place of the number where it has none.
    """

    number: str
    title: str
    paragraphs: tuple[tuple[str, str], ...]
    photo: Photo | None = None
    drawing: Drawing | None = None
    scale: Drawing | None = None
    to: str = ""
    sign: Sign | None = None


@dataclass(frozen=True, slots=True)
class Cards:
    """Things side by side, three in a row; `small` has smaller letters, so that more of them are seen at one look, and
    `tiny` has smaller photographs, five in a row."""

    cards: tuple[Card, ...]
    small: bool = False
    tiny: bool = False


@dataclass(frozen=True, slots=True)
class Choice:
    """Something to say yes or no to, with smaller text under it and an amount; `chosen` is None while nobody has."""

    title: str
    under: str
    amount: str
    chosen: bool | None = None


@dataclass(frozen=True, slots=True)
class Choices:
    """Things to tick, one under the other."""

    choices: tuple[Choice, ...]


@dataclass(frozen=True, slots=True)
class Sum:
    """The one amount that counts, set large on the right, and small lines beside it."""

    amount: str
    beside: tuple[str, ...]


Block = (
    Words
    | Outcome
    | Banner
    | Bullets
    | Fields
    | Key
    | Table
    | Grids
    | Notes
    | ToSign
    | Figure
    | Figures
    | Evidence
    | Photos
    | Signatures
    | Cards
    | Choices
    | Sum
)


@dataclass(frozen=True, slots=True)
class Section:
    """A heading, first (1), second (2) or third (3) in rank, and what stands under it.

    With `new_page` it begins one, unless there is next to nothing on the one before.
    """

    title: str
    blocks: tuple[Block, ...]
    level: int = 1
    sign: Sign | None = None
    new_page: bool = False


@dataclass(frozen=True, slots=True)
class Attachment:
    """A file that goes with the paper, inside its PDF: its name, what is in it, in a sentence, and its text."""

    name: str
    says: str
    text: str


@dataclass(frozen=True, slots=True)
class Report:
    """A whole report. `tag` is the text of its QR code; `made_at` the time of the last fact in it, UTC.

    `head` and `foot` stand on every page, beside the page number. `compact` has a low title, for what is to fit one.
    `issuer` is who issues it, name first, and `issue` which it is and of which day: they stand above the title.
    `attached` are the files inside its PDF.
    """

    title: str
    name: str
    under: tuple[str, ...]
    head: str
    foot: str
    tag: str
    tag_caption: str
    made_at: str
    sections: tuple[Section, ...]
    compact: bool = False
    issuer: tuple[str, ...] = ()
    issue: tuple[str, ...] = ()
    attached: tuple[Attachment, ...] = ()
