"""What of Python goes to the phone: our own modules, the pure packages they need, checklists and licences.

Everything comes out of the Python this runs in; nothing is downloaded. Tests, compiled parts, what only a server
needs, and of the fonts all but the two the documents are set in stay behind.
"""

from __future__ import annotations

import gzip
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from importlib import metadata
from io import BytesIO
from pathlib import Path, PurePosixPath
from zipfile import ZIP_DEFLATED, ZIP_STORED, ZipFile, ZipInfo

from inspect_app.trade.measuring.refusal import Refusal

PACKAGE = Path(__file__).parent.parent.parent

NEEDED = ("flet", "sqlite-utils", "reportlab", "font-source-sans-pro", "pint")
NOT_THERE = frozenset(
    ("pillow", "httpx", "oauthlib", "charset-normalizer", "tabulate", "tzdata", "pip", "setuptools")
)
"""What those ask for and never use on a phone. Photographs are made small by the browser's own decoder."""

OURS_LEFT = (
    "serve/",
    "alone/site/",
    "alone/web/",
    "_shipped/",
    "__main__.py",
    "commands/",
    "hub/",
)
THEIRS_LEFT = ("/tests/", "/testsuite/", "/testing/", "/cli/", "__pycache__")
COMPILED = (".so", ".pyd", ".dll", ".dylib", ".pyi", ".pyc")
FONTS = {
    "reportlab/fonts/": ("bitstream-vera-license.txt",),
    "font_source_sans_pro/files/": ("SourceSansPro-Regular.ttf", "SourceSansPro-Bold.ttf", "LICENSE.txt"),
}
"""What goes along of each folder of fonts; one of reportlab's is under the GPL."""

STUBS = {"PIL/__init__.py": b"", "PIL/Image.py": b""}
"""reportlab imports this name with its own import; no document of ours has a photograph decoded by it."""

PACKAGES = "packages/"
"""Where others' packages lie in the archive; our own lies beside it."""


@dataclass(frozen=True, slots=True)
class Packed:
    """A package that goes to the phone: its name, version, and what licence it says it is under."""

    name: str
    version: str
    licence: str


def files(ours: Path = PACKAGE) -> tuple[dict[str, bytes], tuple[Packed, ...]]:
    """Every file of the archive by its path in it, and whose they are.

    Args:
        ours: the folder of our own package.
    Raises:
        Refusal: a package that is needed is not installed here.
    """
    found = {**_ours(ours), **{f"{PACKAGES}{name}": content for name, content in STUBS.items()}}
    packed = []
    for name, installed in sorted(_wanted().items()):
        packed.append(Packed(name, installed.version, _licence(installed)))
        for inside, content in _theirs(installed):
            found[f"{PACKAGES}{inside}"] = content
    return found, tuple(packed)


def zipped(found: Mapping[str, bytes]) -> bytes:
    """The files as a zip; the same files give the same bytes."""
    file = BytesIO()
    with ZipFile(file, "w", ZIP_DEFLATED, compresslevel=9) as archive:
        for name in sorted(found):
            archive.writestr(ZipInfo(name), found[name], ZIP_DEFLATED)
    return file.getvalue()


def squeezed(archive: bytes) -> bytes:
    """An archive as `alone/web/unpack.js` reads it: each file stored, and all of it squeezed once."""
    stored = BytesIO()
    with ZipFile(BytesIO(archive)) as given, ZipFile(stored, "w", ZIP_STORED) as made:
        for name in given.namelist():
            made.writestr(ZipInfo(name), given.read(name))
    return gzip.compress(stored.getvalue(), 9, mtime=0)


def _ours(ours: Path) -> dict[str, bytes]:
    found = {}
    for file in sorted(ours.rglob("*.py")):
        inside = file.relative_to(ours).as_posix()
        if not inside.startswith(OURS_LEFT):
            found[f"inspect_app/{inside}"] = file.read_bytes()
    installed = ours / "_shipped" / "checklists"
    shipped = installed if installed.is_dir() else ours.parent / "checklists"
    for file in sorted(f for f in shipped.rglob("*") if f.is_file()):
        found[f"inspect_app/_shipped/checklists/{file.relative_to(shipped).as_posix()}"] = file.read_bytes()
    return found


def _wanted() -> dict[str, metadata.Distribution]:
    """The distributions that are needed, and those they need."""
    found: dict[str, metadata.Distribution] = {}
    ahead = list(NEEDED)
    while ahead:
        name = re.sub(r"[-_.]+", "-", ahead.pop()).lower()
        if name in found or name in NOT_THERE:
            continue
        try:
            found[name] = metadata.distribution(name)
        except metadata.PackageNotFoundError as e:
            raise Refusal(f"the package {name} is not installed here; install the program again.") from e
        for asked in found[name].requires or ():
            asks_always = "extra ==" not in asked and "python_version" not in asked
            if asks_always and (match := re.match(r"[A-Za-z0-9._-]+", asked)):
                ahead.append(match[0])
    return found


def _licence(installed: metadata.Distribution) -> str:
    told = installed.metadata
    words = [line for key in ("License-Expression", "License") for line in (told.get_all(key) or ())]
    words += [c.rpartition(" :: ")[2] for c in told.get_all("Classifier") or () if "License" in c]
    return next((w.strip().splitlines()[0][:80] for w in words if w.strip()), "see its own text")


def _theirs(installed: metadata.Distribution) -> Iterator[tuple[str, bytes]]:
    for listed in installed.files or ():
        inside, file = PurePosixPath(listed.as_posix()).as_posix(), Path(str(listed.locate()))
        if not inside.startswith("..") and not _left(inside) and file.is_file():
            yield inside, file.read_bytes()


def _left(inside: str) -> bool:
    """Whether a file of a package stays behind; licence texts never do."""
    if ".dist-info/" in inside:
        return not any(word in inside.upper() for word in ("LICEN", "COPYING", "NOTICE"))
    for folder, kept in FONTS.items():
        if inside.startswith(folder):
            return inside.removeprefix(folder) not in kept
    return any(part in f"/{inside}" for part in THEIRS_LEFT) or inside.endswith(COMPILED)
