"""How many connections one address may hold open, and which gives way. Knows no protocol.

A connection waits while it has not sent all that it wants answered. When an address holds as many as it may, the one
of it that waits longest gives way to the new one: so half-open connections keep nobody out, themselves included.
"""

from __future__ import annotations

from typing import Protocol

MOST_OF_ONE = 48
"""A browser opens six at a time; this is several tabs of several people behind one address."""
MOST_OF_ALL = 160
"""With the log and the open screens below 256, the files that a program may have open on some systems."""


class Connection(Protocol):
    """One connection as the crowd sees it."""

    @property
    def waits(self) -> bool:
        """Whether it has not sent all that it wants answered."""

    def cut(self) -> None:
        """End it at once."""


class Crowd:
    """The connections that are open now.

    Args:
        most_of_one: so many of one address.
        most_of_all: so many of all.
    """

    def __init__(self, most_of_one: int = MOST_OF_ONE, most_of_all: int = MOST_OF_ALL) -> None:
        self._most_of_one = most_of_one
        self._most_of_all = most_of_all
        self._of: dict[str, dict[Connection, None]] = {}

    def __len__(self) -> int:
        return sum(len(those) for those in self._of.values())

    def join(self, address: str, new: Connection) -> bool:
        """A connection came: whether it may stay; another one may have been cut for it.

        Args:
            address: where it came from.
            new: the connection.
        """
        those = self._of.get(address, {})
        if len(those) >= self._most_of_one and not self._make_room(address):
            return False
        if len(self) >= self._most_of_all and not self._make_room(
            max(self._of, key=lambda a: len(self._of[a]))
        ):
            return False
        self._of.setdefault(address, {})[new] = None
        return True

    def _make_room(self, address: str) -> bool:
        oldest = next((c for c in self._of[address] if c.waits), None)
        if oldest is None:
            return False
        self.leave(address, oldest)
        oldest.cut()
        return True

    def leave(self, address: str, gone: Connection) -> None:
        """A connection is no longer one of a browser that asks: it ended, or is an open screen now.

        Args:
            address: where it came from.
            gone: the connection.
        """
        those = self._of.get(address, {})
        those.pop(gone, None)
        if not those:
            self._of.pop(address, None)
