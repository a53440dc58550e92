"""Real HTTP and HTTPS servers on the loopback address that keep what they are sent."""

from __future__ import annotations

import ssl
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import NameOID


@dataclass
class Received:
    path: str
    headers: dict[str, str]
    body: bytes


@dataclass
class Receiver:
    """What came, and how it is answered: (status, headers) for each request in turn, the last one for the rest."""

    port: int = 0
    received: list[Received] = field(default_factory=list)
    pause: float = 0.0  # [s] before each answer
    answers: list[tuple[int, dict[str, str]]] = field(default_factory=lambda: [(204, {})])
    get: Callable[[Received], tuple[int, dict[str, str], bytes]] | None = None


@contextmanager
def receiver(certificate: Path | None = None) -> Iterator[Receiver]:
    """A running one; with a certificate (and its key in one PEM file) it speaks HTTPS."""
    kept = Receiver()

    class Handler(BaseHTTPRequestHandler):
        def do_POST(self) -> None:
            body = self.rfile.read(int(self.headers.get("Content-Length", 0)))
            kept.received.append(Received(self.path, {k.lower(): v for k, v in self.headers.items()}, body))
            time.sleep(kept.pause)
            status, headers = kept.answers[min(len(kept.received), len(kept.answers)) - 1]
            self.answer(status, headers, b"")

        def do_GET(self) -> None:
            asked = Received(self.path, {k.lower(): v for k, v in self.headers.items()}, b"")
            kept.received.append(asked)
            assert kept.get is not None
            self.answer(*kept.get(asked))

        def answer(self, status: int, headers: dict[str, str], body: bytes) -> None:
            self.send_response(status)
            for name, value in {**headers, "Content-Length": str(len(body))}.items():
                self.send_header(name, value)
            self.end_headers()
            self.wfile.write(body)

        def log_message(self, format: str, *args: object) -> None:  # noqa: A002
            pass

    server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    if certificate is not None:
        context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
        context.load_cert_chain(certificate)
        server.socket = context.wrap_socket(server.socket, server_side=True)
    kept.port = server.server_address[1]
    thread = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.02}, daemon=True)
    thread.start()
    try:
        yield kept
    finally:
        server.shutdown()
        server.server_close()


def certificate_for(host: str, folder: Path) -> Path:
    """A PEM file with a self-signed certificate of this host and its key; it is its own authority."""
    key = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, host)])
    now = datetime.now(UTC)
    made = (
        x509.CertificateBuilder(name, name, key.public_key(), x509.random_serial_number(), now, now + timedelta(days=1))
        .add_extension(x509.SubjectAlternativeName([x509.DNSName(host)]), critical=False)
        .add_extension(x509.BasicConstraints(ca=True, path_length=None), critical=True)
        .sign(key, hashes.SHA256())
    )
    form = (serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption())
    file = folder / "certificate.pem"
    file.write_bytes(made.public_bytes(serialization.Encoding.PEM) + key.private_bytes(*form))
    return file
