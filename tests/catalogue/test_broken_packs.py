"""One small patch breaks the good pack; exactly one fault follows, at its place, saying what is wrong and the mend."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import yaml

from riskapi.errors import Fault

PACKS = Path(__file__).parent / "packs"
CORPUS: list[dict[str, Any]] = yaml.safe_load((PACKS / "broken.yaml").read_text("utf-8"))


def expected_place(case: dict[str, Any]) -> str:
    """'file:line:column' of the sign § in the broken text, both counted from 1."""
    text = (PACKS / "good" / case["file"]).read_text("utf-8").replace(case["old"], case["new"])
    file = case.get("at_file", case["file"])
    if "at" in case:
        if file != case["file"]:
            text = (PACKS / "good" / file).read_text("utf-8")
        assert text.count(case["at"][1:]) == 1, f"{case['at']} is not unique"
        text = text.replace(case["at"][1:], case["at"])
    lines = text[: text.index("§")].split("\n")
    return f"{file}:{len(lines)}:{len(lines[-1]) + 1}"


@pytest.mark.parametrize("case", CORPUS, ids=lambda case: case["name"])
def test_one_fault_at_its_place(case: dict[str, Any], faults_of: Callable[..., list[Fault]]) -> None:
    faults = faults_of((case["file"], case["old"], case["new"].replace("§", "")))

    assert len(faults) == 1, "\n".join(map(str, faults)) or "no fault"
    assert case["words"] in faults[0].message
    assert faults[0].place == expected_place(case)
    assert faults[0].mend


def test_names_of_the_corpus_differ() -> None:
    names = [case["name"] for case in CORPUS]
    assert len(set(names)) == len(names)
