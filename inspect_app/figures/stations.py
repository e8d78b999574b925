"""Where stations and clocks lie on a drawing, and what they are called there; the same for every figure."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from math import isfinite

from inspect_app.job.words import station_words


def turn_of(clock: str) -> float | None:
    """A clock position as a share of a turn, clockwise from 12; None where there is none.

    Args:
        clock: hours as text, "" for none.

    >>> turn_of("3"), turn_of("10.5"), turn_of("")
    (0.25, 0.875, None)
    """
    try:
        return float(clock) / 12 if clock else None
    except ValueError:
        return None


def along(
    stations: Sequence[str], start: float, end: float, length_mm: Decimal | None = None
) -> dict[str, float]:
    """Where each station lies: true to length in mm; words at even distances, and with them numbers of no known length.

    Args:
        stations: the stations, in order.
        start: where the datum lies on the drawing.
        end: where the far end lies.
        length_mm: what the drawing spans, mm; None takes as much beyond the last station as before the first.

    >>> along(["25", "75"], 0, 200), along(["upper", "lower"], 0, 200)
    ({'25': 50.0, '75': 150.0}, {'upper': 50.0, 'lower': 150.0})
    >>> along(["150", "eye"], 0, 200, Decimal(600))
    {'150': 50.0, 'eye': 100.0}
    """
    at = {s: mm for s in stations if (mm := mm_of(s)) is not None}
    named = [s for s in stations if s not in at]
    if named and not (at and length_mm):
        at, named = {}, list(stations)
    run, over = end - start, span_of(at.values(), length_mm)
    lies = {s: start + run * max(0.0, mm) / over for s, mm in at.items()}
    lies |= {s: start + run * (n + 0.5) / len(named) for n, s in enumerate(named)}
    return {s: lies[s] for s in stations}


def span_of(at_mm: Iterable[float], length_mm: Decimal | None) -> float:
    """How many mm a drawing spans: the length, more where a station lies beyond it.

    Args:
        at_mm: the stations.
        length_mm: what the drawing spans, None where it is not known.

    >>> span_of([25, 75], None), span_of([25, 75], Decimal(600)), span_of([25, 700], Decimal(600))
    (100.0, 600.0, 700.0)
    """
    at = list(at_mm)
    most = max(at, default=0.0)
    return float(max(float(length_mm) if length_mm else most + min(at, default=0.0), most)) or 1.0


def mm_of(station: str) -> float | None:
    """A station in mm, None where it is words.

    Args:
        station: mm as text, an id, or own words.
    """
    try:
        mm = float(station)
    except ValueError:
        return None
    return mm if isfinite(mm) else None


def short(station: str, called: Mapping[str, str], system: str) -> str:
    """A station's name without its unit, for a tick.

    Args:
        station: mm as text, an id, or own words.
        called: what the named stations of the check are called.
        system: "metric" or "inch".

    >>> short("350", {}, "metric"), short("254", {}, "inch"), short("cap-end", {"cap-end": "cap end"}, "inch")
    ('350', '10', 'cap end')
    """
    return station_words(station, called, system).removesuffix(" mm").removesuffix(" in")


def nice_factor(most: float) -> int:
    """The largest number of one digit and zeros that is not above `most`; never below 1.

    Args:
        most: the factor that would just fit.

    >>> nice_factor(730), nice_factor(49.9), nice_factor(0.3)
    (700, 40, 1)
    """
    if most < 1:
        return 1
    power = int("1" + "0" * (len(str(int(most))) - 1))
    return int(most / power) * power
