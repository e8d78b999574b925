"""The commands of a firm with many sites: `hub`, and `fleet`, which asks it."""

from __future__ import annotations

import json
from pathlib import Path

import click

from inspect_app.commands import console
from inspect_app.commands.asked_for import bench_in, data_folder, installs_folder
from inspect_app.commands.options import DATA, PAGE, SYSTEMS
from inspect_app.commands.papers import write
from inspect_app.trade.measuring.refusal import Refusal

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


@click.command()
@URL
@click.option("--judge", is_flag=True, help="First pull into the folder, and judge the jobs that changed.")
@click.option("--rows", default=10, show_default=True, help="At most so many rows of each answer.")
@click.option("--json", "as_json", is_flag=True, help="The same as data, every row.")
@click.option("-o", "--output", type=click.Path(path_type=Path), help="Write a PDF with figures instead.")
@PAGE
@click.option("--units", type=SYSTEMS, help="Units of the PDF; metric if left out.")
@DATA
def fleet(
    url: str,
    judge: bool,
    rows: int,
    as_json: bool,
    output: Path | None,
    page: str,
    units: str | None,
    data: Path | None,
) -> None:
    """Ask over all jobs of a hub: what wears and how fast, which limits decide, defects, time in the steps, late parts.

    A login of the fleet asks. The PDF has of each question what it comes to, bars and figures.

    With --judge the jobs are judged in a folder that is kept for it: give one with --data.
    """
    from inspect_app.bench.bench import Bench
    from inspect_app.bench.fleet_paper import fleet_pdf
    from inspect_app.hub.asking import answers, as_data, as_lines, judged_words, last_opened
    from inspect_app.hub.connecting import connected
    from inspect_app.hub.judging import judge_all
    from inspect_app.hub.pulling import pull as read
    from inspect_app.report.fleet_page import Answers

    if judge and not data:
        raise Refusal(
            "--judge needs --data DIR: a folder of the fleet's own, as jobs of all sites come into it."
        )
    if output and as_json:
        raise Refusal("Either --json or -o; run it once for each.")
    if units and not output:
        raise Refusal("--units is for the PDF; give it with -o OUT.pdf.")
    with connected(url) as at:
        if judge and data:
            bench = Bench(data, installs=installs_folder())
            refused = read(bench, at).refused
            for line in (*refused, *judge_all(bench, at)[1]):
                click.echo(line, err=True)
            bench.close()
        every, judged, last = answers(at), judged_words(at), last_opened(at) if output else ""
    if output:
        asked = Answers(as_data(every), judged, last)
        write(output, fleet_pdf(asked, rows, units or "metric", page))
        return
    if as_json:
        click.echo(json.dumps(as_data(every), indent=2, ensure_ascii=not console.shows_everything()))
        return
    for line in (judged, *as_lines(every, rows)):
        click.echo(line)


COMMANDS = (hub, fleet)
