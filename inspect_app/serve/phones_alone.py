"""What a phone alone reaches of the shop: it is paired, hands a job in, and has it back with what the shop entered.

Its page is another site's. So a browser asks first, and is told yes only for an address that the host allowed; nothing
here looks at a cookie, since a page of any site could have one sent along. Whoever has no session gets a sentence.
"""

from __future__ import annotations

import asyncio
import json
from collections.abc import Awaitable, Callable, Iterable
from functools import partial
from tempfile import TemporaryFile
from typing import IO, Any
from urllib.parse import urlsplit

from starlette.requests import HTTPConnection, Request
from starlette.responses import JSONResponse, PlainTextResponse, Response

from inspect_app.bench.bench import Bench
from inspect_app.bench.exchange import Carried, pack_job, read_job, take_in_job
from inspect_app.bench.people import holder_named, of_phone
from inspect_app.bench.sessions import Paired
from inspect_app.logbook.store import NotSaved, not_saved
from inspect_app.serve import pairing
from inspect_app.serve.door import Gate
from inspect_app.serve.door_page import device_words
from inspect_app.serve.headers import Guarded
from inspect_app.trade.measuring.refusal import Refusal

PREFIX = "/phone-alone/"
MOST_BYTES = 300_000_000
"""The largest file of a job: a phone's browser has it in memory, and several times."""
MOST_TYPED = 1_000
"""Bytes of what is sent to be paired."""
ASKED_AGAIN_S = 600
"""So long a browser remembers that it may ask."""
SAID = "x-inspect-said"
"""The head in which stands what the shop says of a job it took in: sentences, as JSON."""
MOST_SAID = 20
"""So many of them: browsers take no longer head."""
NOT_PAIRED = (
    "This phone is not paired with the shop, or not any more. Pair it again: the host's screen shows a code."
)
FOR_NOBODY = (
    "The shop knows its people. Pair this phone for one of them: its host has a code for each person."
)
NO_ADDRESS = "{!r} is no address of an app; write one such as https://tools.example."
TOO_LARGE = f"The job is larger than {MOST_BYTES // 1_000_000} MB. Take it to the shop as a file."


def allowed(typed: Iterable[str], shown: bool) -> frozenset[str]:
    """The addresses as browsers name them: without a path.

    Args:
        typed: where phones alone have their app from.
        shown: whether other devices come in, and by https.
    Raises:
        Refusal: one is no address, or nothing could come in from there.

    >>> sorted(allowed(["https://tools.example/inspect/"], True))
    ['https://tools.example']
    """
    found = set()
    for address in typed:
        try:
            asked = urlsplit(address)
            port = f":{asked.port}" if asked.port not in (None, 443) else ""
        except ValueError as e:
            raise Refusal(NO_ADDRESS.format(address)) from e
        if asked.scheme != "https" or not asked.hostname or "@" in asked.netloc:
            raise Refusal(NO_ADDRESS.format(address))
        found.add(f"https://{asked.hostname}{port}")
    if found and not shown:
        raise Refusal(
            "--phones-from needs --lan and --certificate: a browser lets no page that came by https ask by http."
        )
    return frozenset(found)


