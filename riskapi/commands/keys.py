"""What `riskapi keys` does: who may use the service over the network."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import click

from riskapi.report.grid import Head, grid
from riskapi.storage import Accounts, KeyInfo, migrate, open_database


def create(role: str, name: str, days: int | None, trial: bool) -> None:
    """Open an account and print its key, this once."""
    accounts, now = _accounts(), datetime.now(UTC)
    account = accounts.open(name, role, now, trial)
    click.echo(accounts.make_key(account.id, now, None if days is None else timedelta(days=days)))
    click.echo("Keep it safe: it is not shown again.", err=True)


def show() -> None:
    """List the keys by their prefixes."""
    now = datetime.now(UTC)
    heads = (Head("Prefix", hue=True), Head("Role"), Head("Standing"), Head("Name"))
    rows = [(key.prefix, key.account.role, _standing(key, now), _name(key)) for key in _accounts().all_keys()]
    for line in grid(heads, rows):
        click.echo(line)


def revoke(prefix: str) -> None:
    """Withdraw a key; from now on it opens nothing."""
    _accounts().revoke(prefix, datetime.now(UTC))


def rotate(prefix: str) -> None:
    """Print a new key for the same account; the old one works for seven more days."""
    click.echo(_accounts().rotate(prefix, datetime.now(UTC)))
    click.echo("Keep it safe: it is not shown again.", err=True)


def _accounts() -> Accounts:
    engine = open_database()
    migrate(engine)
    return Accounts(engine)


def _name(key: KeyInfo) -> str:
    return f"{key.account.name} (trial)" if key.account.trial else key.account.name


def _standing(key: KeyInfo, now: datetime) -> str:
    if key.revoked_at is not None:
        return f"revoked {key.revoked_at:%Y-%m-%d}"
    if key.expires_at is None:
        return "works"
    return f"{'works until' if now < key.expires_at else 'expired'} {key.expires_at:%Y-%m-%d}"
