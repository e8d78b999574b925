"""Photographs as files named by the hash of what is in them; knows nothing of jobs or of the log.

Three rules hold here. What is shown, printed and given away is made small, turned upright and stripped of everything
the camera wrote into it (place, owner, serial number); only the time is kept, beside it. What came from the camera
stands in a file of its own (`originals.py`) where the shop keeps it. A file stands under its name whole or not at all.
Bytes from outside are hostile until decoded: size, kind and number of pixels are looked at first.
"""

from __future__ import annotations

import hashlib
import re
import sys
import warnings
from collections.abc import Collection, Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import datetime
from functools import lru_cache
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING

from inspect_app.logbook import exif
from inspect_app.logbook.durable import make_folder, write_file
from inspect_app.logbook.jpeg import size
from inspect_app.logbook.originals import keep_original
from inspect_app.logbook.store import not_saved
from inspect_app.trade.measuring.refusal import Refusal

if TYPE_CHECKING:
    from PIL.Image import Image, Transpose

MOST_BYTES = 40_000_000
MOST_PIXELS = 50_000_000
LONGEST_SIDE = 2048
SHARP_ENOUGH = 1600
"""A JPEG is halved while decoding as often as this many pixels are left on its longer side: that costs nothing."""
THUMB_SIDE = 320
ON_PAPER = 1100
"""The longer side a photograph is printed with, pixels: 300 to the inch on the widest place there is, 264 pt."""
KEPT_FOR_PAPER = 64
QUALITY = 85
FORMATS = ("JPEG", "PNG", "WEBP")
HEIC_BRANDS = (b"heic", b"heix", b"hevc", b"heim", b"heis", b"mif1", b"msf1")

BROKEN = "this photograph is broken or was cut off on the way; take or send it again."
UNKNOWN = "this file is no photograph known here; send a JPEG, PNG or WEBP."
TOO_MANY_PIXELS = (
    f"this photograph has more than {MOST_PIXELS // 1_000_000} million pixels; "
    "choose a smaller size in the camera and take it again."
)
HEIC = (
    "this photograph is HEIC, which cannot be read here; set the phone's camera to JPEG "
    "(on an iPhone: Settings, Camera, Formats, Most Compatible) and take it again."
)


@dataclass(frozen=True, slots=True)
class Photo:
    """A photograph as it was stored, and what is known of the one that came in.

    sha256: of the stored JPEG, and its name; original_sha256: of the bytes that came in; taken_at: by
    the camera's clock, ISO 8601 with the offset if the camera told it, "" if it told no time; thumbnail: the hash
    of the one beside it; kept: whether the one that came in stands beside it as it came.
    """

    sha256: str
    original_sha256: str
    width: int
    height: int
    bytes: int
    taken_at: str
    thumbnail: str = ""
    kept: bool = False


@dataclass(frozen=True, slots=True)
class Developed:
    """A photograph made small, upright and stripped, as JPEG, with its thumbnail: here, or by a phone's own decoder.

    taken_at: as of a Photo.
    """

    jpeg: bytes
    thumbnail: bytes
    width: int
    height: int
    taken_at: str


def take_in(data: bytes, *, folder: Path, keep: bool = False) -> Photo:
    """Store a photograph from a camera: small, upright, stripped, with a thumbnail beside it.

    Args:
        data: the file as it came from the camera.
        folder: the folder of all photographs; made if missing, in a folder that is there.
        keep: whether the file as it came is kept beside it.
    Raises:
        Refusal: no photograph, a broken one, or one too large; nothing was written.
        NotSaved: the disk refused; nothing stands under the photograph's name.
    """
    made, sha256 = develop(data), hashlib.sha256(data).hexdigest()
    if keep:
        keep_original(data, sha256, folder)
    return replace(take_in_developed(made, sha256, folder=folder), kept=keep)


def develop(data: bytes) -> Developed:
    """Make a photograph from a camera small, upright and stripped; raises the Refusal of `take_in`."""
    _refuse_unseen(data)
    with _decoding():
        image, taken_at = _upright(data)
        return Developed(_jpeg(image), _thumbnail(image), image.width, image.height, taken_at)


def take_in_developed(made: Developed, original_sha256: str, *, folder: Path) -> Photo:
    """Store a photograph that is developed already; asks for no decoder.

    The same bytes give the same file; one that stands there already is left, a damaged one replaced.

    Args:
        made: the photograph.
        original_sha256: of the bytes it was made of.
        folder: as of `take_in`.
    Raises:
        NotSaved: the disk refused; nothing stands under the photograph's name.
    """
    sha256 = hashlib.sha256(made.jpeg).hexdigest()
    _store(sha256, made.jpeg, made.thumbnail, folder)
    thumbnail = hashlib.sha256(made.thumbnail).hexdigest()
    return Photo(sha256, original_sha256, made.width, made.height, len(made.jpeg), made.taken_at, thumbnail)


