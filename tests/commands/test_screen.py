"""On a terminal and into a pipe: marks, widths, what takes long, and a reader who has had enough."""

from __future__ import annotations

import io
import os
import pty
import re
import subprocess
import sys
import time
from pathlib import Path

import pytest

from riskapi.commands import screen
from riskapi.commands.screen import counted, screen_of, waiting
from riskapi.report.language import speaking
from riskapi.report.screen import Screen
from riskapi.report.terminal_texts import TERMINAL_TEXTS
from tests.conftest import ROOT

RISKAPI = [sys.executable, "-m", "riskapi"]
MARK = re.compile(rb"\x1b\[")


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def on_terminal(*arguments: str, **environment: str) -> bytes:
    """What the command writes to a pseudo-terminal."""
    ours, theirs = pty.openpty()
    with subprocess.Popen([*RISKAPI, *arguments], cwd=ROOT, stdout=theirs, env=settings(environment)) as process:
        os.close(theirs)
        told = b""
        while True:
            try:
                part = os.read(ours, 65536)
            except OSError:  # how Linux says that the other side is closed
                break
            if not part:
                break
            told += part
        process.wait(60)
    os.close(ours)
    assert process.returncode == 0
    return told.replace(b"\r\n", b"\n")


def settings(more: dict[str, str]) -> dict[str, str]:
    kept = {name: value for name, value in os.environ.items() if name != "NO_COLOR"}
    return {**kept, "RISKAPI_KNOWLEDGE": str(ROOT / "knowledge"), "TERM": "xterm", "COLUMNS": "70", **more}


def test_marks_on_a_terminal_only_and_the_words_are_the_same() -> None:
    marked = on_terminal("engines")
    assert MARK.search(marked)
    piped = subprocess.run([*RISKAPI, "engines"], cwd=ROOT, env=settings({}), capture_output=True, check=True).stdout
    assert not MARK.search(piped)
    assert re.sub(rb"\x1b\[\d+m", b"", marked) == piped


def test_no_marks_where_nobody_wants_them_and_lines_as_wide_as_the_terminal() -> None:
    told = on_terminal("engines", "lapwing", NO_COLOR="1").decode()
    assert "\x1b" not in told
    assert 60 < max(map(len, told.splitlines())) <= 70


@pytest.mark.parametrize("environment", [{"NO_COLOR": "1"}, {"TERM": "dumb"}])
def test_no_colour_and_dumb_terminals(environment: dict[str, str]) -> None:
    assert not screen_of(Terminal(), environment).marked
    assert screen_of(Terminal(), {"TERM": "xterm", "NO_COLOR": ""}).marked
    assert screen_of(io.StringIO(), {}) == Screen()


@pytest.mark.parametrize("arguments", [("engines",), ("assess", "sample_requests/noisy_early.json")])
def test_a_reader_who_goes_away_ends_it_quietly(arguments: tuple[str, ...]) -> None:
    """Nobody reads at all, so the first write fails."""
    reading, writing = os.pipe()
    os.close(reading)
    done = subprocess.run(
        [*RISKAPI, *arguments], cwd=ROOT, env=settings({}), stdout=writing, stderr=subprocess.PIPE, check=False
    )
    os.close(writing)
    assert (done.returncode, done.stderr) == (0, b"")


# ---- what takes long -------------------------------------------------------------------------------------


@pytest.fixture
def impatient(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(screen, "PATIENCE", 0.02)
    monkeypatch.setattr(screen, "_BEAT", 0.02)


def until(stream: io.StringIO, words: str) -> None:
    """Wait until it is written; a minute at most."""
    ending = time.monotonic() + 60
    while words not in stream.getvalue():
        assert time.monotonic() < ending, stream.getvalue()
        time.sleep(0.01)


@pytest.mark.usefixtures("impatient")
def test_what_takes_long_is_told_and_wiped_away() -> None:
    stream = Terminal()
    with speaking("de"), waiting("progress_draw", stream=stream):
        until(stream, "Der Bericht wird gezeichnet ... 0 s")
    line = stream.getvalue().split("\r")[-2]
    assert stream.getvalue().endswith("\r")
    assert line.strip() == ""
    assert len(line) >= len("Der Bericht wird gezeichnet ... 0 s")


@pytest.mark.usefixtures("impatient")
def test_how_many_are_through_is_told() -> None:
    stream, seen = Terminal(), []
    for item in counted(["a", "b"], "progress_print", stream=stream):
        until(stream, f"Printing ... {len(seen)} of 2, 0 s")
        seen.append(item)
    assert seen == ["a", "b"]


@pytest.mark.usefixtures("impatient")
def test_it_is_wiped_away_before_a_fault_is_told() -> None:
    stream = Terminal()

    def at_fault() -> None:
        until(stream, "Assessing")
        raise ValueError("at fault")

    with pytest.raises(ValueError, match="at fault"), waiting("progress_assess", stream=stream):
        at_fault()
    assert stream.getvalue().endswith("\r")


def test_what_is_quick_says_nothing() -> None:
    stream = Terminal()
    with waiting("progress_assess", stream=stream):
        pass
    assert stream.getvalue() == ""


@pytest.mark.usefixtures("impatient")
def test_nothing_is_told_where_there_is_no_terminal() -> None:
    stream = io.StringIO()
    with waiting("progress_assess", stream=stream):
        time.sleep(0.1)
    assert stream.getvalue() == ""


def test_every_word_on_progress_is_used() -> None:
    source = " ".join(file.read_text("utf-8") for file in Path(screen.__file__).parent.glob("*.py"))
    assert {key for key in TERMINAL_TEXTS if f'"{key}"' not in source} == set()
