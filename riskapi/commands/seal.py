"""What `riskapi verify` and `riskapi seal-keys` do; and the key that seals what the command line prints."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path

import click
from cryptography.exceptions import UnsupportedAlgorithm
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey
from cryptography.hazmat.primitives.serialization import Encoding, PublicFormat, load_pem_public_key
from sqlalchemy import URL
from sqlalchemy.exc import SQLAlchemyError

from riskapi.errors import Fault, InputError
from riskapi.report.format import instant_words
from riskapi.report.grid import Head, grid
from riskapi.report.pdf import draw
from riskapi.report.seal import NOT_SEALED, UNCHANGED, UNKNOWN_KEY, Verdict, check, key_id
from riskapi.report.seal_texts import say
from riskapi.report.sealing import Sealer
from riskapi.report.sections import Report
from riskapi.report.terminal_texts import tell
from riskapi.storage import SealKey, SealKeys, data_folder, database_url, migrate, open_database

_MEND = {
    NOT_SEALED: "Only PDFs that riskapi made carry a seal, and only whole ones.",
    UNKNOWN_KEY: "Name the public key of who made it with --key; a service has its keys at /v1/seal-keys.",
}


def local_sealer() -> Sealer | None:
    """What seals on this machine: the key of the embedded database, made on first use. None, with a word on standard
    error, where it can be neither read nor made."""
    try:
        with _keys_of(_embedded()) as keys:
            return Sealer(keys.in_use(datetime.now(UTC)).private_key)
    except (OSError, SQLAlchemyError) as error:
        click.echo(tell("not_sealed", folder=str(data_folder()), why=type(error).__name__), err=True)
        return None


def sealed_pdf(report: Report, dated: datetime, content: bytes) -> bytes:
    """The report as a PDF that this machine has sealed; `content` is the JSON that says the same."""
    sealer = local_sealer()
    return draw(report) if sealer is None else sealer.pdf(report, dated, content)


def verify(ctx: click.Context, file: Path, key_file: Path | None) -> None:
    """Has the PDF FILE changed since it was sealed? Exit status 0: not one byte; 1: it has, or nobody here can say."""
    keys = _known() if key_file is None else _from_file(key_file)
    found = check(file.read_bytes(), {key.id: key.public_key for key in keys.values()})
    click.echo("\n".join([say(found.standing), *_about(found, keys)]))
    if found.standing in _MEND:
        click.echo(_MEND[found.standing], err=True)
    if found.standing != UNCHANGED:
        ctx.exit(1)


def show() -> None:
    """List the keys, the newest first."""
    with _keys_of(database_url()) as keys:
        found = keys.all_keys()
    heads = (Head("Key", hue=True), Head("From"), Head("Until"))
    for line in grid(heads, [(key.id, instant_words(key.created_at), _until(key)) for key in found]):
        click.echo(line)


def rotate() -> None:
    """Seal with a new key from now on. Old seals still check; the old private half is thrown away."""
    with _keys_of(database_url()) as keys:
        click.echo(keys.rotate(datetime.now(UTC)).id)


def export(identifier: str | None) -> None:
    """Print the public half of the key ID (default: the one in use) as PEM, for whoever wants to check offline."""
    with _keys_of(database_url()) as keys:
        wanted = identifier or keys.in_use(datetime.now(UTC)).key.id
        found = next((key for key in keys.all_keys() if key.id == wanted), None)
    if found is None:
        raise InputError([Fault(wanted, "There is no such seal key.", "'riskapi seal-keys list' lists them.")])
    public = Ed25519PublicKey.from_public_bytes(found.public_key)
    click.echo(public.public_bytes(Encoding.PEM, PublicFormat.SubjectPublicKeyInfo).decode(), nl=False)


def _until(key: SealKey) -> str:
    return "in use" if key.retired_at is None else instant_words(key.retired_at)


def _about(found: Verdict, keys: Mapping[str, SealKey]) -> list[str]:
    if found.seal is None:
        return []
    key = keys.get(found.seal.key_id)
    told = [f"Document dated {instant_words(found.seal.dated)}, data digest {found.seal.content}"]
    if key is None or key.created_at == datetime.min.replace(tzinfo=UTC):
        return [*told, f"Key {found.seal.key_id}"]
    until = "in use" if key.retired_at is None else f"used until {instant_words(key.retired_at)}"
    return [*told, f"Key {key.id}, made {instant_words(key.created_at)}, {until}"]


def _from_file(path: Path) -> dict[str, SealKey]:
    mend = "It is what 'riskapi seal-keys export' prints."
    try:
        key = load_pem_public_key(path.read_bytes())
    except (ValueError, UnsupportedAlgorithm):
        raise InputError([Fault(str(path), "This is no public key in PEM.", mend)]) from None
    if not isinstance(key, Ed25519PublicKey):
        raise InputError([Fault(str(path), "This is no Ed25519 key.", mend)])
    public = key.public_bytes_raw()
    return {key_id(public): SealKey(key_id(public), public, datetime.min.replace(tzinfo=UTC))}


def _known() -> dict[str, SealKey]:
    """All keys of this machine: of the embedded database, and of the server that is set. Nothing is made there."""
    found: dict[str, SealKey] = {}
    for url in dict.fromkeys((_embedded(), database_url())):
        try:
            with _keys_of(url, migrated=url.get_backend_name() == "sqlite") as keys:
                found |= {key.id: key for key in keys.all_keys()}
        except (OSError, SQLAlchemyError) as error:
            click.echo(f"riskapi: the keys of {url!r} cannot be read ({type(error).__name__}).", err=True)
    return found


@contextmanager
def _keys_of(url: URL, *, migrated: bool = True) -> Iterator[SealKeys]:
    engine = open_database(url)
    try:
        if migrated:
            migrate(engine)
        yield SealKeys(engine)
    finally:
        engine.dispose()


def _embedded() -> URL:
    """The embedded database of this machine: never that of a server, whose tables are not the command line's."""
    stated = database_url()
    local = URL.create("sqlite", database=str(data_folder() / "riskapi.sqlite"))
    return stated if stated.get_backend_name() == "sqlite" else local
