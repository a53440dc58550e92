"""What an operator sets by the environment: read once, all faults at once, shown without secrets."""

from __future__ import annotations

import os
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, fields
from typing import Any
from urllib.parse import urlsplit

from sqlalchemy import make_url
from sqlalchemy.exc import ArgumentError

from riskapi.errors import Fault, InputError
from riskapi.integrations.addresses import Network, networks_of
from riskapi.storage.identities import SETTING as IDENTITY_KEY
from riskapi.storage.retention import DEFAULT_DAYS, LONGEST_DAYS
from riskapi.storage.retention import SETTING as RETENTION
from riskapi.web.public_url import public_url

_RATE = re.compile(r"[1-9]\d{0,8} per (second|minute|hour|day)")
_LEVELS = ("debug", "info", "warning", "error")


def _setting(name: str, words: str, default: Any = None, read: Callable[[str, str], Any] | None = None) -> Any:
    return field(default=default, metadata={"name": name, "words": words, "read": read or _text})


def _text(stated: str, _name: str) -> str:
    return stated


def _database(stated: str, name: str) -> str:
    try:
        make_url(stated)
    except ArgumentError:
        mend = "Write sqlite:////folder/file.sqlite or postgresql://user@host/database."
        raise InputError([Fault(name, "This is no database URL.", mend)]) from None
    return stated


def _address(stated: str, name: str) -> str:
    try:
        parts = urlsplit(stated)
        fine = parts.scheme in ("http", "https") and bool(parts.hostname) and parts.port != 0
    except ValueError:
        fine = False
    if not fine or len(stated) > 500:
        raise InputError([Fault(name, "This is no address.", "Write for example https://host.example/prices.json.")])
    return stated


def _whole(least: int, most: int) -> Callable[[str, str], int]:
    def read(stated: str, name: str) -> int:
        if not stated.isascii() or not stated.isdigit() or not least <= int(stated) <= most:
            message = f"{stated!r} is not what goes here."
            raise InputError([Fault(name, message, f"Write a whole number from {least} to {most}.")])
        return int(stated)

    return read


def _rate(stated: str, name: str) -> str:
    if not _RATE.fullmatch(stated):
        raise InputError([Fault(name, f"{stated!r} is no rate.", "Write for example '600 per minute'.")])
    return stated


def _store(stated: str, name: str) -> str:
    if stated.partition("://")[0] not in ("memory", "redis", "rediss"):
        mend = "Write memory:// or redis://host:6379/0."
        raise InputError([Fault(name, "This is no store for rates.", mend)])
    return stated


def _level(stated: str, name: str) -> str:
    if stated.lower() not in _LEVELS:
        raise InputError([Fault(name, f"{stated!r} is no level.", f"Write one of {', '.join(_LEVELS)}.")])
    return stated.lower()


def _secret(least: int) -> Callable[[str, str], str]:
    def read(stated: str, name: str) -> str:
        if len(stated) < least or not stated.isascii() or not stated.isprintable():
            raise InputError([Fault(name, "This is easy to guess.", f"Use {least} random characters or more.")])
        return stated

    return read


def _public(stated: str, _name: str) -> str | None:
    return public_url(stated)


@dataclass(frozen=True, slots=True)
class Settings:
    """Every setting of the service, with its default."""

    database_url: str | None = _setting(
        "RISKAPI_DATABASE_URL", "Where everything is kept; an SQLite file in your data folder", read=_database
    )
    knowledge: str | None = _setting("RISKAPI_KNOWLEDGE", "Folder of the knowledge pack; the one that came along")
    public_url: str | None = _setting(
        "RISKAPI_PUBLIC_URL", "Where the public reaches the service; needed for publications", read=_public
    )
    retention_days: int = _setting(
        RETENTION,
        f"Days for which identities and photos are kept; {DEFAULT_DAYS}",
        DEFAULT_DAYS,
        _whole(1, LONGEST_DAYS),
    )
    identity_key: str | None = _setting(
        IDENTITY_KEY,
        "Finds cars again by VIN and plate; made and kept in the database where it is not set",
        read=_secret(16),
    )
    price_feed: str | None = _setting("RISKAPI_PRICE_FEED", "Address of a price feed; none", read=_address)
    webhook_allow: tuple[Network, ...] = _setting(
        "RISKAPI_WEBHOOK_ALLOW", "Networks beside the public internet that webhooks may go to; none", (), networks_of
    )
    rate_account: str = _setting(
        "RISKAPI_RATE_ACCOUNT", "Requests of one account; 1200 per minute", "1200 per minute", _rate
    )
    rate_address: str = _setting(
        "RISKAPI_RATE_ADDRESS", "Requests of one address on the network; 2400 per minute", "2400 per minute", _rate
    )
    rate_store: str = _setting(
        "RISKAPI_RATE_STORE",
        "Where requests are counted: memory:// (by each process) or redis://",
        "memory://",
        _store,
    )
    proxies: int = _setting(
        "RISKAPI_PROXIES", "Proxies in front whose X-Forwarded-For is believed; 0", 0, _whole(0, 10)
    )
    timeout: int = _setting("RISKAPI_TIMEOUT", "Seconds for one request; 30", 30, _whole(5, 600))
    metrics_token: str | None = _setting(
        "RISKAPI_METRICS_TOKEN", "Opens /metrics; without it, curators and this machine", read=_secret(16)
    )
    log_level: str = _setting("RISKAPI_LOG_LEVEL", "debug, info, warning or error; info", "info", _level)
    disk_least: int = _setting(
        "RISKAPI_DISK_LEAST", "Megabytes of free disk below which /readyz says no; 200", 200, _whole(0, 10_000_000)
    )

    @classmethod
    def from_environment(cls, environment: Mapping[str, str] | None = None) -> Settings:
        """Raises InputError with every fault."""
        stated = {k: v.strip() for k, v in (os.environ if environment is None else environment).items() if v.strip()}
        values: dict[str, Any] = {}
        faults: list[Fault] = []
        for each in fields(cls):
            name = each.metadata["name"]
            if name in stated:
                try:
                    values[each.name] = each.metadata["read"](stated[name], name)
                except InputError as error:
                    faults += error.faults
        if faults:
            raise InputError(faults)
        return cls(**values)

    def config(self) -> dict[str, Any]:
        """The same for create_app."""
        return {each.name.upper(): getattr(self, each.name) for each in fields(self)}

    def summary(self) -> list[tuple[str, str]]:
        """(name, value) of every setting, without what is secret in it."""
        return [(each.metadata["name"], _shown(each.name, getattr(self, each.name))) for each in fields(self)]


def table() -> list[tuple[str, str]]:
    """(name, words) of every setting."""
    return [(each.metadata["name"], each.metadata["words"]) for each in fields(Settings)]


def _shown(name: str, value: Any) -> str:
    if value is None or value == ():
        return "-"
    if name.endswith(("token", "key")):
        return "set"
    if name == "database_url":
        url = make_url(value)
        return url.set(query={}).render_as_string(hide_password=True)
    if isinstance(value, tuple):
        return ", ".join(map(str, value))
    return _without_secrets(value) if isinstance(value, str) and "://" in value else str(value)


def _without_secrets(address: str) -> str:
    """A URL without user, password and query."""
    parts = urlsplit(address)
    host = parts.netloc.rpartition("@")[2]
    return f"{parts.scheme}://{host}{parts.path}"
