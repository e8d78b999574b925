"""The scope on paper, as plain blocks: the first page for who never saw a cylinder, the second with figures and terms.

It is made of what was frozen alone, so that it says in ten years what it said on the day.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from datetime import UTC, datetime, tzinfo
from decimal import Decimal

from inspect_app.entries.agreed import ANSWERS, BOX, COPIES, HOWS, CustomerAnswer, Version
from inspect_app.figures.on_photo import marks_shown
from inspect_app.figures.shapes import Drawing, Polygon
from inspect_app.figures.strokes import box
from inspect_app.job.scope.shown import Scope, SeenItem
from inspect_app.paper.blocks import (
    Block,
    Bullets,
    Card,
    Cards,
    Cell,
    Choice,
    Choices,
    Column,
    Fields,
    Figure,
    Outcome,
    Photo,
    Photos,
    Report,
    Section,
    Signatures,
    Sum,
    Table,
    Words,
)
from inspect_app.report.grounds import grouped
from inspect_app.report.phrases import day_of, when
from inspect_app.trade.measuring.wording import capital

LINES = (Column("", 6), Column("What we propose", 74), Column("Before tax", 20, right=True))
FIGURES = (
    Column("", 6),
    Column("What was measured", 50),
    Column("Reading", 20, right=True),
    Column("What may stay", 24),
)
PICTURED = 3
"""So many things found have their pictures on the first page; of more the pictures stand on the second."""

SIGNATURE = 220.0
"""Width of a signature on paper, points."""

NO_PROOF = "A signature or a name taken here shows what was agreed to. It does not prove who signed."
DRAFT = "A draft: it was not shown to anybody, and nothing can be agreed to on it."
PhotoSizes = Mapping[str, tuple[int, int]]
"""Width and height of a photograph, by its SHA-256."""


def scope_sheet(
    scope: Scope, sizes: PhotoSizes, version: Version | None = None, answer: CustomerAnswer | None = None
) -> Report:
    """The scope as a document; the same scope, version and answer say the same.

    Args:
        scope: what is shown.
        sizes: how large its photographs are, as far as they are known.
        version: as which it was frozen; None for a draft that was not shown.
        answer: the answer to print on it.
    """
    title = _title(scope, version)
    return Report(
        title=title,
        name=scope.cylinder,
        under=tuple(_under(scope, version)),
        head=", ".join(w for w in (scope.shop, f"{title}: {scope.job}") if w),
        foot=f"{title}, {grouped(version.sha256[:16])}" if version else title,
        tag=f"SCOPE {version.sha256}".upper() if version else f"JOB {scope.job_id}".upper(),
        tag_caption="scope",
        made_at=answer.at if answer else version.at if version else "",
        sections=tuple(_sections(scope, sizes, version, answer)),
        compact=True,
    )


def _title(scope: Scope, version: Version | None) -> str:
    what = capital(scope.form) if scope.offers else "What we found"
    return f"{what}, version {version.number}" if version else f"{what}, draft"


def _under(scope: Scope, version: Version | None) -> Iterator[str]:
    day = f", {day_of(version.at, UTC)}" if version else ""
    yield f"{_title(scope, version)}{day}{f', {scope.shop}' if scope.shop else ''}"
    yield ", ".join(w for w in (f"for {scope.customer}" if scope.customer else "", f"job {scope.job}") if w)
    if scope.complaint:
        yield f"You told us: {scope.complaint}"


def _sections(
    scope: Scope, sizes: PhotoSizes, version: Version | None, answer: CustomerAnswer | None
) -> Iterator[Section]:
    yield Section("", tuple(_headline(scope)))
    if scope.items:
        yield Section("What we found", (_found(scope, sizes),), 2)
    if scope.offers:
        yield Section("", tuple(_proposed(scope, answer)))
    title, blocks = _yes(scope, version, answer)
    if blocks:
        yield Section(title, blocks, 2)
    yield from _second_page(scope, sizes, version, signed=answer is not None)


def _headline(scope: Scope) -> Iterator[Block]:
    yield Outcome(scope.headline)
    if scope.beside:
        yield Words(scope.beside, "strong")
    if scope.facts:
        yield Words(" ".join(scope.facts), "small")


def _found(scope: Scope, sizes: PhotoSizes) -> Cards:
    few = len(scope.items) <= PICTURED
    return Cards(tuple(_card(item, scope, sizes, pictured=few) for item in scope.items), small=not few)


def _card(item: SeenItem, scope: Scope, sizes: PhotoSizes, pictured: bool) -> Card:
    words = (("", f"{item.saw} {item.does}"), ("If it stays:", item.if_not))
    photo = _photo(item.photo, item.caption, scope, sizes) if pictured and item.photo else None
    return Card(str(item.number), item.title, words, photo)


def _photo(sha256: str, caption: str, scope: Scope, sizes: PhotoSizes) -> Photo:
    wide, high = sizes.get(sha256, (0, 0))
    marked = scope.marks_of(sha256)
    said = " ".join(w for w in (caption, marked.note if marked else "") if w)
    return Photo(sha256, wide, high, said, "The photograph is not at hand.", marks_shown(marked))


# ---- what is proposed


def _proposed(scope: Scope, answer: CustomerAnswer | None) -> Iterator[Block]:
    rows = [_line(", ".join(map(str, x.items)), x.title, x.why, scope.money(x.amount)) for x in scope.firm]
    yield Table(LINES, tuple(rows))
    if scope.optional:
        yield Words("You choose, each for itself:", "strong")
        said = answer.options if answer else {}
        yield Choices(
            tuple(
                Choice(
                    x.title,
                    f"If no: {x.if_not}" if x.if_not else "",
                    scope.money(x.amount),
                    said.get(x.line) if answer else None,
                )
                for x in scope.optional
            )
        )
    yield _sum(scope, answer)


def _line(numbers: str, title: str, why: str, amount: str) -> tuple[Cell, ...]:
    return Cell(numbers, bold=True), Cell(title, why), Cell(amount)


def _sum(scope: Scope, answer: CustomerAnswer | None) -> Sum:
    whole = scope.total(answer.options if answer else {})
    per_cent = f"{(Decimal(scope.tax) * 100).normalize():f} %"
    chosen = "without what you choose" if scope.optional and not answer else "together"
    beside = [f"{capital(chosen)} {scope.money(whole.net)}, tax {per_cent} {scope.money(whole.tax)}."]
    if scope.optional and not answer:
        every = scope.total({line.line: True for line in scope.optional})
        beside.append(f"With everything you may choose {scope.money(every.gross)}, tax included.")
    held = "It holds until" if scope.form == "quotation" else "An estimate; it stands until"
    beside.append(f"{held} {scope.valid_until}. {scope.days} days from your yes.")
    if scope.refused_fee:
        beside.append(f"If you say no: {scope.money(scope.refused_fee)} before tax for the work so far.")
    if scope.notice:
        beside.append(scope.notice)
    return Sum(scope.money(whole.gross), tuple(beside))


# ---- the answer


def _yes(
    scope: Scope, version: Version | None, answer: CustomerAnswer | None
) -> tuple[str, tuple[Block, ...]]:
    """Title and blocks of what is agreed to."""
    if answer:
        return f"The answer: {ANSWERS.get(answer.answer, answer.answer)}", tuple(_answered(answer))
    if version is None:
        return "", (Words(DRAFT, "small"),)
    if not scope.offers:
        return "", ()
    orders = f" I may order for {scope.may_order_for}." if scope.may_order_for else ""
    return "Your yes", (Signatures(("Name", "Signature", "Date, time"), scope.sentence + orders),)


def _answered(answer: CustomerAnswer) -> Iterator[Block]:
    if answer.sentence:
        yield Words(answer.sentence)
    rows = [
        ("Name", ", ".join(w for w in (answer.name, answer.role) if w)),
        ("How", " ".join(w for w in (HOWS.get(answer.how, answer.how), answer.to) if w)),
        ("When", when(answer.at, _zone(answer.zone))),
        ("Taken by", answer.by or "nobody: the customer alone"),
        ("Copy", COPIES.get(answer.copy, answer.copy)),
        ("In words", answer.words),
    ]
    yield Fields(tuple((name, text) for name, text in rows if text))
    if answer.signature:
        yield Figure(signature_drawing(answer), "")
    yield Words(NO_PROOF, "fine")


def signature_drawing(answer: CustomerAnswer) -> Drawing:
    """A signature as it was drawn, in its box.

    Args:
        answer: the answer it stands on.
    """
    wide, high = BOX
    scale = SIGNATURE / wide
    strokes = tuple(
        Polygon(
            tuple((x * scale, y * scale) for x, y in zip(s[::2], s[1::2], strict=True)),
            "ink",
            1.4,
            closed=False,
        )
        for s in answer.signature
    )
    frame = box(0, 0, SIGNATURE, high * scale, "faint", 0.6)
    return Drawing(SIGNATURE, high * scale, (frame, *strokes), f"Signature of {answer.name}")


def _zone(offset: str) -> tzinfo:
    try:
        return datetime.fromisoformat(f"2000-01-01T00:00{offset}").tzinfo or UTC
    except ValueError:
        return UTC


# ---- the second page


def _second_page(
    scope: Scope, sizes: PhotoSizes, version: Version | None, *, signed: bool
) -> tuple[Section, ...]:
    sections = []
    if measured := _measured(scope):
        sections.append(Section("What was measured", (Table(FIGURES, measured, fine=True),), 2))
    shown = [] if len(scope.items) <= PICTURED else [i for i in scope.items if i.photo]
    pictures = [_photo(i.photo, i.caption or f"{i.number}, {i.title}", scope, sizes) for i in shown]
    pictures += [_photo(x.photo, x.caption, scope, sizes) for x in scope.pictures]
    if pictures:
        sections.append(Section("Pictures", (Photos(tuple(pictures)),), 2))
    if scope.dropped or scope.excluded:
        sections.append(Section("Not part of it", tuple(_left_out(scope)), 2))
    sections.append(Section("To know", (Bullets(tuple(_to_know(scope, version, signed))),), 2))
    return (replace(sections[0], new_page=True), *sections[1:])


def _measured(scope: Scope) -> tuple[tuple[Cell, ...], ...]:
    return tuple(
        (
            Cell(str(item.number) if first else "", bold=True),
            Cell(f"{item.title}: {figure.what}"),
            Cell(figure.reading),
            Cell(figure.allowed),
        )
        for item in scope.items
        for first, figure in ((n == 0, f) for n, f in enumerate(item.figures))
    )


def _left_out(scope: Scope) -> Iterator[Block]:
    if scope.dropped:
        yield Bullets(
            tuple(
                f"{x.title}: left out, {x.reason}.{f' What may happen: {x.if_not}' if x.if_not else ''}"
                for x in scope.dropped
            )
        )
    if scope.excluded:
        yield Words(f"Not included: {scope.excluded}")


def _to_know(scope: Scope, version: Version | None, signed: bool) -> Iterator[str]:
    yield from scope.cautions
    if scope.offers:
        yield "Any other work, or a higher price, is shown to you as a new version and needs a new yes."
        yield scope.rounding
    elif scope.refused_fee:
        yield f"Taking it apart and looking at it costs {scope.money(scope.refused_fee)} before tax."
    if scope.notice and not scope.offers:
        yield scope.notice
    if scope.offers and version and not signed:
        yield NO_PROOF
    if version:
        yield f"This is version {version.number}, shown by {version.by}, content {grouped(version.sha256)}."
