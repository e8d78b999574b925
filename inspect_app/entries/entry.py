"""One entry of the log, its id and its chain; knows nothing of disks, clocks or cylinders, nor which kinds there are.

Three rules hold here. An entry is never edited: a correction is a new entry, and `undo` names the
one it takes back. A number stands twice, as typed and as understood (exact decimal text in the
canonical unit). Reading never fails: a kind written by a newer version is kept as it is.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from operator import attrgetter
from typing import Any, NamedTuple

SHOP = "shop"
"""The `job` of entries that belong to no job: gauges and settings."""

Body = Mapping[str, Any]
"""What an entry says: a JSON object, decimals as text."""


class Entry(NamedTuple):
    """One line of the log; a tuple, as they are read by the thousand.

    id: UUIDv7 text; job: the job's id or SHOP; device: who chains it; at: UTC, ISO 8601 with
    milliseconds and Z, never before the device's previous entry; by: initials; kind: one of `kinds.KINDS`,
    or a kind of a newer version; body: JSON object, decimals as text.
    """

    id: str
    job: str
    device: str
    at: str
    by: str
    kind: str
    body: Body


in_time = attrgetter("at", "id")
"""The order of a job's entries, whatever device made them: a key to sort by."""


def body_text(body: Body) -> str:
    """The one way a body is written: JSON with sorted keys, no spaces, as UTF-8 text.

    Args:
        body: the entry's body.
    """
    return json.dumps(body, sort_keys=True, ensure_ascii=False, separators=(",", ":"))


def chained(previous: str, entry: Entry, body: str) -> str:
    """The entry's link in its device's chain: SHA-256 over the link before it and everything in the entry.

    Args:
        previous: the link of the device's entry before this one in the same job, "" for the first.
        entry: the entry.
        body: `body_text` of its body.

    >>> e = Entry("1", "j", "d", "2026-03-02T08:00:00.000Z", "AB", "undo", {"of": "0"})
    >>> chained("", e, body_text(e.body)) == chained("", e, '{"of":"1"}')
    False
    """
    return link_over(previous, entry.id, entry.job, entry.device, entry.at, entry.by, entry.kind, body)


def link_over(previous: str, *fields: str) -> str:
    """As `chained`, out of the entry's fields in their order, its body last."""
    return hashlib.sha256("\x1f".join((previous, *fields)).encode()).hexdigest()


def uuid7(milliseconds: int, random: bytes) -> str:
    """A UUIDv7: sorts by time, unique by chance.

    Args:
        milliseconds: Unix time, ms.
        random: ten random bytes.
    Source: rfc-9562

    >>> uuid7(0x017F22E279B0, bytes.fromhex("0cc318c4dc0c0c07398f"))    # RFC 9562, appendix A.6
    '017f22e2-79b0-7cc3-98c4-dc0c0c07398f'
    """
    rand_a = int.from_bytes(random[:2], "big") & 0x0FFF
    rand_b = int.from_bytes(random[2:10], "big") & 0x3FFF_FFFF_FFFF_FFFF
    number = (milliseconds & 0xFFFF_FFFF_FFFF) << 80 | 0x7 << 76 | rand_a << 64 | 0b10 << 62 | rand_b
    digits = f"{number:032x}"
    return "-".join((digits[:8], digits[8:12], digits[12:16], digits[16:20], digits[20:]))
