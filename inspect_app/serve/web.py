"""The screens as a web app, served to this machine alone, or with --lan to the shop's phones behind a code.

Three rules hold here. Without --lan nothing beyond this machine is listened to. A document leaves only through
a link that is signed and short-lived. A customer's link opens one scope, and no path beside it leads further in.
"""

from __future__ import annotations

import asyncio
import secrets
import shutil
import threading
from collections.abc import Callable, Iterator
from functools import cache
from typing import Any

import flet as ft
import flet_web.fastapi as flet_fastapi
import uvicorn
from fastapi import Response

from inspect_app.bench.bench import Bench
from inspect_app.bench.customers_phone import KEY_BYTES, links_key
from inspect_app.screens.app import session
from inspect_app.screens.floor import Floor
from inspect_app.screens.host import LARGEST
from inspect_app.serve import network
from inspect_app.serve.catching_up import CatchingUp
from inspect_app.serve.client import first_page
from inspect_app.serve.customer import CustomerPages
from inspect_app.serve.customer_links import CustomerLinks
from inspect_app.serve.door import LOOPBACK, Door, Gate
from inspect_app.serve.links import Links
from inspect_app.serve.served import Served

UPLOADS = "uploads"
"""The folder inside the data folder where a photograph lies until it is taken in."""


def web_app(bench: Bench, gate: Gate | None = None, catching_up: CatchingUp | None = None) -> Any:
    """The whole web app: documents behind signed links, the screens, customers' pages, and the door before them.

    Args:
        bench: the open data folder.
        gate: lets other devices in by code; None when only this machine is served.
        catching_up: keeps the folder level with a hub.
    """
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
            session(
                bench, lambda page: Served(page, links, uploads, customers if gate else None, told), floor
            ),
            assets_dir=app.state.first_page.name,
            no_cdn=True,
            web_renderer=ft.WebRenderer.CANVAS_KIT,
            upload_dir=str(uploads.resolve()),
            max_upload_size=LARGEST,
            secret_key=secrets.token_hex(32),
            session_timeout_seconds=24 * 3600,
            app_name="Cylinder inspection",
            app_short_name="Cylinders",
            app_description="Measured teardown inspection of hydraulic cylinders",
        ),
    )
    pages = CustomerPages(bench, customers, floor.told, floor.beside)
    door = Door(app, gate, LOOPBACK, pages.app)

    async def level(scope: Any, receive: Any, send: Any) -> None:
        if catching_up and scope["type"] == "lifespan":
            catching_up.start(asyncio.get_running_loop(), floor.told)
        await door(scope, receive, send)

    return level


def serve(
    bench: Bench, *, lan: bool, port: int, open_browser: bool, say: Callable[[str], None], hub: str = ""
) -> None:
    """Serve until stopped.

    Args:
        bench: the open data folder.
        lan: whether phones on the shop's network may come in.
        port: the port wanted; another is taken if it is not free.
        open_browser: whether to open this machine's browser.
        say: tells the person at the host.
        hub: what the folder is kept level with; "" for none.
    """
    host = "0.0.0.0" if lan else "127.0.0.1"
    port = network.free_port(port, host)
    here = f"http://127.0.0.1:{port}"
    if bench.held:
        bench.held.say(here)
    gate = Gate(show=lambda code: say(_code_words(code))) if lan else None
    say(f"On this machine: {here}   (stop with Ctrl-C)")
    if gate:
        for line in _ways_in(port):
            say(line)
        gate.offer()
    browser = network.browser() if open_browser else None
    if browser:
        threading.Timer(1.0, browser.open, (here,)).start()
    elif open_browser:
        say("No browser could be opened here; open one at the address above.")
    catching_up = CatchingUp(bench, hub) if hub else None
    uvicorn.run(web_app(bench, gate, catching_up), host=host, port=port, log_level="warning")


def _code_words(code: str) -> str:
    return f"Code for other devices, ten minutes: {code[:3]} {code[3:]}"


def _ways_in(port: int) -> Iterator[str]:
    """Every address a phone may find this machine under, the likeliest with its QR code."""
    addresses = network.lan_addresses()
    if not addresses:
        yield "This machine is in no network; join the shop's Wi-Fi, then start again to see its address."
        return
    ways = [f"http://{address}:{port}" for address in addresses]
    yield f"On the shop's Wi-Fi: {ways[0]}   (plain http: only on a network you trust)"
    if ways[1:]:
        yield f"or, if the phone is in another of this machine's networks: {', '.join(ways[1:])}"
    yield from network.qr_lines(ways[0])
