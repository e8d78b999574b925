"""Our own keys: what they look like, and what a key does to the text typed so far."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import flet as ft

from inspect_app.screens.pieces.controls import Handler, text
from inspect_app.screens.pieces.look import GAP, TOUCH, Look

LONGEST = 24

PHYSICAL_KEYS = {
    "Enter": "⏎",
    "Numpad Enter": "⏎",
    "Backspace": "⌫",
    "Delete": "⌫",
    "Space": " ",
    "Numpad Decimal": ".",
    "Numpad Add": "+",
    "Numpad Subtract": "-",
    "Numpad Divide": "/",
}

KEY_NAMES = {"⌫": "delete", "⏎": "enter", "±": "plus or minus", " ": "space", ".": "point", "/": "slash"}


def pressed(typed: str, key: str) -> str:
    """The text after one more key; ± turns the sign, which reads the number as a deviation from nominal."""
    if key == "⌫":
        return typed[:-1]
    if key == "±":
        signs = {"": "+", "+": "-", "-": ""}
        sign = typed[:1] if typed[:1] in ("+", "-") else ""
        return signs[sign] + typed[len(sign) :]
    return (typed + key)[:LONGEST]


def key_of(physical: str) -> str:
    """What a key of a keyboard enters, "" for Shift, Tab and others that enter nothing."""
    key = PHYSICAL_KEYS.get(physical, physical.removeprefix("Numpad "))
    return key.lower() if len(key) == 1 else ""


@ft.component
def _Digits(look: Look, on_key: Callable[[str], Any]) -> ft.Control:  # noqa: N802
    rows = [["1", "2", "3", "⌫"], ["4", "5", "6", "±"], ["7", "8", "9", "."]]
    keys = [[_key(look, k, lambda _, k=k: on_key(k)) for k in row] for row in rows]
    return ft.Column([ft.Row(list(row), spacing=GAP) for row in keys], spacing=GAP)


digits = ft.memo(_Digits)
"""The keys that never change: left alone when only the place does."""


@ft.component
def _Keypad(  # noqa: N802
    look: Look,
    inch: bool,
    on_key: Callable[[str], Any],
    on_enter: Callable[[int], Any],
    enters: tuple[int, ...],
) -> ft.Control:
    beside = [_key(look, k, lambda _, k=k: on_key(k)) for k in ([" ", "0", "/"] if inch else ["0"])]
    # the newest is drawn; those before it are kept so that a touch on its way is still heard
    entered = [_key(look, "⏎", lambda _, n=n: on_enter(n), visible=n == enters[-1], number=n) for n in enters]
    enter = ft.Row(entered, spacing=0, expand=1 if inch else 3)
    last = ft.Row([*beside, enter], spacing=GAP)
    return ft.Column([digits(look=look, on_key=on_key, key="digits"), last], spacing=GAP)


keypad = ft.memo(_Keypad)
"""Our own keys: digits as on a telephone, point, sign, delete and enter; fractions where inches are read.

`on_key` is called with what a key enters, `on_enter` with the number of the Enter key that was touched: the
last of `enters`, or on a screen that was behind one of those before. Drawn anew only when these change.
"""


def _key(look: Look, name: str, press: Handler, visible: bool = True, number: int = 0) -> ft.Control:
    strong = name == "⏎"
    ink = look.on_accent if strong else look.ink
    faces: dict[str, ft.Control] = {
        "⌫": ft.Icon(ft.Icons.BACKSPACE_OUTLINED, color=ink, size=28),
        "⏎": ft.Icon(ft.Icons.KEYBOARD_RETURN, color=ink, size=32),
        " ": ft.Icon(ft.Icons.SPACE_BAR, color=ink, size=28),
    }
    said = KEY_NAMES.get(name, name)
    return ft.Semantics(
        label=said,
        button=True,
        container=True,
        exclude_semantics=True,
        identifier=f"key {said}",
        key=f"key {said} {number}",
        visible=visible,
        expand=1,
        on_tap=press,
        content=ft.Container(
            faces.get(name) or text(look, name, 28, bold=True, color=ink),
            bgcolor=look.accent if strong else look.raised,
            border=ft.Border.all(1.5 * look.weight, look.accent if strong else look.rule),
            border_radius=6,
            height=TOUCH,
            alignment=ft.Alignment.CENTER,
            on_click=press,
            ink=True,
        ),
    )
