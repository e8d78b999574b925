"""One photograph: looked at closely, and marked with arrow, ring, line, words and lengths; the picture itself stays."""

from __future__ import annotations

import flet as ft

from inspect_app.entries.job import Job, Photo
from inspect_app.entries.pictured import ARROW, LENGTH, LINE, RING, SCALE, TEXT
from inspect_app.entries.picturing import Marked
from inspect_app.figures.on_photo import marks_on
from inspect_app.job.pictured import read_off_sentence
from inspect_app.logbook.photos import path
from inspect_app.report.pictures import taken_words
from inspect_app.screens.desk import Desk
from inspect_app.screens.mechanic.marking import Pen, Picture, Window, next_zoom
from inspect_app.screens.mechanic.placing import length_unit
from inspect_app.screens.mechanic.routes import compare_route, job_route
from inspect_app.screens.mechanic.undoing import undo
from inspect_app.screens.pieces import controls
from inspect_app.screens.pieces.frame import column_width, frame
from inspect_app.screens.pieces.look import GAP, TOUCH, Look
from inspect_app.screens.pieces.texts import Texts, use_texts
from inspect_app.trade.measuring.wording import counted

TOOLS = (
    (ARROW, "Arrow", ft.Icons.NORTH_EAST, "Touch where the arrow begins, then where it points."),
    (RING, "Ring", ft.Icons.RADIO_BUTTON_UNCHECKED, "Touch two points that lie opposite on the ring."),
    (LINE, "Line", ft.Icons.HORIZONTAL_RULE, "Touch both ends of the line."),
    (TEXT, "Words", ft.Icons.TITLE, "Touch where the words stand, and type them."),
    (SCALE, "Scale", ft.Icons.STRAIGHTEN, "Touch both ends of a size you know, such as on a rule, and type it."),
    (LENGTH, "Length", ft.Icons.OPEN_IN_FULL, "Touch both ends of what is to be measured."),
)  # fmt: skip
CORRECT = "Drag a ring to correct it; the finger may lie beside it."
LEAST_HIGH, OTHERS_HIGH, TOOL_TEXT = 160.0, 420.0, 16
"""The picture is at least so high; head, words, tools and their edges take so much of the screen's height, dp."""


@ft.component
def PhotoScreen(desk: Desk, job: Job, photo: Photo) -> ft.Control:  # noqa: N802
    look, system = desk.standing.look, desk.standing.system
    pen, _ = ft.use_state(Pen)
    width, height = _size(desk, photo)
    window = ft.use_memo(lambda: Window(width, height), [width, height])
    texts, write = use_texts(Texts)
    file = path(photo.sha256, desk.bench.photos)
    jpeg = ft.use_memo(lambda: file.read_bytes() if file.is_file() else b"", [photo.sha256])
    marks = job.pictured.on(photo.sha256)

    def redraw() -> None:
        write("drawn", "")

    def choose(shape: str) -> None:
        pen.take(shape)
        texts.write("says", "")
        redraw()

    def keep() -> None:
        mark = Marked(photo.sha256, pen.shape, tuple(pen.points), texts["says"], window.within)
        if desk.enter(job, job.as_found, mark):
            choose("")

    def zoom(step: int) -> None:
        window.zoom_to(next_zoom(window.zoom, step))
        redraw()

    body: list[ft.Control] = []
    if jpeg:
        says = f"Photograph {photo.number}, {counted(len(marks), 'mark', 'marks')}"
        drawn = marks_on(photo, marks, system)
        picture = Picture(
            desk=desk, photo=jpeg, window=window, pen=pen, marks=drawn, says=says, changed=redraw,
            version=desk.standing.version, key="picture",
        )  # fmt: skip
        body += [picture, _beside(look, job, photo, window, zoom)]
    else:
        body.append(controls.notice(look, "The file of this photograph is missing on this device.", "beyond"))
    if note := read_off_sentence(marks):
        body.append(controls.small(look, note.words(system)))
    return frame(
        desk,
        photo.caption or "Photograph",
        body,
        under=f"number {photo.number}",
        back=_back(desk, job),
        tools=(
            controls.icon_button(
                look, ft.Icons.COMPARE, "Compare", lambda _: desk.go(compare_route(job, photo))
            ),
            controls.icon_button(look, ft.Icons.UNDO, "Undo", desk.guard(lambda _: undo(desk, job))),
        ),
        foot=_foot(desk, pen, texts, choose, keep) if jpeg else (),
        panel=f"marking {photo.id}",
    )


