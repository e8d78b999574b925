"""Our own keys: what they look like, and what a key does to the text typed so far."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

import flet as ft

from inspect_app.screens.pieces.controls import Handler, text
from inspect_app.screens.pieces.look import GAP, TOUCH, Look
from inspect_app.trade.measuring.leading import Leading

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


@dataclass(frozen=True, slots=True)
class Line:
    """The number line: what was typed, behind leading digits where they stand already.

    They step aside for a digit that cannot follow, for one too many, and for a number typed `whole`: one with a
    point, a sign, a blank or a slash of its own, or typed after they were deleted. On an emptied line they
    stand again.
    """

    leading: Leading | None = None
    typed: str = ""
    whole: bool = False

    @property
    def stands(self) -> str:
        """The leading digits that stand before what is typed, "" for none."""
        return (
            self.leading.digits if self.leading and not self.whole and self.leading.takes(self.typed) else ""
        )

    @property
    def text(self) -> str:
        """The number as it stands there, "" while nothing was typed."""
        return self.stands + self.typed if self.typed else ""

    @property
    def left(self) -> int:
        """How many digits are still to be typed behind the leading ones."""
        return self.leading.left - len(self.typed) if self.leading and self.stands else 0

    @property
    def behind(self) -> str:
        """The number it would be if the digits typed go behind the leading ones although that is not sure.

        "" where it is sure: a number typed whole, or all of the last digits of a likely one. More digits than are
        left are a number typed whole, but not behind noughts: there its point may be missing.
        """
        if not self.typed or self.leading is None or self.whole:
            return ""
        if len(self.typed) > self.leading.left and not self.leading.noughts:
            return ""
        is_whole = self.typed == self.leading.digits.partition(".")[0]
        return "" if self.stands and not self.left and not is_whole else self.leading.digits + self.typed

    def press(self, key: str) -> Line:
        """The line after one more key."""
        typed = pressed(self.typed, key)
        whole = self.whole or not (key.isdigit() or key == "⌫") or (key == "⌫" and not self.typed)
        return replace(self, typed=typed, whole=whole and bool(typed or not self.typed))


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
