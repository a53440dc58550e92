"""A seal on a PDF: who has the public key can tell, without asking anybody, whether a byte changed since.

The seal is one object in an incremental update at the end of the file (ISO 32000-2, 7.5.6), so the pages stay as they
were drawn and any reader opens it. In the manner of a PDF signature (12.8.1) /ByteRange covers the whole file but for
the signature itself. It is no signature field of the PDF standard: those need X.509 certificates, which say who
somebody is; a seal only says "unchanged since". Signed with Ed25519 (RFC 8032): the same input gives the same bytes.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime

from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey, Ed25519PublicKey

from riskapi.report.format import instant

UNCHANGED, CHANGED, UNKNOWN_KEY, NOT_SEALED = "unchanged", "changed", "unknown_key", "not_sealed"
STANDINGS = (UNCHANGED, CHANGED, UNKNOWN_KEY, NOT_SEALED)
ID_DIGITS = 16

_PURPOSE = b"riskapi seal of a PDF, version 1\n"  # what is signed here is never taken for anything else
_HEX = 128  # digits of a signature
_NUMBER = 10  # digits of an offset, as in a cross-reference table
_SEAL = (
    rb"(?P<number>\d{1,9}) 0 obj\n<< /Type /RiskapiSeal /V 1 /Key \((?P<key>[0-9a-f]{16})\) "
    rb"/Dated \((?P<dated>\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ)\) /Content <(?P<content>[0-9a-f]{64})> "
    rb"/Pages <(?P<pages>[0-9a-f]{64})> /ByteRange \[0 (?P<first>\d{10}) (?P<second>\d{10}) (?P<rest>\d{10})\] "
    rb"/Signature <(?P<signature>[0-9a-f]{128})> >>\nendobj\n"
)
_END = rb"xref\n0 1\n0000000000 65535 f \n\d{1,9} 1\n\d{10} 00000 n \ntrailer\n<<[^\n]*>>\nstartxref\n\d{1,10}\n%%EOF\n"
_TAIL = re.compile(_SEAL + _END + rb"\Z")
_LONGEST = 4096  # bytes; a tail is about a kilobyte
_ENTRY = re.compile(rb"/(Root|Info) (\d+ \d+ R)|/(Size) (\d+)|/(ID)\s*(\[[^\]]*\])")


@dataclass(frozen=True, slots=True)
class Seal:
    """What a seal states. `content` is the SHA-256 of the data that the document tells of, `pages` that of all bytes
    before the seal, `dated` the document's own date."""

    key_id: str
    dated: datetime
    content: str
    pages: str
    signature: bytes = field(repr=False)
    signed: bytes = field(repr=False)
    intact: bool  # the byte range is the whole file, and the digest of the pages is right


@dataclass(frozen=True, slots=True)
class Verdict:
    """`standing` is one of STANDINGS; the seal as far as there is one."""

    standing: str
    seal: Seal | None = None


def key_id(public_key: bytes) -> str:
    """The name of a key: the first 16 digits of the SHA-256 of its 32 bytes."""
    return hashlib.sha256(public_key).hexdigest()[:ID_DIGITS]


def sealed(pdf: bytes, private_key: bytes, dated: datetime, content: bytes) -> bytes:
    """The PDF with a seal at its end. `private_key`: 32 bytes; `content`: what the document tells of, for its digest.

    Raises ValueError when the PDF is not one with a plain cross-reference table.
    """
    key = Ed25519PrivateKey.from_private_bytes(private_key)
    name = key_id(key.public_key().public_bytes_raw())
    head, tail = _around(pdf, name, dated, hashlib.sha256(content).hexdigest())
    signature = key.sign(_PURPOSE + head + tail).hex().encode()
    return head + b"<" + signature + b">" + tail


def read_seal(data: bytes) -> Seal | None:
    """The seal that ends this file, or None."""
    start = max(0, len(data) - _LONGEST)
    found = _TAIL.search(data[start:])
    if found is None:
        return None
    at = start + found.start()
    head, tail = data[: start + found.start("signature") - 1], data[start + found.end("signature") + 1 :]
    stated = tuple(int(found[name]) for name in ("first", "second", "rest"))
    pages = found["pages"].decode()
    whole = stated == (len(head), len(head) + _HEX + 2, len(tail))
    return Seal(
        key_id=found["key"].decode(),
        dated=_instant(found["dated"]),
        content=found["content"].decode(),
        pages=pages,
        signature=bytes.fromhex(found["signature"].decode()),
        signed=_PURPOSE + head + tail,
        intact=whole and hashlib.sha256(data[:at]).hexdigest() == pages,
    )


def check(data: bytes, public_keys: Mapping[str, bytes]) -> Verdict:
    """Whether this file is byte for byte what was sealed; `public_keys`: the 32 bytes of each key by its id."""
    seal = read_seal(data)
    if seal is None:
        return Verdict(CHANGED if b"/RiskapiSeal" in data else NOT_SEALED)
    if not seal.intact:
        return Verdict(CHANGED, seal)
    if seal.key_id not in public_keys:
        return Verdict(UNKNOWN_KEY, seal)
    try:
        Ed25519PublicKey.from_public_bytes(public_keys[seal.key_id]).verify(seal.signature, seal.signed)
    except InvalidSignature:
        return Verdict(CHANGED, seal)
    return Verdict(UNCHANGED, seal)


def _around(pdf: bytes, key: str, dated: datetime, content: str) -> tuple[bytes, bytes]:
    """What stands before and behind the signature."""
    entries, size, previous = _trailer(pdf)
    body = pdf if pdf.endswith(b"\n") else pdf + b"\n"
    opening = (
        f"{size} 0 obj\n<< /Type /RiskapiSeal /V 1 /Key ({key}) /Dated ({instant(dated)}) /Content <{content}> "
        f"/Pages <{hashlib.sha256(body).hexdigest()}> /ByteRange "
    )
    length = len(body) + len(opening) + len("[0 ") + 3 * (_NUMBER + 1) + len(" /Signature ")
    behind = length + _HEX + 2
    closing = b" >>\nendobj\n"
    table = (
        f"xref\n0 1\n0000000000 65535 f \n{size} 1\n{len(body):010d} 00000 n \ntrailer\n"
        f"<< {entries} /Size {size + 1} /Prev {previous} /RiskapiSeal {size} 0 R >>\n"
        f"startxref\n{behind + len(closing)}\n%%EOF\n"
    ).encode()
    tail = closing + table
    span = f"[0 {length:010d} {behind:010d} {len(tail):010d}] /Signature "
    return body + (opening + span).encode(), tail


def _trailer(pdf: bytes) -> tuple[str, int, int]:
    """(root, info and id as they stand, number of objects, where the cross-reference table is)."""
    place, end = pdf.rfind(b"trailer"), pdf.rfind(b"startxref")
    if not 0 <= place < end:
        raise ValueError("a PDF without a plain cross-reference table cannot be sealed")
    found: dict[str, str] = {}
    for match in _ENTRY.finditer(pdf[place:end]):
        name, value = (group.decode("ascii") for group in match.groups() if group is not None)
        found[name] = " ".join(value.split())
    entries = " ".join(f"/{name} {found[name]}" for name in ("Root", "Info", "ID") if name in found)
    return entries, int(found["Size"]), int(pdf[end:].split()[1])


def _instant(text: bytes) -> datetime:
    try:
        return datetime.strptime(text.decode(), "%Y-%m-%dT%H:%M:%SZ").replace(tzinfo=UTC)
    except ValueError:  # such as a 31 June: no program of ours wrote it
        return datetime.min.replace(tzinfo=UTC)
