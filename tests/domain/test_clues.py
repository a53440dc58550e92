"""What VIN, model year and serial number say about the engine, on the tiny pack ('first' until the end of 2013)."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from riskapi.domain.case import Case, Engine
from riskapi.domain.clues import identity_facts, model_year_window
from riskapi.domain.identify import EngineIdentity, identify
from riskapi.domain.knowledge import Pack, SerialRange, Traits
from riskapi.domain.vin import check_digit, clues_of
from riskapi.errors import CaseError
from tests.simulator import tiny, tiny_cases

PACK = tiny.pack()
READ = {"papers": "vin", "body": "body", "control_unit": "control_unit"}
GENERIC = Engine(None, None, None, Traits())


def vin(code: str, cycle: str = "D", serial: str = "1000042") -> str:
    """A number without a maker's prefix whose check digit fits."""
    blank = f"ZZ9111{cycle}10{code}{serial}"
    return blank[:8] + check_digit(blank) + blank[9:]


def case(engine: Engine | None = None, **vehicle: Any) -> Case:
    plain = tiny_cases.plain_case()
    read = {place: vehicle.pop(name) for place, name in READ.items() if name in vehicle}
    vehicle |= {"vins": clues_of(read)} if read else {}
    fields = {"first_registered": None, "build_date": None, "vin_market": "us"} | vehicle
    return replace(plain, vehicle=replace(plain.vehicle, engine=engine or plain.vehicle.engine, **fields))


def weights(identity: EngineIdentity) -> dict[str | None, float]:
    return {c.revision.id if c.revision else None: c.weight for c in identity.candidates}


def numbered() -> Pack:
    """The tiny pack with serial numbers: 'first' 000000 to 0999, 'second' from 1000 on."""
    family = PACK.family("tiny")
    first, second = family.revisions
    revisions = (
        replace(first, serials=SerialRange("000000", "000999")),
        replace(second, serials=SerialRange("001000", "999999")),
    )
    return replace(PACK, families=(replace(family, revisions=revisions),))


# ---- model year ------------------------------------------------------------------------------------------------


def test_the_model_year_weighs_revisions_by_the_days_they_share_with_it() -> None:
    """Model year 2014 is built in 2013 and 2014; a build date outside them weighs a hundredth.

    first: 1460 days, 364 of them in 2013; second: 3804 days up to the assessment, 364 of them in 2014.
    """
    found = weights(identify(case(vin=vin("E")), PACK))
    first, second = 364 + 0.01 * (1460 - 364), 364 + 0.01 * (3804 - 364)
    assert found == pytest.approx({"first": first / (first + second), "second": second / (first + second)})


def test_a_model_year_that_only_one_revision_shares_makes_it_likely_but_not_certain() -> None:
    found = identify(case(vin=vin("C")), PACK)
    assert 0.9 < weights(found)["first"] < 1.0
    assert found.how == "from model year in the VIN"
    assert found.built == date(2011, 1, 1) + (date(2012, 12, 31) - date(2011, 1, 1)) / 2
    assert "what the revision's span and the VIN's model year share" in found.assumed[0]


def test_where_the_market_does_not_use_it_the_model_year_is_no_clue() -> None:
    other = case(vin=vin("C"), vin_market="other")
    assert weights(identify(other, PACK)) == weights(identify(case(), PACK))
    assert model_year_window(other) is None
    assert identify(other, PACK).how == "family as stated; nothing narrows the revision"


def test_vins_that_disagree_give_no_model_year() -> None:
    assert model_year_window(case(vin=vin("C"), body=vin("E"))) is None
    assert model_year_window(case(body=vin("E"))) == (date(2013, 1, 1), date(2014, 12, 31))


def test_a_build_date_settles_more_than_the_model_year() -> None:
    found = identify(case(vin=vin("E"), build_date=date(2012, 6, 1)), PACK)
    assert weights(found) == {"first": 1.0}
    assert found.how == "from build date"
    assert found.facts == ("The VIN's model year 2014 and the build date 2012-06-01 do not go together; ask.",)


def test_first_registration_and_model_year_work_together() -> None:
    """Registered soon after the change, both revisions are possible; model year 2013 is 'first' but for 2010 and 2011.

    The time from build to registration is exponential with mean 0.3 years: exp(-days / 109.575).
    """
    registered = date(2014, 2, 1)
    without = weights(identify(case(first_registered=registered), PACK))
    found = identify(case(first_registered=registered, vin=vin("D")), PACK)
    since, window, until = (math.exp(-days / 109.575) for days in (1492, 762, 32))
    share = 1.0 - 0.99 * (window - since) / (until - since)
    odds = without["first"] / without["second"]
    assert weights(found)["first"] / weights(found)["second"] == pytest.approx(odds * share / 0.01)
    assert found.how == "from first registration and model year in the VIN"


