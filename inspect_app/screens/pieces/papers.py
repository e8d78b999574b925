"""The button that opens a document on paper: the one way a screen opens one; and the one that hands it over."""

from __future__ import annotations

import flet as ft

from inspect_app.screens.desk import Desk
from inspect_app.screens.pieces import controls

PAPER = ft.Icons.PICTURE_AS_PDF_OUTLINED


def open_button(desk: Desk, name: str, made: bytes, strong: bool = True) -> ft.Control:
    """Opens a document that is made already, since a browser lets only a touch open one.

    Args:
        desk: the session.
        name: its file name.
        made: the PDF.
        strong: whether it is the main thing to do.
    """
    touch = desk.open_document(name, made)
    return controls.button(
        desk.standing.look, "Open the PDF", touch.then, strong=strong, icon=PAPER, action=touch.action
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
