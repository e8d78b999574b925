"""Hours worked beside hours estimated, in the lines of the scope; knows no price."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import timedelta
from decimal import Decimal

from inspect_app.job.pricing import PriceLine
from inspect_app.job.steps import StepStands
from inspect_app.tables.steps import REWORK, Step


@dataclass(frozen=True, slots=True)
class HoursBeside:
    """Lines of the scope by the steps they are done in: what was estimated for them, h, and what was worked."""

    steps: tuple[str, ...]
    lines: tuple[str, ...]
    estimated_h: Decimal
    spent: timedelta


def hours_beside(lines: Sequence[PriceLine], every: Sequence[StepStands]) -> tuple[HoursBeside, ...]:
    """The hours of a scope's lines, those done in the same steps together; no hour is counted twice.

    A line that no step names is done in the rework. A line without hours of its own (outside work) is left out.

    Args:
        lines: the lines as they are priced.
        every: how the steps stand.
    """
    of = {s.step.id: s for s in every}
    told: dict[str, tuple[list[str], list[PriceLine]]] = {}
    for line in (x for x in lines if x.hours):
        doing = list(_doing(line.work, {s: of[s].step for s in of})) or [REWORK]
        steps, works = told.setdefault(doing[0], ([], []))
        steps += [s for s in doing if s not in steps]
        works.append(line)
    return tuple(
        HoursBeside(
            tuple(of[s].step.title for s in steps if s in of),
            tuple(x.title for x in works),
            sum((x.hours for x in works if x.hours), Decimal(0)),
            sum((of[s].spent for s in steps if s in of), timedelta()),
        )
        for steps, works in told.values()
    )


def _doing(work: str, steps: Mapping[str, Step]) -> Iterator[str]:
    return (name for name, step in steps.items() if work in step.does)
