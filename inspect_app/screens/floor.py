"""Every open screen of the shop: tells the others when something was entered, knows which places are lit on them."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from typing import Protocol, TypeVar

from inspect_app.entries.job import Place
from inspect_app.screens.mechanic.entering import At, Entering

Work = TypeVar("Work")

SOON_S = 0.25
"""Within this an entry shows on the other screens; several in that time are drawn once."""


class OpenScreen(Protocol):
    """One session as the others see it: whose phone, what is being entered, which jobs are in sight."""

    client: str
    entering: Entering

    def shows(self, job_id: str) -> bool:
        """Whether what is entered in a job is to be seen on it."""

    def follow_soon(self, seconds: float) -> None:
        """Draw anew what others entered within this time."""


class Floor:
    """The sessions that are connected now."""

    def __init__(self) -> None:
        self._desks: list[OpenScreen] = []
        self.judging: set[str] = set()
        """The jobs of the list that are being judged beside the screens."""
        # one at a time: a large photograph takes much memory
        self._darkroom = ThreadPoolExecutor(max_workers=1)

    async def beside(self, work: Callable[[], Work]) -> Work:
        """What takes so long that no other phone may wait for it: a photograph decoded, a report drawn.

        Args:
            work: does it, and changes nothing that screens are drawn from.
        """
        return await asyncio.get_running_loop().run_in_executor(self._darkroom, work)

    def join(self, desk: OpenScreen) -> None:
        """A phone came, or came back."""
        if desk not in self._desks:
            self._desks.append(desk)

    def leave(self, desk: OpenScreen) -> None:
        """A phone went away: the place lit on it is free again."""
        if desk in self._desks:
            self._desks.remove(desk)

    def entered(self, by: OpenScreen, job_id: str) -> None:
        """Something was entered in a job: every other screen that shows it is drawn anew soon."""
        for desk in self._desks:
            if desk is not by and desk.shows(job_id):
                desk.follow_soon(SOON_S)

    def told(self, job_id: str) -> None:
        """Something came into a job from no screen of ours: every one that shows it is drawn anew soon."""
        for desk in self._desks:
            if desk.shows(job_id):
                desk.follow_soon(SOON_S)

    def changed(self) -> None:
        """What the host can do has changed: every screen is drawn anew soon."""
        for desk in self._desks:
            desk.follow_soon(SOON_S)

    def lit_elsewhere(self, on: OpenScreen, at: At) -> frozenset[Place]:
        """The places of a check that other phones are at just now."""
        lit = (d.entering for d in self._desks if d.client != on.client and d.shows(at[0]))
        return frozenset(e.place for e in lit if e.at == at and e.place is not None)
