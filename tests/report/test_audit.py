"""The audit files: what is in them, that they stay the same, that they are written whole."""

from __future__ import annotations

import json
import math
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

import numpy as np
import pytest

from riskapi.domain.assessment import Assessment
from riskapi.domain.knowledge import Pack
from riskapi.domain.network import WeakPointNode
from riskapi.intake import case_from_json
from riskapi.report.audit import audit_files, inputs_json, plain, write_audit
from riskapi.report.result import result_to_json
from riskapi.service import assess
from tests.report import builders
from tests.report.networks import random_network

SAMPLE = Path(__file__).parents[2] / "sample_requests" / "swollen_belt.json"
NAMES = {"network.bif", "network.bifxml", "evidence.json", "inputs.json", "result.json"}


def assessment() -> Assessment:
    """The made-up assessment, with a network of the weak points of its pack."""
    network = random_network(1)
    points = tuple(
        WeakPointNode(known.id, node.chances)
        for known, node in zip(builders.pack().weak_points, network.weak_points, strict=False)
    )
    network = replace(network, weak_points=points, symptoms=(), checks=network.checks[-1:], evidence=())
    return replace(builders.assessment(), network=network)


def made() -> dict[str, bytes]:
    result = result_to_json(assessment(), builders.IDENTIFIER, builders.CREATED)
    return audit_files(assessment(), builders.case(), builders.pack(), result)


def test_five_files_the_same_every_time() -> None:
    assert set(made()) == NAMES
    assert made() == made()


def test_the_inputs_tell_the_case_and_the_lifetimes() -> None:
    inputs = json.loads(made()["inputs.json"])
    assert inputs["case"]["vehicle"]["odometer_km"] == 138000.0
    assert inputs["case"]["vehicle"]["build_date"] == "2013-04-09"
    assert [point["id"] for point in inputs["weak_points"]] == [p.id for p in builders.pack().weak_points[:4]]
    assert inputs["knowledge"]["digest"] == assessment().knowledge_digest


def test_the_inputs_tell_the_oil_interval_and_the_tools(shipped: Pack) -> None:
    given = case_from_json(json.loads(SAMPLE.read_text("utf-8")), shipped)
    inputs = json.loads(audit_files(assess(given, shipped), given, shipped, {})["inputs.json"])
    assert inputs["oil_interval"] == {"distance_km": 10000.0, "age_years": 1.0, "source": "judgement"}
    for operation in inputs["operations"]:
        assert operation["special_tools"] == list(shipped.operation(operation["id"]).special_tools)


def test_the_result_is_the_result() -> None:
    expected = result_to_json(assessment(), builders.IDENTIFIER, builders.CREATED)
    assert json.loads(made()["result.json"]) == expected


def test_evidence_names_the_history() -> None:
    assert json.loads(made()["evidence.json"]) == {"history": "as_recorded"}


def test_writing_makes_the_folder_and_leaves_nothing_else(tmp_path: Path) -> None:
    folder = tmp_path / "new" / "audit"
    write_audit(folder, assessment(), builders.case(), builders.pack(), {"a": 1})
    assert {item.name for item in folder.iterdir()} == NAMES


@dataclass(frozen=True)
class Record:
    when: date
    values: object


@pytest.mark.parametrize(
    ("value", "expected"),
    [
        (Record(date(2020, 2, 29), (1, 2.5, None)), {"when": "2020-02-29", "values": [1, 2.5, None]}),
        ({"b": True, "a": "x"}, {"a": "x", "b": True}),
        (np.array([[1.0, 2.0]]), [[1.0, 2.0]]),
        (np.float64(0.1), 0.1),
        (math.inf, "inf"),
        (frozenset({3}), [3]),
    ],
)
def test_any_nested_record_becomes_json(value: object, expected: object) -> None:
    assert json.loads(inputs_json(value)) == expected


def test_keys_are_sorted() -> None:
    assert inputs_json({"b": 1, "a": 2}).index(b'"a"') < inputs_json({"b": 1, "a": 2}).index(b'"b"')


def test_what_is_no_data_is_refused() -> None:
    with pytest.raises(TypeError, match="object"):
        plain(object())
