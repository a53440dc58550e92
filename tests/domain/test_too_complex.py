"""A hostile case is refused with the findings that hang together; large ones short of that are planned with care."""

from __future__ import annotations

import json
from dataclasses import replace

import numpy as np
import pytest

from riskapi.domain import posterior
from riskapi.domain.knowledge import Pack
from riskapi.domain.sweep_plan import LIMIT, OpenSymptom, make_plan
from riskapi.errors import TooComplex
from riskapi.intake import case_from_json
from riskapi.service import assess
from tests.conftest import ROOT
from tests.domain.weighed import full, weigh
from tests.knots import ENOUGH, knotted


def test_a_hostile_case_is_refused_with_the_findings_that_hang_together() -> None:
    case, pack = knotted()
    with pytest.raises(TooComplex) as caught:
        assess(case, pack)
    told = {fault.place: fault.message for fault in caught.value.faults}
    for k in range(ENOUGH):
        assert told[f"/findings/{k + 1}"].startswith("smooth: r1 hangs together")
    assert "exact answer needs" in str(caught.value)


def test_what_does_not_hang_together_with_them_is_not_named() -> None:
    case, pack = knotted()
    calm = tuple(replace(p, effects=tuple(e for e in p.effects if e.symptom != "rattle")) for p in pack.weak_points)
    with pytest.raises(TooComplex) as caught:
        assess(case, replace(pack, weak_points=calm))
    assert "/findings/0" not in {fault.place for fault in caught.value.faults}  # listens for the rattle
    assert len(caught.value.faults) == ENOUGH


def test_fewer_findings_of_the_same_kind_are_answered() -> None:
    case, pack = knotted(5)
    found = weigh(case, pack, nodes=1).basis.posterior
    assert found.state.sum(axis=1).sum(axis=1) == pytest.approx(1.0)


def test_the_limit_is_that_of_one_array() -> None:
    """2 ** 13 entries, 13 open symptoms of two classes; every check of the shipped pack gone wrong needs 1,024."""
    table = np.array([[1.0, 1.0], [0.5, 1.0], [0.2, 1.0]])
    fits = [OpenSymptom(f"s{k}", np.array([0.9, 1.0]), dict.fromkeys((0, 1), table), {}) for k in range(13)]
    assert make_plan(2, fits).largest == LIMIT == 2**13


def test_what_if_columns_taken_in_halves_are_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    whole = full().basis.posterior
    monkeypatch.setattr(posterior, "SIDE_BY_SIDE", 0)
    parts = weigh(full().case, full().pack).basis.posterior
    for name in ("state", "prior", "root_chance", "alone", "last_in"):
        assert getattr(parts, name) == pytest.approx(getattr(whole, name), rel=1e-12, abs=1e-12)


def test_all_checks_of_the_shipped_pack_gone_wrong_are_within_the_limit(shipped: Pack) -> None:
    """Far more than anybody finds: 89 checks, each with its last result."""
    body = json.loads((ROOT / "sample_requests" / "noisy_early.json").read_text(encoding="utf-8"))
    bad = [
        {"check": c.id, "result": c.results[-1].id, "conditions": dict.fromkeys(c.needs, True)}
        for c in shipped.checks
        if c.from_case is None and not c.root
    ]
    found = weigh(case_from_json(body | {"findings": bad}, shipped), shipped, nodes=1).basis.posterior
    assert all(64 < group.observed.plan.largest <= LIMIT for group in found.groups)
    assert found.state.sum(axis=1).sum(axis=1) == pytest.approx(1.0)
    assert found.alone.shape[0] >= 60