def _size(desk: Desk, photo: Photo) -> tuple[float, float]:
    """How large the picture is shown, so that it and what belongs to it fit without scrolling."""
    room = column_width(desk) - 32
    high = max(LEAST_HIGH, (desk.page.height or 800) - OTHERS_HIGH * max(1.0, desk.standing.look.scale))
    ratio = photo.height / photo.width if photo.width and photo.height else 0.75
    width = min(room, high / ratio)
    return round(width, 1), round(width * ratio, 1)


def _back(desk: Desk, job: Job) -> str:
    """To where the photograph was tapped."""
    return desk.way_back(job_route(job))


def _beside(look: Look, job: Job, photo: Photo, window: Window, zoom: controls.Handler) -> ft.Control:
    """Who took it when, and the two buttons that zoom."""
    return ft.Row(
        [
            ft.Container(controls.small(look, taken_words(job, photo)), expand=True),
            controls.icon_button(look, ft.Icons.ZOOM_OUT, "Smaller", lambda _: zoom(-1)),
            controls.text(look, f"{window.zoom:.0f} ×", 17),
            controls.icon_button(look, ft.Icons.ZOOM_IN, "Larger", lambda _: zoom(1)),
        ],
        spacing=GAP,
        vertical_alignment=ft.CrossAxisAlignment.CENTER,
    )


def _foot(
    desk: Desk, pen: Pen, texts: Texts, choose: controls.Handler, keep: controls.Handler
) -> list[ft.Control]:
    """The tools; of the one in hand what to touch, what to type, and keeping the mark."""
    look = desk.standing.look
    if not pen.shape:
        triples = [TOOLS[n : n + 3] for n in range(0, len(TOOLS), 3)]
        return [
            ft.Row(
                [_tool(look, name, icon, lambda _, s=shape: choose(s)) for shape, name, icon, _ in row],
                spacing=GAP,
            )
            for row in triples
        ]
    asked = next(asks for shape, _, _, asks in TOOLS if shape == pen.shape)
    rows: list[ft.Control] = [controls.text(look, CORRECT if pen.whole else asked, 17, lines=3)]
    if pen.shape == TEXT:
        rows.append(texts.field(look, "says", "What stands there"))
    if pen.shape == SCALE:
        rows.append(texts.field(look, "says", f"Known size, {length_unit(desk.standing.system)}"))
    both = [controls.button(look, "Cancel", lambda _: choose(""), expand=True)]
    if pen.whole:
        both.append(
            controls.button(look, "Keep mark", desk.guard(lambda _: keep()), strong=True, expand=True)
        )
    return [*rows, ft.Row(both, spacing=GAP)]


def _tool(look: Look, name: str, icon: str, on_click: controls.Handler) -> ft.Control:
    """One of the tools, a drawing and its word."""
    words = ft.Row(
        [ft.Icon(icon, color=look.ink, size=22), controls.text(look, name, TOOL_TEXT)],
        spacing=6, alignment=ft.MainAxisAlignment.CENTER,
    )  # fmt: skip
    box = ft.Container(
        words, height=max(TOUCH, look.size(TOUCH)), bgcolor=look.raised, border_radius=6, on_click=on_click, ink=True,
        border=ft.Border.all(1.5 * look.weight, look.rule),
    )  # fmt: skip
    return ft.Semantics(
        label=name, button=True, container=True, exclude_semantics=True, identifier=name, key=name, expand=True,
        on_tap=on_click, content=box,
    )  # fmt: skip
