"""What stands in the fields of a form, kept beside what is drawn.

A form is read when its button is touched. What it was drawn with last may be older: the last letters and the
touch come together over a slow network, and a field drawn anew would be set back under the typing thumb.
"""

from __future__ import annotations

from collections.abc import Callable

import flet as ft

from inspect_app.screens.pieces import controls
from inspect_app.screens.pieces.look import Look


class Texts:
    """The texts of one form by name, "" until something is typed.

    Args:
        first: what stands in them at first.
    """

    def __init__(self, **first: str) -> None:
        self._typed = dict(first)

    def __getitem__(self, name: str) -> str:
        return self._typed.get(name, "")

    def write(self, name: str, text: str) -> None:
        """Have this stand in a field."""
        self._typed[name] = text

    def field(
        self,
        look: Look,
        name: str,
        label: str,
        *,
        hint: str = "",
        lines: int = 1,
        key: str | None = None,
    ) -> ft.Control:
        """The line to type one of them in."""

        def write(text: str) -> None:
            self.write(name, text)

        return controls.field(
            look, label, self[name], write, hint=hint, lines=lines, on_change=write, key=key
        )


def use_texts(first: Callable[[], Texts] = Texts) -> tuple[Texts, Callable[[str, str], None]]:
    """The texts of the form being drawn, and how to write one and draw anew, as a choice does."""
    texts, _ = ft.use_state(first)
    _, drawn = ft.use_state(0)

    def write(name: str, text: str) -> None:
        texts.write(name, text)
        drawn(lambda n: n + 1)

    return texts, write
