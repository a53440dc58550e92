"""Style and scripts, served by this program itself. Their address carries a digest of all of them, so a browser keeps
them for good and asks again only after a change."""

from __future__ import annotations

import hashlib
from functools import cache
from importlib.resources import files

from flask import Response, abort

_TYPES = {"css": "text/css; charset=utf-8", "js": "text/javascript; charset=utf-8", "svg": "image/svg+xml"}
_WORKER = "worker.js"
_WORKER_POLICY = "default-src 'none'; connect-src 'self'"  # what it fetches for a page is fetched under this


@cache
def contents() -> dict[str, bytes]:
    """Every asset by its name."""
    folder = files("riskapi.web").joinpath("assets")
    return {item.name: item.read_bytes() for item in folder.iterdir() if item.name.rsplit(".")[-1] in _TYPES}


@cache
def digest() -> str:
    """Changes whenever one of them does."""
    told = hashlib.sha256()
    for name, content in sorted(contents().items()):
        told.update(name.encode() + b"\0" + content + b"\0")
    return told.hexdigest()[:16]


def url(name: str) -> str:
    """Where an asset is served."""
    return f"/assets/{digest()}/{name}"


def serve(version: str, name: str) -> Response:
    """An asset. An older version is answered with the newest one, which is not to be kept."""
    if name not in contents():
        abort(404)
    answer = Response(contents()[name], content_type=_TYPES[name.rsplit(".", maxsplit=1)[-1]])
    kept = "public, max-age=31536000, immutable" if version == digest() else "no-store"
    answer.headers["Cache-Control"] = kept
    return answer


def worker() -> Response:
    """The service worker, with the addresses that it keeps."""
    kept = [url(name) for name in sorted(contents()) if name != _WORKER]
    script = contents()[_WORKER].decode().replace("__VERSION__", digest()).replace('["__KEPT__"]', _listed(kept))
    answer = Response(script, content_type=_TYPES["js"])
    answer.headers["Content-Security-Policy"] = _WORKER_POLICY
    return answer


def _listed(addresses: list[str]) -> str:
    return "[" + ", ".join(f'"{address}"' for address in addresses) + "]"
