"""Sealing and checking on the command line, offline."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from riskapi.cli import main
from tests.conftest import ROOT

CASE = str(ROOT / "sample_requests" / "plain_and_clean.json")


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "home"))
    monkeypatch.delenv("RISKAPI_DATABASE_URL", raising=False)
    return tmp_path / "home"


def run(*words: str | Path) -> Result:
    return CliRunner().invoke(main, [str(word) for word in words])


@pytest.fixture(scope="module")
def printed(tmp_path_factory: pytest.TempPathFactory) -> tuple[bytes, str]:
    """A report sealed on another machine, and the public key of that machine."""
    folder = tmp_path_factory.mktemp("other")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_DATA_HOME", str(folder / "home"))
        assert run("assess", CASE, "--pdf", folder / "r.pdf").exit_code == 0
        return (folder / "r.pdf").read_bytes(), run("seal-keys", "export").output


def test_a_report_is_sealed_and_the_same_twice(tmp_path: Path) -> None:
    first, second = tmp_path / "1.pdf", tmp_path / "2.pdf"
    for file in (first, second):
        assert run("assess", CASE, "--pdf", file).exit_code == 0
    assert first.read_bytes() == second.read_bytes()
    answer = run("verify", first)
    assert answer.exit_code == 0
    assert "Not one byte has changed" in answer.output
    assert "nothing about the car" in answer.output


def test_a_checklist_is_sealed_too(tmp_path: Path) -> None:
    assert run("checklist", CASE, "--pdf", tmp_path / "list.pdf").exit_code == 0
    assert run("verify", tmp_path / "list.pdf").exit_code == 0


def test_the_digest_is_that_of_the_json(tmp_path: Path) -> None:
    import hashlib  # noqa: PLC0415 (what a reader would do: sha256sum result.json)

    assert run("assess", CASE, "--pdf", tmp_path / "r.pdf", "--json", tmp_path / "r.json").exit_code == 0
    assert hashlib.sha256((tmp_path / "r.json").read_bytes()).hexdigest() in run("verify", tmp_path / "r.pdf").output


def test_offline_with_nothing_but_the_public_key(tmp_path: Path, home: Path, printed: tuple[bytes, str]) -> None:
    file, key = tmp_path / "r.pdf", tmp_path / "public.pem"
    file.write_bytes(printed[0])
    key.write_text(printed[1])
    assert run("verify", file, "--key", key).exit_code == 0
    assert not home.exists()
    unknown = run("verify", file)
    assert unknown.exit_code == 1
    assert "not known here" in unknown.output


@pytest.mark.parametrize("change", ["flipped", "appended", "cut"])
def test_a_changed_file_fails(tmp_path: Path, printed: tuple[bytes, str], change: str) -> None:
    data, key = printed[0], tmp_path / "public.pem"
    key.write_text(printed[1])
    middle = len(data) // 2
    changed = {
        "flipped": data[:middle] + bytes([data[middle] ^ 1]) + data[middle + 1 :],
        "appended": data + b"\n",
        "cut": data[:-1],
    }
    (tmp_path / "r.pdf").write_bytes(changed[change])
    answer = run("verify", tmp_path / "r.pdf", "--key", key)
    assert answer.exit_code == 1
    assert "not as it was sealed" in answer.output


def test_an_old_seal_still_checks_after_a_rotation(tmp_path: Path) -> None:
    assert run("assess", CASE, "--pdf", tmp_path / "old.pdf").exit_code == 0
    old = run("seal-keys", "list").output.splitlines()[1].split()[0]
    new = run("seal-keys", "rotate").output.strip()
    assert run("assess", CASE, "--pdf", tmp_path / "new.pdf").exit_code == 0
    for name, key, standing in (("old", old, "used until"), ("new", new, "in use")):
        answer = run("verify", tmp_path / f"{name}.pdf")
        assert answer.exit_code == 0, answer.output
        assert f"Key {key}" in answer.output
        assert standing in answer.output
    (tmp_path / "new.pem").write_text(run("seal-keys", "export").output)
    assert run("verify", tmp_path / "old.pdf", "--key", tmp_path / "new.pem").exit_code == 1
    (tmp_path / "old.pem").write_text(run("seal-keys", "export", old).output)
    assert run("verify", tmp_path / "old.pdf", "--key", tmp_path / "old.pem").exit_code == 0


def test_a_file_without_a_seal_says_so(tmp_path: Path) -> None:
    (tmp_path / "x.pdf").write_bytes(b"%PDF-1.4\n%%EOF\n")
    answer = run("verify", tmp_path / "x.pdf")
    assert answer.exit_code == 1
    assert "carries no seal" in answer.output


@pytest.mark.parametrize("pem", ["", "-----BEGIN PUBLIC KEY-----\nAAAA\n-----END PUBLIC KEY-----\n"])
def test_what_is_no_key_is_refused(tmp_path: Path, printed: tuple[bytes, str], pem: str) -> None:
    (tmp_path / "r.pdf").write_bytes(printed[0])
    (tmp_path / "k.pem").write_text(pem)
    answer = run("verify", tmp_path / "r.pdf", "--key", tmp_path / "k.pem")
    assert answer.exit_code == 1
    assert "no public key in PEM" in answer.output


def test_an_unknown_key_is_not_exported() -> None:
    answer = run("seal-keys", "export", "0123456789abcdef")
    assert answer.exit_code == 1
    assert "no such seal key" in answer.output


def test_where_nothing_can_be_kept_the_report_is_written_and_the_lack_is_said(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "file").touch()
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "file" / "below"))
    answer = run("assess", CASE, "--pdf", tmp_path / "r.pdf")
    assert answer.exit_code == 0
    assert "not sealed" in answer.stderr
    assert run("verify", tmp_path / "r.pdf").exit_code == 1
