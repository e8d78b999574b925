"""The cylinder as it will be: sizes known with their U, and what each operation makes of them; judges nothing."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace

from inspect_app.tables.operations import Operation, Operations
from inspect_app.trade.form.clean_up import chrome_polished_um, clean_up_bore_mm, ground_rod_mm
from inspect_app.trade.measuring.carried import Carried, carry
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.sealing.new_piston import Room, new_piston_room
from inspect_app.trade.strength.barrel import bore_swelling_mm
from inspect_app.trade.strength.moves import Stage

MM_PER_M = 1000
UM_PER_MM = 1000
NO_MARK = Carried(0.0)
SPECIAL_SEAL, FOR_SPECIAL_SEAL = "special-seal", {"hone", "widen-groove"}
"""A seal made to measure goes where its groove or its bore became larger."""


@dataclass(frozen=True, slots=True)
class Sizes:
    """Sizes of one cylinder, as found or as planned; mm, chrome in µm; None where nobody knows.

    `bore` is the greatest, `bore_smallest` the smallest diameter; `rod` the least over its chrome and `base`
    the steel below; `runout` the dial's greatest swing over the span; `land` the piston's least diameter.
    """

    bore: Carried | None = None
    bore_smallest: Carried | None = None
    wall: Carried | None = None
    rod: Carried | None = None
    chrome: Carried | None = None
    base: Carried | None = None
    runout: Carried | None = None
    land: Carried | None = None
    ring_groove: Carried | None = None
    ring: Carried | None = None
    seal_groove: Carried | None = None
    gland: Carried | None = None


@dataclass(frozen=True, slots=True)
class Telescope:
    """All stages of a telescopic cylinder, the largest first, and which of them is worked on (from 0); mm.

    `bored_mm` is what that one is bored to, 0 for a plunger. `last_pushed_mm` is the diameter the oil pushes the last
    stage out on.
    """

    stages: tuple[Stage, ...]
    number: int
    bored_mm: float
    tube_mm: float
    tube_bore_mm: float
    closed_mm: float
    last_pushed_mm: float


@dataclass(frozen=True, slots=True)
class Cylinder:
    """What stays whatever is done: nominal sizes and duty, mm and MPa; None where nobody knows.

    `pushed_mm` is the diameter the oil pushes the rod out on, `column_mm` the effective length of the rod as a
    column; `seal_gap_mm` the gap the piston seal stands at rated pressure, `seal_gap_source` who says so. `mass_kg` is
    that of the whole, `blank_mm` the diameter a new gland is turned from, where that is not the bore. `new_bore` and
    `new_rod` are sizes as a new part has them. With `telescope` it is one stage, rod and barrel at once.
    """

    bore_mm: float | None = None
    pushed_mm: float | None = None
    rod_mm: float | None = None
    stroke_mm: float | None = None
    span_mm: float | None = None
    column_mm: float | None = None
    rated_mpa: float | None = None
    barrel_yield_mpa: float | None = None
    rod_yield_mpa: float | None = None
    seal_gap_mm: float | None = None
    seal_gap_source: str = ""
    closed_mm: float | None = None
    outside_mm: float | None = None
    mass_kg: float | None = None
    new_bore: Carried | None = None
    new_rod: Carried | None = None
    blank_mm: float | None = None
    telescope: Telescope | None = None


@dataclass(frozen=True, slots=True)
class Found:
    """A cylinder as it was found: what stays, its sizes, and the deepest marks; None for one nobody measured.

    `each` are its stages or sides that have parts of their own, each `called` by its name and a cylinder of its own.
    `checks` says which check is in which role there; without, each is in that of its id. `bore_field` is the field
    of the nameplate that its bore stands in.
    """

    cylinder: Cylinder
    sizes: Sizes
    bore_mark: Carried | None = NO_MARK
    rod_mark: Carried | None = NO_MARK
    called: str = ""
    checks: Mapping[str, str] = field(default_factory=dict)
    bore_field: str = "bore"
    each: Mapping[str, Found] = field(default_factory=dict)

    def check(self, role: str) -> str:
        """The check in a role, "" where nobody measures it."""
        return self.checks.get(role, "") if self.checks else role


@dataclass(frozen=True, slots=True)
class Plan:
    """A cylinder as operations will leave it, beside how it was found.

    `each` are the plans of the stages or sides that something is done to: a plan of one names its operations plainly.
    """

    operations: tuple[str, ...]
    found: Found
    sizes: Sizes
    rules: Operations
    each: Mapping[str, Plan] = field(default_factory=dict)

    @property
    def whole(self) -> tuple[Plan, ...]:
        """The plan of what stands once, and that of each stage or side that something is done to."""
        return (self, *self.each.values())

    def of(self, operation: Operation) -> Plan:
        """The plan of the stage or side an operation is done to."""
        return self.each.get(operation.at, self)

    def does(self, *names: str) -> bool:
        """Whether one of these operations is in it."""
        return any(name in self.operations for name in names)

    def figure(self, of: str, name: str) -> float:
        """A figure of the operations file."""
        return float(self.rules.figure(of, name))

    @property
    def computed(self) -> tuple[str, ...]:
        """What has to be reckoned afterwards, by what its operations say; not of a stage or side by itself."""
        elsewhere = any(one.does(SPECIAL_SEAL) for one in self.each.values())
        done = (self.rules.by_id[n] for n in self.operations if not (elsewhere and n == SPECIAL_SEAL))
        wanted = (x for o in done if not o.at for x in o.computes)
        return tuple(dict.fromkeys(wanted))


def planned(found: Found, operations: Iterable[str], rules: Operations) -> Plan:
    """The cylinder after operations, done in the order of the trade.

    Args:
        found: the cylinder as it was found.
        operations: ids of the operations.
        rules: the operations and their figures.
    """
    ordered = in_order(operations, rules)
    done = [rules.by_id[name] for name in ordered]
    each = {}
    for at, here in found.each.items():
        own = tuple(o.name for o in done if o.at == at)
        if SPECIAL_SEAL in ordered and FOR_SPECIAL_SEAL & {*own}:
            own = (*own, SPECIAL_SEAL)
        if own:
            each[at] = _sized(Plan(own, here, here.sizes, rules))
    return _sized(Plan(ordered, found, found.sizes, rules, each))


def _sized(plan: Plan) -> Plan:
    for name in plan.operations:
        if name in EFFECTS:
            plan = replace(plan, sizes=EFFECTS[name](plan))
    return plan


def in_order(operations: Iterable[str], rules: Operations) -> tuple[str, ...]:
    """Operations with each behind all that come before it.

    Args:
        operations: ids of the operations.
        rules: the operations.
    """
    wanted = set(operations)
    left = [name for name in rules.by_id if name in wanted]
    done: list[str] = []
    while left:
        ready = next(n for n in left if not set(rules.by_id[n].after) & set(left))
        left.remove(ready)
        done.append(ready)
    return tuple(done)


def _loosened(x: Carried, more: float) -> Carried:
    """A size that may come out so much off besides."""
    return Carried(x.value, math.hypot(x.expanded, more))


def _honed(plan: Plan) -> Sizes:
    sizes, mark = plan.sizes, plan.found.bore_mark
    if sizes.bore is None or mark is None:
        return replace(sizes, bore=None, bore_smallest=None)
    stock = plan.figure("hone", "stock")
    bore = carry(
        lambda greatest_mm, deepest_mm: clean_up_bore_mm(
            greatest_mm=greatest_mm, deepest_mm=max(0.0, deepest_mm), stock_mm=stock
        ),
        greatest_mm=sizes.bore,
        deepest_mm=mark,
    )
    bore = _loosened(bore, plan.figure("hone", "tolerance"))
    return replace(sizes, bore=bore, bore_smallest=bore)


def _bored_new(plan: Plan) -> Sizes:
    new = plan.found.cylinder.new_bore
    return replace(plan.sizes, bore=new, bore_smallest=new)


def _rechromed(plan: Plan) -> Sizes:
    sizes, mark = plan.sizes, plan.found.rod_mark
    base = None
    if sizes.rod and sizes.chrome and mark:
        stock = plan.figure("rechrome", "stock")
        base = carry(
            lambda least_mm, deepest_mm, chrome_um: ground_rod_mm(
                least_mm=least_mm,
                deepest_mm=max(0.0, deepest_mm),
                chrome_um=max(0.0, chrome_um),
                stock_mm=stock,
            ),
            least_mm=sizes.rod,
            deepest_mm=mark,
            chrome_um=sizes.chrome,
        )
    chrome = Carried(plan.figure("rechrome", "chrome"), plan.figure("rechrome", "chrome-tolerance"))
    return replace(sizes, rod=plan.found.cylinder.new_rod, base=base, chrome=chrome)


def _polished(plan: Plan) -> Sizes:
    sizes, mark = plan.sizes, plan.found.rod_mark
    if sizes.chrome is None or mark is None:
        return replace(sizes, chrome=None)
    chrome = carry(
        lambda chrome_um, depth_mm: chrome_polished_um(
            chrome_um=max(0.0, chrome_um), depth_mm=max(0.0, depth_mm)
        ),
        chrome_um=sizes.chrome,
        depth_mm=mark,
    )
    return replace(sizes, chrome=chrome)


def _straightened(plan: Plan) -> Sizes:
    left, found = _swing_left(plan, "straighten"), plan.sizes.runout
    straighter = left and found and left.value < found.value
    return replace(plan.sizes, runout=left if straighter or found is None else found)


def _swing_left(plan: Plan, operation: str) -> Carried | None:
    span = plan.found.cylinder.span_mm
    return Carried(plan.figure(operation, "left-per-metre") * span / MM_PER_M) if span else None


def _new_rod(plan: Plan) -> Sizes:
    rod = plan.found.cylinder.new_rod
    chrome = Carried(plan.figure("new-rod", "chrome"), plan.figure("new-rod", "chrome-tolerance"))
    base = carry(lambda d, um: d - 2 * um / UM_PER_MM, d=rod, um=chrome) if rod else None
    return replace(plan.sizes, rod=rod, chrome=chrome, base=base, runout=_swing_left(plan, "new-rod"))


def swelling_mm(plan: Plan) -> Carried | None:
    """How much the bore as planned grows on diameter at rated pressure, open ends; None where it cannot be reckoned.

    Args:
        plan: the plan.
    """
    bore, found, rated = plan.sizes.bore, plan.found.sizes, plan.found.cylinder.rated_mpa
    if bore is None or found.wall is None or found.bore_smallest is None or rated is None:
        return None
    smallest = found.bore_smallest.value

    def grown(bore_mm: float, wall_mm: float) -> float:
        left_mm = wall_mm - max(0.0, bore_mm - smallest) / 2
        return bore_swelling_mm(bore_mm=bore_mm, outside_mm=bore_mm + 2 * left_mm, pressure_mpa=rated)

    try:
        return carry(grown, bore_mm=bore, wall_mm=found.wall)
    except Refusal:
        return None


def piston_room(plan: Plan) -> Room | None:
    """The clearance a new piston may have in the bore as planned; None where it cannot be reckoned.

    Args:
        plan: the plan.
    """
    swell, gap = swelling_mm(plan), plan.found.cylinder.seal_gap_mm
    if swell is None or gap is None:
        return None
    return new_piston_room(
        gap_mm=gap,
        metal_gap_mm=plan.figure("new-piston", "metal-gap"),
        ring_play_mm=plan.figure("new-piston", "ring-play"),
        swell_mm=swell.value,
    )


def _new_stage(plan: Plan) -> Sizes:
    """Rod and tube at once, new."""
    return _bored_new(replace(plan, sizes=_new_rod(plan)))


def _new_piston(plan: Plan) -> Sizes:
    """A piston made for the bore as it will be: its clearance in the middle of what gap and metal gap allow."""
    sizes, cylinder = plan.sizes, plan.found.cylinder
    room, bore, ring = piston_room(plan), sizes.bore, sizes.ring
    if not (room and bore and ring):
        return replace(sizes, land=None, ring_groove=None)
    play = plan.figure("new-piston", "ring-play")
    clearance = (room.least_mm + room.greatest_mm) / 2
    made_to = plan.figure("new-piston", "tolerance")
    groove = None
    if sizes.seal_groove and cylinder.bore_mm:
        # the housing's class is kept: its depth stays, so the floor follows the bore
        groove = Carried(sizes.seal_groove.value + bore.value - cylinder.bore_mm, made_to)
    return replace(
        sizes,
        land=Carried(bore.value - clearance, made_to),
        ring_groove=Carried(bore.value - 2 * ring.value - play, made_to),
        seal_groove=groove,
    )


EFFECTS: Mapping[str, Callable[[Plan], Sizes]] = {
    "hone": _honed,
    "resleeve": _bored_new,
    "new-barrel": _bored_new,
    "rechrome": _rechromed,
    "polish-rod": _polished,
    "straighten": _straightened,
    "straighten-hardened": _straightened,
    "new-rod": _new_rod,
    "new-stage": _new_stage,
    "new-piston": _new_piston,
}
"""What operations do to sizes; one that is not here leaves them."""
