"""How far a log reached when it last called something saved, in a file beside it; reads no log.

A file of SQLite that lost its last commits is a sound file of an earlier day: its chains are unbroken, and end
too early. So the number of entries, the last one's link, and a digest over the links of all of them in their order
stand outside it. The mark is written after each commit, over itself in two places in turn, so that one of them is
whole whenever the power fails. A log that was found to reach less far is told there for good.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable
from contextlib import suppress
from dataclasses import asdict, dataclass
from pathlib import Path

from inspect_app.logbook.durable import write_at_end, write_file, write_over

PLACE_BYTES = 512
"""What a disk writes whole or not at all."""
TOLD_FROM = 2 * PLACE_BYTES

NO_MARK = (
    "The mark beside the logbook is missing or damaged: whether the last entries were cut off cannot be told. "
    "Restore a backup, or hold the reports against it."
)


@dataclass(frozen=True, slots=True)
class Reach:
    """How far a log reaches: the number of its last entry, that entry's link, the digest over all links so far."""

    entries: int = 0
    last: str = ""
    digest: str = ""

    def on(self, links: Iterable[tuple[int, str]]) -> Reach:
        """How far it reaches with what came since.

        Args:
            links: number and link of each entry after this, in their order.
        """
        reaching = Reaching(self.entries, self.last, self.digest)
        reaching.go_on(links)
        return reaching.reach()


class Reaching:
    """How far a log reaches, on the way: two million entries are not two million values."""

    def __init__(self, entries: int = 0, last: str = "", digest: str = "") -> None:
        self._entries, self._last, self._digest = entries, last, digest

    def go_on(self, links: Iterable[tuple[int, str]]) -> None:
        """Some entries more: number and link of each."""
        number, link, digest, sha256 = self._entries, self._last, self._digest, hashlib.sha256
        for number, link in links:
            digest = sha256(f"{digest}{number} {link}".encode()).hexdigest()
        self._entries, self._last, self._digest = number, link, digest

    def reach(self) -> Reach:
        """How far it reaches now."""
        return Reach(self._entries, self._last, self._digest)


def fell_short(marked: Reach, reached: Reach) -> str:
    """What to tell of a log that is not the one its mark speaks of.

    Args:
        marked: how far it reached when it last called something saved.
        reached: how far it was found to reach.
    """
    if reached.entries < marked.entries:
        return (
            f"The logbook ends at entry {reached.entries}, and entry {marked.entries} was called saved: "
            "what is between them is lost. Restore a backup, or bring it from other devices."
        )
    return (
        f"The first {marked.entries} entries of the logbook are not those that were called saved: some were changed "
        "with all that follows them, removed, or put elsewhere. Restore a backup."
    )


class Mark:
    """The mark of one log.

    Args:
        file: where it stands.
    """

    def __init__(self, file: Path) -> None:
        self.file = file
        self._place = 0

    def read(self) -> Reach | None:
        """How far the log reached, None if nothing here tells.

        Raises:
            OSError: the disk refused.
        """
        places = self._content()[:TOLD_FROM]
        found = {n: _reach(places[n * PLACE_BYTES :][:PLACE_BYTES]) for n in (0, 1)}
        known = {n: reach for n, reach in found.items() if reach is not None}
        if not known:
            return None
        best = max(known, key=lambda n: known[n].entries)
        self._place = 1 - best
        return known[best]

    def told(self) -> list[str]:
        """What was told of the log in the past, a sentence each.

        Raises:
            OSError: the disk refused.
        """
        lines = self._content()[TOLD_FROM:].decode(errors="replace").splitlines()
        return [line for line in lines if line.strip()]

    def begin(self, reach: Reach, *sentences: str) -> None:
        """Make the mark anew.

        Args:
            reach: how far the log reaches now.
            sentences: what is to be told for good.
        Raises:
            OSError: the disk refused.
        """
        told = "".join(f"{sentence}\n" for sentence in sentences)
        write_file(self.file, _line(reach) + bytes(PLACE_BYTES) + told.encode())
        self._place = 1

    def write(self, reach: Reach) -> None:
        """Write how far the log reaches now; on the disk when this returns.

        Args:
            reach: never less than before.
        Raises:
            OSError: the disk refused; what stood there holds.
        """
        write_over(self.file, self._place * PLACE_BYTES, _line(reach))
        self._place = 1 - self._place

    def tell(self, sentence: str) -> None:
        """Tell something of the log for good; raises as `write`."""
        write_at_end(self.file, f"{sentence}\n".encode())

    def _content(self) -> bytes:
        with suppress(FileNotFoundError):
            return self.file.read_bytes()
        return b""


def _line(reach: Reach) -> bytes:
    text = json.dumps(asdict(reach))
    line = f"{text} {hashlib.sha256(text.encode()).hexdigest()[:16]}"
    return line.encode().ljust(PLACE_BYTES - 1) + b"\n"


def _reach(line: bytes) -> Reach | None:
    """What stands in one place, None if it was torn, damaged or never written."""
    text, _, digest = line.decode(errors="replace").strip().rpartition(" ")
    if hashlib.sha256(text.encode()).hexdigest()[:16] != digest:
        return None
    said = json.loads(text)
    return Reach(said["entries"], said["last"], said["digest"])
