"""Numbers as sentences."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from riskapi.domain.assessment import Evidence, Spread, StateChances
from riskapi.report import words
from riskapi.report.texts import say
from tests.report import builders


@pytest.mark.parametrize(
    ("decibans", "text"),
    [
        (0.0, "carries no weight here"),
        (0.99, "carries no weight here"),
        (1.0, "speaks a little for it"),
        (-2.9, "speaks a little against it"),
        (3.0, "clearly speaks for it"),
        (-7.0, "speaks strongly against it"),
        (12.9, "speaks strongly for it"),
        (13.0, "speaks very strongly for it"),
        (float("-inf"), "speaks very strongly against it"),
    ],
)
def test_weight_of_evidence_in_words(decibans: float, text: str) -> None:
    assert words.weight_words(decibans) == text


@given(st.floats(allow_nan=False))
def test_for_and_against_mirror_each_other(decibans: float) -> None:
    assert words.weight_words(-decibans).replace("against", "for") == words.weight_words(abs(decibans))


def test_the_score_is_said_in_cars() -> None:
    assert words.score_sentence(builders.assessment(), 3.0) == (
        "Of 100 cars like this about 38 need more than 1,200 EUR for surprise repairs of the engine in 3 years "
        "(25 to 52: a wide range)."
    )


@pytest.mark.parametrize(
    ("band", "text"),
    [((35.0, 41.0), "35 to 41: a narrow range"), ((30.0, 45.0), "30 to 45: a middling range")],
)
def test_a_narrow_band_is_better_known(band: tuple[float, float], text: str) -> None:
    given = builders.assessment()
    assert words.band_words(replace(given, risk=replace(given.risk, band=band))) == text


def test_doubt_that_was_not_computed_is_not_said_to_be_small() -> None:
    assert "not computed" in words.score_sentence(builders.nothing_seen(), 3.0)


def test_surprise_costs_in_words() -> None:
    spread = builders.assessment().cost.unplanned
    text = "No surprise 41 %, typical if any 900 EUR, 1 in 10 above 3,800 EUR; 1,350 EUR on average."
    assert words.surprise_sentence(spread, "EUR", 3.0) == text
    unknown = replace(spread, typical_if_any=None)
    assert words.surprise_sentence(unknown, "EUR", 3.0) == text.replace("typical if any 900 EUR, ", "")


def test_surprise_costs_of_a_car_without_any() -> None:
    assert words.surprise_sentence(Spread(0, 0, 0, 0, 0, 0, 1.0), "EUR", 2.0) == (
        "No surprise repair is expected in 2 years."
    )
    rare = words.surprise_sentence(Spread(80.0, 79.0, 0, 0, 0, 0, 0.95), "EUR", 2.0)
    assert rare.startswith("No surprise 95 %; 80 EUR on average")


def test_a_finding_that_others_already_tell_is_said_so() -> None:
    pack = builders.pack()
    alone = words.finding_sentence(Evidence("cold_start_sound", "long", 8.0, 7.5), pack)
    assert alone == "“Listen to the cold start: rattle over 2 s” speaks strongly for it."
    repeated = words.finding_sentence(Evidence("cold_start_sound", "long", 8.0, 0.6), pack)
    assert say("wp_repeat").strip() in repeated


def test_a_weak_point_without_warning_says_that_no_look_can_see_it() -> None:
    item = next(item for item in builders.assessment().weak_points if item.id == "ring_land")
    told = words.weak_point_sentences(item, builders.pack(), "EUR", 3.0)
    assert "No look can see this coming." in told
    assert "No finding bears on it." in told


def test_a_weak_point_in_words_has_numbers_findings_hazard_and_meaning() -> None:
    item = builders.assessment().weak_points[0]
    told = " ".join(words.weak_point_sentences(item, builders.pack(), "EUR", 3.0))
    assert "worn in about 40 and failed in about 22 today (either, before the findings: about 21)" in told
    assert "fails in about 55 within 3 years; that is 640 EUR on average" in told
    assert "“Listen to the cold start: rattle over 2 s” speaks strongly for it." in told
    assert "Read the stored faults" not in told  # its weight is below what is worth a word
    assert "it can stop the engine while driving" in told
    assert "Worn means: The chain tensioner has play that can be heard or measured." in told


def test_all_findings_together_follow_the_odds_before_and_after() -> None:
    before, after = StateChances(0.8, 0.15, 0.05), StateChances(0.5, 0.3, 0.2)
    assert words.shift(before, after) == pytest.approx(6.0206, abs=1e-4)  # odds 1/4 to 1: 10 log10 4
    assert words.shift(StateChances(1.0, 0.0, 0.0), StateChances(1.0, 0.0, 0.0)) == 0.0
