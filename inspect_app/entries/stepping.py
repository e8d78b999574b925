"""Stepping: what is done with the steps of a job, and what is recorded in each."""

from __future__ import annotations

from dataclasses import dataclass, replace

from inspect_app.entries.entry import Body, Entry
from inspect_app.entries.steps import (
    DID,
    OPENED,
    SKIPPED,
    STARTED,
    STOPPED,
    Noted,
    Stepped,
    Steps,
)
from inspect_app.entries.typed import Known, Written, decimal, id_of, one_of, with_unit
from inspect_app.tables.steps import CHOICE, PHOTO, TEXT, Record, Step
from inspect_app.trade.measuring import quantities
from inspect_app.trade.measuring.amounts import Amount
from inspect_app.trade.measuring.refusal import Refusal, joined

# ---- typed


@dataclass(frozen=True, slots=True)
class StepDone:
    """What is done with a step, by id, and why: skipping, opening again and closing with something missing need it."""

    step: str
    did: str
    reason: str = ""

    def written(self, known: Known) -> list[Written]:
        """The entry; starting stops what the same person has running. Refused is what does not follow what was done."""
        step = step_named(self.step, known)
        did = one_of(self.did, DID, "something done with a step")
        steps = known.job.steps
        if did == STARTED:
            return self._started(step, known)
        if did == STOPPED:
            if known.by not in [r.by for r in steps.running(step.id)]:
                raise Refusal("{step} was not started by you.", step=step.title)
            return [self._of(step.id, STOPPED)]
        if did == OPENED:
            if not steps.over(step.id):
                raise Refusal("{step} is open.", step=step.title)
            self._require_reason(known, f"Say why {step.title} is opened again.")
            return [self._of(step.id, OPENED)]
        if steps.over(step.id):
            raise Refusal("{step} is closed or skipped already; open it again first.", step=step.title)
        if did == SKIPPED:
            self._require_reason(known, f"Say why {step.title} is skipped; the report prints it.")
        else:
            self._require_nothing_missing(step, known)
        return [self._of(step.id, did)]

    def _started(self, step: Step, known: Known) -> list[Written]:
        steps = known.job.steps
        if steps.over(step.id):
            raise Refusal("{step} is closed or skipped; open it again first.", step=step.title)
        mine = [s for s in known.tables.steps if known.by in [r.by for r in steps.running(s)]]
        if step.id in mine:
            return []
        return [*(self._of(other, STOPPED, "") for other in mine), self._of(step.id, STARTED)]

    def _require_nothing_missing(self, step: Step, known: Known) -> None:
        held = known.held(step.id)
        if held.refused:
            says = joined(held.refused, " ")
            raise Refusal("{step} is refused. {says}", step=step.title, says=says)
        if held.missing and not (self.reason.strip() and known.by.strip()):
            says = joined(held.missing, " ")
            raise Refusal(
                "{step} is not ready to be closed. {says} Or say why it is closed all the same, with initials.",
                step=step.title,
                says=says,
            )

    def _require_reason(self, known: Known, sentence: str) -> None:
        if not self.reason.strip():
            raise Refusal(sentence)
        if not known.by.strip():
            raise Refusal("Say by whom: initials are missing.")

    def _of(self, step: str, did: str, reason: str | None = None) -> Written:
        why = self.reason.strip() if reason is None else reason
        return "step", {"step": step, "did": did, "reason": why}


@dataclass(frozen=True, slots=True)
class RecordNoted:
    """What a step records, by the ids of step and record; "" takes it back."""

    step: str
    record: str
    text: str

    def written(self, known: Known) -> list[Written]:
        """The record, where it changed; refused is what is not recorded there, cannot be read or is out of bounds."""
        step = step_named(self.step, known)
        record = step.record(self.record)
        if record is None or record.kind == PHOTO:
            allowed = ", ".join(r.id for r in step.records if r.kind != PHOTO)
            raise Refusal(
                f"{self.record!r} is not recorded in {step.title}; allowed are {allowed or 'none'}."
            )
        needed = step.record(record.needs)
        if needed and self.text.strip() and not known.job.steps.typed(step.id, needed.id):
            raise Refusal(
                "{title} is taken only with this: {needed}.", title=record.title, needed=needed.title
            )
        typed, value = read_record(record, self.text.strip(), known.system)
        if typed == known.job.steps.typed(step.id, record.id):
            return []
        return [("record", {"step": step.id, "record": record.id, "typed": typed, "value": value})]


def read_record(record: Record, text: str, system: str) -> tuple[str, str]:
    """A record as it goes into the log: as typed (an id where it is one of its options), and its value, "" for none.

    Args:
        record: which.
        text: as typed; "" takes it back.
        system: "metric" or "inch".
    Raises:
        Refusal: it cannot be read, is none of the answers, or out of bounds.
    """
    if not text or record.kind == TEXT:
        return text, ""
    if record.kind == CHOICE:
        return one_of(text, record.options, f"an answer to {record.title}"), ""
    if option := id_of(text, record.options):
        return option, ""
    quantity = quantities.read(text, kind=record.kind, system=system)
    low, high = record.at_least, record.at_most
    if (low is not None and quantity.value < low) or (high is not None and quantity.value > high):
        shown = [Amount(b, record.kind) for b in (low, high) if b is not None]
        words = (
            "between {low} and {high}" if len(shown) == 2 else "at least {low}" if low else "at most {low}"
        )
        bounds = dict(zip(("low", "high"), shown, strict=False))
        raise Refusal(f"{{title}}: {{typed}} is not {words}.", title=record.title, typed=text, **bounds)
    return with_unit(text, quantity), quantities.exact(quantity.value)


def step_named(name: str, known: Known) -> Step:
    """A step of the checklists.

    Args:
        name: its id.
        known: what is known.
    Raises:
        Refusal: there is none.
    """
    step = known.tables.steps.get(name)
    if step is None:
        raise Refusal(f"{name!r} is not a step; allowed are {', '.join(known.tables.steps)}.")
    return step


# ---- folded


def step(steps: Steps, entry: Entry, body: Body) -> Steps:
    """What was done joins the rest."""
    if body["did"] not in DID:
        raise ValueError("something done with a step that this version does not understand")
    new = Stepped(entry.id, body["step"], body["did"], body["reason"], entry.by, entry.at)
    return replace(steps, done=(*steps.done, new))


def record(steps: Steps, entry: Entry, body: Body) -> Steps:
    """The last word on a record holds; an empty one is gone."""
    key = (body["step"], body["record"])
    new = Noted(body["typed"], decimal(body["value"]), entry.by, entry.at)
    return replace(steps, records={k: n for k, n in {**steps.records, key: new}.items() if n.typed})
