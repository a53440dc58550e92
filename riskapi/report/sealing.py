"""Documents that leave: drawn with a line on how to check them, then sealed."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime, time

from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from riskapi.report.language import speaking
from riskapi.report.pdf import draw
from riskapi.report.seal import key_id, sealed
from riskapi.report.seal_texts import say
from riskapi.report.sections import Report, Text

SHORT = 16  # digits of a digest on paper


@dataclass(frozen=True, slots=True)
class Sealer:
    """The private key in use (32 bytes), and the address at which the service checks seals ('' where it has none)."""

    private_key: bytes = field(repr=False)
    address: str = ""

    @property
    def key_id(self) -> str:
        """The name of the key."""
        private = Ed25519PrivateKey.from_private_bytes(self.private_key)
        return key_id(private.public_key().public_bytes_raw())

    def mark(self, content: bytes) -> str:
        """The line of a document that says how to check it; `content` is what the document tells of."""
        digest = hashlib.sha256(content).hexdigest()[:SHORT]
        where = say("or_at", address=f"{self.address}/v1/verify") if self.address else ""
        return say("mark", where=where, key=self.key_id, digest=digest)

    def pdf(self, report: Report, dated: datetime, content: bytes) -> bytes:
        """The report as a sealed PDF of this date; `content` is its data as bytes (the JSON that says the same)."""
        with speaking(report.language):
            line = self.mark(content)
        return self.seal(draw(with_line(report, line)), dated, content)

    def seal(self, pdf: bytes, dated: datetime, content: bytes) -> bytes:
        """A PDF that carries its line already, sealed."""
        return sealed(pdf, self.private_key, dated, content)


def midnight(day: date) -> datetime:
    """The date of a document that follows from its input alone."""
    return datetime.combine(day, time(), UTC)


def with_line(report: Report, line: str) -> Report:
    """The report with one more line at its very end."""
    *before, last = report.sections
    return replace(report, sections=(*before, replace(last, blocks=(*last.blocks, Text(line, "small")))))
