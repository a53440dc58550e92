"""How often one account, and one address on the network, may ask: RateLimit headers, then 429.

The headers are those of the IETF draft 'RateLimit header fields for HTTP' (draft-ietf-httpapi-ratelimit-headers-10).
A store that does not answer limits nobody: the service goes on, and the log says so.
"""

from __future__ import annotations

import logging
import math
import time

from flask import Flask, Response, current_app, g, request
from limits import RateLimitItem, parse
from limits.storage import Storage, storage_from_string
from limits.strategies import FixedWindowRateLimiter

from riskapi.errors import TooOften
from riskapi.storage import LOCAL
from riskapi.web.access import caller, is_loopback

ACCOUNT, ADDRESS = "account", "address"
_LIMITS = "riskapi_limits"
_LOG = logging.getLogger(__name__)


class Limits:
    """Counts requests in windows of fixed length."""

    def __init__(self, store: str, account: str, address: str) -> None:
        patience = {"socket_connect_timeout": 1, "socket_timeout": 1} if store.startswith("redis") else {}
        storage: Storage = storage_from_string(store, **patience)  # type: ignore[assignment]
        self._counts = FixedWindowRateLimiter(storage)
        self._items: dict[str, RateLimitItem] = {ACCOUNT: parse(account), ADDRESS: parse(address)}

    def hit(self, kind: str, who: str) -> None:
        """One more request of this account or address. Raises TooOften."""
        item = self._items[kind]
        try:
            fits = self._counts.hit(item, kind, who)
            window = self._counts.get_window_stats(item, kind, who)
        except Exception as error:  # noqa: BLE001 (each store has errors of its own)
            _LOG.error("requests are not counted: %s", type(error).__name__)
            return
        seconds = max(math.ceil(window.reset_time - time.time()), 1)
        g.setdefault("rates", {})[kind] = (item.amount, item.get_expiry(), window.remaining, seconds)
        if not fits:
            raise TooOften(kind, seconds)


def register(app: Flask) -> None:
    """Limit the requests of an address before it is known who asks. Settings RATE_STORE, RATE_ACCOUNT, RATE_ADDRESS."""
    stated = [app.config.get(name) for name in ("RATE_STORE", "RATE_ACCOUNT", "RATE_ADDRESS")]
    defaults = ("memory://", "1200 per minute", "2400 per minute")
    app.extensions[_LIMITS] = Limits(*(own or usual for own, usual in zip(stated, defaults, strict=True)))
    app.before_request(_of_address)
    app.after_request(_tell)


def register_account(app: Flask) -> None:
    """Limit the requests of an account; to be registered after it is known who asks."""
    app.before_request(_of_account)


def _of_address() -> None:
    """This machine itself is not limited: it is a single user, or a proxy that stands for many."""
    if request.remote_addr and not is_loopback(request.remote_addr):
        _limits().hit(ADDRESS, request.remote_addr)


def _of_account() -> None:
    known = caller()
    if known is not None and known.account.id != LOCAL:
        _limits().hit(ACCOUNT, known.account.id)


def _limits() -> Limits:
    found: Limits = current_app.extensions[_LIMITS]
    return found


def _tell(response: Response) -> Response:
    rates: dict[str, tuple[int, int, int, int]] = g.get("rates", {})
    if rates:
        policy = [f'"{kind}";q={most};w={window}' for kind, (most, window, _, _) in rates.items()]
        response.headers["RateLimit-Policy"] = ", ".join(policy)
        left = [f'"{kind}";r={remaining};t={seconds}' for kind, (_, _, remaining, seconds) in rates.items()]
        response.headers["RateLimit"] = ", ".join(left)
    return response
