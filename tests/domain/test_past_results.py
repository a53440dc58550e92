"""Checks of the service history as evidence, against plain enumeration of the states then and now."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from itertools import product
from math import prod

import numpy as np
import pytest
from numpy.testing import assert_allclose

from riskapi.domain import renewal
from riskapi.domain.assessment import Assessment
from riskapi.domain.case import Case, HistoryEntry
from riskapi.domain.copies import worst_state
from riskapi.domain.history import History
from riskapi.domain.identify import identify
from riskapi.domain.knowledge import CheckResult, Pack
from riskapi.domain.lane import Lane, PastLook
from riskapi.domain.lanes import LaneSet, lane_set
from riskapi.domain.lifetime import doubt_nodes
from riskapi.domain.past_results import LIMIT
from riskapi.domain.renewal import past
from riskapi.errors import CaseError
from riskapi.service import assess
from tests.report.networks import brute_force
from tests.simulator import tiny, tiny_cases


def without_planned_work() -> Pack:
    """The tiny pack, whose belt is not renewed as planned: what falls due within a cell of the grid is weighed by one
    look or not at all, which is right up to the error of the grid only."""
    pack = tiny.pack()
    points = [replace(wp, parts=tuple(replace(part, planned=None) for part in wp.parts)) for wp in pack.weak_points]
    return replace(pack, weak_points=tuple(points))


PACK = without_planned_work()
PLAIN = tiny_cases.plain_case()
STATED = replace(PLAIN, vehicle=replace(PLAIN.vehicle, build_date=date(2014, 3, 1), software_tune="no"))
NAMES = [wp.id for wp in PACK.weak_points]


def checked(on: date, check: str, result: str, pointer: str = "") -> HistoryEntry:
    return tiny_cases.entry(on, "checked", item=check, result=result, pointer=pointer or f"/{check}/{on}")


def with_history(*history: HistoryEntry, case: Case = STATED) -> Case:
    return replace(case, history=history)


EXACT = 1e-9

THEN, LATER = date(2018, 6, 1), date(2021, 6, 1)


@pytest.fixture(autouse=True)
def linear(monkeypatch: pytest.MonkeyPatch) -> None:
    """The recursion without its last step, which holds rounding of the grid above zero: then masses are linear in the
    likelihood of a look to the last digit, as the enumeration is, and both agree to more than the grid is right."""
    monkeypatch.setattr(renewal, "_extrapolated", lambda coarse, fine: (4.0 * fine - coarse) / 3.0)


# ---- the answer against enumeration ------------------------------------------------------------------------


def shown(symptom_id: str, results: dict[str, str], states: dict[str, tuple[int, ...]]) -> float:
    """P(results of checks of one symptom without zones above | states of every copy then), straight from the pack."""
    symptom = PACK.symptom(symptom_id)
    levels, total, before = len(symptom.levels), 0.0, 0.0
    for level in range(levels):
        below = 1.0 - (*symptom.background, 0.0)[level]
        for wp in PACK.weak_points:
            for effect in (e for e in wp.effects if e.symptom == symptom.id):
                rows = ((0.0,) * (levels - 1), effect.degraded, effect.faulty)
                for state in states[wp.id]:
                    below *= 1.0 - (*rows[state], 0.0)[level]
        rows_read = [(PACK.check(check), result) for check, result in results.items()]
        read = prod(check.table[level][check.result_index(result)] for check, result in rows_read)
        total += read * (below - before)
        before = below
    return total


def lane_of(lanes: LaneSet, root: int, w: int) -> Lane:
    ((lane, weight),) = lanes.mixes[root][w].lanes
    assert weight == 1.0
    return lanes.lanes[lane]


def pairs(lane: Lane, times: tuple[float, ...], beside: tuple[Lane, ...]) -> dict[tuple[int, ...], np.ndarray]:
    """Joint masses (K, 3) of every row of states at these times with the state today, by looks that see one state.

    Lanes beside it get as many cells as the finest needs: those of the case, so that both are on the same grid.
    """
    nodes, future = doubt_nodes(), np.array([lane.timeline.now, lane.timeline.now + 1.0])
    sure = [tuple(float(a == b) for b in range(3)) for a in range(3)]
    found = {}
    for row in product(range(3), repeat=len(times)):
        looks = tuple(PastLook(t, sure[s]) for t, s in zip(times, row, strict=True))  # type: ignore[arg-type]
        late = tuple(look for look in looks if look.t > lane.start)
        found[row] = past([replace(lane, looks=late), *beside], nodes, future).state[0]
        if late != looks:
            early = replace(before(lane), looks=tuple(look for look in looks if look not in late))
            earlier = past([early], nodes, np.array([lane.start, lane.start + 1.0])).state[0]
            found[row] = earlier.sum(axis=1)[:, None] * found[row]
    return found


def before(lane: Lane) -> Lane:
    """The life from the works up to the documented renewal that `lane` began with."""
    kinks = tuple(float(t) for t in lane.clocks.t if 0.0 < t < lane.start)
    return replace(lane, start=0.0, start_part=0, timeline=replace(lane.timeline, now=lane.start), kinks=kinks)


def rest(lanes: LaneSet, root: int, points: list[str], beside: tuple[Lane, ...]) -> float:
    """Masses in sum of all other weak points: 1 up to the error of the grid, which differs from root to root."""
    total = 1.0
    for w, name in enumerate(NAMES):
        if name not in points:
            (masses,) = pairs(lane_of(lanes, root, w), (), beside).values()
            total *= float(worst_state(masses, lanes.mixes[root][w].copies).mean(axis=0).sum())
    return total


def enumerated(case: Case, results: tuple[tuple[date, str, str], ...], points: list[str]) -> dict[str, np.ndarray]:
    """States today given the past results, summed over every row of states then of the weak points that matter."""
    bare = replace(case, history=tuple(e for e in case.history if e.work != "checked"))
    identity = identify(bare, PACK)
    lanes = lane_set(bare, PACK, identity, 14_000.0, 3.0)
    beside = lane_set(case, PACK, identity, 14_000.0, 3.0).lanes
    history = History(case, PACK, identity.built)
    entries = [tiny_cases.entry(on, "checked") for on, _, _ in results]
    times = tuple(sorted({history.t(entry) for entry in entries}))
    at = [times.index(history.t(entry)) for entry in entries]
    looks: dict[tuple[int, str], dict[str, str]] = {}
    for k, (_, check, result) in zip(at, results, strict=True):
        looks.setdefault((k, str(PACK.check(check).symptom)), {})[check] = result
    total = {name: np.zeros(3) for name in points}
    for r, root in enumerate(lanes.roots):
        tables = [pairs(lane_of(lanes, r, NAMES.index(name)), times, beside) for name in points]
        weight = root.weight * rest(lanes, r, points, beside)
        means = [{row: values.mean(axis=0) for row, values in table.items()} for table in tables]
        for rows in product(*(table.keys() for table in means)):
            then = [
                dict.fromkeys(NAMES, (0,)) | {name: (row[k],) for name, row in zip(points, rows, strict=True)}
                for k in range(len(times))
            ]
            seen = prod(shown(symptom, read, then[k]) for (k, symptom), read in looks.items())
            masses = [mean[row] for mean, row in zip(means, rows, strict=True)]
            for i, name in enumerate(points):
                others = prod(float(m.sum()) for j, m in enumerate(masses) if j != i)
                total[name] += weight * seen * others * masses[i]
    return {name: values / values.sum() for name, values in total.items()}


def states(found: Assessment) -> dict[str, list[float]]:
    return {p.id: [p.state.sound, p.state.degraded, p.state.faulty] for p in found.weak_points}


RATTLE = ["chain", "belt"]  # what the check 'listen' can hear


@pytest.mark.parametrize(
    "results",
    [
        ((THEN, "listen", "r0"),),
        ((THEN, "listen", "r1"),),
        ((THEN, "listen", "r2"),),
        ((THEN, "listen", "r1"), (THEN, "told_noise", "r1")),
        ((THEN, "listen", "r1"), (LATER, "listen", "r0")),
        ((THEN, "listen", "r2"), (LATER, "told_noise", "r1")),
    ],
    ids=["quiet", "short", "long", "two checks of one noise", "heard, then not", "heard twice"],
)
def test_states_today_are_those_of_enumeration(results: tuple[tuple[date, str, str], ...]) -> None:
    """Every row of states then and now of every weak point that may have caused it."""
    case = with_history(*(checked(*result) for result in results))
    found, expected = states(assess(case, PACK)), enumerated(case, results, RATTLE)
    for name, chances in expected.items():
        assert_allclose(found[name], chances, rtol=0, atol=EXACT, err_msg=name)


def test_a_told_renewal_between_is_kept_in_mind() -> None:
    told = tiny_cases.entry(date(2020, 1, 1), "renewed", item="chain", evidence="told")
    results = ((THEN, "listen", "r2"), (LATER, "listen", "r0"))
    case = with_history(told, *(checked(*result) for result in results))
    found, expected = states(assess(case, PACK)), enumerated(case, results, RATTLE)
    for name, chances in expected.items():
        assert_allclose(found[name], chances, rtol=0, atol=EXACT, err_msg=name)


@pytest.mark.parametrize("results", [((THEN, "listen", "r2"),), ((THEN, "listen", "r1"), (LATER, "listen", "r1"))])
@pytest.mark.parametrize("item", RATTLE)
def test_what_came_before_a_documented_renewal_counts(item: str, results: tuple[tuple[date, str, str], ...]) -> None:
    """It tells which other part made the noise, and how long parts of this kind last."""
    renewed = tiny_cases.entry(date(2020, 1, 1), "renewed", item=item)
    case = with_history(renewed, *(checked(*result) for result in results))
    found, expected = states(assess(case, PACK)), enumerated(case, results, RATTLE)
    for name, chances in expected.items():
        assert_allclose(found[name], chances, rtol=0, atol=EXACT, err_msg=name)


def test_several_copies_count_one_by_one() -> None:
    """The coils: four copies, any of which can have missed; the turbo shows there too. By enumeration of both."""
    case = with_history(checked(THEN, "smooth", "r1"))
    identity = identify(case, PACK)
    bare = lane_set(replace(case, history=()), PACK, identity, 14_000.0, 3.0)
    t = History(case, PACK, identity.built).t(case.history[0])
    coil, turbo = NAMES.index("coil"), NAMES.index("turbo")
    total = np.zeros(3)
    for r, root in enumerate(bare.roots):
        copies, quiet = bare.mixes[r][coil].copies, {}
        looked = {
            name: past(
                [replace(lane_of(bare, r, w), looks=looks)],
                doubt_nodes(),
                np.array([bare.timeline.now, bare.timeline.now + 1.0]),
            ).state[0]
            for name, w, looks in (
                ("coils", coil, (PastLook(t, (1.0, 1.0, 1.0)),)),
                ("quiet coils", coil, (PastLook(t, (1.0, 0.8, 0.05)),)),
                ("turbo", turbo, (PastLook(t, (1.0, 1.0, 1.0)),)),
                ("quiet turbo", turbo, (PastLook(t, (1.0, 0.98, 0.9)),)),
            )
        }
        quiet = worst_state(looked["quiet coils"], copies).mean(axis=0) * looked["quiet turbo"].mean(axis=0).sum()
        every = worst_state(looked["coils"], copies).mean(axis=0) * looked["turbo"].mean(axis=0).sum()
        total += root.weight * (every - 0.97 * quiet)
    assert_allclose(states(assess(case, PACK))["coil"], total / total.sum(), rtol=0, atol=EXACT)


@pytest.mark.parametrize("results", [(("low", "r2"),), (("low", "r0"),), (("top", "r2"), ("low", "r1"))])
def test_leaks_of_the_past_by_the_network(results: tuple[tuple[str, str], ...]) -> None:
    """Seal (top) and turbo (low), and what ran down from the top: states then and now by enumeration of levels."""
    case = with_history(*(checked(THEN, check, result) for check, result in results))
    bare = replace(case, history=())
    identity = identify(bare, PACK)
    lanes = lane_set(bare, PACK, identity, 14_000.0, 3.0)
    beside = lane_set(case, PACK, identity, 14_000.0, 3.0).lanes
    t = History(case, PACK, identity.built).t(case.history[0])
    seen = dict(results)
    total = {name: np.zeros(3) for name in ("seal", "turbo")}
    for r, root in enumerate(lanes.roots):
        seal, turbo = (pairs(lane_of(lanes, r, NAMES.index(n)), (t,), beside) for n in ("seal", "turbo"))
        weight = root.weight * rest(lanes, r, ["seal", "turbo"], beside)
        for a, b in product(range(3), repeat=2):
            chance = sum(likelihood for likelihood in _levels(a, b, seen))
            one, other = seal[a,].mean(axis=0), turbo[b,].mean(axis=0)
            total["seal"] += weight * chance * one * other.sum()
            total["turbo"] += weight * chance * other * one.sum()
    found = states(assess(case, PACK))
    for name, values in total.items():
        assert_allclose(found[name], values / values.sum(), rtol=0, atol=EXACT, err_msg=name)


def _levels(seal: int, turbo: int, seen: dict[str, str]) -> Iterator[float]:
    """P(levels of top and low | states) of every pair of levels that fits what was seen."""
    shows = {"seal": ((0.0, 0.0), (0.7, 0.2), (0.95, 0.7)), "turbo": ((0.0, 0.0), (0.3, 0.1), (0.6, 0.4))}
    arc = ((0.0, 0.0), (0.4, 0.1), (0.8, 0.5))

    def level(rows: list[tuple[float, ...]], k: int) -> float:
        below = [prod(1.0 - row[j] for row in rows) for j in range(2)] + [1.0]
        return below[k] - (below[k - 1] if k else 0.0)

    for top, low in product(range(3), repeat=2):
        if seen.get("top", f"r{top}") == f"r{top}" and seen.get("low", f"r{low}") == f"r{low}":
            yield level([(0.08, 0.02), shows["seal"][seal]], top) * level(
                [(0.1, 0.02), shows["turbo"][turbo], arc[top]], low
            )


def test_the_exported_network_has_the_ways_and_gives_the_same_posterior() -> None:
    """With findings of today that hang together with those of the past."""
    findings = (tiny_cases.found("listen", "r1"), tiny_cases.found("low", "r1"))
    case = replace(with_history(checked(THEN, "listen", "r2"), checked(LATER, "low", "r2")), findings=findings)
    found = assess(case, PACK)
    assert [root.name for root in found.network.roots] == ["revision", "care", "past_results"]
    enumerated_ = brute_force(found.network)
    for name, chances in states(found).items():
        assert_allclose(chances, enumerated_[name], rtol=0, atol=1e-12, err_msg=name)


# ---- laws --------------------------------------------------------------------------------------------------


def test_the_order_of_the_entries_changes_nothing() -> None:
    entries = (
        checked(THEN, "listen", "r2"),
        checked(THEN, "told_noise", "r1"),
        checked(LATER, "smooth", "r1"),
        checked(LATER, "top", "r1"),
    )
    first, second = (assess(with_history(*row), PACK) for row in (entries, entries[::-1]))
    for name, chances in states(first).items():
        assert_allclose(states(second)[name], chances, rtol=1e-12, atol=1e-14)
    assert second.risk.score == pytest.approx(first.risk.score, rel=1e-12)


def test_a_result_that_everything_gives_alike_changes_nothing() -> None:
    """The masses of today, within the error of the grid that the look's date changes."""
    check = replace(PACK.check("listen"), table=((0.5, 0.5),) * 3, results=(CheckResult("r0", "", ()),) * 2)
    pack = replace(PACK, checks=(check, *(c for c in PACK.checks if c.id != "listen")))
    plain, looked = (
        states(assess(with_history(), PACK)),
        states(assess(with_history(checked(THEN, "listen", "r0")), pack)),
    )
    for name, chances in plain.items():
        assert_allclose(looked[name], chances, rtol=0, atol=4e-4)


