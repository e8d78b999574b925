"""What is present on this cylinder, as somebody answered it; a check for what is absent is not asked.

An unanswered question is never taken for a no: what hangs on it is open until somebody has looked.
"""

from __future__ import annotations

import enum

from inspect_app.entries.job import Survey
from inspect_app.entries.measuring import NOT_FITTED
from inspect_app.job.places import whole_skip
from inspect_app.tables.cylinders import Check, Cylinder, Part, Question
from inspect_app.tables.limits import Answers


class Presence(enum.Enum):
    """Whether something is on this cylinder."""

    THERE = "there"
    ABSENT = "not on this cylinder"
    UNANSWERED = "not answered yet"


def presence(when: Answers, survey: Survey) -> Presence:
    """Whether what hangs on these answers is there.

    Args:
        when: for each question the answers under which it is there; all must hold.
        survey: the state of the cylinder, for what was answered.
    """
    answered = {question: survey.answers.get(question) for question in when}
    if any(answer and answer.text not in when[question] for question, answer in answered.items()):
        return Presence.ABSENT
    return Presence.THERE if all(answered.values()) else Presence.UNANSWERED


def presence_of(check: Check, survey: Survey) -> Presence:
    """Whether what a check looks at is there.

    Args:
        check: the check.
        survey: the state of the cylinder, for what was answered.
    """
    found = [presence(check.when, survey)]
    if check.when_any:
        each = [presence({question: answers}, survey) for question, answers in check.when_any.items()]
        found.append(next((p for p in Presence if p in each and p is not Presence.ABSENT), Presence.ABSENT))
    if Presence.ABSENT in found:
        return Presence.ABSENT
    return Presence.UNANSWERED if Presence.UNANSWERED in found else Presence.THERE


def is_asked(check: Check, survey: Survey) -> bool:
    """Whether a check is asked for on this cylinder.

    What somebody measured or found is judged whatever was answered: a reading says that the thing is there.

    Args:
        check: the check.
        survey: the state of the cylinder.
    """
    entered = survey.readings.get(check.id) or any(d.check == check.id for d in survey.defects)
    return bool(entered) or presence_of(check, survey) is Presence.THERE


def parts_of(cylinder: Cylinder, survey: Survey) -> tuple[Part, ...]:
    """The parts of this cylinder: one of several is there where the answers say so, or something was entered on it.

    Args:
        cylinder: the checklist.
        survey: the state of the cylinder.
    """
    return tuple(
        part
        for part in cylinder.parts
        if presence(part.when, survey) is Presence.THERE
        or any(survey.met(c.id) for c in cylinder.checks_of(part.id))
    )


def is_fitted(part: Part, cylinder: Cylinder, survey: Survey) -> bool:
    """Whether a part is on this cylinder: one that may be missing is not where each of its checks was said not to be.

    Args:
        part: the part.
        cylinder: the checklist.
        survey: the state of the cylinder.
    """
    checks = [c for c in cylinder.checks_of(part.id) if presence_of(c, survey) is not Presence.ABSENT]
    if not part.optional or any(survey.met(c.id) for c in cylinder.checks_of(part.id)):
        return True
    return any(whole_skip(c, survey) != NOT_FITTED for c in checks)


def answers_without(check: Check, cylinder: Cylinder) -> tuple[tuple[Question, str], ...]:
    """The answers that say that what a check looks at is not there; none for what must be there.

    Args:
        check: the check.
        cylinder: the checklist, for its questions.
    """
    asked = [(q, check.when[q.id]) for q in cylinder.questions if q.id in check.when]
    return tuple((q, answer) for q, there in asked for answer in q.answers if answer not in there)


def checks_beside(check: Check, cylinder: Cylinder) -> tuple[Check, ...]:
    """The checks that look at the same groove, this one first; of what is no groove itself alone.

    Args:
        check: the check.
        cylinder: the checklist.
    """
    return (check, *(c for c in cylinder.checks if check.groove and c.groove == check.groove and c != check))


def open_questions(part_id: str, cylinder: Cylinder, survey: Survey) -> tuple[Question, ...]:
    """The questions on a part that nobody has answered yet.

    Args:
        part_id: the part.
        cylinder: the checklist.
        survey: the state of the cylinder.
    """
    return tuple(q for q in cylinder.questions if q.part == part_id and q.id not in survey.answers)


def material_of(part: Part, survey: Survey) -> str:
    """What a part is made of, as a key of the table of expansions: as answered, else as the checklist says.

    Args:
        part: the part.
        survey: the state of the cylinder.
    """
    answer = survey.answers.get(part.material_from)
    return answer.text if answer else part.material
