"""What stands of a pressure test beside what its step records: readings over time, and loggers' files; values only."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal

from inspect_app.entries.seals import AsTyped


@dataclass(frozen=True, slots=True)
class HoldReading:
    """One reading of a hold by hand: minutes from its start, pressure, and the oil's temperature where it was read."""

    minutes: Decimal
    pressure: AsTyped
    temperature: AsTyped | None
    by: str
    at: str


@dataclass(frozen=True, slots=True)
class Logged:
    """A logger's file as it was taken: its name and hash, what was taken for what, and its readings.

    `points` are minutes, MPa and °C (None where it was not logged). The hold is from `hold_from` to `hold_to`, minutes
    of the file; None is its beginning and its end. `gaps` rows had no reading.
    """

    name: str
    sha256: str
    read_as: Mapping[str, str]
    points: tuple[tuple[Decimal, Decimal, Decimal | None], ...]
    gaps: int
    hold_from: Decimal | None
    hold_to: Decimal | None
    by: str
    at: str


@dataclass(frozen=True, slots=True)
class Tested:
    """Readings by hand in the order of time, and every file by its hash as they were taken; the last one holds."""

    readings: tuple[HoldReading, ...] = ()
    logs: Mapping[str, Logged] = field(default_factory=dict)

    @property
    def log(self) -> Logged | None:
        """The file that holds, None where none was taken."""
        return [*self.logs.values()][-1] if self.logs else None
