"""When a photograph was taken, read out of a JPEG's EXIF without a decoder; knows nothing of what is in the picture.

Bytes from outside are hostile: nothing here follows an address out of the block that holds it.
"""

from __future__ import annotations

import struct
from collections.abc import Mapping

HEAD, WITHIN, LONGEST = b"Exif\0\0", 65_536, 65_536
EXIF_IFD, TAKEN, OFFSET = 0x8769, 0x9003, 0x9011
"""Tags of Exif 3.0: where the camera's own block stands, DateTimeOriginal, OffsetTimeOriginal."""


def taken(data: bytes) -> tuple[str, str]:
    """The time a camera wrote and its offset, as it wrote them; "" for what it did not, or where it is broken.

    Args:
        data: the file as it came from the camera.
    """
    begins = data.find(HEAD, 0, WITHIN)
    if begins < 0:
        return "", ""
    block = data[begins + len(HEAD) :][:LONGEST]
    order = {b"II": "<", b"MM": ">"}.get(block[:2], "")
    if not order:
        return "", ""
    try:
        (first,) = struct.unpack_from(f"{order}L", block, 4)
        own = _rows(block, order, first).get(EXIF_IFD)
        rows = _rows(block, order, own[1]) if own else {}
        return _text(block, rows.get(TAKEN)), _text(block, rows.get(OFFSET))
    except struct.error:  # an address outside the block
        return "", ""


def _rows(block: bytes, order: str, at: int) -> Mapping[int, tuple[int, int]]:
    """The rows of a directory: how many and where, by tag."""
    (count,) = struct.unpack_from(f"{order}H", block, at)
    rows = [struct.unpack_from(f"{order}HHLL", block, at + 2 + 12 * n) for n in range(count)]
    return {tag: (number, value) for tag, _, number, value in rows}


def _text(block: bytes, row: tuple[int, int] | None) -> str:
    """A text of more than four letters: shorter ones stand in the row itself, and no time is so short."""
    if row is None or row[0] <= 4:
        return ""
    return block[row[1] :][: row[0]].decode("ascii", "replace").strip("\0 ")
