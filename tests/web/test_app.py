from __future__ import annotations

from pathlib import Path

import pytest

from riskapi.errors import InputError, KnowledgeError
from riskapi.web import create_app


def test_a_knowledge_folder_at_fault_stops_the_start(tmp_path: Path) -> None:
    with pytest.raises(KnowledgeError):
        create_app({"KNOWLEDGE": tmp_path, "DATABASE_URL": f"sqlite:///{tmp_path / 'x.sqlite'}"})


def test_a_database_that_is_not_served_stops_the_start() -> None:
    with pytest.raises(InputError):
        create_app({"DATABASE_URL": "mysql://root@127.0.0.1/test"})
