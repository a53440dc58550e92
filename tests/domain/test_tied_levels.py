"""Which symptoms are tied; test_next_checks and test_result_moments hold their levels against whole assessments."""

from __future__ import annotations

import numpy as np
import pytest

from riskapi.domain.tied_levels import above, open_tied, read_so_far, tied
from tests.domain.weighed import full, plain

TABLES = plain().basis.posterior.groups[0].tables


def test_a_lower_zone_is_tied_and_so_is_whatever_was_read() -> None:
    assert tied(TABLES, ()) == {"wet_low"}
    assert tied(TABLES, ("rattle",)) == {"wet_low", "rattle"}


def test_a_zone_above_one_that_was_seen_is_tied() -> None:
    assert tied(TABLES, ("wet_low",)) == {"wet_low", "wet_top"}


def test_zones_above() -> None:
    assert above(TABLES, "wet_low") == {"wet_top"}
    assert above(TABLES, "wet_top") == frozenset()


def test_readings_of_one_symptom_are_multiplied() -> None:
    counted = full().readings.counted
    read = read_so_far(counted)
    mine = [np.array(f.likelihood) for f in counted if f.check.symptom == "rattle"]
    assert len(mine) == 2
    assert read["rattle"] == pytest.approx(mine[0] * mine[1])


def test_the_levels_of_a_symptom_are_all_that_can_be() -> None:
    """Chances of the levels sum to one over the root combinations, findings or not."""
    for start in (plain(), full()):
        read = read_so_far(start.readings.counted)
        basis = start.basis
        nothing = np.ones((*basis.outlook.table.masses.shape[:2], 1))
        groups = basis.posterior.groups
        chances = sum(open_tied(g, basis, read, ["wet_low", "rattle"]).chances(nothing).sum() for g in groups)
        assert chances == pytest.approx(1.0)
