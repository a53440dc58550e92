"""The sample cases that came with the program."""

from __future__ import annotations

from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path


def sample(name: str) -> bytes:
    """The bytes of a case file that came with the program. Raises FileNotFoundError."""
    return (samples() / name).read_bytes()


def sample_cases() -> list[tuple[str, bytes]]:
    """Name and bytes of every shipped sample case, by name."""
    return sorted((item.name, item.read_bytes()) for item in samples().iterdir() if item.name.endswith(".json"))


def sample_names() -> tuple[str, ...]:
    """Names of the shipped sample cases, as `riskapi demo` takes them."""
    return tuple(sorted(item.name.removesuffix(".json") for item in samples().iterdir() if item.name.endswith(".json")))


def samples() -> Path | Traversable:
    """The sample cases inside the installed package, else sample_requests/ beside it."""
    packed = files("riskapi") / "_sample_requests"
    return packed if packed.is_dir() else Path(__file__).resolve().parents[1] / "sample_requests"
