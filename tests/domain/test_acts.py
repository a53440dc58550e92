"""Acts and limits of a visit."""

from __future__ import annotations

from dataclasses import replace

import pytest

from riskapi.domain.acts import (
    Limits,
    acts_of,
    limits_of,
    possible_acts,
    shared_minutes,
    total_minutes,
    unproved,
    within,
)
from riskapi.domain.case import Visit
from riskapi.domain.knowledge import Pack

ANYTHING = Limits(None, None, "workshop", "written")


def ids(pack: Pack, limits: Limits) -> set[str]:
    return {act.id for act in possible_acts(pack.checks, pack, limits)}


@pytest.mark.parametrize(
    ("visit", "equipment", "consent"),
    [
        (Visit(None, None, None, ()), "none", "ask"),
        (Visit(None, "workshop", 30.0, ("ask", "written")), "workshop", "written"),
        (Visit(None, "generic_scan_tool", 30.0, ("none",)), "generic_scan_tool", "none"),
    ],
)
def test_limits_as_the_visit_states_them(visit: Visit, equipment: str, consent: str) -> None:
    """Common practice, no source: without a word on consent one asks beside the car and opens nothing."""
    assert limits_of(visit) == Limits(visit.minutes, None, equipment, consent)


def test_one_act_answers_all_its_parts(shipped: Pack) -> None:
    acts = {act.id: act for act in acts_of(shipped.checks)}
    assert "codes_mixture" not in acts
    assert {"stored_codes", "codes_mixture"} <= {check.id for check in acts["stored_codes"].checks}
    assert acts["compression_test"].minutes == 20.0
    assert acts["leak_down_test"].price == 120.0


def test_nothing_beyond_equipment_and_consent(shipped: Pack) -> None:
    free = ids(shipped, Limits(None, None, "none", "none"))
    assert "look_valve_cover" in free
    for name in free:
        assert (shipped.check(name).equipment, shipped.check(name).consent) == ("none", "none")
    assert "compression_test" not in ids(shipped, replace(ANYTHING, consent="ask"))
    assert "compression_test" in ids(shipped, ANYTHING)


def test_no_part_of_an_act_that_cannot_be_done(shipped: Pack) -> None:
    """A part may need less than its act by the file; it still comes with the act only."""
    found = ids(shipped, Limits(None, None, "none", "written"))
    assert not {check.id for check in shipped.checks if check.part_of is not None} & found


def test_an_act_fits_by_itself_with_its_set_up(shipped: Pack) -> None:
    assert "look_sump" not in ids(
        shipped, replace(ANYTHING, minutes=20.0)
    )  # 20 minutes of lift, 3 of looking, 1 of proof
    assert "look_sump" in ids(shipped, replace(ANYTHING, minutes=24.0))


def test_set_ups_and_proofs_count_once(shipped: Pack) -> None:
    acts = {act.id: act for act in possible_acts(shipped.checks, shipped, ANYTHING)}
    minutes = shared_minutes(shipped)
    lift = [acts["look_sump"], acts["look_crank_front"]]
    assert unproved(lift) == {"look_bay_washed"}
    assert total_minutes(lift, minutes) == 20.0 + 3.0 + 2.0 + 1.0
    assert total_minutes([*lift, acts["look_bay_washed"]], minutes) == 20.0 + 3.0 + 2.0 + 1.0


def test_limits_bind() -> None:
    limits = Limits(10.0, 3, "none", "none")
    assert within(limits, 10.0, 3)
    assert not within(limits, 10.5, 3)
    assert not within(limits, 1.0, 4)
    assert within(Limits(None, None, "none", "none"), 1e6, 1000)
