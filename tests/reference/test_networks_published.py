"""The sweep and the two slow second methods against published and library results for noisy-OR and noisy-MAX."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

import pytest

from riskapi.domain.network import CheckNode, Network, ParentLink, SymptomNode, WeakPointNode
from tests.reference.data import document, table
from tests.simulator.exact import enumerated, expanded
from tests.simulator.networks import swept_without_roots

YES = ((1.0, 0.0), (0.0, 1.0))


def weak(name: str, chance: float) -> WeakPointNode:
    """A cause that is sound or faulty."""
    return WeakPointNode(name, ((1 - chance, 0.0, chance),))


def link(name: str, below: tuple[float, ...], kind: str = "weak_point") -> ParentLink:
    """Faulty, the cause alone stays at or below each level with these chances; else it shows nothing."""
    quiet = (1.0,) * len(below)
    return ParentLink(name, kind, ((quiet, quiet, below),))


def network(
    weak_points: tuple[WeakPointNode, ...],
    symptoms: tuple[SymptomNode, ...],
    evidence: dict[str, str],
    table_: tuple[tuple[float, ...], ...] = YES,
) -> Network:
    """Every symptom read by one check of the same name; `table_` is its reader."""
    checks = tuple(
        CheckNode(s.id, "symptom", s.id, tuple(f"r{k}" for k in range(len(table_[0]))), table_) for s in symptoms
    )
    return Network((), (), weak_points, symptoms, checks, tuple(evidence.items()))


def bn2o() -> tuple[Network, list[dict[str, Any]]]:
    """The four-cause network with leaks, and its cases."""
    given = document("bn2o_noisy_or_cases")
    causes = tuple(weak(name.lower(), p) for name, p in given["causes"].items())
    symptoms = tuple(
        SymptomNode(
            name.lower(),
            ("no", "yes"),
            (1 - f["leak"], 1.0),
            tuple(link(c.lower(), (1 - w, 1.0)) for c, w in f["weights"].items()),
        )
        for name, f in given["findings"].items()
    )
    return network(causes, symptoms, {}), given["cases"]


@pytest.mark.parametrize("case", bn2o()[1], ids=lambda c: json.dumps(c["evidence"]))
def test_four_causes_with_leaks(case: dict[str, Any]) -> None:
    net = replace(bn2o()[0], evidence=tuple((f.lower(), f"r{v}") for f, v in case["evidence"].items()))
    exact, (chance, states), (total, rows) = enumerated(net), expanded(net), swept_without_roots(net)
    assert float(exact.evidence) == pytest.approx(case["p_evidence"], rel=1e-9)
    assert chance == pytest.approx(case["p_evidence"], rel=1e-9)
    assert total == pytest.approx(case["p_evidence"], rel=1e-9)
    for cause, value in case["posterior"].items():
        assert rows[cause.lower()][2] == pytest.approx(value, rel=1e-9)
        assert float(exact.states[cause.lower()][2]) == pytest.approx(value, rel=1e-9)
        assert states[cause.lower()][2] == pytest.approx(value, abs=1e-9)


@pytest.mark.parametrize("row", table("noisy_or_fever"), ids=lambda r: r["cold"] + r["flu"] + r["malaria"])
def test_published_fever_table(row: dict[str, str]) -> None:
    inhibition = {"cold": 0.6, "flu": 0.2, "malaria": 0.1}
    fever = SymptomNode("fever", ("no", "yes"), (1.0, 1.0), tuple(link(n, (q, 1.0)) for n, q in inhibition.items()))
    net = network(tuple(weak(name, float(row[name])) for name in inhibition), (fever,), {"fever": "r1"})
    assert float(enumerated(net).evidence) == pytest.approx(float(row["p_fever"]), abs=1e-12)
    assert swept_without_roots(net)[0] == pytest.approx(float(row["p_fever"]), abs=1e-12)
    assert expanded(replace(net, evidence=(("fever", "r0"),)))[0] == pytest.approx(1 - float(row["p_fever"]), abs=1e-12)


@pytest.mark.parametrize("level", range(3))
def test_noisy_max_with_three_levels(level: int) -> None:
    given = document("noisy_max_case")
    below = {n: (e[0], e[0] + e[1], 1.0) for n, e in given["effect_given_cause_alone"].items()}
    leak = given["leak"]
    sign = SymptomNode(
        "e", ("0", "1", "2"), (leak[0], leak[0] + leak[1], 1.0), tuple(link(n.lower(), b) for n, b in below.items())
    )
    read = tuple(tuple(float(k == r) for r in range(3)) for k in range(3))
    net = network(tuple(weak(n.lower(), p) for n, p in given["priors"].items()), (sign,), {"e": f"r{level}"}, read)
    want = given["posterior"][level]
    exact, (chance, states), (total, rows) = enumerated(net), expanded(net), swept_without_roots(net)
    assert float(exact.evidence) == pytest.approx(want["pE"], rel=1e-12)
    assert total == pytest.approx(want["pE"], rel=1e-12)
    assert chance == pytest.approx(want["pE"], rel=1e-12)
    for name in ("a", "b"):
        assert rows[name][2] == pytest.approx(want[name.upper()], rel=1e-12)
        assert float(exact.states[name][2]) == pytest.approx(want[name.upper()], rel=1e-12)
        assert states[name][2] == pytest.approx(want[name.upper()], rel=1e-12)


@pytest.mark.parametrize("row", table("delay_three_state"), ids=lambda r: r["age_km"])
@pytest.mark.parametrize(
    ("result", "column"), [("r1", "p_def_given_pos_sens80_spec95"), ("r0", "p_def_given_neg_sens80_spec95")]
)
def test_a_look_at_a_defect_that_has_not_failed_yet(row: dict[str, str], result: str, column: str) -> None:
    """Delay-time model: 'has not failed' is one check, a look of 80 % sensitivity and 95 % specificity another."""
    good, defective, failed = (float(row[c]) for c in ("p_good", "p_defective", "p_failed"))
    defect = SymptomNode(
        "defect", ("no", "yes"), (1.0, 1.0), (ParentLink("w", "weak_point", (((1, 1), (0, 1), (0, 1)),)),)
    )
    stopped = SymptomNode("stopped", ("no", "yes"), (1.0, 1.0), (link("w", (0.0, 1.0)),))
    checks = (
        CheckNode("look", "symptom", "defect", ("r0", "r1"), ((0.95, 0.05), (0.2, 0.8))),
        CheckNode("runs", "symptom", "stopped", ("r0", "r1"), YES),
    )
    total = good + defective + failed
    chances = ((good / total, defective / total, failed / total),)
    net = Network((), (), (WeakPointNode("w", chances),), (defect, stopped), checks, (("look", result), ("runs", "r0")))
    assert float(enumerated(net).states["w"][1]) == pytest.approx(float(row[column]), rel=1e-6)
    assert swept_without_roots(net)[1]["w"][1] == pytest.approx(float(row[column]), rel=1e-6)
