"""Taking photographs in: each by itself, with how far it is, and whether it was saved."""

from __future__ import annotations

from inspect_app.logbook.photos import Photo, take_in, take_in_developed
from inspect_app.logbook.store import NotSaved
from inspect_app.screens.desk import Desk
from inspect_app.screens.host import Made
from inspect_app.screens.mechanic.pictures import Picture
from inspect_app.trade.measuring.refusal import Refusal


async def photograph(desk: Desk, job_id: str, of: str, what: str, view: str = "") -> None:
    """Take in what is picked now, as photographs of one thing.

    Args:
        desk: the session.
        job_id: the job.
        of: the id of what they show.
        what: the same in words.
        view: which of those asked for it is; of several picked at once the first.
    """
    picked = await desk.pick()
    pictures = desk.pictures
    pictures.add([Picture(job_id, of, what, p, "" if n else view) for n, p in enumerate(picked)])
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
        desk.bench.name_photo(job, picture.of, photo, picture.what, desk.standing.initials, picture.view)
    except (Refusal, NotSaved, OSError) as error:
        _say(desk, picture, f"not saved: {error}")
        return
    desk.pictures.saved(picture)
    desk.refresh()


async def _kept(desk: Desk, brought: bytes | Made) -> Photo:
    """Its file on the disk; what must be decoded here is so beside the event loop, one at a time."""
    folder = desk.bench.photos
    if isinstance(brought, Made):
        return take_in_developed(brought.developed, brought.original_sha256, folder=folder)
    keeps = desk.bench.shop.keeps_originals
    return await desk.floor.beside(lambda: take_in(brought, folder=folder, keep=keeps))


def _say(desk: Desk, picture: Picture, state: str) -> None:
    if state != picture.state:
        picture.state = state
        desk.redraw()
