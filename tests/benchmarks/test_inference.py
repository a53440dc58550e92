"""How fast the posterior is: `python -m pytest tests/benchmarks/test_inference.py --benchmark-enable -s`.

All marginals of the largest sample case under one root combination, by the sweep and, on the same network in the same
run, by pgmpy 1.1.2 (variable elimination, one query per weak point) and pyAgrum 3.3.1 (lazy propagation, a C++
library). The aims are 300 and 20 times as fast as those. And one whole assessment with 45 weak points and 30 findings,
8 of them positive around shared causes; the aim is a median of 60 ms. These are measurements: nothing here fails for
being slow, but the marginals of all three must agree.
"""

from __future__ import annotations

import json
import warnings
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import product
from pathlib import Path
from time import perf_counter
from typing import Any

import numpy as np
import pytest
from numpy.testing import assert_allclose
from pytest_benchmark.fixture import BenchmarkFixture

from riskapi import service
from riskapi.domain.case import Case
from riskapi.domain.evidence import observe, tables_of
from riskapi.domain.identify import identify
from riskapi.domain.knowledge import Pack
from riskapi.domain.lanes import lane_set
from riskapi.domain.network import Network, WeakPointNode
from riskapi.domain.readings import read_findings
from riskapi.domain.sweep import Sweep
from riskapi.domain.sweep_matrices import MatrixSweep
from riskapi.domain.terms import terms_of
from riskapi.intake import case_from_json
from riskapi.report.bif import bif
from riskapi.report.bifxml import bifxml
from riskapi.report.tables import conditional_tables, evidence
from riskapi.service import assess
from tests.conftest import ROOT

LARGEST = "measured_compression"  # of all samples the one whose findings hang together most closely
Marginals = dict[str, list[float]]


# ---- marginals -----------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class OneRoot:
    """The largest sample under its likeliest root combination: as a network for anyone, and as the sweep's input."""

    network: Network
    masses: np.ndarray
    observe_again: Callable[[], Any]


@lru_cache(maxsize=1)
def one_root(pack: Pack) -> OneRoot:
    case = sample(LARGEST, pack)
    assessment = assess(case, pack)
    index = int(np.argmax(assessment.network.history_likelihood))
    network = under_root(assessment.network, index)
    identity, readings, terms = identify(case, pack), read_findings(case, pack), terms_of(case, pack)
    lanes = lane_set(case, pack, identity, terms.annual, terms.years)
    traits = lanes.candidates[lanes.roots[index].candidate].traits
    tables = tables_of(pack, tuple(w.id for w in lanes.weak_points), traits)
    seen: dict[str, np.ndarray] = {}
    for finding in readings.counted:
        if finding.check.symptom is not None:
            likelihood = np.array(finding.likelihood)[:, None]
            seen[finding.check.symptom] = seen.get(finding.check.symptom, 1.0) * likelihood
    masses = np.array([w.chances[0] for w in network.weak_points])[..., None]
    return OneRoot(network, masses, lambda: observe(len(masses), tables, seen, 1))


def sample(name: str, pack: Pack) -> Case:
    return case_from_json(json.loads((ROOT / "sample_requests" / f"{name}.json").read_text(encoding="utf-8")), pack)


def under_root(network: Network, index: int) -> Network:
    """The network with its roots known: they and what reads them are gone."""
    values = list(product(*(range(len(root.values)) for root in network.roots)))[index]
    revision = dict(zip((root.name for root in network.roots), values, strict=True)).get("revision", 0)
    symptoms = tuple(
        replace(s, parents=tuple(replace(p, cdf=(p.cdf[revision if len(p.cdf) > 1 else 0],)) for p in s.parents))
        for s in network.symptoms
    )
    checks = tuple(check for check in network.checks if check.parent_kind != "root")
    seen = tuple(entry for entry in network.evidence if entry[0] in {check.id for check in checks})
    points = tuple(WeakPointNode(w.id, (w.chances[index],)) for w in network.weak_points)
    return Network((), (1.0,), points, symptoms, checks, seen)


def ways(pack: Pack, folder: Path) -> dict[str, Callable[[], Marginals]]:
    """Every way to the marginals of all weak points; files are read and plans made beforehand, except where said."""
    import pyagrum  # noqa: PLC0415 (slow to import; only needed here)

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        from pgmpy.inference import VariableElimination  # noqa: PLC0415
        from pgmpy.readwrite import BIFReader  # noqa: PLC0415

    given = one_root(pack)
    names = [w.id for w in given.network.weak_points]
    tables, seen = conditional_tables(given.network), evidence(given.network)
    file = folder / "network.bifxml"
    file.write_text(bifxml(tables), encoding="utf-8")
    agrum, pgm = pyagrum.loadBN(str(file)), BIFReader(string=bif(tables)).get_model()
    observed = given.observe_again()
    matrices, steps = MatrixSweep(observed.plan, observed.weights), Sweep(observed.plan, observed.weights)

    def ours(sweep: MatrixSweep | Sweep) -> Marginals:
        total, joint = sweep.marginals(given.masses * observed.factors)
        return dict(zip(names, (joint / total)[..., 0].tolist(), strict=True))

    def from_nothing() -> Marginals:
        again = given.observe_again()
        total, joint = Sweep(again.plan, again.weights).marginals(given.masses * again.factors)
        return dict(zip(names, (joint / total)[..., 0].tolist(), strict=True))

    def lazy() -> Marginals:
        engine = pyagrum.LazyPropagation(agrum)
        engine.setTargets(set(names))
        engine.setEvidence(dict(seen))
        engine.makeInference()
        return {name: engine.posterior(name).tolist() for name in names}

    def elimination() -> Marginals:
        engine = VariableElimination(pgm)
        answers = {name: engine.query([name], evidence=seen, show_progress=False) for name in names}
        states = ("sound", "degraded", "faulty")
        return {name: [float(a.get_value(**{name: s})) for s in states] for name, a in answers.items()}

    return {
        "sweep": lambda: ours(matrices),
        "sweep by steps": lambda: ours(steps),
        "sweep, plan included": from_nothing,
        "pyAgrum": lazy,
        "pgmpy": elimination,
    }


