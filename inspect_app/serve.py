"""Serves the screens: to this machine alone, or with --lan to the shop's phones behind a code.

Three rules hold here. Without --lan nothing beyond this machine is listened to. With it every other
device first enters the short-lived code shown on the host, and guesses are slowed and then stopped. A
report leaves only through a link that is signed and short-lived.
"""

from __future__ import annotations

import asyncio
import hmac
import html
import secrets
import shutil
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import Any
from urllib.parse import parse_qs

from inspect_app import network
from inspect_app.bench import Bench
from inspect_app.issuing import report_file

LINK_SECONDS = 600
CODE_SECONDS = 600
PASS_SECONDS = 12 * 3600
MOST_GUESSES = 10
COOKIE = "inspect_app_pass"
LOOPBACK = ("127.0.0.1", "::1", "localhost")

POLICY = (
    "default-src 'self'; script-src 'self' 'unsafe-inline' 'unsafe-eval'; style-src 'self' 'unsafe-inline'; "
    "img-src 'self' data: blob:; connect-src 'self' data: blob:"
)
"""What the browser is told it may fetch: nothing from elsewhere. The stock client would ask another host for
an animation runtime that no screen uses; its own scripts need eval to compile what they draw with."""


class Signer:
    """Signs links to reports with a secret of this process."""

    def __init__(self, now: Callable[[], float] = time.time) -> None:
        self._secret = secrets.token_bytes(32)
        self._now = now

    def link(self, sha256: str) -> str:
        """A path that opens one report for a while."""
        until = int(self._now()) + LINK_SECONDS
        return f"/report/{sha256}.pdf?until={until}&by={self._signature(sha256, until)}"

    def allows(self, sha256: str, until: int, signature: str) -> bool:
        """Whether a link is ours and still good."""
        genuine = hmac.compare_digest(signature.encode(), self._signature(sha256, until).encode())
        return genuine and self._now() <= until

    def _signature(self, sha256: str, until: int) -> str:
        return hmac.new(self._secret, f"{sha256} {until}".encode(), "sha256").hexdigest()


@dataclass
class Gate:
    """The code that lets other devices in, and who is in.

    `show` tells the person at the host; it gets a new code whenever the old one has run out.
    """

    show: Callable[[str], None]
    now: Callable[[], float] = time.monotonic
    _code: str = ""
    _until: float = 0.0
    _wrong: int = 0
    _passes: dict[str, float] = field(default_factory=dict)

    def offer(self) -> None:
        """Make sure a valid code is shown on the host."""
        if self.now() >= self._until:
            self._code = f"{secrets.randbelow(1_000_000):06d}"
            self._until = self.now() + CODE_SECONDS
            self._wrong = 0
            self.show(self._code)

    @property
    def closed(self) -> bool:
        """Whether guessing has gone on too long for this code."""
        return self._wrong >= MOST_GUESSES

    def delay_seconds(self) -> float:
        """How long the next answer is held back: doubled with every wrong guess."""
        return min(8.0, 0.25 * 2**self._wrong) if self._wrong else 0.0

    def enter(self, typed: str) -> str | None:
        """A pass for a right code, None for a wrong one, an expired one, or too many guesses."""
        digits = "".join(c for c in typed if c in "0123456789")
        right = not self.closed and self.now() < self._until and hmac.compare_digest(digits, self._code)
        if not right:
            self._wrong += 1
            return None
        token = secrets.token_urlsafe(24)
        self._passes[token] = self.now() + PASS_SECONDS
        return token

    def admits(self, token: str) -> bool:
        """Whether a pass is good."""
        return self._passes.get(token, 0.0) > self.now()


class Door:
    """Stands before the app: turns away other hosts' names, and devices without a pass."""

    def __init__(self, app: Any, gate: Gate | None, hosts: tuple[str, ...]) -> None:
        self.app = app
        self.gate = gate
        self.hosts = hosts

    async def __call__(self, scope: Any, receive: Any, send: Any) -> None:
        if scope["type"] not in ("http", "websocket"):
            await self.app(scope, receive, send)
            return
        headers = {k.decode("latin-1").lower(): v.decode("latin-1") for k, v in scope["headers"]}
        if not self._named_right(scope, headers):
            # a page of another site that resolves to this machine must not reach the logbook
            await self._refuse(scope, send, 421, "This address is not one this program answers to.")
        elif self._may_pass(scope, headers):
            await self.app(scope, receive, _homebound(send))
        elif scope["type"] == "http" and scope["path"] == "/enter" and scope["method"] == "POST":
            await self._enter(receive, send)
        elif scope["type"] == "http":
            assert self.gate is not None
            self.gate.offer()
            await _page(send, 401, "Type the code that the host's screen shows.")
        else:
            await self._refuse(scope, send, 401, "No pass.")

    def _named_right(self, scope: Any, headers: dict[str, str]) -> bool:
        host = headers.get("host", "").lower()
        origin = headers.get("origin", "").lower()
        # with a gate also the address this connection came in at, whichever network that is: it is a number,
        # which no other site's name can stand for
        reached = (str((scope.get("server") or ("",))[0]),) if self.gate else ()
        named = _name_of(host) in (*self.hosts, *reached)
        return named and (not origin or origin.partition("://")[2] == host)

    def _may_pass(self, scope: Any, headers: dict[str, str]) -> bool:
        if self.gate is None or (scope.get("client") or ("",))[0] in LOOPBACK:
            return True
        cookies = (c.strip().partition("=") for c in headers.get("cookie", "").split(";"))
        return any(name == COOKIE and self.gate.admits(token) for name, _, token in cookies)

    async def _enter(self, receive: Any, send: Any) -> None:
        assert self.gate is not None
        message = await receive()
        typed = parse_qs(message.get("body", b"")[:200].decode("latin-1")).get("code", [""])[0]
        await asyncio.sleep(self.gate.delay_seconds())
        token = self.gate.enter(typed)
        if token:
            cookie = f"{COOKIE}={token}; Path=/; HttpOnly; SameSite=Strict; Max-Age={PASS_SECONDS}"
            headers = [(b"location", b"/"), (b"set-cookie", cookie.encode())]
            await send({"type": "http.response.start", "status": 303, "headers": headers})
            await send({"type": "http.response.body", "body": b""})
        elif self.gate.closed:
            await _page(send, 429, "Too many wrong codes. A new one comes after ten minutes.")
        else:
            await _page(send, 401, "That code is wrong or has run out. Type the one the host shows now.")

    async def _refuse(self, scope: Any, send: Any, status: int, sentence: str) -> None:
        if scope["type"] == "websocket":
            await send({"type": "websocket.close", "code": 1008})
        else:
            await _page(send, status, sentence, form=False)


