"""What lies beside a log: kept limits, loggers' files, photographs. Finds what is wrong, folding no job whole."""

from __future__ import annotations

import re
from collections.abc import Iterator

from inspect_app.bench.bench import Bench
from inspect_app.bench.testing import wrong_logs
from inspect_app.entries.folding import fold
from inspect_app.entries.job import Job
from inspect_app.logbook.originals import verify_originals
from inspect_app.logbook.photos import verify as verify_photos

NAMING_FILES = ("job", "tables", "test-log", "photo", "undo")
"""The kinds of entries that name a file beside the log, or take that back."""


class Beside:
    """A look at everything that lies beside a log.

    Args:
        bench: the open data folder.
    """

    def __init__(self, bench: Bench) -> None:
        self._bench = bench
        self.jobs = 0
        self.photographs = 0

    def wrong(self) -> Iterator[str]:
        """A sentence for each thing that is wrong; afterwards `jobs` and `photographs` say how many there are.

        Raises:
            NotSaved: the log cannot be read.
        """
        logs: list[str] = []

        def jobs() -> Iterator[Job]:
            for job_id in self._bench.logbook.jobs():
                job = fold(job_id, self._bench.logbook.entries(job_id, *NAMING_FILES))
                self.jobs += 1
                self.photographs += len(job.photos)
                logs.extend(wrong_logs(self._bench.folder, job))
                yield job

        yield from self._bench.kept_tables.wrong_with(jobs())
        yield from logs
        yield from self._photographs()

    def _photographs(self) -> Iterator[str]:
        photos, named, originals = self._bench.photos, dict[str, set[str]](), list[str]()
        for entry in self._bench.logbook.of_kind("photo"):
            # those of another device lie there: a job's file goes without them
            if entry.body.get("kept") is True and entry.device == self._bench.logbook.device:
                originals.append(str(entry.body["original_sha256"]))
            name = str(entry.body.get("sha256"))
            if re.fullmatch("[0-9a-f]{64}", name):
                small = named.setdefault(name, set())
                small |= {str(entry.body["thumbnail"])} if entry.body.get("thumbnail") else set()
            else:
                yield f"Job {entry.job}: the entry {entry.id} names no photograph."
        if not self.jobs and photos.is_dir() and any(photos.glob("*/*.jpg")):
            yield (
                "The logbook is empty, and photographs lie beside it: it is not the one they belong to. "
                "Restore a backup."
            )
        yield from verify_photos(photos, named, named)
        yield from verify_originals(photos, originals)
