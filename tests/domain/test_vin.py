"""VIN: structure, check digit and model year, against published figures (sources: tests/reference/data/SOURCES.md)."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from riskapi.domain.vin import (
    ALPHABET,
    check_digit,
    check_digit_fits,
    clues_of,
    flaws,
    model_year,
    model_years,
    tail,
    weighted_sum,
)
from tests.reference.data import table

CHECKS = table("vin_check")
YEARS = table("vin_model_year")
EQUAL_VALUES = ("AJ1", "BKS2", "CLT3", "DMU4", "ENV5", "FW6", "GPX7", "HY8", "RZ9")  # 49 CFR 565.15(c)
MADE = [row["vin"] for row in CHECKS if row["kind"] == "synthetic"]


def with_year(code: str, cycle: str) -> str:
    """A number with this code at position 10 and this character at position 7."""
    return f"ZZ9111{cycle}10{code}1000042"


# ---- check digit -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("row", CHECKS, ids=lambda row: row["vin"][-4:])
def test_check_digits_of_the_reference(row: dict[str, str]) -> None:
    """Source: 49 CFR 565.15(c); NHTSA, Outline for New Manufacturer (sum 314, 28 6/11); vininfo 1.11.0."""
    assert weighted_sum(row["vin"]) == int(row["weighted_sum"])
    assert check_digit(row["vin"]) == row["check_digit"]
    assert check_digit_fits(row["vin"])
    assert flaws(row["vin"]) == ()


def _value(character: str) -> int:
    """The value by the reference rows above, read off the groups of equal value."""
    return next((k for k, group in enumerate(EQUAL_VALUES, start=1) if character in group), 0)


@given(st.sampled_from(MADE), st.integers(0, 16).filter(lambda at: at != 8), st.sampled_from(sorted(ALPHABET)))
def test_one_exchanged_character_is_noticed_unless_it_has_the_same_value(vin: str, at: int, character: str) -> None:
    """Weights are prime to 11 and values lie 9 apart at most, so exactly the characters of equal value slip through."""
    changed = vin[:at] + character + vin[at + 1 :]
    assert check_digit_fits(changed) == (_value(character) == _value(vin[at]))


@given(st.sampled_from(MADE), st.sampled_from("0123456789X"))
def test_only_one_character_at_position_9_fits(vin: str, digit: str) -> None:
    assert check_digit_fits(vin[:8] + digit + vin[9:]) == (digit == vin[8])


# ---- structure -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("vin", "words"),
    [
        ("", "It has 0 characters, a VIN has 17."),
        ("ZZ9V19K28APUEUAF", "It has 16 characters, a VIN has 17."),
        ("ZZ9V19K28APUEUAF77", "It has 18 characters, a VIN has 17."),
        ("ZZ9V19K28APUEUAFO", "No VIN has the character at position 17."),
        ("IZ9V19K28QPUEUAF7", "No VIN has the character at position 1, 10."),
        ("zZ9V19K28APUEUAF7", "No VIN has the character at position 1."),
        ("ZZ9V19K28APUEUAF\u0664", "No VIN has the character at position 17."),
    ],
)
def test_what_is_no_vin_is_told_by_place(vin: str, words: str) -> None:
    assert flaws(vin) == (words,)


def test_a_long_text_is_not_told_position_by_position() -> None:
    assert flaws("#" * 4000) == (
        "It has 4000 characters, a VIN has 17.",
        "It has characters that no VIN has.",
    )


def test_only_the_last_four_characters_are_shown() -> None:
    assert tail("ZZ9V19K28APUEUAF7") == "UAF7"


def year_of(vin: str, first_registered: date | None = None) -> int | None:
    (clues,) = clues_of({"papers": vin})
    return model_year(clues, first_registered)


# ---- model year ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("row", YEARS, ids=lambda row: row["code"])
def test_position_7_tells_the_two_years_of_a_code_apart(row: dict[str, str]) -> None:
    """Source: 49 CFR 565.15(b) and (d): a letter at position 7 for the years from 2010, a digit for those before."""
    assert year_of(with_year(row["code"], "4")) == int(row["year_cycle1"])
    assert year_of(with_year(row["code"], "D")) == int(row["year_cycle2"])


@pytest.mark.parametrize("row", YEARS, ids=lambda row: row["code"])
def test_the_first_registration_leaves_out_years_to_come(row: dict[str, str]) -> None:
    """Position 7 binds cars and light trucks only, so a letter there does not move a car behind its registration."""
    registered = date(int(row["year_cycle1"]) + 1, 5, 1)
    assert model_years(with_year(row["code"], "D"), registered) == (int(row["year_cycle1"]),)


def test_a_model_year_may_begin_in_the_calendar_year_before() -> None:
    vin = with_year("C", "D")
    assert year_of(vin, date(2011, 8, 1)) == 2012
    assert year_of(vin, date(2010, 12, 31)) == 1982
    assert year_of(vin, date(1979, 1, 1)) is None


@pytest.mark.parametrize("code", ["0", "U", "Z"])
def test_characters_that_are_no_code_of_a_year(code: str) -> None:
    assert model_years(with_year(code, "D")) == ()
    assert year_of(with_year(code, "D")) is None


def test_clues_tell_different_numbers_apart_and_nothing_else_of_them() -> None:
    """Two cars of one model year whose check digits fit have the same clues."""
    one, other = MADE[0], MADE[1]
    told = clues_of({"control_unit": other, "papers": one, "body": one})
    assert [(clues.place, clues.number) for clues in told] == [("papers", 0), ("body", 0), ("control_unit", 1)]
    swapped = one[:-1] + ("1" if one[-1] != "1" else "2")
    refitted = swapped[:8] + check_digit(swapped) + swapped[9:]
    assert refitted != one
    assert clues_of({"papers": refitted}) == clues_of({"papers": one})
