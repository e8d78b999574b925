"""The commands that prove a data folder, keep it safe and bring it back; `cli.py` has the others."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path

import click

from inspect_app.commands.asked_for import bench_in, data_folder, installs_folder, job_named
from inspect_app.commands.options import DATA

LONG = 100_000
"""So many entries are looked at within a second or two."""


@click.command()
@DATA
@click.option(
    "--report", "report_file", type=click.Path(path_type=Path), help="A report's PDF to look up in the log."
)
@click.option(
    "--fingerprint", default="", help="The fingerprint printed on a report, 16 of its digits or more."
)
@click.option("--relist", is_flag=True, help="First make the list of jobs anew out of the entries.")
def verify(data: Path | None, report_file: Path | None, fingerprint: str, relist: bool) -> None:
    """Verify the logbook, the photographs, and what a report says of them.

    Nothing in the folder is changed: it may be in use, or on a medium that cannot be written to. Asked for a
    report it says which one of which job it is, what it came to, and whether a later one was issued.
    """
    from inspect_app.bench.proving import outdated, proven, verified

    if relist:
        _relist(data or data_folder())
    bench = bench_in(data or data_folder())
    look = proven(bench, report_file.read_bytes() if report_file else None, fingerprint, _how_far())
    for line in (*(look.wrong or verified(bench, look)), *look.found, *look.forks):
        click.echo(line)
    if not look.wrong:
        for line in outdated(bench):
            click.echo(line)
    sys.exit(1 if look.wrong else 0)


def _relist(folder: Path) -> None:
    from inspect_app.bench.bench import Bench

    bench = Bench(folder, installs=installs_folder())
    bench.logbook.lines.make_anew()
    bench.close()


def _how_far() -> Callable[[int, int], None]:
    """Says on a terminal how far a look at the entries is, where it takes long enough to be wondered about."""

    def told(done: int, of: int) -> None:
        if of > LONG and sys.stderr.isatty():
            click.echo(f"\r{done} of {of} entries", nl=done >= of, err=True)

    return told


@click.command()
@click.argument("old", type=click.Path(path_type=Path))
@click.argument("new", type=click.Path(path_type=Path))
def salvage(old: Path, new: Path) -> None:
    """Bring all that can still be read of a damaged data folder into a new one.

    The old one is left as it is. Restore a backup first, if there is one: this is for what no backup has.
    """
    from inspect_app.bench.salvaging import salvaged

    for line in salvaged(old, new):
        click.echo(line)


@click.command()
@click.argument("out", type=click.Path(path_type=Path))
@DATA
def backup(out: Path, data: Path | None) -> None:
    """Write the whole data folder into one file, while it is in use too.

    Put it on another disk than the folder.
    """
    from inspect_app.bench.backing_up import back_up

    bench = bench_in(data or data_folder())
    click.echo(back_up(bench, out))


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@DATA
def restore(file: Path, data: Path | None) -> None:
    """Put a backup in the place of the data folder.

    It is proven first; what stands there now is kept under another name. The program must not be running.
    """
    from inspect_app.bench import backing_up

    for line in backing_up.restore(file, data or data_folder()):
        click.echo(line)


@click.command("export")
@click.argument("wanted", metavar="JOB")
@click.argument("file", type=click.Path(path_type=Path))
@DATA
def export_job(wanted: str, file: Path, data: Path | None) -> None:
    """Write one job, with its photographs, reports and limits, into one file for another computer.

    Import it there. It may be taken in again and again, and in any order: what is there already stays.
    """
    from inspect_app.bench.exchange import pack_job

    bench = bench_in(data or data_folder())
    made = pack_job(bench, job_named(bench, wanted).id)
    file.write_bytes(made)
    click.echo(f"{file}: {len(made)} bytes")


@click.command("import")
@click.argument("file", type=click.Path(path_type=Path))
@DATA
def import_job(file: Path, data: Path | None) -> None:
    """Take in a job that another computer exported. What contradicts what stands here is kept beside it, or refused."""
    from inspect_app.bench.bench import Bench
    from inspect_app.bench.exchange import read_job, take_in_job

    with file.open("rb") as f:
        carried = read_job(f, file.name)
    bench = Bench(data or data_folder(), installs=installs_folder())
    for line in take_in_job(bench, carried):
        click.echo(line)
    bench.close()


COMMANDS = (export_job, import_job, verify, backup, restore, salvage)
