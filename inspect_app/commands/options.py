"""The options that commands share, and how a mistake ends one: a sentence and exit code 2, never a traceback."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import click

from inspect_app.commands import console
from inspect_app.trade.measuring.refusal import Refusal


class Commands(click.Group):
    """Turns what a person got wrong into one sentence on stderr and exit code 2, never a traceback."""

    def main(self, *args: Any, **kwargs: Any) -> Any:
        console.spell_what_it_lacks()
        return super().main(*args, **kwargs)

    def invoke(self, ctx: click.Context) -> Any:
        from inspect_app.logbook.store import NotSaved
        from inspect_app.tables.faults import TableError

        try:
            return super().invoke(ctx)
        except (Refusal, NotSaved, TableError) as mistake:
            click.echo(str(mistake), err=True)
            sys.exit(2)
        except BrokenPipeError:
            raise  # whoever read along has seen enough
        except OSError as mistake:
            click.echo(f"{mistake.strerror}: {mistake.filename}.", err=True)
            sys.exit(2)


DATA = click.option(
    "--data",
    type=click.Path(path_type=Path),
    default=None,
    metavar="DIR",
    help="Folder of the logbook and photographs.",
)
PAGE = click.option(
    "--page", type=click.Choice(["A4", "letter"]), default="A4", show_default=True, help="Size of the paper."
)
SYSTEMS = click.Choice(["metric", "inch"])
UNITS = click.option("--units", type=SYSTEMS, default="metric", show_default=True, help="Units shown.")
OWN_UNITS = click.option("--units", type=SYSTEMS, help="Units shown; those of the readings file if left out.")
LAN = click.option(
    "--lan", is_flag=True, help="Let phones on the shop's network in, behind a code shown here."
)
PORT = click.option(
    "--port",
    type=click.IntRange(0, 65_535),
    default=8710,
    show_default=True,
    help="Port to serve on; another if it is taken.",
)
CERTIFICATE = click.option(
    "--certificate",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Serve https with this certificate.",
)
KEY = click.option("--key", type=click.Path(path_type=Path), metavar="FILE", help="The certificate's key.")
HUB = click.option(
    "--hub", default="", metavar="URL", help="Keep level with this hub meanwhile, whenever it is in reach."
)
PHONES_FROM = click.option(
    "--phones-from",
    multiple=True,
    metavar="URL",
    help="Where phones alone have their app from: they may hand jobs in. Needs --lan and --certificate.",
)
NO_BROWSER = click.option("--no-browser", is_flag=True, help="Do not open this machine's browser.")


def serving(command: Callable[..., Any]) -> Callable[..., Any]:
    """Gives a command the options of serving."""
    for option in (PHONES_FROM, KEY, CERTIFICATE, NO_BROWSER, PORT, LAN):
        command = option(command)
    return command
