"""Links to documents that are signed and good for a while; a report leaves only through one. Knows no server."""

from __future__ import annotations

import hmac
import secrets
import time
from collections.abc import Callable

LINK_SECONDS = 600


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
