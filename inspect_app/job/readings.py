"""Judges the readings of one check: each by itself, and every characteristic that is made of them.

Each value is judged once, here; whoever shows or prints it takes the judgement from the result. An unmeasured
place is never a pass.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from decimal import Decimal

from inspect_app.entries.job import Place, Reading, Survey
from inspect_app.job.findings import NOTHING, Finding, PlaceResult, Value, finding_of, judgements_of, room_of
from inspect_app.job.judge import Judgement, LimitInForce, judge, limit_for, limits_for
from inspect_app.job.measured import Sized, sees, sized, sizes_of, sizing
from inspect_app.job.places import places_of, span_of
from inspect_app.tables import Tables
from inspect_app.tables.cylinders import Check
from inspect_app.trade.form.characteristics import CHARACTERISTICS, Compute
from inspect_app.trade.form.grid import Grid
from inspect_app.trade.form.making import Made, Supports
from inspect_app.trade.measuring.refusal import Refusal, Sentence
from inspect_app.trade.measuring.uncertainty import linear, u_of
from inspect_app.trade.measuring.wording import inside


def grid_of(check: Check, survey: Survey) -> Grid:
    """The check's places with what was read there, None where nothing was.

    Args:
        check: the check.
        survey: the state of the cylinder.
    """
    readings = survey.readings.get(check.id, {})
    places = dict.fromkeys((*places_of(check, survey), *readings))
    return {place: readings[place].value if place in readings else None for place in places}


def _made(compute: Compute, grid: Grid, span_mm: Decimal | None) -> Made:
    """What is made of the readings; of those that cannot be, which a log of elsewhere may hold, the sentence."""
    supports = Supports(Decimal(0), span_mm) if span_mm else None
    try:
        return compute(grid, supports)
    except Refusal as refusal:
        return Made((), (refusal.sentence,))


def _by_id(made: Made, called: Mapping[Place, Place]) -> Made:
    """What was made of places under what they are called, so that its sentences name them, at their ids again."""
    ids = {words: place for place, words in called.items()}
    stations = {words.station: place.station for place, words in called.items()}
    measured = tuple(
        replace(
            m,
            station=stations.get(m.station, m.station),
            weights={ids[Place(*cell)]: weight for cell, weight in m.weights.items()},
        )
        for m in made.measured
    )
    return replace(made, measured=measured)


def judge_reading(check: Check, reading: Reading, survey: Survey, tables: Tables) -> Judgement | None:
    """The reuse verdict on one reading the moment it stands; None where single readings have no limit.

    Args:
        check: its check.
        reading: the reading.
        survey: the state of the cylinder.
        tables: the tables.
    """
    limit = reading_limit(check, survey, tables)
    judged = sized(reading, check, survey, tables) if limit else None
    return judge(judged.value, u_of(judged.terms), limit) if judged and limit else None


def judged_singly(check: Check) -> str | None:
    """The characteristic that each reading of a check is judged for by itself, None where there is none.

    Args:
        check: the check.
    """
    return next((c for c in check.characteristics if CHARACTERISTICS[c].scope == "place"), None)


def reading_limit(check: Check, survey: Survey, tables: Tables) -> LimitInForce | None:
    """The reuse limit single readings of a check are judged against, None where they have none.

    Args:
        check: the check.
        survey: the state of the cylinder.
        tables: the tables.
    """
    name = judged_singly(check)
    return limit_for(check, name, "reuse", survey, tables) if name else None


def place_results(
    check: Check, places: Iterable[Place], limit: LimitInForce | None, survey: Survey, tables: Tables
) -> dict[Place, PlaceResult]:
    """Each place of a check with what was read there, judged by itself.

    Args:
        check: the check.
        places: where.
        limit: what single readings are judged against, None where they have no limit.
        survey: the state of the cylinder.
        tables: the tables.
    """
    readings, reasons = survey.readings.get(check.id, {}), tables.cylinders[survey.cylinder].reasons
    as_judged = sizing(check, survey, tables)
    results = {}
    for place in places:
        reading, skip = readings.get(place), survey.skips.get((check.id, place))
        judged = as_judged(reading) if reading else None
        judgement = judge(judged.value, u_of(judged.terms), limit) if judged and limit else None
        why = reasons.get(skip.reason, skip.reason) if skip else ""
        results[place] = PlaceResult(place, reading, skip, judged, judgement, why)
    return results


def _blind(check: Check, characteristic: str, survey: Survey, tables: Tables) -> set[Place]:
    """The places whose gauge sees nothing of a characteristic, whatever it reads."""
    readings = survey.readings.get(check.id, {})
    return {p for p, r in readings.items() if not sees(r, characteristic, check, survey, tables)}


def characteristic_finding(
    check: Check,
    name: str,
    limits: Mapping[str, LimitInForce],
    places: Mapping[Place, PlaceResult],
    survey: Survey,
    tables: Tables,
) -> Finding:
    """The finding for one characteristic: where several values exist, the one with the least room.

    Args:
        check: the check.
        name: the characteristic.
        limits: the limits in force on it, by level.
        places: its places with what was read there.
        survey: the state of the cylinder.
        tables: the tables.
    """
    how = CHARACTERISTICS[name]
    read = {p: r.sized for p, r in places.items() if r.sized}
    cannot_say: tuple[Sentence, ...] = ()
    if how.compute is None:
        values = [Value(s.value, place, s.terms) for place, s in read.items()]
    else:
        called = {p: Place(check.stations.names.get(p.station, p.station), p.clock) for p in places}
        grid: Grid = {called[p]: r.reading.value if r.reading else None for p, r in places.items()}
        made = _by_id(_made(how.compute, grid, span_of(check, survey)), called)
        blind = _blind(check, name, survey, tables)
        values = _values_made(made, {p: s for p, s in read.items() if p not in blind})
        cannot_say = made.cannot_say
        if blind:
            cannot_say = (*cannot_say, Sentence(f"The gauge it was read with cannot see {how.title}."))
    speaks = _speaks(name, values or [NOTHING], limits)
    finding = finding_of(check, name, how.title, how.kind_from(check.kind), speaks, limits)
    return replace(finding, cannot_say=cannot_say)


def _values_made(made: Made, read: Mapping[Place, Sized]) -> list[Value]:
    """What was made of readings, with the uncertainty they give it; left out is what needs one that is not there."""
    return [
        Value(
            m.value,
            Place(m.station, ""),
            linear((weight, read[Place(*cell)].terms) for cell, weight in m.weights.items()),
        )
        for m in made.measured
        if all(Place(*cell) in read for cell in m.weights)
    ]


def _speaks(name: str, values: Sequence[Value], limits: Mapping[str, LimitInForce]) -> Value:
    """Of several values the one that speaks for all: with the least room, or without a limit the worst by itself."""
    reuse = limits.get("reuse")
    if len(values) == 1:
        return values[0]
    if reuse is None or reuse.missing:
        pick = min if name == "least" else max
        return pick(values, key=lambda v: v.value or Decimal(0))
    return min(values, key=lambda v: room_of(judgements_of(v, limits)))


def clearance_finding(check: Check, survey: Survey, tables: Tables) -> Finding:
    """Hole less shaft of the two checks it lies between, at its greatest and its least: the one with less room.

    Where one of them was not worked on and is as found, the title says so.
    """
    limits, title = limits_for(check, "clearance", survey, tables), _clearance_title(check, survey, tables)
    holes, shafts = (_judged_sizes(c, survey, tables) for c in check.between or ("", ""))
    speaks = NOTHING
    if holes and shafts:
        greatest = (max(holes, key=_size), min(shafts, key=_size))
        least = (min(holes, key=_size), max(shafts, key=_size))
        values = [
            Value(hole.value - shaft.value, Place("", ""), linear([(1, hole.terms), (-1, shaft.terms)]))
            for hole, shaft in (greatest, least)
        ]
        speaks = min(values, key=lambda v: room_of(judgements_of(v, limits)))
    return finding_of(check, "clearance", title, "deviation", speaks, limits)


def _clearance_title(check: Check, survey: Survey, tables: Tables) -> str:
    cylinder = tables.cylinders[survey.cylinder]
    mates = [c for name in check.between or () if name in survey.as_found_of and (c := cylinder.check(name))]
    parts = [inside(p.title) for c in mates for p in cylinder.parts if p.id == c.part]
    return ", ".join([CHARACTERISTICS["clearance"].title, *(f"{part} as found" for part in parts)])


def _judged_sizes(check_id: str, survey: Survey, tables: Tables) -> list[Sized]:
    check = tables.cylinders[survey.cylinder].check(check_id)
    return sizes_of(check, survey, tables) if check else []


def _size(judged: Sized) -> Decimal:
    return judged.value
