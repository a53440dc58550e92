"""One POST to a place that somebody else named: to the checked address only, never redirected, bounded in time and
size."""

from __future__ import annotations

import socket
import threading
from collections.abc import Iterable, Mapping
from contextlib import suppress
from dataclasses import dataclass
from typing import Any
from urllib.parse import urlsplit

import requests
from requests.adapters import HTTPAdapter
from urllib3.connection import HTTPConnection, HTTPSConnection
from urllib3.connectionpool import HTTPConnectionPool, HTTPSConnectionPool

from riskapi import __version__
from riskapi.integrations.addresses import Lookup, Network, Refused, Target, look_up, target_of

CONNECT_LIMIT, READ_LIMIT, WHOLE_LIMIT = 5.0, 20.0, 30.0  # [s]
_AGENT = f"riskapi/{__version__}"
ANSWER_LIMIT = 1_000  # bytes of an answer that are read


@dataclass(frozen=True, slots=True)
class Answer:
    """What came back. `status` is None where nothing did; `told` is for the sender to read."""

    status: int | None
    told: str
    retry_after: str | None = None

    @property
    def taken(self) -> bool:
        return self.status is not None and 200 <= self.status < 300


@dataclass(frozen=True, slots=True)
class Outside:
    """How this server talks to places that others name."""

    allowed: tuple[Network, ...] = ()
    look: Lookup = look_up
    verify: str | bool = True  # a file with certificates to trust, or those that requests brings

    def post(self, url: str, body: bytes, headers: Mapping[str, str]) -> Answer:
        """Send it once. Nothing that goes wrong outside raises: the answer tells it."""
        try:
            target = target_of(url, self.allowed, self.look)
        except Refused as error:
            return Answer(None, f"Not sent: {error}")
        except (OSError, ValueError):
            return Answer(None, "The host name has no address.")
        try:
            return self._send(target, url, body, headers)
        except requests.Timeout:
            return Answer(None, "No answer in time.")
        except (requests.RequestException, OSError) as error:
            return Answer(None, f"No connection ({type(error).__name__}).")

    def _send(self, target: Target, url: str, body: bytes, headers: Mapping[str, str]) -> Answer:
        own = {
            "Host": urlsplit(url).netloc,
            "User-Agent": f"riskapi/{__version__}",
            "Accept-Encoding": "identity",
            **headers,
        }
        sockets: list[socket.socket] = []
        with requests.Session() as session:
            session.trust_env = False  # no proxy: it would look the name up again
            session.mount(f"{target.scheme}://", _Pinned(target, sockets))
            watch = threading.Timer(WHOLE_LIMIT, _hang_up, (sockets,))
            watch.start()
            try:
                times = (CONNECT_LIMIT, READ_LIMIT)
                answer = session.post(
                    url, body, headers=own, timeout=times, allow_redirects=False, stream=True, verify=self.verify
                )
                answer.raw.read(ANSWER_LIMIT, decode_content=False)
            finally:
                watch.cancel()
                for each in sockets:
                    each.close()
        return Answer(answer.status_code, f"Answered {answer.status_code}.", answer.headers.get("Retry-After"))


class _Pinned(HTTPAdapter):
    """Connects to the checked address, while Host, SNI and certificate stay those of the name in the URL."""

    def __init__(self, target: Target, sockets: list[socket.socket]) -> None:
        self._target = target
        super().__init__()
        self.poolmanager.pool_classes_by_scheme = _watched(sockets)

    def build_connection_pool_key_attributes(
        self, request: requests.PreparedRequest, verify: bool | str, cert: Any = None
    ) -> tuple[Any, Any]:
        """What urllib3 connects to, with the name replaced by the address."""
        host, pool = super().build_connection_pool_key_attributes(request, verify, cert)
        named: dict[str, Any] = {**pool}
        if self._target.scheme == "https":
            named |= {"server_hostname": self._target.host, "assert_hostname": self._target.host}
        return {**host, "host": self._target.address}, named


def _watched(sockets: list[socket.socket]) -> dict[str, type[HTTPConnectionPool]]:
    """Kinds of pools whose connections show their sockets, so that one that takes too long can be hung up."""

    class Plain(HTTPConnection):
        def _new_conn(self) -> socket.socket:
            return _shown(super()._new_conn(), sockets)

    class Secure(HTTPSConnection):
        def _new_conn(self) -> socket.socket:
            return _shown(super()._new_conn(), sockets)

    class PlainPool(HTTPConnectionPool):
        ConnectionCls = Plain

    class SecurePool(HTTPSConnectionPool):
        ConnectionCls = Secure

    return {"http": PlainPool, "https": SecurePool}


def _shown(made: socket.socket, sockets: list[socket.socket]) -> socket.socket:
    sockets.append(made.dup())  # of its own: TLS takes the first one over
    return made


def _hang_up(sockets: Iterable[socket.socket]) -> None:
    for each in sockets:
        with suppress(OSError):
            each.shutdown(socket.SHUT_RDWR)
