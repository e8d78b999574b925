"""The frame every screen stands in: a head with the way back, the notice, the body, and what is always at hand."""

from __future__ import annotations

from collections.abc import Sequence

import flet as ft

from inspect_app.entries.job import LATER
from inspect_app.screens.desk import Desk
from inspect_app.screens.mechanic.routes import split
from inspect_app.screens.mechanic.undoing import take_back_asked
from inspect_app.screens.pieces import controls
from inspect_app.screens.pieces.look import GAP, TOUCH, Look

WIDEST = 760
"""The widest a column of text grows on a laptop, dp."""

DESK, DESK_WIDEST = 1100, 1240
"""From this width on, dp, what belongs beside the body stands there; and the widest both grow."""

LOW = 560
"""Below this height, dp, a screen that is wider than high has its foot at the right: a phone on its side."""


def on_its_side(desk: Desk) -> bool:
    """Whether the screen is so low and wide that the foot stands at the right of the body."""
    height = desk.page.height or 0
    return height < LOW and height < (desk.page.width or 0)


def at_a_desk(desk: Desk) -> bool:
    """Whether the screen is wide enough for two columns."""
    return (desk.page.width or 0) >= DESK


def column_width(desk: Desk) -> float:
    """How wide the body is, dp."""
    width = min(desk.page.width or 390, WIDEST)
    return width / 2 if on_its_side(desk) else width


def frame(
    desk: Desk,
    title: str,
    body: Sequence[ft.Control],
    *,
    back: str | None = None,
    under: str = "",
    tools: Sequence[ft.Control] = (),
    foot: Sequence[ft.Control] = (),
    panel: str = "",
    beside: Sequence[ft.Control] | None = None,
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
        panel: which of the screen's panels the body is; another one starts at its top.
        beside: what stands at the body's right where there is room at a desk, and nowhere else.
    """
    look = desk.standing.look
    rows = [_head(desk, _of_state(desk, title), back, under, tools)]
    said = _notice(desk)
    if foot and on_its_side(desk):
        # a notice stands over the body alone: the keys keep their height
        left = ft.Column([*said, _body(body, panel)], spacing=0, expand=True)
        right = ft.Container(_foot(look, foot, ft.ScrollMode.AUTO), expand=True)
        rows.append(ft.Row([left, right], spacing=0, expand=True, key="beside"))
    elif beside is not None and at_a_desk(desk):
        two = [_body(body, panel), ft.VerticalDivider(width=2, color=look.rule), _body(beside, "beside")]
        rows += [*said, ft.Row(two, spacing=0, expand=True), *([_foot(look, foot, None)] if foot else [])]
    else:
        rows += [*said, _body(body, panel), *([_foot(look, foot, None)] if foot else [])]
    widest = DESK_WIDEST if beside is not None and at_a_desk(desk) else WIDEST
    page = ft.Container(
        ft.Column(rows, spacing=0, expand=True),
        width=widest if (desk.page.width or 0) > widest else None,
        alignment=ft.Alignment.TOP_CENTER,
    )
    return ft.Container(
        ft.SafeArea(page, expand=True), bgcolor=look.paper, expand=True, alignment=ft.Alignment.TOP_CENTER
    )


def _of_state(desk: Desk, title: str) -> str:
    """The title, and of a later state of the cylinder which: nobody is to measure into another one unawares."""
    state = split(desk.standing.route)[1]
    return f"{title}, {state.replace('-', ' ')}" if state in LATER else title


def _head(desk: Desk, title: str, back: str | None, under: str, tools: Sequence[ft.Control]) -> ft.Control:
    look = desk.standing.look
    words: list[ft.Control] = [
        ft.Semantics(header=True, content=controls.text(look, title, 18, bold=True, lines=2))
    ]
    if under:
        words.append(controls.text(look, under, 16, color=look.soft, lines=1))
    row: list[ft.Control] = [ft.Container(width=0, height=TOUCH)]  # as high without a button as with one
    if back is not None:
        row.append(controls.icon_button(look, ft.Icons.ARROW_BACK, "Back", lambda _: desk.go(back)))
    row.append(
        ft.Container(ft.Column(words, spacing=0, tight=True), expand=True, padding=ft.Padding(4, 0, 4, 0))
    )
    return ft.Container(
        ft.Row([*row, *tools], spacing=8, vertical_alignment=ft.CrossAxisAlignment.CENTER),
        padding=ft.Padding(4 if back is not None else 12, 4, 8, 4),
        border=ft.Border(bottom=ft.BorderSide(2 * look.weight, look.ink)),
        key="head",
    )


def _notice(desk: Desk) -> list[ft.Control]:
    """The sentence that must be seen, and where it asks about undo its two answers."""
    look, standing = desk.standing.look, desk.standing
    if not standing.notice:
        return []
    answers: list[ft.Control] = []
    if standing.asked and desk.job_id():
        job = desk.bench.job(desk.job_id())
        take = desk.guard(lambda _: take_back_asked(desk, job))
        answers = [
            controls.button(look, "Take it back", take),
            controls.button(look, "Leave it", lambda _: desk.say("")),
        ]
    said = controls.notice(look, standing.notice, standing.notice_role, answers)
    # keyed, so that its coming and going leaves the foot's keys the same controls: a touch on its way is heard
    return [ft.Container(said, padding=ft.Padding(12, 10, 12, 0), key="notice")]


def _body(body: Sequence[ft.Control], panel: str) -> ft.Control:
    return ft.Container(
        ft.Column(
            # the first field's label sits on its frame's edge and needs room above
            [ft.Container(height=2), *body],
            spacing=GAP,
            scroll=ft.ScrollMode.AUTO,
            horizontal_alignment=ft.CrossAxisAlignment.STRETCH,
            expand=True,
        ),
        padding=ft.Padding(16, 0, 16, 10),
        expand=True,
        key=f"body {panel}",
    )


def _foot(look: Look, foot: Sequence[ft.Control], scroll: ft.ScrollMode | None) -> ft.Control:
    return ft.Container(
        ft.Column(
            list(foot),
            spacing=GAP,
            tight=True,
            scroll=scroll,
            horizontal_alignment=ft.CrossAxisAlignment.STRETCH,
        ),
        padding=ft.Padding(16, 10, 16, 12),
        border=ft.Border(top=ft.BorderSide(look.weight, look.rule)),
        key="foot",
    )
