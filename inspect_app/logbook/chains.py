"""The rules of a log's chains: where they end, what breaks one, how one of another device goes on. Touches no file.

The entries one device made in one job are a chain: each holds the link of the one before it, and its own link
is a hash over that and over all it says. So a chain is known by its last link alone: whoever has an entry with
that link, and an unbroken way back from it, has every entry before it as it was written. How the chains of
several devices came to stand between each other says nothing.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any, NamedTuple

from inspect_app.entries.entry import Entry, chained
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.wording import counted

AT_SHAPE = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}Z", re.ASCII)
NOT_IN_A_LINE = re.compile(r"[\x00-\x1f]")


class Row(NamedTuple):
    """An entry as it stands in the file: its body as text, the link before it and its own."""

    id: str
    job: str
    device: str
    at: str
    by: str
    kind: str
    body: str
    previous: str
    hash: str


@dataclass(frozen=True, slots=True)
class Head:
    """How far a job's log reaches: the last link of each device's chain, and how many entries lead up to them."""

    ends: Mapping[str, str]
    entries: int

    @property
    def hash(self) -> str:
        """The fingerprint: one digest over the ends, whichever came first; "" of an empty log."""
        lines = "".join(sorted(f"{device}\x1f{link}\n" for device, link in self.ends.items()))
        return hashlib.sha256(lines.encode()).hexdigest() if lines else ""

    @classmethod
    def named_in(cls, body: Mapping[str, Any]) -> Head | None:
        """What a document's entry names, None if it names nothing that can be looked up.

        Args:
            body: the entry's body.
        """
        ends, entries = body.get("ends"), body.get("entries")
        if not isinstance(ends, Mapping) or not isinstance(entries, int):
            return None
        return cls({str(device): str(link) for device, link in ends.items()}, entries)


@dataclass(frozen=True, slots=True)
class Break:
    """One thing wrong in the log: the job and entry it shows at ("" for the whole file), and a sentence."""

    job: str
    entry: str
    sentence: str


def improper(row: Row) -> str | None:
    """Why a row cannot be one of a log, as a sentence, or None if it can.

    Args:
        row: the row; its links are not looked at.
    """
    if not (row.id and row.job and row.device and row.kind):
        return "an entry needs an id, a job, a device and a kind."
    if not is_time(row.at):
        return f"an entry's time is UTC with milliseconds like 2026-03-02T08:00:00.000Z, not {row.at!r}."
    # the link is made over the fields with 0x1F between them: one inside a field would let two entries share it
    if NOT_IN_A_LINE.search("".join(row[:6])):
        return "an entry's id, job, device, initials and kind are one line of text each."
    return None


def is_time(at: str) -> bool:
    """Whether a text is a time of a log; the year 9999 is none: no local time can be told of its last day.

    Args:
        at: the text.
    """
    try:
        return bool(AT_SHAPE.fullmatch(at) and at < "9999" and datetime.fromisoformat(at))
    except ValueError:
        return False


def link_of(row: Row) -> str:
    """The link a row must have, from what it says and the link before it."""
    return chained(row.previous, Entry(*row[:6], {}), row.body)


def chain_breaks(rows: Sequence[Row]) -> Iterator[Break]:
    """Each row that was changed, or does not go on from the one before it in its chain.

    Args:
        rows: in the order in which they came into this log; only within a chain does it mean anything.
    """
    links = {"", *(row.hash for row in rows)}
    ends: dict[tuple[str, str], str] = {}
    for row in rows:
        wrongs = []
        if link_of(row) != row.hash:
            wrongs.append("was changed after it was written")
        if row.previous != ends.get((row.job, row.device), ""):
            wrongs.append("stands out of order" if row.previous in links else "has lost the entry before it")
        for wrong in wrongs:
            yield Break(row.job, row.id, f"{_named(row)} {wrong}.")
        ends[row.job, row.device] = row.hash


def unproven(head: Head, rows: Iterable[Row]) -> Iterator[str]:
    """What keeps a head that a document names from being proven, as ends of a sentence; nothing if it is.

    Args:
        head: the ends it names.
        rows: the job's rows, those of one chain in their order.
    """
    unbroken: dict[str, list[str]] = {}
    broken = set()
    for row in rows:
        chain = unbroken.setdefault(row.device, [""])
        if row.previous == chain[-1] and link_of(row) == row.hash:
            chain.append(row.hash)
        else:
            broken.add(row.device)
    proven = {d: unbroken[d].index(end) for d, end in head.ends.items() if end in unbroken.get(d, [])}
    for device in sorted(head.ends.keys() - proven.keys()):
        if device in broken:
            yield f"covers entries of device {device} that were changed or lost since; restore a backup"
        else:
            yield (
                f"covers entries of device {device} that are not here; bring them from that device "
                "or restore a backup"
            )
    if len(proven) == len(head.ends) and sum(proven.values()) != head.entries:
        covers = counted(head.entries, "entry", "entries")
        lead = counted(sum(proven.values()), "leads", "lead")
        yield f"says it covers {covers}, but {lead} up to where it ends"


def beyond(head: Head, rows: Iterable[Row]) -> Iterator[Row]:
    """The rows of a job that a head does not cover.

    Args:
        head: the ends that are covered.
        rows: the job's rows, those of one chain in their order.
    """
    passed: set[str] = set()
    for row in rows:
        if row.device in passed or row.device not in head.ends:
            yield row
        elif row.hash == head.ends[row.device]:
            passed.add(row.device)


def continuation(standing: Sequence[tuple[str, str, str]], came: Iterable[Row]) -> list[Row]:
    """Of the rows of one chain that came from elsewhere those that are new, in the chain's order.

    Args:
        standing: id, link and time of each row of the chain that stands here, in its order.
        came: rows of the same chain in any order, also ones that stand here.
    Raises:
        Refusal: they do not go on from where the chain ends here, unbroken and unforked.
    """
    known = {entry_id: link for entry_id, link, _ in standing}
    after: dict[str, Row] = {}
    for row in came:
        _refuse_changed(row, known)
        if row.id not in known and after.setdefault(row.previous, row) != row:
            raise Refusal(_not_taken(row, FORKED))
    _, end, at = standing[-1] if standing else ("", "", "")
    new = []
    while end in after:
        row = after.pop(end)
        if row.at < at:
            raise Refusal(_not_taken(row, "has a time before that of the entry it follows"))
        new.append(row)
        end, at = row.hash, row.at
    if after:
        row = min(after.values(), key=lambda row: (row.at, row.id))
        raise Refusal(_not_taken(row, FORKED if row.previous in ("", *known.values()) else GAP))
    return new


FORKED = (
    "follows an entry that another one follows already: two copies of one data folder were both written to, "
    "and here stands what the other wrote"
)
GAP = "follows an entry that is not here; bring it together with those before it"


def _refuse_changed(row: Row, known: Mapping[str, str]) -> None:
    if reason := improper(row):
        raise Refusal(f"Entry {row.id!r} was not taken over, nor any of its device in this job: {reason}")
    try:
        unchanged = link_of(row) == row.hash
    except UnicodeEncodeError as e:
        raise Refusal(_not_taken(row, "holds half a character")) from e
    if not unchanged:
        raise Refusal(_not_taken(row, "was changed after it was written; bring it from where it was made"))
    if known.get(row.id, row.hash) != row.hash:
        raise Refusal(_not_taken(row, "stands here already and says something else"))


def _named(row: Row) -> str:
    return f"Job {row.job}: the {row.kind} of {row.at} by {row.by} (entry {row.id})"


def _not_taken(row: Row, reason: str) -> str:
    return f"{_named(row)} {reason}. None of these entries of device {row.device} were taken over."
