"""The photographs of one thing, small, and those asked for of it; all of a job, by their numbers."""

from __future__ import annotations

import flet as ft

from inspect_app.entries.job import Job, Photo
from inspect_app.entries.pictured import VIEWS
from inspect_app.entries.picturing import Declined
from inspect_app.job.pictured import open_views, shown_on
from inspect_app.logbook.photos import thumb
from inspect_app.report.pictures import taken_words
from inspect_app.screens.desk import Desk
from inspect_app.screens.mechanic.photographing import photograph
from inspect_app.screens.mechanic.routes import job_route, photo_route
from inspect_app.screens.mechanic.undoing import undo
from inspect_app.screens.pieces import controls
from inspect_app.screens.pieces.frame import frame
from inspect_app.screens.pieces.look import GAP
from inspect_app.trade.measuring.refusal import in_words
from inspect_app.trade.measuring.wording import counted

SIDE = 110
"""A small copy is so wide and high, dp."""


def small_copy(
    desk: Desk, job: Job, photo: Photo, said: str, chosen: controls.Handler | None = None
) -> ft.Control:
    """A photograph's small copy; touched, it is shown large. Where it is missing, that is said.

    Args:
        desk: the session.
        job: the job.
        photo: the photograph.
        said: what it is called.
        chosen: what a touch does; None shows it large.
    """
    file = thumb(photo.sha256, desk.bench.photos)
    if not file.is_file():
        return controls.small(desk.standing.look, f"{said}, number {photo.number}, is missing on this device")
    marked = len(job.pictured.on(photo.sha256))
    name = f"{said}. Number {photo.number}" + (", marked" if marked else "")
    look = desk.standing.look
    plate = ft.Container(
        controls.text(look, photo.number + (" marked" if marked else ""), 16, bold=True),
        bgcolor=look.raised, padding=ft.Padding(6, 0, 6, 0), left=0, bottom=0,
    )  # fmt: skip
    image = ft.Image(
        src=file.read_bytes(), width=SIDE, height=SIDE, fit=ft.BoxFit.COVER, exclude_from_semantics=True
    )

    show = chosen or (lambda _: desk.go(photo_route(job, photo)))

    return ft.Semantics(
        label=controls.printable(name), button=True, container=True, exclude_semantics=True,
        identifier=photo.id, key=photo.id, on_tap=show,
        content=ft.Container(ft.Stack([image, plate], width=SIDE, height=SIDE), on_click=show),
    )  # fmt: skip


@ft.component
def Photos(  # noqa: N802
    desk: Desk, job: Job, of: str, what: str, version: int, asked: bool = False
) -> ft.Control:
    """The photographs of one thing, the buttons that take those asked for, and the one that takes another."""
    look = desk.standing.look
    shown = [small_copy(desk, job, photo, f"Photograph of {what}") for photo in job.photos_of(of)]
    rows: list[ft.Control] = []
    if shown:
        rows += [
            ft.Row(shown, wrap=True, spacing=GAP, run_spacing=GAP),
            controls.small(look, f"{len(shown)} saved"),
        ]
    rows += [
        controls.text(look, f"{p.picked.name}: {p.state}", 17, bold=p.failed) for p in desk.pictures.of(of)
    ]
    views = open_views(job, of) if asked else {}
    for view, declined in views.items():
        rows.append(
            controls.small(look, f"{VIEWS[view][0]}: declined by {declined}")
            if declined
            else _asked(desk, job, of, what, view)
        )
    other = "Another photograph" if shown or asked else "Photograph"
    rows.append(_taking(desk, job, of, what, "", other))
    return ft.Column(rows, spacing=GAP, tight=True)


def _asked(desk: Desk, job: Job, of: str, what: str, view: str) -> ft.Control:
    """A photograph asked for: taken, or declined."""
    name, shows = VIEWS[view]

    def decline() -> None:
        desk.enter(job, job.as_found, Declined(of, view))

    no = controls.icon_button(
        desk.standing.look, ft.Icons.CLOSE, f"No {name.lower()}", desk.guard(lambda _: decline())
    )
    take = ft.Container(_taking(desk, job, of, what, view, f"{name}: {shows}"), expand=True)
    return ft.Row([take, no], spacing=GAP, key=f"asked {view}")


def _taking(desk: Desk, job: Job, of: str, what: str, view: str, label: str) -> ft.Control:
    async def take(_: object) -> None:
        await photograph(desk, job.id, of, what, view)

    # beside the button that declines there is no room for the drawing of a camera
    icon = None if view else ft.Icons.PHOTO_CAMERA_OUTLINED
    said = f"{label}. {what}" if what and not view else None  # beside others of its name
    return controls.button(
        desk.standing.look, label, desk.guard(take), icon=icon, key=f"photo {of} {view}", said=said,
        action=desk.host.picking(),
    )  # fmt: skip


@ft.component
def AllPhotos(desk: Desk, job: Job, version: int) -> ft.Control:  # noqa: N802
    """Every photograph of a job by its number: what it shows, where, who took it when."""
    look = desk.standing.look
    rows = [photo_row(desk, job, photo) for photo in job.photos]
    if not rows:
        rows.append(controls.small(look, "None was taken yet."))
    rows.append(_taking(desk, job, job.id, "", "", "Photograph the cylinder"))
    return frame(
        desk,
        "Photographs",
        rows,
        under=counted(len(job.photos), "photograph", "photographs"),
        back=job_route(job),
        tools=(controls.icon_button(look, ft.Icons.UNDO, "Undo", desk.guard(lambda _: undo(desk, job))),),
    )


def photo_row(desk: Desk, job: Job, photo: Photo, chosen: controls.Handler | None = None) -> ft.Control:
    """One of several: its small copy, and what it shows, where, who took it when.

    Args:
        desk: the session.
        job: the job.
        photo: the photograph.
        chosen: what a touch does; None shows it large.
    """
    look = desk.standing.look
    title, where = shown_on(job, desk.bench.tables_of(job).cylinders[job.cylinder], photo)
    under = " · ".join(w for w in (in_words(where, desk.standing.system), taken_words(job, photo)) if w)
    words = ft.Column(
        [controls.text(look, title, 18, bold=True), controls.small(look, under)],
        spacing=2,
        tight=True,
        expand=True,
    )
    return ft.Row(
        [small_copy(desk, job, photo, f"Photograph of {title}", chosen), words],
        spacing=12, vertical_alignment=ft.CrossAxisAlignment.START, key=photo.id,
    )  # fmt: skip
