"""Strict JSON (RFC 8259, I-JSON habits of RFC 7493): what the standard reader lets pass is a fault here.

Bytes must be UTF-8; a repeated key, a control character or half a surrogate pair in a text is a fault with
its place. NaN and Infinity come through as numbers, and the schema refuses them where they stand.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from riskapi.domain.sentence import Sentence, Written, at_fault, told
from riskapi.errors import Fault, Unreadable
from riskapi.intake.pointers import Path, pointer

BYTES_LIMIT = 1_000_000
DEPTH_LIMIT = 12
_INTEGER_DIGITS = 18  # longer whole numbers are read as floats, so that none can grow without bound
_SAID = (
    told("Expecting value"),
    told("Expecting property name enclosed in double quotes"),
    told("Expecting ',' delimiter"),
    told("Expecting ':' delimiter"),
    told("Extra data"),
    told("Unterminated string starting at"),
    told("Invalid control character at"),
    told("Invalid \\escape"),
    told("Invalid \\uXXXX escape"),
    told("Illegal trailing comma before end of object"),
    told("Illegal trailing comma before end of array"),
)
_NOT_JSON = {str(sentence): sentence for sentence in _SAID}  # what Python's reader says


@dataclass(frozen=True, slots=True)
class Document:
    """A JSON value and what is wrong with the way it was written."""

    value: Any
    faults: tuple[Fault, ...]


class _Object(dict[str, Any]):
    """A JSON object that remembers which of its keys were written more than once."""

    repeated: tuple[str, ...] = ()


def read_document(data: bytes | str) -> Document:
    """The value in a JSON text. Raises Unreadable when it is none, or longer than BYTES_LIMIT."""
    text = _decoded(data)
    try:
        value = json.loads(text, object_pairs_hook=_object, parse_int=_integer)
    except json.JSONDecodeError as error:
        raise _unreadable(_not_json(error), told("Mend the text there.")) from None
    except RecursionError:
        raise _unreadable(*_too_deep()) from None
    return Document(value, tuple(_faults(value)))


def canonical(value: Any) -> bytes:
    """The one way a JSON value is kept: UTF-8, keys sorted, no spaces."""
    return json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False).encode()


def _decoded(data: bytes | str) -> str:
    size = len(data) if isinstance(data, bytes) else len(data.encode(errors="surrogatepass"))
    if size > BYTES_LIMIT:
        message = told("The text has {size:,d} bytes; at most {limit:,d} are read.", size=size, limit=BYTES_LIMIT)
        raise _unreadable(message, told("Send one case, without pictures or papers in it."))
    if isinstance(data, str):
        return data.removeprefix("\ufeff")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        message = told("Byte {place:d} is not UTF-8.", place=error.start)
        raise _unreadable(message, told("Save the text as UTF-8.")) from None


def _unreadable(message: Sentence, mend: Sentence) -> Unreadable:
    return Unreadable([at_fault("", message, mend)])


def _not_json(error: json.JSONDecodeError) -> Sentence:
    why = _NOT_JSON.get(error.msg, Written(error.msg))
    return told(
        "This is not JSON: {why} (line {line:d}, column {column:d}).", why=why, line=error.lineno, column=error.colno
    )


def _too_deep() -> tuple[Sentence, Sentence]:
    message = told("The text is nested deeper than {limit:d} levels.", limit=DEPTH_LIMIT)
    return message, told("A case needs at most five.")


def _object(pairs: list[tuple[str, Any]]) -> _Object:
    result = _Object(pairs)
    if len(result) < len(pairs):
        times = Counter(key for key, _ in pairs)
        result.repeated = tuple(key for key, count in times.items() if count > 1)
    return result


def _integer(digits: str) -> int | float:
    return int(digits) if len(digits) <= _INTEGER_DIGITS else float(digits)


def _faults(value: Any) -> Iterator[Fault]:
    waiting: list[tuple[Path, Any]] = [((), value)]
    while waiting:
        path, item = waiting.pop()
        if len(path) > DEPTH_LIMIT:
            raise _unreadable(*_too_deep())
        if isinstance(item, str):
            yield from _text_faults(path, item)
        elif isinstance(item, _Object):
            yield from _object_faults(path, item)
            waiting.extend(((*path, key), child) for key, child in item.items())
        elif isinstance(item, list):
            waiting.extend(((*path, index), child) for index, child in enumerate(item))


def _object_faults(path: Path, item: _Object) -> Iterator[Fault]:
    for key in item.repeated:
        yield at_fault(pointer((*path, key)), told("This key is written more than once."), told("Keep one of them."))
    for key in item:
        yield from _text_faults((*path, key), key)


def _text_faults(path: Path, text: str) -> Iterator[Fault]:
    if not all(_harmless(character) for character in text):
        message = told("The text holds a control character or half a surrogate pair.")
        yield at_fault(pointer(path), message, told("Remove it; line breaks and tabs are allowed."))


def _harmless(character: str) -> bool:
    return character in "\n\r\t" or (character >= " " and character != "\x7f" and not "\ud800" <= character <= "\udfff")
