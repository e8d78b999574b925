"""The door before the app: other hosts' names are turned away, and devices without a session asked for a code.

Without a gate only this machine is served. With one every other device is paired first, by a short-lived code or the
QR code shown on the host, and then holds a session until that is ended. A customer's link is let through without,
to the customers' pages alone.
"""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from contextvars import ContextVar
from dataclasses import dataclass
from typing import Any
from urllib.parse import parse_qs

from starlette.requests import HTTPConnection, Request
from starlette.responses import PlainTextResponse, RedirectResponse, Response

from inspect_app.bench.sessions import Paired, Sessions
from inspect_app.logbook.store import NotSaved
from inspect_app.serve import pairing
from inspect_app.serve.customer_links import PREFIX
from inspect_app.serve.door_page import device_words, page
from inspect_app.serve.headers import Guarded
from inspect_app.serve.open_screen import NOT_ALLOWED, OpenScreen
from inspect_app.serve.pairing import Offer, Pairing

COOKIE = "inspect_app_session"
COOKIE_SECONDS = 180 * 24 * 3600
"""The host ends a session long before, when it is not used; the browser only keeps what opens it."""
LOOPBACK = ("127.0.0.1", "::1", "localhost")
NOT_HERE = ("/docs", "/redoc", "/openapi.json", "/oauth_callback")
"""What the framework brings and nobody here needs: a description of itself, and the way to other sites' accounts."""
MOST_TYPED = 1_000
"""Bytes of the form with the code."""

THIS_MACHINE, NOBODY = "", "nobody"
SESSION: ContextVar[str] = ContextVar("session", default=NOBODY)
"""The id of the session whose request is being answered, or THIS_MACHINE. Who is neither may do nothing."""


@dataclass(frozen=True, slots=True)
class Gate:
    """How other devices come in: the codes, the sessions of those that did, and who is told at the host."""

    pairing: Pairing
    sessions: Sessions
    say: Callable[[str], None] = lambda _: None


