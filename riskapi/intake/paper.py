"""On whose paper a report is printed: a letterhead is printed and kept nowhere."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from riskapi.errors import CaseError
from riskapi.intake.base import RequestSchema, load
from riskapi.intake.fields import Choice, Group, Many, Text
from riskapi.intake.pointers import in_order
from riskapi.intake.schemas import docs
from riskapi.intake.strict_json import read_document

PRINTED = ("buyer", "inspector")
LINES_LIMIT, LINE_LENGTH = 8, 120
PAPER_SAMPLE: dict[str, Any] = {
    "edition": "inspector",
    "price": "no",
    "letterhead": {"name": "Engines looked at", "lines": ["7 Quay Lane", "telephone 0100 555 010"]},
}


class LetterheadSchema(RequestSchema):
    """Whose paper it is."""

    name = Text(limit=LINE_LENGTH, required=True, metadata=docs("Name, printed large.", "Engines looked at"))
    lines = Many(
        Text(limit=LINE_LENGTH),
        limit=LINES_LIMIT,
        load_default=list,
        metadata=docs("Lines below it: address, telephone.", ["7 Quay Lane"]),
    )
    logo = Text(limit=200, metadata=docs("Picture beside it: a photo_id, or on the command line a file."))


class OnPaperSchema(RequestSchema):
    """An edition of a report with what is printed on it and kept nowhere."""

    edition = Choice(choices=PRINTED, load_default="inspector", metadata=docs("For whom.", "inspector"))
    price = Choice(choices=("yes", "no"), load_default="yes", metadata=docs("With advice and price.", "no"))
    letterhead = Group(LetterheadSchema, metadata=docs("The inspector's own letterhead."))


@dataclass(frozen=True, slots=True)
class Paper:
    """What was asked for; `logo` names a picture."""

    edition: str
    price: bool
    name: str | None
    lines: tuple[str, ...]
    logo: str | None


def read_paper(data: bytes | str) -> Paper:
    """The paper in a JSON text. Raises Unreadable when it is no JSON, CaseError with every fault."""
    return _paper(_loaded(OnPaperSchema(), data))


def read_letterhead(data: bytes | str) -> Paper:
    """A letterhead by itself, for the inspector's edition. Raises as `read_paper`."""
    return _paper({**_loaded(OnPaperSchema(), "{}"), "letterhead": _loaded(LetterheadSchema(), data)})


def _loaded(schema: RequestSchema, data: bytes | str) -> dict[str, Any]:
    document = read_document(data)
    loaded, malformed = load(schema, document.value)
    if found := in_order([*document.faults, *malformed]):
        raise CaseError(found)
    return loaded


def _paper(loaded: dict[str, Any]) -> Paper:
    head = loaded.get("letterhead") or {}
    return Paper(
        edition=loaded["edition"],
        price=loaded["price"] == "yes",
        name=head.get("name"),
        lines=tuple(head.get("lines", ())),
        logo=head.get("logo"),
    )
