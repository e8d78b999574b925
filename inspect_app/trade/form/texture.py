"""Surface texture from heights along a trace, and roughness grades; knows no limits and no tester."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from inspect_app.trade.measuring.amounts import Amount
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.required import require_finite, require_not_negative

UM_PER_UIN = Decimal("0.0254")


def _about_mean_um(heights_um: Sequence[float], *, at_least: int) -> list[float]:
    if len(heights_um) < at_least:
        raise Refusal(f"{len(heights_um)} heights were given; at least {at_least} are needed.")
    for number, height_um in enumerate(heights_um, 1):
        require_finite(**{f"height_{number}_um": height_um})
    mean_um = math.fsum(heights_um) / len(heights_um)
    return [height_um - mean_um for height_um in heights_um]


def ra_um(heights_um: Sequence[float]) -> float:
    """Mean roughness Ra: mean distance of the profile from its mean line, µm.

    Ra = (1/n) Σ |z|

    Args:
        heights_um: evenly spaced heights of the roughness profile (filtered), µm.
    Raises:
        Refusal: fewer than 2 heights.
    Source: iso-21920-2

    >>> ra_um([1.2, -0.8, 0.5, -1.6, 2.1, -0.4, -1.1, 0.9, 0.3, -0.7, -1.3, 0.9])
    0.98333
    """
    heights = _about_mean_um(heights_um, at_least=2)
    return math.fsum(map(abs, heights)) / len(heights)


def rq_um(heights_um: Sequence[float]) -> float:
    """Root-mean-square roughness Rq ("RMS"), µm.

    Rq = √((1/n) Σ z²)

    Args:
        heights_um: evenly spaced heights of the roughness profile (filtered), µm.
    Raises:
        Refusal: fewer than 2 heights.
    Source: iso-21920-2

    >>> rq_um([1.2, -0.8, 0.5, -1.6, 2.1, -0.4, -1.1, 0.9, 0.3, -0.7, -1.3, 0.9])
    1.10151
    """
    heights = _about_mean_um(heights_um, at_least=2)
    return math.sqrt(math.fsum(z * z for z in heights) / len(heights))


def rt_um(heights_um: Sequence[float]) -> float:
    """Total height Rt: highest peak to deepest valley over the whole evaluation length, µm.

    Args:
        heights_um: heights of the roughness profile (filtered), µm.
    Raises:
        Refusal: fewer than 2 heights.
    Source: iso-21920-2

    >>> rt_um([1.2, -0.8, 0.5, -1.6, 2.1])
    3.7
    """
    heights = _about_mean_um(heights_um, at_least=2)
    return max(heights) - min(heights)


def rz_um(heights_um: Sequence[float], *, sections: int = 5) -> float:
    """Rz: mean over the sections of each one's highest peak to deepest valley, µm.

    Args:
        heights_um: evenly spaced heights of the roughness profile (filtered), µm.
        sections: into how many equal lengths the evaluation length falls; 5 by default of the standard.
    Raises:
        Refusal: fewer than 1 section, or fewer than 2 heights in each.
    Valid: not the ten-point Rz of older tables, which must not be mixed with it.
    Source: iso-21920-2, iso-21920-3

    >>> rz_um([0, 2, 0, 3, 0, 1, 0, 2, 0, 2])
    2.0
    """
    if sections < 1:
        raise Refusal(f"{sections} sections were given; at least 1 is needed.")
    heights = _about_mean_um(heights_um, at_least=2 * sections)
    cuts = [k * len(heights) // sections for k in range(sections + 1)]
    parts = [heights[a:b] for a, b in itertools.pairwise(cuts)]
    return math.fsum(max(part) - min(part) for part in parts) / sections


def um_from_uin(roughness_uin: Decimal) -> Decimal:
    """A measured roughness in microinches as µm, exactly; labels go by the grade table instead.

    Args:
        roughness_uin: roughness, µin.
    Raises:
        Refusal: a negative value.
    Source: nist-sp-811

    >>> um_from_uin(Decimal(32))
    Decimal('0.8128')
    """
    require_not_negative(roughness_uin=float(roughness_uin))
    return roughness_uin * UM_PER_UIN


def uin_from_um(roughness_um: Decimal) -> Decimal:
    """A measured roughness in µm as microinches, exactly; labels go by the grade table instead.

    Args:
        roughness_um: roughness, µm.
    Raises:
        Refusal: a negative value.
    Source: nist-sp-811

    >>> round(uin_from_um(Decimal("1.6")), 2)
    Decimal('62.99')
    """
    require_not_negative(roughness_um=float(roughness_um))
    return roughness_um / UM_PER_UIN


@dataclass(frozen=True, slots=True)
class RaStep:
    """One step of Ra, smooth to coarse: its grade, if it has one, and the cut-off used up to it."""

    ra_um: Decimal
    grade: str  # "N1" to "N12"; empty where only the cut-off changes
    ra_uin: Decimal | None  # the label beside the grade, rounded; not for converting
    cut_off_mm: Decimal
    evaluation_mm: Decimal
    source: str


def grade_of(roughness_um: Decimal, *, steps: Sequence[RaStep]) -> RaStep:
    """The smoothest N grade whose Ra the surface does not exceed.

    Args:
        roughness_um: Ra read, µm.
        steps: the table of Ra steps, in any order.
    Raises:
        Refusal: a negative value, or coarser than the coarsest grade.
    Source: iso-1302-1992

    >>> n5 = RaStep(Decimal("0.4"), "N5", Decimal(16), Decimal("0.8"), Decimal(4), "iso-1302-1992")
    >>> grade_of(Decimal("0.35"), steps=[n5]).grade
    'N5'
    """
    require_not_negative(roughness_um=float(roughness_um))
    grades = [step for step in steps if step.grade and step.ra_um >= roughness_um]
    if not grades:
        raise Refusal(
            "Ra {ra} is coarser than the coarsest grade in the table.", ra=Amount(roughness_um, "roughness")
        )
    return min(grades, key=lambda step: step.ra_um)


def grade_by_uin_label(label_uin: Decimal, *, steps: Sequence[RaStep]) -> RaStep:
    """The grade that carries this microinch label: 16 µin on a drawing means 0.4 µm, not 0.406.

    Args:
        label_uin: the figure on the drawing, µin.
        steps: the table of Ra steps.
    Raises:
        Refusal: no grade carries the label; it names those that stand in the table.
    Source: iso-1302-1992

    >>> n5 = RaStep(Decimal("0.4"), "N5", Decimal(16), Decimal("0.8"), Decimal(4), "iso-1302-1992")
    >>> grade_by_uin_label(Decimal(16), steps=[n5]).ra_um
    Decimal('0.4')
    """
    for step in steps:
        if step.ra_uin == label_uin:
            return step
    labels = ", ".join(str(step.ra_uin) for step in steps if step.ra_uin is not None)
    raise Refusal(
        f"{label_uin} µin is no grade's label; labels are {labels}. Convert a measured value instead."
    )


def cut_off_for(roughness_um: Decimal, *, steps: Sequence[RaStep]) -> RaStep:
    """The default cut-off and evaluation length for a surface of about this Ra.

    Args:
        roughness_um: expected Ra, µm.
        steps: the table of Ra steps, in any order.
    Returns: the step whose `cut_off_mm` and `evaluation_mm` apply; beyond the last, the last.
    Raises:
        Refusal: a negative value, or an empty table.
    Valid: where the drawing names no cut-off.
    Source: iso-21920-3

    >>> n5 = RaStep(Decimal("0.4"), "N5", Decimal(16), Decimal("0.8"), Decimal(4), "iso-1302-1992")
    >>> cut_off_for(Decimal("0.2"), steps=[n5]).cut_off_mm
    Decimal('0.8')
    """
    require_not_negative(roughness_um=float(roughness_um))
    if not steps:
        raise Refusal(
            "The table of Ra steps is empty; restore it from the checklists that came with the program."
        )
    ordered = sorted(steps, key=lambda step: step.ra_um)
    return next((step for step in ordered if step.ra_um >= roughness_um), ordered[-1])
