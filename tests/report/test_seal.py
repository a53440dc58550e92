"""A changed byte anywhere, an appended byte, a byte less, another key: none of it passes."""

from __future__ import annotations

import hashlib
import io
import re
from datetime import UTC, datetime

import pytest
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
from hypothesis import given
from hypothesis import strategies as st
from pypdf import PdfReader

from riskapi.report.pdf import draw
from riskapi.report.seal import CHANGED, NOT_SEALED, UNCHANGED, UNKNOWN_KEY, check, key_id, read_seal, sealed
from riskapi.report.sealing import Sealer, midnight
from riskapi.report.sections import Report, Section, Text

THEN = datetime(2026, 3, 14, 10, 5, 7, tzinfo=UTC)
CONTENT = b'{"score": 38}'
# RFC 8032, section 7.1, test 1: the private key and its public key
PRIVATE = bytes.fromhex("9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60")
PUBLIC = bytes.fromhex("d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a")
KEYS = {key_id(PUBLIC): PUBLIC}
OTHER = Ed25519PrivateKey.from_private_bytes(bytes(range(32)))

REPORT = Report("T", "s", "car", "en", "foot", (Section("one", "One", (Text("Words."),)),))
PDF = draw(REPORT)
SEALED = sealed(PDF, PRIVATE, THEN, CONTENT)


def test_what_was_sealed_is_unchanged_and_says_what_it_is() -> None:
    found = check(SEALED, KEYS)
    assert found.standing == UNCHANGED
    assert found.seal is not None
    assert (found.seal.key_id, found.seal.dated) == (key_id(PUBLIC), THEN)
    assert found.seal.content == hashlib.sha256(CONTENT).hexdigest()
    assert found.seal.pages == hashlib.sha256(PDF).hexdigest()


def test_the_name_of_a_key_begins_its_digest() -> None:
    assert key_id(PUBLIC) == hashlib.sha256(PUBLIC).hexdigest()[:16]


def test_sealing_again_gives_the_same_bytes_and_leaves_the_pages_as_they_were() -> None:
    assert sealed(PDF, PRIVATE, THEN, CONTENT) == SEALED
    assert SEALED.startswith(PDF)


def test_any_pdf_reader_opens_a_sealed_document() -> None:
    reader = PdfReader(io.BytesIO(SEALED), strict=True)
    assert "Words." in reader.pages[0].extract_text()
    assert reader.trailer["/RiskapiSeal"]["/Key"] == key_id(PUBLIC)
    assert reader.trailer["/Size"] == len(reader.xref[0]) + 1


def test_the_range_that_is_signed_is_the_whole_file_but_the_signature() -> None:
    """ISO 32000-2, 12.8.1: pairs of where a part begins and how long it is."""
    stated = re.search(rb"/ByteRange \[(\d+) (\d+) (\d+) (\d+)\]", SEALED)
    assert stated is not None
    start, first, second, rest = (int(part) for part in stated.groups())
    assert start == 0
    assert re.fullmatch(rb"<[0-9a-f]{128}>", SEALED[first:second])
    assert second + rest == len(SEALED)


@given(st.integers(0, len(SEALED) - 1), st.integers(1, 255))
def test_a_changed_byte_anywhere_fails(place: int, change: int) -> None:
    other = bytearray(SEALED)
    other[place] ^= change
    assert check(bytes(other), KEYS).standing != UNCHANGED


def test_every_bit_of_the_seal_itself_counts() -> None:
    for place in range(len(PDF), len(SEALED)):
        for bit in range(8):
            other = bytearray(SEALED)
            other[place] ^= 1 << bit
            assert check(bytes(other), KEYS).standing != UNCHANGED, (place, bit)


@given(st.binary(min_size=1, max_size=2000))
def test_appended_bytes_fail(more: bytes) -> None:
    assert check(SEALED + more, KEYS).standing != UNCHANGED
    assert check(more + SEALED, KEYS).standing != UNCHANGED


@given(st.integers(1, len(SEALED) - 1))
def test_a_file_cut_short_fails(length: int) -> None:
    assert check(SEALED[:length], KEYS).standing != UNCHANGED


@given(st.binary(max_size=3000))
def test_what_is_no_document_of_ours_has_no_seal(data: bytes) -> None:
    assert check(data, KEYS).standing in (NOT_SEALED, CHANGED)


def test_another_key_seals_nothing_of_ours() -> None:
    theirs = sealed(PDF, OTHER.private_bytes_raw(), THEN, CONTENT)
    assert check(theirs, KEYS).standing == UNKNOWN_KEY
    assert check(SEALED, {}).standing == UNKNOWN_KEY
    posing = theirs.replace(key_id(OTHER.public_key().public_bytes_raw()).encode(), key_id(PUBLIC).encode())
    assert check(posing, KEYS).standing == CHANGED


def test_a_seal_on_top_of_a_changed_document_is_not_ours() -> None:
    """An update after the seal, sealed again by somebody else, is no document of ours."""
    again = sealed(SEALED + b"% more\n", OTHER.private_bytes_raw(), THEN, CONTENT)
    assert check(again, KEYS).standing == UNKNOWN_KEY


def test_a_signature_for_another_range_fails() -> None:
    """The range that is stated must be the file; a shorter one would leave room for something else."""
    shorter = re.sub(rb"(/ByteRange \[0 )(\d{10})", lambda found: found[1] + b"%010d" % (int(found[2]) - 1), SEALED)
    found = read_seal(shorter)
    assert found is not None
    assert not found.intact
    assert check(shorter, KEYS).standing == CHANGED


def test_what_has_no_plain_table_of_objects_is_not_sealed() -> None:
    with pytest.raises(ValueError, match="cross-reference"):
        sealed(b"%PDF-1.7\nnothing", PRIVATE, THEN, CONTENT)


def test_a_report_says_at_its_end_how_to_check_it() -> None:
    made = Sealer(PRIVATE, "https://cars.example").pdf(REPORT, midnight(THEN.date()), CONTENT)
    told = " ".join(PdfReader(io.BytesIO(made)).pages[-1].extract_text().split())
    assert "riskapi verify FILE.pdf" in told
    assert "https://cars.example/v1/verify" in told
    assert key_id(PUBLIC) in told
    assert hashlib.sha256(CONTENT).hexdigest()[:16] in told
    assert check(made, KEYS).standing == UNCHANGED


def test_private_halves_are_not_printed() -> None:
    assert PRIVATE.hex() not in repr(Sealer(PRIVATE))
    assert str(PRIVATE) not in repr(Sealer(PRIVATE))
