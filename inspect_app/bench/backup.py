"""The whole data folder as one file, to be laid down elsewhere and proven there; changes nothing."""

from __future__ import annotations

from io import BytesIO
from zipfile import ZIP_DEFLATED, ZIP_STORED, ZipFile, ZipInfo

from inspect_app.bench.bench import Bench

SQUEEZED = (".jpg", ".pdf", ".zip")
"""What would not get smaller."""


def backup(bench: Bench) -> bytes:
    """A zip of the data folder: unpacked it is one again, and `verify` proves it.

    Args:
        bench: the open data folder.
    Raises:
        NotSaved: the logbook cannot be read.
    """
    logbook = bench.logbook.path
    file = BytesIO()
    with ZipFile(file, "w") as archive:
        archive.writestr(ZipInfo(logbook.name), bench.logbook.copy(), ZIP_DEFLATED)
        for kept in sorted(f for f in bench.folder.rglob("*") if f.is_file()):
            inside = kept.relative_to(bench.folder).as_posix()
            # the live log is in the copy already; what is half written was never named by an entry
            if not inside.startswith(logbook.name) and kept.suffix != ".part":
                way = ZIP_STORED if kept.suffix in SQUEEZED else ZIP_DEFLATED
                archive.writestr(ZipInfo(inside), kept.read_bytes(), way)
    return file.getvalue()
