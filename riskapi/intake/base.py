"""The base of every request schema, and the way from marshmallow's messages to faults."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from marshmallow import RAISE, Schema, ValidationError

from riskapi.domain.sentence import Listed, Written, at_fault, told
from riskapi.errors import Fault
from riskapi.intake.pointers import Path, pointer
from riskapi.intake.words import Wrong, choose, shown

_SCHEMA = "_schema"
_UNKNOWN_LIMIT = 20  # unknown keys named per object


class RequestSchema(Schema):
    """Unknown keys are faults, with the known ones offered."""

    class Meta:
        unknown = RAISE

    def handle_error(self, error: ValidationError, data: Any, **_: Any) -> None:
        """Put words with a mend in the place of marshmallow's own two messages."""
        if not isinstance(error.messages, dict):
            return
        if not isinstance(data, Mapping):
            error.messages = {_SCHEMA: [self.not_an_object(data)]}
            return
        unknown = sorted(key for key in data if key not in self.load_fields)
        for key in unknown:
            error.messages.pop(key, None)
        for key in unknown[:_UNKNOWN_LIMIT]:
            message = told("The key {key} is not known here.", key=shown(key))
            error.messages[key] = [Wrong(message, choose(key, self.load_fields))]
        if len(unknown) > _UNKNOWN_LIMIT:
            message = told("{count:d} more keys are not known here.", count=len(unknown) - _UNKNOWN_LIMIT)
            more = Wrong(message, told("Remove them."))
            error.messages.setdefault(_SCHEMA, []).append(more)

    def not_an_object(self, data: Any) -> Wrong:
        """What is said when something else than an object stands here."""
        keys = Listed(tuple(Written(key) for key in self.fields), "and")
        message = told("{value} is not an object.", value=shown(data))
        return Wrong(message, told("Write an object with the keys {keys}.", keys=keys))


def load(schema: RequestSchema, value: Any) -> tuple[dict[str, Any], list[Fault]]:
    """What of the value is well formed, and every fault of the rest."""
    try:
        return dict(schema.load(value)), []
    except ValidationError as error:
        good = error.valid_data if isinstance(error.valid_data, dict) else {}
        return good, list(_faults((), error.messages))


def _faults(path: Path, messages: Any) -> Iterator[Fault]:
    if isinstance(messages, dict):
        for key, below in messages.items():
            yield from _faults(path if key == _SCHEMA else (*path, key), below)
    elif isinstance(messages, list):
        for message in messages:
            yield from _faults(path, message)
    elif isinstance(messages, Wrong):
        yield at_fault(pointer(path), messages.message, messages.mend)
    else:
        raise TypeError(f"a field of {pointer(path)} speaks with words of its own: {messages}")
