"""Keeping assessments in a database: SQLite by default, PostgreSQL by its URL."""

from __future__ import annotations

from riskapi.storage.accounts import LOCAL, Account, Accounts, KeyInfo
from riskapi.storage.archive import pack_zip, unpack_zip
from riskapi.storage.cars import FINDINGS, NEW, RESCORE, Following, Standing, Version
from riskapi.storage.database import data_folder, database_url, migrate, open_database
from riskapi.storage.identities import Personal, StoredIdentity, matching_key
from riskapi.storage.intents import Intent
from riskapi.storage.models import new_id
from riskapi.storage.outbox import EVENT_TYPES, append_event
from riskapi.storage.repository import Knowledge, Repository, StoredAssessment
from riskapi.storage.seal_keys import SealingKey, SealKey, SealKeys
from riskapi.storage.sessions import SESSION_LASTS, Sessions

__all__ = [
    "EVENT_TYPES",
    "FINDINGS",
    "LOCAL",
    "NEW",
    "RESCORE",
    "SESSION_LASTS",
    "Account",
    "Accounts",
    "Following",
    "Intent",
    "KeyInfo",
    "Knowledge",
    "Personal",
    "Repository",
    "SealKey",
    "SealKeys",
    "SealingKey",
    "Sessions",
    "Standing",
    "StoredAssessment",
    "StoredIdentity",
    "Version",
    "append_event",
    "data_folder",
    "database_url",
    "matching_key",
    "migrate",
    "new_id",
    "open_database",
    "pack_zip",
    "unpack_zip",
]
