"""Issuing: a report was given out, which one, and how far the log reached."""

from __future__ import annotations

from collections.abc import Mapping

from inspect_app.entries.entry import Body, Entry
from inspect_app.entries.job import Issued


def issued(sha256: str, entries: int, head: str, ends: Mapping[str, str], page: str = "") -> Body:
    """A report that is given out now.

    Args:
        sha256: the hash of its PDF.
        entries: how many entries of the job it covers.
        head: the digest over the ends of their chains.
        ends: the end of every device's chain.
        page: the size of its pages, "" where that is not known.
    """
    said = {"sha256": sha256, "entries": entries, "head": head, "ends": dict(ends)}
    return {**said, "page": page} if page else said


def report(reports: tuple[Issued, ...], entry: Entry, body: Body) -> tuple[Issued, ...]:
    """A report joins those issued before."""
    ends = {str(device): str(link) for device, link in dict(body.get("ends", {})).items()}
    made = Issued(
        int(body["entries"]),
        body["head"],
        body["sha256"],
        entry.at,
        entry.by,
        ends,
        str(body.get("page", "")),
    )
    return (*reports, made)
