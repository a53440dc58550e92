"""`riskapi erase` and `riskapi retain`: what is personal goes, on request or by its age."""

from __future__ import annotations

import sys
from datetime import UTC, datetime

import click
from sqlalchemy import Engine

from riskapi.cli_screen import waiting
from riskapi.storage import migrate, open_database
from riskapi.storage.erasing import all_erased, compact, erase_identity
from riskapi.storage.operator import assessments_of_vin, owner_of
from riskapi.storage.retention import retain, retention_days


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
    if sum((bool(identifiers), by_vin, listing)) != 1:
        raise click.UsageError("Give IDs, or --vin, or --list.")
    engine = _database()
    if listing:
        for identifier, at in all_erased(engine):
            click.echo(f"{identifier}\t{at:%Y-%m-%dT%H:%M:%SZ}")
        return
    wanted = assessments_of_vin(engine, sys.stdin.readline().strip()) if by_vin else list(identifiers)
    for owner, identifier in [(owner_of(engine, identifier), identifier) for identifier in wanted]:
        with waiting("progress_erase"):
            done = erase_identity(engine, owner.id, identifier, datetime.now(UTC))
        click.echo(f"{identifier}: {len(done.assessments)} identities and {done.photos} photos erased.")
    if not wanted:
        click.echo("No car with this VIN is known.")
    with waiting("progress_erase"):
        compact(engine, whole=True)


@click.command("retain")
def retain_command() -> None:
    """Erase what is personal and older than RISKAPI_RETENTION_DAYS (400 unless set).

    The service does the same when it starts, and its worker once an hour.

    \b
    riskapi retain
    RISKAPI_RETENTION_DAYS=90 riskapi retain
    """
    with waiting("progress_erase"):
        done = retain(_database(), datetime.now(UTC), whole=True)
    kept = retention_days()
    click.echo(f"{len(done.assessments)} identities and {done.photos} photos older than {kept} days erased.")


def _database() -> Engine:
    engine = open_database()
    migrate(engine)
    return engine
