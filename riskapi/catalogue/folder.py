"""Where the knowledge pack lies, and what its engines are called: all that can be said without reading the pack."""

from __future__ import annotations

import os
from collections.abc import Iterator
from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path

import yaml

SETTING = "RISKAPI_KNOWLEDGE"
_Loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


def default_directory() -> Path | Traversable:
    """RISKAPI_KNOWLEDGE if set, else the pack inside the installed package, else knowledge/ beside it."""
    if os.environ.get(SETTING):
        return Path(os.environ[SETTING])
    packed = files("riskapi") / "_knowledge"
    return packed if packed.is_dir() else Path(__file__).resolve().parents[2] / "knowledge"


def engine_names(directory: Path | Traversable | None = None) -> dict[str, tuple[str, ...]]:
    """Family -> its revisions, by their ids, in the order of the files (default: of the pack in use). Nothing is
    checked; what cannot be read is left out."""
    folder = (default_directory() if directory is None else directory) / "engines"
    if not folder.is_dir():
        return {}
    found: dict[str, tuple[str, ...]] = {}
    for file in sorted(folder.iterdir(), key=lambda item: item.name):
        if file.name.endswith(".yaml") and not file.name.startswith("."):
            found.update(_names(file))
    return found


def _names(file: Traversable) -> Iterator[tuple[str, tuple[str, ...]]]:
    try:
        node = yaml.compose(file.read_bytes(), Loader=_Loader)
    except (OSError, yaml.YAMLError):
        return
    family = dict(_entries(node)).get("family")
    if isinstance(family, yaml.ScalarNode):
        generations = dict(_entries(node)).get("generations")
        revisions = [dict(_entries(each)).get("revisions") for _, each in _entries(generations)]
        yield family.value, tuple(name for each in revisions for name, _ in _entries(each))


def _entries(node: yaml.Node | None) -> Iterator[tuple[str, yaml.Node]]:
    """Keys and values of a mapping; of anything else none."""
    for key, value in node.value if isinstance(node, yaml.MappingNode) else ():
        if isinstance(key, yaml.ScalarNode):
            yield key.value, value
