"""One session on the phone alone: documents open out of the browser's own store, photographs come with their bytes."""

from __future__ import annotations

import asyncio
import hashlib
import tempfile
from collections.abc import Awaitable, Sequence
from contextlib import suppress
from datetime import datetime
from pathlib import Path

import flet as ft

from inspect_app.alone.developing import AsItIs, InHand
from inspect_app.alone.page import Page, told_by
from inspect_app.alone.shop import ShopInReach
from inspect_app.alone.told import Mark, handed_words, kept_words, lost_words, mark_of, ready_words
from inspect_app.bench.backing_up import back_up
from inspect_app.bench.bench import Bench
from inspect_app.logbook.store import NotSaved
from inspect_app.screens.host import Note, Picked, Touch
from inspect_app.screens.picker import Picker

HANDED, LOST = "handed over", "lost"
"""Settings of this phone: when everything was handed over last, and the mark of data that the browser deleted."""
REMEMBERED_WITHIN_S = 2.0
PDF, ZIP = "application/pdf", "application/zip"


class PhoneAlone:
    """What `screens.host.Host` asks for, and what is remembered outside the data.

    Args:
        view: the session's page.
        page: the browser's.
        bench: the open data folder.
    """

    def __init__(self, view: ft.Page, page: Page, bench: Bench) -> None:
        self._page, self._bench = page, bench
        self._picker = Picker(view, with_data=True)
        self._published: dict[str, str] = {}
        self._begun: set[asyncio.Task[None]] = set()
        self._remembering = False

    # -- documents and photographs ---------------------------------------------------------------

    def opening(self, name: str, made: bytes) -> Touch:
        """By a link into the browser's store where the app is kept there; else the file is handed over."""
        if told_by(self._page).ready != "yes":
            return self.handing_over(name, made)
        sha256 = hashlib.sha256(made).hexdigest()
        if sha256 not in self._published:
            self._published[sha256] = f"document/{sha256}/{name}"
            self._begin(self._page.publish(self._published[sha256], name, made))
        return Touch(action=ft.OpenUrl(f"{self._page.told.base}{self._published[sha256]}"))

    def handing_over(self, name: str, made: bytes) -> Touch:
        """By the phone's share sheet, or as a download where it has none."""

        async def then(_: object) -> None:
            await self._page.share(name, PDF if name.endswith(".pdf") else ZIP, made)

        return Touch(then=then)

    def access(self) -> None:
        """Nobody else's machine: nobody is asked who they are."""

    def shop(self) -> ShopInReach:
        """Asked when a job is handed to it."""
        return ShopInReach(self._page)

    def customers_way(self, job_id: str, sha256: str) -> None:
        """No other phone can come in."""

    def address(self) -> str:
        """The same."""
        return ""

    def picking(self, any_file: bool = False) -> ft.ClientAction:
        """Opens the phone's picker."""
        return self._picker.picking(any_file)

    async def pick(self, any_file: bool = False) -> Sequence[Picked]:
        """What was picked."""
        files = [(f.name, f.bytes or b"") for f in await self._picker.pick()]
        if any_file:
            return [AsItIs(name, content) for name, content in files]
        return [InHand(self._page, name, content) for name, content in files]

    def lower_edge(self) -> float:
        """As the page measured it."""
        return told_by(self._page).lower_edge

    # -- how the data stands ---------------------------------------------------------------------

    def notes(self) -> Sequence[Note]:
        """Whether the app starts without network, whether the data is safe here, and handing all of it over."""
        told, mark = told_by(self._page), self.mark()
        notes = []
        if lost := mark_of(self._setting(LOST)):
            gone = lost_words(lost, self._shown(lost.last), self._shown(lost.handed))
            notes.append(Note(gone, "beyond", "I have read it", self._read))
        if told.renewal:
            newer = "A new version is here. Everything entered stays as it is."
            notes.append(Note(newer, "accent", "Start the new version", self._renew))
        stand = (ready_words(told), kept_words(told), handed_words(mark, self._shown(mark.handed)))
        said = " ".join(w for w in stand if w)
        at_ease = told.ready == "yes" and told.kept and mark.last <= mark.handed
        role = "within" if at_ease else "unclear"
        if mark.jobs:
            notes.append(Note(said, role, "Hand everything over", self._hand_everything_over))
        else:
            notes.append(Note(said, role))
        return notes

    def mark(self) -> Mark:
        """How the data stands."""
        log = self._bench.logbook
        return Mark(log.device, log.lines.count(), log.lines.last(), self._setting(HANDED))

    def remember(self) -> None:
        """Have the page keep the mark of the data outside of it."""
        self._remembering = False
        self._begin(self._page.ask("hold", self.mark().text()))

    def remember_soon(self) -> None:
        """The same, once for all that is entered within a moment."""
        if not self._remembering:
            self._remembering = True
            asyncio.get_running_loop().call_later(REMEMBERED_WITHIN_S, self.remember)

    def compare(self) -> None:
        """Find out at the start whether the data that was here is gone, and keep that until it was read."""
        before = mark_of(str(getattr(self._page.told, "held", "")))
        if before and before.jobs and before.device != self._bench.logbook.device:
            with suppress(NotSaved):  # a full disk: it is found out again at the next start
                self._bench.set_setting(self._client(), LOST, before.text(), "")
                self.remember()
        else:
            self.remember()

    async def _hand_everything_over(self) -> None:
        now = self._bench.now()
        name = f"inspect-{now.astimezone():%Y-%m-%d-%H%M}.zip"
        if await self._page.share(name, ZIP, self._packed(name)) != "left":
            at = now.isoformat(timespec="milliseconds").replace("+00:00", "Z")
            self._bench.set_setting(self._client(), HANDED, at, "")
            self.remember()

    def _packed(self, name: str) -> bytes:
        """A backup as the prompt makes and restores it, its file in the browser's memory."""
        with tempfile.TemporaryDirectory() as outside:
            file = Path(outside) / name
            back_up(self._bench, file)
            return file.read_bytes()

    async def _renew(self) -> None:
        await self._page.ask("renew")

    async def _read(self) -> None:
        self._bench.set_setting(self._client(), LOST, "", "")

    def _setting(self, name: str) -> str:
        return self._bench.shop.settings(self._client()).get(name, "")

    def _client(self) -> str:
        return self._bench.logbook.device

    @staticmethod
    def _shown(at: str) -> str:
        try:
            return f"{datetime.fromisoformat(at).astimezone():%Y-%m-%d %H:%M}"
        except ValueError:
            return at

    def _begin(self, work: Awaitable[object]) -> None:
        """Have the page do something, and go on meanwhile."""

        async def waited() -> None:
            await work

        task = asyncio.get_running_loop().create_task(waited())
        self._begun.add(task)
        task.add_done_callback(self._begun.discard)
