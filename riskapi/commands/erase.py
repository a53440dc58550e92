"""What `riskapi erase` and `riskapi retain` do: what is personal goes, on request or by its age."""

from __future__ import annotations

import sys
from datetime import UTC, datetime

import click
from sqlalchemy import Engine

from riskapi.commands.screen import waiting
from riskapi.storage import migrate, open_database
from riskapi.storage.erasing import all_erased, compact, erase_identity
from riskapi.storage.operator import assessments_of_vin, owner_of
from riskapi.storage.retention import retain, retention_days


def erase(identifiers: tuple[str, ...], by_vin: bool, listing: bool) -> None:
    """Erase what is personal of the cars of these assessments: VIN, plate, names, addresses, photos, kept reports."""
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


def retain_old() -> None:
    """Erase what is personal and older than RISKAPI_RETENTION_DAYS (400 unless set)."""
    with waiting("progress_erase"):
        done = retain(_database(), datetime.now(UTC), whole=True)
    kept = retention_days()
    click.echo(f"{len(done.assessments)} identities and {done.photos} photos older than {kept} days erased.")


def _database() -> Engine:
    engine = open_database()
    migrate(engine)
    return engine
