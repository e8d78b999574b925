"""A cylinder put together and tested: things are typed into its job without a folder, one after the other."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from log import SHIPPED

from inspect_app.entries.entry import Entry
from inspect_app.entries.folding import fold
from inspect_app.entries.job import AS_FOUND, Answer, Field, Job, Survey
from inspect_app.entries.stepping import RecordNoted
from inspect_app.entries.typed import Held, Known, Listed, Typed

SIZES = {"bore": "100", "rod": "56", "stroke": "800", "rated_pressure": "21"}
"""mm and MPa."""
KINDS = {
    "double-acting": SIZES,
    "ram": {"bore": "105", "rod": "90", "stroke": "1500", "rated_pressure": "16"},
    "double-rod": {"bore": "100", "side-a-rod": "70", "side-b-rod": "56", "stroke": "400", "rated_pressure": "16"},
    "telescopic-double-acting": {
        "bore": "125", "rated_pressure": "18", "stage-1-outside": "100", "stage-1-inside": "80",
        "stage-1-stroke": "800", "stage-2-outside": "56", "stage-2-stroke": "800",
    },
    "telescopic": {
        "bore": "140", "rated_pressure": "16", "stage-1-outside": "125", "stage-1-inside": "110",
        "stage-1-stroke": "900", "stage-2-outside": "100", "stage-2-stroke": "900",
    },
}  # fmt: skip
"""A cylinder of each kind; the telescopes have two stages."""


class Closing:
    """The job as it grows."""

    def __init__(
        self,
        sizes: dict[str, str] = SIZES,
        answers: dict[str, str] | None = None,
        cylinder: str = "double-acting",
    ) -> None:
        plate = {name: Field(text, Decimal(text)) for name, text in sizes.items()}
        said = {q: Answer(text, "KM", "") for q, text in (answers or {}).items()}
        self.found = Survey(cylinder=cylinder, units="metric", nameplate=plate, answers=said)
        self.entries: list[Entry] = []

    @property
    def job(self) -> Job:
        return replace(fold("J", self.entries), surveys={AS_FOUND: self.found})

    def enter(self, *every: Typed, system: str = "metric") -> Job:
        for typed in every:
            job = self.job
            known = Known(
                job, job.as_found, SHIPPED, system, places=lambda _: (), at_hand=lambda _: None,
                computed=lambda _: "", listed=lambda _: Listed("", None, (), ()), held=lambda _: Held(), by="KM",
            )  # fmt: skip
            for kind, body in typed.written(known):
                at = f"2026-03-02T08:{len(self.entries) // 60:02}:{len(self.entries) % 60:02}.000Z"
                self.entries.append(Entry(f"{len(self.entries):04}", "J", "D", at, "KM", kind, body))
        return self.job

    def record(self, **records: str) -> Job:
        """Records of the pressure test, _ for -."""
        return self.enter(
            *(RecordNoted("pressure-test", name.replace("_", "-"), text) for name, text in records.items())
        )
