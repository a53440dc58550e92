"""Files are there whole or not at all."""

from __future__ import annotations

from pathlib import Path

import pytest

from riskapi.report.files import write_whole


def test_an_old_file_is_replaced(tmp_path: Path) -> None:
    (tmp_path / "a").write_bytes(b"old")
    write_whole({tmp_path / "a": b"new", tmp_path / "b": b"other"})
    assert {item.name: item.read_bytes() for item in tmp_path.iterdir()} == {"a": b"new", "b": b"other"}


def test_nothing_is_written_when_one_file_cannot_be(tmp_path: Path) -> None:
    with pytest.raises(OSError, match="No such file"):
        write_whole({tmp_path / "a": b"new", tmp_path / "missing" / "b": b"other"})
    assert list(tmp_path.iterdir()) == []


def test_a_folder_in_the_way_is_no_reason_to_write_the_rest(tmp_path: Path) -> None:
    (tmp_path / "b").mkdir()
    with pytest.raises(IsADirectoryError):
        write_whole({tmp_path / "a": b"new", tmp_path / "b": b"other"})
    assert [item.name for item in tmp_path.iterdir()] == ["b"]


def test_a_new_file_has_the_usual_permissions(tmp_path: Path) -> None:
    write_whole({tmp_path / "a": b""})
    (tmp_path / "b").write_bytes(b"")
    assert (tmp_path / "a").stat().st_mode == (tmp_path / "b").stat().st_mode


def test_a_folder_that_is_not_there_is_told_by_the_file_asked_for(tmp_path: Path) -> None:
    with pytest.raises(FileNotFoundError) as caught:
        write_whole({tmp_path / "nowhere" / "report.pdf": b""})
    assert caught.value.filename == str(tmp_path / "nowhere" / "report.pdf")