def seconds(way: Callable[[], Marginals], times: int) -> float:
    """Median of some runs [s]."""
    taken = []
    for _ in range(times):
        start = perf_counter()
        way()
        taken.append(perf_counter() - start)
    return float(np.median(taken))


def test_all_marginals_of_the_largest_sample(benchmark: BenchmarkFixture, shipped: Pack, tmp_path: Path) -> None:
    """The sweep is what pytest-benchmark times; the others are timed in turn with it and told as ratios."""
    found = ways(shipped, tmp_path)
    wanted = found["pyAgrum"]()
    for way in found.values() if not benchmark.disabled else [found["sweep"], found["sweep, plan included"]]:
        for name, chances in way().items():
            assert_allclose(chances, wanted[name], rtol=0, atol=1e-9, err_msg=name)
    benchmark(found["sweep"])
    if benchmark.disabled:
        return
    taken = {name: [seconds(way, 1 if name == "pgmpy" else 21) for _ in range(3)] for name, way in found.items()}
    medians = {name: float(np.median(rows)) for name, rows in taken.items()}
    told = {f"{name} [ms]": round(1e3 * value, 3) for name, value in medians.items()}
    for other in ("pyAgrum", "pgmpy"):
        for mine in ("sweep", "sweep, plan included"):
            told[f"{other} / {mine}"] = round(medians[other] / medians[mine], 1)
    benchmark.extra_info.update(told)
    print("", *(f"{name}: {value}" for name, value in told.items()), sep="\n")


# ---- one assessment of 45 weak points and 30 findings -----------------------------------------------------------

SHARED = ("cold_start_sound", "listen_cam_drive", "listen_top_tick", "read_cam_deviation", "look_front_cover",
          "look_valve_cover", "look_sump", "watch_smoke_load")  # fmt: skip


def car_of_45(shipped: Pack) -> tuple[Case, Pack]:
    """45 weak points of the shipped pack (those expected to cost most), 30 findings, 8 of them worse than the best and
    around shared causes (cam drive and oil), the tune and the care unknown."""
    body = json.loads((ROOT / "sample_requests" / "noisy_early.json").read_text(encoding="utf-8"))
    body["service_history"] = [e for e in body["service_history"] if e["work"] in ("oil_service", "reading")]
    body["vehicle"].pop("moves_under_own_power")
    done = [c for c in shipped.checks if c.from_case is None and c.part_of is None and not c.root]
    chosen = sorted(done, key=lambda c: (c.id not in SHARED, c.order))[:30]
    body["findings"] = [
        {
            "check": c.id,
            "result": c.results[1 if c.id in SHARED else 0].id,
            "conditions": dict.fromkeys(c.needs, True),
        }
        for c in chosen
    ]
    case = case_from_json(body, shipped)
    keep = {result.id for result in assess(case, shipped).weak_points[:45]}
    families = [replace(f, fits=tuple(fit for fit in f.fits if fit.weak_point in keep)) for f in shipped.families]
    points = tuple(wp for wp in shipped.weak_points if wp.id in keep)
    return case, replace(shipped, weak_points=points, families=tuple(families))


def test_one_assessment_of_45_weak_points_and_30_findings(
    benchmark: BenchmarkFixture, shipped: Pack, monkeypatch: pytest.MonkeyPatch
) -> None:
    case, pack = car_of_45(shipped)
    result = benchmark(assess, case, pack)
    assert len(result.weak_points) == 45
    assert len(result.coverage.checked) == 30
    assert sum(pack.check(c.check).result_index(c.result) > 0 for c in result.coverage.checked) == 8
    assert result.inputs is not None
    told = {"roots": len(result.inputs.lanes.roots), "doubt nodes": len(result.inputs.doubt_nodes)}
    if not benchmark.disabled:
        told |= {f"{name} [ms]": value for name, value in stages(case, pack, monkeypatch).items()}
        print("", *(f"{name}: {value}" for name, value in told.items()), sep="\n")
    benchmark.extra_info.update(told)


STAGES = ("identify", "read_findings", "lane_set", "look_ahead", "group_roots", "infer", "price_table", "expected",
          "draw_curves", "cost_figures", "fixed_chances", "risk_figures", "price", "decide", "network_of")  # fmt: skip


def stages(case: Case, pack: Pack, monkeypatch: pytest.MonkeyPatch, times: int = 15) -> dict[str, float]:
    """Median time of every call of the pipeline [ms]."""
    taken: dict[str, list[float]] = {}

    def timed(name: str, call: Callable[..., Any]) -> Callable[..., Any]:
        def run(*given: Any, **more: Any) -> Any:
            start = perf_counter()
            answer = call(*given, **more)
            taken.setdefault(name, []).append(1e3 * (perf_counter() - start))
            return answer

        return run

    for name in STAGES:
        if hasattr(service, name):
            monkeypatch.setattr(service, name, timed(name, getattr(service, name)))
    for _ in range(times):
        service.assess(case, pack)
    return {name: round(float(np.median(rows)), 1) for name, rows in taken.items()}