def test_a_generic_engine_is_as_old_as_its_model_year() -> None:
    found = identify(case(GENERIC, vin=vin("B")), PACK)
    assert found.built == date(2010, 12, 31) + (date(2011, 1, 1) - date(2010, 12, 31)) / 2
    assert "the middle of the VIN's model year" in found.assumed[0]


# ---- serial number ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("serial", "revision"), [("0", "first"), ("999", "first"), ("0001000", "second"), ("999999", "second")]
)
def test_a_serial_number_is_compared_padded_with_zeros(serial: str, revision: str) -> None:
    found = identify(case(serial_number=serial), numbered())
    assert weights(found) == {revision: 1.0}
    assert found.how == "from serial number"


def test_a_serial_number_tells_nothing_where_the_family_states_none() -> None:
    found = identify(case(serial_number="77"), PACK)
    assert weights(found) == weights(identify(case(), PACK))
    assert found.how == "family as stated; nothing narrows the revision"


@pytest.mark.parametrize("more", [{}, {"build_date": date(2012, 6, 1)}])
def test_a_serial_number_that_fits_nothing_is_refused_at_its_place(more: dict[str, Any]) -> None:
    serial = "1000" if more else "1000000"
    with pytest.raises(CaseError) as caught:
        identify(case(serial_number=serial, **more), numbered())
    (fault,) = caught.value.faults
    assert fault.place == "/vehicle/serial_number"
    assert "first 000000 to 000999, second 001000 to 999999" in fault.mend


def test_dates_that_fit_nothing_are_not_blamed_on_the_serial_number() -> None:
    with pytest.raises(CaseError) as caught:
        identify(case(serial_number="5", build_date=date(1999, 1, 1)), numbered())
    assert caught.value.faults[0].place == "/vehicle/build_date"


def test_a_stated_revision_is_kept_and_its_serial_number_asked_about() -> None:
    found = identify(case(Engine("tiny", "first", None, Traits()), serial_number="5000"), numbered())
    assert weights(found) == {"first": 1.0}
    assert found.facts == ("The engine's serial number is outside those of first: another engine may be fitted; ask.",)


def test_how_names_every_clue() -> None:
    family = numbered().family("tiny")
    coded = tuple(replace(revision, codes=("TARN1",)) for revision in family.revisions)
    pack = replace(PACK, families=(replace(family, revisions=coded),))
    engine = Engine("tiny", None, "TARN1", Traits())
    stated = case(engine, serial_number="5", first_registered=date(2013, 1, 1), vin=vin("C"))
    assert identify(stated, pack).how == "from engine code, serial number, first registration and model year in the VIN"


# ---- facts -----------------------------------------------------------------------------------------------------


def facts(**vehicle: Any) -> tuple[str, ...]:
    return identity_facts(case(**vehicle), PACK.family("tiny"), None)


def test_places_that_disagree_are_a_fact_that_shows_nothing_of_them() -> None:
    papers, other = vin("C"), vin("C", serial="1000077")
    told = facts(vin=papers, body=papers, control_unit=other, vin_market="other")
    assert told == (
        "The VIN in the papers and the one in the control unit differ; ask.",
        "The VIN on the body and the one in the control unit differ; ask.",
    )


def test_places_that_agree_are_no_fact() -> None:
    papers = vin("C")
    assert facts(vin=papers, body=papers, control_unit=papers) == ()


def test_a_check_digit_that_does_not_fit_is_asked_about_only_where_the_market_uses_it() -> None:
    good = vin("C")
    bad = good[:8] + ("0" if good[8] != "0" else "1") + good[9:]
    places = "in the papers and on the body"
    told = f"The check digit of the VIN {places} does not fit the rest: read it again, or ask."
    assert facts(vin=bad, body=bad) == (told,)
    assert facts(vin=bad, vin_market="other") == ()


def test_model_years_that_cannot_be_are_asked_about() -> None:
    assert facts(vin=vin("Z")) == ("Position 10 of the VIN is no code of a model year: read it again, or ask.",)
    to_come = "The VIN's model year 2039 is still to come: read positions 7 and 10 again, or ask."
    assert facts(vin=vin("9")) == (to_come,)
    assert facts(vin=vin("E"), first_registered=date(2012, 3, 1))[0] == (
        "The VIN's model year 2014 is later than the first registration 2012-03-01; ask."
    )


def test_a_model_year_without_any_build_of_the_family_is_asked_about() -> None:
    assert facts(vin=vin("8", cycle="1")) == ("No Tiny was built for the VIN's model year 2008; ask.",)
    assert identity_facts(case(vin=vin("8", cycle="1")), None, None) == ()
