"""What is there on this cylinder, as it was answered, and which checks were not asked because of it."""

from __future__ import annotations

from inspect_app.entries.job import Survey
from inspect_app.job.assess import Assessment
from inspect_app.paper.blocks import Block, Fields, Section, Words
from inspect_app.tables.cylinders import Cylinder


def present_section(assessment: Assessment, survey: Survey, cylinder: Cylinder) -> Section | None:
    """The answers, who gave them, and what they spare; None for a checklist without questions.

    Args:
        assessment: the assessment.
        survey: the state of the cylinder.
        cylinder: the checklist.
    """
    if not cylinder.questions:
        return None
    people = {a.by for a in survey.answers.values()}
    rows = []
    for question in cylinder.questions:
        answer = survey.answers.get(question.id)
        named = f" ({answer.by})" if answer and len(people) > 1 else ""
        said = f"{question.answers.get(answer.text, answer.text)}{named}" if answer else "not answered"
        rows.append((question.title, said))
    blocks: list[Block] = [Fields(tuple(rows), 3)]
    absent = [c.title for part in assessment.parts for c in part.absent]
    if absent:
        blocks.append(Words(f"Not asked, because it is not there: {'; '.join(absent)}.", "small"))
    by = f", as {next(iter(people))} answered" if len(people) == 1 else ""
    return Section(f"What is there{by}", tuple(blocks), 2)
