"""The screens as a web app, served to this machine alone, or with --lan to the shop's phones that were paired.

Three rules hold here. Without --lan nothing beyond this machine is listened to. A document leaves only through
a link that is signed and short-lived. A customer's link opens one scope, and no path beside it leads further in.
"""

from __future__ import annotations

import asyncio
import secrets
import shutil
import ssl
import threading
from collections.abc import Callable, Iterable, Iterator
from functools import cache, partial
from pathlib import Path
from typing import Any

import flet as ft
import flet_web.fastapi as flet_fastapi
import uvicorn
from fastapi import Response

from inspect_app.bench.bench import Bench
from inspect_app.bench.customers_phone import KEY_BYTES, links_key
from inspect_app.bench.sessions import Sessions
from inspect_app.screens.app import session
from inspect_app.screens.floor import Floor
from inspect_app.screens.host import LARGEST
from inspect_app.serve import network
from inspect_app.serve.access import CameIn
from inspect_app.serve.catching_up import CatchingUp
from inspect_app.serve.client import first_page
from inspect_app.serve.crowd import Crowd
from inspect_app.serve.customer import CustomerPages
from inspect_app.serve.customer_links import CustomerLinks
from inspect_app.serve.door import LOOPBACK, Door, Gate
from inspect_app.serve.doorstep import MOST_HEAD, Doorstep, Patient
from inspect_app.serve.links import Links
from inspect_app.serve.pairing import Offer, Pairing
from inspect_app.serve.phones_alone import PhonesAlone, allowed
from inspect_app.serve.served import Served

CLOSES_IN_S = 3
"""So long open screens have to close once the program is asked to stop. What they called saved is on the disk."""
MOST_MESSAGE = 1_000_000
"""Bytes of what a screen sends at once: a signature is some thousands; photographs go by the upload route."""
AWAY_S = 3600
"""So long the screen of a phone that is away is kept, with what is typed in it and not entered: longer than a break.
Nothing that was entered lives in it; who comes back later begins anew where they were."""
UPLOADS = "uploads"
"""The folder inside the data folder where a photograph lies until it is taken in."""


def web_app(
    bench: Bench,
    gate: Gate | None = None,
    where: str = "",
    catching_up: CatchingUp | None = None,
    phones_from: Iterable[str] = (),
) -> Any:
    """The whole web app: documents behind signed links, the screens, customers' pages, and the door before them.

    Args:
        bench: the open data folder.
        gate: lets other devices in by code; None when only this machine is served.
        where: the address phones reach it by, such as https://192.168.1.7:8710; "" where none can.
        catching_up: keeps the folder level with a hub.
        phones_from: where the app of phones alone may come from, such as https://tools.example.
    """

    def served(page: ft.Page) -> Served:
        return Served(page, links, uploads, CameIn(bench, gate, where), customers if gate else None, told)

    links, floor = Links(), Floor()
    told = catching_up.notes if catching_up else tuple
    customers = CustomerLinks(cache(lambda: links_key(bench, secrets.token_bytes(KEY_BYTES))))
    app = flet_fastapi.FastAPI()
    uploads = bench.folder / UPLOADS
    shutil.rmtree(uploads, ignore_errors=True)  # what a killed program left there was never recorded
    uploads.mkdir(parents=True)
    app.state.first_page = first_page()  # lives as long as the app

    @app.get("/document/{sha256}.pdf")
    def document(sha256: str, until: int = 0, by: str = "") -> Response:
        lent = links.fetch(sha256, until, by)
        if lent is None:
            return Response("This link has run out. Open the document from the job again.", 403)
        paper = lent.name.endswith(".pdf")
        headers = {
            "content-disposition": f'{"inline" if paper else "attachment"}; filename="{lent.name}"',
            "cache-control": "no-store",
        }
        kind = "application/pdf" if paper else "application/zip"
        return Response(lent.made, media_type=kind, headers=headers)

    app.mount(
        "/",
        flet_fastapi.app(
            session(bench, served, floor),
            assets_dir=app.state.first_page.name,
            no_cdn=True,
            web_renderer=ft.WebRenderer.CANVAS_KIT,
            upload_dir=str(uploads.resolve()),
            max_upload_size=LARGEST,
            secret_key=secrets.token_hex(32),
            session_timeout_seconds=AWAY_S,
            app_name="Cylinder inspection",
            app_short_name="Cylinders",
            app_description="Measured teardown inspection of hydraulic cylinders",
        ),
    )
    pages = CustomerPages(bench, customers, floor.told, floor.beside)
    froms = frozenset(phones_from)
    alone = PhonesAlone(bench, gate, froms, floor.told, floor.beside) if gate and froms else None
    door = Door(app, gate, LOOPBACK, pages.app, alone)

    async def level(scope: Any, receive: Any, send: Any) -> None:
        if catching_up and scope["type"] == "lifespan":
            catching_up.start(asyncio.get_running_loop(), floor.told)
        await door(scope, receive, send)

    return level


