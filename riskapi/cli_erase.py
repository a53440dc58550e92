"""`riskapi erase` and `riskapi retain`: what is personal goes, on request or by its age."""

from __future__ import annotations

import click


@click.command()
@click.argument("identifiers", metavar="[ID]...", nargs=-1)
@click.option(
    "--vin", "by_vin", is_flag=True, help="Erase the car whose VIN stands on standard input, in all accounts."
)
@click.option("--list", "listing", is_flag=True, help="List the assessments whose identity was erased.")
def erase(identifiers: tuple[str, ...], by_vin: bool, listing: bool) -> None:
    """Erase what is personal of the cars of these assessments: VIN, plate, names, addresses, photos, kept reports.

    Figures and commitments stay, and a report printed afterwards says "identity removed". Backups are not reached: keep
    the list of --list beside them, and after a restore erase what is on it again.

    \b
    riskapi erase ID
    riskapi erase --vin < vin.txt
    riskapi erase --list > erased.txt
    riskapi erase $(cut -f1 erased.txt)
    """
    from riskapi.commands import erase as do

    do.erase(identifiers, by_vin, listing)


@click.command()
def retain() -> None:
    """Erase what is personal and older than RISKAPI_RETENTION_DAYS (400 unless set).

    The service does the same when it starts, and its worker once an hour.

    \b
    riskapi retain
    RISKAPI_RETENTION_DAYS=90 riskapi retain
    """
    from riskapi.commands import erase as do

    do.retain_old()
