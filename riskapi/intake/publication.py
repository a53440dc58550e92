"""Reading what a publisher asks for, and what is said about a publication."""

from __future__ import annotations

from typing import Any

from riskapi.domain.sentence import at_fault, told
from riskapi.errors import CaseError
from riskapi.intake.base import RequestSchema, load
from riskapi.intake.fields import Choice, Flag, Many, Text
from riskapi.intake.pointers import in_order
from riskapi.intake.schemas import docs
from riskapi.intake.strict_json import read_document

LOOKED_BY = ("seller", "inspector")
SHORTEST, LONGEST = 10, 2000  # characters of what a reader or publisher says
PHOTOS_LIMIT = 30
PUBLISH_SAMPLE: dict[str, Any] = {"assessment_id": "b1c6d9a5f5d44c1e9a3f0c7e8d2b4a61", "looked_by": "seller"}


class PublishSchema(RequestSchema):
    """Which assessment is shown, and who looked."""

    assessment_id = Text(limit=100, required=True, metadata=docs("The latest assessment of a car."))
    looked_by = Choice(
        choices=LOOKED_BY,
        required=True,
        metadata=docs("Who looked at the car: the seller himself, or an inspector.", "seller"),
    )
    photos = Many(
        Text(limit=100),
        limit=PHOTOS_LIMIT,
        load_default=list,
        metadata=docs("Photos of this assessment's findings that are shown; without, none is."),
    )
    photos_looked_over = Flag(
        load_default=False,
        metadata=docs("That you looked at each of these photos and none shows a face, a plate or papers."),
    )
    indexed = Flag(load_default=False, metadata=docs("Whether search engines may list the page."))


class BecauseSchema(RequestSchema):
    """Why."""

    because = Text(limit=LONGEST, required=True, metadata=docs("Why; readers see it.", "The car is sold."))


class SaidSchema(RequestSchema):
    """What somebody says about a publication."""

    text = Text(
        least=SHORTEST,
        limit=LONGEST,
        required=True,
        metadata=docs("What you say; everybody sees it.", "The front cover was wet when I looked at it."),
    )


def read_publish(data: bytes | str) -> dict[str, Any]:
    """The wish of a publisher. Raises Unreadable, CaseError with every fault."""
    return _read(PublishSchema(), data)


def read_because(data: bytes | str) -> str:
    """Why something is done. Raises Unreadable, CaseError."""
    return str(_read(BecauseSchema(), data)["because"])


def read_said(data: bytes | str) -> str:
    """What somebody says. Raises Unreadable, CaseError."""
    return str(_read(SaidSchema(), data)["text"])


def _read(schema: RequestSchema, data: bytes | str) -> dict[str, Any]:
    document = read_document(data)
    loaded, malformed = load(schema, document.value)
    found = in_order([*document.faults, *malformed])
    if loaded.get("photos") and not loaded.get("photos_looked_over"):
        mend = told(
            "Look at each photo for faces, plates and papers; if there is none, set photos_looked_over to true."
        )
        message = told("Nobody says that these photos were looked over.")
        found = [*found, at_fault("/photos_looked_over", message, mend)]
    if found:
        raise CaseError(found)
    return loaded