def serve(
    bench: Bench,
    *,
    lan: bool,
    port: int,
    no_browser: bool,
    say: Callable[[str], None],
    certificate: Path | None = None,
    key: Path | None = None,
    hub: str = "",
    phones_from: Iterable[str] = (),
) -> None:
    """Serve until stopped; asked to stop, it ends within seconds, whoever is connected.

    Args:
        bench: the open data folder.
        lan: whether phones on the shop's network may come in.
        port: the port wanted; another is taken if it is not free.
        no_browser: whether this machine's browser is left alone.
        say: tells the person at the host.
        certificate: the file of one to serve https with.
        key: its key.
        hub: what the folder is kept level with; "" for none.
        phones_from: addresses phones alone have their app from, and may hand jobs in.
    Raises:
        Refusal: the certificate cannot be used, or an address is none.
    """
    froms = allowed(phones_from, lan and certificate is not None)
    shown = network.certificate(certificate, key)
    host = "0.0.0.0" if lan else "127.0.0.1"
    port = network.free_port(port, host)
    scheme = "https" if shown else "http"
    here = f"{scheme}://127.0.0.1:{port}"
    if bench.held:
        bench.held.say(here)
    gate = _gate(bench, scheme, port, say) if lan else None
    say(f"On this machine: {here}   (stop with Ctrl-C)")
    if gate:
        for line in _ways_in(scheme, port):
            say(line)
        gate.pairing.offer()
    browser = None if no_browser else network.browser()
    if browser:
        threading.Timer(1.0, browser.open, (here,)).start()
    elif not no_browser:
        say("No browser could be opened here; open one at the address above.")
    catching_up = CatchingUp(bench, hub) if hub else None
    settings = _settings(web_app(bench, gate, _where(scheme, port), catching_up, froms), shown)
    uvicorn.Server(uvicorn.Config(host=host, port=port, **settings)).run()


def _settings(app: Any, shown: ssl.SSLContext | None) -> dict[str, Any]:
    """How the framework serves it: patient with nobody, and gone soon after it is asked to go."""
    crowd = Crowd()
    return {
        "app": app,
        "http": partial(Doorstep, crowd, shown) if shown else partial(Patient, crowd),
        "h11_max_incomplete_event_size": MOST_HEAD,
        "ws_max_size": MOST_MESSAGE,
        "timeout_graceful_shutdown": CLOSES_IN_S,
        "proxy_headers": False,  # nobody stands between: who says so wants to be taken for another
        "server_header": False,
        "log_level": "warning",
    }


def _gate(bench: Bench, scheme: str, port: int, say: Callable[[str], None]) -> Gate:
    """The gate of a shop's network, with its codes shown on the terminal."""

    def show(offer: Offer) -> None:
        for line in _code_lines(offer, scheme, port):
            say(line)

    return Gate(Pairing(show, say), Sessions(bench.folder, bench.now), say)


def _where(scheme: str, port: int) -> str:
    """Where a phone in the shop's Wi-Fi reaches this machine, "" where it is in none."""
    return next((f"{scheme}://{address}:{port}" for address in network.lan_addresses()), "")


def _code_lines(offer: Offer, scheme: str, port: int) -> Iterator[str]:
    """A code as the terminal shows it: as a picture for a phone's camera, and in digits."""
    if where := _where(scheme, port):
        yield from network.qr_lines(f"{where}{offer.path}")
    yield f"Code for one device, ten minutes: {offer.code[:3]} {offer.code[3:]}"


def _ways_in(scheme: str, port: int) -> Iterator[str]:
    """Every address a phone may find this machine under."""
    addresses = network.lan_addresses()
    if not addresses:
        yield "This machine is in no network; join the shop's Wi-Fi, then start again to see its address."
        return
    ways = [f"{scheme}://{address}:{port}" for address in addresses]
    warning = "   (plain http: only on a network you trust)" if scheme == "http" else ""
    yield f"On the shop's Wi-Fi: {ways[0]}{warning}"
    if ways[1:]:
        yield f"or, if the phone is in another of this machine's networks: {', '.join(ways[1:])}"
