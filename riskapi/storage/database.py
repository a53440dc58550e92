"""Opening the database: SQLite out of the box, PostgreSQL by its URL; and bringing its tables up to date."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from alembic import command
from alembic.config import Config
from alembic.runtime.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import URL, Engine, create_engine, event, make_url
from sqlalchemy.exc import ArgumentError
from sqlalchemy.orm import Session

from riskapi.errors import Fault, InputError

SETTING = "RISKAPI_DATABASE_URL"
_LOCK_WAIT = 15.0  # [s] how long a writer waits for another one on SQLite
_URL_SHAPES = "Write sqlite:////folder/file.sqlite or postgresql://user@host/database."
_MEMORY = (None, "", ":memory:")


def database_url() -> URL:
    """RISKAPI_DATABASE_URL if set, else SQLite in the user's data folder."""
    stated = os.environ.get(SETTING)
    return make_url(stated) if stated else URL.create("sqlite", database=str(data_folder() / "riskapi.sqlite"))


def data_folder() -> Path:
    """Where a program keeps a user's data: as the XDG base directory specification, macOS and Windows have it."""
    if sys.platform == "win32":
        base = Path(os.environ.get("LOCALAPPDATA") or Path.home() / "AppData" / "Local")
    elif sys.platform == "darwin":
        base = Path.home() / "Library" / "Application Support"
    else:
        base = Path(os.environ.get("XDG_DATA_HOME") or Path.home() / ".local" / "share")
    return base / "riskapi"


def open_database(url: URL | str | None = None) -> Engine:
    """An engine for the URL (default: database_url()). A missing folder of an SQLite file is made.

    Raises InputError when the URL is none or names a database that is not served here.
    """
    try:
        target = make_url(url) if url is not None else database_url()
        if target.get_backend_name() == "sqlite":
            return _open_sqlite(target)
        if target.get_backend_name() == "postgresql":
            return create_engine(target.set(drivername="postgresql+psycopg"), pool_pre_ping=True)
    except ModuleNotFoundError:
        mend = 'Install it: pip install "riskapi[postgresql]".'
        raise InputError([Fault(SETTING, "The PostgreSQL driver is not installed.", mend)]) from None
    except ArgumentError:
        raise InputError([Fault(SETTING, "This is no database URL.", _URL_SHAPES)]) from None
    raise InputError([Fault(SETTING, f"{target.drivername} is not served.", _URL_SHAPES)])


@contextmanager
def writing(engine: Engine) -> Iterator[Session]:
    """A transaction that writes, committed at its end, rolled back when anything is raised.

    On SQLite it takes the write lock at its beginning and waits for it there. One that reads first and takes the lock
    later fails at once where another one wrote in between.
    """
    with Session(engine.execution_options(immediate=True)) as session, session.begin():
        yield session


def migrate(engine: Engine) -> None:
    """Bring the tables to the newest migration, all or nothing. Does nothing when they are there already."""
    with engine.execution_options(immediate=True).begin() as connection:
        if connection.dialect.name == "postgresql":  # two servers that start at once take turns
            connection.exec_driver_sql("SELECT pg_advisory_xact_lock(1919251307)")
        command.upgrade(migration_config(connection), "head")


def is_current(engine: Engine) -> tuple[str | None, str | None]:
    """(migration the tables are at, newest one of this program). Raises what the database driver raises."""
    with engine.connect() as connection:
        current = MigrationContext.configure(connection).get_current_revision()
        return current, ScriptDirectory.from_config(migration_config(connection)).get_current_head()


def migration_config(connection: Any) -> Config:
    """What alembic needs to know; the migrations travel inside the package."""
    config = Config()
    config.set_main_option("script_location", str(Path(__file__).parent / "migrations").replace("%", "%%"))
    config.attributes["connection"] = connection
    return config


def _open_sqlite(url: URL) -> Engine:
    if url.database not in _MEMORY and not str(url.database).startswith("file:"):
        _own_file(Path(str(url.database)))
    engine = create_engine(url, connect_args={"timeout": _LOCK_WAIT})
    event.listen(engine, "connect", _prepare)
    event.listen(engine, "begin", _begin)
    return engine


def _own_file(path: Path) -> None:
    """Make the folder and the file where they are missing, for their owner only: keys and personal data go in there."""
    path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    if not path.exists():
        os.close(os.open(path, os.O_CREAT, 0o600))


def _prepare(connection: Any, _record: Any) -> None:
    connection.isolation_level = None  # transactions begin where _begin says, tables included
    cursor = connection.cursor()
    for pragma in ("journal_mode = WAL", "synchronous = FULL", "foreign_keys = ON", "secure_delete = ON"):
        cursor.execute(f"PRAGMA {pragma}")
    cursor.close()


def _begin(connection: Any) -> None:
    immediate = connection.get_execution_options().get("immediate")
    connection.exec_driver_sql("BEGIN IMMEDIATE" if immediate else "BEGIN")
