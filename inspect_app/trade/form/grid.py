"""The places a check is read at, read or not, and their order along the part; knows not what was measured."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal

from inspect_app.trade.form.roundness import clock_to_deg
from inspect_app.trade.measuring.quantities import show_text
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.slips import decimals_of
from inspect_app.trade.measuring.units import KINDS

Cell = tuple[str, str]
"""One place: station (mm from the part's datum as text, or a word, or "") and clock (hours as text, or "")."""

Grid = Mapping[Cell, Decimal | None]
"""Every place a check has, with its reading, None where it was not read."""


def distance_mm(station: str) -> Decimal | None:
    """How far along the part a station lies, mm; None for one known by a word.

    Args:
        station: mm as text, or a word.

    >>> distance_mm("750"), distance_mm("gland end")
    (Decimal('750'), None)
    """
    try:
        distance = Decimal(station)
    except ArithmeticError:
        return None
    return distance if distance.is_finite() else None


@dataclass(frozen=True, slots=True)
class Station:
    """A station as it stands in a sentence: mm as text, or a word."""

    text: str

    def words(self, system: str) -> str:
        """As it is said; `system` is "metric" or "inch".

        >>> Station("350").words("metric"), Station("254").words("inch"), Station("S2").words("inch")
        ('350 mm', '10 in', 'S2')
        >>> Station("523.875").words("inch"), Station("350").words("inch")
        ('20.625 in', '13.78 in')
        """
        mm = distance_mm(self.text)
        if mm is None:
            return self.text
        decimals = decimals_of(KINDS["length"].shown(system)[0].number(mm))
        # an eighth of an inch is said whole, what was laid out in mm to the hundredth of an inch
        most = 2 if system == "inch" and decimals > 3 else 3
        return show_text(mm, kind="length", system=system, decimals=min(decimals, most))


def clock_words(clock: str) -> str:
    """A clock position as it is said: 12 o'clock, 1:30.

    Args:
        clock: hours as text, "" for none.

    >>> clock_words("1.5"), clock_words("12"), clock_words("0.5")
    ('1:30', "12 o'clock", '12:30')
    """
    try:
        hours, minutes = divmod(round(Decimal(clock) * 60), 60)
    except (ArithmeticError, ValueError):
        return clock
    return f"{hours or 12}:{minutes:02d}" if minutes else f"{hours or 12} o'clock"


def in_order(stations: Iterable[str]) -> tuple[str, ...]:
    """Stations along the part, each once: by distance, and behind them those known by a word, as given.

    Words keep the order they come in, which is the checklist's; nothing says where among the distances
    they would lie.

    Args:
        stations: mm as text, or words.

    >>> in_order(["750", "25", "1175", "25"]), in_order(["gland end", "cap end"]), in_order(["port", "50"])
    (('25', '750', '1175'), ('gland end', 'cap end'), ('50', 'port'))
    """
    once = dict.fromkeys(stations)
    numbers = sorted((mm, s) for s in once if (mm := distance_mm(s)) is not None)
    return (*(s for _, s in numbers), *(s for s in once if distance_mm(s) is None))


def angle_deg(clock: str) -> Decimal:
    """Angle clockwise from 12 of a clock, degrees; 0 for a check read at no clock.

    Args:
        clock: hours as text, or "".
    Raises:
        Refusal: not a clock.

    >>> angle_deg("4.5")
    Decimal('135.0')
    """
    try:
        return clock_to_deg(Decimal(clock or "12"))
    except ArithmeticError:
        raise Refusal(f"{clock!r} is not a clock position; write 12, 3, 4.5 and so on.") from None
