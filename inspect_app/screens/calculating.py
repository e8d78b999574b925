"""One calculator drawn: what comes out, its keys, what is being typed, and what it rests on; holds no state."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import flet as ft

from inspect_app.calculators.answer import Answer
from inspect_app.calculators.measures import is_bare
from inspect_app.calculators.printed import result_text, source_words
from inspect_app.calculators.shape import Calculator, Key, Result
from inspect_app.calculators.typed import BETWEEN, Entry
from inspect_app.screens.pieces import controls, marks
from inspect_app.screens.pieces.keypad import keypad
from inspect_app.screens.pieces.look import GAP, TOUCH, Look
from inspect_app.tables.cautions import Caution
from inspect_app.trade.measuring.wording import inside

OnText = Callable[[str], Any]
SetEntry = Callable[[Any], Any]

MAIN, REST = 44, 20
"""Type of the first figure that comes out, and of the others."""

ROOM_FOR_CHOICES = 300

MOST_NAMED = 3
"""So many of the keys still missing are named."""

LONGEST_SHORT = 20
"""The longest result that goes beside a key's title."""


def outcome(look: Look, entry: Entry, answer: Answer | None, refusal: str, system: str) -> list[ft.Control]:
    """What comes out; or a refusal; or what is still needed. The foot has the first of it while nothing is filled."""
    in_foot = entry.key is None
    if refusal:
        return [] if in_foot else [controls.notice(look, refusal)]
    if answer is None:
        titles = [inside(title) for title in entry.missing()]
        more = f" and {len(titles) - MOST_NAMED} more" if len(titles) > MOST_NAMED else ""
        return [controls.small(look, f"Still needed: {'; '.join(titles[:MOST_NAMED])}{more}.")]
    main = main_of(answer)
    return [
        _result(look, result, system, main=result is main)
        for result in answer.results
        if not (in_foot and result is main)
    ]


def main_of(answer: Answer) -> Result | None:
    """The result asked for first; None where all that comes out are sentences."""
    return next((result for result in answer.results if result.title), None)


def in_short(answer: Answer | None, system: str) -> str:
    """The first result as a word or two, "" without one."""
    main = main_of(answer) if answer else None
    text = result_text(main, system) if main else ""
    return text if len(text) <= LONGEST_SHORT else ""


def standing(look: Look, answer: Answer | None, refusal: str, system: str) -> list[ft.Control]:
    """What stays in view while no key is being filled: the first result, or the refusal."""
    if refusal:
        return [controls.notice(look, refusal)]
    main = main_of(answer) if answer else None
    return [_result(look, main, system, main=True)] if main else []


def _result(look: Look, result: Result, system: str, main: bool) -> ft.Control:
    text = result_text(result, system)
    if not result.title:
        return controls.text(look, text, 17)
    if main and not isinstance(result.value, str):
        number, _, unit = text.partition(" ")
        figure = ft.Row([marks.number(look, number, unit, MAIN)], alignment=ft.MainAxisAlignment.END)
        return ft.Column([controls.text(look, result.title, 17), figure], spacing=0, tight=True)
    value = controls.text(look, text, REST, bold=True, align=ft.TextAlign.RIGHT)
    return ft.Semantics(
        label=controls.printable(f"{result.title}: {text}"),
        container=True,
        exclude_semantics=True,
        content=ft.Row(
            [controls.text(look, result.title, 16, expand=True), ft.Container(value, expand=len(text) > 14)],
            spacing=GAP,
            vertical_alignment=ft.CrossAxisAlignment.CENTER,
        ),
    )


