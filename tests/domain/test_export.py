"""The network of one case, for anyone who wants to recompute the posterior."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from riskapi.domain.export import network_of
from riskapi.domain.knowledge import CheckResult
from riskapi.domain.network import Network
from riskapi.domain.readings import CountedFinding
from riskapi.domain.root_axes import GENERIC
from tests.domain.weighed import full

FULL = full()
OUTLOOK, POSTERIOR = FULL.basis.outlook, FULL.basis.posterior


def network(findings: tuple[CountedFinding, ...] = FULL.readings.counted) -> Network:
    return network_of(OUTLOOK.lanes, OUTLOOK.table, POSTERIOR.groups, findings)


def test_priors_and_tables_are_chances() -> None:
    net = network()
    for root in net.roots:
        assert sum(root.prior) == pytest.approx(1.0)
        assert len(root.prior) == len(root.values)
    for point in net.weak_points:
        assert np.array(point.chances).sum(axis=1) == pytest.approx(1.0)
    for check in net.checks:
        assert np.array(check.table).sum(axis=1) == pytest.approx(1.0)


def test_root_combinations_are_the_product_of_the_roots_in_row_major_order() -> None:
    net = network()
    assert [root.name for root in net.roots] == ["revision", "care", "tune"]
    combined = np.einsum("i,j,k->ijk", *(np.array(root.prior) for root in net.roots)).ravel()
    assert combined == pytest.approx([root.weight for root in OUTLOOK.lanes.roots])
    assert len(net.history_likelihood) == combined.size


def test_prior_history_and_chances_give_back_the_masses() -> None:
    """P(states, history | roots) is a product over weak points, whose joint masses the table holds."""
    net = network()
    totals = OUTLOOK.table.masses.sum(axis=1)
    likelihood = totals.prod(axis=0)
    assert net.history_likelihood == pytest.approx(likelihood / likelihood.max())
    for w, point in enumerate(net.weak_points):
        assert np.array(point.chances).T * totals[w] == pytest.approx(OUTLOOK.table.masses[w], rel=1e-12)


def test_every_symptom_that_was_looked_at_is_in_it_with_the_zones_above() -> None:
    low = tuple(f for f in FULL.readings.counted if f.check.id == "low")
    assert [s.id for s in network(low).symptoms] == ["wet_top", "wet_low"]
    (arc,) = [p for p in network(low).symptoms[1].parents if p.kind == "symptom"]
    assert (arc.id, arc.cdf[0][0]) == ("wet_top", (1.0, 1.0, 1.0))


def test_findings_are_evidence_by_name() -> None:
    net = network()
    assert dict(net.evidence)["told_noise_seller"] == "r1"
    assert [check.id for check in net.checks] == [name for name, _ in net.evidence]
    deposits = next(check for check in net.checks if check.id == "deposits")
    assert (deposits.parent_kind, deposits.parent) == ("root", "care")


def test_a_feature_is_a_table_over_the_revisions() -> None:
    finding = next(f for f in FULL.readings.counted if f.check.id == "deposits")
    results = (CheckResult("round", "", ()), CheckResult("square", "", ()))
    check = replace(finding.check, root="revision", results=results, features=(("first",), ("second",)))
    node = network((replace(finding, check=check),)).checks[0]
    owners = {"first": (1.0, 0.0), "second": (0.0, 1.0)}
    assert node.parent == "revision"
    assert node.table == tuple(owners[str(c.revision.id if c.revision else GENERIC)] for c in OUTLOOK.lanes.candidates)