class Door:
    """Stands before the app: turns away other hosts' names, and devices without a session.

    Args:
        app: what is behind it.
        gate: lets other devices in by code; None when only this machine is served.
        hosts: the names this machine goes by.
        customers: an app of its own for every path under the links' prefix: what it does not know is not there,
            and never looked for in the other.
        alone: answers the phones that run the app alone, and says itself which requests are theirs.
    """

    def __init__(
        self,
        app: Any,
        gate: Gate | None,
        hosts: tuple[str, ...],
        customers: Any = None,
        alone: Any = None,
    ) -> None:
        self.app = app
        self.gate = gate
        self.hosts = hosts
        self.customers = customers
        self.alone = alone

    async def __call__(self, scope: Any, receive: Any, send: Any) -> None:
        if scope["type"] not in ("http", "websocket"):
            await self.app(scope, receive, send)
            return
        asked = HTTPConnection(scope)
        if self.alone and self.alone.answers(asked) and self._called_right(asked):
            await self.alone(scope, receive, send)
            return
        send = Guarded(send)
        by_http = scope["type"] == "http"
        if not self._named_right(asked):
            # a page of another site that resolves to this machine must not reach the logbook
            answer = page(421, "This address is not one this program answers to.", form=False)
        elif self.customers and by_http and scope["path"].startswith(PREFIX):
            await self.customers(scope, receive, send)
            return
        elif scope["path"].startswith(NOT_HERE):
            answer = PlainTextResponse("There is nothing here.", 404)
        elif self.gate and by_http and (way := self._way_in(scope)):
            answer = await way(Request(scope, receive))
        elif self._is_here(asked):
            await self._pass(THIS_MACHINE, scope, receive, send)
            return
        elif known := self._session(asked):
            await self._pass(known.id, scope, receive, send)
            return
        elif by_http:
            answer = self._ask(page(401, "Type the code that the host's screen shows."))
        if by_http:
            await answer(scope, receive, send)
        else:
            await send({"type": "websocket.close", "code": NOT_ALLOWED})

    async def _pass(self, session: str, scope: Any, receive: Any, send: Any) -> None:
        """Let a request through to the app, which may ask whose it is."""
        SESSION.set(session)
        if scope["type"] == "http":
            await self.app(scope, receive, send)
            return
        sessions = self.gate.sessions if self.gate else None
        here = session == THIS_MACHINE or sessions is None
        screen = OpenScreen(
            receive, send, lambda: here or (sessions is not None and sessions.stands(session))
        )
        await screen.serve(self.app, scope)

    def _named_right(self, asked: HTTPConnection) -> bool:
        host, origin = (asked.headers.get(name, "").lower() for name in ("host", "origin"))
        return self._called_right(asked) and (not origin or origin.partition("://")[2] == host)

    def _called_right(self, asked: HTTPConnection) -> bool:
        # with a gate also the address this connection came in at, whichever network that is: it is a number,
        # which no other site's name can stand for; the framework's own list of hosts is fixed at the start
        reached = (str((asked.scope.get("server") or ("",))[0]),) if self.gate else ()
        return _name_of(asked.headers.get("host", "").lower()) in (*self.hosts, *reached)

    def _is_here(self, asked: HTTPConnection) -> bool:
        return self.gate is None or bool(asked.client and asked.client.host in LOOPBACK)

    def _session(self, asked: HTTPConnection) -> Paired | None:
        assert self.gate is not None
        return self.gate.sessions.opened_by(asked.cookies.get(COOKIE, ""))

    # -- pairing -----------------------------------------------------------------------------------

    def _way_in(self, scope: Any) -> Callable[[Request], Any] | None:
        """What answers a device that pairs, whether or not it was paired before; None for any other request."""
        if scope["path"] == "/enter" and scope["method"] == "POST":
            return self._enter
        if scope["path"].startswith(pairing.PREFIX) and scope["method"] in ("GET", "HEAD"):
            return self._linked
        return None

    def _ask(self, answer: Response) -> Response:
        assert self.gate is not None
        self.gate.pairing.offer()
        return answer

    async def _linked(self, asked: Request) -> Response:
        """Nothing is used up by looking: a messenger looks at a link before a person does."""
        assert self.gate is not None
        token = asked.url.path.removeprefix(pairing.PREFIX)
        if self.gate.pairing.linked(token):
            return page(200, "The host lets this device in.", token=token)
        return self._ask(page(401, "This QR code was used, or has run out. Scan the one the host shows now."))

    async def _enter(self, asked: Request) -> Response:
        assert self.gate is not None
        form = await _typed(asked)
        if form is None:
            return page(413, "A code has six digits.")
        codes, address = self.gate.pairing, asked.client.host if asked.client else ""
        if form.get("token"):
            offer = codes.use_link(form["token"])
            return self._let_in(asked, offer) if offer else await self._linked(asked)
        if refused := codes.refuses(address):
            return page(429, refused)
        offer, delay = codes.try_digits(address, form.get("code", ""))
        await asyncio.sleep(delay)
        return self._let_in(asked, offer) if offer else self._ask(page(401, pairing.WRONG))

    def _let_in(self, asked: Request, offer: Offer) -> Response:
        assert self.gate is not None
        sessions, address = self.gate.sessions, asked.client.host if asked.client else ""
        device = device_words(asked.headers.get("user-agent", ""))
        try:
            before = self._session(asked)
            token = sessions.begin(offer.person, device, address)
            if before:
                sessions.end(before.id)  # the same device, for somebody else
        except NotSaved as trouble:
            return page(503, str(trouble), form=False)
        self.gate.say(f"Paired: {device} at {address}.")
        answer = RedirectResponse("/", 303)
        safe = asked.url.scheme == "https"
        answer.set_cookie(COOKIE, token, COOKIE_SECONDS, httponly=True, samesite="strict", secure=safe)
        return answer


async def _typed(asked: Request) -> dict[str, str] | None:
    """What was filled in; None when it is more than anybody fills in."""
    body = b""
    async for part in asked.stream():
        body += part
        if len(body) > MOST_TYPED:
            return None
    try:
        return {name: texts[0] for name, texts in parse_qs(body.decode("latin-1"), max_num_fields=10).items()}
    except ValueError:
        return {}


def _name_of(host: str) -> str:
    name = host.rsplit(":", 1)[0] if not host.endswith("]") else host
    return name.strip("[]")
