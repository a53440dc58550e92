"""Units of measure against published conversions.

Reference values: NIST Special Publication 811 (2008 edition), appendix B: mile 1.609344 km (exact), inch 25.4 mm
(exact), pound-force per square inch 6.894757 kPa, liquid quart (US) 0.9463529 L, and the relation between degrees
Fahrenheit and Celsius (section B.8, footnotes). Values from memory of the document.
"""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from riskapi.domain.units import (
    CANONICAL,
    UNITS,
    UnitError,
    convert,
    dimension_of,
    parse_quantity,
    to_canonical,
    units_of,
)


@pytest.mark.parametrize(
    ("value", "unit", "target", "expected", "digits"),
    [
        (1.0, "mi", "km", 1.609344, 1e-15),
        (1.0, "in", "mm", 25.4, 1e-15),
        (1.0, "psi", "kPa", 6.894757, 1e-7),  # seven digits are published
        (1.0, "quart", "L", 0.9463529, 1e-7),
        (212.0, "degF", "degC", 100.0, 1e-12),
        (32.0, "degF", "degC", 0.0, 1e-12),
        (-40.0, "degC", "degF", -40.0, 1e-12),
        (1.0, "bar", "kPa", 100.0, 1e-15),
        (0.5, "h", "min", 30.0, 1e-15),
        (18.0, "months", "years", 1.5, 1e-15),
        (1461.0, "days", "years", 4.0, 1e-15),
        # litres per 1000 km from quarts per 1000 miles: 0.9463529 / 1.609344
        (1.0, "qt/1000mi", "L/1000km", 0.9463529 / 1.609344, 1e-7),
    ],
)
def test_reference_conversions(value: float, unit: str, target: str, expected: float, digits: float) -> None:
    assert convert(value, unit, target) == pytest.approx(expected, rel=digits, abs=1e-12)


@pytest.mark.parametrize("percent", range(101))
def test_a_share_is_the_nearest_number_to_its_decimal(percent: int) -> None:
    assert to_canonical(float(percent), "%", "share") == float(f"{percent}e-2")


@pytest.mark.parametrize("unit", UNITS)
def test_every_dimension_has_its_canonical_unit(unit: str) -> None:
    dimension = UNITS[unit].dimension
    assert dimension_of(CANONICAL[dimension]) == dimension
    assert to_canonical(3.25, CANONICAL[dimension], dimension) == 3.25
    assert unit == "1" or unit in units_of(dimension)


@given(st.sampled_from(sorted(UNITS)), st.floats(-1e9, 1e9))
def test_there_and_back(unit: str, value: float) -> None:
    canonical = CANONICAL[UNITS[unit].dimension]
    assert convert(convert(value, unit, canonical), canonical, unit) == pytest.approx(value, rel=1e-12, abs=1e-9)


@pytest.mark.parametrize(
    ("text", "quantity"),
    [
        ("140000 km", (140000.0, "km")),
        ("8.5 %", (8.5, "%")),
        ("8.5%", (8.5, "%")),
        ("-3 degC", (-3.0, "degC")),
        ("1e3 rpm", (1000.0, "rpm")),
        ("95 EUR/h", (95.0, "EUR/h")),
        ("0.5 L/1000km", (0.5, "L/1000km")),
        (" 2 x ", (2.0, "x")),
    ],
)
def test_quantities_are_read(text: str, quantity: tuple[float, str]) -> None:
    assert parse_quantity(text) == quantity


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("140,000 km", "is not a number with a unit"),
        ("140 000 km", "is not a number with a unit"),
        ("8,5 %", "is not a number with a unit"),
        ("140000", "is not a number with a unit"),
        ("0.35 1", "is not a number with a unit"),
        ("km", "is not a number with a unit"),
        ("", "is not a number with a unit"),
        (".5 h", "is not a number with a unit"),
        ("nan km", "is not a number with a unit"),
        ("inf km", "is not a number with a unit"),
        ("1e999 km", "is not a finite number"),
        ("5 parsec", "'parsec' is no unit known here"),
        ("5 eur", "'eur' is no unit known here"),
    ],
)
def test_what_is_no_quantity_is_refused(text: str, words: str) -> None:
    with pytest.raises(UnitError, match=words) as caught:
        parse_quantity(text)
    assert caught.value.mend


@given(st.text(max_size=20))
def test_any_text_is_read_or_refused(text: str) -> None:
    try:
        value, unit = parse_quantity(text)
    except UnitError:
        return
    assert math.isfinite(value)
    assert dimension_of(unit)


@pytest.mark.parametrize(
    ("unit", "target", "words"),
    [
        ("km", "years", "'km' measures distance, not age"),
        ("h", "years", "'h' measures time, not age"),
        ("K", "degC", "'K' measures temperature difference, not temperature"),
        ("x", "1", "'x' measures factor, not share"),
        ("EUR/h", "EUR", "'EUR/h' measures money rate, not money"),
        ("USD", "EUR", "'USD' is another currency than 'EUR'"),
    ],
)
def test_unlike_units_are_not_converted(unit: str, target: str, words: str) -> None:
    with pytest.raises(UnitError, match=words):
        convert(1.0, unit, target)


def test_money_keeps_its_value_in_its_own_currency() -> None:
    assert convert(240.0, "EUR", "EUR") == 240.0
    assert convert(95.0, "CHF/h", "CHF/h") == 95.0


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf, True])
def test_only_finite_numbers(value: float) -> None:
    with pytest.raises(UnitError, match="is not a finite number"):
        convert(value, "km", "km")
