"""Schema fields of a case. Strict: nothing is guessed from another type, and every complaint says how to mend it.

Each field's metadata hold a `description` and `examples`, which the OpenAPI document and the mends both use.
"""

from __future__ import annotations

import math
import re
from abc import abstractmethod
from collections.abc import Sequence
from datetime import date
from typing import Any

from marshmallow import ValidationError, fields

from riskapi.domain.sentence import Sentence, Written, told
from riskapi.intake.words import Wrong, choose, shown

TEXT_LIMIT = 2_000  # characters
EARLIEST, LATEST = date(1950, 1, 1), date(2100, 12, 31)
_DAY = re.compile(r"\d{4}-\d{2}-\d{2}", re.ASCII)


class _Told(fields.Field[Any]):
    """Base: error keys become messages with a mend."""

    shape = told("a value")

    def make_error(self, key: str, **kwargs: Any) -> ValidationError:
        wanted = self.wanted()
        if key == "required":
            return ValidationError(Wrong(told("This is required and missing."), told("Add it: {shape}.", shape=wanted)))
        if key == "null":
            mend = told("Leave it out where it is not known, else write {shape}.", shape=wanted)
            return ValidationError(Wrong(told("This is null."), mend))
        return self.wrong(kwargs.get("input"))

    def wrong(self, value: Any) -> ValidationError:
        """What was written has not the shape of this field."""
        message = told("{value} is not {shape}.", value=shown(value), shape=self.shape)
        return ValidationError(Wrong(message, told("Write {shape}.", shape=self.wanted())))

    def wanted(self) -> Sentence:
        """The shape, with an example from the metadata where there is one."""
        examples = self.metadata.get("examples")
        if not examples:
            return self.shape
        return told("{shape}, for example {example}", shape=self.shape, example=shown(examples[0]))


class _Plain(_Told):
    """Base of fields that are read from the value alone."""

    def _deserialize(self, value: Any, *_: Any, **__: Any) -> Any:
        return self.read(value)

    @abstractmethod
    def read(self, value: Any) -> Any:
        """The value as it is used. Raises ValidationError."""


