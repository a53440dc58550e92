"""Where the public reaches this service: a setting, never what a request says of itself (its Host header)."""

from __future__ import annotations

import os
from urllib.parse import urlsplit

from riskapi.domain.sentence import at_fault, told
from riskapi.errors import InputError

SETTING = "RISKAPI_PUBLIC_URL"
_MEND = told("Write https://cars.example or https://cars.example/folder, without a query.")


def public_url(stated: str | None = None) -> str | None:
    """The address without a slash at its end: what is stated, else RISKAPI_PUBLIC_URL, else None. Raises InputError."""
    address = (stated or os.environ.get(SETTING) or "").strip().rstrip("/")
    return _checked(address) if address else None


def _checked(address: str) -> str:
    try:
        parts = urlsplit(address)
        fine = parts.scheme in ("http", "https") and parts.hostname and parts.port != 0
    except ValueError:
        fine = False
    if not fine or parts.username or parts.query or parts.fragment or not _plain(address):
        raise InputError([at_fault(SETTING, told("This is no address of a service."), _MEND)])
    return address


def _plain(address: str) -> bool:
    """Only characters that need no quoting, wherever the address is written."""
    return all(c.isascii() and (c.isalnum() or c in ":/.-_~[]") for c in address)
