"""What a person typed, as the body of an entry: as typed beside as understood; pure.

Each function reads the text and gives a body, or raises Refusal with a sentence for the one who typed.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from inspect_app.job.job import Gauge, Job, Place
from inspect_app.tables.cylinders import Check, Cylinder, Measure
from inspect_app.tables.nameplate import TEXT, NameplateField
from inspect_app.trade.measuring import quantities
from inspect_app.trade.measuring.amounts import Amount
from inspect_app.trade.measuring.quantities import Quantity
from inspect_app.trade.measuring.refusal import Refusal

Body = Mapping[str, Any]

DECISIONS = ("reuse", "rework", "replace")
"""What a person may decide for a part."""

STOP = "stop"
"""What the readings say of a part that only a qualified person may pass."""

FELT = ("", "felt", "not felt")
"""What a fingernail may say of a mark; "" where nobody said."""


@dataclass(frozen=True, slots=True)
class Found:
    """A defect as somebody sees it: its kind, where, the zone, what a fingernail says, and a note."""

    kind: str
    place: Place
    zone: str = ""
    felt: str = ""
    note: str = ""


LARGEST = Decimal(100_000)
"""mm: no cylinder is longer and no station lies farther; the one error of a shop's own gauge holds up to here."""


def _with_unit(text: str, quantity: Quantity) -> str:
    """The text as typed, with the unit a bare number was read in."""
    bare = not any(c.isalpha() or c in "\"'°µ" for c in text)
    return f"{text.strip()} {quantity.typed_unit}".strip() if bare else text.strip()


def _number(text: str) -> Decimal | None:
    try:
        return Decimal(text)
    except ArithmeticError:
        return None


def _require_clock(text: str) -> None:
    hours = _number(text)
    if hours is None or not hours.is_finite() or not 0 < hours <= 12:
        raise Refusal(f"{text!r} is not a clock position; write 12, 3, 4.5 and so on.")


def _require_station(text: str) -> None:
    mm = _number(text)  # a word is a station too
    if mm is not None and not (mm.is_finite() and 0 <= mm < LARGEST):
        raise Refusal(f"{text!r} is not a station; write mm from the gland end, or a word.")


def nameplate(
    job: Job, typed: Mapping[str, str], system: str, fields: Mapping[str, NameplateField]
) -> Body | None:
    """Nameplate fields that changed; None when none did.

    Args:
        job: the job, for what stands already.
        typed: field name to text; "" takes a field back.
        system: "metric" or "inch", the unit of bare numbers.
        fields: the fields there are; one that is none of them is kept as text.
    Raises:
        Refusal: a quantity that cannot be read, is not above 0, or is longer than any cylinder.
    """
    changed: dict[str, dict[str, str]] = {}
    for name, text in typed.items():
        text = text.strip()
        if text == job.text(name):
            continue
        kind = fields[name].kind if name in fields else TEXT
        if kind == TEXT or not text:
            changed[name] = {"typed": text, "value": ""}
            continue
        quantity = quantities.read(text, kind=kind, system=system)
        if quantity.value <= 0 and kind != "temperature":
            raise Refusal(f"{text} is not a size; it must be greater than 0.")
        if kind == "length" and quantity.value >= LARGEST:
            raise Refusal(
                "{typed} is longer than any cylinder; it must be below {most}.",
                typed=text,
                most=Amount(LARGEST, "length"),
            )
        changed[name] = {"typed": _with_unit(text, quantity), "value": quantities.exact(quantity.value)}
    return {"fields": changed} if changed else None


def reading(check: Check, place: Place, text: str, quantity: Quantity, gauge: Gauge) -> Body:
    """One reading.

    Args:
        check: the check.
        place: where.
        text: as typed.
        quantity: as read from the text.
        gauge: what it was taken with.
    """
    return {
        "check": check.id,
        "station": place.station,
        "clock": place.clock,
        "typed": _with_unit(text, quantity),
        "value": quantities.exact(quantity.value),
        "step": quantities.exact(quantity.step),
        "gauge": gauge.id,
    }


def skip(check: Check, place: Place, reason: str) -> Body:
    """A place, or with an empty place the whole check, left unmeasured.

    Args:
        check: the check.
        place: where.
        reason: why.
    Raises:
        Refusal: no reason.
    """
    if not reason.strip():
        raise Refusal("Say why it is not measured; the report prints the reason.")
    return {"check": check.id, "station": place.station, "clock": place.clock, "reason": reason.strip()}


def answer(cylinder: Cylinder, question: str, text: str) -> Body:
    """What is present on this cylinder.

    Args:
        cylinder: the checklist, for its questions.
        question: the question's id.
        text: one of its answers.
    Raises:
        Refusal: an unknown question, or an answer it does not have.
    """
    asked = cylinder.question(question)
    if asked is None:
        allowed = ", ".join(q.id for q in cylinder.questions)
        raise Refusal(f"{question!r} is not a question of this checklist; allowed are {allowed}.")
    if text not in asked.answers:
        raise Refusal(f"{text!r} is no answer to {asked.ask} Allowed are {', '.join(asked.answers)}.")
    return {"question": question, "answer": text}


def places(check: Check, stations: Sequence[str], clocks: Sequence[str]) -> Body:
    """Where a check is measured.

    Args:
        check: the check.
        stations: mm from the datum as text, or words.
        clocks: hours as text.
    Raises:
        Refusal: a clock or a station that cannot be, or is given twice.
    """
    for clock in filter(None, clocks):
        _require_clock(clock)
    for station in stations:
        _require_station(station)
    for words in (stations, clocks):
        if twice := [word for n, word in enumerate(words) if word in words[:n]]:
            raise Refusal(f"{twice[0]!r} is given twice; each place is measured once.")
    return {"check": check.id, "stations": list(stations), "clocks": list(clocks)}


