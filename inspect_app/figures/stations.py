"""Where stations and clocks lie on a drawing, and what they are called there; the same for every figure."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal

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
    """Where each station lies: true to length in mm, or at even distances where they are words.

    Args:
        stations: the stations, in order.
        start: where the datum lies on the drawing.
        end: where the far end lies.
        length_mm: what the drawing spans, mm; None takes as much beyond the last station as before the first.

    >>> along(["25", "75"], 0, 200), along(["upper", "lower"], 0, 200)
    ({'25': 50.0, '75': 150.0}, {'upper': 50.0, 'lower': 150.0})
    """
    run = end - start
    try:
        at = [float(s) for s in stations]
    except ValueError:
        at = []
    if not at:
        return {s: start + run * (n + 0.5) / len(stations) for n, s in enumerate(stations)}
    over = max(float(length_mm) if length_mm else max(at) + min(at), *at) or 1.0
    return {s: start + run * max(0.0, mm) / over for s, mm in zip(stations, at, strict=True)}


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
