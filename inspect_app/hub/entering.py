"""Entries and files on their way into a hub, a step at a time, each whole or not at all; knows no data folder."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from inspect_app.hub.connecting import only
from inspect_app.logbook.chains import Row

if TYPE_CHECKING:
    from psycopg import Connection

STEP = 20_000
"""Entries in one transaction: so many are sent again when the connection breaks."""

INCOMING = (
    "CREATE TEMP TABLE IF NOT EXISTS incoming (LIKE hub.entry INCLUDING DEFAULTS) ON COMMIT DELETE ROWS"
)
COPY = f"COPY pg_temp.incoming (pos, {', '.join(Row._fields)}) FROM STDIN"
MARKED = """INSERT INTO hub.mark VALUES (%s, %s, %s, %s)
    ON CONFLICT (source, device) DO UPDATE SET number = excluded.number, link = excluded.link"""


@dataclass(frozen=True, slots=True)
class Mark:
    """How far a source was read into a hub: its log or hub, the device, the number of the last entry and its link."""

    source: str
    device: str
    number: int
    link: str


def marked(hub: Connection, source: str) -> dict[str, Mark]:
    """How far a source was read, by device.

    Args:
        hub: who read it.
        source: a log's device, or another hub's epoch.
    """
    rows = hub.execute("SELECT source, device, number, link FROM hub.mark WHERE source = %s", (source,))
    return {mark.device: mark for mark in (Mark(*row) for row in rows)}


def take_in(hub: Connection, rows: Sequence[Row], mark: Mark) -> tuple[int, int]:
    """Add entries and say how far their source is read now, both or neither; what is known is left.

    Args:
        hub: where they go.
        rows: those of one chain in its order; their devices are known to the hub.
        mark: of the last of them.
    Returns: how many were new, and how many of these were set aside because they fork.
    """
    with hub.transaction():
        hub.execute(INCOMING)
        with hub.cursor().copy(COPY) as copy:
            for nth, row in enumerate(rows):
                copy.write_row((nth, *row))
        found = hub.execute("SELECT taken, beside FROM hub.take_in()").fetchone()
        hub.execute(MARKED, (mark.source, mark.device, mark.number, mark.link))
    return found or (0, 0)


class Files:
    """The files of one site, under the names they have in a data folder: photographs, reports, kept tables.

    They stand in the database, so that one backup has all. A store of their own would take this one's place.

    Args:
        hub: the hub.
        site: the site.
    """

    def __init__(self, hub: Connection, site: str) -> None:
        self._hub = hub
        self._site = site

    def known(self, names: Iterable[str]) -> set[str]:
        """Those of several names that are here."""
        sql = "SELECT name FROM hub.file WHERE site = %s AND name = ANY (%s)"
        return {name for (name,) in self._hub.execute(sql, (self._site, list(names)))}

    def put(self, name: str, content: bytes) -> bool:
        """Keep a file; one that is here stays. False where the hub refuses it: it is not what its name stands for."""
        from psycopg.errors import CheckViolation

        try:
            with self._hub.transaction():
                sql = "INSERT INTO hub.file VALUES (%s, %s, %s) ON CONFLICT DO NOTHING"
                self._hub.execute(sql, (self._site, name, content))
                self._hub.execute("DELETE FROM hub.lacking WHERE site = %s AND name = %s", (self._site, name))
        except CheckViolation:
            return False
        return True

    def get(self, name: str) -> bytes | None:
        """What is in a file, None if it is not here."""
        found = only(
            self._hub, "SELECT content FROM hub.file WHERE site = %s AND name = %s", (self._site, name)
        )
        return found if isinstance(found, bytes) else None

    def lacking(self) -> list[str]:
        """The files that entries name and nobody has brought yet."""
        sql = "SELECT name FROM hub.lacking WHERE site = %s ORDER BY name"
        return [name for (name,) in self._hub.execute(sql, (self._site,))]

    def lacks(self, names: Iterable[str]) -> None:
        """Remember that files are named and not here."""
        sql = "INSERT INTO hub.lacking SELECT %s, unnest(%s::text[]) ON CONFLICT DO NOTHING"
        self._hub.execute(sql, (self._site, list(names)))
