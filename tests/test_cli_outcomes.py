from __future__ import annotations

import json
from datetime import UTC, datetime
from pathlib import Path

import pytest
from click.testing import CliRunner

from riskapi.cli import main
from riskapi.intake import canonical
from riskapi.intake.outcome import OUTCOME_SAMPLE
from riskapi.storage import Knowledge, Repository, StoredAssessment, migrate, open_database
from riskapi.storage.outcomes import Outcomes

THEN = datetime(2026, 1, 1, tzinfo=UTC)


def test_every_outcome_is_printed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    url = f"sqlite:///{tmp_path / 'riskapi.sqlite'}"
    monkeypatch.setenv("RISKAPI_DATABASE_URL", url)
    engine = open_database(url)
    migrate(engine)
    Repository(engine).add(StoredAssessment("a", THEN, None, "d", "1", b"{}", b"{}"), Knowledge("d", "1", b""), {})
    Outcomes(engine).add("a", canonical(OUTCOME_SAMPLE), THEN)
    engine.dispose()
    (line,) = CliRunner().invoke(main, ["outcomes"]).stdout.splitlines()
    told = json.loads(line)
    assert told["assessment_id"] == "a"
    assert {key: told[key] for key in OUTCOME_SAMPLE} == OUTCOME_SAMPLE
    head, row = CliRunner().invoke(main, ["outcomes", "--csv"]).stdout.splitlines()
    assert head.startswith("outcome_id,")
    assert ",coolant_pump,faulty," in row
