"""The devices that were paired with this folder: a file each, of which only a hash could open anything.

Beside the log, as they are no facts of any cylinder, and in no backup: who restores one pairs the phones anew. A file
each, so that a second program ends a session by removing one, and nobody writes over what another wrote.
"""

from __future__ import annotations

import hashlib
import hmac
import json
import re
import secrets
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

from inspect_app.logbook.durable import make_folder, mark_time, remove_file, write_file
from inspect_app.logbook.store import not_saved

FOLDER = "access"
"""The folder inside the data folder they lie in."""

UNUSED = timedelta(days=30)
"""A device that did not come for so long pairs anew."""

NOTED_EVERY = timedelta(minutes=10)
"""How often it is noted that a device is in use."""


@dataclass(frozen=True, slots=True)
class Paired:
    """One device's session: its id, who holds it ("" while nobody said), what it is, since when, seen last."""

    id: str
    person: str
    device: str
    address: str
    since: datetime
    seen: datetime
    hashed: str


class Sessions:
    """The sessions of one data folder.

    Args:
        folder: the data folder.
        now: the clock.
    """

    def __init__(self, folder: Path, now: Callable[[], datetime]) -> None:
        self._folder = folder / FOLDER
        self._now = now

    def begin(self, person: str, device: str, address: str) -> str:
        """Begin a session, and give the token that opens it; the folder keeps a hash of it.

        Args:
            person: id of whose it is, "" where that is said later.
            device: what it is, in words.
            address: where it came from.
        Raises:
            NotSaved: the disk refused.
        """
        name, secret, now = secrets.token_hex(8), secrets.token_urlsafe(32), self._now()
        for file in self._files():
            if self.named(file.stem) is None:
                self.end(file.stem)
        self._write(Paired(name, person, device, address, now, now, _hashed(secret)))
        return f"{name}.{secret}"

    def hold(self, name: str, person: str) -> None:
        """Another person holds the device from now on.

        Args:
            name: the session's id.
            person: the person's id.
        Raises:
            NotSaved: the disk refused.
        """
        if known := self.named(name):
            self._write(
                Paired(name, person, known.device, known.address, known.since, self._now(), known.hashed)
            )

    def opened_by(self, token: str) -> Paired | None:
        """The session that a token opens, noted as in use; None where there is none.

        Args:
            token: as the device sent it.
        """
        name, _, secret = token.partition(".")
        known = self.named(name)
        if known is None or not hmac.compare_digest(_hashed(secret), known.hashed):
            return None
        if self._now() - known.seen > NOTED_EVERY:
            mark_time(self._file(name), self._now())
        return known

    def named(self, name: str) -> Paired | None:
        """The session of this id, None where there is none any more.

        Args:
            name: the id.
        """
        if not re.fullmatch(r"[0-9a-f]{16}", name):
            return None
        file = self._file(name)
        try:
            kept = json.loads(file.read_text(encoding="utf-8"))
            since = datetime.fromisoformat(kept["since"])
            person, device, address = (str(kept[key]) for key in ("person", "device", "address"))
            seen = datetime.fromtimestamp(file.stat().st_mtime, UTC)
            known = Paired(name, person, device, address, since, seen, str(kept["hashed"]))
        except (OSError, ValueError, KeyError, TypeError):
            return None  # ended, or torn by a power cut: the device pairs anew
        return known if self._now() - seen <= UNUSED else None

    def stands(self, name: str) -> bool:
        """Whether a session was not ended.

        Args:
            name: the id.
        """
        return self._file(name).is_file()

    def every(self) -> list[Paired]:
        """Every session, the one seen last first."""
        found = [known for file in self._files() if (known := self.named(file.stem))]
        return sorted(found, key=lambda known: known.seen, reverse=True)

    def end(self, name: str) -> bool:
        """End a session; whether there was one.

        Args:
            name: the id.
        Raises:
            NotSaved: the disk refused; it stands still.
        """
        if not re.fullmatch(r"[0-9a-f]{16}", name) or not self.stands(name):
            return False
        try:
            remove_file(self._file(name))
        except OSError as error:
            raise not_saved("The end of the session was", error) from error
        return True

    def _files(self) -> list[Path]:
        return list(self._folder.glob("*.json"))

    def _file(self, name: str) -> Path:
        return self._folder / f"{name}.json"

    def _write(self, known: Paired) -> None:
        kept = {
            "person": known.person,
            "device": known.device,
            "address": known.address,
            "since": known.since.isoformat(),
            "hashed": known.hashed,
        }
        file = self._file(known.id)
        try:
            make_folder(self._folder)
            write_file(file, json.dumps(kept).encode())
            mark_time(file, known.seen)
        except OSError as error:
            raise not_saved("The session was", error) from error


def _hashed(secret: str) -> str:
    """A token has 256 bits of chance, so that a plain hash of it is not to be guessed."""
    return hashlib.sha256(secret.encode()).hexdigest()
