"""The plain mend of each weak point, and items that are paid once."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

import pytest

from riskapi.domain.jobs import PriceLevel, make_job
from riskapi.domain.knowledge import Pack, Traits
from riskapi.domain.mends import Item, item_cost, items_of, plain_mend, single_cost

LEVEL = PriceLevel("EUR", 95.0, 1.1, 0.2, "transverse", None)
FRONT = Traits((("cam_drive_side", "front"), ("timing_cover", "cast")))


def money_of(pack: Pack, level: PriceLevel, items: Iterable[Item]) -> float:
    """Mean cost of these items together, each paid once [money]."""
    return sum(item_cost(pack, level, item.kind, item.id).money for item in sorted(items))


def test_items_cost_together_what_the_job_costs(shipped: Pack) -> None:
    """Job by job against the other way to add it up, for every weak point of the pack and both ways of fitting."""
    for installation in ("transverse", "longitudinal", None):
        level = replace(LEVEL, installation=installation)
        for wp in shipped.weak_points:
            mend = plain_mend(shipped, wp.id, FRONT, 1)
            assert money_of(shipped, level, mend.items) == pytest.approx(single_cost(shipped, level, mend), abs=1e-9)


def test_two_jobs_together_cost_what_one_job_of_both_costs(shipped: Pack) -> None:
    names = [wp.id for wp in shipped.weak_points]
    for one, other in zip(names, names[7:], strict=False):
        mends = [plain_mend(shipped, name, FRONT, 1) for name in (one, other)]
        both = make_job((*mends[0].operations, *mends[1].operations), shipped, LEVEL)
        items = mends[0].items | mends[1].items
        assert money_of(shipped, LEVEL, items) == pytest.approx(both.mean, abs=1e-9)


def test_copies_repeat_the_operation_and_nothing_else(shipped: Pack) -> None:
    one, four = (plain_mend(shipped, "injectors", Traits((("injector_position", "side"),)), n) for n in (1, 4))
    assert four.items - one.items == {Item("operation", "renew_injector", turn) for turn in (2, 3, 4)}
    each = item_cost(shipped, LEVEL, "operation", "renew_injector").money
    assert money_of(shipped, LEVEL, four.items) == pytest.approx(money_of(shipped, LEVEL, one.items) + 3 * each)


@pytest.mark.parametrize(
    ("weak_point", "traits", "operations"),
    [
        ("cam_belt", (("interference", "yes"),), ("renew_cam_belt",)),  # planned work, not what a torn belt costs
        ("soot_filter", (), ("renew_particulate_filter",)),  # burning it off would not renew it
        ("chain_tensioner", (("cam_drive_side", "front"),), ("renew_tensioner",)),  # without searching for the fault
        ("tensioner_ratchet", (*FRONT.items, ("interference", "yes")), ("renew_chain_set",)),  # no valves bent yet
        ("tensioner_ratchet", (("cam_drive_side", "gearbox_end"),), ("renew_chain_set_gearbox_end",)),
        (
            "front_cover_seal",
            (("cam_drive_side", "front"), ("timing_cover", "pressed_steel")),
            ("renew_pressed_cover",),
        ),
        ("fuel_line_joint", (), ("recover_car", "renew_fuel_pipe")),
    ],
)
def test_the_plain_mend_is_the_last_row_that_applies(
    shipped: Pack, weak_point: str, traits: tuple[tuple[str, str], ...], operations: tuple[str, ...]
) -> None:
    """What a workshop would renew before it fails: common practice, no source."""
    assert plain_mend(shipped, weak_point, Traits(traits), 1).operations == operations


def test_follow_on_work_and_all_access_underneath_belong_to_it(shipped: Pack) -> None:
    items = items_of(shipped, ("renew_chain_set",))
    assert Item("operation", "oil_service") in items
    steps = {item.id for item in items if item.kind == "access"}
    assert {
        "front_cover_off",
        "accessory_belt_off",
        "valve_cover_off",
        "coils_out",
        "engine_cover",
        "undertray",
    } == steps
