"""What the command line says when something is at fault, and how it stops: in the language spoken."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path

import click

from riskapi.catalogue.load import load_pack
from riskapi.domain.knowledge import Pack
from riskapi.domain.sentence import Written, in_a_row, told
from riskapi.errors import InputError, NotFound, NothingNewer, Outdated, Overtaken, RiskapiError, TooComplex
from riskapi.report.faults import faults_in_words, kind_word
from riskapi.report.language import DEFAULT, spoken
from riskapi.report.translate import text_in_words

_WHY = (
    told("No such file or directory"),
    told("Permission denied"),
    told("Is a directory"),
    told("Not a directory"),
    told("No space left on device"),
    told("Read-only file system"),
    told("File name too long"),
    told("this is a folder, a file was expected"),
)
_ENGINES = told("'riskapi engines' and 'riskapi engines FAMILY' list what there is.")
_LISTS = {"engine family": (_ENGINES,), "revision": (_ENGINES,)}  # where what there is can be seen
_SYSTEM = {str(sentence): sentence for sentence in _WHY}  # what the system says in English


@contextmanager
def ending(ctx: click.Context) -> Iterator[None]:
    """Whatever goes wrong within ends with a message and an exit status, never with a traceback."""
    try:
        yield
    except (click.ClickException, click.exceptions.Exit, click.Abort):
        raise
    except BrokenPipeError:
        _end_quietly(ctx)
    except RiskapiError as error:
        stop(ctx, 1, sentences(error))
    except OSError as error:
        stop(ctx, 1, [system_sentence(error)])
    except Exception as error:
        if os.environ.get("RISKAPI_TRACEBACK"):
            raise
        stop(ctx, 3, [_accident(error)])


def stop(ctx: click.Context, status: int, lines: Iterable[str]) -> None:
    """End with this exit status, and what is told on standard error."""
    sys.stdout.flush()
    for line in lines:
        click.echo(line, err=True)
    ctx.exit(status)


def _end_quietly(ctx: click.Context) -> None:
    """End with status 0: whoever read what was written (head, a pager) has closed the pipe and wants no more.

    What is still unwritten goes nowhere, so that the interpreter does not complain at its end.
    """
    with Path(os.devnull).open("wb") as nowhere:
        os.dup2(nowhere.fileno(), sys.stdout.fileno())
    ctx.exit(0)


def sentences(error: RiskapiError) -> list[str]:
    """One line per fault: where, what, how to mend it; in front the error's notes (which case file, which pack)."""
    pack = _pack_at_hand()
    if isinstance(error, InputError):
        source = "".join(f"{note}: " for note in getattr(error, "__notes__", ()))
        return [source + str(fault).removeprefix(": ") for fault in faults_in_words(error.faults, pack)]
    faults = error.faults if isinstance(error, TooComplex) else ()
    said = text_in_words(_said(error), pack)
    return [f"riskapi: {said}", *map(str, faults_in_words(faults, pack))]


def _said(error: RiskapiError) -> str:
    """What an error says beside its faults."""
    if isinstance(error, TooComplex):
        return error.message
    if not isinstance(error, NotFound | Outdated | Overtaken | NothingNewer):
        return Written(error)
    kind, identifier = kind_word(error.kind), Written(repr(error.identifier))
    match error:
        case NotFound():
            return in_a_row(told("no {kind} has the id {id}.", kind=kind, id=identifier), *_LISTS.get(error.kind, ()))
        case Outdated():
            return told(
                "the {kind} {id} was made by version {version}, and this version comes to another result: print it "
                "with version {version}, or ask for a new version of it.",
                kind=kind, id=identifier, version=Written(error.version),
            )  # fmt: skip
        case Overtaken():
            return told("another version of the {kind} {id} came in between.", kind=kind, id=identifier)
    return told("the {kind} {id} was made with the knowledge pack and the program in use.", kind=kind, id=identifier)


def system_sentence(error: OSError) -> str:
    """For instance 'case.json: No such file or directory. Check the name and who may read or write there.'"""
    name, why = str(error.filename2 or error.filename or "riskapi"), error.strerror or str(error)
    sentence = told(
        "{name}: {why}. Check the name and who may read or write there.",
        name=Written(name), why=_SYSTEM.get(why, Written(why)),
    )  # fmt: skip
    return text_in_words(sentence, None)


def _accident(error: Exception) -> str:
    what = Written(f"{type(error).__name__}: {error}")
    sentence = told(
        "riskapi: a fault of the program itself ({what}). Please report it with the input; RISKAPI_TRACEBACK=1 shows "
        "where it is.",
        what=what,
    )
    return text_in_words(sentence, None)


def _pack_at_hand() -> Pack | None:
    """The pack in use, for its words in another language; None where none are needed, or it is at fault itself."""
    if spoken() == DEFAULT:
        return None
    try:
        return load_pack()
    except (RiskapiError, OSError):
        return None
