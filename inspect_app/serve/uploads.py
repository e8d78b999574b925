"""Photographs sent to this machine by a phone: its file picker, and the upload route one after another comes in by."""

from __future__ import annotations

import asyncio
import secrets
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import flet as ft

from inspect_app.screens.host import LARGEST
from inspect_app.screens.picker import Picker
from inspect_app.trade.measuring.refusal import Refusal

STALLED_S = 60.0
"""Without a sign of progress for so long, an upload is given up."""

LINK_S = 600


class Uploads:
    """The file picker of one session, and what it sends.

    Args:
        page: the session's page.
        folder: where a file lies until it is taken in.
    """

    def __init__(self, page: ft.Page, folder: Path) -> None:
        self.page = page
        self.folder = folder
        self.picker = Picker(page, with_data=False, on_upload=self._moved)
        self._moves: asyncio.Queue[ft.FilePickerUploadEvent] = asyncio.Queue()

    async def pick(self) -> list[OnThePhone]:
        """What is picked next."""
        return [OnThePhone(self, f.id, f.name, f.size) for f in await self.picker.pick()]

    def _moved(self, event: ft.FilePickerUploadEvent) -> None:
        self._moves.put_nowait(event)

    async def send(self, file: OnThePhone, moved: Callable[[float], None]) -> bytes:
        """Have the client send one file, and give what came."""
        if file.size > LARGEST:
            raise Refusal(f"larger than {LARGEST // 1_000_000} MB")
        arrived = self.folder / secrets.token_hex(16)
        link = self.page.get_upload_url(arrived.name, LINK_S)
        self._moves = asyncio.Queue()
        try:
            await self.picker.files.upload(
                [ft.FilePickerUploadFile(upload_url=link, id=file.id, name=file.name)]
            )
            while (share := await self._share()) < 1:
                moved(share)
            return await asyncio.to_thread(arrived.read_bytes)
        except (RuntimeError, TimeoutError) as error:
            raise Refusal("the phone did not send it; take it again") from error
        finally:
            arrived.unlink(missing_ok=True)

    async def _share(self) -> float:
        """How much of the file under way is here, as the client tells next."""
        event = await asyncio.wait_for(self._moves.get(), STALLED_S)
        if event.error:
            raise Refusal("the connection failed; take it again")
        return event.progress or 0.0


@dataclass(frozen=True, slots=True)
class OnThePhone:
    """A file that was picked and lies on the phone still: the client's own number for it, its name and bytes."""

    uploads: Uploads
    id: int
    name: str
    size: int

    async def bring(self, moved: Callable[[float], None]) -> bytes:
        """As `Picked.bring`."""
        return await self.uploads.send(self, moved)
