"""Keeps a copy of the tables every job was opened with, so that an old report can be made again word for word."""

from __future__ import annotations

import shutil
from pathlib import Path

from inspect_app import tables as checklists
from inspect_app.entries.job import Job
from inspect_app.tables import Tables
from inspect_app.trade.measuring.refusal import Refusal


class KeptTables:
    """Today's tables, and the copies kept in a data folder by the hashes of their content.

    Args:
        folder: the data folder.
        shipped: the checklists folder of today.
    Raises:
        TableError: today's tables cannot be used.
    """

    def __init__(self, folder: Path, shipped: Path | None = None) -> None:
        self._kept_in = folder / "tables"
        self._shipped = shipped or checklists.shipped_folder()
        self._shop = folder / "limits"
        self.today = checklists.load(self._shipped, self._shop)
        self._loaded: dict[tuple[str, str], Tables] = {}

    def of(self, job: Job) -> Tables:
        """The tables that judge a job: today's, or the kept copy of those it was opened with.

        Raises:
            TableError: when the kept copy is damaged.
            Refusal: when neither is there.
        """
        key = (job.cylinder_hash, job.limits_hash)
        if key == self.hashes_today(job.cylinder):
            return self.today
        if key not in self._loaded:
            kept = self._folder_of(*key)
            if not kept.is_dir():
                raise Refusal(
                    f"The limits this job was opened with ({kept.name}) are not in {self._kept_in}; "
                    "bring them from the device that opened it."
                )
            self._loaded[key] = checklists.load(kept / "checklists", kept / "limits")
        return self._loaded[key]

    def hashes_today(self, cylinder: str) -> tuple[str, str]:
        """The hashes of today's checklist of a cylinder and of today's limits; "" for a checklist that is gone."""
        chosen = self.today.cylinders.get(cylinder)
        return (chosen.content_hash if chosen else "", self.today.limits_hash)

    def keep(self, cylinder: str) -> dict[str, str]:
        """Keep a copy of today's tables; the body that names them in the log."""
        cylinder_hash, limits_hash = self.hashes_today(cylinder)
        kept = self._folder_of(cylinder_hash, limits_hash)
        if not kept.is_dir():
            unfinished = kept.with_suffix(".part")
            shutil.rmtree(unfinished, ignore_errors=True)
            shutil.copytree(self._shipped, unfinished / "checklists")
            if self._shop.is_dir():
                shutil.copytree(self._shop, unfinished / "limits")
            unfinished.rename(kept)
        return {"cylinder": cylinder, "cylinder_hash": cylinder_hash, "limits_hash": limits_hash}

    def _folder_of(self, *hashes: str) -> Path:
        return self._kept_in / "-".join(h[:12] for h in hashes)
