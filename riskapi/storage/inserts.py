"""Inserting what may be there already."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from sqlalchemy.dialects import postgresql, sqlite
from sqlalchemy.orm import Session

from riskapi.storage.models import Base


def insert_once(session: Session, table: type[Base], values: Mapping[str, Any]) -> None:
    """Insert a row, unless one of its key is there already, also where another transaction does the same."""
    dialect = session.get_bind().dialect.name
    insert = postgresql.insert(table) if dialect == "postgresql" else sqlite.insert(table)
    session.execute(insert.values(dict(values)).on_conflict_do_nothing())