def test_nothing_seen_perfectly_is_one_way_with_a_factor_for_each_weak_point() -> None:
    found = assess(with_history(checked(THEN, "smooth", "r0"), checked(LATER, "smooth", "r0")), PACK)
    assert found.inputs is not None
    lanes = found.inputs.lanes
    assert {len(row) for row in lanes.past.ways} == {1}
    coil = lane_of(lanes, 0, NAMES.index("coil"))
    assert [look.likelihood for look in coil.looks] == [pytest.approx((1.0, 0.8, 0.05))] * 2
    assert lanes.past.ways[0][0].weight == 1.0


def test_bad_news_of_the_past_raises_what_it_speaks_for() -> None:
    quiet, nothing, long = (
        states(assess(with_history(*row), PACK))["chain"]
        for row in ((checked(LATER, "listen", "r0"),), (), (checked(LATER, "listen", "r2"),))
    )
    assert quiet[0] > nothing[0] > long[0]


# ---- what does not count -----------------------------------------------------------------------------------


def unused(*history: HistoryEntry, pack: Pack = PACK) -> dict[str, str]:
    case = with_history(*history)
    return dict(lane_set(case, pack, identify(case, pack), 14_000.0, 3.0).past.unused)


def test_what_moves_no_number_is_told_with_its_reason() -> None:
    heard = checked(THEN, "listen", "r2", "/service_history/0")
    renewed = tiny_cases.entry(date(2018, 6, 12), "renewed", item="chain")
    assert "renewed about then (point)" in unused(heard, renewed)["/service_history/0"]
    engine = tiny_cases.entry(date(2019, 1, 1), "engine_replaced", item="used")
    assert "another engine" in unused(heard, engine)["/service_history/0"]
    assert "cared for" in unused(checked(THEN, "deposits", "r1", "/x"))["/x"]
    assert "just before the assessment" in unused(checked(date(2024, 5, 28), "listen", "r2", "/x"))["/x"]
    assert unused(heard, checked(THEN, "top", "r1"), checked(THEN, "low", "r2")) == {}
    told = " ".join(a.text for a in assess(with_history(heard, renewed), PACK).assumptions)
    assert "“listen” of 2018-06-01 is kept on record but moves no number: what it says hangs on a part" in told


