"""Every kind of entry, a row each: what its body must say, how it is folded, whether one tap takes it back."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from inspect_app.entries import (
    agreeing,
    assembling,
    deciding,
    gauges,
    issuing,
    looking,
    measuring,
    opening,
    ordering,
    picturing,
    sealing,
    stepping,
    testing,
)
from inspect_app.entries.entry import Body, Entry
from inspect_app.entries.job import AS_FOUND, Job, Survey
from inspect_app.entries.typed import Written


@dataclass(frozen=True, slots=True)
class OfJob:
    """A step that knows the whole job."""

    step: Callable[[Job, Entry, Body], Job]

    def __call__(self, job: Job, entry: Entry) -> Job:
        return self.step(job, entry, entry.body)


@dataclass(frozen=True, slots=True)
class OfSurvey:
    """A step that knows one state of the cylinder: the survey the body names, as found where it names none."""

    step: Callable[[Survey, Entry, Body], Survey]

    def __call__(self, job: Job, entry: Entry) -> Job:
        name = str(entry.body.get("survey", AS_FOUND))
        stood = job.surveys.get(name) or Survey(name)
        return replace(job, surveys={**job.surveys, name: self.step(stood, entry, entry.body)})


@dataclass(frozen=True, slots=True)
class OfPart:
    """A step that knows only its own part of the job, the field of this name."""

    name: str
    step: Callable[[Any, Entry, Body], Any]

    def __call__(self, job: Job, entry: Entry) -> Job:
        stands = getattr(job, self.name)
        return replace(job, **{self.name: self.step(stands, entry, entry.body)})


Step = OfJob | OfSurvey | OfPart
"""Gives the job after one more entry, or raises for a body it cannot read, as a body that has not its keys does."""


def _never(body: Body) -> bool:
    return False


def _always(body: Body) -> bool:
    return True


def _chosen(body: Body) -> bool:
    """A layout a person chose; one that a first reading fixed goes with nothing."""
    return bool(body.get("chosen"))


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of entry: the keys its body must have (more are allowed), its step (None: in no job), its undo.

    What knows one state of the cylinder may say which: the key `survey`, as found where it is not there.
    """

    keys: tuple[str, ...]
    step: Step | None
    can_undo: Callable[[Body], bool] = _never


_TABLES = ("cylinder", "cylinder_hash", "limits_hash")
_PLACE = ("check", "station", "clock")
_WHERE = ("position", "place")
_AGREED = ("version", "answer", "options", "sentence", "net", "tax", "total", "currency", "valid_until")

