"""How a data folder and a hub stand to each other, in sentences; changes neither."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from inspect_app.bench.bench import Bench
from inspect_app.entries.entry import SHOP
from inspect_app.hub.connecting import epoch, only, refuse_other_form
from inspect_app.hub.entering import STEP, marked
from inspect_app.hub.pulling import Pulled, reaches, read_already
from inspect_app.hub.pushing import Pushed, reached
from inspect_app.hub.remembering import remembered
from inspect_app.trade.measuring.wording import counted

if TYPE_CHECKING:
    from psycopg import Connection

FORKS = """SELECT e.device, e.job, count(*), min(e.at), min(d.site)
    FROM hub.entry e JOIN hub.device d ON d.id = e.device WHERE e.aside GROUP BY e.device, e.job ORDER BY 1, 2"""
THERE = "SELECT count(*) FROM hub.entry WHERE id = ANY (%s)"
BEYOND = """SELECT e.job, array_agg(e.id) FROM hub.device d
    LEFT JOIN unnest(%s::text[], %s::bigint[]) AS r (device, pos) ON r.device = d.id
    JOIN hub.entry e ON e.device = d.id AND e.pos > coalesce(r.pos, 0) AND (e.job <> %s OR e.device = %s) GROUP BY 1"""
ASIDE = (
    "Device {device} of site {site}, job {job}: {entries} from {at} on stand aside at the hub. Two copies of one data "
    "folder were both written to, and the other one's entries came first. Let one of the two go on as another device."
)


def standing(bench: Bench, hub: Connection) -> Iterator[str]:
    """How they stand: what each lacks of the other, what stands aside, whether the hub was put back.

    Args:
        bench: the open data folder.
        hub: the hub.
    """
    refuse_other_form(hub)
    yield _size(hub)
    yield from put_back(bench, hub)
    yield waiting(bench, hub)
    unread = _unread(bench, hub)
    yield f"{_entries(unread)} at the hub {'is' if unread == 1 else 'are'} not in this folder."
    if lacking := only(hub, "SELECT count(*) FROM hub.lacking"):
        yield f"{counted(int(str(lacking)), 'file', 'files')} that entries name nobody has brought yet."
    yield from forks(hub)


def waiting(bench: Bench, hub: Connection) -> str:
    """How much of a folder the hub does not have yet, as a sentence; what came from there is not counted."""
    number, left = reached(bench, hub), 0
    while step := bench.logbook.since(number, STEP):
        number = step[-1][0]
        left += len(step) - int(str(only(hub, THERE, ([row.id for _, row in step],))))
    return waiting_words(left)


def waiting_words(entries: int) -> str:
    """How many entries of a folder the hub does not have yet, as a sentence."""
    return f"{_entries(entries)} not yet at the hub." if entries else "All entries are at the hub."


def put_back(bench: Bench, hub: Connection) -> Iterator[str]:
    """What is told of a hub that has less than it acknowledged: it was restored from a backup.

    Args:
        bench: the open data folder.
        hub: the hub.
    """
    met, device = remembered(bench.folder, now := epoch(hub)), bench.logbook.device
    mark = marked(hub, device).get(device)
    lost = met.acknowledged - (mark.number if mark else 0) if met.device == device else 0
    if met.epoch and (lost > 0 or met.epoch != now):
        has = (
            f"it lacks {_entries(lost)} that it had from here" if lost > 0 else "it has all it had from here"
        )
        yield f"The hub was put back, or moved, since it was met last: {has}. A push brings what it lacks."


def forks(hub: Connection) -> Iterator[str]:
    """What stands aside at a hub, a sentence for each device and job."""
    for device, job, entries, at, site in hub.execute(FORKS):
        yield ASIDE.format(device=device, site=site, job=job, entries=_entries(entries), at=at)


def pushed_words(came: Pushed) -> Iterator[str]:
    """What came of a push, in sentences."""
    yield f"{_entries(came.new)} and {counted(came.files, 'file', 'files')} are new at the hub."
    if came.lacking:
        yield f"{counted(came.lacking, 'file', 'files')} that entries name are not here; whoever has them brings them."
    if came.others:
        yield f"{_entries(came.others)} of devices of other sites were left out; their own logs bring them."


def pulled_words(came: Pulled) -> Iterator[str]:
    """What came of a pull, in sentences."""
    yield f"{_entries(came.new)} and {counted(came.files, 'file', 'files')} are new here."
    if came.lacking:
        yield f"{counted(came.lacking, 'file', 'files')} that entries name are not at the hub yet."
    yield from came.refused


def _unread(bench: Bench, hub: Connection) -> int:
    """How many entries at a hub a folder lacks: some come by file, or were brought there from here."""
    known = remembered(bench.folder, now := epoch(hub)).at(now)
    read = read_already(bench, hub, known)
    numbers = [number for number, _ in read.values()]
    beyond = hub.execute(BEYOND, ([*read], numbers, SHOP, bench.logbook.device))
    return sum(len({*ids} - {row.id for row in bench.logbook.rows(job)}) for job, ids in beyond)


def _size(hub: Connection) -> str:
    every = reaches(hub)
    devices = counted(len(every), "device", "devices")
    sites = counted(len({reach.site for reach in every}), "site", "sites")
    return f"Hub {hub.info.dbname}: {_entries(sum(reach.number for reach in every))} of {devices} at {sites}."


def _entries(number: int) -> str:
    return counted(number, "entry", "entries")
