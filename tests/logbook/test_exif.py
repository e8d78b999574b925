"""The time a camera wrote, read without a decoder, against what Pillow wrote and reads."""

from __future__ import annotations

from io import BytesIO

import pytest
from PIL import Image
from PIL.ExifTags import IFD, Base

from inspect_app.logbook.exif import taken
from inspect_app.logbook.photos import develop, taken_at


def photograph(at: str, offset: str = "", exif: bool = True) -> bytes:
    """A JPEG with this time in it."""
    image, file = Image.new("RGB", (8, 8)), BytesIO()
    told = image.getexif()
    told[Base.Make] = "any"
    block = told.get_ifd(IFD.Exif)
    if at:
        block[Base.DateTimeOriginal] = at
    if offset:
        block[Base.OffsetTimeOriginal] = offset
    image.save(file, "JPEG", **({"exif": told} if exif else {}))
    return file.getvalue()


@pytest.mark.parametrize(
    ("at", "offset"), [("2026:03:02 08:00:12", "+01:00"), ("2026:03:02 08:00:12", ""), ("", "")]
)
def test_the_time_is_what_a_decoder_finds(at: str, offset: str) -> None:
    data = photograph(at, offset)
    assert taken(data) == (at, offset)
    assert taken_at(data) == develop(data).taken_at


def test_big_endian_is_read_too() -> None:
    # Exif 3.0, 4.6.2: "MM", 42, the first directory at 8; a row is tag, type, count, value, most significant byte first
    first = b"\0\1" + b"\x87\x69\0\4\0\0\0\1\0\0\0\x1a" + b"\0\0\0\0"
    own = b"\0\1" + b"\x90\x03\0\2\0\0\0\x14\0\0\0\x2c" + b"\0\0\0\0"
    block = b"MM\0*\0\0\0\x08" + first + own + b"2026:03:02 08:00:12\0"
    assert taken(b"\xff\xd8\xff\xe1\0\0Exif\0\0" + block) == ("2026:03:02 08:00:12", "")


def test_without_one_or_cut_off_there_is_no_time() -> None:
    data = photograph("2026:03:02 08:00:12")
    assert taken(photograph("", exif=False)) == ("", "")
    assert taken(b"") == ("", "")
    begins = data.index(b"Exif\0\0")
    for end in range(begins, begins + 60):
        assert taken(data[:end])[1] == ""  # and nothing is raised
    for order in (b"II", b"MM", b"XX"):
        assert taken(b"Exif\0\0" + order + b"\xff" * 40) == ("", "")
