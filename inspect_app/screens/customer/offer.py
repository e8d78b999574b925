"""A frozen scope as a customer reads it on our screen: found with pictures, proposed with prices, what it comes to."""

from __future__ import annotations

from collections.abc import Callable, Mapping

import flet as ft

from inspect_app.figures.on_photo import mark_shapes, marks_shown
from inspect_app.figures.shapes import Drawing
from inspect_app.job.scope.shown import MarkedPhoto, Scope, ScopeLine, SeenItem
from inspect_app.logbook.photos import path as photo_path
from inspect_app.screens.customer import wording
from inspect_app.screens.desk import Desk
from inspect_app.screens.pieces import controls, marks
from inspect_app.screens.pieces.frame import column_width
from inspect_app.screens.pieces.look import Look
from inspect_app.screens.pieces.signature import WIDEST

SWITCH = 44
"""dp of the drawn switch of an optional line."""


def offer(
    desk: Desk, scope: Scope, options: Mapping[str, bool], choose: Callable[[str], None]
) -> list[ft.Control]:
    """All of a scope, top to bottom.

    Args:
        desk: the session.
        scope: as it was frozen.
        options: what is said so far to each optional line.
        choose: told an optional line that was touched.
    """
    look = desk.standing.look
    body: list[ft.Control] = [controls.text(look, scope.headline, 22, bold=True)]
    body += [controls.text(look, fact, 17) for fact in (scope.beside, *scope.facts) if fact]
    for item in scope.items:
        body += _item(desk, scope, item)
    for picture in scope.pictures:
        body += _picture(desk, scope, picture.photo, picture.caption)
    if scope.offers:
        body.append(controls.heading(look, wording.PROPOSE))
        body += [priced(desk, scope, line, options, choose) for line in scope.lines]
        body += summed(desk, scope, options)
    body += [controls.text(look, wording.dropped_words(line), 17) for line in scope.dropped]
    body += [controls.text(look, sentence, 17) for sentence in wording.terms_words(scope)]
    body += [controls.notice(look, caution) for caution in scope.cautions]
    return body


def _item(desk: Desk, scope: Scope, item: SeenItem) -> list[ft.Control]:
    look = desk.standing.look
    seen = [controls.heading(look, f"{item.number}. {item.title}")]
    if item.photo:
        seen += _picture(desk, scope, item.photo, item.caption)
    said = ((wording.FOUND, f"{item.saw} {item.does}".strip()), (wording.IF_NOT, item.if_not))
    return [*seen, *(_said(desk, word, text) for word, text in said if text)]


def _said(desk: Desk, word: str, text: str) -> ft.Control:
    """A sentence behind the word that says what it is: found, or what happens if not."""
    look = desk.standing.look
    style = ft.TextStyle(size=look.size(18), color=look.ink)
    lead = ft.TextStyle(size=look.size(18), color=look.accent, weight=ft.FontWeight.W_700)
    spans = [ft.TextSpan(f"{word}: ", lead), ft.TextSpan(controls.printable(text), style)]
    return ft.Semantics(
        label=controls.printable(f"{word}: {text}"),
        container=True,
        exclude_semantics=True,
        content=ft.Text(spans=spans),
    )


def _picture(desk: Desk, scope: Scope, sha256: str, caption: str) -> list[ft.Control]:
    look, file = desk.standing.look, photo_path(sha256, desk.bench.photos)
    if not file.is_file():
        return [controls.small(look, "This photograph is missing on this device.")]
    said, wide = controls.printable(f"Photograph. {caption}".strip()), min(column_width(desk) - 32, WIDEST)
    picture = ft.Image(
        src=file.read_bytes(),
        height=wide * 0.75,
        fit=ft.BoxFit.CONTAIN,
        semantics_label=said,
        border_radius=6,
        key=f"photo {sha256}",
    )
    marked = scope.marks_of(sha256)
    seen = _marked(look, picture, marked, wide) if marked else picture
    below = [caption, marked.note if marked else ""]
    return [seen, *(controls.small(look, words) for words in below if words)]


