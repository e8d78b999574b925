"""Every kind of entry, a row each: what its body must say, how it is folded, whether one tap takes it back."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from inspect_app.entries import deciding, gauges, issuing, looking, measuring, opening
from inspect_app.entries.entry import Body, Entry
from inspect_app.entries.job import Job

Step = Callable[[Job, Entry, Body], Job]
"""The job after one more entry; a body it cannot read raises KeyError, TypeError, ValueError or ArithmeticError."""


def _never(body: Body) -> bool:
    return False


def _always(body: Body) -> bool:
    return True


def _chosen(body: Body) -> bool:
    """A layout a person chose; one that a first reading fixed goes with nothing."""
    return bool(body.get("chosen"))


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of entry: the keys its body must have (more are allowed), its step (None: in no job), its undo."""

    keys: tuple[str, ...]
    step: Step | None
    can_undo: Callable[[Body], bool] = _never


def _part(name: str, step: Callable[[Any, Entry, Body], Any]) -> Step:
    """A step that knows only its own part of the job, the field of this name."""

    def of_job(job: Job, entry: Entry, body: Body) -> Job:
        return replace(job, **{name: step(getattr(job, name), entry, body)})

    return of_job


_TABLES = ("cylinder", "cylinder_hash", "limits_hash")
_PLACE = ("check", "station", "clock")

KINDS: Mapping[str, Kind] = {
    "job": Kind(("name", *_TABLES), opening.job),
    "tables": Kind(_TABLES, opening.tables),
    "nameplate": Kind(("fields",), opening.nameplate, _always),
    "answer": Kind(("question", "answer"), opening.answer, _always),
    "places": Kind(("check", "stations", "clocks"), measuring.places, _chosen),
    "nominal": Kind(("check", "typed", "value"), measuring.nominal, _always),
    "limit": Kind(("check", "characteristic", "lower", "upper", "source"), measuring.limit, _always),
    "gauge": Kind(
        ("gauge", "kind", "name", "fixed", "share", "step", "calibrated_until"), _part("gauges", gauges.gauge)
    ),
    "reading": Kind((*_PLACE, "typed", "value", "step", "gauge"), measuring.reading, _always),
    "skip": Kind((*_PLACE, "reason"), measuring.skip, _always),
    "defect": Kind((*_PLACE, "defect", "zone", "measures", "note"), looking.defect, _always),
    "looked": Kind(("check",), looking.looked, _always),
    "photo": Kind(
        ("sha256", "original_sha256", "width", "height", "taken_at", "of", "caption"),
        _part("photos", looking.photo),
        _always,
    ),
    "decision": Kind(("part", "disposition", "reason"), deciding.decision, _always),
    "caution": Kind(("caution",), _part("cautions", deciding.caution), _always),
    "report": Kind(("sha256", "entries", "head"), issuing.report),
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
