"""The commands: serve, demo, assess, paths, scope, take, seals, calc, limits, site; others have files of their own.

A mistake is told in a sentence. Exit codes: 0 done; 1 done, and what was checked is not in order; 2 what was given
could not be used.
"""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Any

import click
from click.core import ParameterSource

from inspect_app import __version__
from inspect_app.commands import access, console, keeping, many_sites
from inspect_app.commands.asked_for import (
    data_folder,
    installs_folder,
    job_or_file,
    kept_or_gone,
    of_file,
    say_unlikely,
    shops,
)
from inspect_app.commands.options import DATA, HUB, OWN_UNITS, PAGE, UNITS, Commands, serving
from inspect_app.commands.papers import card, certificate, report
from inspect_app.trade.measuring.refusal import Refusal
from inspect_app.trade.measuring.wording import counted

CAUTION = """\b
Stored pressure kills: isolate, lock and tag, block the load, and bleed both ends before opening a
cylinder. Local codes and licensed practice prevail over anything this program says."""


@click.group(cls=Commands, invoke_without_command=True, epilog=CAUTION)
@DATA
@serving
@HUB
@click.version_option(__version__)
@click.pass_context
def main(ctx: click.Context, /, data: Path | None, **how: Any) -> None:
    """Inspect a hydraulic cylinder on the bench: measure, judge, report.

    Without a command the screens are served to this machine's browser. Exit codes: 0 done; 1 done, but
    what was checked is not in order; 2 what was given could not be used.
    """
    if ctx.invoked_subcommand is not None:
        _pass_on(ctx, ctx.invoked_subcommand)
        return
    from inspect_app.bench.bench import Bench
    from inspect_app.serve.web import serve

    folder = data or data_folder()
    click.echo(f"Data: {folder}")
    bench = Bench(folder, installs=installs_folder())
    for line in bench.logbook.told():
        click.echo(line)
    serve(bench, say=click.echo, **how)


def _pass_on(ctx: click.Context, command: str) -> None:
    """Hand options that stand before a command to it, or refuse: looking in another folder proves nothing."""
    given = {
        name: value
        for name, value in ctx.params.items()
        if ctx.get_parameter_source(name) is ParameterSource.COMMANDLINE
    }
    known = {p.name for p in main.commands[command].params} if command in main.commands else set()
    if foreign := [f"--{name.replace('_', '-')}" for name in given if name not in known]:
        raise click.UsageError(f"{command} has no {' or '.join(foreign)}; leave it out.")
    ctx.default_map = {command: given}


@main.command()
@click.option(
    "--data", type=click.Path(path_type=Path), default=None, metavar="DIR", help="Keep the demo here."
)
@serving
@click.option("--no-serve", is_flag=True, help="Make the jobs and the reports, then stop.")
def demo(data: Path | None, no_serve: bool, **how: Any) -> None:
    """Make demo jobs and their report, then serve them.

    One job of each kind of cylinder from receiving to release, two that were decided and a half-done one, all
    invented, in a folder that is gone afterwards unless --data names one.
    """
    from inspect_app.bench.bench import Bench
    from inspect_app.bench.demo import make_demo
    from inspect_app.serve.web import serve

    if no_serve and not data:
        raise Refusal("--no-serve needs --data DIR; without it nothing of the demo would be left.")
    with kept_or_gone(data) as folder:
        bench = Bench(folder)
        try:
            for line in make_demo(bench):
                click.echo(line)
            if not no_serve:
                serve(bench, say=click.echo, **how)
        finally:
            bench.close()


@main.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--json", "as_json", is_flag=True, help="The same as data.")
@DATA
@OWN_UNITS
def assess(file: Path, as_json: bool, data: Path | None, units: str | None) -> None:
    """Judge a readings file and print the assessment.

    It is judged by the limits and gauges of the shop's data folder. demo_data/sheet.toml is one to copy from,
    with every key explained.
    """
    from inspect_app.bench.readings_file import units_of
    from inspect_app.report.as_left import as_left_data, as_left_lines
    from inspect_app.report.closing import closing_data, closing_table
    from inspect_app.report.plain import as_data, as_table
    from inspect_app.report.steps import steps_data, steps_lines

    with of_file(file, data) as (bench, job):
        assessment, now, tables = bench.assess(job), bench.parts_now(job), bench.tables_of(job)
    if as_json:
        told = {"as_left": as_left_data(now), "steps": steps_data(job, tables), **closing_data(job, tables)}
        return _echo_json({**as_data(job, assessment), **told})
    system = units or units_of(file)
    every = (
        as_table(job, assessment, system),
        as_left_lines(now, system),
        closing_table(job, tables, system),
    )
    for line in (*(line for lines in every for line in lines), *steps_lines(job, tables)):
        click.echo(line)


