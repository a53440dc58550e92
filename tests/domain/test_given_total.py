"""Each weak point's share of a given total: shares add up to it, and averaged over all totals they are the means."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from riskapi.domain.costing import REPAIRS, Basis, Prices, distribution, make_transforms, unplanned
from riskapi.domain.given_total import means_at, means_given_total
from riskapi.domain.jobs import Outcome, Severity
from riskapi.domain.lattice import Lattice
from riskapi.domain.means import expected
from tests.domain.builders import job
from tests.domain.weighed import full, plain


@pytest.mark.parametrize("basis", [full().basis, plain().basis], ids=["full", "plain"])
@pytest.mark.parametrize("total", [90.0, 1_300.0, 4_000.0])
def test_shares_add_up_to_the_total(basis: Basis, total: float) -> None:
    shares = means_given_total(basis, total, 4_000.0)
    assert shares.sum() == pytest.approx(total, rel=1e-5)
    assert (shares >= 0.0).all()


def in_hundreds(basis: Basis) -> Basis:
    """The same car where every repair costs a fixed whole number of hundreds: no rounding on a lattice of them."""

    def fixed(hundreds: int) -> Severity:
        return Severity((Outcome(1.0, job(*(3 * [100.0 * hundreds])), ""),), (), None)

    return replace(basis, prices={key: Prices(fixed(2 + key[0]), fixed(1 + key[0]), None) for key in basis.prices})


def test_averaged_over_all_totals_they_are_the_means() -> None:
    """The law of total expectation."""
    basis, lattice = in_hundreds(full().basis), Lattice(100.0, 256)
    pmf = distribution(basis, make_transforms(basis.prices, lattice, REPAIRS), unplanned(basis.term))
    assert pmf.sum() == pytest.approx(1.0, abs=1e-6)
    averaged = sum(pmf[k] * means_at(basis, lattice, k) for k in np.flatnonzero(pmf > 1e-12))
    assert averaged == pytest.approx(expected(basis).unplanned, rel=1e-5)


def test_nothing_costs_nothing() -> None:
    assert not np.any(means_given_total(full().basis, 0.0, 1_000.0))
