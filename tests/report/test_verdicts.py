"""What a technician would say, from numbers: each sentence says what its numbers say."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from riskapi.domain.assessment import Checked, Evidence, StateChances, Threshold, WeakPointResult
from riskapi.domain.knowledge import Pack
from riskapi.intake import read_case
from riskapi.report.verdicts import measured_words, verdict
from riskapi.service import assess
from tests.conftest import ROOT


def item(bad: float, before: float, *evidence: Evidence, fails: float = 0.3, unseen: bool = False) -> WeakPointResult:
    states = [StateChances(1.0 - share, share / 2, share / 2) for share in (before, bad)]
    return WeakPointResult(
        "pump",
        "Pump leaks",
        "part",
        *states,
        fails,
        100.0,
        50.0,
        "none",
        "none" if unseen else "long",
        unseen,
        evidence,
        (),
    )


def says(alone: float, said: str) -> Evidence:
    return Evidence("check", "result", alone, alone, said)


@pytest.mark.parametrize(
    ("bad", "words"),
    [
        (0.8, "Expect it worn or failed: about 80 of 100 such cars"),
        (0.3, "It may well be worn or failed: about 30 of 100 such cars"),
        (0.05, "Probably sound: worn or failed in about 5 of 100 such cars"),
        (0.002, "In all likelihood sound: worn or failed in fewer than 1 of 100 such cars"),
    ],
)
def test_how_likely_it_is_in_words_and_in_cars(bad: float, words: str) -> None:
    assert verdict(item(bad, bad)).startswith(words + ".")


def test_what_the_findings_moved_is_told_with_the_loudest_on_each_side() -> None:
    heard, seen = says(9.0, "Listen: rattle"), says(-2.0, "Look: dry")
    told = verdict(item(0.4, 0.1, says(3.5, "Smell: oil"), seen, heard))
    assert "about 40 of 100 such cars, about 10 before the findings." in told
    assert (
        "\u201cListen: rattle\u201d speaks strongly for it and \u201cLook: dry\u201d speaks a little against it."
        in told
    )
    assert "Smell" not in told
    assert told.endswith("It fails in about 30 of 100 while the car is owned.")


def test_silence_is_told_as_such() -> None:
    assert "No finding bears on it." in verdict(item(0.1, 0.1, says(0.4, "Look: dry")))
    assert "No look can see this coming." in verdict(item(0.1, 0.1, unseen=True))


CHANCE = st.floats(0.0, 1.0)


@given(CHANCE, CHANCE, CHANCE, st.floats(-200.0, 200.0))
def test_any_numbers_give_whole_sentences(bad: float, before: float, fails: float, alone: float) -> None:
    told = verdict(item(bad, before, says(alone, "Look: wet"), fails=fails))
    assert re.fullmatch(r"[A-Z][^{}]+\.", told)
    assert "nan" not in told


def test_every_weak_point_of_a_sample_is_explained(shipped: Pack) -> None:
    path = ROOT / "sample_requests" / "noisy_early.json"
    assessment = assess(read_case(path.read_bytes(), shipped), shipped, nodes=1)
    told = [verdict(each) for each in assessment.weak_points]
    assert all(re.search(r"of 100 such cars.*of 100 while the car is owned\.$", text) for text in told)
    chain = next(text for each, text in zip(assessment.weak_points, told, strict=True) if each.id == "chain_tensioner")
    assert "\u201cListen to the cold start: rattle over 3 s\u201d speaks" in chain


# ---- measured values -----------------------------------------------------------------------------------------


def measured(
    lower: float | None, upper: float | None, unit: str = "s", *cylinders: int, kind: str = "judgement"
) -> str:
    limit = Threshold(lower, upper, unit, "A. Author, A Title, 1999", kind)
    return measured_words("READING", Checked("check", "result", "READING", "self", limit, cylinders))


@pytest.mark.parametrize(
    ("lower", "upper", "unit", "words"),
    [
        (3.0, None, "s", "READING; called so from 3 s, judgement"),
        (None, 1.0, "s", "READING; called so below 1 s, judgement"),
        (1.0, 3.0, "s", "READING; called so from 1 to below 3 s, judgement"),
        (0.75, 0.85, "of the highest", "READING; called so from 75 to below 85 % of the highest, judgement"),
    ],
)
def test_the_threshold_is_told_with_its_source(lower: float | None, upper: float | None, unit: str, words: str) -> None:
    assert measured(lower, upper, unit) == words


def test_cylinders_are_named_and_published_sources_cited() -> None:
    assert measured(3.0, None, "s", 2).startswith("READING; cylinder 2; called so")
    assert measured(3.0, None, "s", 1, 4).startswith("READING; cylinders 1 and 4; called so")
    assert measured(3.0, None, kind="published").endswith(", A. Author, A Title, 1999")
    assert measured_words("READING", Checked("check", "result", "READING", "self")) == "READING"
