"""Measuring: where, from which nominal size, against which limit off a drawing, the readings, and what is left out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import cast

from inspect_app.entries.entry import Body, Entry
from inspect_app.entries.job import WHOLE_CHECK, DrawingLimit, Field, Gauge, Place, Reading, Skip, Survey
from inspect_app.entries.typed import (
    Known,
    Station,
    Written,
    decimal,
    id_of,
    require_clock,
    require_station,
    with_unit,
)
from inspect_app.tables.cylinders import Check
from inspect_app.trade.measuring import quantities
from inspect_app.trade.measuring.quantities import Quantity
from inspect_app.trade.measuring.refusal import Refusal

NOT_FITTED = "not-fitted"
"""The reason for leaving out what is not there to be checked."""

# ---- typed


@dataclass(frozen=True, slots=True)
class Layout:
    """Where a check is measured, as a person chose it: at every station every clock (hours)."""

    check: Check
    stations: Sequence[Station]
    clocks: Sequence[str]

    def written(self, known: Known) -> list[Written]:
        """The layout; refused is a clock or a station that cannot be, or is given twice."""
        stations = [s.at for s in self.stations]
        for clock in filter(None, self.clocks):
            require_clock(clock)
        for at in stations:
            require_station(at, self.check.stations.names)
        for words in (stations, self.clocks):
            if twice := [word for n, word in enumerate(words) if word in words[:n]]:
                raise Refusal(f"{twice[0]!r} is given twice; each place is measured once.")
        body = _places(self.check, stations, self.clocks)
        return [("places", {**body, "typed": [s.typed for s in self.stations], "chosen": True})]


def laid_out(check: Check, known: Known) -> list[Written]:
    """The entry that fixes where a check is measured, unless the log has one.

    Args:
        check: the check.
        known: for what stands, and the checklist's places.
    """
    if check.id in known.survey.places:
        return []
    stations, clocks = (list(dict.fromkeys(words)) for words in zip(*known.places(check), strict=True))
    return [("places", _places(check, stations, clocks))]


def _places(check: Check, stations: Sequence[str], clocks: Sequence[str]) -> Body:
    return {"check": check.id, "stations": list(stations), "clocks": list(clocks)}


@dataclass(frozen=True, slots=True)
class NominalSize:
    """The nominal size a check asks for."""

    check: Check
    text: str

    def written(self, known: Known) -> list[Written]:
        """The size; refused is one that cannot be read or is not above 0."""
        quantity = quantities.read(self.text, kind=self.check.kind, system=known.system)
        if quantity.value <= 0:
            raise Refusal(f"{self.text.strip()} is not a nominal size; it must be greater than 0.")
        body = {
            "check": self.check.id,
            "typed": with_unit(self.text, quantity),
            "value": quantities.exact(quantity.value),
        }
        return [("nominal", body)]


@dataclass(frozen=True, slots=True)
class OffDrawing:
    """A limit off the maker's drawing on one characteristic of a check: lower and upper, "" for none."""

    check: Check
    characteristic: str
    lower: str
    upper: str
    drawing: str

    def written(self, known: Known) -> list[Written]:
        """The limit; refused are none, exchanged ones, no drawing, a characteristic the check has not."""
        lower, upper = (self._read(text, known.system) for text in (self.lower, self.upper))
        if lower is None and upper is None:
            raise Refusal("Type a lower limit, an upper limit or both.")
        if lower is not None and upper is not None and lower.value > upper.value:
            raise Refusal(f"The lower limit {self.lower} is above the upper limit {self.upper}.")
        if not self.drawing.strip():
            raise Refusal("Say which drawing the limit is from; the report prints it.")
        if self.characteristic not in self.check.characteristics:
            allowed = ", ".join(self.check.characteristics)
            raise Refusal(f"{self.characteristic!r} is not made of this check; allowed are {allowed}.")
        both = ((self.lower, lower), (self.upper, upper))
        below, above = (quantities.exact(q.value) if q else "" for _, q in both)
        body = {
            "check": self.check.id,
            "characteristic": self.characteristic,
            "lower": below,
            "upper": above,
            "typed": [with_unit(text, q) if q else "" for text, q in both],
            "source": self.drawing.strip(),
        }
        return [("limit", body)]

    def _read(self, text: str, system: str) -> Quantity | None:
        return quantities.read(text, kind=self.check.kind, system=system) if text.strip() else None


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A place, or with an empty one the whole check, that is not measured, and why: a reason of the checklist by
    its id or what that is called, or own words."""

    check: Check
    place: Place
    reason: str

    def written(self, known: Known) -> list[Written]:
        """The skip, after where the check is measured; refused without a reason."""
        if not self.reason.strip():
            raise Refusal("Say why it is not measured; the report prints the reason.")
        before = [] if self.place == WHOLE_CHECK else laid_out(self.check, known)
        reason = id_of(self.reason, known.cylinder.reasons) or self.reason.strip()
        body = {"check": self.check.id, **self.place._asdict(), "reason": reason}
        return [*before, ("skip", body)]


@dataclass(frozen=True, slots=True)
class NotFitted:
    """What these checks look at is not on the cylinder: a groove, a part. One entry for all of them."""

    checks: Sequence[Check]

    def written(self, known: Known) -> list[Written]:
        """The skip of each check where nothing was entered yet; refused where that is none of them."""
        free = [c.id for c in self.checks if not known.survey.met(c.id)]
        if not free:
            raise Refusal("It was measured or looked at already, so it is there.")
        body = {"check": free[0], **WHOLE_CHECK._asdict(), "reason": NOT_FITTED}
        return [("skip", {**body, "checks": free} if len(free) > 1 else body)]


def taken(check: Check, place: Place, text: str, quantity: Quantity, gauge: Gauge) -> Body:
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
        **place._asdict(),
        "typed": with_unit(text, quantity),
        "value": quantities.exact(quantity.value),
        "step": quantities.exact(quantity.step),
        "gauge": gauge.id,
    }


# ---- folded


def places(survey: Survey, entry: Entry, body: Body) -> Survey:
    """The last layout of a check holds."""
    laid = tuple(Place(s, c) for s in body["stations"] for c in body["clocks"])
    return replace(survey, places={**survey.places, body["check"]: laid})


def nominal(survey: Survey, entry: Entry, body: Body) -> Survey:
    """The last nominal size of a check holds."""
    return replace(
        survey, nominals={**survey.nominals, body["check"]: Field(body["typed"], decimal(body["value"]))}
    )


def limit(survey: Survey, entry: Entry, body: Body) -> Survey:
    """The last limit on one characteristic of a check holds."""
    new = DrawingLimit(
        body["check"],
        body["characteristic"],
        decimal(body["lower"]),
        decimal(body["upper"]),
        body["source"],
        entry.by,
    )
    kept = tuple(x for x in survey.limits if (x.check, x.characteristic) != (new.check, new.characteristic))
    return replace(survey, limits=(*kept, new))


class Gathering:
    """Readings on their way into one survey: what they stand in is copied once, not once for each of them.

    Args:
        survey: what stood before; it is never changed.
    """

    def __init__(self, survey: Survey) -> None:
        self._survey = survey
        self._readings = cast(dict[str, dict[Place, Reading]], dict(survey.readings))
        self._skips = dict(survey.skips)
        self._replaced: list[Reading] = []
        self._ours: set[str] = set()  # the checks whose readings were copied

    def take(self, entry: Entry, body: Body) -> None:
        """A reading takes the place of the one before, which is kept aside, and lifts what was left out there.

        What a body lacks or says wrongly raises, before anything of it was taken.
        """
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
            decimal(body.get("step")) or Decimal(0),
        )
        standing = self._readings.get(check, {})
        before = standing.get(place)
        if check not in self._ours:
            standing = self._readings[check] = dict(standing)
            self._ours.add(check)
        standing[place] = new
        if before:
            self._replaced.append(before)
        if self._skips:
            self._skips.pop((check, place), None)
            self._skips.pop((check, WHOLE_CHECK), None)

    def standing(self) -> Survey:
        """The survey as it stands, for a step that is no reading: what was replaced comes at the end."""
        return replace(self._survey, readings=self._readings, skips=self._skips)

    def go_on(self, survey: Survey) -> None:
        """Go on from what such a step made of it.

        Args:
            survey: made out of `standing`, kept by nobody else, its readings the same.
        """
        self._survey = survey
        self._skips = cast(dict[tuple[str, Place], Skip], survey.skips)

    def whole(self) -> Survey:
        """The survey with all of them; nothing may be taken after it."""
        return replace(self.standing(), replaced=(*self._survey.replaced, *self._replaced))


def reading(survey: Survey, entry: Entry, body: Body) -> Survey:
    """One reading, as `Gathering.take` says."""
    gathering = Gathering(survey)
    gathering.take(entry, body)
    return gathering.whole()


def skip(survey: Survey, entry: Entry, body: Body) -> Survey:
    """A place is left out, a check, or several checks in one."""
    place = Place(body["station"], body["clock"])
    new = {
        (check, place): Skip(entry.id, check, place, body["reason"], entry.by)
        for check in body.get("checks") or (body["check"],)
    }
    return replace(survey, skips={**survey.skips, **new})