def keep(jpeg: bytes, sha256: str, *, folder: Path) -> None:
    """Store a photograph that another device took in, byte for byte, and make its thumbnail.

    Args:
        jpeg: what that device stored.
        sha256: its name in the log.
        folder: the folder of all photographs.
    Raises:
        Refusal: the bytes are not those the name stands for, or no sound JPEG; nothing was written.
        NotSaved: the disk refused; nothing stands under the photograph's name.
    """
    _refuse_unseen(jpeg)
    if hashlib.sha256(jpeg).hexdigest() != sha256:
        raise Refusal(f"photograph {sha256[:12]} arrived changed; send it again.")
    with _decoding():
        thumbnail = _thumbnail(_upright(jpeg)[0])
    _store(sha256, jpeg, thumbnail, folder)


def refuse_unsound(jpeg: bytes) -> None:
    """Look whether bytes from elsewhere are a photograph; raises the Refusal of `take_in`."""
    _refuse_unseen(jpeg)
    if sys.platform == "emscripten":  # in a browser nothing but its own decoder ever draws it
        width, height = size(jpeg)
        if not width or not height:
            raise Refusal(BROKEN)
        if width * height > MOST_PIXELS:
            raise Refusal(TOO_MANY_PIXELS)
        return
    with _decoding():
        _upright(jpeg)


def path(sha256: str, folder: Path) -> Path:
    """Where a photograph stands.

    Raises:
        Refusal: `sha256` is not one (it may have come in an address or from another device).
    """
    if not re.fullmatch("[0-9a-f]{64}", sha256):
        raise Refusal(f"{sha256[:80]!r} is not the name of a photograph.")
    return folder / sha256[:2] / f"{sha256}.jpg"


def thumb(sha256: str, folder: Path) -> Path:
    """Where a photograph's thumbnail stands; raises as `path` does."""
    return path(sha256, folder).with_suffix(".thumb.jpg")


def for_paper(sha256: str, folder: Path) -> bytes | Path:
    """A photograph as fine as paper shows it, made once while the program runs; its file where that is no larger.

    Raises:
        Refusal: `sha256` is not one.
        OSError: its file is not there.
    """
    file = path(sha256, folder)
    stands = file.stat()
    if sys.platform == "emscripten":  # there is no decoder here
        return file
    return _printed(file, stands.st_mtime_ns) or file


@lru_cache(maxsize=KEPT_FOR_PAPER)
def _printed(file: Path, changed: int) -> bytes:
    """Empty where the file is small enough, or nothing that can be decoded."""
    from PIL import Image

    try:
        with _decoding():
            image = _opened(file.read_bytes())
            if max(image.size) <= ON_PAPER:
                return b""
            image.load()
            return _jpeg(image.resize(_within(image, ON_PAPER), Image.Resampling.HAMMING))
    except Refusal:
        return b""


def verify(
    folder: Path, expected: Iterable[str], thumbnails: Mapping[str, Collection[str]] | None = None
) -> list[str]:
    """What is wrong in the folder, in sentences.

    Args:
        folder: the folder of all photographs.
        expected: the names of those the log speaks of.
        thumbnails: of each the hashes its thumbnail may have; where none is known, it must be a whole picture.
    """
    names = set(expected)
    wrong = []
    for name in sorted(names):
        file, small = path(name, folder), thumb(name, folder)
        if not file.is_file():
            wrong.append(f"Photograph {name[:12]} is missing; restore {file.name} from a backup.")
        elif _hash_of(file) != name:
            wrong.append(f"Photograph {name[:12]} is damaged; restore {file.name} from a backup.")
        if not small.is_file():
            wrong.append(f"The small copy of photograph {name[:12]} is missing; restore {small.name}.")
        elif not _sound_thumbnail(small, (thumbnails or {}).get(name, ())):
            wrong.append(f"The small copy of photograph {name[:12]} is damaged; restore {small.name}.")
    files = [file.name for file in folder.glob("*/*")]
    orphans = sum(name.removesuffix(".jpg") not in names for name in files if _is_photo(name))
    parts = sum(name.endswith(".part") for name in files)
    if orphans:
        wrong.append(f"Photographs that no entry speaks of: {orphans}; they do no harm.")
    if parts:
        wrong.append(f"Unfinished files (.part) left by a stop: {parts}; they may be deleted.")
    return wrong


def _sound_thumbnail(file: Path, hashes: Collection[str]) -> bool:
    if hashes:
        return _hash_of(file) in hashes
    try:
        with _decoding():
            _opened(file.read_bytes()).load()
    except Refusal:
        return False
    return True


def _is_photo(name: str) -> bool:
    return name.endswith(".jpg") and not name.endswith(".thumb.jpg")


def _hash_of(file: Path) -> str:
    with file.open("rb") as f:
        return hashlib.file_digest(f, "sha256").hexdigest()


def _refuse_unseen(data: bytes) -> None:
    """What can be refused before any decoder sees it."""
    refuse_size(data)
    if is_heic(data):
        raise Refusal(HEIC)


