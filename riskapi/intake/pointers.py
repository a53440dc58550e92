"""JSON pointers (RFC 6901): where in a case a fault lies."""

from __future__ import annotations

from riskapi.errors import Fault

Path = tuple[str | int, ...]


def pointer(path: Path) -> str:
    """('findings', 0, 'a/b') -> '/findings/0/a~1b'; the whole document is ''."""
    return "".join("/" + _token(step) for step in path)


def in_order(faults: list[Fault]) -> list[Fault]:
    """Each fault once, by place, list positions in number order."""
    return sorted(dict.fromkeys(faults), key=lambda fault: (_steps(fault.place), fault.message))


def _token(step: str | int) -> str:
    text = str(step).replace("~", "~0").replace("/", "~1")
    return text.encode("utf-8", "backslashreplace").decode()


def _steps(place: str) -> list[tuple[int, str]]:
    return [(int(step), "") if step.isdecimal() and len(step) < 10 else (-1, step) for step in place.split("/")]
