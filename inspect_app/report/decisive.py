"""Which findings decide, in which order they are numbered, and where each lies; judges nothing."""

from __future__ import annotations

from dataclasses import dataclass

from inspect_app.entries.job import Defect, Place
from inspect_app.job.assess import Assessment, PartResult
from inspect_app.job.findings import CheckResult, Disposition, Finding
from inspect_app.job.words import place_words, what_follows
from inspect_app.report.phrases import worst_first
from inspect_app.trade.measuring.wording import capital

FIT = (Disposition.REUSE, Disposition.UNCHECKED, Disposition.ABSENT)


@dataclass(frozen=True, slots=True)
class Decisive:
    """What speaks against a part as it is: a measured check or a defect, with its findings, the worst first."""

    number: int
    part: PartResult
    check: CheckResult
    findings: tuple[Finding, ...]
    defect: Defect | None = None

    @property
    def worst(self) -> Finding:
        """The finding that decides."""
        return self.findings[0]

    @property
    def place(self) -> Place:
        """Where it lies."""
        return self.defect.place if self.defect else self.worst.place


def decisive(assessment: Assessment) -> tuple[Decisive, ...]:
    """Every finding that leaves a part not simply fit, numbered: the worst of each part that decides, then the rest.

    Args:
        assessment: the assessment.
    """
    because = [p.part.id for p in assessment.because]
    parts = sorted(
        assessment.parts, key=lambda p: (p.part.id not in because, list(Disposition).index(p.computed))
    )
    columns = [_of_part(part) for part in parts]
    longest = max((len(c) for c in columns), default=0)
    in_turn = [column[n] for n in range(longest) for column in columns if n < len(column)]
    return tuple(
        Decisive(number, part, check, findings, defect)
        for number, (part, check, findings, defect) in enumerate(in_turn, 1)
    )


_Found = tuple[PartResult, CheckResult, tuple[Finding, ...], Defect | None]


def _of_part(part: PartResult) -> list[_Found]:
    found: list[_Found] = []
    for check in part.checks:
        defects = {d.id: d for d in check.defects}
        unfit = [f for f in check.findings if f.disposition not in FIT and (f.value is not None or f.defect)]
        groups = dict.fromkeys(f.defect for f in unfit)
        for group in groups:
            its = tuple(worst_first(f for f in unfit if f.defect == group))
            found.append((part, check, its, defects.get(group)))
    return sorted(found, key=lambda f: list(Disposition).index(f[2][0].disposition))


def cures_of(part: PartResult) -> str:
    """What is done to a part, each operation once: "strip, grind and re-chrome; fit new bush"; "" for nothing.

    Args:
        part: the part's result.
    """
    said = [
        what_follows(f) for found in _of_part(part) for f in found[2] if f.disposition is Disposition.REWORK
    ]
    return "; ".join(dict.fromkeys(said))


def where_words(found: Decisive, zone: str, system: str) -> str:
    """Where a finding lies, in words; "" where nobody noted it.

    Args:
        found: the finding.
        zone: what the area of its defect is called.
        system: "metric" or "inch".
    """
    called = {} if found.defect else found.check.check.stations.names
    where = [place_words(found.place, called, system), zone]
    return capital(", ".join(w for w in where if w))
