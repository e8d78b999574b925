"""Photographs on their way from a phone: each by itself, with how far it is, and whether it was saved."""

from __future__ import annotations

import asyncio
import secrets
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import flet as ft

from inspect_app.logbook.photos import MOST_BYTES, take_in
from inspect_app.logbook.store import NotSaved
from inspect_app.trade.measuring.refusal import Refusal

if TYPE_CHECKING:
    from inspect_app.screens.desk import Desk

STALLED_S = 60.0
"""Without a sign of progress for so long, an upload is given up."""

LINK_S = 600
LARGEST = MOST_BYTES
"""The largest file a phone may send, bytes."""

UPLOADS = "uploads"
"""The folder inside the data folder where a photograph lies until it is taken in."""


@dataclass
class Picture:
    """One photograph picked: of what, its name and size on the phone, and how it stands in words."""

    job: str
    of: str
    what: str
    id: int
    name: str
    size: int
    state: str = "waiting"
    saved: bool = False


class Uploads:
    """The photographs of one session, sent one after another."""

    def __init__(self, desk: Desk) -> None:
        self.desk = desk
        self.pictures: list[Picture] = []
        # the client sends results only to a picker that had handlers from the start
        self.picker = ft.FilePicker(
            on_result=desk.guard(self._picked), on_upload=desk.guard(self._progressed)
        )
        self._for = ("", "", "")
        self._running = False
        self._moved = asyncio.Event()
        self._outcome = ""

    def pick_for(self, job_id: str, of: str, what: str) -> None:
        """Whatever is picked next belongs to this: one picker serves the session."""
        self._for = (job_id, of, what)

    def of(self, of: str) -> list[Picture]:
        """The pictures of one thing that are on their way or did not arrive."""
        return [p for p in self.pictures if p.of == of and not p.saved]

    def _picked(self, event: ft.FilePickerResultEvent) -> None:
        job_id, of, what = self._for
        files: Sequence[ft.FilePickerFile] = event.files or ()
        self.pictures = [p for p in self.pictures if not p.state.startswith("not saved")]
        self.pictures += [Picture(job_id, of, what, f.id, f.name, f.size) for f in files]
        self.desk.redraw()
        if files and not self._running:
            self._running = True
            self.desk.page.run_task(self._send_all)

    def _progressed(self, event: ft.FilePickerUploadEvent) -> None:
        """The client tells how far the one picture under way is."""
        under_way = next((p for p in self.pictures if p.state.endswith("%")), None)
        if event.error:
            self._outcome = event.error
        elif event.progress is not None and event.progress >= 1:
            self._outcome = "arrived"
        elif event.progress is not None and under_way:
            state = f"{event.progress:.0%}".replace("%", " %")
            if state != under_way.state:
                under_way.state = state
                self.desk.redraw()
        self._moved.set()

    async def _send_all(self) -> None:
        try:
            while picture := next((p for p in self.pictures if p.state == "waiting"), None):
                await self._send(picture)
        finally:
            self._running = False

    async def _send(self, picture: Picture) -> None:
        """Send one picture and take it in; what went wrong stands beside its name."""
        if picture.size > LARGEST:
            self._say(picture, f"not saved: larger than {LARGEST // 1_000_000} MB")
            return
        file = self.desk.bench.folder / UPLOADS / secrets.token_hex(16)
        try:
            self._say(picture, "0 %")
            if await self._arrived(picture, file.name):
                self._say(picture, "being saved")
                await self._take_in(picture, file)
            else:
                self._say(picture, "not saved: the connection failed; take it again")
        except (Refusal, NotSaved, OSError) as error:
            self._say(picture, f"not saved: {error}")
        except (RuntimeError, TimeoutError):
            self._say(picture, "not saved: the phone did not send it; take it again")
        finally:
            file.unlink(missing_ok=True)

    async def _arrived(self, picture: Picture, name: str) -> bool:
        """Have the client send one file; whether all of it came."""
        self._outcome = ""
        link = self.desk.page.get_upload_url(name, LINK_S)
        await self.picker.upload([ft.FilePickerUploadFile(upload_url=link, id=picture.id, name=picture.name)])
        while not self._outcome:
            self._moved.clear()
            await asyncio.wait_for(self._moved.wait(), STALLED_S)
        return self._outcome == "arrived"

    async def _take_in(self, picture: Picture, file: Path) -> None:
        """Decode and keep it beside the event loop, then record it."""
        desk = self.desk
        data = await asyncio.to_thread(file.read_bytes)
        loop = asyncio.get_running_loop()
        photo = await loop.run_in_executor(
            desk.floor.darkroom, lambda: take_in(data, folder=desk.bench.photos)
        )
        job = desk.bench.job(picture.job)
        desk.bench.name_photo(job, picture.of, photo, picture.what, desk.standing.initials)
        picture.saved = True
        picture.state = "saved"
        desk.refresh()

    def _say(self, picture: Picture, state: str) -> None:
        picture.state = state
        self.desk.redraw()
