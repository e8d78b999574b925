"""What every answer tells the browser: to be shown in no other page, to guess no kind, to fetch from nowhere else."""

from __future__ import annotations

from typing import Any

POLICY = (
    "default-src 'self'; script-src 'self' 'unsafe-inline' 'unsafe-eval'; style-src 'self' 'unsafe-inline'; "
    "img-src 'self' data: blob:; connect-src 'self' data: blob:; object-src 'none'; base-uri 'self'; "
    "form-action 'self'; frame-ancestors 'none'"
)
"""What the browser is told it may fetch: nothing from elsewhere. The stock client would ask another host for
an animation runtime that no screen uses; its own scripts need eval to compile what they draw with."""

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


def guarded(send: Any) -> Any:
    """Sends on, every answer with ALWAYS, every page with a policy and everything else at least in no frame.

    Args:
        send: where answers go.
    """

    async def sent(message: Any) -> None:
        if message["type"] == "http.response.start":
            headers = {k.lower(): v for k, v in message.get("headers", ())}
            several = [(k, v) for k, v in message.get("headers", ()) if k.lower() == b"set-cookie"]
            page = headers.get(b"content-type", b"").startswith(b"text/html")
            policy = POLICY if page else "frame-ancestors 'none'"
            kept = {k: v for k, v in headers.items() if k not in NEVER and k != b"set-cookie"}
            whole = {b"content-security-policy": policy.encode(), **kept, **ALWAYS}
            message = {**message, "headers": [*whole.items(), *several]}
        await send(message)

    return sent
