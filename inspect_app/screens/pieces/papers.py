"""The button that opens a document on paper: the one way a screen opens one; and the one that hands it over."""

from __future__ import annotations

from collections.abc import Callable

import flet as ft

from inspect_app.screens.desk import Desk
from inspect_app.screens.pieces import controls

PAPER = ft.Icons.PICTURE_AS_PDF_OUTLINED


def open_button(
    desk: Desk, name: str, made: bytes, strong: bool = True, label: str = "Open the PDF"
) -> ft.Control:
    """Opens a document that is made already, since a browser lets only a touch open one.

    Args:
        desk: the session.
        name: its file name.
        made: the PDF.
        strong: whether it is the main thing to do.
        label: what the button says.
    """
    touch = desk.open_document(name, made)
    return controls.button(
        desk.standing.look, label, touch.then, strong=strong, icon=PAPER, action=touch.action
    )


def hand_over_button(desk: Desk, name: str, made: bytes) -> list[ft.Control]:
    """Gives a document to another app or person, where the host offers that; nothing where opening it does.

    Args:
        desk: the session.
        name: its file name.
        made: what is in it.
    """
    touch = desk.hand_over(name, made)
    if touch is None:
        return []
    icon = ft.Icons.IOS_SHARE
    return [controls.button(desk.standing.look, "Hand it over", touch.then, icon=icon, action=touch.action)]


@ft.component
def Paper(desk: Desk, label: str, name: str, make: Callable[[], bytes], entries: int) -> ft.Control:  # noqa: N802
    """A paper that is made at a touch and opened at the next; what was entered since makes it anew."""
    made, set_made = ft.use_state((0, b""))

    def make_it(_: object) -> None:
        set_made((entries, make()))

    if made[1] and made[0] == entries:
        return open_button(desk, name, made[1], strong=False)
    return controls.button(desk.standing.look, label, desk.guard(make_it), icon=PAPER)
