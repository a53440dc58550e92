"""What the command line says when something is at fault, and how it stops."""

from __future__ import annotations

import sys
from collections.abc import Iterable

import click

from riskapi.errors import InputError, NotFound, RiskapiError, TooComplex


def stop(ctx: click.Context, status: int, told: Iterable[str]) -> None:
    """End with this exit status, and what is told on standard error."""
    sys.stdout.flush()
    for sentence in told:
        click.echo(sentence, err=True)
    ctx.exit(status)


def sentences(error: RiskapiError) -> list[str]:
    """One line per fault: where, what, how to mend it; in front the error's notes (which case file, which pack)."""
    if isinstance(error, InputError):
        source = "".join(f"{note}: " for note in getattr(error, "__notes__", ()))
        return [source + str(fault).removeprefix(": ") for fault in error.faults]
    if isinstance(error, NotFound):
        return [f"riskapi: {error}. 'riskapi engines' and 'riskapi engines FAMILY' list what there is."]
    places = [str(fault) for fault in error.faults] if isinstance(error, TooComplex) else []
    return [f"riskapi: {error}", *places]


def system_sentence(error: OSError) -> str:
    """For instance 'case.json: No such file or directory. Check the name and who may read or write there.'"""
    name = error.filename2 or error.filename or "riskapi"
    return f"{name}: {error.strerror or error}. Check the name and who may read or write there."
