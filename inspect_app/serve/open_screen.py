"""One open screen between the browser and the app: closed when its session is ended, let go when it is gone."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from typing import Any

LOOK_EVERY_S = 0.5
"""How often an open screen is asked whether its session stands."""
LEAVES_IN_S = 2.0
"""So long the app has to leave a screen that is gone; by itself it waits for ever for one that never said who it is."""
NOT_ALLOWED = 1008
"""The code a screen is closed with: policy (RFC 6455, 7.4.1)."""


class OpenScreen:
    """A screen's connection.

    Args:
        receive: gives what the browser sends.
        send: takes what the browser is sent.
        stands: whether its session was not ended.
    """

    def __init__(self, receive: Any, send: Any, stands: Callable[[], bool]) -> None:
        self._receive = receive
        self._send = send
        self._stands = stands
        self._gone = asyncio.Event()
        self._coming: asyncio.Future[Any] | None = None

    async def serve(self, app: Any, scope: Any) -> None:
        """Have the app serve it to its end.

        Args:
            app: the app.
            scope: what was asked.
        """
        serving = asyncio.ensure_future(app(scope, self.receive, self.send))
        gone = asyncio.ensure_future(self._gone.wait())
        await asyncio.wait({serving, gone}, return_when=asyncio.FIRST_COMPLETED)
        await asyncio.wait({serving}, timeout=LEAVES_IN_S)
        gone.cancel()
        if serving.done():
            serving.result()
        serving.cancel()

    async def receive(self) -> Any:
        """What comes next, as long as the session stands; then it is closed."""
        self._coming = self._coming or asyncio.ensure_future(self._receive())
        while self._stands():
            done, _ = await asyncio.wait({self._coming}, timeout=LOOK_EVERY_S)
            if done and self._stands():
                message, self._coming = self._coming.result(), None
                if message["type"] == "websocket.disconnect":
                    self._gone.set()
                return message
        self._coming.cancel()
        if not self._gone.is_set():
            await self._send(
                {"type": "websocket.close", "code": NOT_ALLOWED, "reason": "This session was ended."}
            )
        self._gone.set()
        return {"type": "websocket.disconnect", "code": NOT_ALLOWED}

    async def send(self, message: Any) -> None:
        """Send on, as long as there is somebody who may see it."""
        if not self._gone.is_set() and self._stands():
            await self._send(message)
