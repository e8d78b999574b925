"""How large a JPEG is, read without a decoder, for where there is none; knows nothing of what is in the picture.

Its parts are those of ITU-T T.81, Annex B.
"""

from __future__ import annotations

import struct

BEGINS, ENDS = b"\xff\xd8", b"\xff\xd9"
FRAMES = frozenset(range(0xC0, 0xD0)) - {0xC4, 0xC8, 0xCC}
"""Markers that begin a frame, of every kind of coding; those taken out begin tables, or nothing."""


def size(data: bytes) -> tuple[int, int]:
    """Width and height in pixels; (0, 0) where this is no JPEG from its first marker to its last.

    Args:
        data: the file.
    """
    if not (data.startswith(BEGINS) and data.endswith(ENDS)):
        return 0, 0
    at = len(BEGINS)
    while at + 9 <= len(data) and data[at] == 0xFF:
        marker, length = struct.unpack_from(">xBH", data, at)
        if marker in FRAMES:
            height, width = struct.unpack_from(">HH", data, at + 5)
            return width, height
        at += 2 + length
    return 0, 0
