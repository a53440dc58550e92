from __future__ import annotations

from tests.storage.databases import postgresql_url, sqlite_url

__all__ = ["postgresql_url", "sqlite_url"]
