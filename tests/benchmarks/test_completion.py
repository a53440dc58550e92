"""What a key stroke costs: the processor time of one completion, in a process of its own as a shell asks for it."""

from __future__ import annotations

import os
import resource
import subprocess
import sys

import pytest

from tests.conftest import ROOT

LIMIT = 0.2  # seconds of the processor, of which a person notices nothing; measured: 0.04 to 0.09
TYPED = ("riskapi ", "riskapi engines la", "riskapi engines lapwing lapwing_", "riskapi demo ", "riskapi assess --")


@pytest.mark.parametrize("words", TYPED)
def test_a_key_stroke_is_answered_at_once(words: str) -> None:
    place = words.count(" ")
    asked = {**os.environ, "_RISKAPI_COMPLETE": "bash_complete", "COMP_WORDS": words, "COMP_CWORD": str(place)}
    took = []
    for _ in range(3):
        before = _spent()
        subprocess.run([sys.executable, "-m", "riskapi"], cwd=ROOT, env=asked, capture_output=True, check=True)
        took.append(_spent() - before)
    assert min(took) < LIMIT, took


def _spent() -> float:
    """Processor time of all processes started from here that have ended [s]."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime
