"""Which rows of the long tables nobody here has read in a published text, so that a shop can confirm them."""

from __future__ import annotations

import csv
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from inspect_app.tables.faults import Reader
from inspect_app.tables.sources import Source

ABOUT_THE_ROW = ("source", "status", "comment", "note")
"""Columns that say where a row comes from, not what it holds."""


@dataclass(frozen=True, slots=True)
class UnconfirmedRow:
    """A row of a table: its file, its figures by column head, its status and its source's key."""

    file: str
    figures: Mapping[str, str]
    status: str
    source: str


def unconfirmed_rows(reader: Reader, sources: Mapping[str, Source]) -> Iterator[UnconfirmedRow]:
    """Every row of every CSV file that is not `read`, by its own status or, without one, its source's.

    Args:
        reader: the checklists folder; a row whose source is not known is noted as a fault.
        sources: known sources.
    """
    for path in sorted(reader.folder.rglob("*.csv")):
        file = path.relative_to(reader.folder).as_posix()
        lines = [x for x in path.read_text(encoding="utf-8").splitlines() if x and not x.startswith("#")]
        for row in csv.DictReader(lines):
            source = sources.get(row.get("source") or "")
            if source is None:
                reader.fault(file, "source", f"found {row.get('source')!r}; no source has that key; add it.")
                continue
            status = row.get("status") or source.status
            if status != "read":
                figures = {k: v for k, v in row.items() if k and v and k not in ABOUT_THE_ROW}
                yield UnconfirmedRow(file, figures, status, source.key)
