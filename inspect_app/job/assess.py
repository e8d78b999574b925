"""Makes of the checks a disposition per part, and repair or replace for all.

The worst finding decides a part. What is missing or too close to call is never passed over: a part that
needs work and is not measured to the end is not finished, and then the whole is not decided. A person may
decide otherwise with open eyes: both stand side by side, and the whole names what was overruled.
"""

from __future__ import annotations

import enum
from dataclasses import dataclass

from inspect_app.entries.job import Decided, Survey
from inspect_app.job.checks import CheckJudged, assess_check
from inspect_app.job.findings import CheckResult, Disposition, worst_disposition
from inspect_app.job.present import is_asked, is_fitted, open_questions, parts_of
from inspect_app.tables import Tables
from inspect_app.tables.cylinders import Check, Cylinder, Part, Question


class Whole(enum.Enum):
    """What becomes of the cylinder, by id."""

    REPAIR = "repair"
    REPLACE = "replace"
    OPEN = "not-decided"


FIT = (Disposition.REUSE, Disposition.UNCHECKED, Disposition.ABSENT)
"""What needs no work."""


@dataclass(frozen=True, slots=True)
class PartResult:
    """A part: what was computed, and what a person decided if one did.

    `checks` are those asked for on this cylinder, `absent` those that are not because what they check is
    not there; `questions` are what nobody has answered yet.
    """

    part: Part
    checks: tuple[CheckResult, ...]
    absent: tuple[Check, ...]
    questions: tuple[Question, ...]
    computed: Disposition
    decided: Decided | None

    @property
    def disposition(self) -> Disposition:
        """What holds: the person's decision before the computed one."""
        return Disposition(self.decided.disposition) if self.decided else self.computed

    @property
    def unfinished(self) -> bool:
        """Whether it needs work and something required is still missing or too close to call.

        A person's decision finishes a part; a new part needs no more measuring.
        """
        settled = not self.questions and all(c.settled for c in self.checks)
        return self.disposition is Disposition.REWORK and not self.decided and not settled

    @property
    def overruled(self) -> bool:
        """Whether a person decided for less than the readings say."""
        order = list(Disposition)
        if self.decided is None or self.computed is Disposition.UNCHECKED:
            return False
        return order.index(self.computed) < order.index(self.disposition)

    @property
    def left(self) -> int:
        """How many questions, places and looks are still neither done nor skipped with a reason."""
        return len(self.questions) + sum(c.left for c in self.checks)


@dataclass(frozen=True, slots=True)
class Assessment:
    """The whole cylinder: parts in the checklist's order, repair or replace, and the parts that decide it."""

    parts: tuple[PartResult, ...]
    whole: Whole
    because: tuple[PartResult, ...]

    @property
    def left(self) -> int:
        """How many questions, places and looks are still to be done or skipped."""
        return sum(p.left for p in self.parts)

    @property
    def stopped(self) -> tuple[PartResult, ...]:
        """The parts only a qualified person may pass, and none has."""
        return tuple(p for p in self.parts if p.disposition is Disposition.REFER)

    @property
    def overruled(self) -> tuple[PartResult, ...]:
        """The parts a person decided for less than the readings say."""
        return tuple(p for p in self.parts if p.overruled)

    @property
    def not_fitted(self) -> tuple[PartResult, ...]:
        """The parts that are not on this cylinder, and need not be."""
        return tuple(p for p in self.parts if p.disposition is Disposition.ABSENT)

    @property
    def unchecked(self) -> tuple[PartResult, ...]:
        """The parts nothing was measured on, every check skipped with a reason."""
        return tuple(p for p in self.parts if p.disposition is Disposition.UNCHECKED)


def assess_part(
    part: Part, cylinder: Cylinder, survey: Survey, tables: Tables, judged: CheckJudged
) -> PartResult:
    """One part: its checks and the worst of what follows from them.

    Args:
        part: the part.
        cylinder: the checklist.
        survey: the state of the cylinder.
        tables: the tables.
        judged: judges a check.
    """
    every = cylinder.checks_of(part.id)
    asked = {c.id for c in every if is_asked(c, survey)}
    checks = tuple(judged(c, cylinder, survey, tables) for c in every if c.id in asked)
    absent, decided = tuple(c for c in every if c.id not in asked), survey.decided.get(part.id)
    if not is_fitted(part, cylinder, survey):
        return PartResult(part, checks, absent, (), Disposition.ABSENT, decided)
    questions = open_questions(part.id, cylinder, survey)
    found = [c.disposition for c in checks] + ([Disposition.OPEN] if questions else [])
    computed = worst_disposition(found)
    gauged = [c for c in checks if not c.check.look and not c.check.between]
    if computed is Disposition.REUSE and gauged and not any(c.measured for c in gauged):
        # every measurement was skipped with a reason: nothing speaks against the part, and nothing for it
        computed = Disposition.UNCHECKED
    return PartResult(part, checks, absent, questions, computed, decided)


def assess(survey: Survey, tables: Tables, judged: CheckJudged = assess_check) -> Assessment:
    """The whole cylinder. Repair includes a reseal of parts that are all fit for reuse.

    A body part to be replaced means the cylinder is replaced. A part that is stopped, not decided or not
    finished leaves the whole undecided unless a replacement is already certain.

    Args:
        survey: the state of the cylinder.
        tables: the tables that judge it.
        judged: judges a check.
    Raises:
        KeyError: when the tables lack its checklist.
    """
    cylinder = tables.cylinders[survey.cylinder]
    parts = tuple(assess_part(p, cylinder, survey, tables, judged) for p in parts_of(cylinder, survey))
    replaced = tuple(p for p in parts if p.part.body and p.disposition is Disposition.REPLACE)
    undecided = tuple(
        p for p in parts if p.disposition in (Disposition.OPEN, Disposition.REFER) or p.unfinished
    )
    if replaced:
        return Assessment(parts, Whole.REPLACE, replaced)
    if undecided:
        return Assessment(parts, Whole.OPEN, undecided)
    return Assessment(parts, Whole.REPAIR, tuple(p for p in parts if p.disposition not in FIT))