class Text(_Plain, fields.String):
    """A text of `least` to `limit` characters."""

    def __init__(self, *, least: int = 1, limit: int = TEXT_LIMIT, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.least, self.limit = least, limit
        self.shape = told("a text of {least:d} to {limit:,d} characters", least=least, limit=limit)
        self.metadata = {"minLength": least, "maxLength": limit, **self.metadata}

    def read(self, value: Any) -> str:
        if not isinstance(value, str) or not self.least <= len(value) <= self.limit:
            raise self.wrong(value)
        return value


class Pattern(Text):
    """A text of a fixed shape, for instance a VIN; `shape` says it in words."""

    def __init__(self, *, pattern: str, shape: Sentence, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.pattern = re.compile(pattern, re.ASCII)
        self.shape = shape
        self.metadata = {**self.metadata, "pattern": f"^(?:{pattern})$"}

    def read(self, value: Any) -> str:
        if not isinstance(value, str) or not self.pattern.fullmatch(value):
            raise self.wrong(value)
        return value


class Choice(_Plain, fields.String):
    """One of a few fixed words."""

    def __init__(self, *, choices: Sequence[str], **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.choices = tuple(choices)
        self.shape = told("one of {words}", words=tuple(map(Written, self.choices)))
        self.metadata = {"enum": list(self.choices), **self.metadata}

    def read(self, value: Any) -> str:
        if not isinstance(value, str) or value not in self.choices:
            message = told("{value} is not one of the words allowed here.", value=shown(value))
            raise ValidationError(Wrong(message, choose(value, self.choices)))
        return value


class Flag(_Plain, fields.Boolean):
    """true or false, nothing that merely looks like it."""

    shape = told("true or false")

    def read(self, value: Any) -> bool:
        if not isinstance(value, bool):
            raise self.wrong(value)
        return value


class Number(_Plain, fields.Float):
    """A finite number; texts and booleans are none."""

    shape = told("a finite number")

    def read(self, value: Any) -> float:
        if isinstance(value, bool) or not isinstance(value, int | float) or not _finite(value):
            raise self.wrong(value)
        return float(value)


class Whole(_Plain, fields.Integer):
    """A whole number."""

    shape = told("a whole number")

    def read(self, value: Any) -> int:
        if isinstance(value, bool) or not isinstance(value, int):
            raise self.wrong(value)
        return value


class Day(_Plain, fields.String):
    """A calendar date (ISO 8601, YYYY-MM-DD) that a car can have."""

    shape = told("a date written YYYY-MM-DD")

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.metadata = {"format": "date", **self.metadata}

    def read(self, value: Any) -> date:
        if not isinstance(value, str) or not _DAY.fullmatch(value):
            raise self.wrong(value)
        try:
            day = date.fromisoformat(value)
        except ValueError:
            message = told("{value} is not in the calendar.", value=shown(value))
            raise ValidationError(Wrong(message, told("Check month and day."))) from None
        if not EARLIEST <= day <= LATEST:
            message = told("{day} is outside {first} to {last}.", day=day, first=EARLIEST, last=LATEST)
            raise ValidationError(Wrong(message, told("Check the year.")))
        return day


class Many(_Plain, fields.List[Any]):
    """A list of at most `limit` items. A faulty scalar item keeps its place as None."""

    def __init__(self, inner: fields.Field[Any], *, limit: int, **kwargs: Any) -> None:
        super().__init__(inner, **kwargs)
        self.limit = limit
        self.shape = told("a list of at most {limit:d} items", limit=limit)
        self.metadata = {"maxItems": limit, **self.metadata}

    def read(self, value: Any) -> list[Any]:
        if not isinstance(value, list):
            raise self.wrong(value)
        if len(value) > self.limit:
            message = told(
                "The list has {count:d} items; at most {limit:d} are read.", count=len(value), limit=self.limit
            )
            raise ValidationError(Wrong(message, told("Leave out what does not matter, or split the case.")))
        return self._each(value)

    def _each(self, value: list[Any]) -> list[Any]:
        items: list[Any] = []
        errors: dict[int, Any] = {}
        for index, item in enumerate(value):
            try:
                items.append(self.inner.deserialize(item))
            except ValidationError as error:
                items.append(error.valid_data)
                errors[index] = error.messages
        if errors:
            raise ValidationError(errors, valid_data=items)
        return items


class Table(_Plain):
    """An object whose keys are words of the pack and whose values are flags, or trait values."""

    def __init__(self, *, values: tuple[type, ...], limit: int, shape: Sentence, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.values = values
        self.limit = limit
        self.shape = shape

    def read(self, value: Any) -> dict[str, Any]:
        if not isinstance(value, dict) or len(value) > self.limit:
            raise self.wrong(value)
        errors = {key: [self.wrong(item).args[0]] for key, item in value.items() if not self._fits(item)}
        good = {key: item for key, item in value.items() if key not in errors}
        if errors:
            raise ValidationError(errors, valid_data=good)
        return good

    def _fits(self, item: Any) -> bool:
        if isinstance(item, bool):
            return bool in self.values
        if isinstance(item, int | float):
            return float in self.values and _finite(item)
        return isinstance(item, str) and str in self.values and len(item) <= TEXT_LIMIT


class Group(_Told, fields.Nested):
    """An object with a schema of its own. `whole`: with one fault in it nothing of it is of use."""

    shape = told("an object")
    whole = False

    def _deserialize(self, value: Any, *args: Any, **kwargs: Any) -> Any:
        try:
            loaded = super()._deserialize(value, *args, **kwargs)
        except ValidationError as error:
            raise ValidationError(error.messages, valid_data=None if self.whole else error.valid_data) from None
        return self.settle(loaded, value)

    def settle(self, loaded: Any, _written: Any) -> Any:
        """What is made of the loaded object; `_written` is what came. Raises ValidationError."""
        return loaded


def _finite(value: int | float) -> bool:
    try:
        return math.isfinite(value)
    except OverflowError:  # a whole number beyond every float
        return False
