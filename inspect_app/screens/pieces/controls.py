"""The few controls every screen is made of: text, buttons, rows, notices, fields.

A piece is a function of a Look and plain values; it holds no state and knows no job. What is tapped is keyed
by what it means: a touch still on its way when the screen changes then never lands on something else.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Sequence
from typing import Any

import flet as ft

from inspect_app.screens.pieces.look import GAP, TOUCH, Look

Handler = Callable[[Any], Any]
AROUND = 16
"""Above and below the words on something to tap: one line of them makes it TOUCH high, more let it grow."""

ALIKE = str.maketrans({"→": ">", "←": "<", "⌀": "Ø", "✓": "", "✗": "", "⚠": ""})
"""Glyphs the client's font lacks, and what says the same."""

INSTEAD = "\N{LOZENGE}"
"""What stands for any other glyph it lacks, as on paper: one on screen would send it asking for fonts without end."""

HAD = (
    "\n -~\u00a0-\u017f\u018f\u0192\u01a0\u01a1\u01af\u01b0\u01fa-\u01ff\u0218-\u021b\u0237\u02c6\u02c7\u02d8-\u02dd"
    "\u0300\u0301\u0303\u0309\u0323\u0384-\u038a\u038c\u038e-\u03a1\u03a3-\u03ce\u0400-\u0486\u0488-\u0513"
    "\u1e80-\u1e85\u1ea0-\u1ef9‐‑–—―‘’‚“”„†‡•…‰′″‹›⁄€№™Ω⅛⅜⅝⅞∂∆∏∑−√∞∫≈≠≤≥◊"
)
"""What the client's font has, as ranges of a regular expression: Latin, Greek and Cyrillic with their accents."""

_LACKS = re.compile(f"[^{HAD}]")


def printable(text: str) -> str:
    """Text with every character the client's font lacks replaced; what people type may hold any.

    >>> printable("Ø 40 → Jürgen, Γιώργος, Юрий ⌀ 工")
    'Ø 40 > Jürgen, Γιώργος, Юрий Ø ◊'
    """
    if not text.isascii():
        text = unicodedata.normalize("NFC", text).translate(ALIKE)
    return _LACKS.sub(INSTEAD, text)


def text(
    look: Look,
    value: str,
    size: float = 18,
    *,
    bold: bool = False,
    color: str | None = None,
    lines: int | None = None,
    align: ft.TextAlign = ft.TextAlign.LEFT,
    expand: bool = False,
) -> ft.Text:
    """A run of text in the house's type."""
    return ft.Text(
        printable(value),
        size=look.size(size),
        weight=ft.FontWeight.W_700
        if bold
        else (ft.FontWeight.W_600 if look.weight > 1 else ft.FontWeight.W_400),
        color=color or look.ink,
        max_lines=lines,
        overflow=ft.TextOverflow.ELLIPSIS if lines else None,
        text_align=align,
        expand=expand,
    )


def heading(look: Look, value: str) -> ft.Control:
    """A heading inside a screen."""
    return ft.Semantics(
        header=True, content=ft.Container(text(look, value, 20, bold=True), padding=ft.Padding(0, 14, 0, 4))
    )


def small(look: Look, value: str, color: str | None = None) -> ft.Text:
    """Secondary text: sources, hints."""
    return text(look, value, 16, color=color or look.soft)


def button(
    look: Look,
    label: str,
    on_click: Handler | None = None,
    *,
    strong: bool = False,
    icon: str | None = None,
    key: str | None = None,
    expand: bool = False,
    action: Any = None,
    said: str | None = None,
) -> ft.Control:
    """Something to tap, with a word on it; `strong` is the one thing to do next."""
    ground, ink = (look.accent, look.on_accent) if strong else (look.raised, look.ink)
    inner: ft.Control = text(look, label, 18, bold=strong, color=ink, lines=2, align=ft.TextAlign.CENTER)
    if icon:
        drawn = ft.Icon(icon, color=ink, size=look.size(24))
        inner = ft.Row(
            [drawn, inner], alignment=ft.MainAxisAlignment.CENTER, spacing=10, tight=True, wrap=False
        )
    return ft.Semantics(
        label=said or printable(label),
        button=True,
        container=True,
        exclude_semantics=True,
        identifier=key or label,
        key=key or label,
        expand=expand,
        on_tap=on_click,
        content=ft.Container(
            content=inner,
            bgcolor=ground,
            border=ft.Border.all(1.5 * look.weight, look.accent if strong else look.rule),
            border_radius=6,
            padding=ft.Padding(16, AROUND, 16, AROUND),
            alignment=ft.Alignment.CENTER,
            on_click=on_click,
            action=action,
            ink=True,
        ),
    )


def icon_button(look: Look, icon: str, said: str, on_click: Handler, action: Any = None) -> ft.Control:
    """A square to tap with a drawing on it; `said` is its name."""
    return ft.Semantics(
        label=said,
        button=True,
        container=True,
        exclude_semantics=True,
        identifier=said,
        key=said,
        on_tap=on_click,
        content=ft.Container(
            ft.Icon(icon, color=look.ink, size=28),
            width=TOUCH,
            height=TOUCH,
            alignment=ft.Alignment.CENTER,
            border_radius=6,
            on_click=on_click,
            action=action,
            ink=True,
            tooltip=None,
        ),
    )


