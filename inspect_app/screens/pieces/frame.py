"""The frame every screen stands in: a head with the way back, the notice, the body, and what is always at hand."""

from __future__ import annotations

from collections.abc import Sequence

import flet as ft

from inspect_app.entries.job import LATER
from inspect_app.screens.desk import NOT_SAVED, Desk
from inspect_app.screens.mechanic.routes import split
from inspect_app.screens.mechanic.undoing import take_back_asked
from inspect_app.screens.pieces import controls
from inspect_app.screens.pieces.look import GAP, TOUCH, Look

WIDEST = 760
"""The widest a column of text grows on a laptop, dp."""

WIDE = 600
"""From here on, dp, the head has room for the time of the last entry."""

ROOM_FOR_TWO, MEASURING = 900, 424
"""From here on, dp, a second column stands beside measuring, which is then so wide."""

SHORT = 12
"""A second line of the head of so many characters has the light beside it on any phone."""

DESK, DESK_WIDEST = 1100, 1240
"""From this width on, dp, what belongs beside the body stands there; and the widest both grow."""

TALL = 800
"""From this height on, dp, what a number comes to has two lines above it."""

LOW = 560
"""Below this height, dp, a screen that is wider than high has its foot at the right: a phone on its side."""


def on_its_side(desk: Desk) -> bool:
    """Whether the screen is so low and wide that the foot stands at the right of the body."""
    height = desk.page.height or 0
    return height < LOW and height < (desk.page.width or 0)


def is_tall(desk: Desk) -> bool:
    """Whether there is room for two lines of what a number comes to, above it and its keys."""
    return (desk.page.height or TALL) >= TALL


def _measures(desk: Desk) -> bool:
    return split(desk.standing.route)[2][:1] == ["measure"]


def has_beside(desk: Desk) -> bool:
    """Whether there is room for a second column beside what is measured."""
    return _measures(desk) and (desk.page.width or 0) >= ROOM_FOR_TWO and not on_its_side(desk)


def room_beside(desk: Desk) -> float:
    """How wide the second column is between its margins, dp."""
    return min(desk.page.width or ROOM_FOR_TWO, DESK_WIDEST) - MEASURING - 48


def at_a_desk(desk: Desk) -> bool:
    """Whether the screen is wide enough for two columns of equal weight."""
    return (desk.page.width or 0) >= DESK


def column_width(desk: Desk) -> float:
    """How wide the body is, dp."""
    if has_beside(desk):
        return MEASURING
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
    above: Sequence[ft.Control] = (),
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
        beside: what stands in a second column, on a screen that has room for one.
        above: what stays over the body while that is scrolled: what is drawn on with a finger.
    """
    look = desk.standing.look
    rows = [_head(desk, _of_state(desk, title), back, under, tools)]
    over = [ft.Container(c, padding=ft.Padding(16, 8, 16, 0)) for c in above]
    said = [*_notice(desk), *over]
    if foot and on_its_side(desk):
        # a notice stands over the body alone: the keys keep their height
        left = ft.Column([*said, _body(body, panel)], spacing=0, expand=True)
        right = ft.Container(_foot(look, foot, ft.ScrollMode.AUTO), expand=True)
        rows.append(ft.Row([left, right], spacing=0, expand=True, key="beside"))
    else:
        column = [*said, _body(body, panel), *([_foot(look, foot, None)] if foot else [])]
        rows += [_two_columns(desk, column, beside)] if beside is not None else column
    widest = WIDEST if beside is None else DESK_WIDEST
    page = ft.Container(
        ft.Column(rows, spacing=0, expand=True),
        width=widest if (desk.page.width or 0) > widest else None,
        alignment=ft.Alignment.TOP_CENTER,
    )
    return ft.Container(
        ft.SafeArea(page, expand=True),
        bgcolor=look.paper,
        expand=True,
        alignment=ft.Alignment.TOP_CENTER,
        padding=ft.Padding(0, 0, 0, desk.host.lower_edge()),
    )


def _two_columns(desk: Desk, column: list[ft.Control], beside: Sequence[ft.Control]) -> ft.Control:
    """What is worked on at the left, as narrow as a phone where it is measured; what goes with it at the right."""
    look = desk.standing.look
    left = ft.Container(
        ft.Column(column, spacing=0, expand=True),
        width=MEASURING if _measures(desk) else None,
        expand=not _measures(desk),
        border=ft.Border(right=ft.BorderSide(look.weight, look.rule)),
    )
    right = ft.Column(
        list(beside), spacing=GAP, scroll=ft.ScrollMode.AUTO, expand=True,
        horizontal_alignment=ft.CrossAxisAlignment.STRETCH,
    )  # fmt: skip
    return ft.Row(
        [left, ft.Container(right, padding=ft.Padding(24, 16, 24, 16), expand=True)],
        spacing=0,
        expand=True,
        vertical_alignment=ft.CrossAxisAlignment.STRETCH,
        key="beside",
    )


def _of_state(desk: Desk, title: str) -> str:
    """The title, and of a later state of the cylinder which: nobody is to measure into another one unawares."""
    state = split(desk.standing.route)[1]
    return f"{title}, {state.replace('-', ' ')}" if state in LATER else title


def _head(desk: Desk, title: str, back: str | None, under: str, tools: Sequence[ft.Control]) -> ft.Control:
    look = desk.standing.look
    words: list[ft.Control] = [
        ft.Semantics(header=True, content=controls.text(look, title, 18, bold=True, lines=3))
    ]
    light = _saved(desk)
    second = controls.text(look, under, 16, color=look.soft, lines=2)
    beside = len(under) <= SHORT or (desk.page.width or 0) >= WIDE
    if under and light and beside:
        words.append(ft.Row([second, light], spacing=10))
    else:
        words += [second] * bool(under) + [light] * bool(light)
    row: list[ft.Control] = [ft.Container(width=0, height=TOUCH)]  # as high without a button as with one
    if back is not None:
        row.append(
            controls.icon_button(look, ft.Icons.ARROW_BACK, "Back", lambda _: desk.go(desk.way_back(back)))
        )
    row.append(
        ft.Container(ft.Column(words, spacing=0, tight=True), expand=True, padding=ft.Padding(4, 0, 4, 0))
    )
    return ft.Container(
        ft.Row([*row, *tools], spacing=8, vertical_alignment=ft.CrossAxisAlignment.CENTER),
        padding=ft.Padding(4 if back is not None else 12, 4, 8, 4),
        border=ft.Border(bottom=ft.BorderSide(2 * look.weight, look.ink)),
        key="head",
    )


def _saved(desk: Desk) -> ft.Control | None:
    """A light that says whether the last thing entered with this phone is on disk, and when that was."""
    look, saved = desk.standing.look, desk.standing.saved
    lost = saved == NOT_SAVED
    if not saved or (desk.standing.handed and not lost):  # a customer is told in words
        return None
    colour = look.beyond if lost else look.within
    wide = (desk.page.width or 0) >= WIDE
    words = saved if lost else f"saved {saved}" if wide else "saved"
    light = ft.Container(
        width=12,
        height=12,
        border_radius=0 if lost else 6,
        bgcolor=None if lost else colour,
        border=ft.Border.all(2, colour),
    )
    said = controls.text(look, words, 16, bold=lost, color=colour if lost else look.soft)
    return ft.Row([light, said], spacing=6, tight=True)


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
