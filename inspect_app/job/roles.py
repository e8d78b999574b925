"""Which check measures what a plan knows by one name: on a stage or a side the size of a rod has an id of its own.

A role is the id the check has on a cylinder with one rod, one barrel and one piston. Reckons nothing.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from inspect_app.tables.cylinders import Check, Cylinder

ROLES = (
    "bore-diameter", "bore-surface", "barrel-wall", "rod-diameter", "rod-surface", "rod-chrome", "rod-runout",
    "gland-bore", "gland-clearance", "piston-diameter", "piston-clearance", "piston-new-ring",
    "piston-wear-ring-groove-diameter",
    "piston-seal-groove-diameter", "piston-seal-groove-width",
)  # fmt: skip
STAGE = {"bore-diameter": "bore", "barrel-wall": "wall", "rod-runout": "runout"}
"""What a stage's own check is called where it is of no kind of the rod's or barrel's."""

FOOT = {"piston-diameter": "foot-diameter", "piston-clearance": "foot-clearance"}
"""What runs in the bore of a tube is the foot of the next stage; its grooves are called as a piston's."""


@dataclass(frozen=True, slots=True)
class Several:
    """One of several stages or sides: its id, what it is called, and what the one is called that runs in it."""

    at: str
    called: str
    holds: str = ""


def several_of(cylinder: Cylinder) -> tuple[Several, ...]:
    """The stages or sides of a cylinder that have parts of their own, first the cylinder itself, by "".

    Args:
        cylinder: the checklist.
    """
    named = {p.at: p.called for p in cylinder.parts if p.repeats}
    staged = any(c.repeats == "foot-diameter" for c in cylinder.checks)
    holds = [*named.values(), ""] if staged else ["" for _ in range(len(named) + 1)]
    found = [("", ""), *named.items()]
    return tuple(Several(at, called, inner) for (at, called), inner in zip(found, holds, strict=True))


def roles_of(cylinder: Cylinder, at: str) -> Mapping[str, str]:
    """The check in each role on one stage or side; a role nobody measures there is left out.

    Args:
        cylinder: the checklist.
        at: which stage or side; "" for what stands once.
    """
    order = [s.at for s in several_of(cylinder)]
    own, inner = _own(cylinder, at), _own(cylinder, order[order.index(at) + 1]) if at != order[-1] else {}
    staged = "foot-diameter" in own or "foot-diameter" in inner
    found = {}
    for role in ROLES:
        if staged and role.startswith("piston"):
            check = inner.get(FOOT.get(role, role))  # its own foot runs in the tube around it
        else:
            of_kind = (c for c in own.values() if c.of_kind == role)
            check = own.get(role) or next(of_kind, None) or own.get(STAGE.get(role, ""))
        if check:
            found[role] = check.id
    return found


def _own(cylinder: Cylinder, at: str) -> dict[str, Check]:
    """The checks of one stage or side by what they repeat; of what stands once by their own ids."""
    if not at:
        return {c.id: c for c in cylinder.checks if not c.repeats}
    return {c.repeats: c for c in cylinder.checks if c.repeats and c.id == f"{at}-{c.repeats}"}