def choice(
    look: Look,
    label: str,
    chosen: bool,
    on_click: Handler,
    key: str | None = None,
    expand: bool = False,
    of: str = "",
) -> ft.Control:
    """One of several to choose from; the chosen one is filled and carries a ring. `of` says what it answers."""
    mark = ft.Icons.RADIO_BUTTON_CHECKED if chosen else ft.Icons.RADIO_BUTTON_UNCHECKED
    ink = look.on_accent if chosen else look.ink
    return ft.Semantics(
        label=printable(f"{label}. {of}" if of else label),
        button=True,
        selected=chosen,
        container=True,
        exclude_semantics=True,
        identifier=key or label,
        key=key or label,
        expand=expand,
        on_tap=on_click,
        content=ft.Container(
            ft.Row(
                [ft.Icon(mark, color=ink, size=20), text(look, label, 17, color=ink, expand=True)],
                spacing=8,
            ),
            bgcolor=look.accent if chosen else look.raised,
            border=ft.Border.all(1.5 * look.weight, look.accent if chosen else look.rule),
            border_radius=6,
            padding=ft.Padding(12, AROUND, 12, AROUND),
            alignment=ft.Alignment.CENTER_LEFT,
            on_click=on_click,
            ink=True,
        ),
    )


def choices(
    look: Look,
    options: Sequence[tuple[str, str]],
    chosen: str,
    on_choose: Callable[[str], Any],
    columns: int = 2,
) -> ft.Control:
    """A block of choices, `options` as (value, label)."""
    rows = [options[n : n + columns] for n in range(0, len(options), columns)]
    return ft.Column(
        [
            ft.Row(
                [
                    choice(look, label, value == chosen, lambda _, v=value: on_choose(v), expand=True)
                    for value, label in row
                ],
                spacing=GAP,
            )
            for row in rows
        ],
        spacing=GAP,
    )


def row(
    look: Look,
    title: str,
    under: str = "",
    *,
    leading: ft.Control | None = None,
    trailing: str = "",
    on_click: Handler | None = None,
    key: str | None = None,
    said: str = "",
) -> ft.Control:
    """A row of a list."""
    words: list[ft.Control] = [text(look, title, 18, bold=True)]
    if under:
        words.append(small(look, under))
    inner: list[ft.Control] = [leading] if leading else []
    inner.append(ft.Column(words, spacing=2, expand=True, tight=True))
    if trailing:
        inner.append(text(look, trailing, 16))
    if on_click:
        inner.append(ft.Icon(ft.Icons.CHEVRON_RIGHT, color=look.soft, size=24))
    label = said or ". ".join(w for w in (title, under, trailing) if w)
    return ft.Semantics(
        label=printable(label),
        button=on_click is not None,
        container=True,
        exclude_semantics=True,
        identifier=key or title,
        on_tap=on_click,
        key=key or title,
        content=ft.Container(
            ft.Row(inner, spacing=12, vertical_alignment=ft.CrossAxisAlignment.CENTER),
            padding=ft.Padding(12, 10 if under else AROUND, 8, 10 if under else AROUND),
            border=ft.Border(bottom=ft.BorderSide(look.weight, look.rule)),
            on_click=on_click,
            ink=on_click is not None,
        ),
    )


def notice(
    look: Look, sentence: str, role: str = "unclear", actions: Sequence[ft.Control] = ()
) -> ft.Control:
    """A sentence that must be seen, with what can be done about it."""
    return ft.Semantics(
        live_region=True,
        container=True,
        content=ft.Container(
            ft.Column([text(look, sentence, 17), *actions], spacing=GAP, tight=True),
            bgcolor=look.raised,
            border=ft.Border(
                left=ft.BorderSide(6, look.role(role)),
                top=ft.BorderSide(look.weight, look.rule),
                right=ft.BorderSide(look.weight, look.rule),
                bottom=ft.BorderSide(look.weight, look.rule),
            ),
            padding=14,
        ),
    )


def form(controls: Sequence[ft.Control]) -> ft.Control:
    """Fields and buttons one below the other, as wide as the screen."""
    return ft.Column(list(controls), spacing=GAP, horizontal_alignment=ft.CrossAxisAlignment.STRETCH)


def field(
    look: Look,
    label: str,
    value: str,
    on_done: Callable[[str], Any],
    *,
    hint: str = "",
    lines: int = 1,
    most_lines: int = 1,
    on_change: Callable[[str], Any] | None = None,
    key: str | None = None,
) -> ft.Control:
    """A line to type in; `on_done` gets the text when the field is left or Enter is pressed."""
    shown = printable(value)

    def done(text: str) -> object:
        return on_done(
            value if text == shown else text
        )  # what could not be shown is not lost by a look at it

    return ft.TextField(
        label=printable(label),
        value=shown,
        input_filter=ft.InputFilter(f"^[{HAD}]*$"),
        hint_text=hint,
        key=key or label,
        min_lines=lines,
        max_lines=max(lines, most_lines),
        text_size=look.size(18),
        label_style=ft.TextStyle(color=look.soft, size=look.size(17)),
        hint_style=ft.TextStyle(color=look.soft, size=look.size(16)),
        text_style=ft.TextStyle(color=look.ink),
        color=look.ink,
        bgcolor=look.raised,
        border={
            state: ft.OutlineInputBorder(side=ft.BorderSide(1.5 * look.weight, color), border_radius=6)
            for state, color in (
                (ft.ControlState.DEFAULT, look.rule),
                (ft.ControlState.FOCUSED, look.accent),
            )
        },
        cursor_color=look.accent,
        content_padding=ft.Padding(14, 16, 14, 16),
        on_blur=lambda e: done(e.control.value or ""),
        on_submit=lambda e: done(e.control.value or ""),
        on_change=(lambda e: on_change(e.control.value or "")) if on_change else None,
    )
