"""What to do, by the stated rules and in their order."""

from __future__ import annotations

import pytest

from riskapi.domain.advice import (
    FAULTY_CHANCE,
    HAZARD_CHANCE,
    HAZARD_FAULTY,
    HIGH_SCORE,
    POOL_SPEAKS,
    SPEAKS,
    WORTH,
    advise,
    dangerous,
    work_now,
)
from tests.domain.results import coverage, result, risk

LEAK = {"hazard": "fire", "speaks": 10.0}


@pytest.mark.parametrize(
    ("degraded", "faulty", "danger"),
    [
        (0.0, HAZARD_FAULTY, True),
        (HAZARD_CHANCE, 0.0, True),
        (HAZARD_CHANCE - 0.1, 0.1, True),
        (0.2, HAZARD_FAULTY - 0.01, False),
    ],
)
def test_a_hazard_forbids_driving_from_stated_chances_on(degraded: float, faulty: float, danger: bool) -> None:
    assert dangerous([result("leak", degraded, faulty, **LEAK)]) == (("leak",) if danger else ())


def test_without_a_hazard_nothing_forbids_driving() -> None:
    assert dangerous([result("seal", 0.0, 1.0, speaks=20.0)]) == ()


def test_a_hazard_is_never_called_from_averages_alone() -> None:
    """A finding must speak for it."""
    assert dangerous([result("leak", 0.0, 0.9, hazard="fire", speaks=SPEAKS)]) == ()
    assert dangerous([result("leak", 0.0, 0.9, hazard="fire", speaks=SPEAKS + 0.1)]) == ("leak",)


def test_rivals_for_one_finding_count_together() -> None:
    """Low oil pressure has several causes, and one of them is there."""
    strong = POOL_SPEAKS + 1.0
    rivals = [result(f"r{k}", 0.0, 0.12, hazard="stalls", speaks=strong) for k in range(2)]
    assert dangerous(rivals) == ("r0", "r1")
    assert dangerous(rivals[:1]) == ()
    other = result("brakes", 0.0, 0.12, hazard="brake_assistance", speaks=strong)
    assert dangerous([rivals[0], other]) == ()  # another danger is no rival
    weak = result("weak", 0.0, 0.12, hazard="stalls", speaks=POOL_SPEAKS)
    assert dangerous([rivals[0], weak]) == ()


def test_work_now_is_what_is_more_likely_faulty_than_not_or_dangerous() -> None:
    results = [result("a", 0.0, FAULTY_CHANCE), result("b", 0.9, 0.0), result("leak", 0.0, 0.3, **LEAK)]
    assert work_now(results) == ("a", "leak")


# ---- the order of the rules -------------------------------------------------------------------------------

BROKEN = result("broken", 0.0, 0.9, expected_immediate_cost=WORTH * 1_000.0)


def test_danger_comes_before_everything() -> None:
    leak = result("leak", 0.0, 0.3, **LEAK)
    assert advise([BROKEN, leak], risk(90.0, ("broken", "leak")), coverage(0)) == ("do_not_drive", ("leak",))


def test_work_worth_naming_comes_before_open_checks() -> None:
    assert advise([BROKEN], risk(90.0, ("broken",)), coverage(0)) == ("repair_first", ("broken",))


def test_work_of_little_worth_is_not_the_first_thing_to_say() -> None:
    cheap = result("cheap", 0.0, 0.9, expected_immediate_cost=WORTH * 1_000.0 - 1.0)
    assert advise([cheap], risk(10.0, ("cheap",)), coverage())[0] == "nothing_stands_out"


def test_no_verdict_while_core_checks_are_open() -> None:
    assert advise([result()], risk(90.0), coverage(9))[0] == "look_closer"


@pytest.mark.parametrize(("score", "advice"), [(HIGH_SCORE, "price_it_in"), (HIGH_SCORE - 0.1, "nothing_stands_out")])
def test_then_the_score_decides(score: float, advice: str) -> None:
    assert advise([result()], risk(score), coverage())[0] == advice


def test_reasons_are_the_three_dearest() -> None:
    results = [result(f"p{k}", expected_cost=float(k)) for k in range(5)]
    assert advise(results, risk(), coverage())[1] == ("p4", "p3", "p2")
