"""What stands of a reassembly: the torque each joint is aimed at and the one it reached; values only."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal

from inspect_app.entries.seals import AsTyped

DRAWING, SHOP, COMPUTED = "drawing", "shop", "computed"
BASES = {DRAWING: "the drawing", SHOP: "the shop's table", COMPUTED: "computed"}
"""Where a torque is from, the better first; what each is called."""


@dataclass(frozen=True, slots=True)
class ComputedFrom:
    """What a computed torque rests on: thread with its proof load, friction, way of tightening, share of proof.

    `nut_factors` are K at its lowest, as expected and at its highest; `scatter` and `share` are fractions.
    """

    thread: str
    strength: str
    d_mm: Decimal
    proof_load_n: Decimal
    surface: str
    nut_factors: tuple[Decimal, Decimal, Decimal]
    way: str
    scatter: Decimal
    share: Decimal


@dataclass(frozen=True, slots=True)
class Target:
    """The torque a joint is aimed at: as on a drawing or in a table, or what it is computed from.

    `source` is which drawing or table, `on` what is on thread and face. `count` is how many screws there are. The
    wrench and what makes it longer are None where nothing does.
    """

    basis: str
    low: AsTyped | None
    nominal: AsTyped | None
    high: AsTyped | None
    source: str
    on: str
    count: int
    computed: ComputedFrom | None
    wrench: AsTyped | None
    extension: AsTyped | None
    by: str
    at: str


@dataclass(frozen=True, slots=True)
class Reached:
    """The torque a joint reached; `torque` is None where it was beyond the tool.

    `error_percent` is how far the tool may be off, `until` when its calibration ends ("" where nobody said).
    """

    torque: AsTyped | None
    angle: AsTyped | None
    tool: str
    error_percent: Decimal | None
    until: str
    by: str
    at: str


@dataclass(frozen=True, slots=True)
class Assembled:
    """Every joint's target and what it reached, the last word of each, by its id.

    What was said of a joint before each gland had its own holds for every gland that nothing else was said of.
    """

    targets: Mapping[str, Target] = field(default_factory=dict)
    reached: Mapping[str, Reached] = field(default_factory=dict)

    def of(self, joint: str, repeats: str) -> tuple[Target | None, Reached | None]:
        """The target of a joint and what it reached: its own, else what was said of all it is one of several of."""
        own = joint in self.targets
        reached = self.reached.get(joint) or (None if own else self.reached.get(repeats))
        return self.targets.get(joint) or self.targets.get(repeats), reached
