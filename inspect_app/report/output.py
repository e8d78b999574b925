"""What the cylinder can do by its nameplate, as a section of the report."""

from __future__ import annotations

from inspect_app.entries.job import Survey
from inspect_app.job.output import notes_of, output_of
from inspect_app.paper.blocks import Fields, Section, Words
from inspect_app.tables.cylinders import Cylinder


def output_section(survey: Survey, cylinder: Cylinder, system: str) -> Section | None:
    """Forces, areas, oil and column; None while the sizes are not known.

    Args:
        survey: the state of the cylinder.
        cylinder: the checklist.
        system: "metric" or "inch".
    """
    rows = tuple((name, sentence.words(system)) for name, sentence in output_of(cylinder, survey))
    if not rows:
        return None
    return Section("What it can do", (Fields(rows), Words(" ".join(notes_of(cylinder)), "small")), 2)
