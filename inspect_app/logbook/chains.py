"""The rules of a log's chains: where they end, what breaks one, how one of another device goes on. Touches no file.

The entries one device made in one job are a chain: each holds the link of the one before it, and its own link
is a hash over that and over all it says. So a chain is known by its last link alone: whoever has an entry with
that link, and an unbroken way back from it, has every entry before it as it was written. How the chains of
several devices came to stand between each other says nothing.

Where two copies of a folder were both written to, two entries go on from the same one: the chain is forked, has an end
for each branch, and both stand.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from typing import Any, NamedTuple

from inspect_app.entries.entry import Entry, link_over
from inspect_app.entries.kinds import refusal
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.wording import counted

AT_SHAPE = re.compile(r"(\d{4}-\d\d-\d\d)T(?:[01]\d|2[0-3]):[0-5]\d:[0-5]\d\.\d{3}Z", re.ASCII)
LONGEST_ID = 100
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
    """How far a job's log reaches: the last link of each device's chain, and how many entries lead up to them.

    A forked chain has a last link for each branch, with blanks between them.
    """

    ends: Mapping[str, str]
    entries: int

    @property
    def hash(self) -> str:
        """The fingerprint: one digest over the ends, whichever came first; "" of an empty log."""
        lines = "".join(
            sorted(f"{device}\x1f{link}\n" for device, ends in self.ends.items() for link in branches(ends))
        )
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
    if max(map(len, (row.id, row.job, row.device, row.kind))) > LONGEST_ID:
        return f"an entry's id, job, device and kind have at most {LONGEST_ID} characters each."
    # the link is made over the fields with 0x1F between them: one inside a field would let two entries share it
    if NOT_IN_A_LINE.search("".join(row[:6])):
        return "an entry's id, job, device, initials and kind are one line of text each."
    return None


def require_proper(entry: Entry) -> None:
    """Refuse an entry of this device that could not stand in a log.

    Args:
        entry: the entry, not written yet.
    Raises:
        Refusal: why not.
    """
    fields = (entry.id, entry.job, entry.device, entry.at, entry.by, entry.kind)
    if reason := refusal(entry) or improper(Row(*fields, body="", previous="", hash="")):
        raise Refusal(reason)


def is_time(at: str) -> bool:
    """Whether a text is a time of a log; the year 9999 is none: no local time can be told of its last day.

    Args:
        at: the text.
    """
    shaped = AT_SHAPE.fullmatch(at)
    return shaped is not None and _is_day(shaped[1])


@lru_cache(maxsize=1000)  # the entries of a job are of few days, and each is asked about
def _is_day(day: str) -> bool:
    try:
        return day < "9999" and bool(date.fromisoformat(day))
    except ValueError:
        return False


def link_of(row: Row) -> str:
    """The link a row must have, from what it says and the link before it."""
    return link_over(row.previous, *row[:7])


def branches(ends: str) -> list[str]:
    """The links a chain ends with: one, or that of each branch.

    Args:
        ends: as a head names them.
    """
    return ends.split(" ")


def ends_of(links: Iterable[tuple[str, str]]) -> str:
    """What a head names of a chain.

    Args:
        links: the link before each entry of the chain, and its own.
    """
    links = tuple(links)
    followed = {previous for previous, _ in links}
    return " ".join(sorted(link for _, link in links if link not in followed))


def way_back(end: str, before: Mapping[str, str]) -> set[str] | None:
    """The links from an end back to the beginning; None where one of them is not here.

    Args:
        end: the link to begin with.
        before: the link before each.
    """
    way: set[str] = set()
    while end and end not in way:
        if end not in before:
            return None
        way.add(end)
        end = before[end]
    return way


def unproven(head: Head, rows: Iterable[Row]) -> Iterator[str]:
    """What keeps a head that a document names from being proven, as ends of a sentence; nothing if it is.

    Args:
        head: the ends it names.
        rows: the job's rows.
    """
    before: dict[str, dict[str, str]] = {}
    broken = set()
    for row in rows:
        chain = before.setdefault(row.device, {})
        if link_of(row) == row.hash and (row.previous in chain or not row.previous):
            chain[row.hash] = row.previous
        else:
            broken.add(row.device)
    proven = 0
    lost = []
    for device, ends in sorted(head.ends.items()):
        ways = [way_back(end, before[device]) if device in before else None for end in branches(ends)]
        if any(way is None for way in ways):
            lost.append(device)
        else:
            proven += len(set().union(*(way for way in ways if way)))
    yield from unproven_words(head, lost, broken, proven)


def unproven_words(head: Head, lost: Iterable[str], broken: Iterable[str], proven: int) -> Iterator[str]:
    """The ends of sentences `unproven` gives.

    Args:
        head: the ends that are named.
        lost: the devices of which an end, or the way back from it, is not here.
        broken: the devices of which an entry was changed or lost.
        proven: how many entries lead up to the ends that are here.
    """
    lost = tuple(lost)
    for device in lost:
        if device in broken:
            yield f"covers entries of device {device} that were changed or lost since; restore a backup"
        else:
            yield (
                f"covers entries of device {device} that are not here; bring them from that device "
                "or restore a backup"
            )
    if not lost and proven != head.entries:
        covers = counted(head.entries, "entry", "entries")
        lead = counted(proven, "leads", "lead")
        yield f"says it covers {covers}, but {lead} up to where it ends"


def beyond(head: Head, rows: Iterable[Row]) -> Iterator[Row]:
    """The rows of a job that a head does not cover.

    Args:
        head: the ends that are covered; of a chain whose end is not here all is covered.
        rows: the job's rows.
    """
    rows = tuple(rows)
    before: dict[str, dict[str, str]] = {}
    for row in rows:
        before.setdefault(row.device, {})[row.hash] = row.previous
    covered: dict[str, set[str]] = {}
    for device, ends in head.ends.items():
        chain = before.get(device, {})
        here = [end for end in branches(ends) if end in chain]
        covered[device] = {link for end in here for link in _as_far_as_here(end, chain)} if here else {*chain}
    for row in rows:
        if row.hash not in covered.get(row.device, ()):
            yield row


def _as_far_as_here(end: str, before: Mapping[str, str]) -> Iterator[str]:
    seen: set[str] = set()
    while end in before and end not in seen:
        seen.add(end)
        yield end
        end = before[end]


@dataclass(frozen=True, slots=True)
class Continued:
    """What comes of rows from elsewhere: those that are new, each after the one it follows, and those that cannot
    stand here, each with the reason as the end of a sentence."""

    new: tuple[Row, ...]
    aside: tuple[tuple[Row, str], ...]


def continuation(standing: Iterable[tuple[str, str, str]], came: Iterable[Row]) -> Continued:
    """Of the rows of one chain that came from elsewhere those that are new, whatever order they came in.

    A row stands here only with all before it. One that was changed is kept aside, and so is what follows it, until
    it comes whole. Two that follow the same one are two branches, and both stand.

    Args:
        standing: id, link and time of each row of the chain that stands here.
        came: rows of the same chain in any order, also ones that stand here.
    """
    known, times = {}, {"": ""}
    for entry_id, own, at in standing:
        known[entry_id], times[own] = own, at
    after: dict[str, list[Row]] = {}
    bad: list[tuple[Row, str]] = []
    aside: list[tuple[Row, str]] = []
    for row in sorted(set(came), key=lambda row: (row.at, row.id, row.hash)):
        if reason := _bad(row):
            bad.append((row, reason))
        elif known.setdefault(row.id, row.hash) != row.hash:
            aside.append((row, "stands here already and says something else"))
        elif row.hash not in times:
            after.setdefault(row.previous, []).append(row)
    new: list[Row] = []
    ends = [end for end in times if end in after]
    while ends:
        end = ends.pop()
        for row in after.pop(end, ()):
            if row.at < times[end]:
                aside.append((row, "has a time before that of the entry it follows"))
            else:
                times[row.hash] = row.at
                new.append(row)
                ends.append(row.hash)
    aside += [(row, GAP) for rows in after.values() for row in rows]
    standing_now = {*known} - {row.id for row, _ in aside}
    # a damaged copy of what stands here says nothing
    bad = [(row, reason) for row, reason in bad if row.id not in standing_now and row.hash not in times]
    return Continued(tuple(new), (*bad, *aside))


GAP = "follows an entry that is not here; bring it together with those before it"


def _bad(row: Row) -> str | None:
    """Why a row cannot stand in any log, as the end of a sentence."""
    if reason := improper(row):
        return f"cannot be an entry: {reason}"
    try:
        unchanged = link_of(row) == row.hash
    except UnicodeEncodeError:
        return "holds half a character"
    return None if unchanged else "was changed after it was written; bring it from where it was made"


def named_row(row: Row) -> str:
    """A row in the words of a sentence: of which job, what, when, by whom."""
    return f"Job {row.job}: the {row.kind} of {row.at} by {row.by} (entry {row.id})"
