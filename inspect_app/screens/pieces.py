"""The few pieces every screen is made of: text, buttons, rows, notices, keypad, drawings.

A piece is a function of a Look and plain values; it holds no state and knows no job.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import flet as ft
import flet.canvas as cv

from inspect_app.figures.shapes import Circle, Drawing, Label, Line, Polygon, verdict_mark
from inspect_app.screens.look import GAP, TOUCH, Look
from inspect_app.trade.decision import Verdict

Handler = Callable[[Any], Any]
AROUND = 16
"""Above and below the words on something to tap: one line of them makes it TOUCH high, more let it grow."""

LACKING = str.maketrans({"→": ">", "←": "<", "⌀": "Ø", "✓": "", "✗": "", "⚠": ""})
"""Glyphs the client's font lacks: one on screen would send it asking for fonts without end."""

HAD = "–—‘’“”•…′″€µμΩΔπ≤≥≈≠±×÷½¼¾√∞−‑"
"""Glyphs the client's font has beside those below U+0250."""


def printable(text: str) -> str:
    """Text with every character the client's font lacks replaced; what people type may hold any."""
    text = text.translate(LACKING)
    return "".join(c if ord(c) < 0x250 or c in HAD else "?" for c in text)


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
    return text(look, value, 15, color=color or look.soft)


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
    inner: list[ft.Control] = [ft.Icon(icon, color=ink, size=look.size(24))] if icon else []
    inner.append(text(look, label, 18, bold=strong, color=ink, lines=2, align=ft.TextAlign.CENTER))
    return ft.Semantics(
        label=said or printable(label),
        button=True,
        container=True,
        exclude_semantics=True,
        identifier=key or label,
        expand=expand,
        on_tap=on_click,
        content=ft.Container(
            content=ft.Row(inner, alignment=ft.MainAxisAlignment.CENTER, spacing=10, tight=True, wrap=False),
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


def icon_button(look: Look, icon: str, said: str, on_click: Handler) -> ft.Control:
    """A square to tap with a drawing on it; `said` is its name."""
    return ft.Semantics(
        label=said,
        button=True,
        container=True,
        exclude_semantics=True,
        identifier=said,
        on_tap=on_click,
        content=ft.Container(
            ft.Icon(icon, color=look.ink, size=28),
            width=TOUCH,
            height=TOUCH,
            alignment=ft.Alignment.CENTER,
            border_radius=6,
            on_click=on_click,
            ink=True,
            tooltip=None,
        ),
    )


def choice(
    look: Look, label: str, chosen: bool, on_click: Handler, key: str | None = None, expand: bool = False
) -> ft.Control:
    """One of several to choose from; the chosen one is filled and carries a ring."""
    mark = ft.Icons.RADIO_BUTTON_CHECKED if chosen else ft.Icons.RADIO_BUTTON_UNCHECKED
    ink = look.on_accent if chosen else look.ink
    return ft.Semantics(
        label=printable(label),
        button=True,
        selected=chosen,
        container=True,
        exclude_semantics=True,
        identifier=key or label,
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
            padding=ft.Padding(12, 10, 8, 10),
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


def field(
    look: Look,
    label: str,
    value: str,
    on_done: Callable[[str], Any],
    *,
    hint: str = "",
    lines: int = 1,
    on_change: Callable[[str], Any] | None = None,
    key: str | None = None,
) -> ft.Control:
    """A line to type in; `on_done` gets the text when the field is left or Enter is pressed."""
    return ft.TextField(
        label=printable(label),
        value=printable(value),
        input_filter=ft.InputFilter(f"^[\\u0000-\\u024f{HAD}]*$"),
        hint_text=hint,
        key=key or label,
        min_lines=lines,
        max_lines=max(lines, 1),
        text_size=look.size(18),
        label_style=ft.TextStyle(color=look.soft, size=look.size(17)),
        hint_style=ft.TextStyle(color=look.soft, size=look.size(16)),
        text_style=ft.TextStyle(color=look.ink),
        color=look.ink,
        bgcolor=look.raised,
        border_color=look.rule,
        focused_border_color=look.accent,
        cursor_color=look.accent,
        border_width=1.5 * look.weight,
        border_radius=6,
        content_padding=ft.Padding(14, 16, 14, 16),
        on_blur=lambda e: on_done(e.control.value or ""),
        on_submit=lambda e: on_done(e.control.value or ""),
        on_change=(lambda e: on_change(e.control.value or "")) if on_change else None,
    )


# -- drawings ------------------------------------------------------------------------------------


def _paint(look: Look, role: str, weight: float, filled: bool) -> ft.Paint:
    return ft.Paint(
        color=look.role(role),
        stroke_width=weight * look.weight,
        style=ft.PaintingStyle.FILL if filled else ft.PaintingStyle.STROKE,
        stroke_cap=ft.StrokeCap.ROUND,
        stroke_join=ft.StrokeJoin.ROUND,
    )


ANCHORS = {
    "start": ft.Alignment.CENTER_LEFT,
    "middle": ft.Alignment.CENTER,
    "end": ft.Alignment.CENTER_RIGHT,
}


def _shape(look: Look, shape: Line | Circle | Polygon | Label, k: float) -> cv.Shape:
    if isinstance(shape, Line):
        paint = _paint(look, shape.role, shape.weight, False)
        return cv.Line(shape.x1 * k, shape.y1 * k, shape.x2 * k, shape.y2 * k, paint=paint)
    if isinstance(shape, Circle):
        return cv.Circle(
            shape.x * k,
            shape.y * k,
            shape.radius * k,
            paint=_paint(look, shape.role, shape.weight, shape.filled),
        )
    if isinstance(shape, Polygon):
        (x, y), *rest = shape.points
        elements: list[Any] = [cv.Path.MoveTo(x * k, y * k), *(cv.Path.LineTo(a * k, b * k) for a, b in rest)]
        if shape.closed:
            elements.append(cv.Path.Close())
        return cv.Path(elements, paint=_paint(look, shape.role, shape.weight, shape.filled))
    style = ft.TextStyle(
        size=shape.size * k,
        color=look.role(shape.role),
        weight=ft.FontWeight.W_700 if shape.bold else ft.FontWeight.W_500,
    )
    return cv.Text(
        shape.x * k, shape.y * k, printable(shape.text), style=style, alignment=ANCHORS[shape.anchor]
    )


def drawing(look: Look, figure: Drawing, width: float | None = None) -> ft.Control:
    """A figure, scaled to a width, with its words for those who cannot see it."""
    k = (width or figure.width) / figure.width
    canvas = cv.Canvas(
        [_shape(look, s, k) for s in figure.shapes], width=figure.width * k, height=figure.height * k
    )
    return ft.Semantics(label=printable(figure.says), image=True, container=True, content=canvas)


def mark(look: Look, verdict: Verdict, size: float = 28) -> ft.Control:
    """The mark of a verdict without its word; the caller writes the word beside it."""
    figure = verdict_mark(verdict, size)
    return cv.Canvas([_shape(look, s, 1.0) for s in figure.shapes], width=size, height=size)


def verdict_line(look: Look, verdict: Verdict, words: str = "", lines: int | None = None) -> ft.Control:
    """A verdict: mark, word, colour, and what it is about, in so many lines at the most."""
    colour = {
        Verdict.WITHIN: look.within,
        Verdict.BEYOND: look.beyond,
        Verdict.UNCLEAR: look.unclear,
        Verdict.NOT_MEASURED: look.unmeasured,
    }[verdict]
    inner: list[ft.Control] = [
        mark(look, verdict, look.size(27)),
        text(look, verdict.value, 18, bold=True, color=colour),
    ]
    if words:
        inner.append(text(look, words, 16, lines=lines, expand=True))
    said = f"{verdict.value}. {words}" if words else verdict.value
    return ft.Semantics(
        label=printable(said),
        container=True,
        exclude_semantics=True,
        content=ft.Row(inner, spacing=10, vertical_alignment=ft.CrossAxisAlignment.CENTER),
    )


def number(look: Look, value: str, unit: str, size: float = 52, color: str | None = None) -> ft.Control:
    """A number, the largest thing on its screen, its unit small beside it; a long one shrinks to fit."""
    digits = min(size, NARROWEST / max(len(value), 1))  # large already: a larger text size leaves it
    bold = ft.TextStyle(
        size=digits, weight=ft.FontWeight.W_700, color=color or (look.ink if value else look.rule)
    )
    beside = ft.TextStyle(size=size * 0.42, color=look.soft)
    return ft.Semantics(
        label=f"{value or 'no number yet'} {unit if value else ''}".strip(),
        container=True,
        exclude_semantics=True,
        identifier="number",
        live_region=True,
        content=ft.Text(
            spans=[ft.TextSpan(printable(value) or "–", bold), ft.TextSpan(f"  {unit}", beside)],
            text_align=ft.TextAlign.RIGHT,
            max_lines=1,
        ),
    )


NARROWEST = 480
"""A number of n characters fits a phone 360 dp wide in type of NARROWEST / n."""

KEY_NAMES = {"⌫": "delete", "⏎": "enter", "±": "plus or minus", " ": "space", ".": "point", "/": "slash"}


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
