"""The stages of a telescopic cylinder, as its nameplate and answers say."""

from __future__ import annotations

from inspect_app.entries.job import Survey
from inspect_app.trade.strength.moves import Stage

STAGES = "stages"
"""The question how many stages there are."""


def stage_sizes(survey: Survey) -> tuple[tuple[str, str, str], ...]:
    """The nameplate's fields of each stage, the largest first: its outside, the bore it runs in, its stroke.

    Args:
        survey: the state of the cylinder; nobody said how many there are: none.
    """
    count = survey.answers.get(STAGES)
    numbers = range(1, int(count.text) + 1) if count else range(0)
    runs_in = ["bore", *(f"stage-{n}-inside" for n in numbers)]
    return tuple(
        (f"stage-{n}-outside", inside, f"stage-{n}-stroke")
        for n, inside in zip(numbers, runs_in, strict=False)
    )


def stages_of(survey: Survey) -> tuple[Stage, ...]:
    """The stages of a telescopic cylinder, the largest first; none while nobody said how many there are.

    Args:
        survey: the state of the cylinder.
    Raises:
        Refusal: a size is not known, or sizes do not fit together.
    """
    return tuple(Stage(*(float(survey.length(name) or 0) for name in names)) for names in stage_sizes(survey))
