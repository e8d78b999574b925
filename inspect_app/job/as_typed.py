"""What a person typed, as the body of an entry: as typed beside as understood; pure.

Each function reads the text and gives a body, or raises Refusal with a sentence for the one who typed.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Any

from inspect_app.job.job import Gauge, Job, Place
from inspect_app.tables.cylinders import Check, Cylinder
from inspect_app.trade import quantities
from inspect_app.trade.quantities import Quantity
from inspect_app.trade.refusal import Refusal

Body = Mapping[str, Any]

NAMEPLATE_KINDS: Mapping[str, str] = {
    "bore": "length",
    "rod": "length",
    "stroke": "length",
    "outside_diameter": "length",
    "pin": "length",
    "support_span": "length",
    "closed_length": "length",
    "rated_pressure": "pressure",
    "oil_temperature": "temperature",
    "part_temperature": "temperature",
    "gauge_temperature": "temperature",
    "mass": "mass",
}
"""Nameplate fields that are quantities; every other field is plain text."""

DECISIONS = ("reuse", "rework", "replace")
"""What a person may decide for a part."""

LARGEST = Decimal(100_000)
"""mm: no cylinder is longer and no station lies farther; the one error of a shop's own gauge holds up to here."""


def _with_unit(text: str, quantity: Quantity) -> str:
    """The text as typed, with the unit a bare number was read in."""
    bare = not any(c.isalpha() or c in "\"'°µ" for c in text)
    return f"{text.strip()} {quantity.typed_unit}" if bare else text.strip()


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


def nameplate(job: Job, typed: Mapping[str, str], system: str) -> Body | None:
    """Nameplate fields that changed; None when none did.

    Args:
        job: the job, for what stands already.
        typed: field name to text; "" takes a field back.
        system: "metric" or "inch", the unit of bare numbers.
    Raises:
        Refusal: a quantity that cannot be read, is not above 0, or is longer than any cylinder.
    Source: none
    """
    fields: dict[str, dict[str, str]] = {}
    for name, text in typed.items():
        text = text.strip()
        if text == job.text(name):
            continue
        kind = NAMEPLATE_KINDS.get(name)
        if kind is None or not text:
            fields[name] = {"typed": text, "value": ""}
            continue
        quantity = quantities.read(text, kind=kind, system=system)
        if quantity.value <= 0 and kind != "temperature":
            raise Refusal(f"{text} is not a size; it must be greater than 0.")
        if kind == "length" and quantity.value >= LARGEST:
            raise Refusal(f"{text} is longer than any cylinder; it must be below {LARGEST} mm.")
        fields[name] = {"typed": _with_unit(text, quantity), "value": quantities.exact(quantity.value)}
    return {"fields": fields} if fields else None


def reading(check: Check, place: Place, text: str, quantity: Quantity, gauge: Gauge) -> Body:
    """One reading.

    Args:
        check: the check.
        place: where.
        text: as typed.
        quantity: as read from the text.
        gauge: what it was taken with.
    Source: none
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
    Source: none
    """
    if not reason.strip():
        raise Refusal("Say why it is not measured; the report prints the reason.")
    return {"check": check.id, "station": place.station, "clock": place.clock, "reason": reason.strip()}


def places(check: Check, stations: Sequence[str], clocks: Sequence[str]) -> Body:
    """Where a check is measured.

    Args:
        check: the check.
        stations: mm from the datum as text, or words.
        clocks: hours as text.
    Raises:
        Refusal: a clock or a station that cannot be, or is given twice.
    Source: none
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
    Source: none
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
    Source: none
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
    check: Check, kind: str, place: Place, zone: str, typed: Mapping[str, str], note: str, system: str
) -> Body:
    """A defect: kind, place and size.

    Args:
        check: the look that found it.
        kind: a defect the check looks for.
        place: where; a station without unit is in the system's unit, words stay words.
        zone: the zone it sits in, "" when not said.
        typed: measure to text, "" where it was not measured.
        note: in words.
        system: "metric" or "inch".
    Raises:
        Refusal: a size that cannot be read or is not above 0, or a place that cannot be.
    Source: none
    """
    station = _station(place.station, system)
    _require_station(station)
    if place.clock:
        _require_clock(place.clock)
    measures = {}
    for name, text in typed.items():
        if not text.strip():
            continue
        quantity = quantities.read(text, kind="deviation", system=system)
        if quantity.value <= 0:
            raise Refusal(f"{name.capitalize()} {text.strip()} is not a size; it must be greater than 0.")
        measures[name] = {"typed": _with_unit(text, quantity), "value": quantities.exact(quantity.value)}
    return {
        "check": check.id,
        "defect": kind,
        "station": station,
        "clock": place.clock,
        "zone": zone,
        "measures": measures,
        "note": note.strip(),
    }


def _station(text: str, system: str) -> str:
    try:
        return quantities.exact(quantities.read(text, kind="length", system=system).value)
    except Refusal:
        return text.strip()


def decision(cylinder: Cylinder, part: str, disposition: str, reason: str) -> Body:
    """What a person decides for a part with open eyes.

    Args:
        cylinder: the checklist, for its parts.
        part: the part's id.
        disposition: one of DECISIONS.
        reason: why.
    Raises:
        Refusal: an unknown part or decision, or no reason.
    Source: none
    """
    parts = [p.id for p in cylinder.parts]
    if part not in parts:
        raise Refusal(f"{part!r} is not a part; allowed are {', '.join(parts)}.")
    if disposition not in DECISIONS:
        raise Refusal(f"{disposition!r} is not a decision; allowed are {', '.join(DECISIONS)}.")
    if not reason.strip():
        raise Refusal("Say why; the report prints the reason beside the computed disposition.")
    return {"part": part, "disposition": disposition, "reason": reason.strip()}
