"""/v1/verify and /v1/seal-keys: has a document changed since it was sealed? For anybody; the document is not kept."""

from __future__ import annotations

from contextlib import closing
from typing import Any

from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey
from cryptography.hazmat.primitives.serialization import Encoding, PublicFormat
from flask import request
from marshmallow import fields
from werkzeug.exceptions import RequestEntityTooLarge, UnsupportedMediaType

from riskapi.domain.sentence import Written, told
from riskapi.report.format import instant
from riskapi.report.seal import STANDINGS, Verdict, check
from riskapi.report.seal_texts import say
from riskapi.storage import SealKey
from riskapi.web.access import ANYBODY
from riskapi.web.answer_fields import AnswerSchema, many, text, word
from riskapi.web.body import PDF_BYTES_LIMIT
from riskapi.web.routes import Routes
from riskapi.web.state import state

PDF, FORM = "application/pdf", "multipart/form-data"
_ROOM = 10_000  # bytes that a form needs around the document
_WANTED = told(
    'Send the PDF as the body with "Content-Type: {pdf}", or as the field "file" of a form ({form}).',
    pdf=Written(PDF),
    form=Written(FORM),
)

routes = Routes("seal", "Seals: whether a document has changed since it was made.")


class SealKeySchema(AnswerSchema):
    """A key that seals documents."""

    id = text("Id of the key: the first 16 hexadecimal digits of the SHA-256 of its 32 bytes.")
    public_key = text("Its public half in PEM (Ed25519, RFC 8410).")
    created_at = fields.String(required=True, metadata={"description": "When it was made.", "format": "date-time"})
    retired_at = fields.String(
        required=True,
        allow_none=True,
        metadata={"description": "When it was replaced; null for the key in use.", "format": "date-time"},
    )


class SealKeysSchema(AnswerSchema):
    """All keys of this service."""

    items = many(SealKeySchema, "The keys, the newest first.")


class VerdictSchema(AnswerSchema):
    """Whether a document has changed since it was sealed."""

    status = word("Whether the document is byte for byte what was sealed.", STANDINGS)
    words = text("The same in words.")
    key_id = text("Key that the seal names; null without a seal.", allow_none=True)
    key = fields.Nested(
        SealKeySchema,
        required=True,
        allow_none=True,
        metadata={"description": "That key, where this service has it; else null."},
    )
    dated = fields.String(
        required=True,
        allow_none=True,
        metadata={"description": "The document's own date; null without a seal.", "format": "date-time"},
    )
    content_sha256 = text("SHA-256 of the JSON that says the same as the document.", allow_none=True)


@routes.get("/seal-keys", SealKeysSchema, roles=ANYBODY)
def list_seal_keys() -> Any:
    """List the public keys

    Whoever has them can check seals without asking this service.
    """
    return {"items": [_key(key) for key in state().seal_keys.all_keys()]}


@routes.read_file("/verify", PDF, VerdictSchema, roles=ANYBODY)
def verify() -> Any:
    """Check the seal of a document

    Says whether the PDF is byte for byte what was sealed, by which key and with which date. It says nothing about the
    car. The document is not kept. A form with the field "file" (multipart/form-data) does as well.
    """
    keys = {key.id: key for key in state().seal_keys.all_keys()}
    return _verdict(check(_document(), {key.id: key.public_key for key in keys.values()}), keys)


def _document() -> bytes:
    """The document of this request. Aborts with 413 or 415."""
    request.max_content_length = PDF_BYTES_LIMIT + _ROOM
    if request.mimetype == PDF:
        data = request.get_data(cache=False)
    elif request.mimetype == FORM and "file" in request.files:
        with closing(request.files["file"]) as file:
            data = file.read(PDF_BYTES_LIMIT + 1)
    else:
        raise UnsupportedMediaType(_WANTED)
    if len(data) > PDF_BYTES_LIMIT:
        raise RequestEntityTooLarge
    return data


def _verdict(found: Verdict, keys: dict[str, SealKey]) -> dict[str, Any]:
    seal = found.seal
    key = None if seal is None else keys.get(seal.key_id)
    return {
        "status": found.standing,
        "words": say(found.standing),
        "key_id": None if seal is None else seal.key_id,
        "key": None if key is None else _key(key),
        "dated": None if seal is None else instant(seal.dated),
        "content_sha256": None if seal is None else seal.content,
    }


def _key(key: SealKey) -> dict[str, Any]:
    public = Ed25519PublicKey.from_public_bytes(key.public_key)
    return {
        "id": key.id,
        "public_key": public.public_bytes(Encoding.PEM, PublicFormat.SubjectPublicKeyInfo).decode(),
        "created_at": instant(key.created_at),
        "retired_at": None if key.retired_at is None else instant(key.retired_at),
    }
