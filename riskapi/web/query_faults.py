"""Faults of the query. Its parameters are read by marshmallow's own fields, whose messages become sentences here."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

from riskapi.domain.sentence import Sentence, Written, WrittenNumber, at_fault, told
from riskapi.errors import Fault

_FIXED = (
    told("Not a valid integer."),
    told("Not a valid number."),
    told("Not a valid boolean."),
    told("Not a valid string."),
    told("Not a valid utf-8 string."),
    told("Number too large."),
    told("Special numeric values (nan or infinity) are not permitted."),
    told("Field may not be null."),
    told("Invalid value."),
    told("Write km or mi, bar or psi, L or qt in this order, with commas between."),
)
_WITHIN = "Must be greater than or equal to {least} and less than or equal to {most}."
_TOO_LONG = "Longer than maximum length {most}."
_ONE_OF = "Must be one of: {choices}."
_NO_UNIT = "no such unit: {unit}; choose from {units}."
_TWO_UNITS = "two units of one kind: {one} and {other}."
_NUMBER = re.compile(r"-?\d+(\.\d+)?", re.ASCII)


def query_faults(messages: Mapping[str, Mapping[str, Iterable[str]]]) -> list[Fault]:
    """The faults in what webargs collected: location -> parameter -> messages."""
    mend = told("Mend or leave out this parameter.")
    return [
        at_fault(name, _sentence(message), mend)
        for named in messages.values()
        for name, said in named.items()
        for message in said
    ]


def _sentence(message: str) -> Sentence:
    """The sentence that says this; one that nobody knows is told as it is."""
    fixed = next((sentence for sentence in _FIXED if sentence == message), None)
    if fixed is not None:
        return fixed
    for pattern in (_WITHIN, _TOO_LONG, _ONE_OF, _NO_UNIT, _TWO_UNITS):
        if match := re.fullmatch(re.sub(r"\\\{(\w+)\\\}", r"(?P<\1>.+)", re.escape(pattern)), message, re.DOTALL):
            return told(pattern, **{name: _written(value) for name, value in match.groupdict().items()})
    return told("{message}", message=Written(message))


def _written(value: str) -> Written:
    return WrittenNumber(value) if _NUMBER.fullmatch(value) else Written(value)
