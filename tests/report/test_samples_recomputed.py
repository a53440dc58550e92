"""The posterior of the shipped samples, recomputed from the exported network by other programs."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from numpy.testing import assert_allclose

from riskapi.domain.assessment import Assessment
from riskapi.domain.knowledge import Pack
from riskapi.intake import read_case
from riskapi.report.bif import bif
from riskapi.report.bifxml import bifxml
from riskapi.report.tables import conditional_tables, evidence
from riskapi.service import assess
from tests.conftest import SAMPLES
from tests.report.libraries import agrum_posteriors, pgmpy_posteriors

LONG = bool(os.environ.get("RISKAPI_LONG"))


def test_open_traits_by_pyagrum(shipped: Pack, tmp_path: Path) -> None:
    """Chances of the values of every open trait. Source: pyAgrum 3.3.1, lazy propagation on the XMLBIF file."""
    path = next(path for path in SAMPLES if path.stem == "port_injected")
    assessment = assess(read_case(path.read_bytes(), shipped), shipped)
    file = tmp_path / "network.bifxml"
    file.write_text(bifxml(conditional_tables(assessment.network)), encoding="utf-8")
    names = [item.trait for item in assessment.traits]
    assert names
    found = agrum_posteriors(file, evidence(assessment.network), names)
    for item in assessment.traits:
        assert_allclose(found[item.trait], [value.probability for value in item.values], rtol=0, atol=1e-9)


def states(assessment: Assessment) -> dict[str, list[float]]:
    return {item.id: [item.state.sound, item.state.degraded, item.state.faulty] for item in assessment.weak_points}


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_every_sample_by_pyagrum(path: Path, shipped: Pack, tmp_path: Path) -> None:
    """Source: pyAgrum 3.3.1, lazy propagation on the XMLBIF file."""
    assessment = assess(read_case(path.read_bytes(), shipped), shipped)
    file = tmp_path / "network.bifxml"
    file.write_text(bifxml(conditional_tables(assessment.network)), encoding="utf-8")
    expected = states(assessment)
    found = agrum_posteriors(file, evidence(assessment.network), expected)
    for name, chances in expected.items():
        assert_allclose(found[name], chances, rtol=0, atol=1e-9, err_msg=name)


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_every_sample_by_pgmpy(path: Path, shipped: Pack) -> None:
    """Source: pgmpy 1.1.2, variable elimination on the BIF file. Its queries are slow: the three weak points on which
    most findings bear, and all of them with RISKAPI_LONG=1."""
    assessment = assess(read_case(path.read_bytes(), shipped), shipped, nodes=1)
    expected = states(assessment)
    telling = sorted(assessment.weak_points, key=lambda item: (-len(item.evidence), item.id))
    names = [item.id for item in telling][: None if LONG else 3]
    found = pgmpy_posteriors(bif(conditional_tables(assessment.network)), evidence(assessment.network), names)
    for name in names:
        assert_allclose(found[name], expected[name], rtol=0, atol=1e-9, err_msg=name)
