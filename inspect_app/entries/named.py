"""What a job is found by in a list: name, customer, machine, serial; out of the few entries that say so."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from inspect_app.entries.entry import Entry
from inspect_app.entries.folding import fold

NAMING = ("job", "nameplate", "step", "undo")
"""The kinds of entries that can change it."""


class Named(NamedTuple):
    """What a job is found by: texts as they were typed, `serial` as serials are compared, `said` as it is searched.

    `let_go` is when the cylinder was let go, "" while the job is under way.
    """

    name: str
    customer: str
    machine: str
    serial: str
    said: str
    let_go: str


def named(job_id: str, entries: Iterable[Entry]) -> Named:
    """What a job is found by, the same as all its entries would say.

    Args:
        job_id: the job.
        entries: those of its entries that are of a kind in `NAMING`.
    """
    job = fold(job_id, entries)
    fields = (job.as_found.text(field) for field in ("customer", "machine", "serial"))
    texts = name, customer, machine, serial = [str(text) for text in (job.name, *fields)]
    let_go = job.steps.let_go.at if job.steps.let_go else ""
    return Named(name, customer, machine, serial_key(serial), " ".join(texts).casefold(), let_go)


def serial_key(typed: str) -> str:
    """A serial or tag as it is compared: blanks and the size of letters make no other cylinder.

    Args:
        typed: as it was typed.

    >>> serial_key(" ab-12  C"), serial_key("")
    ('ab-12c', '')
    """
    return "".join(typed.split()).casefold()
