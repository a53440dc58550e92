"""Costs on a lattice: where the budget lies, what discretising keeps, and what transforms give back."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import poisson

from riskapi.domain.jobs import Outcome, Severity
from riskapi.domain.lattice import Lattice, beyond, compound, discretise, make_lattice, quantile, transform
from tests.domain.builders import job

LATTICE = Lattice(10.0, 512)
REPAIR = Severity((Outcome(0.7, job(200.0, 320.0, 600.0), ""), Outcome(0.3, job(900.0, 1400.0, 2600.0), "")), (), None)
CAPPED = Severity(REPAIR.outcomes, (job(1200.0, 1500.0, 2200.0),), 1_750.0)


@pytest.mark.parametrize(("budget", "largest"), [(2000.0, 500.0), (2000.0, 9000.0), (150.0, 9000.0)])
def test_the_budget_lies_half_way_between_two_points(budget: float, largest: float) -> None:
    """The model, so that P(cost > budget) is a sum of whole cells."""
    lattice = make_lattice(budget, largest, 512)
    assert (budget / lattice.step) % 1.0 == pytest.approx(0.5, abs=1e-6)
    assert 0.0 < lattice.step <= 0.005 * max(budget, largest)


@pytest.mark.parametrize(("budget", "largest"), [(1.0, 1e6), (22.0, 9000.0), (22.49, 9000.0)])
def test_a_budget_below_half_a_step_lies_in_the_cell_of_zero(budget: float, largest: float) -> None:
    """The step stays as wanted, and to exceed the budget is to pay anything at all."""
    lattice = make_lattice(budget, largest, 512)
    assert lattice == Lattice(0.005 * largest, 512)
    assert budget < 0.5 * lattice.step
    pmf = np.zeros(512)
    pmf[[0, 1, 7]] = 0.6, 0.3, 0.1
    assert beyond(pmf, lattice, budget) == pytest.approx(0.4)


def test_a_budget_just_above_half_a_step_lies_half_way_again() -> None:
    lattice = make_lattice(22.51, 9000.0, 512)
    assert 1.5 * lattice.step == pytest.approx(22.51)
    assert lattice.span >= 0.9 * 512 * 45.0


@pytest.mark.parametrize(("budget", "largest"), [(2000.0, 500.0), (2000.0, 9000.0), (3000.0, 3000.0)])
def test_the_step_is_at_most_the_wanted_share(budget: float, largest: float) -> None:
    assert make_lattice(budget, largest, 512, 0.005).step <= 0.005 * max(budget, largest)


@pytest.mark.parametrize("severity", [REPAIR, CAPPED], ids=["free", "capped"])
def test_discretising_keeps_mass_and_mean(severity: Severity) -> None:
    """Rounding to the nearest point moves a smooth cost's mean by far less than a step (here 10)."""
    pmf = discretise([severity], LATTICE)[0]
    assert pmf.min() >= 0.0
    assert pmf.sum() == pytest.approx(1.0, abs=1e-12)
    assert pmf @ np.arange(LATTICE.size) * LATTICE.step == pytest.approx(severity.mean, abs=0.5)


def test_no_capped_cost_exceeds_the_write_off() -> None:
    """The model: no outcome costs more than the car is worth."""
    pmf = discretise([CAPPED], LATTICE)[0]
    assert pmf[int(CAPPED.write_off or 0) // 10 + 1 :].sum() == 0.0
    assert pmf[175] > 0.01  # an atom at the write-off


def test_a_certain_price_falls_on_its_point() -> None:
    pmf = discretise([Severity((Outcome(1.0, job(304.0, 304.0, 304.0), ""),), (), None)], LATTICE)[0]
    assert pmf[30] == 1.0


def test_what_lies_beyond_the_lattice_is_left_out_and_not_lumped() -> None:
    pmf = discretise([Severity((Outcome(1.0, job(9_000.0, 9_100.0, 9_900.0), ""),), (), None)], LATTICE)[0]
    assert pmf.sum() == 0.0


def test_severities_do_not_touch_each_other() -> None:
    together = discretise([REPAIR, CAPPED], LATTICE)
    assert together[0] == pytest.approx(discretise([REPAIR], LATTICE)[0], abs=1e-15)
    assert together[1] == pytest.approx(discretise([CAPPED], LATTICE)[0], abs=1e-15)
    assert discretise([], LATTICE).shape == (0, 512)


def test_transforms_come_back() -> None:
    pmf = discretise([REPAIR], LATTICE)[0]
    assert LATTICE.pmf(transform(pmf, LATTICE)) == pytest.approx(pmf, abs=1e-9)


def test_the_transform_at_frequency_zero_is_the_tilted_mass() -> None:
    pmf = discretise([REPAIR], LATTICE)[0]
    spectrum = transform(pmf, LATTICE)
    assert spectrum.shape == (LATTICE.frequencies,)
    assert spectrum[0] == pytest.approx(float(pmf @ LATTICE.tilt))


def test_tilting_keeps_the_far_tail_from_folding_back() -> None:
    """Gruebel & Hermesmeier (1999): aliasing falls with exp(-14); without tilting it would be the tail itself."""
    single = np.zeros(512)
    single[40] = 1.0
    count = poisson.pmf(np.arange(60), 14.0)  # most of the sum lies beyond the 512 points
    pmf = LATTICE.pmf(compound(count, transform(single, LATTICE)))
    exact = np.zeros(512)
    exact[::40] = count[: len(exact[::40])]
    assert pmf == pytest.approx(exact, abs=2e-6)
    assert pmf.sum() == pytest.approx(poisson.cdf(12, 14.0), abs=2e-6)


def test_compound_sums_powers() -> None:
    rng = np.random.default_rng(3)
    counts = rng.random((2, 5))
    per_event = rng.random(7) + 1j * rng.random(7)
    expected = sum(counts[:, n, None] * per_event**n for n in range(5))
    assert compound(counts, per_event) == pytest.approx(expected)
    assert compound(np.zeros((2, 5)), per_event) == pytest.approx(np.zeros((2, 7)))


def test_quantile_and_beyond_are_inverse_to_each_other() -> None:
    pmf = discretise([REPAIR], LATTICE)[0]
    for level in (0.1, 0.5, 0.8, 0.9, 0.99):
        cost = quantile(pmf, LATTICE, level)
        assert float(beyond(pmf, LATTICE, cost)) == pytest.approx(1.0 - level, abs=1e-9)


def test_quantiles_inside_the_atom_at_zero_are_zero() -> None:
    pmf = np.array([0.6, 0.3, 0.1])
    assert quantile(pmf, LATTICE, 0.5) == 0.0
    assert quantile(pmf, LATTICE, 0.75) == pytest.approx(10.0)  # the middle of the cell around 10


def test_what_is_not_on_the_lattice_lies_beyond_it() -> None:
    pmf = np.array([0.5, 0.2])
    assert quantile(pmf, LATTICE, 0.9) == 20.0
    assert float(beyond(pmf, LATTICE, 15.0)) == pytest.approx(0.3)
    assert float(beyond(pmf, LATTICE, 1e9)) == pytest.approx(0.3)
    assert float(beyond(pmf, LATTICE, 0.0)) == pytest.approx(0.5)
