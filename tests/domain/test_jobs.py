"""What a repair costs: beta-PERT money, shared access, follow-on work, and the cheapest way out."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.stats import beta

from riskapi.domain.jobs import (
    Job,
    PriceLevel,
    capped_mean,
    capped_survival,
    default_level,
    make_job,
    pert_bounds,
    pert_survivals,
    price_level,
    severity,
)
from riskapi.domain.knowledge import Traits
from tests.domain.builders import job
from tests.simulator import tiny, tiny_cases

PACK, CASE = tiny.pack(), tiny_cases.plain_case()
PLAIN = PriceLevel("EUR", 100.0, 1.0, 0.2, "transverse", None)
JOBS = [job(100.0, 150.0, 300.0), job(0.0, 500.0, 500.0), job(40.0, 40.0, 400.0), job(200.0, 200.0, 200.0)]


def pert(one: Job) -> tuple[float, float, float, float]:
    """scipy.stats.beta parameters: alpha = 1 + 4 (m - a) / (b - a), beta = 6 - alpha, on a .. b."""
    width = one.high - one.low
    alpha = 1.0 + 4.0 * (one.likely - one.low) / width
    return alpha, 6.0 - alpha, one.low, width


@pytest.mark.parametrize("one", JOBS[:3], ids=str)
def test_mean_and_variance_of_a_pert(one: Job) -> None:
    """The model, mean (a + 4m + b) / 6 and variance (mu - a)(b - mu) / 7, against scipy.stats.beta."""
    a, b, low, width = pert(one)
    mean, variance = beta.stats(a, b, low, width, moments="mv")
    assert one.mean == pytest.approx(float(mean))
    assert (one.mean - one.low) * (one.high - one.mean) / 7.0 == pytest.approx(float(variance))


def test_survivals_of_many_jobs_in_one_call() -> None:
    """Source: scipy.stats.beta; a price without spread is certain."""
    x = np.linspace(-10.0, 520.0, 60)
    found = pert_survivals(pert_bounds(JOBS), np.full(4, x.size), np.tile(x, 4)).reshape(4, -1)
    for one, row in zip(JOBS[:3], found, strict=False):
        a, b, low, width = pert(one)
        assert row == pytest.approx(beta.sf(x, a, b, low, width), abs=1e-12)
    assert found[3].tolist() == (x < 200.0).tolist()


@pytest.mark.parametrize("write_off", [None, 240.0, 110.0, 1e6])
@pytest.mark.parametrize(
    "engines", [(), (job(180.0, 220.0, 350.0),), (job(180.0, 220.0, 350.0), job(90.0, 260.0, 400.0))]
)
def test_capped_mean_is_the_integral_of_the_survival(engines: tuple[Job, ...], write_off: float | None) -> None:
    """Source: scipy.integrate.quad over P(cheapest > x)."""
    one = JOBS[0]

    def more(x: float) -> float:
        return float(capped_survival(one, engines, write_off, np.array([x, 1e9]))[0])

    corners = sorted({100.0, 150.0, 300.0, *(c for e in engines for c in (e.low, e.likely)), write_off or 0.0})
    ceiling = 300.0 if write_off is None else min(300.0, write_off)
    inner = [c for c in corners if 0.0 < c < ceiling]
    expected, _ = quad(more, 0.0, ceiling, points=inner, limit=200, epsabs=1e-9)
    assert capped_mean(one, engines, write_off) == pytest.approx(expected, abs=2e-4)


def test_no_way_out_dearer_than_the_repair_changes_anything() -> None:
    assert capped_mean(JOBS[0], (job(400.0, 500.0, 900.0),), 300.0) == JOBS[0].mean


def test_a_worthless_car_costs_nothing_to_give_up() -> None:
    assert capped_mean(JOBS[0], (), 0.0) == 0.0


def test_a_job_pays_each_access_step_once_with_follow_on_work() -> None:
    """Chain: 5 h, cover 3 h x 1.3 under the undertray 0.4 h, and the oil service that follows on, 0.5 h."""
    chain = make_job(("chain",), PACK, PLAIN)
    assert chain.operations == ("chain", "oil")
    assert dict(chain.access) == {"undertray": 0.4, "front_cover": pytest.approx(3.9)}
    assert chain.hours == pytest.approx(5.0 + 0.5 + 0.4 + 3.9)
    parts = 420.0 + 60.0 + 25.0  # chain, oil, one-use parts of the cover
    assert chain.likely == pytest.approx(1.2 * (parts + 100.0 * chain.hours))


def test_two_operations_share_their_access() -> None:
    both = make_job(("chain", "seal"), PACK, PLAIN)
    apart = make_job(("chain",), PACK, PLAIN).hours + make_job(("seal",), PACK, PLAIN).hours
    assert apart - both.hours == pytest.approx(0.4 + 3.9)


@pytest.mark.parametrize(("fitting", "hours"), [("transverse", 3.9), ("longitudinal", 2.7), (None, 3.3)])
def test_fitting_decides_access_and_is_averaged_where_unknown(fitting: str | None, hours: float) -> None:
    seal = make_job(("seal",), PACK, replace(PLAIN, installation=fitting))
    assert dict(seal.access)["front_cover"] == pytest.approx(hours)


def test_parts_prices_scale_with_class_and_index() -> None:
    level = price_level(replace(CASE, vehicle=replace(CASE.vehicle, parts_class="premium")), PACK)
    assert level.parts_factor == pytest.approx(1.3)
    oil, dear = make_job(("oil",), PACK, PLAIN), make_job(("oil",), PACK, replace(PLAIN, parts_factor=2.0))
    assert dear.likely - oil.likely == pytest.approx(1.2 * 60.0)


def test_the_write_off_is_the_value_less_scrap() -> None:
    assert price_level(CASE, PACK).write_off == pytest.approx(9_000.0 - 400.0)
    asked = replace(CASE, market=replace(CASE.market, sound_value=None, asking_price=300.0))
    assert price_level(asked, PACK).write_off == 0.0
    silent = replace(CASE, market=replace(CASE.market, sound_value=None))
    assert price_level(silent, PACK).write_off is None


def test_the_default_level_is_out_of_the_sellers_reach() -> None:
    """The model: published chances are on pack-default rates."""
    level = default_level(CASE, PACK)
    assert (level.labour_rate, level.tax, level.parts_factor, level.write_off) == (95.0, 0.2, 1.0, None)


def test_rows_take_their_chance_and_the_last_row_what_is_left() -> None:
    table = PACK.weak_point("chain").in_service  # 30 % head where valves can meet pistons, else the chain
    shares = [o.chance for o in severity(table, Traits((("interference", "yes"),)), PACK, PLAIN).outcomes]
    assert shares == pytest.approx([0.3, 0.7])
    shares = [o.chance for o in severity(table, Traits((("interference", "no"),)), PACK, PLAIN).outcomes]
    assert shares == pytest.approx([1.0])
    unknown = [o.chance for o in severity(table, Traits(), PACK, PLAIN).outcomes]
    assert unknown == pytest.approx([0.24, 0.76])


def test_another_engine_caps_every_repair() -> None:
    found = severity(PACK.weak_point("chain").in_service, Traits((("interference", "yes"),)), PACK, PLAIN)
    assert [engine.operations[0] for engine in found.engines] == ["used_engine"]
    assert found.mean <= sum(o.chance * o.job.mean for o in found.outcomes)
