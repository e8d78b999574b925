"""What stands in a data folder on its way to the hub; the folder is only read.

How far the log was read stands in the hub, changed in the transaction that adds the entries: an acknowledged
entry is there, and what was broken off goes on from there. A mark holds while the entry it names stands at its
number in the log; else all is sent once more, and what is known is left.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from inspect_app.bench.bench import Bench
from inspect_app.bench.exchange import NAMING, named_by
from inspect_app.hub.connecting import epoch, refuse_other_form, site_of
from inspect_app.hub.entering import STEP, Files, Mark, marked, take_in
from inspect_app.hub.remembering import remember, remembered
from inspect_app.logbook.chains import Row
from inspect_app.logbook.reading import entry_of
from inspect_app.trade.measuring.refusal import Refusal

if TYPE_CHECKING:
    from psycopg import Connection

REGISTER = "INSERT INTO hub.device SELECT unnest(%s::text[]), %s ON CONFLICT DO NOTHING"
ELSEWHERE = "The device of this folder, {device}, belongs to another site of the hub. Nothing was sent."


@dataclass(frozen=True, slots=True)
class Pushed:
    """What came of a push: entries new at the hub, those of them set aside, files brought, files that are not here,
    and entries left out because their devices are another site's."""

    new: int = 0
    aside: int = 0
    files: int = 0
    lacking: int = 0
    others: int = 0


def reached(bench: Bench, hub: Connection) -> int:
    """The number of the last entry of a folder's log that the hub has read; 0 if it must read all of it.

    Args:
        bench: the open data folder.
        hub: the hub.
    """
    device = bench.logbook.device
    mark = marked(hub, device).get(device)
    if mark is None or mark.number < 1:
        return 0
    at_mark = bench.logbook.since(mark.number - 1, 1)
    return mark.number if [(n, row.hash) for n, row in at_mark] == [(mark.number, mark.link)] else 0


def push(bench: Bench, hub: Connection, say: Callable[[int], None] = lambda number: None) -> Pushed:
    """Bring what the hub does not have yet.

    Args:
        bench: the open data folder; it may be in use.
        hub: the hub, connected as a login of one site.
        say: told the number of the last entry that is there now, after each step.
    Raises:
        Refusal: the hub refuses a step, in its words; the steps before it are there.
    """
    refuse_other_form(hub)
    site = site_of(hub)
    files = Files(hub, site)
    new = aside = others = 0
    brought = _bring(bench, files, files.lacking())
    number = reached(bench, hub)
    while step := bench.logbook.since(number, STEP):
        number, last = step[-1]
        devices = {row.device for _, row in step} | {bench.logbook.device}
        hub.execute(REGISTER, (sorted(devices), site))
        own = {device for (device,) in hub.execute("SELECT id FROM hub.device WHERE site = %s", (site,))}
        if bench.logbook.device not in own:
            raise Refusal(ELSEWHERE, device=bench.logbook.device)
        rows = [row for _, row in step if row.device in own]
        brought += _bring_named(bench, files, rows)
        taken, beside = take_in(
            hub, rows, Mark(bench.logbook.device, bench.logbook.device, number, last.hash)
        )
        new, aside, others = new + taken, aside + beside, others + len(step) - len(rows)
        say(number)
    now = epoch(hub)
    remember(
        bench.folder,
        replace(remembered(bench.folder, now).at(now), device=bench.logbook.device, acknowledged=number),
    )
    return Pushed(new, aside, brought, len(files.lacking()), others)


def _bring_named(bench: Bench, files: Files, rows: Sequence[Row]) -> int:
    """Bring the files that entries name, before the entries; how many that were."""
    named = dict(named_by(bench, (entry_of(*row[:7]) for row in rows if row.kind in NAMING)))
    wanted = sorted(named.keys() - files.known(named))
    files.lacks(wanted)
    return _bring(bench, files, wanted)


def _bring(bench: Bench, files: Files, names: Sequence[str]) -> int:
    here = (name for name in names if (bench.folder / name).is_file())
    return sum(files.put(name, (bench.folder / name).read_bytes()) for name in here)
