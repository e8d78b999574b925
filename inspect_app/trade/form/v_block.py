"""What a dial over a V-block says of a lobed section; knows no diameters, limits or part."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.required import require_not_negative

Setting = Literal["summit", "rider"]

# A dial that shows less than a third of a lobe's height would multiply its own error by three.
LEAST_FACTOR = 1 / 3


def v_block_factor(*, lobes: int, included_deg: float, setting: Setting = "summit") -> float:
    """How many times its RONt a lobed part shows on a dial as it turns in a V-block.

    summit (dial opposite the V):  K = 1 + cos(n (90° + a/2)) / sin(a/2)
    rider (dial inside the V):     K = (-1)ⁿ - cos(n (90° + a/2)) / sin(a/2)
    (n lobes, a included angle, dial on the bisector)

    Args:
        lobes: number of equal lobes round the section, 2 or more.
        included_deg: included angle of the V, degrees.
        setting: "summit" or "rider".
    Returns: |K|; TIR = |K| · RONt.
    Raises:
        Refusal: fewer than 2 lobes, or an angle not between 0 and 180.
    Valid: one lobe count at a time, small lobes, a straight part: bow adds to the reading.
    Source: v-block-summit, v-block-rider

    >>> v_block_factor(lobes=3, included_deg=60)  # the abstract's own case: a 3-lobed part shows thrice
    3.0
    """
    if lobes < 2:
        raise Refusal(f"{lobes} lobes were given; a form error has 2 or more.")
    if not 0 < included_deg < 180:
        raise Refusal(f"A V of {included_deg:g}° was given; it lies between 0 and 180.")
    half = math.radians(included_deg) / 2
    flanks = math.cos(lobes * (math.pi / 2 + half)) / math.sin(half)
    return abs(1 + flanks) if setting == "summit" else abs((-1) ** lobes - flanks)


def roundness_from_v_block_mm(
    tir_mm: float, *, lobes: int, included_deg: float, setting: Setting = "summit"
) -> float:
    """Roundness RONt that a V-block reading means if the part has this many lobes, mm.

    RONt = TIR / |K|

    Args:
        tir_mm: total indicator reading over one turn, mm.
        lobes: suspected number of lobes.
        included_deg: included angle of the V, degrees.
        setting: "summit" or "rider".
    Raises:
        Refusal: this V shows less than a third of such lobes; it names what to do.
    Valid: as `v_block_factor`.
    Source: v-block-summit, v-block-rider

    >>> roundness_from_v_block_mm(0.012, lobes=3, included_deg=90)
    0.006
    """
    require_not_negative(tir_mm=tir_mm)
    factor = v_block_factor(lobes=lobes, included_deg=included_deg, setting=setting)
    if factor < LEAST_FACTOR:
        raise Refusal(
            f"A {included_deg:g}° V with the dial at the {setting} hardly shows {lobes} lobes"
            f" ({factor:.2f} of their height); take another V or setting."
        )
    return tir_mm / factor


@dataclass(frozen=True, slots=True)
class VChoice:
    """A V-block and where to set the dial in it; the factor of the lobe count it shows least."""

    included_deg: float
    setting: Setting
    least_factor: float


def choose_v(lobes: Sequence[int], *, included_deg: Sequence[float]) -> VChoice:
    """The V-block at hand that shows the suspected lobes best: the greatest of the least factors.

    Args:
        lobes: suspected lobe counts.
        included_deg: included angles of the V-blocks at hand, degrees.
    Raises:
        Refusal: no lobe counts or no V-blocks given, or no V-block shows them all.
    Valid: as `v_block_factor`.
    Source: v-block-summit, v-block-rider

    >>> choose_v([3, 5, 7], included_deg=[60, 90, 120])
    VChoice(included_deg=120, setting='summit', least_factor=1.0)
    """
    if not lobes or not included_deg:
        raise Refusal("Give at least one suspected lobe count and one V-block.")
    settings: tuple[Setting, ...] = ("summit", "rider")
    choices = [
        VChoice(
            v_deg, setting, min(v_block_factor(lobes=n, included_deg=v_deg, setting=setting) for n in lobes)
        )
        for v_deg in included_deg
        for setting in settings
    ]
    best = max(choices, key=lambda choice: choice.least_factor)
    if best.least_factor < LEAST_FACTOR:
        raise Refusal(
            f"No V-block at hand shows {', '.join(map(str, lobes))} lobes alike; turn it in two of them."
        )
    return best
