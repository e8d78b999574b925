"""What a row of the file is read as; a damaged one hides no other."""

from __future__ import annotations

import json
from collections.abc import Sequence

from inspect_app.entries.entry import Entry
from inspect_app.entries.typed import MOST_NAME, cut_short
from inspect_app.logbook.chains import Row, is_time

ENTRY = "SELECT id, job, device, at, by, kind, body FROM entries"
"""What `entry_of` takes."""
_beginning = json.JSONDecoder().raw_decode


def of_kinds(kinds: Sequence[str]) -> str:
    """The end of a condition that finds entries of these kinds by the index that leaves the readings out.

    Args:
        kinds: the kinds, none of them a reading; none for all.
    """
    return f" AND kind <> 'reading' AND kind IN ({', '.join('?' * len(kinds))})" if kinds else ""


def row_of(*values: object) -> Row:
    """The row as text: what somebody wrote into the file by hand may be something else."""
    return Row(*map(str, values))


def entry_of(entry_id: str, job: str, device: str, at: str, by: str, kind: str, body: str) -> Entry:
    """The entry of a row; a damaged body or time makes it a kind of its own, so that the rest can be read.

    Texts longer than anybody types here, which came from elsewhere, are cut: they stand whole in the row alone.
    """
    content, timed = _content(body), is_time(at)
    if not isinstance(content, dict) or not timed:
        kind, content = "unreadable", {"kind": kind, "text": body, "at": at}
    if len(body) > MOST_NAME:
        content = cut_short(kind, content)
    return Entry(entry_id, job, device, at if timed else "", by[:MOST_NAME], kind, content)


def _content(body: str) -> object:
    try:
        content, end = _beginning(body)
        if end == len(body):
            return content  # as this program writes it; `loads` looks for blanks on both sides first
    except (ValueError, TypeError, RecursionError):
        pass
    try:
        return json.loads(body)
    except (ValueError, TypeError, RecursionError):
        return None


def damaged_text(raw: bytes) -> str:
    """What still can be read of a text with a flipped bit."""
    return raw.decode(errors="backslashreplace")  # and no longer JSON, so that no value is misread
