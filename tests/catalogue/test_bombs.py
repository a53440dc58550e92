"""Knowledge files made to harm whoever reads them: refused with a place, quickly, and nothing in them is run."""

from __future__ import annotations

import shutil
import time
from pathlib import Path

import pytest
import yaml

from riskapi.catalogue import yamlfile
from riskapi.catalogue.load import load_pack
from riskapi.errors import KnowledgeError

ROOT = Path(__file__).parents[2]
_LAUGHS = "".join(f"{chr(98 + n)}: &{chr(98 + n)} [{','.join(['*' + chr(97 + n)] * 9)}]\n" for n in range(9))
BOMBS = {
    "aliases of aliases": f"a: &a [{','.join(['x'] * 9)}]\n{_LAUGHS}",
    "deep lists": "a: " + "[" * 20_000 + "]" * 20_000,
    "deep mappings": "a: " + "{b: " * 20_000 + "1" + "}" * 20_000,
    "a tag that runs": "a: !!python/object/apply:pathlib.Path.touch ['HARM']",
    "a long number": "a: " + "9" * 100_000,
    "a merge": "<<: {checks: []}\nb: 2",
    "an alias of itself": "a: &a [*a]",
}
LIMIT = 20.0  # [s] CPU; a whole pack is read beside it


@pytest.mark.parametrize("name", BOMBS)
@pytest.mark.parametrize("loader", [getattr(yaml, "CSafeLoader", yaml.SafeLoader), yaml.SafeLoader])
def test_a_bomb_is_refused(name: str, loader: type, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(yamlfile, "_Loader", loader)
    shutil.copytree(ROOT / "knowledge", tmp_path / "pack")
    harm = tmp_path / "harm"
    (tmp_path / "pack" / "sources.yaml").write_text(BOMBS[name].replace("HARM", str(harm)))
    started = time.process_time()
    with pytest.raises(KnowledgeError) as refused:
        load_pack(tmp_path / "pack")
    assert any(fault.place.startswith("sources.yaml:") for fault in refused.value.faults)
    assert time.process_time() - started < LIMIT
    assert not harm.exists()
