"""Folds a log's entries to a Job; pure, and never fails on what a log holds.

A job is what stands: a reading taken again replaces the one before at its place (both stay in the
log and the older is kept in `replaced`), an entry taken back by `undo` has no part in it, an entry of
an unknown kind is counted and left alone.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from decimal import Decimal
from typing import Any

from inspect_app.entries.entry import Entry
from inspect_app.job.job import (
    WHOLE_CHECK,
    Answer,
    Decided,
    Defect,
    DefectSize,
    DrawingLimit,
    Field,
    Gauge,
    Issued,
    Job,
    Photo,
    Place,
    Reading,
    Skip,
)
from inspect_app.trade.measuring.uncertainty import EXPANDED, STATES


def _decimal(text: Any) -> Decimal | None:
    return None if text in (None, "") else Decimal(str(text))


def _job(job: Job, entry: Entry, body: Mapping[str, Any]) -> Job:
    return replace(
        job,
        name=body["name"],
        cylinder=body["cylinder"],
        cylinder_hash=body["cylinder_hash"],
        limits_hash=body["limits_hash"],
        opened_at=entry.at,
        opened_by=entry.by,
        typed_off={str(k): str(v) for k, v in dict(body.get("typed_off", {})).items()},
    )


def _tables(job: Job, entry: Entry, body: Mapping[str, Any]) -> Job:
    return replace(
        job,
        cylinder=body["cylinder"],
        cylinder_hash=body["cylinder_hash"],
        limits_hash=body["limits_hash"],
    )


def _nameplate(job: Job, entry: Entry, body: Mapping[str, Any]) -> Job:
    fields = {name: Field(f["typed"], _decimal(f.get("value"))) for name, f in body["fields"].items()}
    merged = {n: f for n, f in {**job.nameplate, **fields}.items() if f.typed}
    return replace(job, nameplate=merged)


def _answer(job: Job, entry: Entry, body: Mapping[str, Any]) -> Job:
    return replace(job, answers={**job.answers, body["question"]: Answer(body["answer"], entry.by, entry.at)})


def _places(job: Job, entry: Entry, body: Mapping[str, Any]) -> Job:
    laid_out = tuple(Place(s, c) for s in body["stations"] for c in body["clocks"])
    return replace(job, places={**job.places, body["check"]: laid_out})


def _nominal(job: Job, entry: Entry, body: Mapping[str, Any]) -> Job:
    nominal = Field(body["typed"], _decimal(body["value"]))
    return replace(job, nominals={**job.nominals, body["check"]: nominal})


def _limit(job: Job, entry: Entry, body: Mapping[str, Any]) -> Job:
    new = DrawingLimit(
        body["check"],
        body["characteristic"],
        _decimal(body["lower"]),
        _decimal(body["upper"]),
        body["source"],
        entry.by,
    )
    kept = tuple(x for x in job.limits if (x.check, x.characteristic) != (new.check, new.characteristic))
    return replace(job, limits=(*kept, new))


def gauge_from(body: Mapping[str, Any]) -> Gauge:
    """The gauge an entry of kind `gauge` describes.

    Args:
        body: the entry's body.
    """
    errors = tuple((Decimal(a), Decimal(b)) for a, b in body["fixed"])
    states = body.get("states", EXPANDED)
    if not errors or states not in STATES:
        raise ValueError("a gauge this version does not understand")
    return Gauge(
        body["gauge"],
        body["kind"],
        body["name"],
        errors,
        Decimal(body["share"]),
        Decimal(body["step"]),
        body["calibrated_until"],
        states,
        _decimal(body.get("repeatability")),
        _decimal(body.get("from")),
        _decimal(body.get("up_to")),
    )


def _gauge(job: Job, entry: Entry, body: Mapping[str, Any]) -> Job:
    return replace(job, gauges={**job.gauges, body["gauge"]: gauge_from(body)})


def _reading(job: Job, entry: Entry, body: Mapping[str, Any]) -> Job:
    check, place = body["check"], Place(body["station"], body["clock"])
    new = Reading(
        entry.id,
        check,
        place,
        Decimal(body["value"]),
        body["typed"],
        body["gauge"],
        entry.at,
        entry.by,
        _decimal(body.get("step")) or Decimal(0),
    )
    standing = job.readings.get(check, {})
    before = standing.get(place)
    return replace(
        job,
        readings={**job.readings, check: {**standing, place: new}},
        replaced=(*job.replaced, before) if before else job.replaced,
        skips={k: s for k, s in job.skips.items() if k not in ((check, place), (check, WHOLE_CHECK))},
    )


def _skip(job: Job, entry: Entry, body: Mapping[str, Any]) -> Job:
    place = Place(body["station"], body["clock"])
    new = Skip(entry.id, body["check"], place, body["reason"], entry.by)
    return replace(job, skips={**job.skips, (new.check, place): new})


def _defect(job: Job, entry: Entry, body: Mapping[str, Any]) -> Job:
    sizes = {
        name: DefectSize(
            Decimal(m["value"]), str(m["typed"]), Decimal(m.get("step", "0")), m.get("gauge", "")
        )
        for name, m in body["measures"].items()
    }
    new = Defect(
        entry.id,
        body["check"],
        body["defect"],
        Place(body["station"], body["clock"]),
        body["zone"],
        sizes,
        body.get("felt", ""),
        body["note"],
        entry.at,
        entry.by,
    )
    return replace(job, defects=(*job.defects, new))


def _looked(job: Job, entry: Entry, body: Mapping[str, Any]) -> Job:
    skips = {k: s for k, s in job.skips.items() if k != (body["check"], WHOLE_CHECK)}
    return replace(job, looked=job.looked | {body["check"]}, skips=skips)


def _photo(job: Job, entry: Entry, body: Mapping[str, Any]) -> Job:
    new = Photo(
        entry.id,
        body["sha256"],
        body["original_sha256"],
        int(body["width"]),
        int(body["height"]),
        body["taken_at"],
        body["of"],
        body["caption"],
    )
    return replace(job, photos=(*job.photos, new))


def _decision(job: Job, entry: Entry, body: Mapping[str, Any]) -> Job:
    new = Decided(
        entry.id,
        body["disposition"],
        body["reason"],
        entry.by,
        entry.at,
        body.get("examined_by", ""),
        body.get("examined_how", ""),
    )
    return replace(job, decided={**job.decided, body["part"]: new})


def _caution(job: Job, entry: Entry, body: Mapping[str, Any]) -> Job:
    return replace(job, cautions={**job.cautions, body["caution"]: entry.by})


def _report(job: Job, entry: Entry, body: Mapping[str, Any]) -> Job:
    issued = Issued(int(body["entries"]), body["head"], body["sha256"], entry.at)
    return replace(job, reports=job.reports + 1, issued=issued)


FOLDS = {
    "job": _job,
    "tables": _tables,
    "nameplate": _nameplate,
    "answer": _answer,
    "places": _places,
    "nominal": _nominal,
    "limit": _limit,
    "gauge": _gauge,
    "reading": _reading,
    "skip": _skip,
    "defect": _defect,
    "looked": _looked,
    "photo": _photo,
    "decision": _decision,
    "caution": _caution,
    "report": _report,
}


def write_up(job: Job, entry: Entry) -> Job:
    """The job after one more entry (not `undo`, which needs the whole log: see `fold`).

    Args:
        job: the job so far.
        entry: the next entry by (at, id).
    """
    step = FOLDS.get(entry.kind)
    counted = replace(job, entries=job.entries + 1, last_at=max(job.last_at, entry.at), issued=None)
    if step is None:
        return replace(counted, unknown=job.unknown + 1)
    try:
        return step(counted, entry, entry.body)
    except (KeyError, TypeError, ValueError, ArithmeticError):
        # a body only a newer version understands: kept in the log, counted here, never a crash
        return replace(counted, unknown=job.unknown + 1)


def fold(job_id: str, entries: Iterable[Entry]) -> Job:
    """The job that a log's entries tell, whatever order they come in.

    Args:
        job_id: the job.
        entries: its entries, of any number of devices.
    """
    ordered = sorted(entries, key=lambda e: (e.at, e.id))
    taken_back: set[Any] = set()
    for entry in reversed(ordered):
        if entry.kind == "undo" and entry.id not in taken_back:
            taken_back.add(entry.body.get("of"))
    job = Job(job_id)
    for entry in ordered:
        if entry.kind == "undo" or entry.id in taken_back:
            job = replace(job, entries=job.entries + 1, last_at=max(job.last_at, entry.at), issued=None)
        else:
            job = write_up(job, entry)
    return job
