"""Everything that was assumed is told with its source."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from riskapi.domain.assumptions import SIMPLIFICATIONS, assumptions_of
from riskapi.domain.case import Case, Engine, Market, Ownership
from riskapi.domain.identify import identify
from riskapi.domain.knowledge import Pack, PlannedService, ServiceInterval, Traits
from riskapi.domain.lanes import lane_set
from riskapi.domain.terms import terms_of
from tests.simulator import tiny, tiny_cases

PACK, PLAIN = tiny.pack(), tiny_cases.plain_case()


def told(case: Case, pack: Pack = PACK) -> str:
    identity, terms = identify(case, pack), terms_of(case, pack)
    lanes = lane_set(case, pack, identity, terms.annual, terms.years)
    return "\n".join(a.text for a in assumptions_of(case, pack, identity, lanes, terms))


def test_what_the_case_states_is_no_assumption() -> None:
    text = told(PLAIN)
    for words in ("Ownership taken", "Distance taken", "Labour taken", "Tax taken", "Parts price class"):
        assert words not in text


def test_every_default_is_told() -> None:
    """The model: every default is stated with its source among the assumptions."""
    silent = Market(None, None, None, None, None, None)
    vehicle = replace(PLAIN.vehicle, installation=None, parts_class=None)
    text = told(replace(PLAIN, ownership=Ownership(None, None, None), market=silent, vehicle=vehicle))
    for words in (
        "Ownership taken as 3 years",
        "Distance taken as 15,000 km a year",
        "Labour taken at 95 EUR an hour",
        "Tax taken as 20 %",
        "Parts at the prices of the knowledge pack",
        "mean of transverse and longitudinal",
        "Parts price class taken as mid",
        "No price stated",
        "Software tune unknown: 6 of 100 cars",
    ):
        assert words in text


def test_every_assumption_has_a_source() -> None:
    identity, terms = identify(PLAIN, PACK), terms_of(PLAIN, PACK)
    lanes = lane_set(PLAIN, PACK, identity, terms.annual, terms.years)
    assert all(a.source for a in assumptions_of(PLAIN, PACK, identity, lanes, terms))


def test_an_asking_price_stands_in_for_the_value() -> None:
    asked = replace(PLAIN, market=replace(PLAIN.market, sound_value=None, asking_price=5_000.0))
    assert "capped by the asking price less scrap" in told(asked)


def test_what_was_made_of_the_history_is_told() -> None:
    history = (
        tiny_cases.entry(date(2020, 1, 1), "renewed", item="turbo", evidence="told"),
        tiny_cases.entry(date(2021, 1, 1), "failed", item="seal"),
        tiny_cases.entry(date(2021, 2, 1), "failed", item="coil", evidence="told"),
        tiny_cases.entry(date(2022, 1, 1), "checked", item="listen", result="r1"),
        tiny_cases.entry(date(2022, 1, 1), "checked", item="smooth", result="r0"),
        tiny_cases.entry(date(2016, 1, 1), "renewed", item="chain"),
    )
    text = told(replace(PLAIN, history=history))
    assert "without papers (point): taken to have happened with 35 in 100" in text
    (seal,) = (line for line in text.splitlines() if "2021-01-01" in line)
    assert seal.startswith(
        "A failure recorded on 2021-01-01 (point): the part then in the car had failed shortly before"
    )
    assert "One of several" not in seal
    (coil,) = (line for line in text.splitlines() if "2021-02-01" in line)
    assert "One of several" in coil
    assert coil.endswith("Without papers: taken to have happened with 35 in 100.")
    assert "is kept on record but moves no number" not in text  # both looks count
    assert "2016-01-01" not in text  # a renewal with papers needs no assumption


def test_it_says_whose_oil_interval_the_history_is_held_against() -> None:
    words = "Oil services count as in time up to 30 % beyond"
    general = f"{words} 15,000 km or 1 year, careful practice for engines in general."
    assert general in told(PLAIN)
    assert general in told(replace(PLAIN, vehicle=replace(PLAIN.vehicle, engine=Engine(None, None, None, Traits()))))
    careful = ServiceInterval(10_000.0, 1.5, "test")
    oil = PlannedService("oil", "Oil service", "oil", 20_000.0, 2.0, "test", careful, True)
    family = replace(PACK.family("tiny"), services=(oil,))
    text = told(PLAIN, replace(PACK, families=(family,)))
    assert (
        f"{words} 10,000 km or 1.5 years, careful practice for the Tiny; its maker asks for 20,000 km or 2 years."
        in text
    )
    by_age = replace(family, services=(replace(oil, distance_km=None),))
    assert "its maker asks for 2 years." in told(PLAIN, replace(PACK, families=(by_age,)))


def test_unstated_traits_that_decide_something_are_named() -> None:
    generic = replace(PLAIN, vehicle=replace(PLAIN.vehicle, engine=Engine(None, None, None, Traits())))
    assert "averaged over how common each is: induction, interference." in told(generic)
    assert "averaged over how common" not in told(PLAIN)


def test_the_known_simplifications_close_the_list() -> None:
    """The model: stated in every report's assumptions."""
    assert told(PLAIN).endswith("\n".join(SIMPLIFICATIONS))
