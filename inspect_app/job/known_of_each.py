"""What the nameplate says of one stage or one side by itself: its own rod, its own stroke, what pushes it.

A size nobody wrote stays unknown, and what hangs on it is not proven.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from math import sqrt

from inspect_app.entries.job import Survey
from inspect_app.job.planned import Cylinder, Telescope
from inspect_app.job.stages import stage_sizes, stages_of
from inspect_app.tables.cylinders import Cylinder as Checklist
from inspect_app.tables.standards.handbook import Handbook
from inspect_app.trade.form.fits import limits_of_size
from inspect_app.trade.measuring.carried import Carried
from inspect_app.trade.measuring.refusal import Refusal

PINNED = ("eye-with-bush", "eye-with-spherical-bearing", "clevis")
"""The ends a pin goes through."""

SWIVELS = (*PINNED, "trunnion")
"""What the outer tube may hang in and still turn freely."""


def own_cylinder(
    at: str, cylinder: Cylinder, survey: Survey, handbook: Handbook, checklist: Checklist
) -> tuple[Cylinder, str]:
    """What stays of one stage or side whatever is done, and the field of the nameplate that its bore stands in.

    Args:
        at: which stage or side.
        cylinder: the whole cylinder.
        survey: the state of the cylinder.
        handbook: tables to look things up in.
        checklist: the cylinder's checklist, which says what the oil presses on.
    """
    if checklist.areas.startswith("stages"):
        return _stage(at, cylinder, survey, handbook, checklist), f"{at}-inside"
    if checklist.areas == "annulus":
        return _side(at, cylinder, survey, handbook, checklist), "bore"
    return cylinder, "bore"


def _side(at: str, cylinder: Cylinder, survey: Survey, handbook: Handbook, checklist: Checklist) -> Cylinder:
    """One rod of two: pushed out by the oil around the other one."""
    others = [n for n in checklist.fields if n.endswith("-rod") and n != f"{at}-rod"]
    bore, other = cylinder.bore_mm, number_off(survey, others[0]) if others else None
    pushed = sqrt(bore**2 - other**2) if bore and other and other < bore else None
    return replace(
        cylinder,
        rod_mm=number_off(survey, f"{at}-rod"),
        span_mm=number_off(survey, f"{at}-support_span"),
        pushed_mm=pushed,
        new_rod=as_new(survey.length(f"{at}-rod"), "f7", handbook),
    )


def _stage(at: str, cylinder: Cylinder, survey: Survey, handbook: Handbook, checklist: Checklist) -> Cylinder:
    """One stage: the tube around it is the one before."""
    number = next((n for n, names in enumerate(stage_sizes(survey)) if names[0] == f"{at}-outside"), None)
    steels = [y for y in (cylinder.barrel_yield_mpa, cylinder.rod_yield_mpa) if y]
    steel = min(steels, default=None)
    return replace(
        cylinder,
        bore_mm=number_off(survey, f"{at}-inside"),
        blank_mm=None if number is None else number_off(survey, stage_sizes(survey)[number][1]),
        pushed_mm=None,
        rod_mm=number_off(survey, f"{at}-outside"),
        stroke_mm=number_off(survey, f"{at}-stroke"),
        span_mm=number_off(survey, f"{at}-support_span"),
        column_mm=None,
        barrel_yield_mpa=steel,
        rod_yield_mpa=steel,
        outside_mm=number_off(survey, f"{at}-outside"),
        new_bore=as_new(survey.length(f"{at}-inside"), "H8", handbook),
        new_rod=as_new(survey.length(f"{at}-outside"), "f7", handbook),
        telescope=None if number is None else _telescope(number, survey, cylinder, checklist),
    )


def _telescope(number: int, survey: Survey, cylinder: Cylinder, checklist: Checklist) -> Telescope | None:
    """All stages together; None where a size is missing, or an end is held so that it does not turn freely."""
    answers = {end: told.text for end in ("rod-end", "cap-end") if (told := survey.answers.get(end))}
    free = answers.get("rod-end") in PINNED and answers.get("cap-end") in SWIVELS
    tube, bore, closed = cylinder.outside_mm, cylinder.bore_mm, cylinder.closed_mm
    try:
        stages = stages_of(survey)
    except Refusal:
        return None
    if not (free and stages and tube and bore and closed):
        return None
    last, both_ways = stages[-1], checklist.areas == "stages both ways"
    return Telescope(
        stages,
        number,
        stages[number + 1].runs_in_mm if number + 1 < len(stages) else 0.0,
        tube,
        bore,
        closed,
        last.runs_in_mm if both_ways else last.outside_mm,
    )


def number_off(survey: Survey, name: str) -> float | None:
    """A quantity off the nameplate, None where nobody wrote it.

    Args:
        survey: the state of the cylinder.
        name: the field.
    """
    value = survey.length(name)
    return None if value is None else float(value)


def as_new(nominal: Decimal | None, fit: str, handbook: Handbook) -> Carried | None:
    """The middle of a tolerance, with half of it either way; None where there is no such size.

    Args:
        nominal: the nominal size, mm.
        fit: its tolerance class, such as "f7".
        handbook: tables to look things up in.
    """
    if nominal is None:
        return None
    try:
        size = limits_of_size(nominal_mm=nominal, fit_class=fit, tables=handbook.iso286)
    except Refusal:
        return None
    low, high = float(size.lower_mm), float(size.upper_mm)
    return Carried((low + high) / 2, (high - low) / 2)
