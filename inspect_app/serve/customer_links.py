"""Links that open one scope on a customer's own phone: signed, so that nobody can make one up. Knows no server."""

from __future__ import annotations

import hmac
from collections.abc import Callable

PREFIX = "/scope/"
"""Under this the door lets anybody through to the customers' pages, and to nothing else."""

NAMED = 16
"""So many digits of a version's hash stand in a link; its signature is over all of them."""

SIGNED = 32
"""Digits of a signature, 128 bits: short enough for a QR code, and not to be guessed."""


class CustomerLinks:
    """Signs links, and knows its own.

    Args:
        key: gives the data folder's key; asked when the first link is made or looked at.
    """

    def __init__(self, key: Callable[[], bytes]) -> None:
        self._key = key

    def path(self, job_id: str, sha256: str) -> str:
        """The path of the page that shows one version of a job's scope.

        Args:
            job_id: the job.
            sha256: the version's hash.
        """
        return f"{PREFIX}{job_id}/{sha256[:NAMED]}/{self._signature(job_id, sha256)}"

    def genuine(self, job_id: str, sha256: str, signature: str) -> bool:
        """Whether a link to this version was given out here.

        Args:
            job_id: the job, as the link names it.
            sha256: the hash of the version the link's digits stand for.
            signature: as the link has it.
        """
        return hmac.compare_digest(signature.encode(), self._signature(job_id, sha256).encode())

    def _signature(self, job_id: str, sha256: str) -> str:
        signed = hmac.new(self._key(), f"scope {job_id} {sha256}".encode(), "sha256")
        return signed.hexdigest()[:SIGNED]
