"""Documents behind links that are signed and good for a while; one leaves only through its link. Knows no server."""

from __future__ import annotations

import hashlib
import hmac
import secrets
import time
from collections.abc import Callable
from dataclasses import dataclass

LINK_SECONDS = 600


@dataclass(frozen=True, slots=True)
class Lent:
    """A document that a link was given out for: its name and bytes, and how long the newest link is good."""

    name: str
    made: bytes
    until: int


class Links:
    """Signs links with a secret of this process, and holds each document as long as one of its links is good."""

    def __init__(self, now: Callable[[], float] = time.time) -> None:
        self._secret = secrets.token_bytes(32)
        self._now = now
        self._lent: dict[str, Lent] = {}

    def lend(self, name: str, made: bytes) -> str:
        """A path that opens a document for a while.

        Args:
            name: its file name.
            made: what is in it.
        """
        now, sha256 = int(self._now()), hashlib.sha256(made).hexdigest()
        self._lent = {key: lent for key, lent in self._lent.items() if lent.until >= now}
        until = now + LINK_SECONDS
        self._lent[sha256] = Lent(name, made, until)
        return f"/document/{sha256}.pdf?until={until}&by={self._signature(sha256, until)}"

    def fetch(self, sha256: str, until: int, signature: str) -> Lent | None:
        """What a link opens, None if it is not ours or has run out."""
        genuine = hmac.compare_digest(signature.encode(), self._signature(sha256, until).encode())
        return self._lent.get(sha256) if genuine and self._now() <= until else None

    def _signature(self, sha256: str, until: int) -> str:
        return hmac.new(self._secret, f"{sha256} {until}".encode(), "sha256").hexdigest()
