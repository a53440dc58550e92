"""Everything in the database as one file, and back; from SQLite to PostgreSQL and the other way round, too.

The file is a gzip of JSON lines: first a heading (form, migration, tables), then for each row of each table
["table", {column: value}], last the number of rows. Bytes are written in base64, instants in RFC 3339. All is read in
one transaction, so that it is of one moment; on SQLite from a copy that its online backup makes: no writer waits.
"""

from __future__ import annotations

import base64
import gzip
import json
import sqlite3
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from sqlalchemy import Column, Connection, Engine, LargeBinary, Table, func, insert, select
from sqlalchemy.exc import IntegrityError

from riskapi.errors import Fault, InputError
from riskapi.storage.database import is_current, migrate, open_database
from riskapi.storage.models import Base, UtcTime

FORM = "riskapi backup 1"
AT_ONCE = 200  # rows that are written to the database together
NOT_KEPT = frozenset({"worker"})  # tells of processes, not of what is kept


def back_up(engine: Engine, file: Path) -> int:
    """Write everything to a new file; the number of rows. Raises InputError where there is a file already, or where the
    tables are not those of this program."""
    if file.exists():
        raise InputError([Fault(str(file), "There is a file of this name.", "Choose another name.")])
    current, wanted = is_current(engine)
    if current != wanted:
        raise InputError([Fault("database", f"Its tables are at {current}, not at {wanted}.", "Migrate it first.")])
    part = file.with_name(file.name + ".part")
    try:
        with _moment(engine) as connection, gzip.open(part, "wt", encoding="utf-8") as out:
            part.chmod(0o600)  # everything is in it
            number = 0
            for line in _lines(connection, str(current)):
                out.write(json.dumps(line, separators=(",", ":")) + "\n")
                number += isinstance(line, list)
        part.replace(file)
    finally:
        part.unlink(missing_ok=True)
    return number


def restore(engine: Engine, file: Path) -> int:
    """Read everything back into an empty database, all or nothing; the number of rows. Raises InputError where the file
    is no whole backup of this version, or where the database is not empty."""
    try:
        with gzip.open(file, "rt", encoding="utf-8") as lines:
            return _restore(engine, lines, file)
    except (EOFError, gzip.BadGzipFile, KeyError, ValueError, IntegrityError):
        raise _no_backup(file) from None


def _restore(engine: Engine, lines: Iterator[str], file: Path) -> int:
    heading = json.loads(next(lines, "null"))
    if not isinstance(heading, dict) or heading.get("form") != FORM:
        raise _no_backup(file)
    migrate(engine)
    current, _ = is_current(engine)
    if heading["migration"] != current:
        message = f"It was made by a program whose tables are at {heading['migration']}; here they are at {current}."
        raise InputError([Fault(str(file), message, "Restore it with that version, then migrate.")])
    with engine.execution_options(immediate=True).begin() as connection:
        _empty(connection)
        number, ending = _fill(connection, lines)
        if ending != {"rows": number}:
            raise _no_backup(file)
    return number


def _fill(connection: Connection, lines: Iterator[str]) -> tuple[int, Any]:
    """(rows that were written, the line after them)"""
    tables, waiting, number = {table.name: table for table in _tables()}, list[dict[str, Any]](), 0
    last = ""
    for line in lines:
        read = json.loads(line)
        if not isinstance(read, list):
            _write(connection, tables.get(last), waiting)
            return number, read
        name, row = read
        if name != last or len(waiting) >= AT_ONCE:
            _write(connection, tables.get(last), waiting)
            last = name
        waiting.append({column.name: _read(column, row.get(column.name)) for column in tables[name].columns})
        number += 1
    return number, None


def _write(connection: Connection, table: Table | None, waiting: list[dict[str, Any]]) -> None:
    if table is not None and waiting:
        connection.execute(insert(table), waiting)
        waiting.clear()


def _empty(connection: Connection) -> None:
    """Take away what every new database has. Raises InputError where somebody has used it."""
    fresh = {"account": 1}  # the account of this installation
    for table in reversed(_tables()):
        rows = connection.scalar(select(func.count()).select_from(table)) or 0
        if rows > fresh.get(table.name, 0):
            mend = "Name an empty one with RISKAPI_DATABASE_URL; nothing was changed."
            raise InputError([Fault("database", f"It is not empty: {table.name} has {rows} rows.", mend)])
        connection.execute(table.delete())


def _lines(connection: Connection, migration: str) -> Iterator[Any]:
    tables = _tables()
    yield {"form": FORM, "migration": migration, "tables": [table.name for table in tables]}
    number = 0
    for table in tables:
        rows = connection.execution_options(yield_per=AT_ONCE).execute(select(table).order_by(*table.primary_key))
        for row in rows.mappings():
            number += 1
            yield [table.name, {key: _written(value) for key, value in row.items() if value is not None}]
    yield {"rows": number}


def _tables() -> list[Table]:
    """In an order in which a row comes after those that it points to."""
    return [table for table in Base.metadata.sorted_tables if table.name not in NOT_KEPT]


def _written(value: Any) -> Any:
    if isinstance(value, bytes | memoryview):
        return base64.b64encode(bytes(value)).decode()
    return value.astimezone(UTC).isoformat() if isinstance(value, datetime) else value


def _read(column: Column[Any], value: Any) -> Any:
    kind = column.type
    if value is None:
        return None
    if isinstance(kind, LargeBinary):
        return base64.b64decode(value, validate=True)
    return datetime.fromisoformat(value) if isinstance(kind, UtcTime) else value


@contextmanager
def _moment(engine: Engine) -> Iterator[Connection]:
    """A connection that sees one moment."""
    if engine.dialect.name == "postgresql":
        with engine.connect().execution_options(isolation_level="REPEATABLE READ") as connection:
            yield connection
        return
    with tempfile.TemporaryDirectory(prefix="riskapi_backup_") as folder:
        copy = Path(folder) / "copy.sqlite"
        _copy(engine, copy)
        copied = open_database(f"sqlite:///{copy}")
        try:
            with copied.connect() as connection:
                yield connection
        finally:
            copied.dispose()


def _copy(engine: Engine, copy: Path) -> None:
    """SQLite's online backup."""
    target = sqlite3.connect(copy)
    raw = engine.raw_connection()
    try:
        source: Any = raw.driver_connection
        source.backup(target)
    finally:
        target.close()
        raw.close()


def _no_backup(file: Path) -> InputError:
    mend = "Name a file that 'riskapi backup' wrote; nothing was changed."
    return InputError([Fault(str(file), "This is no whole backup.", mend)])
