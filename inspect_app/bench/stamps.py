"""Times and ids of what one device enters, each later than the one before; the clock and chance come in here."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime

from inspect_app.entries.entry import uuid7
from inspect_app.logbook.chains import is_time
from inspect_app.logbook.store import NotSaved


class Stamps:
    """The clock of one open data folder.

    Args:
        now: the clock.
        random: where the chance in ids comes from.
        last_at: when the device made its latest entry, "" if it made none.
    """

    def __init__(self, now: Callable[[], datetime], random: Callable[[int], bytes], last_at: str) -> None:
        self._now = now
        self._random = random
        self._last_ms = round(datetime.fromisoformat(last_at).timestamp() * 1000) if last_at else 0

    def now(self) -> datetime:
        """The time.

        Raises:
            NotSaved: the clock stands at a day that is none.
        """
        now = self._now()
        _text(now.timestamp())
        return now

    def next_at(self) -> str:
        """The time of the next entry: later than the last one, whatever the clock says; raises as `now`."""
        # clocks are set back now and then
        self._last_ms = max(self._ms(), self._last_ms + 1)
        return _text(self._last_ms / 1000)

    def new_id(self) -> str:
        """An id nobody has; raises as `now`."""
        return uuid7(max(self._ms(), self._last_ms), self._random(10))

    def _ms(self) -> int:
        return round(self.now().timestamp() * 1000)


def _text(seconds: float) -> str:
    """A time as it stands in the log."""
    try:
        moment = datetime.fromtimestamp(seconds, UTC).isoformat(timespec="milliseconds")
    except (ValueError, OverflowError, OSError):
        moment = "9999"
    at = moment.replace("+00:00", "Z")
    if not is_time(at):
        raise NotSaved(
            "NOT saved: the clock of this computer stands at the year 9999, or the last entry of the logbook does. "
            "Set the clock right, run inspect-app verify, then do it again."
        )
    return at
