"""How the cylinder stands after the work: each part as found beside as left, and which of the two holds now.

A part that was fit and that nobody worked on is as it was found. One that needed work counts as nothing until it
is measured again: that it was worked on proves no size.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from inspect_app.entries.job import AS_LEFT, Job, Survey
from inspect_app.job.assess import FIT, Assessment, PartResult
from inspect_app.job.findings import CheckResult, Disposition
from inspect_app.job.headline import listed, overruled_words, stops_words
from inspect_app.tables.cylinders import Part

STANDS_SO = {Disposition.REPLACE: "Replace", Disposition.REWORK: "Rework"}


@dataclass(frozen=True, slots=True)
class PartNow:
    """One part as found and as left; `done` are the checks of which something was said as left."""

    found: PartResult
    left: PartResult
    done: tuple[CheckResult, ...]

    @property
    def part(self) -> Part:
        """The part of the checklist."""
        return self.found.part

    @property
    def touched(self) -> bool:
        """Whether anything was said of it as left."""
        return bool(self.done) or self.left.decided is not None

    @property
    def as_found_still(self) -> bool:
        """Whether it stands as it was found: fit then, nothing said since, and what was worked on still fits it."""
        fits_no_more = any(
            c.disposition in (Disposition.REWORK, Disposition.REPLACE, Disposition.REFER)
            for c in self.left.checks
            if c.check.between
        )
        return not self.touched and self.found.disposition in FIT and not fits_no_more

    @property
    def now(self) -> PartResult:
        """The result that holds."""
        return self.found if self.as_found_still else self.left


def parts_now(job: Job, found: Assessment, left: Assessment) -> tuple[PartNow, ...]:
    """Every part as found and as left, in the checklist's order.

    Args:
        job: the job.
        found: what was made of it as found.
        left: what was made of it as left.
    """
    said = checks_said(job.surveys.get(AS_LEFT, Survey()))
    return tuple(
        PartNow(before, after, tuple(c for c in after.checks if c.check.id in said))
        for before, after in zip(found.parts, left.parts, strict=True)
    )


def checks_said(left: Survey) -> frozenset[str]:
    """The checks of which something was said as left.

    Args:
        left: what was said of that state alone.
    """
    measured = (check for check, readings in left.readings.items() if readings)
    skipped = (check for check, _ in left.skips)
    return frozenset((*measured, *skipped, *left.looked, *(d.check for d in left.defects)))


def now_sentence(parts: Sequence[PartNow]) -> str:
    """How the cylinder stands as left; a stop comes first.

    Args:
        parts: as `parts_now` gives them.
    """
    now = [p.now for p in parts]
    said = ["As left."]
    if stopped := _of(now, Disposition.REFER):
        said = [f"STOP, as left: {stops_words(stopped)}. Do not use it until a qualified person decides."]
    for disposition, word in STANDS_SO.items():
        if these := _of(now, disposition):
            said.append(f"{word}: {listed(these)}.")
    if open_ := _of(now, Disposition.OPEN):
        said.append(f"Not measured to the end: {listed(open_)}.")
    overruled, unchecked = [p for p in now if p.overruled], _of(now, Disposition.UNCHECKED)
    if len(said) == 1 and not stopped:
        which = "Every other part" if overruled or unchecked else "Every part"
        said.append(f"{which} is within its limits.")
    if overruled:
        told = "; ".join(overruled_words(p) for p in overruled)
        said.append(f"Decided by a person against the calculated result: {told}.")
    if unchecked:
        said.append(f"Not checked: {listed(unchecked)}.")
    return " ".join(said)


def _of(parts: Iterable[PartResult], disposition: Disposition) -> list[PartResult]:
    return [p for p in parts if p.disposition is disposition]
