"""A cylinder to find paths for, out of a log: the sound 100/63 x 1200 with its duty, and what is wrong with it."""

from __future__ import annotations

from log import STILL, Log, sound

from inspect_app.job.known import duties_of, found_of
from inspect_app.job.paths import Case, Paths, RepairPath, bands_of, paths_of
from inspect_app.job.planned_survey import judged
from inspect_app.tables.standards.handbook import shipped_handbook

DUTY = {
    # below 10 MPa a plastic-faced seal of 5.33 mm stands a gap of 0.50 mm there, by the trade's table
    "rated_pressure": "9.5", "barrel_yield": "355", "rod_yield": "500", "closed_length": "1600",
    "outside_diameter": "120", "mass": "80",
}  # fmt: skip


def cylinder(answers: dict[str, str] | None = None, **more: str) -> Log:
    """The sound cylinder with its duty on the nameplate; "" leaves a field out."""
    log = sound(answers=answers)
    fields = {**DUTY, **more}
    typed = {
        name: {"typed": text} if name == "over_people" else {"typed": text, "value": text}
        for name, text in fields.items()
        if text
    }
    log.write("nameplate", fields=typed)
    return log


def case_of(log: Log) -> Case:
    """Everything its paths are found from."""
    survey, assessment, rules = log.survey(), log.assess(), STILL.operations
    return Case(
        assessment,
        found_of(assessment, survey, rules, shipped_handbook(), STILL.cylinders["double-acting"]),
        bands_of(assessment, rules),
        rules,
        {name: a.text for name, a in survey.answers.items()},
        duties_of(survey, rules),
        judge=judged(survey, assessment, STILL),
    )


def ways(log: Log) -> Paths:
    """Its paths."""
    return paths_of(case_of(log))


def offered(log: Log) -> set[frozenset[str]]:
    """The operations of each path offered, without the seals that every one has."""
    return {frozenset(p.operations) - {"reseal"} for p in ways(log).offered}


def the_one(paths: Paths, *operations: str) -> RepairPath:
    """The path of just these operations, beside new seals."""
    (one,) = [p for p in paths.every if {*p.operations} - {"reseal"} == {*operations}]
    return one