KINDS: Mapping[str, Kind] = {
    "job": Kind(("name", *_TABLES), OfJob(opening.job)),
    "tables": Kind(_TABLES, OfJob(opening.tables)),
    "nameplate": Kind(("fields",), OfSurvey(opening.nameplate), _always),
    "answer": Kind(("question", "answer"), OfSurvey(opening.answer), _always),
    "places": Kind(("check", "stations", "clocks"), OfSurvey(measuring.places), _chosen),
    "nominal": Kind(("check", "typed", "value"), OfSurvey(measuring.nominal), _always),
    "limit": Kind(
        ("check", "characteristic", "lower", "upper", "source"), OfSurvey(measuring.limit), _always
    ),
    "gauge": Kind(
        ("gauge", "kind", "name", "fixed", "share", "step", "calibrated_until"), OfSurvey(gauges.gauge)
    ),
    "reading": Kind((*_PLACE, "typed", "value", "step", "gauge"), OfSurvey(measuring.reading), _always),
    "skip": Kind((*_PLACE, "reason"), OfSurvey(measuring.skip), _always),
    "defect": Kind((*_PLACE, "defect", "zone", "measures", "note"), OfSurvey(looking.defect), _always),
    "looked": Kind(("check",), OfSurvey(looking.looked), _always),
    "photo": Kind(
        ("sha256", "original_sha256", "width", "height", "taken_at", "of", "caption"),
        OfJob(picturing.photo),
        _always,
    ),
    "photo-declined": Kind(("of", "view"), OfPart("pictured", picturing.declined), _always),
    "photo-mark": Kind(
        ("photo", "shape", "points", "text", "typed", "value", "within"),
        OfPart("pictured", picturing.mark),
        _always,
    ),
    "decision": Kind(("part", "disposition", "reason"), OfSurvey(deciding.decision), _always),
    "caution": Kind(("caution",), OfPart("cautions", deciding.caution), _always),
    "seal": Kind(
        (*_WHERE, "answer", "count", "fitted", "material", "corner", "lead_in"),
        OfSurvey(sealing.there),
        _always,
    ),
    "old-seal": Kind((*_WHERE, "states", "section", "hardness", "note"), OfSurvey(sealing.old_seal), _always),
    "seal-sheet": Kind((*_WHERE, "figure", "typed", "value", "sheet"), OfSurvey(sealing.sheet), _always),
    "seal-doubt": Kind((*_WHERE, "doubt", "says", "reason"), OfSurvey(sealing.closed), _always),
    "seal-question": Kind((*_WHERE, "asks"), OfPart("ordering", ordering.question), _always),
    "seal-answer": Kind(("question", "answer"), OfPart("ordering", ordering.answer), _always),
    "seal-order": Kind(
        (*_WHERE, "what", "quantity", "supplier", "reference", "price", "promised"),
        OfPart("ordering", ordering.order),
        _always,
    ),
    "seal-offer": Kind(("order", "offers", "price", "promised"), OfPart("ordering", ordering.offer), _always),
    "seal-offer-answer": Kind(
        ("offer", "accepted", "words"), OfPart("ordering", ordering.offer_decided), _always
    ),
    "seal-received": Kind(
        ("order", "quantity", "cured", "batch", "wrong"), OfPart("ordering", ordering.received), _always
    ),
    "reassembly": Kind(("day",), OfPart("ordering", ordering.reassembly), _always),
    "path": Kind(("operations", "reason"), OfPart("agreeing", agreeing.path), _always),
    "work-confirmed": Kind(("operation", "words"), OfPart("agreeing", agreeing.confirmed), _always),
    "scope-line": Kind(
        ("line", "title", "price", "optional", "dropped", "reason", "if_not"),
        OfPart("agreeing", agreeing.line),
        _always,
    ),
    "scope-photo": Kind(("photo", "shown"), OfPart("agreeing", agreeing.photo), _always),
    "scope-terms": Kind(
        ("form", "valid_until", "excluded", "customer", "may_order_for", "complaint", "refused_fee"),
        OfPart("agreeing", agreeing.terms),
        _always,
    ),
    "scope-version": Kind(("number", "shown", "sha256"), OfPart("agreeing", agreeing.version)),
    "customer-answer": Kind(
        (*_AGREED, "name", "role", "how", "to", "words", "signature", "zone", "copy"),
        OfPart("agreeing", agreeing.answer),
    ),
    "customer-told": Kind(("answer", "words"), OfPart("agreeing", agreeing.told), _always),
    "step": Kind(("step", "did", "reason"), OfPart("steps", stepping.step), _always),
    "record": Kind(("step", "record", "typed", "value"), OfPart("steps", stepping.record), _always),
    "torque-target": Kind(
        ("joint", "basis", "torque", "source", "on", "count", "computed", "wrench", "extension"),
        OfPart("assembled", assembling.target),
        _always,
    ),
    "torque-reached": Kind(
        ("joint", "torque", "angle", "tool", "error_percent", "until"),
        OfPart("assembled", assembling.reached),
        _always,
    ),
    "test-reading": Kind(("minutes", "pressure", "temperature"), OfPart("tested", testing.reading), _always),
    "test-log": Kind(
        ("name", "sha256", "read_as", "points", "gaps", "hold"), OfPart("tested", testing.log), _always
    ),
    "report": Kind(("sha256", "entries", "head"), OfPart("reports", issuing.report)),
    "device": Kind(("continues", "entries", "link"), None),
    "means": Kind(("means", "kind", "name", "up_to", "typed", "tested_until"), None),
    "person": Kind(("person", "name", "initials", "role"), None),
    "setting": Kind(("name", "value"), None),
    "undo": Kind(("of",), None),
}


def refusal(entry: Entry) -> str | None:
    """Why this entry may not be appended, as a sentence, or None if it may.

    Args:
        entry: the entry about to be written.
    """
    kind = KINDS.get(entry.kind)
    if kind is None:
        return f"an entry of kind {entry.kind!r} is not known here; known are {', '.join(KINDS)}."
    missing = [key for key in kind.keys if key not in entry.body]
    if missing:
        return f"an entry of kind {entry.kind!r} lacks {', '.join(missing)}."
    if not (entry.id and entry.job and entry.device and entry.at):
        return "an entry needs an id, a job, a device and a time."
    return None


def can_undo(entry: Entry) -> bool:
    """Whether one tap of undo takes an entry back; gauges and reports stay.

    Args:
        entry: the entry.
    """
    kind = KINDS.get(entry.kind)
    return kind is not None and kind.can_undo(entry.body)


def said_of(survey: str, written: Written) -> Written:
    """An entry that names its state of the cylinder, where its kind knows states and it is not the one found.

    Args:
        survey: the state's name.
        written: the entry.
    """
    name, body = written
    if survey == AS_FOUND or not isinstance(KINDS[name].step, OfSurvey):
        return written
    return name, {**body, "survey": survey}
