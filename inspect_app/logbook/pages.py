"""Finds the rows of a log in the bytes of its file, page by page, whatever the rest of the file is like.

SQLite reads a table from its root down, and stops at the first page that is damaged. Every leaf page holds whole
rows all the same, and so does every page in the log of commits. What looks like a row is one when its link says so;
one that has the shape and another link was damaged, or changed. The layout is that of the SQLite file format, with
its section numbers.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from inspect_app.logbook.chains import Row, improper, link_of

LEAF_OF_TABLE = 0x0D
HEADER_BYTES = 100  # of the file, before the first page's own
COMMITS_HEADER_BYTES, FRAME_HEADER_BYTES = 32, 24  # 4.1 and 4.2
MOST_BYTES_OF_A_ROW = 64_000_000
FIRST_TEXT = 13  # 2.1: an odd serial type from here on is a text of (n - 13) / 2 bytes


class Found(NamedTuple):
    """A row, its number in the log, and whether its link says that it is as it was written."""

    number: int
    row: Row
    sound: bool


def rows_in(file: bytes, commits: bytes) -> Iterator[Found]:
    """Every row that has the shape of one, in no order, some more than once.

    Args:
        file: the database, damaged or not; b"" if it is lost.
        commits: the log of commits beside it, b"" if there is none.
    """
    size = _page_bytes(file, commits)
    pages = {n: file[(n - 1) * size : n * size] for n in range(1, -(-len(file) // size) + 1)}
    for number, page in pages.items():
        yield from _rows_of(page, HEADER_BYTES if number == 1 else 0, size, pages)
    later = dict(pages)
    step = FRAME_HEADER_BYTES + size
    frames = range(COMMITS_HEADER_BYTES, len(commits) - FRAME_HEADER_BYTES, step)
    for at in frames:  # first all of them: a row may go on in a page of a later frame
        later[int.from_bytes(commits[at : at + 4])] = commits[at + FRAME_HEADER_BYTES : at + step]
    for at in frames:
        number = int.from_bytes(commits[at : at + 4])
        page = commits[at + FRAME_HEADER_BYTES : at + step]
        yield from _rows_of(page, HEADER_BYTES if number == 1 else 0, size, later)


def _page_bytes(file: bytes, commits: bytes) -> int:
    """The size of a page, by either file's header (1.3.2); what SQLite takes by itself if neither tells."""
    for told in (int.from_bytes(commits[8:12]), int.from_bytes(file[16:18])):
        size = 65536 if told == 1 else told
        if 512 <= size <= 65536 and size & (size - 1) == 0:
            return size
    return 4096


def _rows_of(page: bytes, start: int, size: int, pages: dict[int, bytes]) -> Iterator[Found]:
    """The rows of a leaf page (1.6), those of its cells that can be read."""
    if len(page) < size or page[start] != LEAF_OF_TABLE:
        return
    cells = int.from_bytes(page[start + 3 : start + 5])
    for n in range(min(cells, size // 4)):
        at = start + 8 + 2 * n
        try:
            found = _row_at(page, int.from_bytes(page[at : at + 2]), size, pages)
        except (IndexError, ValueError):  # damage may say anything
            continue
        if found:
            yield found


def _row_at(page: bytes, at: int, size: int, pages: dict[int, bytes]) -> Found | None:
    length, at = _varint(page, at)
    number, at = _varint(page, at)
    if not 0 < length < MOST_BYTES_OF_A_ROW:
        return None
    content = _whole(page, at, length, size, pages)
    header, cursor = _varint(content, 0)
    types = []
    while cursor < header:
        kind, cursor = _varint(content, cursor)
        types.append(kind)
    # the number itself is the key of the row and stands in it as nothing at all
    if len(types) != 1 + len(Row._fields) or types[0] != 0:
        return None
    if any(kind < FIRST_TEXT - 1 for kind in types[1:]):
        return None
    texts = []
    for kind in types[1:]:
        end = cursor + (kind - 12) // 2
        texts.append(content[cursor:end].decode(errors="backslashreplace"))
        cursor = end
    row = Row(*texts)
    if not (row.id and len(row.hash) == 64):
        return None
    return Found(number, row, improper(row) is None and link_of(row) == row.hash)


def _whole(page: bytes, at: int, length: int, size: int, pages: dict[int, bytes]) -> bytes:
    """A row's bytes, with those on overflow pages (1.6, 1.5); fewer where one is lost."""
    most, least = size - 35, (size - 12) * 32 // 255 - 23
    if length <= most:
        return page[at : at + length]
    here = least + (length - least) % (size - 4)
    here = here if here <= most else least
    content = page[at : at + here]
    following = int.from_bytes(page[at + here : at + here + 4])
    seen: set[int] = set()
    while len(content) < length and following in pages and following not in seen:
        seen.add(following)
        content += pages[following][4:]
        following = int.from_bytes(pages[following][:4])
    return content[:length]


def _varint(content: bytes, at: int) -> tuple[int, int]:
    """A number of one to nine bytes (1.6), and where the next thing begins."""
    value = 0
    for n in range(8):
        byte = content[at + n]
        value = value << 7 | byte & 0x7F
        if byte < 0x80:
            return value, at + n + 1
    return value << 8 | content[at + 8], at + 9
