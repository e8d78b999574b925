"""The commands: serve, demo, assess, report, limits, check; says mistakes in one sentence and exits with 2.

Exit codes: 0 done; 1 done, and what was checked is not in order; 2 what was given could not be used.
"""

from __future__ import annotations

import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click
from platformdirs import user_data_path

from inspect_app import __version__
from inspect_app.trade.refusal import Refusal

if TYPE_CHECKING:
    from inspect_app.bench import Bench
    from inspect_app.job.job import Job

CAUTION = """\b
Stored pressure kills: isolate, lock and tag, block the load, and bleed both ends before opening a
cylinder. Local codes and licensed practice prevail over anything this program says."""


class Commands(click.Group):
    """Turns what a person got wrong into one sentence on stderr and exit code 2, never a traceback."""

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


def data_folder() -> Path:
    """Where the log and the photographs lie unless --data says otherwise."""
    return user_data_path("inspect-app", appauthor=False)


DATA = click.option(
    "--data",
    type=click.Path(path_type=Path),
    default=None,
    metavar="DIR",
    help="Folder of the logbook and photographs.",
)
UNITS = click.option(
    "--units", type=click.Choice(["metric", "inch"]), default="metric", show_default=True, help="Units shown."
)


@click.group(cls=Commands, invoke_without_command=True, epilog=CAUTION)
@DATA
@click.option("--lan", is_flag=True, help="Let phones on the shop's network in, behind a code shown here.")
@click.option("--port", default=8710, show_default=True, help="Port to serve on; another if it is taken.")
@click.option("--no-browser", is_flag=True, help="Do not open this machine's browser.")
@click.version_option(__version__)
@click.pass_context
def main(ctx: click.Context, data: Path | None, lan: bool, port: int, no_browser: bool) -> None:
    """Inspect a hydraulic cylinder on the bench: measure, judge, report.

    Without a command the screens are served to this machine's browser. Exit codes: 0 done; 1 done, but
    what was checked is not in order; 2 what was given could not be used.
    """
    if ctx.invoked_subcommand is None:
        from inspect_app.bench import Bench
        from inspect_app.serve import serve

        folder = data or data_folder()
        click.echo(f"Data: {folder}")
        serve(Bench(folder), lan=lan, port=port, open_browser=not no_browser, say=click.echo)


@main.command()
@click.option(
    "--data", type=click.Path(path_type=Path), default=None, metavar="DIR", help="Keep the demo here."
)
@click.option("--port", default=8710, show_default=True)
@click.option("--no-browser", is_flag=True, help="Do not open this machine's browser.")
@click.option("--no-serve", is_flag=True, help="Make the jobs and the reports, then stop.")
def demo(data: Path | None, port: int, no_browser: bool, no_serve: bool) -> None:
    """Make demo jobs and their report, then serve them.

    Two finished jobs and a half-done one of an invented scenario, in a throw-away folder unless --data
    names one.
    """
    from inspect_app.bench import Bench
    from inspect_app.demo import make_demo
    from inspect_app.serve import serve

    folder = data or Path(tempfile.mkdtemp(prefix="inspect-demo-"))
    bench = Bench(folder)
    for line in make_demo(bench):
        click.echo(line)
    if not no_serve:
        serve(bench, lan=False, port=port, open_browser=not no_browser, say=click.echo)


@main.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--json", "as_json", is_flag=True, help="The same as data.")
@UNITS
def assess(file: Path, as_json: bool, units: str) -> None:
    """Judge a readings file and print the assessment."""
    from inspect_app.report.plain import as_data, as_table

    with _of_file(file) as (bench, job):
        assessment = bench.assess(job)
    if as_json:
        import json

        click.echo(json.dumps(as_data(job, assessment), indent=2, ensure_ascii=False))
    else:
        for line in as_table(job, assessment, units):
            click.echo(line)