@main.command()
@click.argument("wanted", metavar="JOB_OR_FILE")
@click.option("--json", "as_json", is_flag=True, help="The same as data, every path.")
@DATA
@OWN_UNITS
def paths(wanted: str, as_json: bool, data: Path | None, units: str | None) -> None:
    """Find the ways to repair a job in the logbook, or a readings file, and what each costs.

    Each way is reckoned as the cylinder will be, and offered only when all of it is proven within its limits.
    Prices come from checklists/rates.toml, an invented example, until a rates.toml of the shop's own lies in
    the data folder.
    """
    from inspect_app.bench.planning import propose
    from inspect_app.report.path_list import path_data, path_lines

    with job_or_file(wanted, data) as (bench, job, own_units):
        found = propose(bench, job, data or data_folder())
        system, tables = units or own_units, bench.tables_of(job)
    if as_json:
        priced = (*found.offered, *found.unproven)
        _echo_json(path_data(found.paths, priced, found.recommendation, found.rates, system))
        return
    for line in path_lines(found.paths, found.offered, found.recommendation, tables, found.rates, system):
        click.echo(line)


@main.command()
@click.argument("wanted", metavar="JOB_OR_FILE")
@click.option("-o", "--output", type=click.Path(path_type=Path), help="Write it here as PDF.")
@click.option("--json", "as_json", is_flag=True, help="The same as data, with every version and answer.")
@click.option("--path", default="", help="Another path than the one chosen, by its number or operations.")
@PAGE
@DATA
@OWN_UNITS
def scope(
    wanted: str,
    output: Path | None,
    as_json: bool,
    path: str,
    page: str,
    data: Path | None,
    units: str | None,
) -> None:
    """Show what is proposed to the customer, priced, in plain words, and how it stands with the customer.

    The PDF is what was shown last, with the answer to it; before anything was shown, or with --path, a draft.
    """
    from inspect_app.bench.scoping import hours_of, operations_of, scope_now, scope_printed, standing
    from inspect_app.report.phrases import beside_words
    from inspect_app.report.scope_list import scope_lines, scope_list_data

    with job_or_file(wanted, data) as (bench, job, own_units):
        system, prices = units or own_units, data or data_folder()
        operations = operations_of(bench, job, path, prices) if path else ()
        stands = standing(bench, job, system, prices)
        if output:
            made, what = scope_printed(bench, job, stands, system, operations, prices, page)
            output.write_bytes(made)
            click.echo(f"{output} is written: {what}.")
            return
        now = scope_now(bench, job, system, operations, prices)
        if as_json:
            return _echo_json(scope_list_data(now, stands, job.agreeing))
        for line in scope_lines(now, stands, job.agreeing, bench.zone_at(job.last_at)):
            click.echo(line)
        for beside in hours_of(bench, job, system, prices) if job.steps.done else ():
            click.echo(beside_words(beside))


def _echo_json(said: Any) -> None:
    import json

    click.echo(json.dumps(said, indent=2, ensure_ascii=not console.shows_everything()))


@main.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--again", is_flag=True, help="Take a file that the logbook has already, as another job.")
@DATA
def take(file: Path, again: bool, data: Path | None) -> None:
    """Take a readings file into the logbook, as a job like any other.

    All of it or nothing. The entries are made now; the job says which file of which date they are off.
    """
    from inspect_app.bench.bench import Bench
    from inspect_app.bench.readings_file import read_file, take_file
    from inspect_app.bench.visits import history_told
    from inspect_app.report.plain import headlines

    read_file(file)  # a mistyped name makes no folder
    bench = Bench(data or data_folder(), installs=installs_folder())
    job, doubts = take_file(file, bench, again)
    say_unlikely(doubts)
    named = len(bench.logbook.lines.called(job.name))
    earlier = (said.words(job.units or "metric") for said in history_told(bench, job))
    for line in (*headlines(job, bench.assess(job)), *earlier):
        click.echo(line)
    click.echo(f"Taken, {counted(job.entries, 'entry', 'entries')}.")
    if named > 1:
        click.echo(
            f"There are {named} jobs of this name now; the list of jobs tells them apart by their time."
        )
    bench.close()


@main.command()
@click.argument("wanted", metavar="JOB_OR_FILE")
@click.option(
    "-o", "--output", type=click.Path(path_type=Path), help="Write it here: a .csv, .txt or .pdf file."
)
@click.option("--json", "as_json", is_flag=True, help="The same as data.")
@click.option(
    "--decimal-comma", is_flag=True, help="In a .csv: numbers with a comma, and ; between the cells."
)
@click.option(
    "--after", "path", default="", help="Beside it the list after a repair path, by its number or operations."
)
@DATA
@OWN_UNITS
def seals(
    wanted: str,
    output: Path | None,
    as_json: bool,
    decimal_comma: bool,
    path: str,
    data: Path | None,
    units: str | None,
) -> None:
    """List the seals of a job in the logbook, or of a readings file, for whoever orders them.

    Each line says what was measured, which housing it is, why size and material were chosen, and what still
    speaks against ordering it.
    """
    from inspect_app.bench.sealing import seals_as_data, seals_as_file, seals_as_lines

    if path:
        return _seals_after(wanted, path, output, as_json, data, units)
    with job_or_file(wanted, data) as (bench, job, own_units):
        listing, every, tables = bench.seal_list(job), bench.seals(job), bench.tables_of(job)
    shown = units or own_units
    if output:
        made = seals_as_file(job, listing, every, tables, output.suffix, shown, decimal_comma)
        output.write_bytes(made)
        click.echo(f"{output} is written.")
    elif as_json:
        _echo_json(seals_as_data(job, listing, every))
    else:
        for line in seals_as_lines(job, listing, every, shown):
            click.echo(line)