def _marked(look: Look, picture: ft.Image, marked: MarkedPhoto, wide: float) -> ft.Control:
    """A photograph with its marks over it, as large as it fits into the room."""
    k = min(wide / marked.wide, wide * 0.75 / marked.high)
    width, height = marked.wide * k, marked.high * k
    picture.width, picture.height = width, height
    shapes = mark_shapes(marks_shown(marked), width, height, look.size(16))
    says = "Marked: " + (", ".join(m.says for m in marked.marks if m.says) or "where it is") + "."
    over = marks.drawing(look, Drawing(width, height, shapes, says))
    return ft.Stack([picture, over], width=width, height=height)


def priced(
    desk: Desk, scope: Scope, line: ScopeLine, options: Mapping[str, bool], choose: Callable[[str], None]
) -> ft.Control:
    """A line with its price; an optional one is a switch, and says what happens without it.

    Args:
        desk: the session.
        scope: as it was frozen.
        line: the line.
        options: what is said so far to each optional line.
        choose: told an optional line that was touched.
    """
    look, on = desk.standing.look, options.get(line.line, False)
    words: list[ft.Control] = [controls.text(look, line.title, 18, bold=True)]
    items = f"for {', '.join(map(str, line.items))}" if line.items else ""
    if items:
        words.append(controls.small(look, items))
    under = [line.why, f"{'yes' if on else 'no'}. {line.if_not}".strip() if line.optional else ""]
    words += [controls.small(look, text) for text in under if text]
    amount = scope.money(line.amount)
    inner: list[ft.Control] = [
        ft.Column(words, spacing=2, expand=True, tight=True),
        controls.text(look, amount, 18, bold=True, align=ft.TextAlign.RIGHT),
    ]
    box = ft.Container(
        ft.Row(inner, spacing=12, vertical_alignment=ft.CrossAxisAlignment.CENTER),
        padding=ft.Padding(0, 10, 0, 10),
        border=ft.Border(top=ft.BorderSide(look.weight, look.rule)),
    )
    if not line.optional:
        # read as one: apart, the number of what it is for is heard with the line above
        said = ". ".join(text for text in (line.title, amount, items, line.why) if text)
        return ft.Semantics(
            label=controls.printable(said), container=True, exclude_semantics=True, content=box
        )
    icon = ft.Icons.TOGGLE_ON if on else ft.Icons.TOGGLE_OFF_OUTLINED
    inner.insert(0, ft.Icon(icon, color=look.accent if on else look.soft, size=SWITCH))
    touch = desk.guard(lambda _: choose(line.line))
    box.on_click, box.ink = touch, True
    said = ". ".join(text for text in (line.title, amount, "yes" if on else "no", line.if_not) if text)
    return ft.Semantics(
        label=controls.printable(said),
        button=True,
        selected=on,
        container=True,
        exclude_semantics=True,
        identifier=f"option {line.line}",
        key=f"option {line.line}",
        on_tap=touch,
        content=box,
    )


def summed(desk: Desk, scope: Scope, options: Mapping[str, bool]) -> list[ft.Control]:
    """What it comes to with what was chosen.

    Args:
        desk: the session.
        scope: as it was frozen.
        options: what is said to each optional line.
    """
    look, total = desk.standing.look, scope.total(options)

    def row(word: str, amount: str, size: float, bold: bool = False) -> ft.Control:
        return ft.Row(
            [
                controls.text(look, word, 18, bold=bold, expand=True),
                controls.text(look, amount, size, bold=bold, align=ft.TextAlign.RIGHT),
            ],
            spacing=10,
        )

    rows = [
        row(wording.BEFORE_TAX, scope.money(total.net), 18),
        row(wording.TAX, scope.money(total.tax), 18),
        row(wording.TOGETHER, scope.money(total.gross), 26, bold=True),
    ]
    return [
        ft.Container(
            ft.Column(rows, spacing=2, tight=True),
            padding=ft.Padding(0, 8, 0, 8),
            border=ft.Border(top=ft.BorderSide(2 * look.weight, look.ink)),
        )
    ]
