"""Shell completion: the scripts, and what is offered."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from click.shell_completion import ShellComplete

from riskapi.cli import main
from riskapi.cli_completion import SHELLS
from riskapi.samples import sample_cases
from tests.conftest import ROOT
from tests.test_cli import repository_knowledge, run

__all__ = ["repository_knowledge"]


def offered(*typed: str) -> list[str]:
    """What is offered after the words typed, the last of them begun only."""
    complete = ShellComplete(main, {}, "riskapi", "_RISKAPI_COMPLETE")
    return [item.value for item in complete.get_completions(list(typed[:-1]), typed[-1])]


@pytest.mark.parametrize("shell", SHELLS)
def test_the_script_of_every_shell(shell: str, tmp_path: Path) -> None:
    done = run("completion", shell)
    assert done.exit_code == 0, done.stderr
    assert "_RISKAPI_COMPLETE" in done.stdout
    if shutil.which(shell):
        (tmp_path / "script").write_text(done.stdout)
        subprocess.run([shell, "-n", str(tmp_path / "script")], check=True)


def test_another_shell_is_wrong_usage() -> None:
    assert run("completion", "csh").exit_code == 2


def test_families_revisions_and_samples() -> None:
    assert offered("engines", "l") == ["lapwing"]
    assert set(offered("engines", "")) >= {"lapwing", "whinchat"}
    assert offered("engines", "lapwing", "lapwing_2") == ["lapwing_2a", "lapwing_2b", "lapwing_2c"]
    assert offered("engines", "lapwing", "lapwing_1a", "--against", "lapwing_1") == ["lapwing_1a", "lapwing_1b"]
    assert offered("engines", "nonesuch", "") == []
    assert offered("demo", "") == [name.removesuffix(".json") for name, _ in sample_cases()]
    assert "sensitivity" in offered("sens")
    assert offered("engines", "--language", "") == ["en", "de"]


def test_a_pack_at_fault_offers_nothing(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("RISKAPI_KNOWLEDGE", str(tmp_path))
    assert offered("engines", "l") == []


def test_a_shell_is_answered() -> None:
    """The question as the script of bash puts it."""
    asked = {**os.environ, "_RISKAPI_COMPLETE": "bash_complete", "COMP_WORDS": "riskapi engines la", "COMP_CWORD": "2"}
    done = subprocess.run([sys.executable, "-m", "riskapi"], cwd=ROOT, env=asked, capture_output=True, check=True)
    assert done.stdout == b"plain,lapwing\n"
