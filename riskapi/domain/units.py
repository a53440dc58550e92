"""Units of measure: one table, and exact conversion between units of the same dimension.

A unit belongs to one dimension; conversion between dimensions is refused. Two pairs look alike and are kept
apart on purpose: `age` (years, months, days) is calendar time while `time` (h, min, s) is work or seconds on a
watch; `temperature` (degC, degF) is a reading while `temperature_difference` (K) is a distance between two.
Shares are written in % and computed as 0..1 (unit "1"). Any three capital letters are money (the shape of
ISO 4217 codes), with "/h" a rate of money; currencies are never converted into each other.

Factors: mile, inch, pound-force per square inch and US liquid quart are exact by definition (NIST SP 811,
appendix B); a year is 365.25 days (Julian year) and 12 months.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from riskapi.domain.sentence import Listed, Sentence, Written, told


class UnitError(ValueError):
    """A quantity that cannot be read or converted; `mend` says how to write it."""

    def __init__(self, message: Sentence, mend: Sentence) -> None:
        super().__init__(message)
        self.message, self.mend = message, mend


@dataclass(frozen=True, slots=True)
class Unit:
    """canonical value = (value + shift) * factor."""

    dimension: str
    factor: Fraction
    shift: Fraction = Fraction(0)


def _dimension(dimension: str, **factors: str) -> dict[str, Unit]:
    return {name: Unit(dimension, Fraction(factor)) for name, factor in factors.items()}


_MILE = Fraction("1.609344")  # [km]
_QUART = Fraction("0.946352946")  # [L], US liquid
_PSI = Fraction("0.45359237") * Fraction("9.80665") / Fraction("0.00064516") / 100_000  # [bar]

# The first unit of each dimension is its canonical one (factor 1).
UNITS: dict[str, Unit] = {
    **_dimension("distance", km="1", mi=str(_MILE), m="1/1000"),
    **_dimension("age", years="1", year="1", months="1/12", month="1/12", days="4/1461", day="4/1461"),
    **_dimension("time", h="1", min="1/60", s="1/3600"),
    **_dimension("share", **{"1": "1", "%": "1/100"}),
    **_dimension("factor", x="1"),
    **_dimension("count", count="1"),
    **_dimension("pressure", bar="1", kPa="1/100", mbar="1/1000", psi=str(_PSI)),
    "degC": Unit("temperature", Fraction(1)),
    "degF": Unit("temperature", Fraction(5, 9), Fraction(-32)),
    **_dimension("temperature_difference", K="1"),
    **_dimension("angle", deg="1"),
    **_dimension("length", **{"mm": "1", "in": "254/10"}),
    **_dimension("volume", L="1", mL="1/1000", quart=str(_QUART)),
    **_dimension("oil_use", **{"L/1000km": "1", "qt/1000mi": str(_QUART / _MILE)}),
    **_dimension("rotation", rpm="1"),
    **_dimension("mass_flow", **{"g/s": "1", "kg/h": "10/36"}),
    **_dimension("voltage", V="1", mV="1/1000"),
    **_dimension("current", A="1", mA="1/1000"),
    **_dimension("resistance", ohm="1", kohm="1000"),
    **_dimension("mass", mg="1", g="1000"),
    **_dimension("content", **{"mg/kg": "1", "ppm": "1"}),
}
CANONICAL: dict[str, str] = {}
for _name, _unit in UNITS.items():
    CANONICAL.setdefault(_unit.dimension, _name)

DIMENSIONS = {
    "distance": told("distance"),
    "age": told("age"),
    "time": told("time"),
    "share": told("share"),
    "factor": told("factor"),
    "count": told("count"),
    "pressure": told("pressure"),
    "temperature": told("temperature"),
    "temperature_difference": told("temperature difference"),
    "angle": told("angle"),
    "length": told("length"),
    "volume": told("volume"),
    "oil_use": told("oil use"),
    "rotation": told("rotation"),
    "mass_flow": told("mass flow"),
    "voltage": told("voltage"),
    "current": told("current"),
    "resistance": told("resistance"),
    "mass": told("mass"),
    "content": told("content"),
    "money": told("money"),
    "money_rate": told("money rate"),
}
"""What a dimension is called."""

_WORDS = {
    "years": told("years"),
    "year": told("year"),
    "months": told("months"),
    "month": told("month"),
    "days": told("days"),
    "day": told("day"),
    "quart": told("quart"),
}

_MONEY = re.compile(r"[A-Z]{3}(/h)?")
_QUANTITY = re.compile(r"([+-]?\d+(?:\.\d+)?(?:[eE][+-]?\d+)?) ?([A-Za-z%][A-Za-z0-9/%]*)")


def parse_quantity(text: str) -> tuple[float, str]:
    """(value, unit) of a quantity such as '140000 km', '8.5 %' or '95 EUR/h'. Raises UnitError.

    Digits with a decimal point only: no thousands separators, no decimal comma, no NaN or infinity.
    """
    match = _QUANTITY.fullmatch(text.strip())
    if match is None:
        raise UnitError(
            told("{text} is not a number with a unit.", text=Written(repr(text))),
            told("Write digits, a space and a unit, such as 140000 km or 2.5 h, without thousands separators."),
        )
    dimension_of(match[2])
    return _finite(float(match[1])), match[2]


def dimension_of(unit: str) -> str:
    """The dimension of a unit; 'money' and 'money_rate' for EUR and EUR/h. Raises UnitError if unknown."""
    if unit in UNITS:
        return UNITS[unit].dimension
    money = _MONEY.fullmatch(unit)
    if money is None:
        known = tuple(map(Written, (*_writable(), "EUR", "EUR/h")))
        message = told("{unit} is no unit known here.", unit=Written(repr(unit)))
        raise UnitError(message, told("Known units: {known}.", known=known))
    return "money_rate" if money[1] else "money"


def units_of(dimension: str) -> tuple[str, ...]:
    """The units that may be written for a dimension, canonical first; examples for money."""
    if dimension in ("money", "money_rate"):
        return ("EUR",) if dimension == "money" else ("EUR/h",)
    return tuple(name for name in _writable() if UNITS[name].dimension == dimension)


def unit_word(unit: str) -> Sentence | Written:
    """A unit as it is told: those that are words have others in each language."""
    return _WORDS.get(unit, Written(unit))


def convert(value: float, unit: str, target: str) -> float:
    """`value` [unit] in [target]; unchanged when both are the same. Raises UnitError."""
    here, there = dimension_of(unit), dimension_of(target)
    number = _finite(value)
    if here != there:
        words = DIMENSIONS[here], DIMENSIONS[there]
        message = told("{unit} measures {here}, not {there}.", unit=Written(repr(unit)), here=words[0], there=words[1])
        raise UnitError(message, told("Write it in {unit}.", unit=Listed(tuple(map(Written, units_of(there))))))
    if unit == target:
        return number
    if unit not in UNITS:
        own, other = Written(repr(target)), Written(repr(unit))
        message = told("{other} is another currency than {own}.", other=other, own=own)
        raise UnitError(message, told("Write it in {unit}.", unit=Written(target)))
    return _scaled(number, unit, target)


def to_canonical(value: float, unit: str, dimension: str) -> float:
    """`value` [unit] in the canonical unit of `dimension` (a key of CANONICAL). Raises UnitError."""
    return convert(value, unit, CANONICAL[dimension])


def _scaled(number: float, unit: str, target: str) -> float:
    # One multiplication and one division by whole numbers, so that 35 % is 0.35 and not 0.35000000000000003.
    times, over = _ratio(unit, target)
    before, after = UNITS[unit].shift, UNITS[target].shift
    scaled = (number + float(before)) * times / over
    return _finite(scaled - float(after))


@cache
def _ratio(unit: str, target: str) -> tuple[int, int]:
    factor = UNITS[unit].factor / UNITS[target].factor
    return factor.numerator, factor.denominator


def _finite(value: float) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        message = told("{value} is not a finite number.", value=Written(repr(value)))
        raise UnitError(message, told("Give a plain number."))
    return float(value)


def _writable() -> list[str]:
    return [name for name in UNITS if name != "1"]