def _seals_after(
    wanted: str, path: str, output: Path | None, as_json: bool, data: Path | None, units: str | None
) -> None:
    """The list as it is and after a path; only lines equal in both may be ordered."""
    from inspect_app.bench.planning import seals_after
    from inspect_app.report.seal_after import after_data, after_lines

    if output:
        raise Refusal("Two lists side by side are shown, not written; leave out --output or --after.")
    with job_or_file(wanted, data) as (bench, job, own_units):
        state, pairs = seals_after(bench, job, path, shops(data))
    if as_json:
        return _echo_json(after_data(job.name, state, pairs))
    for line in after_lines(job.name, state, pairs, units or own_units):
        click.echo(line)


@main.command()
@click.argument("name", required=False)
@click.argument("values", nargs=-1, metavar="[KEY=VALUE]...")
@click.option("--json", "as_json", is_flag=True, help="The same as data.")
@UNITS
def calc(name: str | None, values: tuple[str, ...], as_json: bool, units: str) -> None:
    """Calculate without a job: `calc` lists the calculators, `calc NAME KEY=VALUE ...` runs one.

    Write quantities with their units (bore=100mm wall=0.4in pressure=3600psi), lists with commas between
    (diameters=100.012,100.031), or with ; where commas are decimal. A number alone is read in --units.
    """
    from inspect_app.calculators import CALCULATORS, run
    from inspect_app.calculators.asking import pairs
    from inspect_app.calculators.printed import answer_lines, as_data, list_data, list_lines

    said: Any
    if name is None:
        said, lines = list_data(CALCULATORS), list_lines(CALCULATORS)
    else:
        try:
            answer = run(name, pairs(values), system=units)
        except Refusal as refusal:
            raise Refusal(refusal.words(units)) from None
        said, lines = as_data(answer, units), answer_lines(answer, units)
    if as_json:
        _echo_json(said)
        return
    for line in lines:
        click.echo(line)


@main.command()
@click.option("--sources", is_flag=True, help="Only what is not yet confirmed from a published text.")
@click.option("--part", default="", help="Only the limits of one part, such as rod.")
@click.option("--check", "one_check", default="", help="Only the limits of one check, such as rod-diameter.")
@DATA
@UNITS
def limits(sources: bool, part: str, one_check: str, data: Path | None, units: str) -> None:
    """List every limit with its source and how sure it is.

    To set your own, write a file such as limits/shop.toml in the data folder:

    \b
        [source.shop-handbook]
        title = "Our shop handbook, 2026"
        where = "page 12"
        status = "read"
        kind = "shop policy"

    \b
        [[limit]]
        id = "our-rod-runout"
        check = "rod-runout"
        characteristic = "tir"
        level = "reuse"
        rule = { per_length = 0.3, of = "support_span" }
        source = "shop-handbook"
        beyond = "rework"
        cure = "straighten"

    The head of checklists/limits/rod.toml shows every key and every kind of rule. A file with a mistake is
    refused with the place and what would be right, all mistakes at once.
    """
    from inspect_app import tables
    from inspect_app.report.limit_list import limit_lines, unconfirmed_lines
    from inspect_app.tables.faults import Reader
    from inspect_app.tables.unconfirmed import unconfirmed_rows

    loaded = tables.load(shop=shops(data) / "limits")
    width = shutil.get_terminal_size().columns
    if not sources:
        for line in limit_lines(loaded, system=units, width=width, part=part, check=one_check):
            click.echo(line)
        return
    reader = Reader(tables.shipped_folder())
    rows = list(unconfirmed_rows(reader, loaded.sources))
    reader.raise_faults()
    for line in unconfirmed_lines(loaded, rows, width, units):
        click.echo(line)


@main.command()
@click.argument("out", type=click.Path(path_type=Path))
@click.option("--base", default="/", show_default=True, help="The path it will be served under.")
def site(out: Path, base: str) -> None:
    """Build the app for the phone alone: a static site that any https web space can serve.

    A phone that opened it once needs no server and no network any more; its jobs lie on the phone. The site holds the
    program and no job of anybody. Nothing is downloaded; with Node.js here it is compiled, and starts faster.
    """
    from inspect_app.alone.site.building import build

    built = build(out, base, click.echo)
    for packed in built.packed:
        click.echo(f"  {packed.name} {packed.version}: {packed.licence}")
    click.echo(
        f"{out}: version {built.version}, {built.files} files, {built.bytes / 1e6:.1f} MB, "
        f"{built.gzipped / 1e6:.1f} MB as web spaces send it."
    )
    if not built.compiled:
        click.echo("It is not compiled, so it starts slower: there is no Node.js 20 or newer here.")


for command in (report, certificate, card, access.sessions, *keeping.COMMANDS, *many_sites.COMMANDS):
    main.add_command(command)
