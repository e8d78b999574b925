"""What stands at the hub on its way into a data folder; what comes is believed in nothing, as from anywhere.

Numbers are given at the hub device by device, in the order in which they are committed, so that nothing can come
in behind the last number that was read. What a shop keeps for itself, its gauges and settings, stays with it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from inspect_app.bench.bench import Bench
from inspect_app.bench.exchange import NAMING, is_named, lay_down, named_by
from inspect_app.entries.entry import SHOP
from inspect_app.hub.connecting import epoch, refuse_other_form
from inspect_app.hub.entering import STEP, Files
from inspect_app.hub.remembering import Remembered, remember, remembered
from inspect_app.logbook.chains import Row
from inspect_app.logbook.reading import entry_of

if TYPE_CHECKING:
    from psycopg import Connection

AT_HUB = (
    f"SELECT {', '.join(Row._fields)}, aside, pos FROM hub.entry WHERE device = %s AND pos > %s ORDER BY pos"
)
REACH = """SELECT d.id, d.site, e.pos, e.hash FROM hub.device d CROSS JOIN LATERAL
    (SELECT pos, hash FROM hub.entry WHERE device = d.id ORDER BY pos DESC LIMIT 1) e ORDER BY d.id"""


Enter = Callable[[Callable[[], None], set[str]], None]
"""Calls what enters entries of these jobs into a log."""


def at_once(enter: Callable[[], None], jobs: set[str]) -> None:
    """Nobody draws anything from the bench."""
    enter()


@dataclass(frozen=True, slots=True)
class Reach:
    """How far one device's entries reach at a hub, and whose device it is."""

    device: str
    site: str
    number: int
    link: str


@dataclass(frozen=True, slots=True)
class Pulled:
    """What came of a pull: entries new here, files laid down, files the hub does not have, and a sentence for each
    chain or file refused."""

    new: int = 0
    files: int = 0
    lacking: int = 0
    refused: tuple[str, ...] = ()


def reaches(hub: Connection) -> list[Reach]:
    """How far the entries of each device that this login may read reach."""
    return [Reach(*row) for row in hub.execute(REACH)]


def read_already(bench: Bench, hub: Connection, known: Remembered) -> dict[str, tuple[int, str]]:
    """How far each device's entries were read off a hub: number and link of the last one, where it still is that one.

    Args:
        bench: the open data folder; of its own device it has what it has brought there.
        hub: the hub.
        known: what the folder remembers of it, in its epoch of today.
    """
    own = bench.logbook.device
    marks = [(device, *mark) for device, mark in known.read.items()] + [(own, *bench.logbook.last_of(own))]
    held = hub.execute(
        "SELECT device, pos, hash FROM unnest(%s::text[], %s::bigint[], %s::text[]) AS r (device, pos, hash)"
        " JOIN hub.entry e USING (device, pos, hash) ORDER BY pos",
        tuple([mark[n] for mark in marks] for n in range(3)),
    )
    return {device: (number, link) for device, number, link in held}


def pull(bench: Bench, hub: Connection, enter: Enter = at_once, most: int = STEP) -> Pulled:
    """Take over what is not here yet, with the files it names.

    Args:
        bench: the open data folder.
        hub: the hub, connected as a login that may read.
        enter: calls what enters a step into the log, and is told the jobs; where screens are drawn from the bench,
            they must not be drawn meanwhile.
        most: entries in one step.
    Raises:
        Refusal: the hub refuses to be read.
        NotSaved: the disk refused; what came before is here.
    """
    refuse_other_form(hub)
    known = remembered(bench.folder, now := epoch(hub)).at(now)
    coming = _Coming(bench, hub, enter)
    coming.fetch(known.lacking)
    known = replace(known, read=read_already(bench, hub, known))
    for reach in reaches(hub):
        told = len(coming.refused)
        for step in _steps(hub, reach, known.read.get(reach.device, (0, ""))[0], most):
            coming.take(step, reach.site)
            if len(coming.refused) == told:  # what was refused is asked for again
                known = replace(known, read={**known.read, reach.device: (step[-1][2], step[-1][0].hash)})
                remember(bench.folder, known := replace(known, lacking=coming.lacking))
    remember(bench.folder, replace(known, lacking=coming.lacking))
    return Pulled(coming.new, coming.files, len(coming.lacking), tuple(coming.refused))


def _steps(hub: Connection, reach: Reach, number: int, most: int) -> Iterator[list[tuple[Row, bool, int]]]:
    """The entries of a device beyond a number, each with whether it stands aside and its number."""
    # in steps of their own: a transaction that stays open while a folder is written holds up the hub's cleaning
    while number < reach.number:
        rows = hub.execute(f"{AT_HUB} LIMIT {most}".encode(), (reach.device, number)).fetchall()
        yield [(Row(*row[:-2]), row[-2], row[-1]) for row in rows]
        number = rows[-1][-1]


class _Coming:
    """What came in so far."""

    def __init__(self, bench: Bench, hub: Connection, enter: Enter) -> None:
        self._bench, self._hub, self._enter = bench, hub, enter
        self.new = self.files = 0
        self.lacking: dict[str, str] = {}  # files by name, and their site
        self.refused: list[str] = []

    def take(self, step: Sequence[tuple[Row, bool, int]], site: str) -> None:
        """Take over entries of one site, their files before them."""
        own = self._bench.logbook.device
        wanted = [(row, aside) for row, aside, _ in step if row.job != SHOP or row.device == own]
        named = named_by(self._bench, (entry_of(*row[:7]) for row, _ in wanted if row.kind in NAMING))
        self.fetch({name: site for name, file in named if not file.is_file()})
        self._enter(lambda: self._take_over(wanted), {row.job for row, _ in wanted})

    def _take_over(self, wanted: Sequence[tuple[Row, bool]]) -> None:
        for forked in (False, True):  # what forks is taken by itself: a chain is refused as a whole
            taken = self._bench.logbook.take_over([row for row, aside in wanted if aside is forked])
            self.new += taken.new
            self.refused += taken.refused
        for job in {row.job for row, _ in wanted}:
            self._bench.forget(job)

    def fetch(self, wanted: Mapping[str, str]) -> None:
        """Lay down files, each with the site that has it; those that the hub does not have are asked for again."""
        for site in {*wanted.values()}:
            files, names = Files(self._hub, site), {name for name in wanted if wanted[name] == site}
            for name in sorted(files.known(names)):
                content = files.get(name) or b""
                if _sound(name, content):
                    lay_down(self._bench, {name: content})
                    self.files += 1
                else:
                    self.refused.append(f"{name} at the hub is not what its name says; it was not laid down.")
        asked = {**self.lacking, **wanted}
        here = {name for name in asked if (self._bench.folder / name).is_file()}
        self.lacking = {name: site for name, site in asked.items() if name not in here}


def _sound(name: str, content: bytes) -> bool:
    try:
        return is_named(name, content)
    except Exception:  # bytes from elsewhere may raise anything, as with photographs
        return False
