"""Shell completion: the scripts, and what is offered."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import click
import pytest
from click.shell_completion import CompletionItem, ShellComplete

from riskapi.cli import COMMANDS, main
from riskapi.cli_completion import SHELLS
from riskapi.samples import sample_cases
from tests.conftest import ROOT
from tests.test_cli import repository_knowledge, run

__all__ = ["repository_knowledge"]


def completed(*typed: str) -> list[CompletionItem]:
    """What is offered after the words typed, the last of them begun only."""
    return ShellComplete(main, {}, "riskapi", "_RISKAPI_COMPLETE").get_completions(list(typed[:-1]), typed[-1])


def offered(*typed: str) -> list[str]:
    return [item.value for item in completed(*typed)]


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


def test_the_list_of_commands_says_what_each_says_of_itself() -> None:
    """The list stands apart from the commands, so that it can be shown without them."""
    context = click.Context(main)
    assert main.list_commands(context) == sorted(COMMANDS)
    for name, (_, told) in COMMANDS.items():
        command = main.get_command(context, name)
        assert command is not None
        assert command.name == name
        assert " ".join((command.help or "").split()).startswith(told.rstrip("."))
    assert main.get_command(context, "nonesuch") is None


def test_a_list_of_commands_is_short_and_whole() -> None:
    told = run("--help").stdout
    assert [line.split()[0] for line in told.split("Commands:\n")[1].splitlines() if line[2] != " "] == list(COMMANDS)
    assert [(item.value, item.help) for item in completed("what")] == [("what-if", COMMANDS["what-if"][1])]
    assert {item.value for item in completed("--")} == {"--version", "--help"}


HEAVY = (
    "numpy", "scipy", "sqlalchemy", "flask", "reportlab", "babel", "marshmallow", "cryptography", "riskapi.service",
)  # fmt: skip
TYPED = (
    ("",), ("engines", "la"), ("engines", "lapwing", ""), ("engines", "lapwing", "lapwing_1a", "--against", ""),
    ("demo", ""), ("keys", ""), ("keys", "create", "--role", ""), ("seal-keys", ""), ("knowledge", ""),
    *((name, "--") for name in COMMANDS),
)  # fmt: skip


@pytest.mark.parametrize("typed", TYPED, ids=" ".join)
def test_completing_waits_for_nothing_that_it_does_not_need(typed: tuple[str, ...]) -> None:
    """Of the program only declarations are imported: a key stroke takes a tenth of a second of the processor, where
    everything took three (measured by `tests/benchmarks/test_completion.py`)."""
    program = (
        "import sys\n"
        "from click.shell_completion import ShellComplete\n"
        "from riskapi.cli import main\n"
        "typed = sys.argv[1:]\n"
        "found = ShellComplete(main, {}, 'riskapi', 'X').get_completions(typed[:-1], typed[-1])\n"
        "print(len(found), *sys.modules)\n"
    )
    done = subprocess.run([sys.executable, "-c", program, *typed], cwd=ROOT, capture_output=True, text=True, check=True)
    count, *modules = done.stdout.split()
    assert int(count) > 0
    assert [name for name in HEAVY if name in modules] == []
