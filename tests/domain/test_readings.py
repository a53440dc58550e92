"""Which findings count, what they read, and what carries no weight and why."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from riskapi.domain.case import Finding
from riskapi.domain.knowledge import Check, CheckResult, ConditionWord, Measure, Pack
from riskapi.domain.readings import level_of, read_findings, reduce_values, thinned
from riskapi.errors import CaseError
from tests.simulator import tiny, tiny_cases


def measure(reduce: str, bounds: tuple[float, ...], descending: bool = False, unit: str = "bar") -> Measure:
    return Measure(reduce, unit, bounds, descending, 0.0, 1e6, 0.75, "test")


CYLINDERS = (12.0, 11.5, 8.0, 8.5)


@pytest.mark.parametrize(
    ("reduce", "expected"),
    [("value", 12.0), ("lowest", 8.0), ("highest", 12.0), ("lowest_share", 8.0 / 12.0), ("low_neighbours", 1.0)],
)
def test_values_become_one_number_by_the_packs_rule(reduce: str, expected: float) -> None:
    assert reduce_values(measure(reduce, ()), CYLINDERS) == pytest.approx(expected)


def test_low_neighbours_counts_pairs() -> None:
    """Two neighbours below three quarters of the highest point to the head joint between them."""
    rule = measure("low_neighbours", ())
    assert reduce_values(rule, (12.0, 8.0, 12.0, 8.0)) == 0.0
    assert reduce_values(rule, (12.0, 8.0, 8.0, 8.0)) == 2.0


def test_a_dead_engine_has_no_share() -> None:
    assert reduce_values(measure("lowest_share", ()), (0.0, 0.0)) == 0.0


@pytest.mark.parametrize(("value", "level"), [(0.5, 0), (1.0, 1), (2.9, 1), (3.0, 2), (99.0, 2)])
def test_result_k_holds_below_bound_k(value: float, level: int) -> None:
    assert level_of(measure("value", (1.0, 3.0)), value) == level


@pytest.mark.parametrize(("value", "level"), [(0.95, 0), (0.9, 0), (0.8, 1), (0.75, 1), (0.6, 2)])
def test_where_a_high_value_is_good_the_order_turns(value: float, level: int) -> None:
    assert level_of(measure("lowest_share", (0.75, 0.9), descending=True), value) == level


# ---- hearsay ---------------------------------------------------------------------------------------------

TABLE = ((0.95, 0.05, 0.0), (0.1, 0.8, 0.1), (0.0, 0.1, 0.9))


@pytest.mark.parametrize("power", [0.0, 0.3, 0.9, 1.0])
def test_hearsay_passes_on_with_its_power_else_tells_the_harmless_result(power: float) -> None:
    table = np.array(thinned(TABLE, power))
    assert table.sum(axis=1) == pytest.approx(1.0)
    assert table[:, 1:] == pytest.approx(power * np.array(TABLE)[:, 1:])


def test_hearsay_of_a_perfect_reader_is_the_thinning_of_the_model() -> None:
    """The model: q' = 1 - rho (1 - q), here for one parent and the background of a symptom with two levels."""
    told = np.array(thinned(((1.0, 0.0), (0.0, 1.0)), 0.5))
    q, b = 0.3, 0.9  # chance that the parent, the background leaves the level at 0
    level = np.array([q * b, 1.0 - q * b])
    assert (level @ told)[1] == pytest.approx(0.5 * (1.0 - q * b))


# ---- findings of a case ------------------------------------------------------------------------------------


def finding(check: str, **more: object) -> Finding:
    return replace(Finding(f"/findings/{check}", check, None, None, None, None, (), "self", ""), **more)


def pack(*extra: Check, **changed: object) -> Pack:
    whole = tiny.pack()
    checks = tuple(replace(c, **changed) if c.id == "listen" else c for c in whole.checks)
    words = (ConditionWord("engine_cold", "Engine cold", "A warm engine hides start-up noise."),)
    return replace(whole, checks=(*checks, *extra), conditions=words)


