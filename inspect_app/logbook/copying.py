"""Copies of a log made while others write into it: for a backup, and before a newer version changes its tables."""

from __future__ import annotations

import sqlite3
import tempfile
from contextlib import closing
from pathlib import Path
from shutil import copyfileobj

from inspect_app.logbook.durable import write_by
from inspect_app.logbook.mark import Reach
from inspect_app.logbook.trouble import trouble


def copied(conn: sqlite3.Connection, to: Path) -> Reach:
    """Copy a log as it stands now, whole.

    Args:
        conn: open to it.
        to: the file to make, which nobody has open.
    Returns: how far the copy reaches.
    Raises:
        NotSaved: the log cannot be read, or the disk refused.
    """
    try:
        with closing(sqlite3.connect(to)) as copy:
            conn.backup(copy)
            return Reach().on(copy.execute("SELECT seq, hash FROM entries ORDER BY seq"))
    except (sqlite3.Error, OSError) as e:
        raise trouble("The logbook could not be copied", to, e) from e


def keep_before_steps(conn: sqlite3.Connection, path: Path, schema: int) -> None:
    """Keep a log beside itself as an older version of this program left it, before its tables are changed.

    Args:
        conn: open to it.
        path: where it stands.
        schema: the form it has.
    Raises:
        NotSaved: as `copied`; nothing was changed.
    """
    kept = path.with_name(f"{path.stem}-schema-{schema}.db")
    with tempfile.TemporaryDirectory() as outside:
        copy = Path(outside) / kept.name
        copied(conn, copy)
        try:
            with copy.open("rb") as f:
                write_by(kept, lambda to: copyfileobj(f, to))
        except OSError as e:
            raise trouble("The logbook could not be copied before it is brought up to date", kept, e) from e
