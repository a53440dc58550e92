from __future__ import annotations

from pathlib import Path

import pytest

from riskapi.errors import InputError, KnowledgeError
from riskapi.web import create_app
from riskapi.web.sample import SAMPLE
from riskapi.web.state import state_of


def test_a_knowledge_folder_at_fault_stops_the_start(tmp_path: Path) -> None:
    with pytest.raises(KnowledgeError):
        create_app({"KNOWLEDGE": tmp_path, "DATABASE_URL": f"sqlite:///{tmp_path / 'x.sqlite'}"})


def test_a_database_that_is_not_served_stops_the_start() -> None:
    with pytest.raises(InputError):
        create_app({"DATABASE_URL": "mysql://root@127.0.0.1/test"})


@pytest.mark.postgresql
def test_the_main_job_on_postgresql(postgresql_url: str) -> None:
    app = create_app({"DATABASE_URL": postgresql_url})
    client = app.test_client()
    answer = client.post("/v1/assessments", json=SAMPLE)
    assert answer.status_code == 201
    assert client.get(answer.headers["Location"]).data == answer.data
    assert client.get(answer.headers["Location"] + "/report.pdf").data.startswith(b"%PDF-")
    state_of(app).repository.engine.dispose()