def read(of: Pack, *findings: Finding) -> tuple[list[tuple[str, int]], tuple[object, ...], tuple[object, ...]]:
    readings = read_findings(replace(tiny_cases.plain_case(), findings=findings), of)
    return [(f.node, f.result) for f in readings.counted], readings.not_checked, readings.void


def test_results_count_in_the_order_of_the_visit() -> None:
    counted, _, _ = read(pack(), finding("top", result="r0"), finding("listen", result="r2"))
    assert counted == [("listen", 2), ("top", 0)]


def test_not_checked_is_unknown_with_its_reason() -> None:
    assert read(pack(), finding("listen", not_checked="not_reachable")) == ([], (("listen", "not reachable"),), ())


def test_a_result_without_its_preconditions_is_void() -> None:
    """The model: a result counts only if its preconditions held; else no weight, and the reason is told."""
    cold = pack(needs=("engine_cold",))
    warm = finding("listen", result="r1", conditions=(("engine_cold", False),))
    assert read(cold, warm) == ([], (), (("listen", "A warm engine hides start-up noise."),))
    assert read(cold, finding("listen", result="r1"))[0] == [("listen", 1)]  # what is not stated is taken to have held


def test_hearsay_has_a_node_of_its_own() -> None:
    readings = read_findings(
        replace(tiny_cases.plain_case(), findings=(finding("listen", result="r1", observed_by="seller"),)), pack()
    )
    (heard,) = readings.counted
    assert heard.node == "listen_seller"
    assert heard.likelihood == pytest.approx((0.025, 0.4, 0.05))


def test_one_act_answers_every_check_that_is_part_of_it() -> None:
    share = measure("lowest_share", (0.75, 0.9), descending=True)
    neighbours = measure("low_neighbours", (1.0,))
    act = pack(measure=share)
    second = replace(act.check("smooth"), id="pairs", part_of="listen", measure=neighbours)
    counted, _, _ = read(pack(second, measure=share), finding("listen", values=CYLINDERS))
    assert counted == [("listen", 2), ("pairs", 1)]


def test_measured_values_are_told_as_they_were_stated() -> None:
    case = replace(tiny_cases.plain_case(), findings=(finding("listen", values=(1.5,)),))
    (counted,) = read_findings(case, pack(measure=measure("value", (1.0, 3.0), unit="s"))).counted
    assert (counted.result, counted.reading) == (1, "1.5 s")


@pytest.mark.parametrize(("codes", "result"), [((), 0), (("P0301",), 1), (("P0301", "P0300"), 2), (("P0999",), 0)])
def test_codes_give_the_worst_result_that_one_of_them_names(codes: tuple[str, ...], result: int) -> None:
    results = (CheckResult("r0", "", ()), CheckResult("r1", "", ("P0301",)), CheckResult("r2", "", ("P0300",)))
    assert read(pack(results=results), finding("listen", codes=codes))[0] == [("listen", result)]


@pytest.mark.parametrize(("moves", "result"), [(True, 0), (False, 1)])
def test_whether_the_car_moves_is_a_finding(moves: bool, result: int) -> None:
    """The model: 'starts and drives' is a check that excludes faulty for immobilising weak points."""
    starts = replace(tiny.pack().check("smooth"), id="starts", from_case="moves_under_own_power")
    case = tiny_cases.plain_case()
    case = replace(case, vehicle=replace(case.vehicle, moves_under_own_power=moves))
    (counted,) = read_findings(case, pack(starts)).counted
    assert (counted.node, counted.result, counted.pointer) == ("starts", result, "/vehicle/moves_under_own_power")


def test_a_check_answered_twice_by_one_observer_is_refused_with_both_places() -> None:
    twice = (finding("listen", result="r1"), finding("listen", result="r2", pointer="/findings/again"))
    with pytest.raises(CaseError) as caught:
        read(pack(), *twice)
    (fault,) = caught.value.faults
    assert fault.place == "/findings/again"
    assert "/findings/listen" in fault.message


def test_two_observers_may_answer_one_check() -> None:
    told = finding("listen", result="r1", observed_by="seller")
    assert len(read(pack(), finding("listen", result="r2"), told)[0]) == 2
