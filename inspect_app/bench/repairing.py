"""The ways to repair one cylinder, out of how it was found: what prices, choices and seal lists are made from."""

from __future__ import annotations

from inspect_app.entries.job import Survey
from inspect_app.job.assess import Assessment
from inspect_app.job.known import duties_of, found_of
from inspect_app.job.paths import Case, Paths, Standing, bands_of, paths_of, tried_of
from inspect_app.job.planned import Cylinder, Plan, planned
from inspect_app.job.planned_survey import judged
from inspect_app.job.seals.after import changed_by
from inspect_app.tables import Tables
from inspect_app.tables.standards.handbook import Handbook


def case_of(
    survey: Survey, assessment: Assessment, tables: Tables, handbook: Handbook, confirmed: frozenset[str]
) -> Case:
    """A cylinder to find paths for.

    Args:
        survey: the state as found.
        assessment: how that was judged.
        tables: the tables that judge.
        handbook: what is looked up for it.
        confirmed: the operations that somebody answered for.
    """
    rules = tables.operations
    found = found_of(assessment, survey, rules, handbook, tables.cylinders[survey.cylinder])
    return Case(
        assessment,
        found,
        bands_of(assessment, rules, found.checks),
        rules,
        {name: answer.text for name, answer in survey.answers.items()},
        duties_of(survey, rules),
        confirmed,
        judge=judged(survey, assessment, tables),
        own_bands={at: bands_of(assessment, rules, one.checks) for at, one in found.each.items()},
    )


def change_seals(case: Case, cylinder: str, handbook: Handbook) -> bool:
    """Whether any path would change a groove or what a seal runs on: only then its paths have to be reckoned.

    Args:
        case: the cylinder.
        cylinder: its checklist.
        handbook: which checks measure what a seal sits in and runs on.
    """
    plans = (planned(case.found, operations, case.rules) for operations in tried_of(case))
    return any(changed_by(plan, cylinder, handbook) for plan in plans)


def ways_of(case: Case) -> tuple[Paths, Cylinder]:
    """The paths of a cylinder, and what stays of it whatever is done.

    Args:
        case: the cylinder.
    """
    return paths_of(case), case.found.cylinder


def may_be_taken(paths: Paths) -> dict[str, Plan]:
    """The paths that may still be taken, by their operations: those not proven yet too, those refused not.

    Args:
        paths: the paths of a cylinder.
    """
    return {"+".join(p.operations): p.plan for p in paths.every if p.standing is not Standing.REFUSED}
