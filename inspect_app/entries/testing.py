"""Testing: readings of a hold as they are typed, and a logger's file as it was understood."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from inspect_app.entries.entry import Body, Entry
from inspect_app.entries.sealing import as_typed, understood
from inspect_app.entries.tested import HoldReading, Logged, Tested
from inspect_app.entries.typed import Known, Written, decimal
from inspect_app.trade.leakage.logger_times import TwoParts, clock_minutes, is_clock
from inspect_app.trade.leakage.slope import Point
from inspect_app.trade.measuring import quantities
from inspect_app.trade.measuring.refusal import Refusal

_SECONDS = Decimal(60)
_PLACES = Decimal("0.000001")
"""A second is 0.0167 min and a pascal 0.000001 MPa: finer than any logger."""

# ---- typed


def minutes_typed(text: str) -> Decimal:
    """Minutes from the start of a hold: 2:30, 2.5 or 150 s; a bare number is in minutes.

    Args:
        text: as typed.
    Raises:
        Refusal: it is no time.

    >>> minutes_typed("2:30"), minutes_typed("2,5"), minutes_typed("150 s")
    (Decimal('2.500000'), Decimal('2.5'), Decimal('2.5'))
    """
    bare = text.strip()
    if is_clock(bare):
        return Decimal(clock_minutes(bare, TwoParts.MINUTES)).quantize(_PLACES)
    with_unit = f"{bare} min" if bare.replace(",", ".").replace(".", "", 1).isdigit() else bare
    return quantities.read(with_unit, kind="time").value / _SECONDS


@dataclass(frozen=True, slots=True)
class HoldRead:
    """One reading of the hold: time, pressure, oil temperature (may be "")."""

    minutes: str
    pressure: str
    temperature: str = ""

    def written(self, known: Known) -> list[Written]:
        """The reading; refused is one without time or pressure."""
        if not self.minutes.strip() or not self.pressure.strip():
            raise Refusal("A reading needs the time from the start of the hold, and the pressure.")
        body = {
            "minutes": {"typed": self.minutes.strip(), "value": str(minutes_typed(self.minutes))},
            "pressure": as_typed(self.pressure, "pressure", known.system),
            "temperature": as_typed(self.temperature, "temperature", known.system),
        }
        return [("test-reading", body)]


@dataclass(frozen=True, slots=True)
class LogTaken:
    """A logger's file as it was understood, and from when to when the hold is in it ("" is its beginning, its end)."""

    name: str
    sha256: str
    read_as: Mapping[str, str]
    points: Sequence[Point]
    gaps: int
    hold_from: str = ""
    hold_to: str = ""

    def written(self, known: Known) -> list[Written]:
        """The file; refused is a hold that ends before it begins or lies outside the file."""
        start, end = (minutes_typed(t) if t.strip() else None for t in (self.hold_from, self.hold_to))
        last = Decimal(self.points[-1].minutes)
        if (start or Decimal(0)) >= (last if end is None else end):
            raise Refusal(
                "The hold ends before it begins; the file runs from 0 to {last} min.", last=f"{last:.1f}"
            )
        body = {
            "name": self.name,
            "sha256": self.sha256,
            "read_as": dict(self.read_as),
            "points": [_figures(p) for p in self.points],
            "gaps": self.gaps,
            "hold": ["" if t is None else str(t) for t in (start, end)],
        }
        return [("test-log", body)]


def _figures(point: Point) -> list[str]:
    every = (point.minutes, point.mpa, point.celsius)
    return ["" if f is None else f"{Decimal(f).quantize(_PLACES).normalize():f}" for f in every]


# ---- folded


def reading(tested: Tested, entry: Entry, body: Body) -> Tested:
    """A reading joins the others; one of the same time is taken again."""
    pressure = understood(body["pressure"])
    if pressure is None:
        raise ValueError("a reading without a pressure")
    new = HoldReading(
        Decimal(body["minutes"]["value"]), pressure, understood(body["temperature"]), entry.by, entry.at
    )
    kept = [r for r in tested.readings if r.minutes != new.minutes]
    return replace(tested, readings=tuple(sorted([*kept, new], key=lambda r: r.minutes)))


def log(tested: Tested, entry: Entry, body: Body) -> Tested:
    """The file taken last holds; the same file taken again is taken as it is read now."""
    start, end = (decimal(text) for text in body["hold"])
    points = tuple((Decimal(m), Decimal(p), decimal(c)) for m, p, c in body["points"])
    new = Logged(
        body["name"],
        body["sha256"],
        dict(body["read_as"]),
        points,
        int(body["gaps"]),
        start,
        end,
        entry.by,
        entry.at,
    )
    others = {sha: logged for sha, logged in tested.logs.items() if sha != new.sha256}
    return replace(tested, logs={**others, new.sha256: new})
