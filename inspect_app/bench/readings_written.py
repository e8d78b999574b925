"""The readings of a job written back as a readings file, so that a stranger judges them anew without the logbook.

It holds what was typed of each state: nameplate, answers, gauges, readings, what was left out, defects, looks,
limits off the drawing and decisions. What such a file has no room for stands in the entries: a second gauge of one
kind, readings that were replaced, photographs, and who entered what when.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping
from decimal import Decimal, InvalidOperation

from inspect_app.bench.readings_file import NOT_MEASURED
from inspect_app.entries.job import (
    LATER,
    WHOLE_CHECK,
    Defect,
    DrawingLimit,
    Gauge,
    Job,
    Place,
    Survey,
)
from inspect_app.job.measured import is_default
from inspect_app.report.phrases import day_of, zone_of
from inspect_app.tables.cylinders import Cylinder
from inspect_app.trade.measuring.quantities import KINDS

HEAD = """\
# The readings of a job as they stood when its report was made, as typed. To judge them: inspect-app assess FILE.
# Of several gauges of a kind the last one used stands here; who entered what, and when, stands in the entries.
"""


def readings_text(job: Job, cylinder: Cylinder) -> str:
    """The readings file of a job.

    Args:
        job: the job.
        cylinder: its checklist.
    """
    top = {
        "job": job.name,
        "cylinder": job.cylinder,
        **({"units": job.units} if job.units else {}),
        "by": job.opened_by,
    }
    lines = [HEAD, *(f"{key} = {_text(value)}\n" for key, value in top.items())]
    lines.append(f"date = {job.typed_off.get('date') or day_of(job.opened_at, zone_of(job))}\n")
    lines += _list("cautions", sorted(job.cautions))
    lines += _state(job.as_found, cylinder, "")
    for state in (s for s in LATER if s in job.surveys):
        lines += [f"\n[{state}]\n", *_state(job.surveys[state], cylinder, f"{state}.")]
    return "".join(lines)


def _state(survey: Survey, cylinder: Cylinder, within: str) -> Iterator[str]:
    """What was said of one state; what stands at its top first, its tables behind."""
    yield from _list("looked", sorted(survey.looked - survey.examined.keys()))
    if survey.nameplate:
        # by name, as the order of what one entry says is not kept
        typed = {name: field.typed for name, field in sorted(survey.nameplate.items())}
        yield from _table(f"[{within}nameplate]", typed)
    if survey.answers:
        yield from _table(f"[{within}answers]", {q: a.text for q, a in survey.answers.items()})
    for gauge in {g.kind: g for g in survey.gauges.values() if not is_default(g)}.values():
        yield from _table(f"[{within}gauge.{_text(gauge.kind)}]", _gauge(gauge))
    for check, said in survey.examined.items():
        yield from _table(
            f"[[{within}examined]]",
            {"check": check, "who": said.who, "qualified": said.qualified, "method": said.method},
        )
    for limit in survey.limits:
        yield from _table(f"[[{within}limit]]", _limit(limit, cylinder))
    for check in dict.fromkeys([*survey.nominals, *survey.places, *(c for c, _ in survey.skips)]):
        yield from _check(survey, check, within)
    for defect in survey.defects:
        yield from _table(f"[[{within}defect]]", _defect(defect))
    for part, decided in survey.decided.items():
        said_of = {"part": part, "disposition": decided.disposition, "reason": decided.reason}
        examined = {"examined_by": decided.examined_by, "examined_how": decided.examined_how}
        yield from _table(f"[[{within}decision]]", said_of | {k: v for k, v in examined.items() if v})


def _gauge(gauge: Gauge) -> dict[str, str]:
    typed = dict(gauge.typed)
    said = {
        "name": gauge.name,
        "uncertainty": typed.get("error", ""),
        "per_cent": str((gauge.share * 100).normalize()) if gauge.share else "",
        "step": typed.get("step", ""),
        "calibrated_until": gauge.calibrated_until,
    }
    return {key: value for key, value in said.items() if value}


def _limit(limit: DrawingLimit, cylinder: Cylinder) -> dict[str, str]:
    """A limit with its unit: it stands in the log as understood, and the file may be in inches."""
    ends, check = {"lower": limit.lower, "upper": limit.upper}, cylinder.check(limit.check)
    unit = KINDS[check.kind].canonical_unit if check and check.kind in KINDS else ""
    return {
        "check": limit.check,
        "characteristic": limit.characteristic,
        **{end: f"{value} {unit}".strip() for end, value in ends.items() if value is not None},
        "drawing": limit.source,
    }


def _check(survey: Survey, check: str, within: str) -> Iterator[str]:
    """A check's nominal size, its readings as stations by clocks, and why the others are missing."""
    yield f"\n[[{within}check]]\nid = {_text(check)}\n"
    if check in survey.nominals:
        yield f"nominal = {_text(survey.nominals[check].typed)}\n"
    readings = survey.readings.get(check, {})
    places = [*dict.fromkeys([*survey.places.get(check, ()), *readings])]
    if readings:
        stations, clocks = (list(dict.fromkeys(words)) for words in zip(*places, strict=True))
        yield from _list("stations", [_station(s) for s in stations]) if any(stations) else ()
        yield from _list("clocks", clocks) if any(clocks) else ()
        yield "readings = [\n"
        for station in stations:
            row = (readings.get(Place(station, clock)) for clock in clocks)
            yield f"    [{', '.join(_text(r.typed if r else NOT_MEASURED[-1]) for r in row)}],\n"
        yield "]\n"
    left = {place: skip.reason for (c, place), skip in survey.skips.items() if c == check}
    whole = left.pop(WHOLE_CHECK, "")
    reasons = set(left.values())
    missing = {p for p in places if p not in readings}
    if whole and not readings:
        yield f"skip = {_text(whole)}\n"
    elif len(reasons) == 1 and missing <= left.keys():
        yield f"skip = {_text(reasons.pop())}\n"
    else:
        yield from (f"# not measured at {_at(place)}: {_text(reason)}\n" for place, reason in left.items())


def _at(place: Place) -> str:
    return " ".join(_text(word) for word in place if word)


def _defect(defect: Defect) -> dict[str, str]:
    said = {
        "check": defect.check,
        "kind": defect.kind,
        "zone": defect.zone,
        "station": _station(defect.place.station),
        "clock": defect.place.clock,
        **{measure: size.typed for measure, size in sorted(defect.sizes.items())},
        "felt": defect.felt,
        "note": defect.note,
    }
    return {key: value for key, value in said.items() if value}


def _station(at: str) -> str:
    """A station; one in mm says so, whatever units the file is in."""
    try:
        Decimal(at)
    except InvalidOperation:
        return at
    return f"{at} mm"


def _table(head: str, rows: Mapping[str, str]) -> Iterator[str]:
    yield f"\n{head}\n"
    yield from (f"{key} = {_text(value)}\n" for key, value in rows.items())


def _list(key: str, words: Iterable[str]) -> Iterator[str]:
    listed = [_text(word) for word in words]
    if listed:
        yield f"{key} = [{', '.join(listed)}]\n"


def _text(text: str) -> str:
    """A string as TOML writes it: as JSON does, but for one sign."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")
