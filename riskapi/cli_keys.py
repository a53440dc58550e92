"""`riskapi keys`: who may use the service over the network."""

from __future__ import annotations

import click

from riskapi.domain.choices import ROLES

_PREFIX = click.argument("prefix", metavar="PREFIX")


@click.group()
def keys() -> None:
    """Make and withdraw the keys that programs and people show to the service.

    A role says what a key is for: buyer, inspector, dealer or curator. Every key opens the records of one account only.

    \b
    riskapi keys create --role buyer --name "My phone"
    riskapi keys list
    """


@keys.command()
@click.option("--role", required=True, type=click.Choice(ROLES), help="What the account may do.")
@click.option("--name", required=True, help="Whose account it is, for your own list.")
@click.option("--days", type=click.IntRange(1, 3650), help="Days until the key expires; without, it never does.")
@click.option("--trial", is_flag=True, help="For trying things out: what it makes is never shown to the public.")
def create(role: str, name: str, days: int | None, trial: bool) -> None:
    """Open an account and print its key, this once.

    \b
    riskapi keys create --role inspector --name "Yard north" --days 365
    """
    from riskapi.commands import keys as do

    do.create(role, name, days, trial)


@keys.command("list")
def show() -> None:
    """List the keys by their prefixes.

    \b
    riskapi keys list
    """
    from riskapi.commands import keys as do

    do.show()


@keys.command()
@_PREFIX
def revoke(prefix: str) -> None:
    """Withdraw a key; from now on it opens nothing.

    \b
    riskapi keys revoke PREFIX
    """
    from riskapi.commands import keys as do

    do.revoke(prefix)


@keys.command()
@_PREFIX
def rotate(prefix: str) -> None:
    """Print a new key for the same account; the old one works for seven more days.

    \b
    riskapi keys rotate PREFIX
    """
    from riskapi.commands import keys as do

    do.rotate(prefix)
