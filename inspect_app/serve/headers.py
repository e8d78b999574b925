"""What every answer tells the browser: to be shown in no other page, to guess no kind, to fetch from nowhere else."""

from __future__ import annotations

import base64
import hashlib
import re
from typing import Any

POLICY = (
    "default-src 'self'; script-src 'self' 'wasm-unsafe-eval'{scripts}; style-src 'self' 'unsafe-inline'; "
    "img-src 'self' data: blob:; media-src 'self' data:; connect-src 'self' data: blob:; object-src 'none'; "
    "base-uri 'self'; form-action 'self'; frame-ancestors 'none'"
)
"""What the browser is told it may fetch and run: nothing from elsewhere. The stock client would ask another host for
an animation runtime that no screen uses. What it draws with it compiles, and it writes its styles into the page; of
the scripts in a page those that we sent run, by their hashes."""

PLAIN_POLICY = (
    "default-src 'none'; style-src 'unsafe-inline'; form-action 'self'; base-uri 'none'; "
    "frame-ancestors 'none'"
)
"""The same for a page of ours without any script."""

ALWAYS = {
    b"x-content-type-options": b"nosniff",
    b"x-frame-options": b"DENY",  # for a browser that does not know frame-ancestors
    b"referrer-policy": b"same-origin",  # with none at all a form comes from "null", which the door turns away
    b"permissions-policy": b"camera=(self), geolocation=(), microphone=(), payment=(), usb=()",
}
NEVER = {b"server", b"access-control-allow-origin"}
"""What the framework adds, and would tell other pages more than they need."""
SCRIPT = re.compile(rb"<script>(.*?)</script>", re.DOTALL)


class Guarded:
    """Sends on, every answer with ALWAYS and a policy; a page once it is whole, since its policy names its scripts.

    Args:
        send: where answers go.
    """

    def __init__(self, send: Any) -> None:
        self._send = send
        self._head: Any = None
        self._page = b""

    async def __call__(self, message: Any) -> None:
        """Take one message of an answer."""
        if message["type"] == "http.response.start":
            if _is_page(message):
                self._head = message
                return
            message = _with(message, b"frame-ancestors 'none'")
        elif self._head is not None and message["type"] == "http.response.body":
            self._page += message.get("body", b"")
            if message.get("more_body"):
                return
            head, self._head = self._head, None
            await self._send(_with(head, _policy(self._page)))
            message = {"type": "http.response.body", "body": self._page}
        await self._send(message)


def _is_page(head: Any) -> bool:
    kinds = [v for k, v in head.get("headers", ()) if k.lower() == b"content-type"]
    return any(kind.startswith(b"text/html") for kind in kinds)


def _policy(page: bytes) -> bytes:
    hashed = (base64.b64encode(hashlib.sha256(script).digest()).decode() for script in SCRIPT.findall(page))
    return POLICY.format(scripts="".join(f" 'sha256-{digest}'" for digest in hashed)).encode()


def _with(head: Any, policy: bytes) -> Any:
    said = [(k.lower(), v) for k, v in head.get("headers", ())]
    several = [(k, v) for k, v in said if k == b"set-cookie"]
    kept = {k: v for k, v in said if k not in NEVER and k != b"set-cookie"}
    # "not changed" must not change what the browser has kept of it
    first = {} if head["status"] == 304 else {b"content-security-policy": policy}
    return {**head, "headers": [*{**first, **kept, **ALWAYS}.items(), *several]}
