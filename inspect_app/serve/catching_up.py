"""Keeps a served folder and a hub level while the program runs, and says what waits; the bench never waits for it.

In a thread of its own it reads the folder through a connection of its own. What comes from the hub is entered by
the loop that draws the screens, in steps so small that nobody notices. Out of reach it asks again after a while.
"""

from __future__ import annotations

import asyncio
import threading
from collections.abc import Callable, Sequence

from inspect_app.bench.bench import Bench
from inspect_app.hub.connecting import Unreachable, connected
from inspect_app.hub.pulling import pull
from inspect_app.hub.pushing import push, reached
from inspect_app.hub.remembering import acknowledged
from inspect_app.hub.standing import waiting_words
from inspect_app.logbook.store import NotSaved
from inspect_app.screens.host import Note
from inspect_app.trade.measuring.refusal import Refusal

AGAIN_S = 20.0
"""So long it waits before it looks again for what was entered, or for the hub."""
ENTERED_AT_ONCE = 200
"""Entries of other devices in one step: some hundredths of a second."""
OUT_OF_REACH = (
    "The hub is out of reach now; what waits goes there by itself. `inspect-app hub status` says why."
)
"""What the driver says of an address and a port helps nobody at the bench."""


class CatchingUp:
    """One folder on its way to one hub.

    Args:
        bench: the open data folder, which others write.
        url: of the hub.
        again_s: see `AGAIN_S`.
    """

    def __init__(self, bench: Bench, url: str, again_s: float = AGAIN_S) -> None:
        self._bench, self._url, self._again_s = bench, url, again_s
        self._there = acknowledged(bench.folder, bench.logbook.device)
        self._trouble = ""
        self._reading: Bench | None = None
        self._ended = threading.Event()

    def start(self, loop: asyncio.AbstractEventLoop, told: Callable[[str], None]) -> None:
        """Catch up from now on, as long as the program runs.

        Args:
            loop: the one that draws the screens.
            told: told each job that something came into, in that loop.
        """
        self._loop, self._told = loop, told
        threading.Thread(target=self._go_on, name="catching up", daemon=True).start()

    def end(self) -> None:
        """Begin nothing more."""
        self._ended.set()

    def notes(self) -> Sequence[Note]:
        """How much the hub does not have yet, and why not; above the jobs while something waits."""
        left = self._bench.logbook.reaches() - self._there
        words = " ".join(w for w in (waiting_words(left), self._trouble) if w)
        return (Note(words, "accent" if left or self._trouble else "within"),)

    def meet(self) -> None:
        """Bring what the hub does not have yet, take in what is new there; where it cannot be, that is told."""
        try:
            if self._reading is None:
                self._reading = Bench(self._bench.folder, reading=True)
            with connected(self._url) as hub:
                push(self._reading, hub, self._reached)
                came = pull(self._bench, hub, self._enter, ENTERED_AT_ONCE)
                if came.new:  # they stand in the log now, and do not wait
                    push(self._reading, hub)
                self._reached(reached(self._reading, hub))
            self._trouble = " ".join(came.refused)
        except Unreachable:
            self._trouble = OUT_OF_REACH
        except (Refusal, NotSaved) as why:
            self._trouble = str(why)

    def _enter(self, enter: Callable[[], None], jobs: set[str]) -> None:
        """Have something entered by the loop, and wait for it."""

        async def entered() -> None:
            enter()
            for job in jobs:
                self._told(job)

        asyncio.run_coroutine_threadsafe(entered(), self._loop).result()

    def _reached(self, number: int) -> None:
        self._there = number

    def _go_on(self) -> None:
        while not self._ended.is_set():
            self.meet()
            self._ended.wait(self._again_s)
        if self._reading:
            self._reading.close()