def key_row(look: Look, entry: Entry, key: Key, system: str, choose: OnText) -> ft.Control:
    """One key with what stands typed for it; tapped, it is the one the keypad fills."""
    active = key.name == entry.active
    text, unit = entry.typed.get(key.name, "").rstrip(BETWEEN), entry.unit(key, system)
    shown = f"{text} {unit}" if text and unit and is_bare(text) else text
    default = f"{key.default} unless given" if key.default and not text else ""
    under = " · ".join(w for w in (key.note, default, "may be left out" if key.optional else "") if w)
    words: list[ft.Control] = [controls.text(look, key.title, 17, bold=active)]
    if under:
        words.append(controls.small(look, under))
    value = controls.text(look, shown or "–", 18, bold=bool(text), align=ft.TextAlign.RIGHT)
    return ft.Semantics(
        label=controls.printable(". ".join(w for w in (key.title, shown or "not given", under) if w)),
        button=True,
        selected=active,
        container=True,
        exclude_semantics=True,
        identifier=f"row {key.name}",
        on_tap=lambda _: choose(key.name),
        key=f"row {key.name}",
        content=ft.Container(
            ft.Row(
                [
                    ft.Container(width=0, height=TOUCH - 12),
                    ft.Column(words, spacing=0, expand=3, tight=True),
                    ft.Container(value, expand=2, alignment=ft.Alignment.CENTER_RIGHT),
                ],
                spacing=GAP / 2,
                vertical_alignment=ft.CrossAxisAlignment.CENTER,
            ),
            bgcolor=look.raised if active else None,
            border=ft.Border(
                left=ft.BorderSide(6, look.accent if active else look.rule),
                bottom=ft.BorderSide(look.weight, look.rule),
            ),
            padding=ft.Padding(8, 6, 8, 6),
            on_click=lambda _: choose(key.name),
            ink=True,
        ),
    )


def grounds(
    look: Look, calculator: Calculator, answer: Answer | None, cautions: Sequence[Caution], system: str
) -> list[ft.Control]:
    """Cautions and formula; with an answer also where it holds and where it comes from."""
    rows: list[ft.Control] = [controls.notice(look, caution.sentence, "beyond") for caution in cautions]
    rows += [controls.heading(look, "Formula"), controls.text(look, calculator.formula, 17)]
    if answer is None:
        return rows
    if answer.valid:
        rows.append(controls.heading(look, "Valid for"))
        rows += [controls.text(look, sentence, 17) for sentence in answer.valid]
    words = [source_words(source, system) for source in answer.sources] or ["Plain geometry or arithmetic."]
    return [*rows, controls.heading(look, "Source"), *(controls.small(look, said) for said in words)]


def number_entry(
    look: Look, entry: Entry, key: Key, system: str, press: OnText, switch: controls.Handler, so_far: str
) -> list[ft.Control]:
    """The number being typed, large, its unit and the other one, what comes out so far, and the keypad."""
    before, item = entry.item(key.name)
    unit, other = entry.unit(key, system), entry.switched(key.name, system).unit(key, system)
    head: list[ft.Control] = [
        ft.Row(
            [
                controls.text(look, key.title, 17, bold=True, lines=1, expand=True),
                *([controls.text(look, f"= {so_far}", 17, bold=True, color=look.accent)] if so_far else []),
            ],
            spacing=GAP,
        )
    ]
    if key.many:
        says = before or "Enter takes the next one; twice ends the list."
        head.append(controls.text(look, says, 16, color=look.soft, lines=1))
    line: list[ft.Control] = [
        ft.Container(marks.number(look, item, unit, MAIN), expand=True, alignment=ft.Alignment.CENTER_RIGHT)
    ]
    if other != unit:
        line.insert(0, controls.button(look, other, switch, said=f"In {other}", key="other unit"))
    inch = entry.systems.get(key.name, system) == "inch"
    return [
        ft.Column(head, spacing=0, tight=True),
        ft.Row(line, spacing=GAP, vertical_alignment=ft.CrossAxisAlignment.CENTER),
        keypad(look, inch, press, lambda _: press("⏎"), (0,)),
    ]


def word_entry(
    look: Look, entry: Entry, key: Key, options: tuple[str, ...], write: OnText, done: OnText
) -> list[ft.Control]:
    """A choice to tap, or a line to type in."""
    text = entry.typed.get(key.name, "")
    if not options:
        name = f"field {key.name}"
        return [controls.field(look, key.title, text, done, hint=key.note, on_change=write, key=name)]
    columns = 2 if max(map(len, options)) <= 12 else 1
    block = controls.choices(look, [(o, o) for o in options], text or key.default, done, columns)
    many = len(options) > 4 * columns
    return [
        controls.text(look, key.title, 17, bold=True, lines=1),
        ft.Column([block], scroll=ft.ScrollMode.AUTO, height=ROOM_FOR_CHOICES) if many else block,
    ]