def refuse_size(data: bytes) -> None:
    """Refuse what no decoder needs to see.

    Args:
        data: the file as it came from the camera.
    Raises:
        Refusal: nothing, or too much.
    """
    if not data:
        raise Refusal("this photograph is empty; take or send it again.")
    if len(data) > MOST_BYTES:
        raise Refusal(
            f"this photograph has {len(data) / 1e6:.0f} MB; at most {MOST_BYTES / 1e6:.0f} MB are taken. "
            "Choose a smaller size in the camera."
        )


def is_heic(data: bytes) -> bool:
    """Whether a photograph is of the kind that only some browsers decode, and Pillow not."""
    return data[4:8] == b"ftyp" and data[8:12] in HEIC_BRANDS


def taken_at(data: bytes) -> str:
    """When a JPEG was taken, as of a Photo, without a decoder."""
    return _time(*exif.taken(data))


@contextmanager
def _decoding() -> Iterator[None]:
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # of a crooked EXIF, and of a size that is refused here anyway
            yield
    except Refusal:
        raise
    except Exception as e:  # a decoder fed with hostile bytes may raise anything
        raise Refusal(BROKEN) from e


def _upright(data: bytes) -> tuple[Image, str]:
    """The photograph at most LONGEST_SIDE long, opaque and upright, and when it was taken."""
    from PIL import Image

    image = _opened(data)
    image.draft("RGB", _within(image, SHARP_ENOUGH))
    image.load()
    size = _within(image, LONGEST_SIDE)
    turn, taken_at = _told_by_camera(image)
    if image.mode == "I;16":
        image = image.point(lambda grey: grey / 256).convert("L")
    elif image.has_transparency_data:
        image = image.convert("RGBA")
    elif image.mode not in ("L", "RGB"):
        image = image.convert("RGB")
    if image.size != size:
        image = image.resize(size, Image.Resampling.HAMMING)
    if image.mode == "RGBA":
        image = Image.alpha_composite(Image.new("RGBA", size, "white"), image).convert("RGB")
    image.info.clear()  # whatever the camera wrote stays out
    return (image if turn is None else image.transpose(turn)), taken_at


def _within(image: Image, longest: int) -> tuple[int, int]:
    """The photograph's size with its longer side at most so long."""
    scale = min(1.0, longest / max(image.size))
    return max(1, round(image.width * scale)), max(1, round(image.height * scale))


def _opened(data: bytes) -> Image:
    """The photograph with only its header read, if its kind and size are taken here."""
    from PIL import Image, UnidentifiedImageError

    try:
        image = Image.open(BytesIO(data), formats=FORMATS)
    except UnidentifiedImageError as e:
        raise Refusal(UNKNOWN) from e
    except Image.DecompressionBombError as e:
        raise Refusal(TOO_MANY_PIXELS) from e
    if image.width * image.height > MOST_PIXELS:
        raise Refusal(TOO_MANY_PIXELS)
    return image


def _told_by_camera(image: Image) -> tuple[Transpose | None, str]:
    """How to turn the photograph upright, and when it was taken; a broken EXIF tells nothing."""
    from PIL.ExifTags import IFD, Base
    from PIL.Image import Transpose

    turns: dict[object, Transpose] = {
        2: Transpose.FLIP_LEFT_RIGHT,
        3: Transpose.ROTATE_180,
        4: Transpose.FLIP_TOP_BOTTOM,
        5: Transpose.TRANSPOSE,
        6: Transpose.ROTATE_270,
        7: Transpose.TRANSVERSE,
        8: Transpose.ROTATE_90,
    }
    try:
        exif = image.getexif()
        taken = exif.get_ifd(IFD.Exif)
        turn = turns.get(exif.get(Base.Orientation))
        return turn, _time(str(taken.get(Base.DateTimeOriginal)), str(taken.get(Base.OffsetTimeOriginal)))
    except Exception:  # as in _decoding; a photograph is worth more than its EXIF
        return None, ""


def _time(taken: str, offset: str) -> str:
    try:
        text = datetime.strptime(taken.strip("\0 "), "%Y:%m:%d %H:%M:%S").isoformat()
    except ValueError:
        return ""
    offset = offset.strip("\0 ")
    return text + offset if re.fullmatch(r"[+-]\d\d:\d\d", offset, re.ASCII) else text


def _jpeg(image: Image) -> bytes:
    file = BytesIO()
    image.save(file, "JPEG", quality=QUALITY)
    return file.getvalue()


def _thumbnail(image: Image) -> bytes:
    return _jpeg(image.reduce(-(-max(image.size) // THUMB_SIDE)))


def _store(sha256: str, jpeg: bytes, thumbnail: bytes, folder: Path) -> None:
    """Both files on the disk; the thumbnail first, so that no photograph stands there without one."""
    file = path(sha256, folder)
    try:
        make_folder(folder)
        make_folder(file.parent)
        write_file(thumb(sha256, folder), thumbnail)
        write_file(file, jpeg)
    except OSError as e:
        raise not_saved("The photograph was", e) from e
