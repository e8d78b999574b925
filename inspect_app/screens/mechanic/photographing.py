"""Taking photographs in: each by itself, with how far it is, and whether it was saved."""

from __future__ import annotations

import flet as ft

from inspect_app.entries import job as stands
from inspect_app.entries.job import Job
from inspect_app.logbook.photos import Photo, take_in, take_in_developed, thumb
from inspect_app.logbook.store import NotSaved
from inspect_app.screens.desk import Desk
from inspect_app.screens.host import Made
from inspect_app.screens.mechanic.pictures import Picture
from inspect_app.screens.mechanic.routes import photo_route
from inspect_app.screens.pieces import controls
from inspect_app.trade.measuring.refusal import Refusal


async def photograph(desk: Desk, job_id: str, of: str, what: str) -> None:
    """Take in what is picked now, as photographs of one thing.

    Args:
        desk: the session.
        job_id: the job.
        of: the id of what they show.
        what: the same in words.
    """
    picked = await desk.pick()
    pictures = desk.pictures
    pictures.add([Picture(job_id, of, what, p) for p in picked])
    desk.redraw()
    if pictures.moving:
        return  # they follow those under way
    pictures.moving = True
    try:
        while picture := pictures.next():
            await _take_in(desk, picture)
    finally:
        pictures.moving = False


async def _take_in(desk: Desk, picture: Picture) -> None:
    """Have one here, keep it and record it; what went wrong stands beside its name."""
    try:
        _say(desk, picture, "0 %")
        brought = await picture.picked.bring(lambda share: _say(desk, picture, f"{share:.0%}"[:-1] + " %"))
        _say(desk, picture, "being saved")
        photo = await _kept(desk, brought)
        job = desk.bench.job(picture.job)
        desk.bench.name_photo(job, picture.of, photo, picture.what, desk.standing.initials)
    except (Refusal, NotSaved, OSError) as error:
        _say(desk, picture, f"not saved: {error}")
        return
    picture.saved, picture.state = True, "saved"
    desk.refresh()


async def _kept(desk: Desk, brought: bytes | Made) -> Photo:
    """Its file on the disk; what must be decoded here is so beside the event loop, one at a time."""
    folder = desk.bench.photos
    if isinstance(brought, Made):
        return take_in_developed(brought.developed, brought.original_sha256, folder=folder)
    return await desk.floor.beside(lambda: take_in(brought, folder=folder))


def _say(desk: Desk, picture: Picture, state: str) -> None:
    if state != picture.state:
        picture.state = state
        desk.redraw()


SIDE = 110
"""A small copy is so wide and high, dp."""


def thumbnail(desk: Desk, job: Job, photo: stands.Photo, said: str) -> ft.Control:
    """A photograph's small copy, which is there; touched, it is shown large.

    Args:
        desk: the session.
        job: the job.
        photo: the photograph.
        said: what it is called.
    """
    small = thumb(photo.sha256, desk.bench.photos).read_bytes()
    marked = len(job.pictured.on(photo.sha256))
    name = f"{said}. Number {photo.number}" + (", marked" if marked else "")
    look = desk.standing.look
    plate = ft.Container(
        controls.text(look, photo.number + (" marked" if marked else ""), 16, bold=True),
        bgcolor=look.raised, padding=ft.Padding(6, 0, 6, 0), left=0, bottom=0,
    )  # fmt: skip
    image = ft.Image(src=small, width=SIDE, height=SIDE, fit=ft.BoxFit.COVER, exclude_from_semantics=True)

    def show(_: object) -> None:
        desk.go(photo_route(job, photo))

    return ft.Semantics(
        label=controls.printable(name), button=True, container=True, exclude_semantics=True,
        identifier=photo.id, key=photo.id, on_tap=show,
        content=ft.Container(ft.Stack([image, plate], width=SIDE, height=SIDE), on_click=show),
    )  # fmt: skip
