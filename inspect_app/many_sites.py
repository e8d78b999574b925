"""The commands of a firm with many sites: `hub` and what is asked of it."""

from __future__ import annotations

from pathlib import Path

import click

from inspect_app.asked_for import bench_in, data_folder, installs_folder
from inspect_app.options import DATA

URL = click.argument("url")


@click.group()
def hub() -> None:
    """Bring many sites together in one PostgreSQL database.

    URL is the database, such as postgresql://north@hub.example/hub?sslmode=verify-full. A password is better kept in
    libpq's password file than in it.
    """


@hub.command()
@URL
def init(url: str) -> None:
    """Make a hub in an empty database; run as the login that will own it."""
    from inspect_app.hub.connecting import connected, make

    with connected(url) as to:
        click.echo(make(to))


@hub.command()
@URL
@click.option("--from", "source", default="", metavar="URL", help="Bring what another hub has instead.")
@DATA
def push(url: str, source: str, data: Path | None) -> None:
    """Bring what the hub does not have yet: entries, photographs, reports, the limits kept with jobs.

    The folder may be in use. What was broken off goes on from there; what is there already stays.
    """
    from inspect_app.hub import pushing
    from inspect_app.hub.connecting import connected
    from inspect_app.hub.relaying import relay
    from inspect_app.hub.standing import forks, pushed_words, put_back

    with connected(url) as to:
        if source:
            with connected(source) as other:
                came = relay(other, to)
        else:
            bench = bench_in(data or data_folder())
            for line in put_back(bench, to):
                click.echo(line)
            came = pushing.push(bench, to)
        for line in (*pushed_words(came), *(forks(to) if came.aside else ())):
            click.echo(line)


@hub.command()
@URL
@DATA
def pull(url: str, data: Path | None) -> None:
    """Take over what other devices brought to the hub, with the files it names.

    A site's login brings what is its own, one of the whole fleet brings all. Gauges and settings of other shops stay
    with them. The program must not be running on this folder.
    """
    from inspect_app.bench.bench import Bench
    from inspect_app.hub import pulling
    from inspect_app.hub.connecting import connected
    from inspect_app.hub.standing import pulled_words

    with connected(url) as source:
        bench = Bench(data or data_folder(), installs=installs_folder())
        for line in pulled_words(pulling.pull(bench, source)):
            click.echo(line)
        bench.close()


@hub.command()
@URL
@DATA
def status(url: str, data: Path | None) -> None:
    """Say how this folder and the hub stand: what each lacks, what stands aside, whether the hub was put back."""
    from inspect_app.hub.connecting import connected
    from inspect_app.hub.standing import standing

    with connected(url) as at:
        for line in standing(bench_in(data or data_folder()), at):
            click.echo(line)