class PhonesAlone:
    """An app of its own for every path under the prefix.

    Args:
        bench: the open data folder.
        gate: the codes and the sessions.
        addresses: where the host allows the phone's app to come from, such as https://tools.example.
        told: told the job in which something came.
        beside: reads a job's file while others are served.
    """

    def __init__(
        self,
        bench: Bench,
        gate: Gate,
        addresses: frozenset[str],
        told: Callable[[str], None],
        beside: Callable[[Callable[[], Carried]], Awaitable[Carried]],
    ) -> None:
        self._bench = bench
        self._gate = gate
        self._addresses = addresses
        self._told = told
        self._beside = beside

    def answers(self, asked: HTTPConnection) -> bool:
        """Whether a request is for here, and from a page the host allowed.

        Args:
            asked: the request.
        """
        ours = asked.scope["type"] == "http" and asked.scope["path"].startswith(PREFIX)
        return ours and asked.headers.get("origin", "") in self._addresses

    async def __call__(self, scope: Any, receive: Any, send: Any) -> None:
        """Answer one."""
        asked = Request(scope, receive)
        if asked.method == "OPTIONS":
            answer: Response = Response(status_code=204)
        elif asked.method == "POST":
            answer = await self._posted(asked, scope["path"].removeprefix(PREFIX))
        else:
            answer = _says(404, "There is nothing here.")
        await answer(scope, receive, Guarded(_Allowing(asked, send)))

    async def _posted(self, asked: Request, what: str) -> Response:
        if what == "pair":
            return await self._pair(asked)
        known = self._gate.sessions.opened_by(asked.headers.get("authorization", "").removeprefix("Bearer "))
        if known is None:
            return _says(401, NOT_PAIRED)
        if self._bench.shop.people() and not holder_named(self._bench, known.person).role:
            return _says(401, FOR_NOBODY)
        if what == "here":
            return Response(status_code=204)
        if what == "job":
            return await self._job(asked, known)
        return _says(404, "There is nothing here.")

    async def _pair(self, asked: Request) -> Response:
        codes, address = self._gate.pairing, asked.client.host if asked.client else ""
        code = await _code(asked)
        if refused := codes.refuses(address):
            return _says(429, refused)
        offer, delay = codes.try_digits(address, code)
        await asyncio.sleep(delay)
        if offer is None:
            codes.offer()
            return _says(401, pairing.WRONG)
        device = f"{device_words(asked.headers.get('user-agent', ''))}, the app alone"
        try:
            token = self._gate.sessions.begin(offer.person, device, address)
        except NotSaved as trouble:
            return _says(503, str(trouble))
        self._gate.say(f"Paired: {device} at {address}.")
        return JSONResponse({"token": token})

    async def _job(self, asked: Request, known: Paired) -> Response:
        own = of_phone(self._bench, known.id, lambda: holder_named(self._bench, known.person))
        try:
            with TemporaryFile() as arrived:
                if not await _received(asked, arrived):
                    return _says(413, TOO_LARGE)
                carried = await self._beside(partial(read_job, arrived, "The job"))
            said = take_in_job(own, carried)
        except Refusal as refusal:
            return _says(422, refusal.words("metric"))
        except (NotSaved, OSError) as trouble:
            refused = trouble if isinstance(trouble, NotSaved) else not_saved("The job was", trouble)
            return _says(503, str(refused))
        self._told(carried.job)
        back = pack_job(self._bench, carried.job, leaving=carried.files)
        return Response(back, 200, {SAID: json.dumps(said[:MOST_SAID])}, "application/zip")


class _Allowing:
    """Sends on, every answer with what lets the page of that address read it.

    Args:
        asked: the request.
        send: where answers go.
    """

    def __init__(self, asked: Request, send: Any) -> None:
        self._send = send
        self._head = {
            "access-control-allow-origin": asked.headers["origin"],
            "access-control-expose-headers": SAID,
            "vary": "origin",
        }
        if asked.method == "OPTIONS":
            self._head |= {
                "access-control-allow-methods": "POST",
                "access-control-allow-headers": "authorization, content-type",
                "access-control-max-age": str(ASKED_AGAIN_S),
                # some browsers ask beforehand whether a page of the web may reach into a shop's own network
                "access-control-allow-private-network": "true",
            }

    async def __call__(self, message: Any) -> None:
        """Take one message of an answer."""
        if message["type"] == "http.response.start":
            more = [(name.encode(), value.encode()) for name, value in self._head.items()]
            message = {**message, "headers": [*message["headers"], *more]}
        await self._send(message)


async def _code(asked: Request) -> str:
    """The code that was typed, "" where it is none."""
    body = b""
    async for part in asked.stream():
        body += part
        if len(body) > MOST_TYPED:
            return ""
    try:
        return str(json.loads(body)["code"])
    except (ValueError, KeyError, TypeError, RecursionError):
        return ""


async def _received(asked: Request, file: IO[bytes]) -> bool:
    """Whether all of it came, and was no more than a job may be."""
    many = 0
    async for part in asked.stream():
        many += len(part)
        if many > MOST_BYTES:
            return False
        file.write(part)
    file.seek(0)
    return True


def _says(status: int, words: str) -> Response:
    return PlainTextResponse(words, status, {"cache-control": "no-store"})
