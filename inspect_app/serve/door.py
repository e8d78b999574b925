"""The door before the app: other hosts' names are turned away, and devices without a pass asked for the code.

Without a gate only this machine is served. With one every other device first enters the short-lived code
shown on the host, and guesses are slowed and then stopped. A customer's link is let through without it, to
the customers' pages alone.
"""

from __future__ import annotations

import asyncio
import hmac
import html
import secrets
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any
from urllib.parse import parse_qs

from starlette.requests import HTTPConnection, Request
from starlette.responses import HTMLResponse, RedirectResponse, Response

from inspect_app.serve.customer_links import PREFIX

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
    """Stands before the app: turns away other hosts' names, and devices without a pass.

    Args:
        app: what is behind it.
        gate: lets other devices in by code; None when only this machine is served.
        hosts: the names this machine goes by.
        customers: an app of its own for every path under the links' prefix: what it does not know is not there,
            and never looked for in the other.
    """

    def __init__(self, app: Any, gate: Gate | None, hosts: tuple[str, ...], customers: Any = None) -> None:
        self.app = app
        self.gate = gate
        self.hosts = hosts
        self.customers = customers

    async def __call__(self, scope: Any, receive: Any, send: Any) -> None:
        if scope["type"] not in ("http", "websocket"):
            await self.app(scope, receive, send)
            return
        asked = HTTPConnection(scope)
        if not self._named_right(asked):
            # a page of another site that resolves to this machine must not reach the logbook
            answer = _page(421, "This address is not one this program answers to.", form=False)
        elif self.customers and scope["type"] == "http" and scope["path"].startswith(PREFIX):
            await self.customers(scope, receive, send)
            return
        elif self._may_pass(asked):
            await self.app(scope, receive, _homebound(send))
            return
        elif scope["type"] == "websocket":
            answer = None
        elif asked.url.path == "/enter" and scope["method"] == "POST":
            answer = await self._enter(Request(scope, receive))
        else:
            assert self.gate is not None
            self.gate.offer()
            answer = _page(401, "Type the code that the host's screen shows.")
        if scope["type"] == "websocket" or answer is None:
            await send({"type": "websocket.close", "code": 1008})
        else:
            await answer(scope, receive, send)

    def _named_right(self, asked: HTTPConnection) -> bool:
        host = asked.headers.get("host", "").lower()
        origin = asked.headers.get("origin", "").lower()
        # with a gate also the address this connection came in at, whichever network that is: it is a number,
        # which no other site's name can stand for; the framework's own list of hosts is fixed at the start
        reached = (str((asked.scope.get("server") or ("",))[0]),) if self.gate else ()
        named = _name_of(host) in (*self.hosts, *reached)
        return named and (not origin or origin.partition("://")[2] == host)

    def _may_pass(self, asked: HTTPConnection) -> bool:
        if self.gate is None or (asked.client and asked.client.host in LOOPBACK):
            return True
        return self.gate.admits(asked.cookies.get(COOKIE, ""))

    async def _enter(self, asked: Request) -> Response:
        assert self.gate is not None
        body = b""
        async for part in asked.stream():
            body = (body + part)[:200]  # a code is short, whoever sends more
        typed = parse_qs(body.decode("latin-1")).get("code", [""])[0]
        await asyncio.sleep(self.gate.delay_seconds())
        token = self.gate.enter(typed)
        if token:
            answer = RedirectResponse("/", 303)
            answer.set_cookie(COOKIE, token, max_age=PASS_SECONDS, httponly=True, samesite="strict")
            return answer
        if self.gate.closed:
            return _page(429, "Too many wrong codes. A new one comes after ten minutes.")
        return _page(401, "That code is wrong or has run out. Type the one the host shows now.")


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


def _page(status: int, sentence: str, form: bool = True) -> Response:
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
    )
    return HTMLResponse(body, status, {"cache-control": "no-store"})
