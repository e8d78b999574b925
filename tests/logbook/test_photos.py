"""What photographs promise: small, upright, without the camera's secrets, whole or not there at all."""

from __future__ import annotations

import hashlib
import os
import random
import signal
import struct
import subprocess
import sys
import textwrap
import time
import zlib
from io import BytesIO
from pathlib import Path

import pytest
from PIL import Image

from inspect_app.logbook import photos
from inspect_app.logbook.originals import original, verify_originals
from inspect_app.logbook.photos import Photo
from inspect_app.logbook.store import NotSaved
from inspect_app.trade.measuring.refusal import Refusal

RED, GREEN, BLUE, WHITE = (220, 30, 30), (30, 200, 30), (30, 30, 220), (255, 255, 255)


def quarters(width: int = 480, height: int = 320) -> Image.Image:
    """Red and green above, blue and white below: no turn or flip of it looks like another."""
    image = Image.new("RGB", (width, height), WHITE)
    image.paste(RED, (0, 0, width // 2, height // 2))
    image.paste(GREEN, (width // 2, 0, width, height // 2))
    image.paste(BLUE, (0, height // 2, width // 2, height))
    return image


def as_file(image: Image.Image, kind: str = "JPEG", **options: object) -> bytes:
    file = BytesIO()
    image.save(file, kind, **options)
    return file.getvalue()


def stored(photo: Photo, folder: Path) -> Image.Image:
    return Image.open(photos.path(photo.sha256, folder))


def looks_like(image: Image.Image, colours: tuple[tuple[int, int, int], ...]) -> bool:
    """Whether the middles of the four quarters have these colours, as near as JPEG keeps them."""
    w, h = image.size
    middles = [(w // 4, h // 4), (3 * w // 4, h // 4), (w // 4, 3 * h // 4), (3 * w // 4, 3 * h // 4)]
    found = [image.convert("RGB").getpixel(middle) for middle in middles]
    return all(
        abs(a - b) < 12
        for got, want in zip(found, colours, strict=True)
        for a, b in zip(got, want, strict=True)
    )


def files_in(folder: Path) -> list[Path]:
    return [file for file in folder.rglob("*") if file.is_file()]


def segments(jpeg: bytes) -> list[int]:
    """The markers of a JPEG up to its scan, walked by hand (ITU-T T.81, B.1.1.4)."""
    markers, at = [], 2
    while jpeg[at + 1] != 0xDA:
        markers.append(jpeg[at + 1])
        at += 2 + int.from_bytes(jpeg[at + 2 : at + 4], "big")
    return markers


# ---- small, upright, stripped

# EXIF 2.3 (JEITA CP-3451), tag 0x0112: which side of the scene the stored row 0 and column 0 are
ROW_AND_COLUMN_0 = {
    1: ("top", "left"),
    2: ("top", "right"),
    3: ("bottom", "right"),
    4: ("bottom", "left"),
    5: ("left", "top"),
    6: ("right", "top"),
    7: ("right", "bottom"),
    8: ("left", "bottom"),
}


def as_held(scene: Image.Image, orientation: int) -> Image.Image:
    """The scene as a camera held that way would store it, pixel by pixel from the definition."""
    row_side, column_side = ROW_AND_COLUMN_0[orientation]
    w, h = scene.size
    rows, columns = (h, w) if row_side in ("top", "bottom") else (w, h)
    held = Image.new("RGB", (columns, rows))

    def place(side: str, index: int) -> tuple[str, int]:
        axis = "y" if side in ("top", "bottom") else "x"
        last = h - 1 if axis == "y" else w - 1
        return axis, index if side in ("top", "left") else last - index

    for row in range(rows):
        for column in range(columns):
            at = dict((place(row_side, row), place(column_side, column)))
            held.putpixel((column, row), scene.getpixel((at["x"], at["y"])))
    return held


@pytest.mark.parametrize("orientation", ROW_AND_COLUMN_0)
def test_however_the_phone_was_held_the_photograph_stands_upright(tmp_path: Path, orientation: int) -> None:
    exif = Image.Exif()
    exif[0x0112] = orientation
    data = as_file(as_held(quarters(96, 64), orientation), exif=exif, quality=95)
    photo = photos.take_in(data, folder=tmp_path)
    assert (photo.width, photo.height) == (96, 64) == stored(photo, tmp_path).size
    assert looks_like(stored(photo, tmp_path), (RED, GREEN, BLUE, WHITE))
    assert looks_like(Image.open(photos.thumb(photo.sha256, tmp_path)), (RED, GREEN, BLUE, WHITE))


def test_place_owner_and_camera_are_gone_and_the_time_is_kept_beside(tmp_path: Path) -> None:
    exif = Image.Exif()
    exif[0x010F], exif[0x0110], exif[0x013B] = "Maker of phones", "Model 7", "A. Mechanic"
    exif.get_ifd(0x8769).update({0x9003: "2026:03:02 08:15:30", 0x9011: "+01:00"})
    exif.get_ifd(0x8825).update({1: "N", 2: (52.0, 31.0, 12.0), 3: "E", 4: (13.0, 24.0, 18.0)})
    data = as_file(quarters(), exif=exif, comment=b"secret", xmp=b"<x>secret</x>", icc_profile=b"secret" * 40)
    assert b"Maker of phones" in data
    assert Image.open(BytesIO(data)).getexif().get_ifd(0x8825)
    photo = photos.take_in(data, folder=tmp_path)
    assert photo.taken_at == "2026-03-02T08:15:30+01:00"
    for file in files_in(tmp_path):
        # only APP0 (JFIF), tables and one baseline frame: no APP1 (EXIF, XMP), APP2 (ICC), COM
        assert set(segments(file.read_bytes())) == {0xE0, 0xDB, 0xC0, 0xC4}
        assert b"secret" not in file.read_bytes()
        assert not Image.open(file).getexif()


@pytest.mark.parametrize(
    ("taken", "offset", "kept"),
    [
        ("2026:03:02 08:15:30", None, "2026-03-02T08:15:30"),
        ("2026:03:02 08:15:30", "-05:30", "2026-03-02T08:15:30-05:30"),
        ("2026:03:02 08:15:30", "nonsense", "2026-03-02T08:15:30"),
        ("0000:00:00 00:00:00", None, ""),
        ("    :  :     :  :  ", None, ""),
    ],
)
def test_the_camera_s_time_is_kept_as_far_as_it_told_it(
    tmp_path: Path, taken: str, offset: str | None, kept: str
) -> None:
    exif = Image.Exif()
    exif.get_ifd(0x8769).update({0x9003: taken} if offset is None else {0x9003: taken, 0x9011: offset})
    assert photos.take_in(as_file(quarters(), exif=exif), folder=tmp_path).taken_at == kept


@pytest.mark.parametrize("broken", [b"no header at all", b"MM\0*\0\0\0\x08\xff\xff" + bytes(range(200))])
def test_a_broken_exif_does_not_cost_the_photograph(tmp_path: Path, broken: bytes) -> None:
    # a resolution told apart, or Pillow would look into the EXIF for it and swallow what it meets
    data = as_file(quarters(), exif=b"Exif\0\0" + broken, dpi=(72, 72))
    photo = photos.take_in(data, folder=tmp_path)
    assert photo.taken_at == ""
    assert looks_like(stored(photo, tmp_path), (RED, GREEN, BLUE, WHITE))


@pytest.mark.parametrize(
    ("kind", "size", "becomes"),
    [
        # a JPEG is halved while it is decoded, and no further than 1600
        ("JPEG", (4000, 3000), (2000, 1500)),
        ("JPEG", (3000, 4000), (1500, 2000)),
        ("JPEG", (8000, 6000), (2000, 1500)),
        ("JPEG", (3100, 2000), (2048, 1321)),
        ("PNG", (4000, 3000), (2048, 1536)),
        ("WEBP", (3000, 4000), (1536, 2048)),
        ("WEBP", (1601, 901), (1601, 901)),
        ("PNG", (640, 480), (640, 480)),
        ("JPEG", (640, 480), (640, 480)),
        ("PNG", (5000, 1), (2048, 1)),
        ("WEBP", (1, 1), (1, 1)),
    ],
)
def test_the_longer_side_becomes_2048_at_most_and_the_thumbnail_s_320(
    tmp_path: Path, kind: str, size: tuple[int, int], becomes: tuple[int, int]
) -> None:
    photo = photos.take_in(as_file(quarters(*size), kind), folder=tmp_path)
    image = stored(photo, tmp_path)
    assert (image.format, image.size) == ("JPEG", becomes) == ("JPEG", (photo.width, photo.height))
    thumbnail = Image.open(photos.thumb(photo.sha256, tmp_path))
    assert thumbnail.format == "JPEG"
    assert max(thumbnail.size) <= 320
    if min(size) > 4 and max(size) >= 640:
        assert max(thumbnail.size) > 260
        assert looks_like(image, (RED, GREEN, BLUE, WHITE))
        assert looks_like(thumbnail, (RED, GREEN, BLUE, WHITE))


def test_names_and_hashes_are_of_the_bytes(tmp_path: Path) -> None:
    data = as_file(quarters())
    photo = photos.take_in(data, folder=tmp_path / "photos")
    file = tmp_path / "photos" / photo.sha256[:2] / f"{photo.sha256}.jpg"
    assert file == photos.path(photo.sha256, tmp_path / "photos")
    assert photo.original_sha256 == hashlib.sha256(data).hexdigest()
    assert photo.sha256 == hashlib.sha256(file.read_bytes()).hexdigest()
    assert photo.bytes == file.stat().st_size
    assert sorted(files_in(tmp_path)) == sorted([file, photos.thumb(photo.sha256, tmp_path / "photos")])


def test_what_is_transparent_becomes_white(tmp_path: Path) -> None:
    image = quarters().convert("RGBA")
    image.paste((0, 0, 0, 0), (0, 0, 240, 160))
    for kind in ("PNG", "WEBP"):
        photo = photos.take_in(as_file(image, kind), folder=tmp_path)
        assert looks_like(stored(photo, tmp_path), (WHITE, GREEN, BLUE, WHITE))
    palette = Image.new("P", (480, 320), 0)
    palette.putpalette([*RED, *GREEN])
    palette.paste(1, (240, 0, 480, 320))
    photo = photos.take_in(as_file(palette, "PNG", transparency=0), folder=tmp_path)
    assert looks_like(stored(photo, tmp_path), (WHITE, GREEN, WHITE, GREEN))


def test_a_photograph_in_printing_inks_keeps_its_colours(tmp_path: Path) -> None:
    data = as_file(quarters().convert("CMYK"), quality=95)
    assert Image.open(BytesIO(data)).mode == "CMYK"
    photo = photos.take_in(data, folder=tmp_path)
    assert stored(photo, tmp_path).mode == "RGB"
    assert looks_like(stored(photo, tmp_path), (RED, GREEN, BLUE, WHITE))


def test_a_grey_picture_of_sixteen_bits_stays_as_bright_as_it_was(tmp_path: Path) -> None:
    grey = Image.new("I;16", (64, 64), 0x8000)
    photo = photos.take_in(as_file(grey, "PNG"), folder=tmp_path)
    assert abs(stored(photo, tmp_path).convert("L").getpixel((32, 32)) - 128) <= 2


def test_the_same_photograph_gives_the_same_file_and_is_written_once(tmp_path: Path) -> None:
    data = as_file(quarters())
    here, there = (photos.take_in(data, folder=tmp_path / name) for name in ("here", "there"))
    assert here == there
    file = photos.path(here.sha256, tmp_path / "here")
    before = file.stat()
    assert photos.take_in(data, folder=tmp_path / "here") == here
    assert (file.stat().st_ino, file.stat().st_mtime_ns) == (before.st_ino, before.st_mtime_ns)


def test_a_damaged_file_is_written_again(tmp_path: Path) -> None:
    data = as_file(quarters())
    photo = photos.take_in(data, folder=tmp_path)
    photos.path(photo.sha256, tmp_path).write_bytes(b"half")
    photos.thumb(photo.sha256, tmp_path).unlink()
    assert photos.take_in(data, folder=tmp_path) == photo
    assert photos.verify(tmp_path, [photo.sha256]) == []
    assert looks_like(Image.open(photos.thumb(photo.sha256, tmp_path)), (RED, GREEN, BLUE, WHITE))


# ---- refused, and nothing left behind


def png_of(width: int, height: int) -> bytes:
    """A PNG that claims a size and holds next to nothing (PNG specification, 11.2.1 IHDR)."""

    def chunk(name: bytes, content: bytes) -> bytes:
        return (
            struct.pack(">I", len(content)) + name + content + struct.pack(">I", zlib.crc32(name + content))
        )

    header = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    pixels = chunk(b"IDAT", zlib.compress(bytes(1000)))
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", header) + pixels + chunk(b"IEND", b"")


REFUSED = {
    "empty": (b"", "is empty"),
    "text": (b"bore 100.02, ovality 0.03\n" * 50, "no photograph known"),
    "gif": (as_file(quarters(), "GIF"), "no photograph known"),
    "heic": (b"\0\0\0\x18ftypheic\0\0\0\0mif1heic" + bytes(500), "HEIC.*JPEG"),
    "too many bytes": (bytes(40_000_001), "40 MB"),
    "64 million pixels": (png_of(8000, 8000), "50 million pixels"),
    "100 million pixels": (png_of(10_000, 10_000), "50 million pixels"),
    "900 million pixels": (png_of(30_000, 30_000), "50 million pixels"),
    "a png cut off": (as_file(quarters(), "PNG")[:-200], "broken or was cut off"),
    "a png of too few rows": (png_of(100, 100), "broken or was cut off"),
    "a webp cut off": (as_file(quarters(), "WEBP")[:-200], "broken|no photograph"),
}


@pytest.mark.parametrize(("data", "reason"), REFUSED.values(), ids=REFUSED)
def test_what_is_no_sound_photograph_is_refused_and_leaves_nothing(
    tmp_path: Path, data: bytes, reason: str
) -> None:
    with pytest.raises(Refusal, match=reason):
        photos.take_in(data, folder=tmp_path)
    assert files_in(tmp_path) == []


@pytest.mark.parametrize("part", [0.02, 0.2, 0.5, 0.9, 0.99])
def test_a_photograph_cut_off_on_the_way_is_refused(tmp_path: Path, part: float) -> None:
    noisy = Image.frombytes("RGB", (300, 200), random.Random(1).randbytes(180_000))
    data = as_file(noisy)
    with pytest.raises(Refusal, match=r"cut off|no photograph"):
        photos.take_in(data[: int(len(data) * part)], folder=tmp_path)
    assert files_in(tmp_path) == []


def test_bytes_flipped_anywhere_give_a_photograph_or_a_refusal(tmp_path: Path) -> None:
    chance = random.Random(7)
    for kind in ("JPEG", "PNG", "WEBP"):
        sound = as_file(quarters(60, 40), kind)
        for _ in range(150):
            data = bytearray(sound)
            for _ in range(chance.randint(1, 4)):
                data[chance.randrange(len(data))] = chance.randrange(256)
            try:
                photo = photos.take_in(bytes(data), folder=tmp_path)
            except Refusal:
                continue
            assert max(photo.width, photo.height) <= 2048
    assert all(name.endswith(".jpg") for name in map(str, files_in(tmp_path)))


# ---- the disk, and stops


def in_another_process(source: str, *arguments: object) -> subprocess.Popen[str]:
    """A Python of its own running `source` with the arguments in sys.argv[1:]."""
    command = [sys.executable, "-c", textwrap.dedent(source), *map(str, arguments)]
    here = {**os.environ, "PYTHONPATH": str(Path(__file__).parents[2])}
    return subprocess.Popen(command, stdout=subprocess.PIPE, text=True, env=here)


TAKE_IN_FOR_EVER = """
    import os, sys
    from io import BytesIO
    from pathlib import Path
    from PIL import Image
    from inspect_app.logbook import photos
    while True:
        file = BytesIO()
        Image.frombytes("RGB", (300, 200), os.urandom(180_000)).save(file, "PNG")
        print(photos.take_in(file.getvalue(), folder=Path(sys.argv[1])).sha256, flush=True)
"""


def test_a_kill_leaves_no_half_photograph_under_a_name(tmp_path: Path) -> None:
    chance = random.Random(2026)
    acknowledged: list[str] = []
    for _ in range(8):
        process = in_another_process(TAKE_IN_FOR_EVER, tmp_path)
        assert process.stdout is not None
        told = process.stdout.readline()
        time.sleep(chance.uniform(0, 0.06))
        process.send_signal(signal.SIGKILL)
        told += process.stdout.read()
        process.wait()
        process.stdout.close()
        acknowledged += [line.strip() for line in told.splitlines(keepends=True) if line.endswith("\n")]
    names = [file.stem for file in tmp_path.glob("*/*.jpg") if not file.name.endswith(".thumb.jpg")]
    assert len(acknowledged) >= 8
    assert set(acknowledged) <= set(names)
    assert [s for s in photos.verify(tmp_path, names) if ".part" not in s] == []
    for name in names:
        Image.open(photos.thumb(name, tmp_path)).load()


KILLED_IN_MID_WRITE = """
    import os, resource, signal, sys
    from io import BytesIO
    from pathlib import Path
    from PIL import Image
    from inspect_app.logbook import photos
    file = BytesIO()
    Image.frombytes("RGB", (800, 600), os.urandom(1_440_000)).save(file, "PNG")
    signal.signal(signal.SIGXFSZ, signal.SIG_DFL)  # the kernel kills at this byte of a file
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    resource.setrlimit(resource.RLIMIT_FSIZE, (int(sys.argv[2]), int(sys.argv[2])))
    photos.take_in(file.getvalue(), folder=Path(sys.argv[1]))
"""


@pytest.mark.parametrize("byte", [1, 5_000, 100_000])
def test_a_kill_in_the_middle_of_writing_leaves_no_name(tmp_path: Path, byte: int) -> None:
    assert in_another_process(KILLED_IN_MID_WRITE, tmp_path, byte).wait(timeout=300) == -signal.SIGXFSZ
    assert [file.name for file in files_in(tmp_path) if file.name.endswith(".part")]
    for file in tmp_path.glob("*/*.jpg"):  # a thumbnail may stand there already, whole
        Image.open(file).load()
    assert photos.verify(tmp_path, []) == ["Unfinished files (.part) left by a stop: 1; they may be deleted."]


TAKE_IN_ON_A_FULL_DISK = """
    import os, resource, sys
    from io import BytesIO
    from pathlib import Path
    from PIL import Image
    from inspect_app.logbook import photos
    from inspect_app.logbook.store import NotSaved
    file = BytesIO()
    Image.frombytes("RGB", (800, 600), os.urandom(1_440_000)).save(file, "PNG")
    whole = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (100_000, whole[1]))
    try:
        photos.take_in(file.getvalue(), folder=Path(sys.argv[1]))
    except NotSaved as e:
        print(e)
"""


def test_a_full_disk_is_told_and_leaves_no_photograph(tmp_path: Path) -> None:
    told, _ = in_another_process(TAKE_IN_ON_A_FULL_DISK, tmp_path).communicate(timeout=300)
    assert "NOT saved" in told
    assert [file for file in files_in(tmp_path) if not file.name.endswith(".thumb.jpg")] == []


def test_a_file_where_the_folder_should_be_is_told(tmp_path: Path) -> None:
    (tmp_path / "photos").write_bytes(b"")
    with pytest.raises(NotSaved, match="NOT saved"):
        photos.take_in(as_file(quarters()), folder=tmp_path / "photos")


def test_verify_names_what_is_missing_damaged_and_unasked_for(tmp_path: Path) -> None:
    kept, lost, hurt, orphan = (
        photos.take_in(as_file(quarters(100 + n, 80)), folder=tmp_path).sha256 for n in range(4)
    )
    assert photos.verify(tmp_path, [kept, lost, hurt, orphan]) == []
    photos.path(lost, tmp_path).unlink()
    with photos.path(hurt, tmp_path).open("r+b") as f:
        f.seek(200)
        f.write(b"\xff")
    (tmp_path / kept[:2] / "tmp123.part").write_bytes(b"half")
    sentences = photos.verify(tmp_path, [kept, lost, hurt])
    assert len(sentences) == 4
    assert any(lost[:12] in s and "missing" in s for s in sentences)
    assert any(hurt[:12] in s and "damaged" in s for s in sentences)
    assert any("no entry speaks of: 1" in s for s in sentences)
    assert any(".part" in s for s in sentences)
    assert photos.verify(tmp_path / "not there", []) == []


# ---- from another device


def test_a_photograph_of_another_device_is_kept_byte_for_byte(tmp_path: Path) -> None:
    photo = photos.take_in(as_file(quarters()), folder=tmp_path / "there")
    jpeg = photos.path(photo.sha256, tmp_path / "there").read_bytes()
    photos.keep(jpeg, photo.sha256, folder=tmp_path / "here")
    assert photos.path(photo.sha256, tmp_path / "here").read_bytes() == jpeg
    thumbnail = Image.open(photos.thumb(photo.sha256, tmp_path / "here"))
    assert looks_like(thumbnail, (RED, GREEN, BLUE, WHITE))


@pytest.mark.parametrize("name", ["0" * 64, "../../etc/passwd", "AB" * 32, ""])
def test_a_photograph_that_is_not_what_its_name_says_is_refused(tmp_path: Path, name: str) -> None:
    with pytest.raises(Refusal, match="arrived changed"):
        photos.keep(as_file(quarters()), name, folder=tmp_path)
    junk = b"no photograph"
    with pytest.raises(Refusal, match="no photograph known"):
        photos.keep(junk, hashlib.sha256(junk).hexdigest(), folder=tmp_path)
    assert files_in(tmp_path) == []


def test_only_a_hash_names_a_file(tmp_path: Path) -> None:
    for name in ("../../etc/passwd", "AB" * 32, "a" * 63, "a" * 64 + "\n", ""):
        with pytest.raises(Refusal, match="not the name of a photograph"):
            photos.path(name, tmp_path)


WITHOUT_A_DECODER = """
    import sys
    from pathlib import Path
    sys.modules["PIL"] = None
    from inspect_app.logbook import photos
    made = photos.Developed(b"as a phone made it", b"small", 1600, 1200, "2026-03-02T08:00:00")
    print(photos.take_in_developed(made, "ab" * 32, folder=Path(sys.argv[1])))
"""


def test_a_photograph_that_a_phone_developed_itself_needs_no_decoder_here(tmp_path: Path) -> None:
    told, _ = in_another_process(WITHOUT_A_DECODER, tmp_path).communicate(timeout=300)
    sha256 = hashlib.sha256(b"as a phone made it").hexdigest()
    small = hashlib.sha256(b"small").hexdigest()
    assert told.strip() == str(Photo(sha256, "ab" * 32, 1600, 1200, 18, "2026-03-02T08:00:00", small))
    assert photos.path(sha256, tmp_path).read_bytes() == b"as a phone made it"
    assert photos.thumb(sha256, tmp_path).read_bytes() == b"small"
    assert photos.verify(tmp_path, [sha256], {sha256: {small}}) == []


def test_a_photograph_is_printed_as_fine_as_paper_shows_it_and_its_file_stays(tmp_path: Path) -> None:
    file = BytesIO()
    Image.effect_noise((4000, 3000), 50).convert("RGB").save(file, "JPEG")
    photo = photos.take_in(file.getvalue(), folder=tmp_path)
    printed = photos.for_paper(photo.sha256, tmp_path)
    assert isinstance(printed, bytes)
    with Image.open(BytesIO(printed)) as image:
        # 300 to the inch over 262 pt, the widest place of a page: 262 / 72 x 300 = 1092
        assert 1092 <= max(image.size) <= 1.02 * 1092
    assert photos.for_paper(photo.sha256, tmp_path) is printed
    assert max(photo.width, photo.height) > 1.5 * 1092
    small = BytesIO()
    Image.new("RGB", (800, 600)).save(small, "JPEG")
    other = photos.take_in(small.getvalue(), folder=tmp_path)
    assert photos.for_paper(other.sha256, tmp_path) == photos.path(other.sha256, tmp_path)
    with pytest.raises(FileNotFoundError):
        photos.for_paper("0" * 64, tmp_path)


def test_the_original_is_kept_byte_for_byte_where_the_shop_keeps_it_and_a_changed_one_is_found(
    tmp_path: Path,
) -> None:
    file = BytesIO()
    Image.new("RGB", (800, 600), "red").save(file, "JPEG", exif=b"Exif\0\0MM\0*\0\0\0\x08\0\0\0\0\0\0")
    dropped = photos.take_in(file.getvalue(), folder=tmp_path)
    assert not dropped.kept
    assert not list(tmp_path.rglob("*.original"))
    photo = photos.take_in(file.getvalue(), folder=tmp_path, keep=True)
    assert photo.kept
    stands = original(photo.original_sha256, tmp_path)
    assert stands.read_bytes() == file.getvalue()
    names = [photo.original_sha256]
    assert list(verify_originals(tmp_path, names)) == []
    assert photos.verify(tmp_path, [photo.sha256]) == []
    stands.write_bytes(file.getvalue() + b"x")
    assert "is damaged" in str(*verify_originals(tmp_path, names))
    stands.unlink()
    assert "is missing" in str(*verify_originals(tmp_path, names))


def test_twenty_photographs_of_twelve_megapixels_take_no_more_memory_than_one(tmp_path: Path) -> None:
    """Counted over all that Python and Pillow hold at once, one after another as they come in."""
    file = BytesIO()
    Image.linear_gradient("L").convert("RGB").resize((4000, 3000)).save(file, "JPEG")
    script = (
        "import resource, sys\n"
        "from pathlib import Path\n"
        "from inspect_app.logbook.photos import take_in\n"
        "data = Path(sys.argv[1]).read_bytes()\n"
        "peaks = []\n"
        "for n in range(int(sys.argv[2])):\n"
        "    take_in(data + bytes([n]), folder=Path(sys.argv[1]).parent / 'photos', keep=True)\n"
        "    peaks.append(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss)\n"
        "print(peaks[1], peaks[-1])\n"
    )
    (tmp_path / "camera.jpg").write_bytes(file.getvalue())
    times = "20" if "INSPECT_THOROUGH" in os.environ else "4"
    run = subprocess.run(
        [sys.executable, "-c", script, str(tmp_path / "camera.jpg"), times],
        capture_output=True, text=True, check=True, cwd=Path(__file__).parents[2],
    )  # fmt: skip
    second, last = map(int, run.stdout.split())
    assert last <= second * 1.1
