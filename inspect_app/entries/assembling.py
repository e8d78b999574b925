"""Assembling: the torque a joint is aimed at and where that is from, and the torque it reached."""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

from inspect_app.entries.assembled import BASES, COMPUTED, Assembled, ComputedFrom, Reached, Target
from inspect_app.entries.entry import Body, Entry
from inspect_app.entries.sealing import as_typed, counted, understood
from inspect_app.entries.typed import Known, Written, day_typed, decimal, one_of
from inspect_app.tables.assembling import Joint, joints_on
from inspect_app.trade.joints.torque import torque_question
from inspect_app.trade.measuring import quantities
from inspect_app.trade.measuring.refusal import Refusal

BEYOND_TOOL = "beyond the tool"
"""What is typed for a torque that the tool did not reach."""

# ---- typed


@dataclass(frozen=True, slots=True)
class TorqueAimed:
    """The torque a joint is aimed at, by its id: nominal, or lowest and highest, off a drawing or table; or computed.

    Without a range the nominal one holds within what assembling.toml allows a reading.
    """

    joint: str
    basis: str
    nominal: str = ""
    low: str = ""
    high: str = ""
    source: str = ""
    on: str = ""
    count: str = ""
    computed: ComputedFrom | None = None
    wrench: str = ""
    extension: str = ""

    def written(self, known: Known) -> list[Written]:
        """The target; refused is one that says no torque, no drawing, not what is on the thread, or no count."""
        joint = joint_named(self.joint, known)
        basis = one_of(self.basis, BASES, "where a torque is from")
        if not self.on.strip():
            raise Refusal("Say what is on thread and face: oil, paste or dry decides what the torque does.")
        if bool(self.wrench.strip()) != bool(self.extension.strip()):
            raise Refusal("Give the length of the wrench and of what makes it longer, or neither.")
        count = counted(self.count, "a count of screws") if joint.several or self.count.strip() else 1
        torques = {} if basis == COMPUTED else self._torques(known.system)
        if basis == COMPUTED and self.computed is None:
            raise Refusal(
                "A computed torque needs thread, strength, what is on it and the way of tightening."
            )
        if basis != COMPUTED and not self.source.strip():
            raise Refusal(f"Say which one: {BASES[basis]}, sheet or page. The report prints it.")
        body = {
            "joint": joint.id,
            "basis": basis,
            "torque": torques,
            "source": self.source.strip(),
            "on": self.on.strip(),
            "count": count,
            "computed": _written(self.computed) if self.computed and basis == COMPUTED else {},
            "wrench": as_typed(self.wrench, "length", known.system),
            "extension": as_typed(self.extension, "length", known.system),
        }
        return [("torque-target", body)]

    def _torques(self, system: str) -> dict[str, dict[str, str]]:
        typed = {"low": self.low, "nominal": self.nominal, "high": self.high}
        found = {name: as_typed(text, "torque", system) for name, text in typed.items() if text.strip()}
        if "nominal" not in found and not ("low" in found and "high" in found):
            raise Refusal("Type the torque, or the lowest and the highest that are allowed.")
        if ("low" in found) != ("high" in found):
            raise Refusal("Type both ends of the range, or neither.")
        values = [Decimal(found[name]["value"]) for name in typed if name in found]
        if values != sorted(values):
            raise Refusal(
                "The lowest torque is above the highest, or the middle one outside them; swap them."
            )
        return found


@dataclass(frozen=True, slots=True)
class TorqueReached:
    """The torque a joint reached, or BEYOND_TOOL; with which tool, how far that may be off, and the angle turned."""

    joint: str
    torque: str
    tool: str
    error_percent: str = ""
    until: str = ""
    angle: str = ""

    def written(self, known: Known) -> list[Written]:
        """What was reached; refused is one without a target or a tool, or an unlikely torque."""
        joint = joint_named(self.joint, known)
        if not {joint.id, joint.repeats} & {*known.job.assembled.targets}:
            raise Refusal("{joint} has no torque target yet; enter that first.", joint=joint.title)
        if not self.tool.strip():
            raise Refusal("Say which tool it was tightened with.")
        beyond = self.torque.strip().casefold() == BEYOND_TOOL
        torque = {} if beyond else as_typed(self.torque, "torque", known.system)
        if not torque and not beyond:
            raise Refusal("Type the torque that was reached.")
        if torque and (question := torque_question(float(torque["value"]))):
            raise Refusal("{question}", question=question)
        body = {
            "joint": joint.id,
            "torque": torque,
            "angle": as_typed(self.angle, "angle", known.system),
            "tool": self.tool.strip(),
            "error_percent": self._error(known.system),
            "until": day_typed(self.until),
        }
        return [("torque-reached", body)]

    def _error(self, system: str) -> str:
        if not self.error_percent.strip():
            return ""
        value = quantities.read(self.error_percent, kind="percent", system=system).value
        if not 0 < value < 100:
            raise Refusal(f"{self.error_percent.strip()} is no error of a tool; it lies between 0 and 100 %.")
        return quantities.exact(value)


def joint_named(name: str, known: Known) -> Joint:
    """A joint of this cylinder.

    Args:
        name: its id, or what it is called.
        known: for the checklists, and what was said of the cylinder.
    Raises:
        Refusal: there is none.
    """
    answers = {q: answer.text for q, answer in known.job.as_found.answers.items()}
    joints = joints_on(known.tables.assembling, known.tables.cylinders[known.job.cylinder], answers)
    return joints[one_of(name, {j.id: j.title for j in joints.values()}, "a joint")]


def _written(computed: ComputedFrom) -> dict[str, Any]:
    return {
        "thread": computed.thread,
        "strength": computed.strength,
        "d_mm": quantities.exact(computed.d_mm),
        "proof_load_n": quantities.exact(computed.proof_load_n),
        "surface": computed.surface,
        "nut_factors": [quantities.exact(k) for k in computed.nut_factors],
        "way": computed.way,
        "scatter": quantities.exact(computed.scatter),
        "share": quantities.exact(computed.share),
    }


# ---- folded


def target(assembled: Assembled, entry: Entry, body: Body) -> Assembled:
    """The last target of a joint holds; what it reached before stays, and is held against that."""
    torques = body["torque"]
    new = Target(
        body["basis"],
        understood(torques.get("low", {})),
        understood(torques.get("nominal", {})),
        understood(torques.get("high", {})),
        body["source"],
        body["on"],
        int(body["count"]),
        _read(body["computed"]) if body["computed"] else None,
        understood(body["wrench"]),
        understood(body["extension"]),
        entry.by,
        entry.at,
    )
    return replace(assembled, targets={**assembled.targets, body["joint"]: new})


def reached(assembled: Assembled, entry: Entry, body: Body) -> Assembled:
    """The last torque a joint reached holds."""
    new = Reached(
        understood(body["torque"]),
        understood(body["angle"]),
        body["tool"],
        decimal(body["error_percent"]),
        body["until"],
        entry.by,
        entry.at,
    )
    return replace(assembled, reached={**assembled.reached, body["joint"]: new})


def _read(body: Body) -> ComputedFrom:
    low, expected, high = (Decimal(k) for k in body["nut_factors"])
    return ComputedFrom(
        body["thread"],
        body["strength"],
        Decimal(body["d_mm"]),
        Decimal(body["proof_load_n"]),
        body["surface"],
        (low, expected, high),
        body["way"],
        Decimal(body["scatter"]),
        Decimal(body["share"]),
    )
