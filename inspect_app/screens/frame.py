"""The frame every screen stands in: a head with the way back, the notice, the body, and what is always at hand."""

from __future__ import annotations

from collections.abc import Sequence

import flet as ft

from inspect_app.screens import pieces
from inspect_app.screens.desk import Desk
from inspect_app.screens.look import GAP

WIDEST = 760
"""The widest a column of text grows on a laptop, dp."""


def frame(
    desk: Desk,
    title: str,
    body: Sequence[ft.Control],
    *,
    back: str | None = None,
    under: str = "",
    tools: Sequence[ft.Control] = (),
    foot: Sequence[ft.Control] = (),
    scroll: bool = True,
) -> ft.Control:
    """A whole screen.

    Args:
        desk: the session.
        title: what the screen is about.
        body: its content, top to bottom.
        back: the route the way back leads to, None on the first screen.
        under: a second line of the head.
        tools: icon buttons at the head's right.
        foot: what stays at the bottom in reach of the thumb.
        scroll: whether the body scrolls; a screen to measure on fits as it is.
    """
    look = desk.standing.look
    head: list[ft.Control] = []
    if back is not None:
        head.append(pieces.icon_button(look, ft.Icons.ARROW_BACK, "Back", lambda _: desk.go(back)))
    words: list[ft.Control] = [
        ft.Semantics(header=True, content=pieces.text(look, title, 20, bold=True, lines=1))
    ]
    if under:
        words.append(pieces.text(look, under, 15, color=look.soft, lines=1))
    head.append(
        ft.Container(ft.Column(words, spacing=0, tight=True), expand=True, padding=ft.Padding(4, 0, 4, 0))
    )
    head.extend(tools)
    rows: list[ft.Control] = [
        ft.Container(
            ft.Row(head, spacing=4, vertical_alignment=ft.CrossAxisAlignment.CENTER),
            height=max(64, look.size(60)),
            padding=ft.Padding(8 if back is not None else 16, 4, 8, 4),
            border=ft.Border(bottom=ft.BorderSide(2 * look.weight, look.ink)),
        )
    ]
    standing = desk.standing
    if standing.notice:
        rows.append(
            ft.Container(
                pieces.notice(look, standing.notice, standing.notice_role), padding=ft.Padding(12, 10, 12, 0)
            )
        )
    rows.append(
        ft.Container(
            ft.Column(
                # the first field's label sits on its frame's edge and needs room above
                [ft.Container(height=2), *body],
                spacing=GAP,
                scroll=ft.ScrollMode.AUTO if scroll else None,
                horizontal_alignment=ft.CrossAxisAlignment.STRETCH,
                expand=True,
            ),
            padding=ft.Padding(16, 0, 16, 10),
            expand=True,
        )
    )
    if foot:
        rows.append(
            ft.Container(
                ft.Column(list(foot), spacing=GAP, tight=True),
                padding=ft.Padding(16, 10, 16, 12),
                border=ft.Border(top=ft.BorderSide(look.weight, look.rule)),
            )
        )
    page = ft.Column(rows, spacing=0, expand=True)
    return ft.Container(
        ft.SafeArea(
            ft.Container(
                page,
                width=WIDEST if standing.width > WIDEST else None,
                alignment=ft.Alignment.TOP_CENTER,
            ),
            expand=True,
        ),
        bgcolor=look.paper,
        expand=True,
        alignment=ft.Alignment.TOP_CENTER,
    )
