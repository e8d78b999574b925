"""Which fields the nameplate of this cylinder has, and which of its main sizes are not known yet."""

from __future__ import annotations

from inspect_app.entries.job import Survey
from inspect_app.job.present import Presence, presence
from inspect_app.tables.cylinders import Cylinder
from inspect_app.tables.nameplate import NameplateField


def fields_of(cylinder: Cylinder, survey: Survey) -> tuple[NameplateField, ...]:
    """The fields asked for on this cylinder, in their order; one somebody filled in stays.

    Args:
        cylinder: the checklist.
        survey: the state of the cylinder, for what was answered.
    """
    return tuple(
        field
        for field in cylinder.fields.values()
        if presence(field.when, survey) is Presence.THERE or field.id in survey.nameplate
    )


def main_sizes(cylinder: Cylinder, survey: Survey) -> tuple[NameplateField, ...]:
    """The main sizes of this cylinder: the lengths in the first group of its nameplate.

    Args:
        cylinder: the checklist.
        survey: the state of the cylinder, for what was answered.
    """
    fields = fields_of(cylinder, survey)
    first = fields[0].group if fields else ""
    return tuple(f for f in fields if f.group == first and f.kind == "length")


def sizes_missing(cylinder: Cylinder, survey: Survey) -> tuple[NameplateField, ...]:
    """The main sizes nobody has given yet.

    Args:
        cylinder: the checklist.
        survey: the state of the cylinder.
    """
    return tuple(f for f in main_sizes(cylinder, survey) if not survey.length(f.id))
