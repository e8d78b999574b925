"""Deciding: what a person decides for a part with open eyes, and the cautions that were read."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from inspect_app.entries.entry import Body, Entry
from inspect_app.entries.job import Decided, Survey
from inspect_app.entries.typed import Known, Written, one_of
from inspect_app.trade.measuring.refusal import Refusal

DECISIONS = {"reuse": "reuse", "rework": "rework", "replace": "replace"}
"""What a person may decide for a part, ids with what each is called."""

STOP = "stop"
"""What the readings say of a part that only a qualified person may pass."""

# ---- typed


@dataclass(frozen=True, slots=True)
class Decision:
    """What a person decides for a part, and why; over a stop who examined it, qualified by what, and how."""

    part: str
    disposition: str
    reason: str
    examined_by: str = ""
    examined_how: str = ""

    def written(self, known: Known) -> list[Written]:
        """The decision; refused is an unknown part or decision, no reason, a stop overruled unexamined."""
        parts = [p.id for p in known.cylinder.parts]
        if self.part not in parts:
            raise Refusal(f"{self.part!r} is not a part; allowed are {', '.join(parts)}.")
        disposition = one_of(self.disposition, DECISIONS, "a decision")
        if not self.reason.strip():
            raise Refusal("Say why; the report prints the reason beside the calculated result.")
        overrules_stop = known.computed(self.part) == STOP and disposition != "replace"
        if overrules_stop and not (self.examined_by.strip() and self.examined_how.strip()):
            raise Refusal(
                "This part is stopped. Say who is qualified and examined it, and how (for example magnetic "
                "particles); the report prints both."
            )
        body = {"part": self.part, "disposition": disposition, "reason": self.reason.strip()}
        if overrules_stop:
            body |= {"examined_by": self.examined_by.strip(), "examined_how": self.examined_how.strip()}
        return [("decision", body)]


@dataclass(frozen=True, slots=True)
class CautionConfirmed:
    """A caution was read and confirmed, by its id."""

    caution: str

    def written(self, known: Known) -> list[Written]:
        """The confirmation; refused is a caution there is not."""
        allowed = [c.id for c in known.tables.cautions]
        if self.caution not in allowed:
            raise Refusal(f"{self.caution!r} is not a caution; allowed are {', '.join(allowed)}.")
        return [("caution", {"caution": self.caution})]


# ---- folded


def decision(survey: Survey, entry: Entry, body: Body) -> Survey:
    """The last decision for a part holds."""
    if body["disposition"] not in DECISIONS:
        raise ValueError("a decision this version does not understand")
    new = Decided(
        entry.id,
        body["disposition"],
        body["reason"],
        entry.by,
        entry.at,
        body.get("examined_by", ""),
        body.get("examined_how", ""),
    )
    return replace(survey, decided={**survey.decided, body["part"]: new})


def caution(cautions: Mapping[str, str], entry: Entry, body: Body) -> Mapping[str, str]:
    """Who confirmed a caution last."""
    return {**cautions, body["caution"]: entry.by}
