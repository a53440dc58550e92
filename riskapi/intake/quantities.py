"""Quantities: {"value": 138000, "unit": "km"}. A bare number is refused, since nobody could know its unit."""

from __future__ import annotations

import json
import math
from dataclasses import dataclass
from typing import Any

from marshmallow import ValidationError

from riskapi.domain.sentence import Sentence, Written, told
from riskapi.domain.units import UnitError, convert, unit_word, units_of
from riskapi.intake.base import RequestSchema
from riskapi.intake.fields import Choice, Group, Number, Pattern
from riskapi.intake.words import Wrong, shown

CURRENCY = "[A-Z]{3}"
CURRENCY_SHAPE = told("a currency code of three capital letters (ISO 4217)")


@dataclass(frozen=True, slots=True)
class Money:
    """An amount, or an amount per hour, with the currency it was stated in."""

    value: float
    currency: str


class QuantitySchema(RequestSchema):
    """A number with its unit."""

    example: Any = None

    def not_an_object(self, data: Any) -> Wrong:
        bare = isinstance(data, int | float) and not isinstance(data, bool) and math.isfinite(data)
        example = {**self.example, "value": data} if bare else self.example
        no_unit = told("{value} has no unit.", value=shown(data))
        message = no_unit if bare else told("{value} is not a number with a unit.", value=shown(data))
        return Wrong(message, told("Write {example}.", example=Written(json.dumps(example))))


def _number() -> Number:
    return Number(required=True, metadata={"description": "The number, in `unit`."})


def _schema(name: str, example: Any, unit: Choice | Pattern) -> type[QuantitySchema]:
    schema: type[QuantitySchema] = type(
        name + "Schema", (QuantitySchema,), {"value": _number(), "unit": unit, "example": example, "__doc__": name}
    )
    return schema


def _measured_in(name: str, example: Any, dimension: str) -> type[QuantitySchema]:
    units = units_of(dimension)
    metadata = {"description": "Unit, converted on reading.", "examples": [example["unit"]]}
    return _schema(name, example, Choice(choices=units, required=True, metadata=metadata))


def _money(name: str, example: Any, tail: str, shape: Sentence) -> type[QuantitySchema]:
    metadata = {"description": str(shape), "examples": [example["unit"]]}
    return _schema(name, example, Pattern(pattern=CURRENCY + tail, shape=shape, required=True, metadata=metadata))


DistanceSchema = _measured_in("Distance", {"value": 138000, "unit": "km"}, "distance")
YearsSchema = _measured_in("Years", {"value": 3, "unit": "years"}, "age")
WorkTimeSchema = _measured_in("WorkTime", {"value": 60, "unit": "min"}, "time")
ShareSchema = _measured_in("Share", {"value": 20, "unit": "%"}, "share")
FactorSchema = _measured_in("Factor", {"value": 1.1, "unit": "x"}, "factor")
MoneySchema = _money("Money", {"value": 6500, "unit": "EUR"}, "", CURRENCY_SHAPE)
HourlyRateSchema = _money(
    "HourlyRate",
    {"value": 95, "unit": "EUR/h"},
    "/h",
    told('a currency code of three capital letters (ISO 4217) and "/h"'),
)


class Quantity(Group):
    """A quantity, loaded as a number in the unit `target`; low and high are in it too."""

    whole = True

    def __init__(
        self, schema: type[QuantitySchema], target: str, *, low: float = 0.0, high: float, **kwargs: Any
    ) -> None:
        super().__init__(schema, **kwargs)
        self.target, self.low, self.high = target, low, high
        self.shape = told("a number with a unit")
        self.metadata = {"examples": [schema.example], **self.metadata}
        if "description" in self.metadata:
            self.metadata["description"] += f" From {self.limits()}."

    def limits(self) -> Sentence:
        """The allowed span in words, shares in %."""
        scale, unit = (100, "%") if self.target == "1" else (1, self.target)
        low, high = self.low * scale, self.high * scale
        if not unit:
            return told("{low:,g} to {high:,.0f}", low=low, high=high)
        return told("{low:,g} to {high:,.0f} {unit}", low=low, high=high, unit=unit_word(unit))

    def settle(self, loaded: Any, written: Any) -> Any:
        try:
            number = convert(loaded["value"], loaded["unit"], self.target)
        except UnitError as error:
            raise ValidationError(Wrong(error.message, error.mend)) from None
        return self.within(number, written)

    def within(self, number: float, written: Any) -> float:
        """The number. Raises ValidationError outside low..high."""
        if self.low <= number <= self.high:
            return number
        message = told(
            "{value} {unit} is outside {limits}.",
            value=shown(written["value"]), unit=unit_word(written["unit"]), limits=self.limits(),
        )  # fmt: skip
        raise ValidationError({"value": [Wrong(message, told("Check the number and its unit."))]})


class Amount(Quantity):
    """Money, or money per hour: loaded as Money; which currency is right is known only with the pack."""

    def __init__(self, schema: type[QuantitySchema], *, low: float = 0.0, high: float, **kwargs: Any) -> None:
        super().__init__(schema, "", low=low, high=high, **kwargs)

    def settle(self, loaded: Any, written: Any) -> Any:
        return Money(self.within(loaded["value"], written), loaded["unit"].removesuffix("/h"))
