"""The JSON reader refuses what RFC 8259 and RFC 7493 (I-JSON) leave open to misreading."""

from __future__ import annotations

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from riskapi.errors import Unreadable
from riskapi.intake.strict_json import BYTES_LIMIT, canonical, read_document

VALUES = st.recursive(
    st.none() | st.booleans() | st.integers(-(10**15), 10**15) | st.floats(allow_nan=False, allow_infinity=False),
    lambda below: st.lists(below, max_size=3) | st.dictionaries(st.text("abc~/", max_size=3), below, max_size=3),
    max_leaves=8,
)


def unreadable(data: bytes | str) -> str:
    with pytest.raises(Unreadable) as caught:
        read_document(data)
    (fault,) = caught.value.faults
    assert fault.place == ""
    assert fault.mend
    return fault.message


@given(VALUES)
def test_reads_what_the_standard_reader_reads(value: object) -> None:
    document = read_document(json.dumps(value))
    assert document.value == value
    assert document.faults == ()


@given(VALUES)
def test_canonical_form_is_a_fixed_point(value: object) -> None:
    once = canonical(value)
    assert canonical(read_document(once).value) == once


def test_canonical_form_does_not_depend_on_order_and_spaces() -> None:
    assert canonical(read_document('{"b": 1, "a": "ü"}').value) == '{"a":"ü","b":1}'.encode()


@pytest.mark.parametrize("text", ["", "{", '{"a": }', "{'a': 1}", '{"a": 1} x', '{"a": 01}', "\x00"])
def test_no_json_names_line_and_column(text: str) -> None:
    assert "line 1, column" in unreadable(text)


def test_bytes_must_be_utf8() -> None:
    assert "Byte 6 is not UTF-8" in unreadable(b'{"a":"\xff"}')
    assert read_document(b"\xef\xbb\xbf{}").value == {}


def test_size_limit_counts_bytes() -> None:
    longest = '"' + "x" * (BYTES_LIMIT - 2) + '"'
    assert read_document(longest).value == "x" * (BYTES_LIMIT - 2)
    assert "1,000,001 bytes" in unreadable(longest + " ")
    assert "1,000,002 bytes" in unreadable('"' + "ü" * (BYTES_LIMIT // 2) + '"')


@pytest.mark.parametrize("depth", [14, 500_000])
def test_depth_limit(depth: int) -> None:
    assert "nested deeper" in unreadable("[" * depth + "]" * depth)


def test_repeated_key_is_found_at_any_depth() -> None:
    document = read_document('{"a": [{"b~/": 1, "b~/": 2}], "c": 1, "c": 1}')
    assert sorted(fault.place for fault in document.faults) == ["/a/0/b~0~1", "/c"]


@pytest.mark.parametrize("text", [r'{"a": "\u0000"}', r'{"a": "\ud800"}', r'{"a": "\u007f"}'])
def test_characters_that_no_text_needs(text: str) -> None:
    (fault,) = read_document(text).faults
    assert fault.place == "/a"


def test_broken_key_has_a_printable_place() -> None:
    (fault,) = read_document(r'{"\ud800": 1}').faults
    assert fault.place.encode() == rb"/\ud800"


def test_line_breaks_and_paired_surrogates_are_fine() -> None:
    document = read_document(r'{"note": "one\ntwo\t\ud83d\ude97"}')
    assert document.faults == ()
    assert document.value == {"note": "one\ntwo\t\N{AUTOMOBILE}"}


def test_endless_whole_number_does_not_stall() -> None:
    assert read_document("9" * 400).value == float("inf")
