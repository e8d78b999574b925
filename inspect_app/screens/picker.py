"""The phone's picker of photographs and files, and what was picked with it; knows nothing of how a file comes here."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Sequence

import flet as ft


class Picker:
    """The picker of one session.

    Args:
        page: the session's page.
        with_data: whether what was picked comes along at once.
        on_upload: told how far a file is that is being sent.
    """

    def __init__(
        self,
        page: ft.Page,
        with_data: bool,
        on_upload: Callable[[ft.FilePickerUploadEvent], None] | None = None,
    ) -> None:
        self._with_data = with_data
        # the client sends results only to a picker that had handlers from the start
        self.files = ft.FilePicker(on_result=self._picked, on_upload=on_upload)
        page.services.append(self.files)
        self._asked: asyncio.Future[Sequence[ft.FilePickerFile]] | None = None

    def picking(self, any_file: bool = False) -> ft.ClientAction:
        """Opens the phone's picker, which offers the camera where photographs are wanted."""
        # phones do not know every ending a logger gives its files, so none is asked for
        kind = ft.FilePickerFileType.ANY if any_file else ft.FilePickerFileType.IMAGE
        return ft.PickFiles(
            self.files, file_type=kind, allow_multiple=not any_file, with_data=self._with_data
        )

    async def pick(self) -> Sequence[ft.FilePickerFile]:
        """What is picked next; a picker opened meanwhile for something else ends this one with nothing."""
        self._end([])
        asked: asyncio.Future[Sequence[ft.FilePickerFile]] = asyncio.get_running_loop().create_future()
        self._asked = asked
        try:
            return await asked
        finally:
            if self._asked is asked:  # on a phone alone it holds every file that was picked
                self._asked = None

    def _picked(self, event: ft.FilePickerResultEvent) -> None:
        self._end(event.files or [])

    def _end(self, files: Sequence[ft.FilePickerFile]) -> None:
        if self._asked and not self._asked.done():
            self._asked.set_result(files)
