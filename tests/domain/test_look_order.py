"""The order in which to look: by value less price and minutes, set-up by set-up."""

from __future__ import annotations

from dataclasses import replace

import pytest

from riskapi.domain.assessment import NextCheck
from riskapi.domain.joint_results import joint_results, value_of
from riskapi.domain.knowledge import Check, Pack, SetUp
from riskapi.domain.look_order import Valued, in_order
from riskapi.domain.next_checks import open_checks
from riskapi.domain.result_moments import moments
from riskapi.domain.told import told_by
from tests.domain.weighed import weigh
from tests.simulator import tiny, tiny_cases

PACK = tiny.pack()
START = weigh(tiny_cases.plain_case(), PACK)
BENCH = SetUp("bench", "Bench", 10.0, "written", "workshop", (), "made_up")


def changed(**changes: dict[str, object]) -> Pack:
    checks: tuple[Check, ...] = tuple(replace(c, **changes.get(c.id, {})) for c in PACK.checks)  # type: ignore[arg-type]
    return replace(PACK, checks=checks, set_ups=(BENCH,))


def listed(pack: Pack, gain: float | None = None, hourly: float = 60.0) -> tuple[NextCheck, ...]:
    left = open_checks(pack, START.basis, (), frozenset())
    return in_order(Valued(pack, START.basis, left, gain, hourly))


def test_each_check_by_itself_is_ordered_by_value_less_price_and_minutes() -> None:
    rows = listed(changed(listen={"minutes": 500.0}, top={"price": 1e5}))
    net = [row.value - (row.check_cost or row.minutes) for row in rows]
    assert net == sorted(net, reverse=True)
    assert rows[-1].check == "top"


def test_a_set_up_is_valued_with_its_checks_together() -> None:
    """Two checks under one set-up: together worth what regression on both results explains (see test_told), and
    the set-up's minutes count once."""
    pack = changed(listen={"set_up": "bench"}, deposits={"set_up": "bench"})
    rows = [row for row in listed(pack, hourly=0.0) if row.set_up == "bench"]
    left = open_checks(pack, START.basis, (), frozenset())
    checks = [pack.check(name) for name in ("listen", "deposits")]
    both = told_by(moments(left, START.basis, checks), [("listen",), ("deposits",)]).together([0, 1]) ** 0.5
    assert {row.check for row in rows} == {"listen", "deposits"}
    assert all(row.set_up_value == pytest.approx(both) for row in rows)
    assert all(row.set_up_minutes == 10.0 for row in rows)
    assert both > max(row.value for row in rows)


def test_with_a_price_the_set_up_is_worth_its_results_together() -> None:
    pack = changed(listen={"set_up": "bench"}, deposits={"set_up": "bench"})
    rows = [row for row in listed(pack, 0.0) if row.set_up == "bench"]
    left = open_checks(pack, START.basis, (), frozenset())
    both = value_of(joint_results([pack.check("listen"), pack.check("deposits")], START.basis), left.mean, 0.0)
    assert rows[0].set_up_value == pytest.approx(both)
    assert all(row.basis == "decision" for row in rows)


def test_a_dear_set_up_goes_back_in_the_order() -> None:
    pack = changed(listen={"set_up": "bench"})
    first = [row.check for row in listed(pack)]
    dear = replace(pack, set_ups=(replace(BENCH, minutes=5_000.0),))
    assert first[0] != [row.check for row in listed(dear)][-1] or len(first) == 1
    assert [row.check for row in listed(dear)][-1] == "listen"


def test_what_is_worth_nothing_is_not_listed() -> None:
    assert listed(PACK, 1e7) == ()
