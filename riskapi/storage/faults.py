"""What it means when the database fails: away for a while, full, or a mistake of this program."""

from __future__ import annotations

import sqlite3

from sqlalchemy.exc import DBAPIError, InterfaceError, OperationalError, SQLAlchemyError
from sqlalchemy.exc import TimeoutError as PoolTimeout

AWAY, FULL, MISTAKE = "away", "full", "mistake"
_FULL_STATES = ("53100",)  # PostgreSQL: disk_full
_AWAY_STATES = ("08", "53", "57", "40", "55P03")  # connection, resources, shutdown, rolled back, lock not available
_FULL_CODES = (sqlite3.SQLITE_FULL,)
_AWAY_CODES = (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED, sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_IOERR)
_READ_ONLY = sqlite3.SQLITE_READONLY


def fault_of(error: SQLAlchemyError) -> str:
    """AWAY: trying again later may help; FULL: there is no room; MISTAKE: neither."""
    if isinstance(error, PoolTimeout):
        return AWAY
    if not isinstance(error, DBAPIError):
        return MISTAKE
    if isinstance(error.orig, sqlite3.Error):
        return _of_sqlite(error.orig)
    state = str(getattr(error.orig, "sqlstate", None) or "")
    if state in _FULL_STATES:
        return FULL
    lost = error.connection_invalidated or (not state and isinstance(error, OperationalError | InterfaceError))
    return AWAY if lost or state.startswith(_AWAY_STATES) else MISTAKE


def _of_sqlite(error: sqlite3.Error) -> str:
    code = getattr(error, "sqlite_errorcode", 0) & 0xFF  # extended codes keep the plain one in their low byte
    if code in _FULL_CODES:
        return FULL
    return AWAY if code in (*_AWAY_CODES, _READ_ONLY) else MISTAKE
