from __future__ import annotations

from tests.storage.conftest import engine
from tests.storage.databases import postgresql_url, sqlite_url

__all__ = ["engine", "postgresql_url", "sqlite_url"]
