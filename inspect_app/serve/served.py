"""One session served to a phone: documents open by signed links, photographs come in by the upload route."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import flet as ft

from inspect_app.screens.host import Picked, Touch
from inspect_app.serve.links import Links
from inspect_app.serve.uploads import Uploads


class Served:
    """What `screens.host.Host` asks for.

    Args:
        page: the session's page.
        links: those of this program.
        uploads: where a photograph lies until it is taken in.
    """

    def __init__(self, page: ft.Page, links: Links, uploads: Path) -> None:
        self._links = links
        self._uploads = Uploads(page, uploads)

    def opening(self, name: str, made: bytes) -> Touch:
        """The link is followed by the client within the touch: a browser opens nothing unasked."""
        return Touch(action=ft.OpenUrl(self._links.lend(name, made)))

    def picking(self) -> ft.ClientAction:
        """Opens the phone's picker."""
        return self._uploads.picking()

    async def pick(self) -> Sequence[Picked]:
        """What was picked; each is sent when it is asked for."""
        return await self._uploads.pick()