def _homebound(send: Any) -> Any:
    """Sends on, every page with POLICY."""

    async def sent(message: Any) -> None:
        headers = message.get("headers", ())
        if any(k.lower() == b"content-type" and v.startswith(b"text/html") for k, v in headers):
            message = {**message, "headers": [*headers, (b"content-security-policy", POLICY.encode())]}
        await send(message)

    return sent


def _name_of(host: str) -> str:
    name = host.rsplit(":", 1)[0] if not host.endswith("]") else host
    return name.strip("[]")


async def _page(send: Any, status: int, sentence: str, form: bool = True) -> None:
    entry = (
        '<form method="post" action="/enter"><input name="code" inputmode="numeric" autocomplete="off" '
        'autofocus maxlength="7" aria-label="Code"><button>Enter</button></form>'
        if form
        else ""
    )
    body = (
        '<!doctype html><meta name="viewport" content="width=device-width"><title>Cylinder inspection</title>'
        "<style>body{font:20px sans-serif;background:#F7F4EC;color:#1B1F23;margin:2em}"
        "input,button{font:32px sans-serif;height:64px;margin:12px 12px 0 0;padding:0 16px;max-width:9em}"
        "button{background:#123A86;color:#fff;border:0}</style>"
        f"<p>{html.escape(sentence)}</p>{entry}"
    ).encode()
    headers = [(b"content-type", b"text/html; charset=utf-8"), (b"cache-control", b"no-store")]
    await send({"type": "http.response.start", "status": status, "headers": headers})
    await send({"type": "http.response.body", "body": body})


def web_app(bench: Bench, gate: Gate | None = None) -> Any:
    """The whole web app: reports behind signed links, the screens, and the door before both.

    Args:
        bench: the open data folder.
        gate: lets other devices in by code; None when only this machine is served.
    """
    import flet as ft
    import flet_web.fastapi as flet_fastapi
    from fastapi import Response

    from inspect_app.screens.app import session
    from inspect_app.screens.uploads import LARGEST, UPLOADS

    signer = Signer()
    app = flet_fastapi.FastAPI()
    uploads = bench.folder / UPLOADS
    shutil.rmtree(uploads, ignore_errors=True)  # what a killed program left there was never recorded
    uploads.mkdir(parents=True)

    @app.get("/report/{sha256}.pdf")
    def report(sha256: str, until: int = 0, by: str = "") -> Response:
        file = report_file(bench, sha256) if signer.allows(sha256, until, by) else None
        if file is None:
            return Response("This link has run out. Open the report from the job again.", 403)
        headers = {
            "content-disposition": f'inline; filename="inspection-{sha256[:8]}.pdf"',
            "cache-control": "no-store",
        }
        return Response(file.read_bytes(), media_type="application/pdf", headers=headers)

    app.mount(
        "/",
        flet_fastapi.app(
            session(bench, signer.link),
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
    return Door(app, gate, LOOPBACK)


def serve(bench: Bench, *, lan: bool, port: int, open_browser: bool, say: Callable[[str], None]) -> None:
    """Serve until stopped.

    Args:
        bench: the open data folder.
        lan: whether phones on the shop's network may come in.
        port: the port wanted; another is taken if it is not free.
        open_browser: whether to open this machine's browser.
        say: tells the person at the host.
    Raises:
        Refusal: another program serves this folder; says where.
    """
    import threading

    import uvicorn

    host = "0.0.0.0" if lan else "127.0.0.1"
    port = network.free_port(port, host)
    here = f"http://127.0.0.1:{port}"
    with network.serving(bench.folder, here):
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
        uvicorn.run(web_app(bench, gate), host=host, port=port, log_level="warning")


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
