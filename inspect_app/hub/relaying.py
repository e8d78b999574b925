"""One hub's entries and files brought to another; run both ways they come to hold the same."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from inspect_app.hub.connecting import epoch, only, refuse_other_form
from inspect_app.hub.entering import STEP, Files, Mark, marked, take_in
from inspect_app.hub.pulling import AT_HUB, reaches
from inspect_app.hub.pushing import Pushed
from inspect_app.logbook.chains import Row

if TYPE_CHECKING:
    from psycopg import Connection


def relay(source: Connection, hub: Connection) -> Pushed:
    """Bring what one hub has to another: sites, devices, files, entries; what is known is left.

    Args:
        source: the one, connected as a login that may read all.
        hub: the other, connected as a login that may carry.
    Raises:
        Refusal: a hub refuses a step, in its words; the steps before it are there.
    """
    for one in (source, hub):
        refuse_other_form(one)
    for table in ("site", "device"):
        for row in source.execute(f"SELECT * FROM hub.{table}".encode()):
            hub.execute(f"INSERT INTO hub.{table} VALUES (%s, %s) ON CONFLICT DO NOTHING".encode(), row)
    came = Pushed(files=_files(source, hub))
    known = marked(hub, start := epoch(source))
    for reach in reaches(source):
        number = known[reach.device].number if reach.device in known else 0
        while rows := source.execute(f"{AT_HUB} LIMIT {STEP}".encode(), (reach.device, number)).fetchall():
            number, last = rows[-1][-1], rows[-1][len(Row._fields) - 1]
            taken, beside = take_in(
                hub, [Row(*row[:-2]) for row in rows], Mark(start, reach.device, number, last)
            )
            came = replace(came, new=came.new + taken, aside=came.aside + beside)
    return replace(came, lacking=int(str(only(hub, "SELECT count(*) FROM hub.lacking"))))


def _files(source: Connection, hub: Connection) -> int:
    brought = 0
    for (site,) in source.execute("SELECT id FROM hub.site").fetchall():
        here, there = Files(source, site), Files(hub, site)
        names = source.execute("SELECT name FROM hub.file WHERE site = %s", (site,)).fetchall()
        for name in sorted({name for (name,) in names} - there.known(name for (name,) in names)):
            content = here.get(name)
            brought += content is not None and there.put(name, content)
        there.lacks({*here.lacking()} - there.known(here.lacking()))
    return brought
