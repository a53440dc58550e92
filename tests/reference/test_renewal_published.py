"""Past and future together against the Weibull renewal function: expected failures between two times."""

from __future__ import annotations

import numpy as np
import pytest

from riskapi.domain import future, renewal
from riskapi.domain.new_parts import new_parts
from riskapi.domain.timeline import build_timeline, effective_clocks
from tests.reference.data import table
from tests.simulator.build import mode, part

SCALE = 10.0  # [years], so that the half-year cells of the ownership period are a twentieth of the scale


def lane(shape: float, scale: float, now: float, years: float) -> renewal.Lane:
    """A part that is renewed at once, on the age clock alone."""
    timeline = build_timeline([], now, 10_000.0 * now, 10_000.0, years)
    return renewal.Lane(
        timeline=timeline, clocks=effective_clocks(timeline, []), parts=(part(mode(years=(shape, scale))),), start=0.0,
        start_part=0, run_y=0.0, run_z=0.0, supplies=((0.0, 0),), told=None, looks=(), never_renewed=False, delay=0.0,
        left=0.0, pf_y=0.0, pf_z=0.0, kept=0.0, kinks=(),
    )  # fmt: skip


def expected_failures(shape: float, scale: float, now: float, years: float) -> tuple[float, float]:
    """Mean failures within `years` of a car of age `now`, and of a part fitted today."""
    car, nodes = lane(shape, scale, now, years), np.zeros(1)
    cells = future.future_edges(now, years)
    before = renewal.past([car], nodes, cells)
    pmf = future.counts(before, new_parts([car], nodes, cells), cells, [len(cells) - 1], 0.0).pmf[0, 0, 0]
    number = np.arange(pmf.shape[1])
    return float((pmf[:3] @ number).sum()), float(pmf[3] @ number)


def pairs() -> list[tuple[float, float, float, float, float]]:
    published = {(float(r["beta"]), float(r["t"])): float(r["M_of_t(eta=1)"]) for r in table("weibull_renewal")}
    neighbours = ((0.25, 0.5), (0.5, 1.0), (1.0, 1.5), (1.5, 2.0), (2.0, 3.0), (3.0, 5.0))
    return [
        (beta, early, late, published[beta, early], published[beta, late])
        for beta in sorted({beta for beta, _ in published})
        for early, late in neighbours
    ]


@pytest.mark.parametrize(("beta", "early", "late", "m_early", "m_late"), pairs())
def test_failures_between_two_times_are_the_difference_of_the_renewal_function(
    beta: float, early: float, late: float, m_early: float, m_late: float
) -> None:
    mean, _ = expected_failures(beta, SCALE, early * SCALE, (late - early) * SCALE)
    # a falling hazard is infinite at the start of a life, where half-year cells are coarse
    assert mean == pytest.approx(m_late - m_early, rel=3e-3 if beta < 1 else 4e-4)


@pytest.mark.parametrize("row", table("tijms_table_8_1_1"), ids=lambda r: f"{r['cv2']}-{r['t']}")
def test_a_new_part_follows_tijms_table_8_1_1(row: dict[str, str]) -> None:
    scale, time = SCALE * float(row["eta(mean=1)"]), SCALE * float(row["t"])
    _, mean = expected_failures(float(row["beta"]), scale, 1.0, time)
    printed = 5e-4 if float(row["M_published"]) >= 1 else 5e-5
    assert mean == pytest.approx(float(row["M_published"]), abs=printed, rel=3e-3 if float(row["beta"]) < 1 else 4e-4)


def test_exponential_life_forgets_its_past() -> None:
    for now in (1.0, 9.0, 33.0):
        mean, fresh = expected_failures(1.0, SCALE, now, 3.0)
        assert mean == pytest.approx(0.3, rel=2e-4)
        assert fresh == pytest.approx(0.3, rel=2e-4)
