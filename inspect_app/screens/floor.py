"""Every open screen of the shop: tells the others when something was entered, knows which places are lit on them."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from typing import TYPE_CHECKING

from inspect_app.entries.job import Place

if TYPE_CHECKING:
    from inspect_app.screens.desk import Desk
    from inspect_app.screens.mechanic.entering import At

SOON_S = 0.25
"""Within this an entry shows on the other screens; several in that time are drawn once."""


class Floor:
    """The sessions that are connected now."""

    def __init__(self) -> None:
        self._desks: list[Desk] = []
        # one photograph is decoded at a time: a large one takes much memory
        self.darkroom = ThreadPoolExecutor(max_workers=1)

    def join(self, desk: Desk) -> None:
        """A phone came, or came back."""
        if desk not in self._desks:
            self._desks.append(desk)

    def leave(self, desk: Desk) -> None:
        """A phone went away: the place lit on it is free again."""
        if desk in self._desks:
            self._desks.remove(desk)

    def entered(self, by: Desk, job_id: str) -> None:
        """Something was entered in a job: every other screen that shows it is drawn anew soon."""
        for desk in self._desks:
            if desk is not by and desk.shows(job_id):
                desk.follow_soon(SOON_S)

    def lit_elsewhere(self, on: Desk, at: At) -> frozenset[Place]:
        """The places of a check that other phones are at just now."""
        lit = (d.entering for d in self._desks if d.client != on.client and d.shows(at[0]))
        return frozenset(e.place for e in lit if e.at == at and e.place is not None)
