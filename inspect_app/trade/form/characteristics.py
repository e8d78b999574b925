"""What can be made of a check's readings, by the trade's name; knows neither limits nor gauges.

A characteristic of scope "place" is the reading itself, judged place by place; of scope "section" it
belongs to one station; of scope "part" it needs the whole grid. None of them depends on the order in
which places were read.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from inspect_app.trade.form.grid import Grid
from inspect_app.trade.form.made_of_dials import bow, turn, worst_bend
from inspect_app.trade.form.made_of_diameters import (
    ballooning,
    bell_mouth,
    difference,
    fitted_ovality,
    mean,
    ovality,
    taper,
    wear,
)
from inspect_app.trade.form.making import Made, Supports

Compute = Callable[[Grid, Supports | None], Made]


@dataclass(frozen=True, slots=True)
class Characteristic:
    """A characteristic: its name in a sentence, its scope, how it is computed (None for scope place), and
    its kind of quantity where that is another than the readings'."""

    title: str
    scope: str
    compute: Compute | None = None
    kind: str = ""

    def kind_from(self, readings: str) -> str:
        """The kind of quantity this is, of readings of a kind: what is made of lengths is a small length."""
        made_of_lengths = self.scope != "place" and readings == "length"
        return self.kind or ("deviation" if made_of_lengths else readings)


CHARACTERISTICS: Mapping[str, Characteristic] = {
    "size": Characteristic("size", "place"),
    "least": Characteristic("minimum thickness", "place"),
    "gap": Characteristic("gap or play", "place"),
    "tir": Characteristic("runout (TIR)", "place"),
    "roughness": Characteristic("roughness Ra", "place"),
    "hardness": Characteristic("hardness", "place"),
    "ovality": Characteristic("ovality", "section", ovality),
    "fitted_ovality": Characteristic("ovality, fitted", "section", fitted_ovality),
    "turn": Characteristic("runout (TIR) of the clocks read", "section", turn),
    "taper": Characteristic("taper", "part", taper),
    "wear": Characteristic("wear against the unworn end", "part", wear),
    "ballooning": Characteristic("ballooning", "part", ballooning),
    "bell_mouth": Characteristic("bell mouth", "part", bell_mouth),
    "bow": Characteristic("bow (half the TIR)", "part", bow),
    "worst_per_metre": Characteristic("worst local bend (TIR)", "part", worst_bend, "slope"),
    "difference": Characteristic("difference of the longest and the shortest", "part", difference),
    "mean": Characteristic("mean", "part", mean),
    "clearance": Characteristic("clearance on diameter", "part"),
}
"""Every characteristic a checklist may name. A clearance lies between two checks and is computed there."""
