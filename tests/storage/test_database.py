from __future__ import annotations

from pathlib import Path

import pytest

from riskapi.errors import InputError
from riskapi.storage import data_folder, database_url, open_database


def test_the_url_of_the_environment_comes_first(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("RISKAPI_DATABASE_URL", "sqlite:////somewhere/else.sqlite")
    assert database_url().database == "/somewhere/else.sqlite"


@pytest.mark.parametrize(
    ("platform", "setting", "folder"),
    [
        ("linux", {}, "home/.local/share/riskapi"),
        ("linux", {"XDG_DATA_HOME": "/somewhere"}, "/somewhere/riskapi"),
        ("darwin", {}, "home/Library/Application Support/riskapi"),
        ("win32", {}, "home/AppData/Local/riskapi"),
        ("win32", {"LOCALAPPDATA": "/local"}, "/local/riskapi"),
    ],
)
def test_without_one_it_is_a_file_in_the_users_data_folder(
    platform: str, setting: dict[str, str], folder: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in ("RISKAPI_DATABASE_URL", "XDG_DATA_HOME", "LOCALAPPDATA"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setattr("riskapi.storage.database.sys.platform", platform)
    monkeypatch.setattr(Path, "home", lambda: tmp_path / "home")
    for name, value in setting.items():
        monkeypatch.setenv(name, value)
    assert data_folder() == tmp_path / folder
    assert database_url().database == str(tmp_path / folder / "riskapi.sqlite")


def test_sqlite_writes_ahead_and_checks_foreign_keys(sqlite_url: str) -> None:
    engine = open_database(sqlite_url)
    with engine.connect() as connection:
        assert connection.exec_driver_sql("PRAGMA journal_mode").scalar() == "wal"
        assert connection.exec_driver_sql("PRAGMA foreign_keys").scalar() == 1
    engine.dispose()


@pytest.mark.parametrize("url", ["nonsense", "mysql://root@127.0.0.1/test", "sqlserver://x"])
def test_a_url_that_is_not_served(url: str) -> None:
    with pytest.raises(InputError) as caught:
        open_database(url)
    (fault,) = caught.value.faults
    assert fault.place == "RISKAPI_DATABASE_URL"
    assert "sqlite:////folder/file.sqlite" in fault.mend


def test_a_plain_postgresql_url_gets_the_driver_that_is_shipped() -> None:
    pytest.importorskip("psycopg")
    assert open_database("postgresql://nobody@127.0.0.1/none").url.drivername == "postgresql+psycopg"
