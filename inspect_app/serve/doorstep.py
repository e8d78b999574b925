"""One connection before anything of it is believed: it has so long to say what it wants, and so many others beside it.

With a certificate the first byte tells TLS from plain http, which is answered with where to go instead.
"""

from __future__ import annotations

import asyncio
import ssl
from typing import Any

from uvicorn.protocols.http.h11_impl import H11Protocol

from inspect_app.serve.crowd import Crowd

HEAD_S = 10.0
"""In this time a request's head must be here, however slowly it comes; the TLS handshake too."""
STALLED_S = 60.0
"""Without a byte for so long, a body on its way is given up."""
MOST_HEAD = 32_000
"""Bytes of a request's head."""
HANDSHAKE = 0x16
"""The first byte of TLS (RFC 8446, 5.1)."""


class Patient(H11Protocol):
    """The framework's protocol, with a limit on its patience.

    Args:
        crowd: the others.
        given: what the framework gives.
    """

    def __init__(self, crowd: Crowd, **given: Any) -> None:
        super().__init__(**given)
        self._crowd = crowd
        self._timer: asyncio.TimerHandle | None = None
        self._in_head = False

    @property
    def waits(self) -> bool:
        """Whether it has not sent all that it wants answered."""
        cycle = self.cycle
        return cycle is None or cycle.response_complete or cycle.more_body

    def cut(self) -> None:
        """End it at once."""
        self.transport.abort()

    def connection_made(self, transport: Any) -> None:
        super().connection_made(transport)
        if self._crowd.join(self._address(), self):
            self._be_patient()
        else:
            self.cut()

    def data_received(self, data: bytes) -> None:
        super().data_received(data)
        self._be_patient()

    def on_response_complete(self) -> None:
        super().on_response_complete()
        self._be_patient()

    def connection_lost(self, exc: Exception | None) -> None:
        self._leave()
        super().connection_lost(exc)

    def handle_websocket_upgrade(self, event: Any) -> None:
        self._leave()
        super().handle_websocket_upgrade(event)

    def _leave(self) -> None:
        self._crowd.leave(self._address(), self)
        self._no_timer()

    def _address(self) -> str:
        return self.client[0] if self.client else ""

    def _be_patient(self) -> None:
        """For a head there is one time in all, so that a byte now and then does not stretch it."""
        if self.transport.is_closing() or self.transport.get_protocol() is not self:
            return self._no_timer()
        in_head = self.cycle is None or self.cycle.response_complete
        if in_head and self._in_head and self._timer:
            return None
        self._no_timer()
        self._in_head = in_head
        if self.waits:
            self._timer = self.loop.call_later(HEAD_S if in_head else STALLED_S, self.cut)
        return None

    def _no_timer(self) -> None:
        if self._timer:
            self._timer.cancel()
        self._timer = None


class Doorstep(asyncio.Protocol):
    """A connection where a certificate is shown: TLS goes in, plain http is told where to go.

    Args:
        crowd: the others.
        shown: the certificate.
        given: what the framework gives.
    """

    def __init__(self, crowd: Crowd, shown: ssl.SSLContext, **given: Any) -> None:
        self._crowd = crowd
        self._shown = shown
        self._given = given
        self._loop = asyncio.get_running_loop()
        self._early: list[bytes] = []
        self._going_in: asyncio.Task[None] | None = None
        self.waits = True

    def connection_made(self, transport: Any) -> None:
        self._transport = transport
        self._address = (transport.get_extra_info("peername") or ("",))[0]
        self._timer = self._loop.call_later(HEAD_S, self.cut)
        if not self._crowd.join(self._address, self):
            self.cut()

    def cut(self) -> None:
        """End it at once."""
        self._transport.abort()

    def connection_lost(self, exc: Exception | None) -> None:
        self._timer.cancel()
        self._crowd.leave(self._address, self)

    def data_received(self, data: bytes) -> None:
        self._early.append(data)  # after the handshake, until the framework has it
        if self._going_in is None and data[0] == HANDSHAKE:
            self._going_in = self._loop.create_task(self._go_in())
        elif self._going_in is None:
            self._transport.write(_elsewhere(data, self._transport.get_extra_info("sockname")))
            self._transport.close()

    async def _go_in(self) -> None:
        first, self._early = b"".join(self._early), []
        self._transport.pause_reading()
        shaking = self._loop.create_task(
            self._loop.start_tls(
                self._transport, self, self._shown, server_side=True, ssl_handshake_timeout=HEAD_S
            )
        )
        await asyncio.sleep(
            0
        )  # it takes the transport over, and is told so before what was read is handed on
        self._loop.call_soon(_feed, self._transport, first)
        try:
            inside = await shaking
        except (OSError, ssl.SSLError):
            inside = None
        self._timer.cancel()
        self._crowd.leave(self._address, self)
        if inside is None:  # it spoke no TLS after all, or hung up
            self._transport.abort()
            return
        patient = Patient(self._crowd, **self._given)
        inside.set_protocol(patient)
        patient.connection_made(inside)
        if self._early and not inside.is_closing():
            patient.data_received(b"".join(self._early))


def _feed(transport: Any, read: bytes) -> None:
    """Hand what was read already to whoever reads now."""
    protocol = transport.get_protocol()
    while read and hasattr(protocol, "get_buffer"):  # else it hung up in between
        room = protocol.get_buffer(len(read))
        taken = min(len(room), len(read))
        room[:taken] = read[:taken]
        protocol.buffer_updated(taken)
        read = read[taken:]


def _elsewhere(asked: bytes, here: tuple[str, int]) -> bytes:
    """The answer to plain http: the same place by https, in a sentence for whoever follows nothing."""
    head = asked.decode("latin-1").split("\r\n")
    named = [line.partition(":")[2].strip() for line in head[1:] if line.lower().startswith("host:")]
    allowed = set("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789.-:[]")
    host = named[0] if named and named[0] and set(named[0]) <= allowed else f"{here[0]}:{here[1]}"
    words = f"This is served by https alone. Open https://{host}/\n"
    lines = [
        "HTTP/1.1 307 Temporary Redirect",
        f"location: https://{host}/",
        "content-type: text/plain; charset=utf-8",
        f"content-length: {len(words)}",
        "connection: close",
    ]
    return ("\r\n".join(lines) + "\r\n\r\n" + words).encode()
