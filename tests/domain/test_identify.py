"""Which engine is it: candidates from what the case says, and the build date with its origin."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from riskapi.domain.case import Case, Engine
from riskapi.domain.identify import EngineIdentity, identify
from riskapi.domain.knowledge import Traits
from riskapi.errors import CaseError
from tests.simulator import tiny, tiny_cases

PACK = tiny.pack()  # 'first' is built until the end of 2013, 'second' from 2014 on; registered 0.3 years later


def case(engine: Engine | None = None, **vehicle: Any) -> Case:
    plain = tiny_cases.plain_case()
    fields = {"first_registered": None, "build_date": None} | vehicle
    return replace(plain, vehicle=replace(plain.vehicle, engine=engine or plain.vehicle.engine, **fields))


def weights(identity: EngineIdentity) -> dict[str | None, float]:
    return {c.revision.id if c.revision else None: c.weight for c in identity.candidates}


def test_a_build_date_settles_the_revision() -> None:
    found = identify(case(build_date=date(2012, 6, 1)), PACK)
    assert weights(found) == {"first": 1.0}
    assert (found.built, found.how, found.assumed) == (date(2012, 6, 1), "from build date", ())


def test_a_registration_soon_after_the_change_leaves_both_revisions() -> None:
    """The time from build to registration is exponential with the pack's mean: exp(-t / lag)."""
    found = identify(case(first_registered=date(2014, 4, 1)), PACK)
    assert set(weights(found)) == {"first", "second"}
    assert sum(weights(found).values()) == pytest.approx(1.0)
    assert weights(found)["first"] == pytest.approx(2.718281828 ** (-(91 / 365.25) / 0.3), abs=0.01)
    assert "before first registration" in found.assumed[0]


def test_nothing_known_weighs_revisions_by_how_long_they_were_built() -> None:
    found = weights(identify(case(), PACK))
    spans = {
        "first": (date(2013, 12, 31) - date(2010, 1, 1)).days,
        "second": (date(2024, 6, 1) - date(2014, 1, 1)).days,
    }
    assert found["first"] / found["second"] == pytest.approx(spans["first"] / spans["second"])


def test_a_stated_revision_is_taken() -> None:
    found = identify(case(Engine("tiny", "second", None, Traits())), PACK)
    assert weights(found) == {"second": 1.0}
    assert found.how == "revision as stated"


def test_an_engine_code_narrows_the_revisions() -> None:
    family = PACK.family("tiny")
    coded = replace(family, revisions=(replace(family.revisions[0], codes=("TARN1",)), family.revisions[1]))
    found = identify(case(Engine("tiny", None, "TARN1", Traits())), replace(PACK, families=(coded,)))
    assert weights(found) == {"first": 1.0}
    assert found.how == "from engine code"


def test_what_fits_no_revision_is_refused_with_the_spans() -> None:
    with pytest.raises(CaseError) as caught:
        identify(case(build_date=date(1999, 1, 1)), PACK)
    (fault,) = caught.value.faults
    assert fault.place == "/vehicle/build_date"
    assert "first 2010-01-01 to 2013-12-31" in fault.mend


def test_stated_traits_lie_over_those_of_the_revision() -> None:
    stated = Engine("tiny", "first", None, Traits((("interference", "no"),)))
    (candidate,) = identify(case(stated), PACK).candidates
    assert candidate.traits.get("interference") == "no"
    assert candidate.traits.get("induction") == "turbocharged"


def test_an_engine_by_traits_alone_is_no_family_of_the_pack() -> None:
    found = identify(case(Engine(None, None, None, Traits((("fuel", "petrol"),)))), PACK)
    assert weights(found) == {None: 1.0}
    assert found.family is None
    assert "no family of the pack" in found.how


def test_without_any_date_a_generic_engine_is_as_old_as_its_odometer_says() -> None:
    found = identify(case(Engine(None, None, None, Traits()), odometer_km=60_000.0), PACK)
    assert (date(2024, 6, 1) - found.built).days == pytest.approx(4.0 * 365.25, abs=1)
    assert "60,000" not in found.assumed[0]
    assert "15,000 km a year" in found.assumed[0]
