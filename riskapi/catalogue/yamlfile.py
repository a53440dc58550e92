"""YAML text to a tree of nodes that know their line and column; everything that hides a key is refused."""

from __future__ import annotations

import re
from typing import Any

import yaml

from riskapi.catalogue.ledger import Ledger, Spot

MAX_BYTES = 2_000_000
"""The largest file that is read [bytes]."""

_Loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_SUSPECT = re.compile(r"[&*!]")


def parse(file: str, data: bytes, ledger: Ledger) -> yaml.Node | None:
    """The root node of a file; None, with the fault noted, when it cannot be read."""
    if len(data) > MAX_BYTES:
        message = f"the file has {len(data)} bytes, more than the {MAX_BYTES} allowed."
        ledger.fault(Spot(file, 1, 1), message, "Split it.")
        return None
    text = _decode(file, data, ledger)
    if text is None:
        return None
    try:
        _refuse_hidden(file, text, ledger)
        node = yaml.compose(text, Loader=_Loader)
    except yaml.MarkedYAMLError as error:
        _note_syntax(file, text, error, ledger)
        return None
    except RecursionError:  # the reader in C has a limit of its own; this is the one in Python
        ledger.fault(Spot(file, 1, 1), "the file is nested too deeply.", "Nest it less.")
        return None
    except yaml.reader.ReaderError as error:
        ledger.fault(_spot_at(file, text[: error.position]), "a control character stands here.", "Remove it.")
        return None
    if node is None:
        ledger.fault(Spot(file, 1, 1), "the file is empty.", "Write it, or remove the file.")
    return node


def _decode(file: str, data: bytes, ledger: Ledger) -> str | None:
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError as error:
        before = data[: error.start].decode("utf-8")
        ledger.fault(_spot_at(file, before), "the file is not UTF-8 from here on.", "Save it as UTF-8.")
        return None


def _spot_at(file: str, before: str) -> Spot:
    return Spot(file, before.count("\n") + 1, len(before) - (before.rfind("\n") + 1) + 1)


def _spot_of(file: str, mark: Any) -> Spot:
    # Any: the two parsers of PyYAML have marks of different classes
    return Spot(file, mark.line + 1, mark.column + 1) if mark else Spot(file, 1, 1)


def _refuse_hidden(file: str, text: str, ledger: Ledger) -> None:
    """Anchors, aliases and tags: they can hide a duplicate key or a value that is not what it looks like."""
    if not _SUSPECT.search(text):
        return
    for event in yaml.parse(text, Loader=_Loader):
        what = _hidden(event)
        if what:
            spot = _spot_of(file, event.start_mark)
            ledger.fault(spot, f"{what} is not allowed in a knowledge file.", "Write the value out in full.")


def _hidden(event: yaml.Event) -> str:
    if isinstance(event, yaml.AliasEvent):
        return f"the alias *{event.anchor}"
    if isinstance(event, yaml.NodeEvent) and event.anchor:
        return f"the anchor &{event.anchor}"
    tag = getattr(event, "tag", None)
    return f"the tag {tag}" if tag else ""


def _note_syntax(file: str, text: str, error: yaml.MarkedYAMLError, ledger: Ledger) -> None:
    spot = _spot_of(file, error.problem_mark or error.context_mark)
    here = "".join(text.splitlines()[spot.line - 1 : spot.line])[spot.column - 1 : spot.column]
    if here == "\t":
        ledger.fault(spot, "a tab stands here.", "Indent with blanks.")
        return
    words = " ".join(part for part in (error.context, error.problem) if part)
    mend = "Mend the indentation, or quote a text that contains ': ' or starts with a special character."
    ledger.fault(spot, f"this is not YAML ({words}).", mend)
