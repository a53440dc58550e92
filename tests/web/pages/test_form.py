"""From the query of the first page to a case."""

from __future__ import annotations

from datetime import date

import pytest

from riskapi.catalogue.load import load_pack
from riskapi.intake import canonical, read_case
from riskapi.web.pages.form import amount, asked_from, case_of, field_of, number, without_json

PACK = load_pack(None)
TODAY = date(2026, 4, 8)


def test_a_family_with_miles_and_prices() -> None:
    query = {
        "how": "family", "family": "lapwing", "odometer": "75 000", "distance": "mi", "registered": "2016-05-19",
        "asking": "8200", "sound": "8.000,5".replace(".", ""), "years": "4", "yearly": "8000", "equipment": "none",
        "reference": " ",
    }  # fmt: skip
    case = read_case(canonical(case_of(asked_from(query), PACK, TODAY)), PACK)
    assert case.vehicle.odometer_km == pytest.approx(75_000 * 1.609344)
    assert case.ownership.annual_distance_km == pytest.approx(8_000 * 1.609344)
    assert (case.market.asking_price, case.market.sound_value) == (8200.0, 8000.5)
    assert case.as_of == TODAY
    assert case.reference is None


def test_an_engine_described_by_its_features() -> None:
    query = {"how": "traits", "family": "lapwing", "trait.fuel": "petrol", "trait.cylinders": "4", "odometer": "1000"}
    made = case_of(asked_from(query), PACK, TODAY)
    assert made["vehicle"]["engine"] == {"traits": {"fuel": "petrol", "cylinders": 4.0}}
    read_case(canonical(made), PACK)


def test_consent_in_writing_includes_what_is_asked_for() -> None:
    made = case_of(asked_from({"family": "lapwing", "odometer": "1", "consent": "written"}), PACK, TODAY)
    assert made["visit"]["consents"] == ["ask", "written"]


@pytest.mark.parametrize(
    ("text", "value"),
    [("75000", 75000.0), ("75 000", 75000.0), ("7,5", 7.5), ("7.5", 7.5), ("many", "many"), ("1,2,3", "1,2,3")],
)
def test_numbers_as_people_write_them(text: str, value: object) -> None:
    assert number(text) == value


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("98.800", 98800.0), ("98,800", 98800.0), ("98 800", 98800.0), ("1.250.000", 1250000.0), ("98'800", 98800.0),
        ("98.8", 98.8), ("98,80", 98.8), ("0.5", 0.5), ("1.2.3", "1.2.3"), ("many", "many"),
    ],
)  # fmt: skip
def test_distances_and_amounts_with_thousands_of_either_language(text: str, value: object) -> None:
    assert amount(text) == value


def test_the_first_registration_as_it_is_typed() -> None:
    assert asked_from({"registered": "0512"}).get("registered") == "2012-05-15"
    assert asked_from({"registered": "2012-05-19"}).get("registered") == "2012-05-19"
    assert asked_from({"registered": "2012"}).get("registered") == "2012"


def test_a_tier_or_unit_that_there_is_not_is_the_usual_one() -> None:
    asked = asked_from({"tier": "all", "distance": "li"})
    assert (asked.tier, asked.unit("distance"), asked.unit("pressure")) == ("forty_five_minutes", "km", "bar")


def test_the_field_of_a_fault() -> None:
    assert field_of("/vehicle/odometer/value") == "odometer"
    assert field_of("/market/asking_price") == "asking"
    assert field_of("/findings/0/check") == ""


@pytest.mark.parametrize(
    ("mend", "told"),
    [
        ('Mend "first_registered" or "as_of".', ""),
        ('Add "family", or at least "traits": {"fuel": "petrol", "cylinders": 4}.', ""),
        ('Write {"value": 5, "unit": "km"}.', ""),
        ('Did you mean "lapwing"?', 'Did you mean "lapwing"?'),
        ("Check the number and its unit.", "Check the number and its unit."),
    ],
)
def test_how_json_is_written_is_told_to_nobody_who_fills_in_a_form(mend: str, told: str) -> None:
    assert without_json(mend) == told