@main.command()
@click.argument("job_or_file")
@click.option("-o", "--output", type=click.Path(path_type=Path), required=True, help="The PDF to write.")
@click.option("--page", type=click.Choice(["A4", "letter"]), default="A4", show_default=True)
@DATA
@UNITS
def report(job_or_file: str, output: Path, page: str, data: Path | None, units: str) -> None:
    """Write the report of a job in the logbook, or of a readings file, as PDF."""
    from inspect_app.issuing import report_pdf

    if Path(job_or_file).suffix == ".toml":
        with _of_file(Path(job_or_file)) as (bench, job):
            made = report_pdf(bench, job, units, page)
    else:
        bench = _bench_in(data or data_folder())
        made = report_pdf(bench, _job_named(bench, job_or_file), units, page)
    output.write_bytes(made)
    click.echo(f"{output}: {len(made)} bytes")


@contextmanager
def _of_file(file: Path) -> Iterator[tuple[Bench, Job]]:
    """The job of a readings file in a folder that is gone afterwards; says every unlikely reading."""
    from inspect_app.readings_file import bench_for, record_file

    with tempfile.TemporaryDirectory() as throw_away:
        bench = bench_for(file, Path(throw_away))
        job, doubts = record_file(file, bench)
        for doubt in doubts:
            click.echo(f"Unlikely, taken as written: {doubt}", err=True)
        yield bench, job
        bench.close()


def _bench_in(folder: Path) -> Bench:
    """The bench of a folder that holds a logbook already; a mistyped one is not made."""
    from inspect_app.bench import Bench

    if not (folder / "logbook.db").is_file():
        raise Refusal(f"{folder} holds no logbook; give the folder of one with --data.")
    return Bench(folder)


def _job_named(bench: Any, wanted: str) -> Any:
    """A job by its id or its number."""
    named = [line.id for line in bench.jobs() if wanted in (line.id, line.name)]
    if len(named) != 1:
        known = ", ".join(line.name for line in bench.jobs()) or "none"
        found = "no job" if not named else f"{len(named)} jobs"
        raise Refusal(f"{found} named {wanted!r} in {bench.folder}; there are: {known}.")
    return bench.job(named[0])


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
        answer = run(name, pairs(values), system=units)
        said, lines = as_data(answer, units), answer_lines(answer, units)
    if as_json:
        import json

        click.echo(json.dumps(said, indent=2, ensure_ascii=False))
        return
    for line in lines:
        click.echo(line)


@main.command()
@click.option("--sources", is_flag=True, help="Only what is not yet confirmed from a published text.")
@DATA
def limits(sources: bool, data: Path | None) -> None:
    """List every limit with its source and how sure it is."""
    from inspect_app import tables
    from inspect_app.report.plain import limit_lines, unconfirmed_lines
    from inspect_app.tables.faults import Reader
    from inspect_app.tables.unconfirmed import unconfirmed_rows

    loaded = tables.load(shop=(data or data_folder()) / "limits")
    if not sources:
        for line in limit_lines(loaded):
            click.echo(line)
        return
    reader = Reader(tables.shipped_folder())
    rows = list(unconfirmed_rows(reader, loaded.sources))
    reader.raise_faults()
    for line in unconfirmed_lines(loaded, rows):
        click.echo(line)


@main.command()
@DATA
@click.option(
    "--report", "report_file", type=click.Path(path_type=Path), help="A report's PDF to look up in the log."
)
@click.option("--fingerprint", default="", help="The fingerprint printed on a report.")
def check(data: Path | None, report_file: Path | None, fingerprint: str) -> None:
    """Verify the logbook, the photographs, and what a report says of them."""
    from inspect_app.issuing import verified, verify

    bench = _bench_in(data or data_folder())
    wrong = verify(bench, report_file.read_bytes() if report_file else None, fingerprint)
    for line in wrong or verified(bench):
        click.echo(line)
    sys.exit(1 if wrong else 0)