def nominal(check: Check, text: str, system: str) -> Body:
    """The nominal size a check asks for.

    Args:
        check: the check.
        text: as typed.
        system: "metric" or "inch".
    Raises:
        Refusal: it cannot be read or is not above 0.
    """
    quantity = quantities.read(text, kind=check.kind, system=system)
    if quantity.value <= 0:
        raise Refusal(f"{text.strip()} is not a nominal size; it must be greater than 0.")
    return {
        "check": check.id,
        "typed": _with_unit(text, quantity),
        "value": quantities.exact(quantity.value),
    }


def drawing_limit(
    check: Check, characteristic: str, typed: tuple[str, str], source: str, system: str
) -> Body:
    """A limit off the maker's drawing.

    Args:
        check: the check.
        characteristic: what it limits.
        typed: lower and upper limit as typed, "" for none.
        source: which drawing.
        system: "metric" or "inch".
    Raises:
        Refusal: no limit, exchanged limits, no drawing, or a characteristic the check has not.
    """
    values = [quantities.read(t, kind=check.kind, system=system).value if t.strip() else None for t in typed]
    lower, upper = values
    if lower is None and upper is None:
        raise Refusal("Type a lower limit, an upper limit or both.")
    if lower is not None and upper is not None and lower > upper:
        raise Refusal(f"The lower limit {typed[0]} is above the upper limit {typed[1]}.")
    if not source.strip():
        raise Refusal("Say which drawing the limit is from; the report prints it.")
    if characteristic not in check.characteristics:
        allowed = ", ".join(check.characteristics)
        raise Refusal(f"{characteristic!r} is not made of this check; allowed are {allowed}.")
    lower_text, upper_text = (quantities.exact(v) if v is not None else "" for v in values)
    return {
        "check": check.id,
        "characteristic": characteristic,
        "lower": lower_text,
        "upper": upper_text,
        "source": source.strip(),
    }


def defect(
    check: Check,
    found: Found,
    typed: Mapping[str, str],
    system: str,
    measures: Sequence[Measure],
    gauges: Mapping[str, str],
) -> Body:
    """A defect: kind, place and size.

    Args:
        check: the look that found it.
        found: what was found where; a station without unit is in the system's unit, words stay words.
        typed: measure to text, "" where it was not measured.
        system: "metric" or "inch".
        measures: what may be measured on a defect, and as which kind of quantity.
        gauges: measure to the id of the gauge that takes it.
    Raises:
        Refusal: a size that cannot be read or is not above 0, or a place that cannot be.
    """
    station = station_text(found.place.station, system)
    _require_station(station)
    if found.place.clock:
        _require_clock(found.place.clock)
    if found.felt not in FELT:
        raise Refusal(f"{found.felt!r} is not what a fingernail says; allowed are felt, not felt.")
    sizes = {}
    for measure in measures:
        text = typed.get(measure.id, "").strip()
        if not text:
            continue
        quantity = quantities.read(text, kind=measure.kind, system=system)
        if quantity.value <= 0:
            raise Refusal(f"{measure.title.capitalize()} {text} is not a size; it must be greater than 0.")
        sizes[measure.id] = {
            "typed": _with_unit(text, quantity),
            "value": quantities.exact(quantity.value),
            "step": quantities.exact(quantity.step),
            "gauge": gauges.get(measure.id, ""),
        }
    return {
        "check": check.id,
        "defect": found.kind,
        "station": station,
        "clock": found.place.clock,
        "zone": found.zone,
        "felt": found.felt,
        "measures": sizes,
        "note": found.note.strip(),
    }


def station_text(text: str, system: str) -> str:
    """A station as the log keeps it: mm, or the word it is.

    Args:
        text: as typed.
        system: "metric" or "inch", the unit of a bare number.

    >>> station_text("10", "inch"), station_text("350", "metric"), station_text("gland end", "inch")
    ('254.0', '350', 'gland end')
    """
    try:
        return quantities.exact(quantities.read(text, kind="length", system=system).value)
    except Refusal:
        return text.strip()


def decision(
    cylinder: Cylinder,
    part: str,
    disposition: str,
    reason: str,
    *,
    computed: str,
    examined_by: str = "",
    examined_how: str = "",
) -> Body:
    """What a person decides for a part with open eyes.

    Args:
        cylinder: the checklist, for its parts.
        part: the part's id.
        disposition: one of DECISIONS.
        reason: why.
        computed: what the readings alone say.
        examined_by: who examined it, and what makes them qualified; asked where a stop is overruled.
        examined_how: by which method; asked where a stop is overruled.
    Raises:
        Refusal: an unknown part or decision, no reason, or a stop overruled without an examination.
    """
    parts = [p.id for p in cylinder.parts]
    if part not in parts:
        raise Refusal(f"{part!r} is not a part; allowed are {', '.join(parts)}.")
    if disposition not in DECISIONS:
        raise Refusal(f"{disposition!r} is not a decision; allowed are {', '.join(DECISIONS)}.")
    if not reason.strip():
        raise Refusal("Say why; the report prints the reason beside the computed disposition.")
    overrules_stop = computed == STOP and disposition != "replace"
    if overrules_stop and not (examined_by.strip() and examined_how.strip()):
        raise Refusal(
            "This part is stopped. Say who is qualified and examined it, and how (for example magnetic "
            "particles); the report prints both."
        )
    body = {"part": part, "disposition": disposition, "reason": reason.strip()}
    if overrules_stop:
        body |= {"examined_by": examined_by.strip(), "examined_how": examined_how.strip()}
    return body
