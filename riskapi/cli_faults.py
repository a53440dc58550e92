"""What the command line says when something is at fault, and how it stops."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterable
from pathlib import Path

import click

from riskapi.errors import InputError, NotFound, RiskapiError, TooComplex


def stop(ctx: click.Context, status: int, told: Iterable[str]) -> None:
    """End with this exit status, and what is told on standard error."""
    sys.stdout.flush()
    for sentence in told:
        click.echo(sentence, err=True)
    ctx.exit(status)


def end_quietly(ctx: click.Context) -> None:
    """End with status 0: whoever read what was written (head, a pager) has closed the pipe and wants no more.

    What is still unwritten goes nowhere, so that the interpreter does not complain at its end.
    """
    with Path(os.devnull).open("wb") as nowhere:
        os.dup2(nowhere.fileno(), sys.stdout.fileno())
    ctx.exit(0)


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
