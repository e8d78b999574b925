"""Our own keys: what they look like, and what a key does to the text typed so far."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import flet as ft

from inspect_app.screens.look import GAP, TOUCH, Look
from inspect_app.screens.pieces import Handler, text

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


def keypad(look: Look, on_key: Callable[[str], Any], inch: bool) -> ft.Control:
    """Our own keys: digits as on a telephone, point, sign, delete and enter; fractions where inches are read."""
    rows = [["1", "2", "3", "⌫"], ["4", "5", "6", "±"], ["7", "8", "9", "."], ["0", "⏎"]]
    if inch:
        rows = [["1", "2", "3", "⌫"], ["4", "5", "6", "±"], ["7", "8", "9", "."], [" ", "0", "/", "⏎"]]
    return ft.Column(
        [
            ft.Row([_key(look, k, on_key, wide=k == "⏎" and not inch) for k in keys], spacing=GAP)
            for keys in rows
        ],
        spacing=GAP,
    )


def _key(look: Look, name: str, on_key: Callable[[str], Any], wide: bool) -> ft.Control:
    strong = name == "⏎"
    ink = look.on_accent if strong else look.ink
    faces: dict[str, ft.Control] = {
        "⌫": ft.Icon(ft.Icons.BACKSPACE_OUTLINED, color=ink, size=28),
        "⏎": ft.Icon(ft.Icons.KEYBOARD_RETURN, color=ink, size=32),
        " ": ft.Icon(ft.Icons.SPACE_BAR, color=ink, size=28),
    }
    said = KEY_NAMES.get(name, name)
    press: Handler = lambda _: on_key(name)  # noqa: E731 - one handler for tap and for assistive technology
    return ft.Semantics(
        label=said,
        button=True,
        container=True,
        exclude_semantics=True,
        identifier=f"key {said}",
        expand=3 if wide else 1,
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