def test_nothing_seen_counts_for_the_part_that_was_there_then() -> None:
    renewed = tiny_cases.entry(date(2019, 1, 1), "renewed", item="coil")
    case = with_history(checked(THEN, "smooth", "r0"), renewed)
    lanes = lane_set(case, PACK, identify(case, PACK), 14_000.0, 3.0)
    assert lanes.past.unused == ()
    coil = lane_of(lanes, 0, NAMES.index("coil"))
    assert coil.looks == ()
    assert coil.before is not None
    assert len(coil.before.lane.looks) == 1
    assert len(lane_of(lanes, 0, NAMES.index("turbo")).looks) == 1


def test_too_many_ways_are_refused_by_naming_the_results_to_leave_out() -> None:
    days = [date(2016 + k, 6, 1) for k in range(6)]
    entries = [checked(on, "listen", "r1", f"/service_history/{k}") for k, on in enumerate(days)]
    with pytest.raises(CaseError) as caught:
        unused(*entries)
    places = {fault.place for fault in caught.value.faults}
    assert str(LIMIT) in caught.value.faults[0].message
    assert unused(*(entry for entry in entries if entry.pointer not in places)) == {}
    assert places < {entry.pointer for entry in entries}


def test_a_feature_of_the_build_seen_in_the_past_counts_as_if_seen_today() -> None:
    results = (CheckResult("round", "", ()), CheckResult("square", "", ()))
    ribs = replace(
        PACK.check("deposits"),
        id="ribs",
        root="revision",
        results=results,
        table=(),
        features=(("first",), ("second",)),
    )
    pack = replace(PACK, checks=(*PACK.checks, ribs))
    vehicle = replace(STATED.vehicle, build_date=None, first_registered=None)
    open_case = replace(STATED, vehicle=vehicle)
    then = assess(with_history(checked(THEN, "ribs", "round"), case=open_case), pack)
    now = assess(replace(open_case, findings=(tiny_cases.found("ribs", "round"),)), pack)
    assert [(c.revision, c.probability) for c in then.identification.candidates] == [("first", 1.0), ("second", 0.0)]
    for name, chances in states(now).items():
        assert_allclose(states(then)[name], chances, rtol=1e-12, atol=1e-14)
