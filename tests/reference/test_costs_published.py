"""The cost lattice against published aggregate losses, and single jobs against closed forms and draws."""

from __future__ import annotations

import warnings
from math import exp, factorial

import numpy as np
import numpy_financial
import pytest

from riskapi.domain.cost_figures import mid_discount
from riskapi.domain.jobs import Job, Outcome, Severity, capped_mean
from riskapi.domain.lattice import Lattice, beyond, compound, discretise, transform
from tests.reference.data import table
from tests.simulator.money import pert

UNIT = Lattice(1.0, 256)


def losses(frequency: np.ndarray) -> np.ndarray:
    """Distribution of a sum of that many losses of the textbook's severity."""
    rows = table("aggregate_loss")
    severity = np.zeros(UNIT.size)
    severity[: len(rows)] = [float(r["f_severity"]) for r in rows]
    return UNIT.pmf(compound(frequency, transform(severity, UNIT)))


def column(name: str) -> np.ndarray:
    return np.array([float(r[name]) for r in table("aggregate_loss")])


def test_textbook_aggregate_loss() -> None:
    """Klugman, Panjer, Willmot, Loss Models, example 9.3: frequencies 0..8, losses 1..10; mean 12.58, sd 7.66462."""
    pmf = losses(column("p_frequency")[:9])
    want = column("f_S_lossmodels")
    assert pmf[: len(want)] == pytest.approx(want, abs=1e-10)
    x = np.arange(UNIT.size)
    assert pmf @ x == pytest.approx(12.58, rel=1e-9)
    assert pmf @ x**2 - (pmf @ x) ** 2 == pytest.approx(58.7464, abs=5e-5)  # printed digits
    for retention, stop_loss in ((5, 8.06205), (10, 4.45310), (15, 2.07714), (20, 0.82019)):
        assert pmf @ np.maximum(x - retention, 0) == pytest.approx(stop_loss, abs=6e-6)
    assert beyond(pmf, UNIT, 10.5) == pytest.approx(1 - want[:11].sum(), abs=1e-9)


def test_compound_poisson() -> None:
    poisson = np.array([exp(-3) * 3**n / factorial(n) for n in range(40)])
    want = column("f_S_compound_poisson_mean3")
    assert losses(poisson)[: len(want)] == pytest.approx(want, abs=1e-9)


def job(low: float, likely: float, high: float) -> Job:
    return Job(("x",), low, likely, high, 0.0, ())


def test_one_job_on_the_lattice_has_the_mean_and_variance_of_its_pert() -> None:
    lattice = Lattice(4.0, 1024)
    pmf = discretise([Severity((Outcome(1.0, job(500, 800, 1400), ""),), (), None)], lattice)[0]
    x = np.arange(lattice.size) * lattice.step
    mean = (500 + 4 * 800 + 1400) / 6
    assert pmf.sum() == pytest.approx(1.0, abs=1e-12)
    assert pmf @ x == pytest.approx(mean, abs=1e-2)
    # rounding to the lattice adds step ** 2 / 12 to the variance
    assert pmf @ x**2 - (pmf @ x) ** 2 == pytest.approx((mean - 500) * (1400 - mean) / 7 + 16 / 12, rel=1e-3)


def test_cheapest_of_repair_other_engine_and_write_off() -> None:
    repair, engine, cap = job(900, 2500, 6000), job(2000, 2600, 4200), 2900.0
    rng = np.random.default_rng(11)
    drawn = np.minimum(pert(900, 2500, 6000, 400_000, rng), pert(2000, 2600, 4200, 400_000, rng)).clip(max=cap)
    assert capped_mean(repair, [engine], cap) == pytest.approx(drawn.mean(), abs=4 * drawn.std() / 400_000**0.5)
    lattice = Lattice(10.0, 1024)
    pmf = discretise([Severity((Outcome(1.0, repair, ""),), (engine,), cap)], lattice)[0]
    assert pmf @ np.arange(1024) * 10 == pytest.approx(capped_mean(repair, [engine], cap), abs=1.0)
    for amount in (1505.0, 2205.0, 2805.0):
        share = (drawn > amount).mean()
        assert beyond(pmf, lattice, amount) == pytest.approx(share, abs=4 * (share * (1 - share) / 400_000) ** 0.5)


@pytest.mark.parametrize(
    ("rate", "years", "printed"),
    [
        (0.03, 5, 4.5797), (0.03, 10, 8.5302), (0.03, 15, 11.9379), (0.03, 20, 14.8775), (0.03, 25, 17.4131),
        (0.07, 10, 7.0236), (0.10, 10, 6.1446),
    ],
)  # fmt: skip
def test_discounting_against_the_uniform_present_value_table(rate: float, years: int, printed: float) -> None:
    """UPV = (1 - (1 + d) ** -n) / d as tabulated with ASTM E917 and NIST Handbook 135, four printed decimals.

    The table pays at the end of each year; paid evenly over the year money is worth d / ln(1 + d) times as much.
    """
    spread_evenly = years * mid_discount(rate, years)
    assert spread_evenly * np.log1p(rate) / rate == pytest.approx(printed, abs=5.1e-5)


# ---- general libraries -----------------------------------------------------------------------------------


def by_aggregate(frequency: np.ndarray, severity: np.ndarray) -> np.ndarray:
    """P(sum of losses = 0, 1, ..). Source: the library aggregate 0.30.1 (BSD), on a lattice of its own; importing it
    warns of things that are not ours."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        from aggregate import build  # noqa: PLC0415

        counts = " ".join(map(str, range(frequency.size)))
        sizes = " ".join(map(str, range(severity.size)))
        chances, shares = (" ".join(f"{p:.17g}" for p in row) for row in (frequency, severity))
        made = build(f"agg Sums dfreq [{counts}] [{chances}] dsev [{sizes}] [{shares}]", bs=1, log2=10)
        return np.asarray(made.density_df.p_total)


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_sums_of_repairs_are_those_of_a_general_aggregate_loss_library(seed: int) -> None:
    """Numbers of repairs and their costs at random, a heavy tail in every third."""
    rng = np.random.default_rng(seed)
    frequency = rng.dirichlet(np.ones(6))
    severity = np.zeros(41)
    severity[1:] = rng.dirichlet(np.full(40, 0.1 if seed == 3 else 1.0))
    mine = np.zeros(UNIT.size)
    mine[:41] = severity
    found, want = UNIT.pmf(compound(frequency, transform(mine, UNIT))), by_aggregate(frequency, severity)
    assert want[: UNIT.size].sum() == pytest.approx(1.0, abs=1e-9)
    assert found == pytest.approx(want[: UNIT.size], abs=1e-9)


@pytest.mark.parametrize("rate", [0.01, 0.02, 0.05])
def test_discounting_is_that_of_a_general_finance_library(rate: float) -> None:
    """Source: numpy-financial 1.0.0 (BSD), present values of one payment at the middle of each of 3 x 1,000 slots."""
    middles = (np.arange(3_000) + 0.5) / 1_000
    values = -numpy_financial.pv(rate, middles, 0.0, 1.0)
    assert mid_discount(rate, 3.0) == pytest.approx(values.mean(), abs=1e-8)
