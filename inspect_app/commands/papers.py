"""The commands that write a paper and nothing else: the report, the certificate, the card for the bench."""

from __future__ import annotations

from pathlib import Path

import click

from inspect_app.commands.asked_for import job_or_file
from inspect_app.commands.options import DATA, OWN_UNITS, PAGE, PORT

OUTPUT = click.option(
    "-o", "--output", type=click.Path(path_type=Path), required=True, help="The PDF to write."
)


@click.command()
@click.argument("wanted", metavar="JOB_OR_FILE")
@OUTPUT
@click.option(
    "--page",
    type=click.Choice(["A4", "letter", "narrow"]),
    default="A4",
    show_default=True,
    help="Size of the paper; narrow is one column, to be read on a phone.",
)
@DATA
@OWN_UNITS
@click.option(
    "--sign",
    "certificate",
    type=click.Path(path_type=Path),
    help="Sign it with this certificate, a .p12 file; its password is asked for.",
)
def report(
    wanted: str, output: Path, page: str, data: Path | None, units: str | None, certificate: Path | None
) -> None:
    """Write the report of a job in the logbook, or of a readings file, as PDF.

    That it was issued is recorded in the logbook, so that verify knows it again.
    """
    from inspect_app.bench.issuing import logged_in, report_kept, report_pdf
    from inspect_app.bench.signing import keep_signed, opened, signed

    signer = None
    if certificate:  # before anything is issued
        signer = opened(certificate, click.prompt("Password of the certificate", hide_input=True, err=True))
    with job_or_file(wanted, data, writing=True) as (bench, job, own_units):
        kept = bench.held is not None
        made = (report_kept if kept else report_pdf)(bench, job, units or own_units, page)
        if signer:
            made = signed(made, signer)
            if kept:
                keep_signed(bench, bench.job(job.id), logged_in(), made)
    write(output, made)
    if not kept and not wanted.endswith(".toml"):
        click.echo("Not recorded: the program runs over this folder. For verify to know it, make it there.")


@click.command()
@click.argument("wanted", metavar="JOB_OR_FILE")
@OUTPUT
@PAGE
@DATA
@OWN_UNITS
def certificate(wanted: str, output: Path, page: str, data: Path | None, units: str | None) -> None:
    """Write the certificate of a cylinder that was let go, one page for the machine's file.

    Refused while its release is refused, or not closed.
    """
    from inspect_app.bench.releasing import certificate_pdf

    with job_or_file(wanted, data) as (bench, job, own_units):
        made = certificate_pdf(bench, job, units or own_units, page)
    write(output, made)


@click.command()
@click.argument("wanted", metavar="JOB")
@OUTPUT
@click.option("--address", default="", help="Where phones reach this program; found by itself if left out.")
@PORT
@PAGE
@DATA
@OWN_UNITS
def card(
    wanted: str, output: Path, address: str, port: int, page: str, data: Path | None, units: str | None
) -> None:
    """Write the card that stays with a cylinder on the bench; its QR code opens the job on a phone."""
    from inspect_app.bench.releasing import card_pdf
    from inspect_app.serve.network import lan_addresses

    found = next((f"http://{name}:{port}" for name in lan_addresses()), "")
    with job_or_file(wanted, data) as (bench, job, own_units):
        made = card_pdf(bench, job, units or own_units, address or found, page)
    write(output, made)
    click.echo(f"Its code opens {address or found or 'nothing: no network'}.")


def write(output: Path, made: bytes) -> None:
    """Write a paper and say how large it is."""
    output.write_bytes(made)
    click.echo(f"{output}: {len(made)} bytes")
