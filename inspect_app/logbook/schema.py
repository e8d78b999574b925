"""The tables of the log and what guards them; each step turns a file of one schema into one of the next."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from inspect_app.logbook.chains import Row

if TYPE_CHECKING:
    from sqlite_utils import Database

COLUMNS = Row._fields
INSERT = f"INSERT INTO entries ({', '.join(COLUMNS)}) VALUES ({', '.join('?' * len(COLUMNS))})"

# A REPLACE deletes without asking the DELETE guard (unless recursive_triggers is on), hence the third.
GUARDS = {
    "entries_stay_as_written": """BEFORE UPDATE ON entries BEGIN
        SELECT RAISE(ABORT, 'An entry of the log is never changed; append a correction.'); END""",
    "entries_stay": """BEFORE DELETE ON entries BEGIN
        SELECT RAISE(ABORT, 'An entry of the log is never removed; append an undo.'); END""",
    "entries_come_once": """BEFORE INSERT ON entries
        WHEN EXISTS (SELECT 1 FROM entries WHERE id = NEW.id)
          OR EXISTS (SELECT 1 FROM entries WHERE seq = NEW.seq) BEGIN
        SELECT RAISE(ABORT, 'This entry is in the log already.'); END""",
}


def _first_tables(db: Database) -> None:
    # seq is the rowid under a name: a rowid without one may be renumbered by VACUUM
    entries = db.table("entries").create(
        {"seq": int, **dict.fromkeys(COLUMNS, str)}, pk="seq", not_null=COLUMNS
    )
    entries.create_index(["id"], unique=True)
    entries.create_index(["job", "device", "at"])
    for name, guard in GUARDS.items():
        db.execute(f"CREATE TRIGGER {name} {guard}")
    db.table("bookmark").create({"client": str, "route": str}, pk="client", not_null=["route"])
    db.table("device").create({"id": str}, pk="id")


def _a_mark_beside(db: Database) -> None:
    """From here on a mark stands beside the file; an older file has none, and nothing is wrong with that."""


def _found_and_kept_aside(db: Database) -> None:
    db.execute("CREATE INDEX idx_entries_device_at ON entries (device, at)")
    # nearly all entries are readings, and nobody looks for those by their kind
    db.execute("CREATE INDEX idx_entries_kind_job ON entries (kind, job) WHERE kind <> 'reading'")
    db.execute(
        "CREATE TABLE aside (job TEXT NOT NULL, device TEXT NOT NULL, row TEXT NOT NULL, reason TEXT NOT NULL)"
    )


STEPS: tuple[Callable[[Database], None], ...] = (_first_tables, _a_mark_beside, _found_and_kept_aside)
"""What turns a file of schema n into one of n + 1; a step that was released is never edited."""

MARKED_SINCE = 2
"""The schema since which a mark stands beside the file."""
