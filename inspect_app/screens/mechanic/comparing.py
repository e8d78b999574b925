"""Two photographs side by side, as found and as left: zoomed and moved together, nothing marked."""

from __future__ import annotations

import flet as ft

from inspect_app.entries.job import Job, Photo
from inspect_app.figures.on_photo import marks_on
from inspect_app.job.pictured import beside, shown_on
from inspect_app.logbook.photos import path
from inspect_app.report.pictures import taken_words
from inspect_app.screens.desk import Desk
from inspect_app.screens.mechanic.marking import Pen, Picture, Window, next_zoom
from inspect_app.screens.mechanic.photographs import photo_row
from inspect_app.screens.mechanic.routes import compare_route, photo_route
from inspect_app.screens.pieces import controls
from inspect_app.screens.pieces.frame import WIDE, column_width, frame
from inspect_app.screens.pieces.look import GAP
from inspect_app.trade.measuring.refusal import in_words

OTHERS_HIGH = 300.0
"""Head, two lines of words each, and the edges take so much of the screen's height, dp."""


@ft.component
def ChooseOther(desk: Desk, job: Job, photo: Photo) -> ft.Control:  # noqa: N802
    """Which photograph another one is compared with."""
    rows = [
        photo_row(desk, job, other, lambda _, p=other: desk.go(compare_route(job, photo, p)))
        for other in beside(job, photo)
    ]
    body = rows or [controls.small(desk.standing.look, "There is no other photograph in this job.")]
    return frame(desk, f"Compare number {photo.number} with", body, back=photo_route(job, photo))


@ft.component
def Compare(desk: Desk, job: Job, first: Photo, second: Photo) -> ft.Control:  # noqa: N802
    """Both, one over the other on a phone; a finger on one moves the other by as much of it."""
    look, both = desk.standing.look, (first, second)
    wide = column_width(desk) >= WIDE
    sizes = tuple(_size(desk, p, wide) for p in both)
    windows = ft.use_memo(lambda: [Window(*size) for size in sizes], [sizes])
    pen, _ = ft.use_state(Pen)
    _, drawn = ft.use_state(0)
    files = ft.use_memo(lambda: [_bytes(desk, p) for p in both], [first.id, second.id])

    def follow(moved: Window) -> None:
        for window in windows:
            window.show_as(moved)
        drawn(lambda n: n + 1)

    def zoom(step: int) -> None:
        for window in windows:
            window.zoom_to(next_zoom(window.zoom, step))
        drawn(lambda n: n + 1)

    sides = [
        _side(desk, job, photo, window, pen, jpeg, lambda w=window: follow(w))
        for photo, window, jpeg in zip(both, windows, files, strict=True)
    ]
    body = [ft.Row(sides, spacing=GAP, vertical_alignment=ft.CrossAxisAlignment.START)] if wide else sides
    tools = (
        controls.icon_button(look, ft.Icons.ZOOM_OUT, "Smaller", lambda _: zoom(-1)),
        controls.icon_button(look, ft.Icons.ZOOM_IN, "Larger", lambda _: zoom(1)),
    )
    numbers = f"{first.number} and {second.number}"
    return frame(desk, f"Compare {numbers}", body, back=photo_route(job, first), tools=tools, panel=numbers)


def _size(desk: Desk, photo: Photo, wide: bool) -> tuple[float, float]:
    """How large one of two is shown, so that both are seen at once."""
    room = (column_width(desk) - 32 - GAP) / 2 if wide else column_width(desk) - 32
    high = max(
        120.0, ((desk.page.height or 800) - OTHERS_HIGH * desk.standing.look.scale) / (1 if wide else 2)
    )
    ratio = photo.height / photo.width if photo.width and photo.height else 0.75
    width = min(room, high / ratio)
    return round(width, 1), round(width * ratio, 1)


def _bytes(desk: Desk, photo: Photo) -> bytes:
    file = path(photo.sha256, desk.bench.photos)
    return file.read_bytes() if file.is_file() else b""


def _side(
    desk: Desk, job: Job, photo: Photo, window: Window, pen: Pen, jpeg: bytes, changed: controls.Handler
) -> ft.Control:
    """One of the two, and what it is."""
    look, system = desk.standing.look, desk.standing.system
    title, where = shown_on(job, desk.bench.tables_of(job).cylinders[job.cylinder], photo)
    words = ", ".join(
        w for w in (f"{photo.number}: {title}", in_words(where, system), taken_words(job, photo)) if w
    )
    said = controls.text(look, words, 16, lines=2)
    if not jpeg:
        return ft.Column(
            [controls.notice(look, "This file is missing on this device.", "beyond"), said], tight=True
        )
    picture = Picture(
        desk=desk, photo=jpeg, window=window, pen=pen, marks=marks_on(photo, job.pictured.on(photo.sha256), system),
        says=f"Photograph {photo.number}", changed=changed, version=desk.standing.version, key=photo.id,
    )  # fmt: skip
    return ft.Column([picture, said], spacing=4, tight=True)
