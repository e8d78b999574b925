"""The ways to repair one cylinder, out of how it was found: what prices, choices and seal lists are made from."""

from __future__ import annotations

from inspect_app.entries.job import Survey
from inspect_app.job.assess import Assessment
from inspect_app.job.known import duties_of, found_of
from inspect_app.job.paths import Case, Paths, bands_of, paths_of
from inspect_app.job.planned import Cylinder
from inspect_app.job.planned_survey import judged
from inspect_app.tables import Tables
from inspect_app.tables.standards.handbook import Handbook


def ways_of(
    survey: Survey, assessment: Assessment, tables: Tables, handbook: Handbook
) -> tuple[Paths, Cylinder]:
    """The paths of a cylinder as found, and what stays of it whatever is done.

    Args:
        survey: the state as found.
        assessment: how that was judged.
        tables: the tables that judge.
        handbook: what is looked up for it.
    """
    rules = tables.operations
    found = found_of(assessment, survey, rules, handbook)
    case = Case(
        assessment,
        found,
        bands_of(assessment, rules),
        rules,
        {name: answer.text for name, answer in survey.answers.items()},
        duties_of(survey, rules),
        judge=judged(survey, assessment, tables),
    )
    return paths_of(case), found.cylinder
