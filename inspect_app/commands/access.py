"""The command that lists the devices paired with a data folder, and ends their sessions, while it is served too."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from inspect_app.commands.asked_for import bench_in, data_folder
from inspect_app.commands.options import DATA
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.wording import counted, listed

if TYPE_CHECKING:
    from inspect_app.bench.sessions import Paired

EVERY = "all"


@click.command()
@click.option(
    "--end",
    "ended",
    default="",
    metavar="ID",
    help=f"End this session, or {EVERY}: its screens close at once.",
)
@DATA
def sessions(ended: str, data: Path | None) -> None:
    """List the phones that were paired with this logbook, and end the session of one.

    A phone whose session was ended, or that did not come for 30 days, is paired anew with a code of the host.
    """
    from inspect_app.bench.sessions import Sessions

    bench = bench_in(data or data_folder())
    held = Sessions(bench.folder, bench.now)
    every = held.every()
    if ended:
        chosen = [known for known in every if ended in (known.id, EVERY)]
        if not chosen and ended != EVERY:
            names = listed([known.id for known in every]) or "none"
            raise Refusal(f"There is no session {ended}; there are: {names}.")
        for known in chosen:
            held.end(known.id)
        click.echo(f"{counted(len(chosen), 'session', 'sessions')} ended.")
        return
    people = {person.id: person.name for person in bench.shop.people()}
    for known in every:
        click.echo(_line(known, people.get(known.person, "nobody yet")))
    if not every:
        click.echo("No device is paired. Start with --lan, and a code lets one in.")


def _line(known: Paired, whose: str) -> str:
    seen = known.seen.astimezone().strftime("%Y-%m-%d %H:%M")
    since = known.since.astimezone().strftime("%Y-%m-%d")
    return f"{known.id}  {known.device} at {known.address}, paired {since}, last seen {seen}, in the hand of {whose}"
