"""What to put right at purchase, against an exhaustive search that prices every choice as one workshop job."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache
from itertools import chain, combinations

import pytest

from riskapi.catalogue.load import load_pack
from riskapi.domain.account import weak_point_results
from riskapi.domain.advice import dangerous, work_now
from riskapi.domain.assessment import WeakPointResult
from riskapi.domain.jobs import make_job
from riskapi.domain.knowledge import Pack
from riskapi.domain.possible_work import PossibleJob, Selection, select_from
from riskapi.domain.programme import best_jobs
from riskapi.domain.renewing import Worth, candidate_chances, worth_of
from riskapi.domain.repair_plan import plan_work, purchase_selection, way_out
from riskapi.domain.service_dates import due_service
from riskapi.domain.terms import Terms
from riskapi.domain.work_account import account
from riskapi.intake import read_case
from tests.conftest import ROOT, SAMPLES
from tests.domain.weighed import Weighed, weigh

MOST_JOBS = 12


@dataclass(frozen=True)
class Bought:
    found: Weighed
    worth: Worth
    results: tuple[WeakPointResult, ...]

    @property
    def terms(self) -> Terms:
        return self.found.terms


@cache
def pack() -> Pack:
    return load_pack(ROOT / "knowledge")


@cache
def bought(name: str, years: float | None = None) -> Bought:
    case = read_case((ROOT / "sample_requests" / f"{name}.json").read_bytes(), pack())
    if years is not None:
        case = replace(case, ownership=replace(case.ownership, years=years))
    found = weigh(case, pack())
    return Bought(found, worth_of(found.basis), weak_point_results(found.basis, found.means, found.readings))


def selection(car: Bought, forced: tuple[str, ...]) -> Selection:
    return purchase_selection(pack(), car.found.identity.family, car.worth, car.terms.level, forced)


NAMES = [path.stem for path in SAMPLES]


# ---- the optimum -------------------------------------------------------------------------------------------


def priced_as_one_job(car: Bought, jobs: tuple[PossibleJob, ...]) -> float:
    """Expected cost of these jobs less what they save: per candidate engine one job of the workshop, with the further
    copies added by hand."""
    level = car.terms.level
    total = sum(job.as_found - job.gain for job in jobs)
    for c, chance in enumerate(candidate_chances(car.worth.basis).tolist()):
        mends = [job.mends[c] for job in jobs]
        names = tuple(dict.fromkeys(chain.from_iterable(mend.operations for mend in mends)))
        total += chance * make_job(names, pack(), level).mean if names else 0.0
        for name in names:
            operation = pack().operation(name)
            turns = max(item.turn for mend in mends for item in mend.items if item.id == name)
            parts = sum((p.low + 4 * p.likely + p.high) / 6 for p in operation.parts) * level.parts_factor
            total += chance * (turns - 1) * (parts + operation.hours * level.labour_rate) * (1 + level.tax)
    return total


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("years", [None, 8.0])
def test_the_plan_of_every_sample_is_that_of_an_exhaustive_search(name: str, years: float | None) -> None:
    """Cut down to the jobs that come nearest to paying back; eight years make more of them pay."""
    car = bought(name, years)
    forced = work_now(car.results)
    everything = selection(car, forced)
    cost = [everything.programme.cost_of(needs) for needs in everything.programme.needs]
    ranked = sorted(
        range(len(cost)),
        key=lambda j: (everything.jobs[j].id not in forced, -everything.programme.benefits[j] / (cost[j] + 1.0)),
    )
    jobs = tuple(everything.jobs[j] for j in ranked[:MOST_JOBS])
    cut = select_from(pack(), car.worth, car.terms.level, jobs, forced)
    must = [j for j, job in enumerate(jobs) if job.id in forced]
    free = [j for j in range(len(jobs)) if j not in must]
    choices = ((*must, *extra) for size in range(len(free) + 1) for extra in combinations(free, size))
    least = min(priced_as_one_job(car, tuple(jobs[j] for j in choice)) for choice in choices)
    found = best_jobs(cut.programme)
    assert cut.programme.net(found) == pytest.approx(least, abs=1e-9)
    assert priced_as_one_job(car, tuple(jobs[j] for j in found)) == pytest.approx(least, abs=1e-9)


@pytest.mark.parametrize("name", NAMES)
def test_jobs_that_were_cut_off_belong_to_no_optimum(name: str) -> None:
    """The whole programme chooses among the nearest twelve only, so nothing was lost by cutting."""
    car = bought(name)
    whole = selection(car, work_now(car.results))
    chosen = best_jobs(whole.programme)
    assert len(chosen) <= MOST_JOBS
    for j in set(range(len(whole.jobs))) - set(chosen):
        assert whole.programme.net((*chosen, j)) >= whole.programme.net(chosen) - 1e-9


# ---- laws --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", NAMES)
def test_unforced_work_never_costs_more_than_it_saves(name: str) -> None:
    car = bought(name)
    free = selection(car, ())
    assert free.programme.net(best_jobs(free.programme)) <= 0.0


@pytest.mark.parametrize("name", NAMES)
def test_what_must_be_done_now_is_never_left(name: str) -> None:
    car = bought(name)
    work, _ = plan_work(pack(), car.found.identity.family, car.worth, car.terms.level, car.results)
    assert set(work_now(car.results)) <= set(work.weak_points)
    why = {job.id: job.why for job in work.jobs}
    assert all(why[name] == "danger" for name in dangerous(car.results))


def test_a_dangerous_sample_is_among_them() -> None:
    assert dangerous(bought("do_not_drive").results)


@pytest.mark.parametrize("name", NAMES)
def test_the_lines_add_up_and_together_is_cheaper(name: str) -> None:
    car = bought(name)
    work, saving = plan_work(pack(), car.found.identity.family, car.worth, car.terms.level, car.results)
    lines = sum(row.chance * row.cost for row in (*work.operations, *work.access))
    assert lines + work.as_found == pytest.approx(work.cost, abs=1e-9)
    assert work.cost <= work.apart + 1e-9
    kept = sum(car.worth.leave) - saving
    done = [wp.id in work.weak_points for wp in car.worth.basis.outlook.lanes.weak_points]
    later = sum(r if d else leave for d, r, leave in zip(done, car.worth.renewed, car.worth.leave, strict=True))
    services = [job for job in selection(car, ()).jobs if job.id in {j.id for j in work.jobs if j.kind == "service"}]
    assert kept == pytest.approx(later + work.cost - sum(job.gain for job in services), abs=1e-6)


def test_lines_add_up_where_the_revision_is_open() -> None:
    """Forced to mend what the candidate engines mend differently, each line carries its chance."""
    car = bought("before_the_visit")
    forced = ("coolant_pump", "chain_tensioner", "front_cover_seal")
    choice = selection(car, forced)
    work = account(pack(), car.terms.level, choice, best_jobs(choice.programme), {})
    assert {row.chance for row in work.operations} != {1.0}
    lines = sum(row.chance * row.cost for row in (*work.operations, *work.access))
    assert lines + work.as_found == pytest.approx(work.cost, abs=1e-9)


def test_a_service_comes_with_work_that_needs_it_anyway() -> None:
    """Pistons are renewed with fresh oil, so the next oil service is saved: common practice, no source."""
    car = bought("measured_compression")
    work, _ = plan_work(pack(), car.found.identity.family, car.worth, car.terms.level, car.results)
    oil = next(row for row in work.operations if row.id == "oil_service")
    assert {"ring_lands", "oil_change"} <= set(oil.jobs)


def test_services_gain_what_falls_due_less_often() -> None:
    car = bought("measured_compression")
    timeline = car.worth.basis.outlook.lanes.timeline
    family = car.found.identity.family
    assert family is not None
    for job in selection(car, ()).jobs:
        if job.kind == "service":
            service = next(s for s in family.services if s.id == job.id)
            assert job.gain > 0.0
            assert due_service(service, timeline).usual


def test_the_way_out_is_the_cheaper_one() -> None:
    level = bought("do_not_drive").terms.level
    assert level.write_off is not None
    engine = min(make_job((operation.id,), pack(), level).mean for operation in pack().another_engines())
    assert way_out(pack(), level, 1.0) is None
    assert way_out(pack(), level, max(engine, level.write_off) + 1.0) in ("another_engine", "write_off")
    worth_little = replace(level, write_off=10.0)
    assert way_out(pack(), worth_little, 11.0) == "write_off"
    assert way_out(pack(), replace(level, write_off=None), engine + 1.0) == "another_engine"
