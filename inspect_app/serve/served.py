"""One session served to a phone: documents and scopes open by signed links, photographs come in by the upload route."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from urllib.parse import urlsplit

import flet as ft

from inspect_app.screens.host import Access, CustomersWay, Note, Picked, Touch
from inspect_app.serve.customer_links import CustomerLinks
from inspect_app.serve.door import LOOPBACK
from inspect_app.serve.links import Links
from inspect_app.serve.network import lan_addresses, qr_squares
from inspect_app.serve.uploads import Uploads


class Served:
    """What `screens.host.Host` asks for.

    Args:
        page: the session's page.
        links: those of this program.
        uploads: where a photograph lies until it is taken in.
        access: how the session came in.
        customers: links for customers' own phones; None where only this machine is served.
        told: what there is to say of the place the data is kept at.
    """

    def __init__(
        self,
        page: ft.Page,
        links: Links,
        uploads: Path,
        access: Access,
        customers: CustomerLinks | None = None,
        told: Callable[[], Sequence[Note]] = tuple,
    ) -> None:
        self._access = access
        self.notes = told
        self._page = page
        self._links = links
        self._customers = customers
        self._uploads = Uploads(page, uploads)

    def opening(self, name: str, made: bytes) -> Touch:
        """The link is followed by the client within the touch: a browser opens nothing unasked."""
        return Touch(action=ft.OpenUrl(self._links.lend(name, made)))

    def access(self) -> Access:
        """By this machine itself, or as a phone that was paired."""
        return self._access

    def lower_edge(self) -> float:
        """The browser's own bar is below the page."""
        return 0.0

    def handing_over(self, name: str, made: bytes) -> None:
        """What is opened can be kept and sent from where it opens."""

    def shop(self) -> None:
        """This is the shop's program."""

    def customers_way(self, job_id: str, sha256: str) -> CustomersWay | None:
        """At the address this session came in by, since the customer's phone stands beside it."""
        here = self.address()
        if self._customers is None or not here:
            return None
        address = f"{here}{self._customers.path(job_id, sha256)}"
        return CustomersWay(address, qr_squares(address))

    def address(self) -> str:
        """Where this session came in by; of the host's own screen where the shop's Wi-Fi reaches it."""
        if self._customers is None:
            return ""
        came_by = urlsplit(self._page.url or "")
        name, port = came_by.hostname or LOOPBACK[0], came_by.port
        if name in LOOPBACK:  # a phone comes in by the shop's Wi-Fi
            name = next(iter(lan_addresses()), "")
        scheme = "https" if came_by.scheme in ("https", "wss") else "http"
        return f"{scheme}://{name}:{port}" if name and port is not None else ""

    def picking(self, any_file: bool = False) -> ft.ClientAction:
        """Opens the phone's picker."""
        return self._uploads.picker.picking(any_file)

    async def pick(self, any_file: bool = False) -> Sequence[Picked]:
        """What was picked; each is sent when it is asked for."""
        return await self._uploads.pick()
