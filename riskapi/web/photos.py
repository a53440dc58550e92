"""/v1/photos: pictures for findings. A finding names them by their ids."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

from flask import Response, request, url_for
from werkzeug.exceptions import RequestEntityTooLarge, UnsupportedMediaType

from riskapi.domain.case import Case
from riskapi.domain.sentence import Listed, Written, at_fault, told
from riskapi.errors import CaseError
from riskapi.intake.photo import MEDIA_TYPES, PHOTO_BYTES_LIMIT, read_photo
from riskapi.storage import Intent
from riskapi.storage.photos import Photos, StoredPhoto
from riskapi.web.answer_fields import AnswerSchema, count, text
from riskapi.web.idempotency import idempotency_key
from riskapi.web.routes import Routes
from riskapi.web.state import State, state

routes = Routes("photos", "Photos: pictures of what was found. A finding names them by their ids.")
_LOCATION = {"Location": {"description": "Where the photo can be seen.", "schema": {"type": "string"}}}
_MISSING = told("There is no photo with this id.")
_MEND = told("Send the photo to /v1/photos first and name it by the photo_id of the answer.")


class PhotoSchema(AnswerSchema):
    """A photo as it is kept: encoded anew, upright, without what a camera writes beside the picture."""

    photo_id = text("Id; findings name it so.")
    sha256 = text("SHA-256 of the picture as it is kept.")
    width = count("Width [pixels].")
    height = count("Height [pixels].")


@routes.upload("/photos", MEDIA_TYPES, PhotoSchema, headers=_LOCATION)
def create_photo() -> tuple[dict[str, Any], int, dict[str, str]]:
    """Send a photo

    JPEG, PNG or WebP, at most 15 MB. It is made smaller and encoded anew, so that place, time and camera are gone. The
    same picture twice is kept once.
    """
    key, data = idempotency_key(), _picture()
    photo = read_photo(data)
    intent = Intent.to(key, photo.content, request.path)
    kept = photos().add(photo, datetime.now(UTC), intent)
    return _answer(kept), 201, {"Location": url_for("photos.get_photo", identifier=kept.id)}


@routes.get("/photos/<string:identifier>", None, errors=(404,), media_type="image/jpeg")
def get_photo(identifier: str) -> Response:
    """See a photo"""
    return Response(photos().get(identifier).content, content_type="image/jpeg")


@routes.delete("/photos/<string:identifier>")
def erase_photo(identifier: str) -> Response:
    """Erase a photo

    Findings that name it stay. Reports it was printed in are removed; printed anew, they say that it is not at hand.
    """
    photos().erase(identifier, datetime.now(UTC))
    return Response(status=204)


def photos() -> Photos:
    """The photos of the caller's account."""
    repository = state().repository
    return Photos(repository.engine, repository.account_id)


def check_photos(case: Case, current: State) -> None:
    """Raises CaseError with a fault for every photo that the account does not have."""
    named = [
        (f"{finding.pointer}/photos/{index}", photo)
        for finding in case.findings
        for index, photo in enumerate(finding.photos)
    ]
    unknown = Photos(current.repository.engine, current.repository.account_id).unknown(photo for _, photo in named)
    faults = [at_fault(place, _MISSING, _MEND) for place, photo in named if photo in unknown]
    if faults:
        raise CaseError(faults)


def _picture() -> bytes:
    """The bytes of the request body. Aborts with 413 or 415."""
    if request.mimetype not in MEDIA_TYPES:
        types = Listed(tuple(map(Written, MEDIA_TYPES)))
        raise UnsupportedMediaType(told("Send the picture itself, as {types}.", types=types))
    request.max_content_length = PHOTO_BYTES_LIMIT + 1
    data = request.get_data(cache=False)
    if len(data) > PHOTO_BYTES_LIMIT:
        raise RequestEntityTooLarge
    return data


def _answer(kept: StoredPhoto) -> dict[str, Any]:
    return {"photo_id": kept.id, "sha256": kept.digest, "width": kept.width, "height": kept.height}
